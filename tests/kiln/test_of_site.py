"""Kilns, heaps and crew of a site put together: cases by hand, laws, and every gap named."""

from __future__ import annotations

import datetime as dt
import re
from typing import Any

import numpy as np
import pytest

from sitemap.geodesy.plane import Plane
from sitemap.kiln.of_site import burns_of
from sitemap.kiln.values import Burns, CrewFacts, DayTimes, KilnRun, Stock
from sitemap.ranges import Drawn, draw
from sitemap.site.equipment import EQUIPMENT
from sitemap.site.frozen import FrozenDict
from sitemap.site.model import Feature, Item

HERE = dt.timezone(dt.timedelta(hours=-8))
LONG_DAY = DayTimes("normal", dt.datetime(2026, 6, 1, 4, 30, tzinfo=HERE), dt.datetime(2026, 6, 1, 20, 30, tzinfo=HERE))
SHORT_DAY = DayTimes(
    "normal", dt.datetime(2026, 12, 1, 8, 30, tzinfo=HERE), dt.datetime(2026, 12, 1, 15, 30, tzinfo=HERE)
)
CREW = CrewFacts(adults=4, rakers=1, feeders=2)
PLANE = Plane(-120.0, 44.0)
# A box of 2 × 1 × 1 m: 2 m³, open area 2 m²; 120 kg/h by area, 200 by two people.
BOX: dict[str, Any] = {
    "id": "k1",
    "name": "Box",
    "shape": "box",
    "length_m": 2.0,
    "width_m": 1.0,
    "height_m": 1.0,
    "holds_water": "yes",
    "piece_limit_cm": 10.0,
    "steel_mass_kg": 200.0,
    "fill_fraction": 0.85,
}
RING: dict[str, Any] = {"id": "k2", "name": "Ring", "shape": "ring", "diameter_m": 1.5, "height_m": 0.6}


def kiln(values: dict[str, Any], **changes: Any) -> Item:
    return Item(FrozenDict({**values, **changes}), EQUIPMENT["kilns"].attributes)


def spot(spot_id: str, lon: float | None = None, **values: Any) -> Feature:
    place = None if lon is None else {"type": "Point", "coordinates": [lon, 44.0]}
    return Feature.of(spot_id, place, {"kind": "kiln_spot", "name": spot_id.upper(), **values})


def heap(heap_id: str, tonnes: float, thickest_cm: float | None = 10.0, xy: tuple[float, float] | None = None) -> Stock:
    return Stock(heap_id, heap_id.upper(), xy, Drawn.exact(tonnes), thickest_cm, (), 0.20)


def words(burns: Burns) -> set[str]:
    return {note.what for note in (*burns.assumed, *burns.unknowns)}


def only(burns: Burns) -> KilnRun:
    (run,) = burns.kilns
    return run


def one_box(
    tonnes: float = 3.0,
    day: DayTimes | None = LONG_DAY,
    crew: CrewFacts = CREW,
    thickest: float | None = 10.0,
    **box: Any,
) -> Burns:
    place = spot("s1", kiln="k1", serves=["p1"], quench_method="raked_and_sprayed")
    return burns_of((place,), (kiln(BOX, **box),), (heap("p1", tonnes, thickest),), crew, day)


def test_published_box_by_hand() -> None:
    """The likely figures of tables kiln_burning and quench (D, C), worked on paper.

    Char 0.85 × 2 m³ = 1.7 m³ = 255 kg; feed 255/0.20 = 1275 kg at 120 kg/h = 10.625 h from lighting to water, start and
    burn-down in it; two people bring it in 0.5 + 6.375 + 0.42 = 7.29 h. 3 t are 3 batches (2.35 rounded up), one a day
    from 05:30 to 19:30. Raked and sprayed
    1.7 × 275 = 467.5 L. Char in all 3 × 0.20 = 0.6 t = 4 m³ = 200 buckets = 6 bags (5.69). Hold 2 × 1.4 = 2.8 L/min.
    Reserve: that quench. Flood 1.7 × 900 = 1530 L. Steel and char boil 255 × 807.2/2612.5 + 200 × 0.087 = 96 L.
    """
    burns = one_box()
    run = only(burns)
    assert run.char_m3_per_batch.likely == pytest.approx(1.7)
    assert run.feed_dry_t_per_batch.likely == pytest.approx(1.275)
    assert run.feed_dry_t_per_h.likely == pytest.approx(0.120)
    assert run.hours_per_batch.likely == pytest.approx(10.625)
    assert (run.batches.likely, run.batches_per_day, run.units) == (3, 1, 1)
    assert run.quench_l_per_batch.likely == pytest.approx(467.5)
    assert run.quench_floor_l.likely == pytest.approx(96, abs=1)
    assert run.rake_min.likely == pytest.approx(1.7 / 3 * 60)  # two people, 1.5 m³ an hour each (C)
    assert run.quench_ceiling_l.likely == pytest.approx(1530)
    assert run.flood_l is not None
    assert run.flood_l.likely == pytest.approx(1530)
    assert run.hold_l_min.likely == pytest.approx(2.8)
    assert run.heat_kw.likely == pytest.approx(120 / 3.6 * (18.6 - 6 - 0.52), rel=1e-6)
    assert run.heat_peak_kw.likely == pytest.approx(2 * run.heat_kw.likely)
    assert run.clock is not None
    assert run.clock.no_steam_by == dt.datetime(2026, 6, 1, 19, 30, tzinfo=HERE)
    sums = (burns.batches, burns.days, burns.char_t, burns.char_m3, burns.buckets, burns.bags, burns.quench_l)
    assert [total.likely if total else None for total in sums] == pytest.approx([3, 3, 0.6, 4.0, 200, 6, 1402.5])
    assert burns.reserve_l is not None
    assert burns.reserve_l.likely == pytest.approx(467.5)
    assert burns.unknowns == ()


def test_published_small_kiln_keeps_the_least_reserve() -> None:
    """House rule: at least 400 L of escape water."""
    burns = one_box(length_m=1.0, height_m=0.5)
    assert burns.reserve_l is not None
    assert burns.reserve_l.likely == 400


def test_law_batches_are_whole_in_every_draw_and_likely_is_the_formula() -> None:
    stock = Stock("p1", "P1", None, Drawn(draw(3.0, 2.0, 4.5, about="p1", quantity="test")), 10.0, (), 0.20)
    burns = burns_of((spot("s1", kiln="k1", serves=["p1"]),), (kiln(BOX),), (stock,), CREW, LONG_DAY)
    run = only(burns)
    assert np.array_equal(run.batches.values, np.round(run.batches.values))
    assert run.batches.low < run.batches.likely < run.batches.high
    assert run.batches.likely == np.ceil(3.0 / 1.275)


def test_law_more_stock_never_means_fewer_batches() -> None:
    counts = [only(one_box(tonnes)).batches.likely for tonnes in (0, 1, 1.2, 1.3, 5, 20)]
    assert counts == sorted(counts)
    assert counts[0] == 0


def test_law_editing_one_kiln_leaves_the_other_alone() -> None:
    places = (spot("s1", kiln="k1", serves=["p1"]), spot("s2", kiln="k2", serves=["p2"]))
    heaps = (heap("p1", 3), heap("p2", 1))
    before = burns_of(places, (kiln(BOX), kiln(RING)), heaps, CREW, None)
    after = burns_of(places, (kiln(BOX, height_m=0.5), kiln(RING)), heaps, CREW, None)
    assert np.array_equal(before.kilns[1].quench_l_per_batch.values, after.kilns[1].quench_l_per_batch.values)
    assert before.kilns[0].batches.likely < after.kilns[0].batches.likely


def test_law_errors_of_the_trade_are_common_to_all_kilns() -> None:
    """Two like kilns share yield and density: their feeds move together, draw by draw."""
    places = (spot("s1", kiln="k1", serves=["p1"]), spot("s2", kiln="k9", serves=["p2"]))
    burns = burns_of(places, (kiln(BOX), kiln(BOX, id="k9")), (heap("p1", 3), heap("p2", 3)), CREW, None)
    assert np.array_equal(burns.kilns[0].feed_dry_t_per_batch.values, burns.kilns[1].feed_dry_t_per_batch.values)


def test_law_the_smaller_of_area_and_hands_and_a_measured_rate_wins() -> None:
    assert only(one_box()).feed_dry_t_per_h.likely == pytest.approx(0.120)
    assert only(one_box(crew=CrewFacts(4, 1, 1))).feed_dry_t_per_h.likely == pytest.approx(0.100)
    assert only(one_box(machine_feed_kg_h=90.0)).feed_dry_t_per_h.likely == pytest.approx(0.090)
    measured = only(one_box(feed_kg_h=150.0)).feed_dry_t_per_h
    assert measured.triple() == pytest.approx((0.150, 0.150, 0.150))


def test_law_people_at_the_spot_before_the_kilns_before_the_crews() -> None:
    place = spot("s1", kiln="k1", serves=["p1"], feeders=1)
    burns = burns_of((place,), (kiln(BOX, feeders=5),), (heap("p1", 3),), CREW, None)
    assert only(burns).feed_dry_t_per_h.likely == pytest.approx(0.100)


def test_law_a_dripping_bin_leaks_only_where_water_stands_in_it() -> None:
    """10 L/min over the hour from water to no steam (common practice, no source)."""
    flooded = {"kiln": "k1", "serves": ["p1"], "quench_method": "flooded"}
    stock = (heap("p1", 3),)
    tight = only(burns_of((spot("s1", **flooded),), (kiln(BOX),), stock, CREW, None))
    drips = only(burns_of((spot("s1", **flooded),), (kiln(BOX, holds_water="drips"),), stock, CREW, None))
    typed = only(burns_of((spot("s1", **flooded),), (kiln(BOX, leaks_l_min=2.0),), stock, CREW, None))
    assert drips.quench_l_per_batch.likely - tight.quench_l_per_batch.likely == pytest.approx(600)
    assert typed.quench_l_per_batch.likely - tight.quench_l_per_batch.likely == pytest.approx(120)
    assert only(one_box(holds_water="drips")).quench_l_per_batch.likely == pytest.approx(467.5)


def test_law_a_kiln_without_floor_cannot_be_flooded() -> None:
    place = spot("s1", kiln="k2", serves=["p1"], quench_method="flooded")
    for changes in ({"holds_water": "no_floor"}, {"has_floor": False}, {}):
        burns = burns_of((place,), (kiln(RING, **changes),), (heap("p1", 3),), CREW, None)
        assert burns.kilns == ()  # refused, not swapped for another way
        assert "cannot_flood" in {note.what for note in burns.unknowns}
    floored = only(burns_of((place,), (kiln(RING, has_floor=True),), (heap("p1", 3),), CREW, None))
    assert floored.method == "flooded"
    assert floored.flood_l is not None


def test_law_a_floor_said_both_ways_is_taken_as_none() -> None:
    burns = one_box(has_floor=False, holds_water="yes")
    assert only(burns).flood_l is None
    assert "floor_contradiction" in words(burns)


def test_law_a_heap_of_two_kilns_is_shared_by_what_they_burn() -> None:
    """Box 120 kg/h and a box half as wide, 60 kg/h: two thirds and one third."""
    places = (spot("s1", kiln="k1", serves=["p1"]), spot("s2", kiln="k3", serves=["p1"]))
    burns = burns_of(places, (kiln(BOX), kiln(BOX, id="k3", width_m=0.5)), (heap("p1", 9),), CREW, None)
    assert [run.char_stock_dry_t.likely for run in burns.kilns] == pytest.approx([6, 3])
    assert burns.char_t is not None
    assert burns.char_t.likely == pytest.approx(1.8)
    measured = kiln(BOX, id="k3", feed_kg_h=60.0)  # its rate is one number, that of the other has a range
    burns = burns_of(places, (kiln(BOX), measured), (heap("p1", 9),), CREW, None)
    assert [run.char_stock_dry_t.likely for run in burns.kilns] == pytest.approx([6, 3])


def test_law_a_heap_nobody_named_goes_to_the_nearest() -> None:
    #  p1 ·        (−300 m)
    #  s1 ×  −120.00°, s2 ×  −119.99° (about 802 m east)
    places = (spot("s1", -120.0, kiln="k1"), spot("s2", -119.99, kiln="k1"))
    heaps = (heap("p1", 1, xy=(-300.0, 0.0)), heap("p2", 1, xy=(700.0, 10.0)), heap("p3", 1))
    burns = burns_of(places, (kiln(BOX, count=2),), heaps, CREW, None, PLANE)
    assert [run.heaps for run in burns.kilns] == [("p1",), ("p2",)]
    assert {(note.about, note.what) for note in burns.assumed} >= {("p1", "nearest_kiln"), ("p2", "nearest_kiln")}
    assert ("p3", "heap_without_kiln") in {(note.about, note.what) for note in burns.unknowns}


def test_law_ten_alike_at_one_place_burn_at_once() -> None:
    """Ten of a kiln, ten crews to rake: ten batches a day."""
    crew = CrewFacts(adults=30, rakers=10, feeders=2)
    burns = one_box(25.0, crew=crew, count=10)
    assert (only(burns).units, only(burns).batches_per_day) == (10, 10)
    assert only(burns).batches.likely == 20  # 25 / 1.275 = 19.6
    assert burns.days is not None
    assert burns.days.likely == 2


def test_law_one_kiln_at_two_places_works_them_in_turn() -> None:
    places = (spot("s1", kiln="k1", serves=["p1"]), spot("s2", kiln="Box", serves=["p2"]))
    burns = burns_of(places, (kiln(BOX),), (heap("p1", 2.5), heap("p2", 3.8)), CREW, LONG_DAY)
    assert burns.days is not None
    assert [run.batches.likely for run in burns.kilns] == [2, 3]
    assert burns.days.likely == 5
    assert "kiln_moved" in words(burns)


def test_law_days_are_those_of_the_slowest_kiln() -> None:
    places = (spot("s1", kiln="k1", serves=["p1"]), spot("s2", kiln="k3", serves=["p2"]))
    crew = CrewFacts(adults=6, rakers=2, feeders=2)
    burns = burns_of(places, (kiln(BOX), kiln(BOX, id="k3")), (heap("p1", 2.5), heap("p2", 6.3)), crew, LONG_DAY)
    assert burns.days is not None
    assert [run.days.likely if run.days else None for run in burns.kilns] == [2, 5]
    assert burns.days.likely == 5


def test_law_no_batch_fits_a_short_day_and_the_rest_is_still_told() -> None:
    burns = one_box(day=SHORT_DAY)
    run = only(burns)
    assert (run.clock, run.batches_per_day, burns.days) == (None, None, None)
    assert run.batches.likely == 3
    (note,) = [note for note in burns.unknowns if note.what == "no_batch_fits"]
    assert "10.7 h" in note.told()  # 10.625, and what is needed rounds up
    assert "4 h" in note.told()  # 09:30–14:30 less an hour to rake


def test_law_a_kiln_left_without_rakers_is_told_so() -> None:
    """Four boxes of 10.6 h in 13 h and an hour, one crew: the third is lit at 05:52, a fourth an hour too early."""
    places = tuple(spot(f"s{n}", kiln=f"k{n}", serves=["p1"], quench_method="raked_and_sprayed") for n in (1, 3, 4, 5))
    boxes = tuple(kiln(BOX, id=f"k{n}") for n in (1, 3, 4, 5))
    burns = burns_of(places, boxes, (heap("p1", 9),), CREW, LONG_DAY)
    assert [run.batches_per_day for run in burns.kilns] == [1, 1, 1, None]
    (note,) = [note for note in burns.unknowns if note.what == "no_batch_fits"]
    assert "more crews that rake" in note.told()


def test_law_what_is_the_kilns_own_fault_is_said_once() -> None:
    places = tuple(spot(f"s{n}", kiln="k1", serves=[f"p{n}"]) for n in (1, 2, 3))
    heaps = tuple(heap(f"p{n}", 3) for n in (1, 2, 3))
    burns = burns_of(places, (kiln(BOX),), heaps, CREW, SHORT_DAY)
    (note,) = [note for note in burns.unknowns if note.what == "no_batch_fits"]
    assert (note.about, note.told()[:18]) == ("k1", "Box (S1, S2 and S3")
    (moved,) = [note for note in burns.assumed if note.what == "kiln_moved"]
    assert "there is only 1:" in moved.told()
    thin = burns_of(places, (kiln(BOX),), (heap("p1", 3, 4.0), *heaps[1:]), CREW, SHORT_DAY)
    assert len([note for note in thin.unknowns if note.what == "no_batch_fits"]) == 1  # feeding outlasts the soak


@pytest.mark.parametrize("system", ["metric", "us"])
def test_law_sentences_follow_the_units_of_the_site(system: str) -> None:
    """House rule: what a person reads is in the units of the site; the figures stay metric."""
    bare = {"steel_mass_kg": None, "piece_limit_cm": None, "holds_water": None, "feeders": None}
    crew = CrewFacts(1, 0, None)
    places = (spot("s1", kiln="k1", serves=["p1"]), spot("s2", kiln="k2", serves=["p2"], quench_method="flooded"))
    small = kiln(BOX, id="k3", name="Trough", width_m=0.05)
    places = (*places, spot("s3", kiln="k3", serves=["p3"]), spot("s4", kiln="gone"))
    heaps = (heap("p1", 3, None), heap("p2", 1, 20.0), heap("p3", 1), heap("p4", 1, xy=(0.0, 0.0)))
    burns = burns_of(places, (kiln(BOX, **bare), kiln(RING), small), heaps, crew, SHORT_DAY)
    notes = {note.what: note.told(system) for note in (*burns.assumed, *burns.unknowns)}
    figures = {
        "metric": ("15 cm", "20 cm", "3 mm", "10 L/min", "10 m", "5 cm"),
        "us": ("5.9 in", "7.9 in", "0.12 in", "2.6 US gal/min", "33 ft", "2 in"),
    }[system]
    whats = ("thickest_piece", "oversize_pieces", "plate_thickness", "leak", "feeders", "kiln_smaller_than_piece")
    for what, figure in zip(whats, figures, strict=True):
        assert figure in notes[what]
    other = r"\d (ft|in|US gal)\b" if system == "metric" else r"\d (m|cm|mm|L)\b"
    for text in notes.values():
        assert not re.search(other, text), text
        assert text[0].isupper()
        assert text.endswith(".")
        assert not re.search(r"(?<!kiln )\bspot\b|\bsafe\b|\bstop\b", text), text


def test_law_a_day_that_fits_only_if_all_goes_well_says_so() -> None:
    assert "day_is_tight" in words(one_box())  # 10.6 of 13 h, and the slow end is longer
    assert "day_is_tight" not in words(one_box(feed_kg_h=1000.0, height_m=0.2))


def test_law_polar_days_say_so() -> None:
    dark = one_box(day=DayTimes("no_sunrise"))
    assert {"no_sunrise", "no_batch_fits"} <= words(dark)
    light = one_box(day=DayTimes("no_sunset"))
    assert "no_sunset" in words(light)
    assert only(light).clock is None
    assert only(light).days is not None
    hours = DayTimes("no_sunset", None, None, LONG_DAY.sunrise, LONG_DAY.sunset)
    assert only(one_box(day=hours)).clock is not None


def test_law_without_a_day_one_batch_a_day_is_taken_and_said() -> None:
    burns = one_box(day=None)
    assert burns.days is not None
    assert (burns.days.likely, only(burns).clock) == (3, None)
    assert "one_batch_a_day" in words(burns)


@pytest.mark.parametrize(
    ("crew", "what"),
    [
        (CrewFacts(1, 1, 2), "too_few_adults"),
        (CrewFacts(None, 1, 2), "adults_not_known"),
        (CrewFacts(4, 0, 2), "nobody_rakes"),
    ],
)
def test_law_too_few_hands_are_said(crew: CrewFacts, what: str) -> None:
    """House rule: fewer than two adults, do not light."""
    assert what in {note.what for note in one_box(crew=crew).unknowns}


@pytest.mark.parametrize(
    ("changes", "what", "word"),
    [
        ({"shape": None}, "kiln_size_not_known", "shape"),
        ({"height_m": None}, "kiln_size_not_known", "depth"),
        ({"length_m": -2.0}, "kiln_size_not_known", "length"),
        ({"width_m": 0.05}, "kiln_smaller_than_piece", "5 cm"),
    ],
)
def test_refuses_to_guess_a_kiln(changes: dict[str, Any], what: str, word: str) -> None:
    """One sentence, and the other kiln still works."""
    places = (spot("s1", kiln="k1", serves=["p1"]), spot("s2", kiln="k2", serves=["p2"]))
    burns = burns_of(places, (kiln(BOX, **changes), kiln(RING)), (heap("p1", 3), heap("p2", 1)), CREW, LONG_DAY)
    (note,) = [note for note in burns.unknowns if note.what == what]
    assert word in note.told()
    assert [run.id for run in burns.kilns] == ["k2"]
    assert burns.char_t is not None
    assert burns.char_t.likely == pytest.approx(0.2)


def test_refuses_a_spot_without_a_kiln_and_names_the_heap_left() -> None:
    places = (spot("s1", serves=["p1"]), spot("s2", kiln="gone"), spot("s3", kiln="k2", serves=["p2"]))
    burns = burns_of(places, (kiln(RING),), (heap("p1", 3), heap("p2", 1)), CREW, None)
    said = {(note.about, note.what) for note in burns.unknowns}
    assert {("s1", "kiln_not_known"), ("s2", "kiln_not_known"), ("p1", "heap_without_kiln")} <= said
    assert [run.spot for run in burns.kilns] == ["s3"]


def test_refuses_sums_without_any_kiln() -> None:
    burns = burns_of((), (), (heap("p1", 3),), CREW, LONG_DAY)
    assert (burns.batches, burns.quench_l, burns.reserve_l, burns.kilns) == (None, None, None, ())
    assert {"no_kiln_spot", "heap_without_kiln"} <= words(burns)


def test_refuses_feeding_by_nobody() -> None:
    burns = one_box(crew=CrewFacts(4, 1, 0))
    assert burns.kilns == ()
    assert "nobody_feeds" in words(burns)


def test_law_thick_pieces_and_blanks_are_said() -> None:
    burns = one_box(thickest=20.0)
    (note,) = [note for note in burns.assumed if note.what == "oversize_pieces"]
    assert "20 cm" in note.told()
    assert only(burns).thickest_cm == 10
    assert "thickest_piece" in words(one_box(thickest=None))
    both = (heap("p1", 3, 20.0), heap("p2", 3, None))  # of one of them nobody said: then of neither is it taken
    burns = burns_of((spot("s1", kiln="k1", serves=["p1", "p2"]),), (kiln(BOX),), both, CREW, None)
    assert {"thickest_piece"} <= words(burns)
    blank = one_box(steel_mass_kg=None, piece_limit_cm=None, holds_water=None)
    assert {"plate_thickness", "piece_limit", "leak"} <= words(blank)
    # box 2 × 1 × 1 m: 6 m² of walls and 2 m² of floor, 3 mm at 7850 kg/m³
    assert only(blank).steel_kg == pytest.approx(8 * 0.003 * 7850)


def test_law_the_same_question_has_the_same_answer() -> None:
    place, box, stock = (spot("s1", kiln="k1", serves=["p1"]),), (kiln(BOX),), (heap("p1", 3),)
    assert burns_of(place, box, stock, CREW, LONG_DAY) is burns_of(place, box, stock, CREW, LONG_DAY)
