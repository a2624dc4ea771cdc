"""Each limit of the day, tried just before it, on it and just behind it. The limits are FIELD's, ours (C) where it says
so; here they stand a second time, as people read them."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from dataclasses import replace

import pytest
from shapely import LineString, Point, Polygon, box

from sitemap import tables
from sitemap.day.crew import Batch, Jobs, busiest, hands_at, raking_check
from sitemap.day.of_site import _told_of_wood
from sitemap.day.sizes import unusual
from sitemap.day.unsound import spots_checks
from sitemap.day.ways_out import Refuge, meeting_check, refuge_check, refuges_near, ways_check, ways_near
from sitemap.day.wood import HeapWood, Reading, wood_check
from sitemap.site.equipment import EQUIPMENT
from sitemap.site.kinds import KINDS
from sitemap.site.model import Feature, Item
from sitemap.site.seen import Day
from sitemap.telling import tell
from tests.site.builders import site_of, thing

KILN = Point(0, 0)
BURN = dt.date(2026, 5, 20)


def way(begins_m: float, ends_m: float) -> LineString:
    return LineString([(begins_m, 0), (ends_m, 0)])


def beside(away_m: float) -> bool:
    """Whether a way that runs so far beside another counts as a second one."""
    return ways_check([way(0, 1000), LineString([(0, away_m), (1000, away_m)])]).verdict == "two ways out"


def apart_for(share: float) -> bool:
    """Whether a way counts as a second one that leaves another for so much of its length, straight off its side."""
    off = 15 + 1000 * share  # the first 15 m of it run with the other still
    return ways_check([way(-500, 1500), LineString([(-(1000 - off), 0), (0, 0), (0, off)])]).verdict == "two ways out"


def refuge(half_m: float, fuel_m: float) -> bool:
    return (
        refuge_check([Refuge("R", box(-half_m, -half_m, half_m, half_m))], fuel_m, []).verdict == "refuge wide enough"
    )


@pytest.mark.parametrize(
    ("holds", "limit", "on_it"),
    [
        pytest.param(lambda far: bool(ways_near([way(far, 500)], KILN)), -100.0, True, id="a way begins near"),
        pytest.param(lambda end: bool(ways_near([way(10, end)], KILN)), 50.0, True, id="a way leads away"),
        pytest.param(
            lambda far: bool(refuges_near([Refuge("R", Point(far, 0))], KILN)), -400.0, True, id="refuge near"
        ),
        pytest.param(
            lambda far: meeting_check([Point(far, 0)], KILN).verdict == "on the map", -1000.0, True, id="heads"
        ),
        pytest.param(beside, 15.0, False, id="runs beside"),
        pytest.param(apart_for, 0.5, False, id="of its own"),
        pytest.param(lambda half: refuge(half, 0.1), 5.0, True, id="least refuge"),
        pytest.param(lambda half: refuge(half, 0.5), 20.0, True, id="eight times half a metre, five times for wind"),
        pytest.param(
            lambda least: raking_check("k", "K", 60.0, least).verdict == "raked in time", 60.0, True, id="rakes"
        ),
    ],
)
def test_law_each_limit_holds_from_its_own_side(holds: Callable[[float], bool], limit: float, on_it: bool) -> None:
    """A limit written with a minus is one that more than it breaks. Half a per cent to either side."""
    most = limit < 0
    limit = abs(limit)
    below, on, above = (holds(limit * factor) for factor in (0.995, 1.0, 1.005))
    assert (below, above) == (most, not most)
    if limit not in (15.0, 0.5, 5.0, 20.0):  # a buffer of many corners lies a hair inside its circle
        assert on == on_it


def test_law_water_closes_a_way_and_an_unknown_place_closes_none() -> None:
    through, dry = way(10, 500), LineString([(0, 10), (0, 500)])
    assert ways_near([through, dry], KILN, box(100, -5, 120, 5)) == [dry]
    far = way(3000, 4000)
    assert ways_near([far], None) == [far]
    nowhere = Refuge("R", None)
    assert refuges_near([nowhere, Refuge("S", Point(500, 0))], KILN) == [nowhere]
    assert len(refuges_near([Refuge("S", Point(500, 0))], None)) == 1
    assert meeting_check([Point(5000, 0)], None).verdict == "on the map"
    assert meeting_check([], None).verdict == "not known"


@pytest.mark.parametrize(
    ("shapes", "told"),
    [
        ([box(0, 0, 60, 60), box(0, 0, 44, 44)], "60 m"),
        ([box(0, 0, 44, 44), box(0, 0, 60, 60)], "60 m"),
        ([None, box(0, 0, 60, 60)], "60 m"),
    ],
)
def test_law_of_several_refuges_the_widest_counts(shapes: list[Polygon | None], told: str) -> None:
    found = refuge_check([Refuge(f"R{n}", shape) for n, shape in enumerate(shapes)], 0.5, [])
    assert found.verdict == "refuge wide enough"
    assert told in tell(found.reason)
    assert "40 m" in tell(found.reason)  # what is asked for: 8 × 0.5 m × 5 to either side (NWCG, P)


def test_law_a_refuge_that_is_all_timber_is_none() -> None:
    assert refuge_check([Refuge("R", box(0, 0, 60, 60))], 0.5, [box(-1, -1, 61, 61)]).verdict == "refuge too small"


JOBS = Jobs(lookout=1, patrol=1, pump=1, carriers=0)
ONE = Batch(lit_h=8.0, water_h=13.0, out_h=14.0, feeders=2, quenching=3)


@pytest.mark.parametrize(
    ("at_h", "people"),
    [
        (7.99, (0, 0, 0, 0, 0, 0)),
        (8.0, (2, 0, 0, 0, 1, 0)),
        (8.99, (2, 0, 0, 0, 1, 0)),
        (9.0, (6, 0, 0, 0, 1, 1)),
        (12.99, (6, 0, 0, 0, 1, 1)),
        (13.0, (4, 3, 0, 1, 1, 1)),
        (14.0, (4, 0, 0, 0, 1, 0)),
        (15.0, (0, 3, 0, 0, 1, 0)),
        (16.0, (0, 0, 0, 0, 0, 0)),
    ],
)
def test_law_each_job_begins_and_ends_with_its_minute(at_h: float, people: tuple[int, ...]) -> None:
    """A second kiln, fed by four, is lit at 9, its water is on at 15 and it is out at 16; worked by hand."""
    hands = hands_at([ONE, replace(ONE, lit_h=9.0, water_h=15.0, out_h=16.0, feeders=4)], JOBS, at_h)
    jobs = (hands.feeding, hands.quenching, hands.carrying, hands.pumping, hands.looking_out, hands.patrolling)
    assert jobs == people
    assert hands.people == sum(people)


def test_law_who_carries_needs_nobody_at_a_pump_and_of_two_equal_minutes_the_first_is_told() -> None:
    two = [ONE, replace(ONE, lit_h=9.0, water_h=15.0, out_h=16.0)]
    assert (
        hands_at(two, replace(JOBS, carriers=2), 13.0).carrying,
        hands_at(two, replace(JOBS, carriers=2), 13.0).pumping,
    ) == (2, 0)
    even = replace(ONE, quenching=2)
    assert busiest([even], JOBS) == (8.0, hands_at([even], JOBS, 8.0))


@pytest.mark.parametrize(
    ("minutes", "crews", "word"),
    [(0.0, 0, "raked in time"), (0.1, 0, "nobody rakes"), (0.1, 1, "raked in time"), (0.1, None, "raked in time")],
)
def test_law_nobody_rakes_only_where_there_is_something_to_rake(minutes: float, crews: int | None, word: str) -> None:
    assert raking_check("k", "K", minutes, 60.0, crews).verdict == word


DRY = Reading(BURN, core=True, wet=False)


@pytest.mark.parametrize(
    ("heap", "rain", "word"),
    [
        (HeapWood("P", "ready", (DRY, DRY)), None, "wood dry"),
        (HeapWood("P", "ready", (DRY,)), None, "not known"),
        (HeapWood("P", "ready", (DRY, DRY)), BURN, "not known"),
        (HeapWood("P", "ready", (DRY, DRY)), BURN - dt.timedelta(days=1), "wood dry"),
        (HeapWood("P", "ready", (DRY, replace(DRY, too_dry=True))), None, "not known"),
        (HeapWood("P", "ready", (replace(DRY, core=False), replace(DRY, core=False))), None, "not known"),
        (HeapWood("P", "ready", (replace(DRY, wet=None), replace(DRY, core=False))), None, "not known"),
        (HeapWood("P", "drying", (DRY, DRY)), None, "wood wet"),
        (HeapWood("P", "drying", (DRY,)), None, "not known"),
        (HeapWood("P", "not known", (DRY, DRY)), None, "wood wet"),
        (HeapWood("P", "wet", ()), None, "wood wet"),
        (HeapWood("P", "ready", (DRY, DRY), said_wet=True), None, "wood wet"),
        (HeapWood("P", "ready", (DRY, replace(DRY, wet=True))), None, "wood wet"),
        (HeapWood("P", "ready", (DRY, replace(DRY, wet=True, core=False))), None, "wood dry"),
    ],
)
def test_law_wood_is_dry_when_nothing_says_otherwise(heap: HeapWood, rain: dt.date | None, word: str) -> None:
    assert wood_check("k", [heap], Day(BURN), rain).verdict == word


def test_law_the_worst_heap_of_a_kiln_counts_and_is_named() -> None:
    heaps = [HeapWood(f"P{n}", fuel, (DRY, DRY)) for n, fuel in enumerate(("ready", "wet", "ready"))]
    found = wood_check("k", [*heaps, HeapWood("P3", "ready", ())], Day(BURN))
    assert (found.verdict, "P1" in tell(found.reason)) == ("wood wet", True)
    same = [HeapWood(name, "wet", ()) for name in ("A", "B")]
    assert "A" in tell(wood_check("k", same, Day(BURN)).reason)


EMPTY = site_of()


def one_of(kind: str, **values: object) -> Feature | Item:
    if kind in EQUIPMENT:
        return EMPTY.with_item(kind, {"id": "i", "name": "I", **values}).equipment(kind)[0]
    return Feature.of("f", None, {"kind": kind, "name": "F", **values})


SIZES = [(key, row) for key, row in tables.load("usual_sizes").items() if key.partition(".")[0] in (*KINDS, *EQUIPMENT)]


@pytest.mark.parametrize(("key", "row"), SIZES, ids=[key for key, _ in SIZES])
def test_law_every_usual_size_is_doubted_from_its_ends_on(key: str, row: tables.Row) -> None:
    kind, _, name = key.partition(".")
    attributes = {each.name: each for each in ((KINDS.get(kind) or EQUIPMENT[kind]).attributes)}
    attribute = attributes[name]
    for size, doubted in (
        (row["least"], False),
        (row["most"], False),
        (row["most"] * 1.001, True),
        *(((row["least"] * 0.999, True),) if row["least"] > 0 else ()),
    ):
        typed = [row["least"], size, row["most"]] if attribute.type == "numbers" else size
        if attribute.type == "integer" and size != int(size):
            continue
        thing = one_of(kind, **{name: typed})
        assert (unusual(thing, attribute) is not None) == doubted, (size, typed)


def pile(*readings: dict[str, object], **values: object) -> Feature:
    return Feature.of("p", None, {"kind": "pile", "name": "P", "readings": list(readings), **values})


@pytest.mark.parametrize(
    ("values", "wet"),
    [
        ({"moisture_pct": 25.0, "moisture_basis": "dry"}, False),
        ({"moisture_pct": 25.01, "moisture_basis": "dry"}, True),
        ({"moisture_pct": 20.0, "moisture_basis": "wet"}, False),
        ({"moisture_pct": 20.01, "moisture_basis": "wet"}, True),
        ({"moisture_pct": 20.0}, False),
        ({"moisture_pct": 20.01}, True),
        ({"moisture_pct": 90.0}, True),
        ({}, False),
    ],
)
def test_law_wood_is_wet_above_a_fifth_of_its_wet_weight(values: dict[str, object], wet: bool) -> None:
    """20 % of the wet weight is 25 % of the dry one; without a basis the wetter meaning counts."""
    assert _told_of_wood(pile(**values))[1] == wet


@pytest.mark.parametrize(
    ("reading", "wet", "too_dry"),
    [
        ({"moisture_pct": 25.0, "basis": "dry"}, False, False),
        ({"moisture_pct": 25.1, "basis": "dry"}, True, False),
        ({"moisture_pct": 4.0, "basis": "dry"}, False, False),
        ({"moisture_pct": 3.9, "basis": "dry"}, False, True),
        ({"moisture_pct": 20.0}, None, False),
        ({"moisture_pct": 80.0, "basis": "wet"}, None, False),
    ],
)
def test_law_a_reading_is_wet_or_too_dry_to_be_from_its_limits_on(
    reading: dict[str, object], wet: bool | None, too_dry: bool
) -> None:
    """In balance with air of 20 % humidity wood holds 4.5 % (Wood Handbook; M): below 4 % no wood out of doors is."""
    ((read,), _) = _told_of_wood(pile({"date": "2026-05-19", "wood_c": 21.1, "where": "core", **reading}))
    assert (read.wet, read.too_dry, read.core) == (wet, too_dry, True)


def test_law_wood_is_judged_by_the_readings_of_its_latest_day() -> None:
    rows = [{"moisture_pct": 20.0, "date": f"2026-05-{day}", "basis": "dry"} for day in (17, 19, 18, 19)]
    readings, _ = _told_of_wood(pile(*rows))
    assert [reading.on.day for reading in readings if reading.on] == [19, 19]
    assert {reading.core for reading in readings} == {False}


@pytest.mark.parametrize(
    ("names", "told"),
    [(["K1", "K2"], []), (["K1", "k1 "], ["k1 "]), (["K1", "K2", "K1", "k2", "K1"], ["K1", "k2"]), (["K1"], [])],
)
def test_law_two_kilns_of_one_name_are_no_kiln_on_paper(names: list[str], told: list[str]) -> None:
    """One check for each name that two bear or more."""
    site = site_of(*(thing(f"k{n}", "kiln_spot", name=name) for n, name in enumerate(names)))
    found = spots_checks(site)
    assert [str(check.reason.fact("name")) for check in found] == told
    assert {check.verdict for check in found} <= {"not known"}


@pytest.mark.parametrize(("serves", "said"), [(["p1"], 0), (["p1", "gone"], 0), (["g1"], 1), (["p1", "g1", "g2"], 1)])
def test_law_a_kiln_burns_heaps_and_nothing_else(serves: list[str], said: int) -> None:
    things = [thing("p1", name="P1"), *(thing(f"g{n}", "gate", name=f"G{n}") for n in (1, 2))]
    found = spots_checks(site_of(*things, thing("k1", "kiln_spot", name="K1", serves=serves)))
    assert len(found) == said
    assert not said or found[0].reason.fact("what") == "G1"
