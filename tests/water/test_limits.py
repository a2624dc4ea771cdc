"""What drives the water at a source, and the words of a figure: each limit tried on it and to both sides."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from sitemap.hydraulics.suction import atmospheric_pressure_kpa, vapour_pressure_kpa
from sitemap.ranges import N_DRAWS
from sitemap.reasons import reason
from sitemap.water import verdict
from sitemap.water.pressure_source import (
    NoLineError,
    air_kpa,
    driver_of,
    pump_at,
    pumps_in_use,
    share_of_pump,
    suction_limit_m,
)
from sitemap.water.reading import link_record
from sitemap.water.records import NO_GEAR, Basin, Kit, LineGear, Link, Pressure, Pump, Relay, Source, Trips, link_of
from tests.site.builders import site_of

PLATE = Pump("a", "A", max_head_m=60.0, max_flow_l_min=500.0)
RATED = replace(PLATE, id="b", name="B", rated_head_m=30.0, rated_flow_l_min=100.0)
CURVE = replace(RATED, id="c", name="C", curve=((0.0, 40.0), (200.0, 10.0)))
KIT = Kit(pumps=(PLATE, RATED, CURVE))
POND = Source("s", "S", "pond", suction_lift_m=2.0)
WHY = reason("plain.not_known")


@pytest.mark.parametrize(
    ("lift", "tight", "word"),
    [
        (None, True, None),
        (0.0, False, None),
        (4.5, False, None),
        (4.51, True, None),
        (6.1, True, None),
        (6.3, None, "short"),
    ],
)
def test_law_a_pump_draws_to_four_and_a_half_metres_and_then_with_doubt(
    lift: float | None, tight: bool | None, word: str | None
) -> None:
    """0.61 of the air at sea level less the vapour at 15 °C, 6.2 m of water (D from P); above 4.5 m it is tight (C)."""
    source = replace(POND, suction_lift_m=lift)
    if word is None:
        assert bool(driver_of(source, KIT, None).tight) == tight
        return
    with pytest.raises(NoLineError) as caught:
        driver_of(source, KIT, None)
    assert (caught.value.word, caught.value.fails) == (word, "suction")


def test_law_a_pump_may_not_draw_from_its_very_limit_and_height_lowers_it() -> None:
    limit = suction_limit_m(POND, 1600.0)
    assert (
        limit
        < suction_limit_m(POND, None)
        == suction_limit_m(POND, 0.0)
        == suction_limit_m(replace(POND, water_c=15.0), 0.0)
    )
    assert driver_of(replace(POND, suction_lift_m=limit - 1e-6), KIT, 1600.0).tight
    with pytest.raises(NoLineError):
        driver_of(replace(POND, suction_lift_m=limit), KIT, 1600.0)
    expected = float(atmospheric_pressure_kpa(1600.0)) - float(vapour_pressure_kpa(30.0))
    assert air_kpa(replace(POND, water_c=30.0), 1600.0) == pytest.approx(expected)


@pytest.mark.parametrize(
    ("pump", "head_at_nothing", "most"),
    [(PLATE, 60.0, 500.0), (RATED, 40.0, 200.0), (CURVE, 40.0, 200.0)],
)
def test_law_the_best_that_is_known_of_a_pump_is_taken(pump: Pump, head_at_nothing: float, most: float) -> None:
    """A curve before a rated point (4/3 of its head, twice its flow: EPANET, P) before plate maxima."""
    found = driver_of(replace(POND, pump=pump.id), KIT, None)
    assert found.supply.most_head_m == pytest.approx(head_at_nothing)
    assert found.supply.most_flow_l_min == pytest.approx(most)
    assert (found.pump, found.assumed) == (pump, ())


@pytest.mark.parametrize(
    "pump", [Pump("x", "X"), Pump("x", "X", max_head_m=60.0), Pump("x", "X", rated_head_m=60.0, max_flow_l_min=9.0)]
)
def test_law_half_a_plate_is_no_pump(pump: Pump) -> None:
    with pytest.raises(NoLineError) as caught:
        driver_of(POND, Kit(pumps=(pump,)), None)
    assert caught.value.word == "not known"


@pytest.mark.parametrize(
    ("pump", "likely"),
    [
        (PLATE, 0.9),
        (replace(PLATE, state="new"), 1.0),
        (RATED, 1.0),
        (CURVE, 1.0),
        (replace(CURVE, state="worn"), 0.9),
        (replace(PLATE, rated_head_m=30.0), 0.9),
    ],
)
def test_law_plate_maxima_and_wear_take_a_tenth(pump: Pump, likely: float) -> None:
    """New 1 (0.9–1), worn 0.9 (0.8–1): common practice, no source."""
    share = share_of_pump(pump)
    assert share[0] == likely
    assert share.max() <= 1.0
    assert float(np.percentile(share, 10)) == pytest.approx(likely - 0.1, abs=0.02)


def test_law_the_pump_named_is_taken_else_the_first_that_is_not_the_relays() -> None:
    relay = Relay("pump", 50.0, "a", None)
    assert pump_at(replace(POND, pump="B"), KIT) == RATED
    assert pump_at(POND, KIT) == PLATE
    assert pump_at(replace(POND, relay=relay), KIT) == RATED
    assert pump_at(POND, Kit()) is None
    assert driver_of(POND, Kit(), None).supply.most_head_m == 0.0
    assert [note.what for note in driver_of(POND, KIT, None).assumed] == ["pump"]
    with pytest.raises(NoLineError):
        pump_at(replace(POND, pump="gone"), KIT)
    tap = replace(POND, id="t", kind="tap")
    lost = replace(POND, pump="gone", relay=Relay("pump", 1.0, "c", None))
    assert pumps_in_use((POND,), KIT) == {"a"}
    assert pumps_in_use((replace(POND, relay=relay), tap), KIT) == {"a", "b"}
    assert pumps_in_use((tap,), KIT) == frozenset()
    assert pumps_in_use((lost,), KIT) == {"c"}


@pytest.mark.parametrize(
    ("source", "most", "assumed", "notes"),
    [
        (Source("s", "S", "tap", pressure=Pressure(300.0), yield_l_min=40.0), 40.0, False, []),
        (Source("s", "S", "tap", pressure=Pressure(300.0)), 15.0, True, ["yield"]),
        (Source("s", "S", "tap"), 15.0, True, ["tap_pressure", "yield"]),
        (Source("s", "S", "hydrant", pressure=Pressure(300.0, 150.0, 50.0)), 50 * 2 ** (1 / 1.852), False, []),
        (Source("s", "S", "hydrant", pressure=Pressure(300.0, 150.0)), 15.0, True, ["yield"]),
        (Source("s", "S", "well", pump="a", suction_lift_m=2.0), 15.0, True, ["yield"]),
        (Source("s", "S", "well", pump="a", suction_lift_m=2.0, yield_l_min=30.0), 30.0, False, []),
        (Source("s", "S", "well", Basin(5000.0), pump="a", suction_lift_m=2.0), 500.0, False, []),
        (Source("s", "S", "stream", pump="a", suction_lift_m=2.0, yield_l_min=100.0), 50.0, False, ["usable_fraction"]),
        (
            Source("s", "S", "stream", pump="a", suction_lift_m=2.0, yield_l_min=100.0, usable_fraction=0.2),
            20.0,
            False,
            [],
        ),
        (Source("s", "S", "stream", pump="a", suction_lift_m=2.0), 500.0, False, []),
        (Source("s", "S", "pond", Basin(5000.0), pump="a", suction_lift_m=2.0, yield_l_min=0.0), 500.0, False, []),
    ],
)
def test_law_a_source_gives_what_was_said_or_little(
    source: Source, most: float, assumed: bool, notes: list[str]
) -> None:
    """15 L/min of a tap or well nobody measured, half of a stream (C)."""
    found = driver_of(source, KIT, None)
    assert found.supply.most_flow_l_min == pytest.approx(most)
    assert found.yield_assumed == assumed
    assert [note.what for note in found.assumed] == notes
    assert bool(found.tight) == ("tap_pressure" in notes)


@pytest.mark.parametrize(
    ("source", "word"),
    [
        (Source("s", "S", "tap", pressure=Pressure(300.0), yield_l_min=0.0), "short"),
        (Source("s", "S", "pond", pump="a", suction_lift_m=2.0, yield_l_min=0.0), "short"),
        (Source("s", "S", "stream", pump="a", suction_lift_m=2.0, yield_l_min=0.0), "short"),
        (Source("s", "S", "stream", pump="a", suction_lift_m=2.0, yield_l_min=9.0, usable_fraction=0.0), "short"),
        (Source("s", "S", "hydrant"), "not known"),
    ],
)
def test_refuses_a_source_that_gives_nothing_or_nobody_knows_what(source: Source, word: str) -> None:
    with pytest.raises(NoLineError) as caught:
        driver_of(source, KIT, None)
    assert caught.value.word == word


def draws(share: float, likely: bool = True) -> np.ndarray:
    met = np.arange(N_DRAWS) < round(share * N_DRAWS)
    return np.concatenate([[likely], met])


@pytest.mark.parametrize(
    ("passes", "worst", "best", "because", "word"),
    [
        (draws(0.9), True, True, (), "enough on paper"),
        (draws(0.899), True, True, (), "tight"),
        (draws(1.0), False, True, (), "tight"),
        (draws(1.0), True, True, (WHY,), "tight"),
        (draws(1.0, likely=False), True, True, (), "tight"),
        (draws(1.0, likely=False), False, False, (), "short"),
    ],
)
def test_law_enough_is_met_in_nine_draws_of_ten_at_either_end_of_the_lift(
    passes: np.ndarray, worst: bool, best: bool, because: tuple, word: str
) -> None:
    assert verdict.word_of(passes, worst, best, because) == word


@pytest.mark.parametrize(
    ("hold", "growth"), [(0.0, 1.0), (5.0, 1 / 0.75), (19.99, 2000.0), (20.0, np.inf), (25.0, np.inf)]
)
def test_law_a_flow_the_glow_boils_off_puts_nothing_out(hold: float, growth: float) -> None:
    assert float(verdict.quench_growth(20.0, hold)) == pytest.approx(growth)
    minutes = float(verdict.minutes_to_quench(600.0, 20.0, hold, 3.0))
    assert minutes == pytest.approx(3.0 + 30.0 * growth)
    assert np.isinf(verdict.minutes_to_quench(600.0, np.nan, hold))


@pytest.mark.parametrize(("fill", "flow"), [(0.0, 15.0), (900.0, 30.0), (3000.0, 100.0)])
def test_law_the_needed_flow_fills_the_hose_in_half_an_hour_and_quenches_in_one(fill: float, flow: float) -> None:
    """600 L, 5 L/min boiled off. A long hose is what takes the time: 3,000 L in 30 min are 100 L/min."""
    needed = float(verdict.needed_flow_l_min(600.0, 5.0, fill))
    assert needed == pytest.approx(flow, rel=0.02)
    assert fill / needed <= 30.0 + 1e-9
    assert fill / needed + 600.0 / (needed - 5.0) <= 60.0 + 1e-9


@pytest.mark.parametrize("word", verdict.BEST_FIRST)
@pytest.mark.parametrize("line", ["quench", "attack"])
def test_law_only_what_is_proved_passes_and_only_a_short_quench_rules_out(
    word: verdict.Word, line: verdict.Line
) -> None:
    effect = verdict.effect_of(word, line)
    assert (effect == "passes") == (word == "enough, proved")
    assert (effect == "ruled out") == (word == "short" and line == "quench")
    assert verdict.at_best(word, "tight") == max(word, "tight", key=verdict.BEST_FIRST.index)


def test_law_the_last_record_of_a_pair_counts() -> None:
    links = [Link("s", "k", 1.0), Link("s", "k", 2.0), Link("s", "j", 3.0), Link("t", "k", 4.0)]
    assert (link_of(links, "s", "k"), link_of(links, "s", "x")) == (links[1], None)
    assert Trips("haul", None, 300.0, 120.0).flow_l_min == pytest.approx(150.0)
    assert LineGear() == NO_GEAR


@pytest.mark.parametrize(
    ("left_out", "whole"),
    [
        ((), True),
        (("trips_by",), False),
        (("trips_litres",), False),
        (("trips_seconds",), False),
        (("trips_machine",), True),
    ],
)
def test_law_half_a_test_of_trips_is_none(left_out: tuple[str, ...], whole: bool) -> None:
    said = {"trips_by": "machine", "trips_machine": "m", "trips_litres": 300.0, "trips_seconds": 120.0}
    record = {"source": "s", "spot": "k", **{key: value for key, value in said.items() if key not in left_out}}
    (entry,) = site_of(site={"links": [record]}).records("links")
    trips = link_record(entry).trips
    assert (trips is not None) == whole
    assert trips is None or trips == Trips("haul", None if left_out else "m", 300.0, 120.0)
