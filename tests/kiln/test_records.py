"""What the records of the field say of our defaults: each published record falls inside the range of its row."""

from __future__ import annotations

import datetime as dt
from typing import Any

import pytest

from sitemap import tables
from sitemap.errors import BadValue
from sitemap.kiln import wetness
from sitemap.kiln.of_site import burns_of
from sitemap.kiln.values import Burns, DayTimes, KilnRun, Stock
from sitemap.ranges import Drawn
from sitemap.site.model import Feature
from sitemap.slash.reading import wettest
from tests.kiln.test_of_site import BOX, CREW, HERE, LONG_DAY, RING, heap, kiln, only, spot


@pytest.mark.parametrize(
    ("table", "key", "records"),
    [
        # SOURCES section 3 (D from field records, none published): gross, from lighting to water
        ("kiln_burning", "feed_per_area", (54.0, 71.0)),
        # a cone 0.89; bins and pans 0.66–0.84 (SOURCES section 3, D)
        ("kiln_burning", "fill_fraction", (0.89, 0.66, 0.84)),
        # Cornelissen et al. 2016, PLOS ONE e0154617 (P): 22 % of dry feed
        ("kiln_burning", "char_yield", (0.22,)),
        # EN 1860 (S): barbecue charcoal more than 130 kg/m³
        ("kiln_burning", "char_density", (130.0,)),
        # bins that were not raked, 400–800 L/m³ (field records, C)
        ("quench", "unraked_or_machine_bin", (400.0, 800.0)),
        # voids and pores filled (SOURCES section 4, D)
        ("quench", "flooded", (870.0, 920.0)),
    ],
)
def test_published_records_fall_inside_the_ranges(table: str, key: str, records: tuple[float, ...]) -> None:
    row = tables.load(table)[key]
    assert row["low"] <= row["value"] <= row["high"]
    assert [record for record in records if not row["low"] <= record <= row["high"]] == []


def test_published_records_of_raked_quenches_do_not_pass_the_plan() -> None:
    """226–275 L/m³ in field records (SOURCES section 4, C); the plan stands at their upper end."""
    row = tables.load("quench")["raked_and_sprayed"]
    assert row["value"] >= 275 >= row["low"]


def test_published_a_large_box_fed_by_machine_is_filled_twice_a_june_day() -> None:
    """Large boxes are filled twice a day (SOURCES section 3, C): 6 × 2.4 × 1.5 m, light 04:30–20:30."""
    box = kiln(BOX, length_m=6.0, width_m=2.4, height_m=1.5, fill_fraction=None, machine_feed_kg_h=4000.0)
    place = spot("s1", kiln="k1", serves=["p1"], quench_method="unraked_or_machine_bin")
    run = only(burns_of((place,), (box,), (heap("p1", 100.0),), CREW, LONG_DAY))
    assert run.batches_per_day == 2
    june = dt.date(2026, 6, 21)
    light = [dt.datetime.combine(june, dt.time(hour, 30), HERE) for hour in (5, 20)]
    assert only(burns_of((place,), (box,), (heap("p1", 100.0),), CREW, DayTimes("normal", *light))).clocks


def burned(moisture: float | None, **values: str) -> KilnRun:
    stock = Stock("p1", "P1", None, Drawn.exact(3.0), 10.0, (), moisture)
    said = {"quench_method": "raked_and_sprayed", **values}
    return only(burns_of((spot("s1", kiln="k1", serves=["p1"], **said),), (kiln(BOX),), (stock,), CREW, LONG_DAY))


def test_published_wet_wood_by_hand() -> None:
    """Wood at 50 % of dry weight, 0.30 above the usual 0.20: 10.625 h × 1.3, 467.5 L × 1.15, yield 0.20 − 0.026.

    Sizes are common practice, no source; the loss of char is the energy balance (D): 2.6 MJ boil a kg, 30 MJ burn one.
    """
    dry, wet = burned(0.20), burned(0.50)
    assert wet.hours_per_batch.likely == pytest.approx(10.625 * 1.3)
    assert wet.quench_l_per_batch.likely == pytest.approx(467.5 * 1.15)
    assert wet.feed_dry_t_per_batch.likely == pytest.approx(0.255 / 0.174)
    assert wet.char_t.likely == pytest.approx(3 * 0.174)
    assert wet.batches.likely == dry.batches.likely


def test_law_what_is_judged_of_raking_machines_and_wet_wood_has_a_range_and_says_so() -> None:
    """No record is known of these: each row says so, has a wide range, and wet wood widens hours and quench."""
    rows = (("quench", "raking"), ("kiln_burning", "wet_slower"), ("kiln_burning", "wet_more_water"))
    for table, key in (*rows, ("kiln_burning", "feed_per_area_by_machine"), ("kiln_burning", "feed_per_person")):
        row = tables.load(table)[key]
        assert row["low"] < row["value"] < row["high"], key
        assert row.evidence in ("C", "D"), key
        assert "no source" in row.source, key
    dry, wet = burned(0.20), burned(0.80)
    for name in ("hours_per_batch", "quench_l_per_batch"):
        spread = [(getattr(run, name).high - getattr(run, name).low) / getattr(run, name).likely for run in (dry, wet)]
        assert spread[0] < spread[1], name


def test_law_wetter_wood_never_helps_and_unknown_is_not_the_usual() -> None:
    runs = [burned(moisture) for moisture in (0.05, 0.20, 0.30, 0.60, 1.2)]
    for figure in ("hours_per_batch", "quench_l_per_batch", "feed_dry_t_per_batch", "batches"):
        amounts = [getattr(run, figure).likely for run in runs]
        assert amounts == sorted(amounts)
        assert amounts[0] == amounts[1]  # nothing is gained by drier wood
        assert getattr(burned(None), figure).likely == amounts[2]
    assert wetness.yield_left(0.20, 2.5) == pytest.approx(0.04)


def test_law_the_wettest_reading_counts_and_a_share_of_nothing_said_is_of_the_wet_weight() -> None:
    """By hand: 20 % of the wet weight is 25 % of the dry; of 30 % and 40 % of dry weight the latter."""
    readings = [{"moisture_pct": pct, "basis": "dry", "wood_c": 21.1} for pct in (30, 40)]
    pile = Feature.of("p", None, {"kind": "pile", "moisture_pct": 20})
    assert wettest(pile) == pytest.approx(0.25)
    assert wettest(pile.with_values(readings=readings)) == pytest.approx(0.40)
    assert wettest(pile.with_values(moisture_basis="dry")) == pytest.approx(0.20)
    assert wettest(pile.with_values(moisture_pct=None)) is None


def test_law_a_blank_method_is_the_wettest_the_kiln_allows() -> None:
    """With a floor flooded, without one sprayed and not raked; never less water than any way somebody could choose."""
    for values, ways in (
        (BOX, ("raked_and_sprayed", "unraked_or_machine_bin", "flooded")),
        (RING, ("raked_and_sprayed",)),
    ):
        item, stock = kiln(values), (heap("p1", 3.0),)

        def run(item: object = item, stock: object = stock, **said: str) -> KilnRun:
            place = spot("s1", kiln=item.id, serves=["p1"], **said)  # type: ignore[attr-defined]
            return only(burns_of((place,), (item,), stock, CREW, None))  # type: ignore[arg-type]

        blank = run()
        assert not blank.method_known
        for way in ways:
            assert run(quench_method=way).method_known
            assert blank.quench_l_per_batch.likely >= run(quench_method=way).quench_l_per_batch.likely


def test_law_no_assumed_drip_on_a_figure_measured_in_dripping_bins() -> None:
    """600 L/m³ (field records of bins) × 1.7 m³; a leak that was measured is added, an assumed one is not."""
    stock, place = (heap("p1", 3.0),), spot("s1", kiln="k1", serves=["p1"], quench_method="unraked_or_machine_bin")

    def litres(**changes: object) -> float:
        return only(burns_of((place,), (kiln(BOX, **changes),), stock, CREW, None)).quench_l_per_batch.likely

    assert litres(holds_water="drips") == litres(holds_water=None) == pytest.approx(1020.0)
    assert litres(holds_water="drips", leaks_l_min=4.0) == pytest.approx(1020.0 + 240.0)


def test_law_half_a_cubic_metre_is_not_raked_in_two_minutes() -> None:
    """1.5 m³ an hour each (C), two people: 0.5 m³ in 10 min; a batch that takes longer than the hour is out later."""
    small = only(
        burns_of(
            (spot("s1", kiln="k1", serves=["p1"], quench_method="raked_and_sprayed"),),
            (kiln(BOX, height_m=0.25, fill_fraction=1.0),),
            (heap("p1", 3.0),),
            CREW,
            LONG_DAY,
        )
    )
    assert small.rake_min.likely == pytest.approx(10.0)
    large = only(
        burns_of(
            (spot("s1", kiln="k1", serves=["p1"], quench_method="raked_and_sprayed"),),
            (kiln(BOX, length_m=4.0, feed_kg_h=1000.0),),
            (heap("p1", 3.0),),
            CREW,
            LONG_DAY,
        )
    )
    assert large.clock is not None
    assert large.rake_min.likely == pytest.approx(68.0)
    assert large.clock.no_steam_by - large.clock.water_on == dt.timedelta(minutes=68)


def test_refuses_a_yield_no_open_kiln_reaches() -> None:
    with pytest.raises(BadValue, match="Char yield"):
        wetness.yield_left(0.52, 0.3)


def test_law_a_kiln_that_may_not_burn_takes_no_hour_from_the_others() -> None:
    """One crew rakes one bin after the other: with the other barred a kiln works as if alone, and the barred one
    shows the hours of a day on which both burn."""
    places = (spot("s1", kiln="k1", serves=["p1"]), spot("s2", kiln="k3", serves=["p2"]))
    boxes, heaps = (kiln(BOX), kiln(BOX, id="k3")), (heap("p1", 9.0), heap("p2", 9.0))

    def clocks(burns: Burns) -> dict[str, Any]:
        return {run.spot: run.clocks for run in burns.kilns}

    both = clocks(burns_of(places, boxes, heaps, CREW, LONG_DAY))
    alone = clocks(burns_of(places[:1], boxes, heaps, CREW, LONG_DAY)) | clocks(
        burns_of(places[1:], boxes, heaps, CREW, LONG_DAY)
    )
    waits = next(key for key in both if both[key] != alone[key])
    (other,) = both.keys() - {waits}
    held = clocks(burns_of(places, boxes, heaps, CREW, LONG_DAY, barred=frozenset({other})))
    assert held == {waits: alone[waits], other: both[other]}
