"""The pace of water trips as the log tells it: against a numerical integral by hand, and the laws of the decision."""

from __future__ import annotations

import numpy as np
import pytest
import scipy  # stats is dear to load: only where it is asked
from scipy.integrate import quad

from sitemap.hydraulics import shuttle
from sitemap.plan.contents import plan_of
from sitemap.season.pace import ENOUGH, paces_of, with_paces
from sitemap.telling import sentence
from sitemap.water.reading import kit_of
from sitemap.water.shuttle import PACE, hand_trip, machine_trips
from tests.safety.dangerous.safe_site import SafeSite
from tests.season.test_calendar_of_site import many
from tests.season.test_learning import logged


def carried(*rows: dict[str, object]):
    """Water carried to K1 over 40 m by ten people, two buckets each; the log as given."""
    return logged(SafeSite().carried(), *({"water_by": "hand", **row} for row in rows)).assessed()


def flow(a) -> tuple[float, float, float]:
    return a.water.of_spot("k1").quench.flow_l_min.triple()


def test_agrees_with_a_numerical_integral_on_trips_carried_by_hand() -> None:
    """200 buckets in 90 min by ten people with two each: ten rounds, nine returns. 9 min a round, ¾ min of it at both
    ends; 40 m at 2 km/h there and nine tenths of 40 m at 2.7 km/h back is 2 min."""
    a = carried({"water_loads": 200, "water_min": 90})
    (found,) = a.watered.paces
    route = a.water.of_spot("k1").quench.route_m
    road = route / 1000 * 60 * (1 / 2.0 + 0.9 / 2.7)
    prior = scipy.stats.norm(0.0, np.log(1.2 / 0.7) / 2 / scipy.stats.norm.ppf(0.9))

    def density(x: float) -> float:
        return float(prior.pdf(x) * scipy.stats.norm.pdf(np.log(9.0), np.log(0.75 + road * np.exp(-x)), 0.2))

    whole, mean = (quad(lambda x, n=n: x**n * density(x), -2.5, 1.5, points=[-0.6])[0] for n in (0, 1))
    assert found.after.mean == pytest.approx(mean / whole, abs=1e-4)
    assert a.kit.paces == (("hand", found.used),)


def test_law_slow_trips_count_at_once_and_quick_ones_from_three_batches_on() -> None:
    plain = carried()
    quick = [carried(*[{"water_loads": 200, "water_min": 20}] * count) for count in range(1, ENOUGH + 1)]
    assert plain.kit == kit_of(plain.source)
    assert [flow(a) == flow(plain) for a in quick] == [True, True, False]
    assert flow(quick[-1])[1] > flow(plain)[1]
    told = [" ".join(sentence(why) for why in a.taught[0].told) for a in quick]
    assert ["counts from 3 batches on" in each for each in told] == [True, True, False]
    slow = carried({"water_loads": 200, "water_min": 90})
    assert all(now < before for now, before in zip(flow(slow), flow(plain), strict=True))
    lesson = next(each for each in slow.taught[0].lessons if each.quantity == "brought")
    assert (lesson.before, lesson.after) == tuple(pytest.approx([60 * each for each in flow(a)]) for a in (plain, slow))


@pytest.mark.parametrize("minutes", [4, 20, 60, 400])
@pytest.mark.parametrize("count", [1, 2])
def test_law_a_batch_or_two_never_make_water_that_was_not_enough(count: int, minutes: float) -> None:
    rows = [{"water_by": "hand", "water_loads": 200, "water_min": minutes}] * count
    site = logged(SafeSite().carried(), *rows).site()
    kit = kit_of(site)
    trip, before = (hand_trip(each) for each in (with_paces(kit, paces_of(site, kit, {"k1": (("hand", 40.0),)})), kit))
    assert trip is not None
    assert before is not None
    for end in range(3):
        assert trip.loaded_km_h * trip.pace[end] <= before.loaded_km_h * PACE[end] * (1 + 1e-12)
        assert trip.flow_l_min(40.0, trip.pace[end]) <= before.flow_l_min(40.0, PACE[end]) * (1 + 1e-12)


def test_law_the_speed_of_the_machine_is_what_trips_are_held_against() -> None:
    """Four trips in eighty minutes over 100 m: by the house values 8 min a trip, of them 2 at both ends."""
    rows = {"water_by": "haul", "water_loads": 4, "water_min": 80}
    made = logged(many(), rows)
    made.member["equipment"]["machines"] = [{"id": "digger", "name": "Digger", "bucket_l": 200}]
    site = made.site()
    kit = kit_of(site)
    (found,) = paces_of(site, kit, {"k1": (("haul", 100.0),)})
    assert found.speed_km_h == shuttle.LOADED_KM_H == machine_trips(kit)[0].loaded_km_h
    assert found.after.triple[1] < 1.0
    assert machine_trips(with_paces(kit, (found,)))[0].loaded_km_h == pytest.approx(1.5 * found.used[0])
    assert paces_of(site, kit, {}) == ()  # the length of the way is not known
    assert paces_of(logged(many(), {**rows, "water_by": "hose"}).site(), kit, {"k1": (("haul", 100.0),)}) == ()


def test_law_the_annex_reckons_with_the_pace_of_the_log() -> None:
    a = carried({"water_loads": 200, "water_min": 90})
    assert f"v1 = {2 * a.kit.paces[0][1][0]:.5g} km/h" in plan_of(a, ["annex"]).text


def hauled(*rows: dict[str, object]):
    """Four trips in 80 min over 100 m, each row as it names its machine; a quick and a slow one."""
    made = logged(many(), *({"water_by": "haul", "water_loads": 4, "water_min": 80, **row} for row in rows))
    made.member["equipment"]["machines"] = [
        {"id": "digger", "name": "Digger", "bucket_l": 200, "loaded_km_h": 1.5, "empty_km_h": 3},
        {"id": "loader", "name": "Loader", "bucket_l": 400, "loaded_km_h": 6, "empty_km_h": 9},
    ]
    site = made.site()
    kit = kit_of(site)
    paces = paces_of(site, kit, {"k1": (("haul", 100.0),)})
    return paces, {trip.machine: trip for trip in machine_trips(with_paces(kit, paces))}


def test_law_trips_are_held_against_the_machine_that_made_them() -> None:
    """19 min on the way: at 1.5 and 3 km/h 100 m take 5.5 min with ¾ of a return, at 6 and 9 km/h 1.5 min."""
    (unsaid,), _ = hauled({})
    assert (unsaid.machine, unsaid.taken_for) == ("", "Loader")
    (said,), trips = hauled({"water_machine": "Digger"})
    assert (said.machine, said.taken_for) == ("digger", "")
    assert said.after.mean > unsaid.after.mean  # it is the slower one, and is not taken for a quick one that crept
    assert trips["digger"].loaded_km_h == pytest.approx(1.5 * said.used[0])
    assert trips["loader"].loaded_km_h == pytest.approx(6 * said.used[0])  # slow ground slows the other too


def test_law_one_quick_machine_makes_no_other_quicker() -> None:
    quick = [{"water_machine": "digger", "water_min": 10}] * ENOUGH
    (said,), trips = hauled(*quick)
    assert said.used[0] > 1.0
    assert trips["digger"].loaded_km_h == pytest.approx(1.5 * said.used[0])
    assert (trips["loader"].loaded_km_h, trips["loader"].pace) == (6, PACE)
