"""A bucket proves the flow of its line and nothing else: what it cannot prove holds the line back, one change each.

The line: 200 m of 38.1 mm hose rated for 1,500 kPa, a worn pump of 60 m and 400 L/min, a 7 mm tip, 10 m up. By hand:
0.9 · 60 m less 10 m leave 44 m or 431 kPa; a 7 mm tip passes 0.6637 · 49 · √4.31 = 68 L/min (P), without any friction.
"""

from __future__ import annotations

import datetime as dt
from itertools import pairwise
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sitemap.site.model import Feature
from sitemap.telling import tell
from sitemap.water.verdict import BEST_FIRST
from tests.water.test_of_site import EQUIPMENT as USUAL
from tests.water.test_of_site import FILLED, POND, lay, need
from tests.water.test_of_site import water as water_found

BUCKET = {
    "source": "w",
    "spot": "k1",
    "lift_m": 10,
    "lift_error_m": 1,
    "bucket_litres": 20,
    "bucket_seconds": 19,
} | FILLED
EQUIPMENT = USUAL | {"nozzles": [{"id": "n", "name": "tip", "bore_mm": 7}]}
NOON = dt.datetime(2026, 11, 25, 12, 0, tzinfo=dt.UTC)


def kit(which: str, **changes: Any) -> dict[str, Any]:
    """The gear with one item changed; None takes a value away."""
    first = {key: value for key, value in (EQUIPMENT[which][0] | changes).items() if value is not None}
    return EQUIPMENT | {which: [first, *EQUIPMENT[which][1:]]}


def water(*given_: Any, **named: Any):
    return water_found(*given_, **({"equipment": EQUIPMENT} | named))


def pond(**changes: Any) -> dict[str, Any]:
    return {key: value for key, value in (POND | changes).items() if value is not None}


def spot(**given_: Any):
    return water(**({"links": [BUCKET]} | given_)).spots[0]


def quench(**given_: Any):
    return spot(**given_).quench


def test_law_the_line_itself_passes() -> None:
    """What every change below is made to."""
    found = spot()
    assert (found.quench.effect, found.attack.effect) == ("passes", "passes")


DO = {
    "the hose may burst": "lay hose rated for more pressure",
    "nobody read the rating": "read the pressure the hose is rated for",
    "the pump stands too high": "set the pump nearer to the water",
    "nobody said how high it stands": "measure how high the pump stands",
    "a hump draws air": "lay the hose round the rise",
    "the pond is small": "bring more water",
    "the pond is not known": "measure how much water there is",
    "out of season": "use another source, or another day",
    "nobody asked": "ask leave to take the water",
    "the hose ends before the kiln": "bring more hose",
    "nobody knows the lift": "measure how high the kiln stands above the water",
    "no plate": "off the plate of the pump",
}


@pytest.mark.parametrize("case", DO)
def test_law_what_bars_a_line_names_the_action(case: str) -> None:
    """House rule: page one says what to do, not what was checked; a line that passes asks for nothing."""
    line = quench(**PROVES_NOT[case][0])
    assert line.action is not None
    assert DO[case] in tell(line.action)
    assert spot().quench.action is None


HUMP = {"profile": ((0.0, 0.0), (50.0, 52.0), (100.0, 10.0))}
HIGH_HUMP = {"profile": ((0.0, 0.0), (50.0, 70.0), (100.0, 10.0))}
PROVES_NOT = {
    "the hose may burst": ({"equipment": kit("hoses", rated_kpa=300)}, "short", "may burst"),
    "nobody read the rating": (
        {"equipment": kit("hoses", rated_kpa=None)},
        "enough on paper",
        "rated for is not known",
    ),
    "shut, the nozzle strains it": ({"equipment": kit("hoses", rated_kpa=520)}, "tight", "shutting the nozzle"),
    "the pump stands too high": ({"pond": pond(suction_lift_m=8)}, "short", "can draw from"),
    "the pump stands high": ({"pond": pond(suction_lift_m=5)}, "tight", "it may fail"),
    "nobody said how high it stands": ({"pond": pond(suction_lift_m=None)}, "tight", "pump stands above the water"),
    "a hump draws air": ({"lays": [lay(**HUMP)]}, "tight", "half shut"),
    "a hump too high": ({"lays": [lay(**HIGH_HUMP)]}, "not known", "rises to 70 m"),
    "the pond is small": ({"pond": pond(volume_l=500)}, "short", "lacks"),
    "the pond is not known": ({"pond": pond(volume_l=None)}, "tight", "how much water is in pond"),
    "out of season": ({"pond": pond(usable_to="2026-10-31")}, "short", "cannot be used on"),
    "not usable on the day": ({"pond": pond(usable_on_date=False)}, "short", "cannot be used on"),
    "nobody said whether usable": ({"pond": pond(usable_on_date=None)}, "enough on paper", "still to be had"),
    "the owner refused": ({"pond": pond(permission="no")}, "short", "refused"),
    "nobody asked": ({"pond": pond(permission=None)}, "enough on paper", "at pond: permission to take water"),
    "the hose ends before the kiln": ({"lays": [lay(length=400.0)]}, "short", "does not cover"),
    "nobody knows the lift": (
        {"links": [BUCKET | {"lift_m": None}], "lays": [lay(lift_m=None, lift_error_m=None)]},
        "tight",
        "how high the kiln stands",
    ),
    "a hose that reached": ({"lays": [lay(length=400.0)]}, "short", "measured with a bucket all the same"),
    "no plate": ({"equipment": kit("pumps", max_head_m=None)}, "not known", "plate"),
}


@pytest.mark.parametrize("case", PROVES_NOT)
def test_law_a_bucket_does_not_prove_what_it_does_not_measure(case: str) -> None:
    """House rule 11. Each of these read "enough, proved" before, or hid behind the flow."""
    changed, word, says = PROVES_NOT[case]
    line = quench(**changed)
    assert (line.verdict, line.effect != "passes") == (word, True), tell(line.reason)
    assert says in tell(line.reason)


@pytest.mark.parametrize(
    ("changes", "seconds", "flow", "most"),
    [
        # all of 60 m at 9 m up, less 60 · (71/400)² m of the pump: √((51 − 1.9) · 9.789) · 0.06637 · 49 = 71
        ({}, 3.6, "330 L/min", "71 L/min"),
        ({"pond": pond(source="stream", yield_l_min=40, volume_l=None)}, 30, "40 L/min", "20 L/min"),  # half of it
        ({"pond": pond(source="tap", static_pressure_kpa=300, yield_l_min=20)}, 24, "50 L/min", "20 L/min"),
        ({"equipment": EQUIPMENT | {"pumps": []}, "lays": [lay(lift_m=-5.0)]}, 6, "200 L/min", "25 L/min"),
    ],
)
def test_law_more_than_the_line_can_give_is_asked_again(
    changes: dict[str, Any], seconds: float, flow: str, most: str
) -> None:
    """House rule: 20 L in 3.6, seconds or minutes? Both numbers are said, and what was measured is not known."""
    lift = changes.get("lays", [lay()])[0].lift_m
    source = changes.get("pond", POND if "lays" not in changes else pond(pump=None))
    found = spot(**changes | {"pond": source}, links=[BUCKET | {"bucket_seconds": seconds, "lift_m": lift}])
    for line in (found.quench, found.attack):
        assert line.verdict in ("not known", "short")
        assert "seconds or minutes" in tell(line.reason)
    told = tell(found.quench.reason)
    assert found.quench.verdict == "not known"
    assert flow in told
    assert f"no more than {most}" in told


def test_law_a_fall_below_vacuum_has_no_flow_to_show() -> None:
    """A siphon over 25 m: air and vapour leave 99.6 kPa or 10.2 m (D) to lift it, so the water parts; over 4 m it may
    run, and is refused for the air it draws. Before, the first showed a flow as well."""
    dry = {"equipment": EQUIPMENT | {"pumps": []}, "pond": pond(pump=None), "links": ()}
    for top, shows in ((25.0, False), (6.0, True)):
        over = lay(lift_m=-20.0, profile=((0.0, 0.0), (50.0, top), (100.0, -20.0)))
        line = quench(**dry, lays=[over])
        assert (line.verdict, line.fails_first) == ("short", "pressure")
        assert (line.flow_l_min is not None, line.minutes_to_quench is not None) == (shows, shows)


def test_law_two_lifts_that_disagree_are_said_and_the_worse_decides() -> None:
    """Typed 2 ± 1 m, by the raster 20 ± 1 m: beyond both errors; the higher counts, and no bucket makes it pass."""
    apart = quench(links=[BUCKET | {"lift_m": 2}], lays=[lay(lift_m=20.0)])
    assert (apart.lift_m, apart.effect) == (20.0, "conditional")
    assert "entered as 2 m above the water and stands 20 m above it by the ground" in tell(apart.reason)
    other = quench(links=[BUCKET | {"lift_m": 20}], lays=[lay(lift_m=2.0)])
    assert (other.lift_m, other.effect) == (20.0, "conditional")
    within = quench(links=[BUCKET | {"lift_m": 11.9}], lays=[lay(lift_m=10.0)])
    assert (within.lift_m, within.effect) == (11.9, "passes")


def test_law_a_source_of_which_nothing_is_known_never_reads_enough() -> None:
    """House rule 1: before, a source nobody draws from read "enough on paper"."""
    bare = Feature.of("x", None, {"kind": "water_source", "name": "Puddle"})
    some = Feature.of("y", None, POND | {"name": "Known pond"})
    refused = Feature.of("z", None, POND | {"name": "Refused", "permission": "no"})
    half = Feature.of("v", None, pond(name="Unasked", permission=None))
    budgets = {budget.id: budget for budget in water(more=[bare, some, refused, half]).sources}
    assert [budgets[id_].verdict for id_ in "xyzv"] == ["not known", "holds enough", "short", "not known"]
    assert "still to be had" in tell(budgets["x"].reason)


def test_law_not_known_never_hides_short() -> None:
    """The hose cannot reach, and whether people can carry is not known: both are told, and the line is not known."""
    silent = {"equipment": EQUIPMENT | {"machines": []}, "links": ()}
    found = quench(**silent, lays=[lay(length=400.0), lay("hand", 30.0)])
    told = tell(found.reason)
    assert found.verdict == "not known"
    assert "people who can carry water have not been entered" in told
    assert "by hose from pond it is short: the hose on hand, 200 m, does not cover" in told


def two(first: dict[str, Any], second: dict[str, Any], minutes: float | None = 0.0, **more: Any):
    """Two kilns, each with its own source; the water of the second is called for so many minutes later."""
    later = None if minutes is None else NOON + dt.timedelta(minutes=minutes)
    needs = [need("k1", water_on=NOON), need("k2", water_on=later)]
    gear = {"bucket_pump": [second["pump"]], "bucket_hose": [each["hose"] for each in second["hose"]]}
    links = [BUCKET, BUCKET | {"source": "v", "spot": "k2"} | gear]
    other = Feature.of("v", None, second)
    return water(needs, [lay(), lay(spot="k2", source="v")], first, links=links, more=[other], **more)


TWO_PUMPS = EQUIPMENT | {
    "pumps": [*EQUIPMENT["pumps"], EQUIPMENT["pumps"][0] | {"id": "q", "name": "other pump"}],
    "hoses": [EQUIPMENT["hoses"][0], EQUIPMENT["hoses"][0] | {"id": "i", "name": "second 38 mm"}],
}


def test_law_one_pump_moved_between_ponds_takes_time() -> None:
    """Common practice, no source: half an hour to take a pump to another pond, set it up and prime it. The first quench
    takes some 10 min of filling and spraying; 15 min later the pump is free, and not yet there."""
    there = pond(name="Far pond", hose=[{"hose": "i"}])
    done = two(POND, there, equipment=TWO_PUMPS).spots[0].quench.done
    assert done is not None
    took = (done - NOON).total_seconds() / 60
    soon = two(POND, there, took + 1, equipment=TWO_PUMPS).spots[1].quench
    assert soon.water_on == done + dt.timedelta(minutes=30)
    assert "until" not in tell(soon.reason)  # half an hour late is still in time
    at_once = two(POND, there, 0.0, equipment=TWO_PUMPS).spots[1].quench
    assert at_once.verdict == "tight"
    assert "has the pump small pump until" in tell(at_once.reason)
    own = two(POND, there | {"pump": "q"}, 0.0, equipment=TWO_PUMPS).spots[1].quench
    assert (own.verdict, own.water_on) == ("enough, proved", NOON)


def test_law_gear_shared_at_a_time_nobody_knows_is_no_pass() -> None:
    """Before, a kiln without a clock shared its pump with nobody."""
    there = pond(name="Far pond", hose=[{"hose": "i"}])
    line = two(POND, there, None, equipment=TWO_PUMPS).spots[1].quench
    assert line.effect == "conditional"
    assert "when each quench begins is not known" in tell(line.reason)


def test_law_a_tap_fills_one_thing_at_a_time() -> None:
    """A hose runs at K1 for half an hour; buckets for K2 are filled at the same tap only then. A pond does for both."""
    needs = [need("k1", 300.0, water_on=NOON), need("k2", 60.0, water_on=NOON)]
    ways = [lay(lift_m=0.0), lay("hand", 15.0, spot="k2")]
    tap = pond(source="tap", static_pressure_kpa=400, yield_l_min=15, volume_l=None, pump=None)
    crew = {"carriers": 8}
    second = water(needs, ways, tap, links=(), crew=crew).spots[1].quench
    assert second.effect == "conditional"
    assert "the line from pond until" in tell(second.reason)
    assert "until" not in tell(water(needs, ways, links=(), crew=crew).spots[1].quench.reason)


def test_law_every_quench_of_the_day_is_booked_with_its_own_time() -> None:
    """K1 is quenched at noon and at six, K2 at noon on the same hose: it is away at noon, not only at six. Before,
    the last quench of the day alone was booked. The water of all of them is asked of the source."""
    often = [(NOON + dt.timedelta(hours=h), NOON + dt.timedelta(hours=h + 1)) for h in (0, 6)]
    slow = BUCKET | {"bucket_litres": 20, "bucket_seconds": 60}
    links = [slow, slow | {"spot": "k2"}]

    def served(turns: list[tuple[dt.datetime, dt.datetime]]) -> Any:
        last = {"water_on": turns[-1][0], "no_steam_by": turns[-1][1]}
        first = need("k1", quenches=len(turns), turns=tuple(turns), **last)
        return water([first, need("k2", water_on=NOON)], [lay(), lay(spot="k2")], links=links)

    both = served(often)
    assert both.of_spot("k1").quench.verdict == "enough, proved"
    assert both.of_spot("k2").quench.verdict == "tight"
    assert served(often[1:]).of_spot("k2").quench.verdict == "enough, proved"
    asked = [each.sources[0].litres_needed.likely for each in (served(often[1:]), both)]
    assert asked[1] == pytest.approx(asked[0] * 3 / 2)


def test_law_a_kiln_that_waits_for_itself_is_told_so() -> None:
    """Two batches of K1 are to be quenched at noon and five minutes later on one hose: its own first has the water."""
    slow = BUCKET | {"bucket_litres": 20, "bucket_seconds": 60}
    turns = tuple((NOON + dt.timedelta(minutes=m), NOON + dt.timedelta(hours=2)) for m in (0, 5))
    twice = need("k1", quenches=2, turns=turns, water_on=turns[-1][0], no_steam_by=turns[-1][1])
    said = tell(water([twice], [lay()], links=[slow]).of_spot("k1").quench.reason)
    assert "the quench before it has" in said.lower()


def test_law_ten_kilns_on_one_hose_are_quenched_one_after_the_other() -> None:
    """Each has its own water on; hose drained and laid anew in 15 min (common practice, no source)."""
    spots = [f"k{number}" for number in range(1, 11)]
    needs = [need(spot_, water_on=NOON) for spot_ in spots]
    links = [BUCKET | {"spot": spot_} for spot_ in spots]
    found = water(needs, [lay(spot=spot_) for spot_ in spots], links=links).spots
    times = [each.quench.water_on for each in found]
    assert times[0] == NOON
    assert all(later - sooner >= dt.timedelta(minutes=15) for sooner, later in pairwise(times))
    assert [each.quench.effect for each in found].count("passes") <= 2
    assert all(each.attack.effect != "passes" for each in found)


def test_law_the_attack_line_is_judged_while_a_quench_runs() -> None:
    """FIELD 26: 7 mm at 345 kPa take 60.4 L/min, the quench asks some 14 more; a pump that brings the one and not both
    leaves no line for an escape, one with gear of its own does."""
    strong = spot()
    assert strong.attack.needed_l_min == pytest.approx(60.4, abs=0.1)
    assert strong.attack.carries_l_min > 60.4 + strong.quench.needed_l_min
    weak = kit("pumps", max_head_m=56.5)
    slow = spot(equipment=weak, links=[BUCKET])
    assert 60.4 < slow.attack.carries_l_min < 60.4 + slow.quench.needed_l_min
    assert (slow.quench.effect, slow.attack.verdict) == ("passes", "tight")
    assert "no line is left for an escape" in tell(slow.attack.reason)
    gear = weak | {
        "pumps": [*weak["pumps"], EQUIPMENT["pumps"][0] | {"id": "q", "name": "other pump"}],
        "hoses": TWO_PUMPS["hoses"],
    }
    tank = Feature.of("v", None, pond(name="Tank", source="tank", pump="q", hose=[{"hose": "i"}]))
    links = [BUCKET, BUCKET | {"source": "v", "bucket_pump": ["q"], "bucket_hose": ["i"]}]
    own = water([need()], [lay(), lay(source="v")], links=links, equipment=gear, more=[tank]).spots[0]
    assert (own.attack.source, own.attack.effect) == ("v", "passes")


WATER_FACTS = ("volume_l", "usable_on_date", "permission", "suction_lift_m", "pump", "nozzle", "hose")
GEAR_FACTS = [
    ("pumps", "max_head_m"),
    ("pumps", "max_flow_l_min"),
    ("hoses", "rated_kpa"),
    ("hoses", "bore_mm"),
    ("nozzles", "bore_mm"),
]
EFFECTS = ("passes", "conditional", "ruled out")


@given(
    blank=st.lists(st.sampled_from(WATER_FACTS), max_size=4, unique=True),
    gear=st.sampled_from([*GEAR_FACTS, None]),
    seconds=st.sampled_from([2.0, 10.0, 15.0, 40.0, 400.0]),
    rated=st.sampled_from([200, 530, 900, 1500]),
    suction=st.sampled_from([0.5, 4.8, 7.5]),
    lift=st.sampled_from([-5.0, 10.0, 30.0, 60.0]),
    volume=st.sampled_from([300, 900, 60_000]),
)
def test_law_knowing_less_never_makes_a_line_pass(blank, gear, seconds, rated, suction, lift, volume) -> None:
    """FIELD 23: whatever the line is worth, taking answers away gives no pass it had not, and no better word but "not
    known" for what is short."""
    source = pond(suction_lift_m=suction, volume_l=volume)
    full = {"equipment": kit("hoses", rated_kpa=rated), "pond": source, "lays": [lay(lift_m=lift)]}
    link = BUCKET | {"lift_m": lift, "bucket_seconds": seconds}
    known = spot(**full, links=[link])
    less = dict(full)
    less["pond"] = {key: value for key, value in source.items() if key not in blank}
    if gear is not None:
        which, name = gear
        first = {key: value for key, value in full["equipment"][which][0].items() if key != name}
        less["equipment"] = full["equipment"] | {which: [first]}
    after = spot(**less, links=[link])
    for before_line, after_line in ((known.quench, after.quench), (known.attack, after.attack)):
        if before_line.effect != "passes":
            assert after_line.effect != "passes", (tell(before_line.reason), tell(after_line.reason))


@given(
    error=st.floats(0.5, 30.0),
    wider=st.floats(1.0, 4.0),
    lift=st.floats(0.0, 45.0),
    proved=st.booleans(),
)
def test_law_a_wider_error_of_the_lift_never_improves_a_line(error, wider, lift, proved) -> None:
    """From worse to better: short, not known, tight, enough on paper, enough and proved. A wider ± may make of *short*
    a *tight*, as it may lie lower: that is no pass either way."""

    def words(metres: float) -> list[str]:
        link = BUCKET | {"lift_m": lift, "lift_error_m": metres}
        link = link if proved else {key: value for key, value in link.items() if "bucket" not in key}
        found = spot(links=[link], lays=[lay(lift_m=None, lift_error_m=None)])
        return [found.quench.verdict, found.attack.verdict]

    for narrow, wide in zip(words(error), words(error * wider), strict=True):
        if narrow != "short":
            assert BEST_FIRST.index(wide) >= BEST_FIRST.index(narrow)


@given(
    volume=st.sampled_from([60_000, 2000, 900, 300, None]),
    usable=st.sampled_from([True, None, False]),
    leave=st.sampled_from(["yes", "asked", None, "no"]),
    nothing_more=st.sampled_from([{}, {"usable_to": "2026-11-01"}]),
)
def test_law_a_worse_source_never_improves_a_line(volume, usable, leave, nothing_more) -> None:
    """Less water, no answer or a no: never better than the pond that is full, usable and allowed."""
    best = spot()
    worse = spot(pond=pond(volume_l=volume, usable_on_date=usable, permission=leave, **nothing_more))
    for one, other in ((best.quench, worse.quench), (best.attack, worse.attack)):
        assert BEST_FIRST.index(other.verdict) >= BEST_FIRST.index(one.verdict)
        assert EFFECTS.index(other.effect) >= EFFECTS.index(one.effect)
    if (usable, leave) != (True, "yes") or nothing_more:
        assert worse.quench.effect != "passes"


def test_law_a_bucket_filled_through_a_line_that_gives_nothing_is_told_so() -> None:
    """The pump lifts 0.9 · 60 m = 54 m: up 200 m it gives nothing, so any flow that was timed is asked again."""
    (quench, _) = spot(links=[BUCKET | {"lift_m": 200}]).entries
    assert quench.verdict == "not known"
    assert "this line can give no more than 0 L/min" in tell(quench.reason)
