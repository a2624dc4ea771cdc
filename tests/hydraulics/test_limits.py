"""Limits of pumps, taps, lays and hauls, tried before, on and behind; and figures worked by hand."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import numpy as np
import pytest

from sitemap.errors import BadValue
from sitemap.hydraulics import friction, laying, nozzle, pump, shuttle, storage, suction, supply
from sitemap.hydraulics.profile import (
    Along,
    cut,
    fill_l,
    height_at,
    highest_m,
    joined,
    misfits,
    pressure_along,
    primes,
    tilted,
    worst,
)
from sitemap.hydraulics.steady_flow import HoseLine, HoseRun, head_margin_m, steady_flow_l_min
from sitemap.telling import tell

LEVEL = ((0.0, 0.0), (100.0, 0.0))


@pytest.mark.parametrize(
    ("slope", "limit", "side", "side_limit", "word"),
    [
        (20.0, None, 0.0, None, "fine"),
        (20.1, None, 0.0, None, "warn"),
        (-20.1, None, 0.0, None, "warn"),
        (30.0, None, 0.0, None, "warn"),
        (30.1, None, 0.0, None, "stop"),
        (-30.1, None, 0.0, None, "stop"),
        (0.0, None, 10.0, None, "fine"),
        (0.0, None, 10.1, None, "stop"),
        (0.0, None, -10.1, None, "stop"),
        (35.0, 35.0, 0.0, None, "warn"),
        (35.1, 35.0, 0.0, None, "stop"),
        (15.0, 15.0, 0.0, None, "fine"),
        (15.1, 15.0, 0.0, None, "stop"),
        (0.0, None, 12.0, 12.0, "fine"),
        (0.0, None, 12.1, 12.0, "stop"),
        (0.0, None, 8.1, 8.0, "stop"),
    ],
)
def test_law_a_loaded_machine_stops_above_its_slope(
    slope: float, limit: float | None, side: float, side_limit: float | None, word: str
) -> None:
    """FIELD: 20 % warns, 30 % stops, 10 % across stops (C); what its manual says wins."""
    assert shuttle.slope_word(slope, limit, side, side_limit) == word


def test_law_a_slope_nobody_knows_is_not_fine() -> None:
    for slope, side in ((float("nan"), 0.0), (0.0, float("nan"))):
        with pytest.raises(BadValue):
            shuttle.slope_word(slope, side_pct=side)


@pytest.mark.parametrize(
    ("litres", "load", "trips"), [(0, 100, 0), (1, 100, 1), (100, 100, 1), (100.1, 100, 2), (0.3, 0.1, 3)]
)
def test_law_trips_are_whole(litres: float, load: float, trips: int) -> None:
    assert shuttle.loads_needed(litres, load) == trips


def test_published_haul_worked_by_hand() -> None:
    """300 m at 3 km/h out is 6 min, at 6 km/h back 3 min, 2 min to load and 1 to dump: 12 min a trip. Of 200 L struck
    0.9 are filled and 0.1 spilled: 162 L. Two carriers in a 50-minute hour bring 22.5 L/min."""
    cycle = shuttle.cycle_min(300.0, 3.0, 6.0, 2.0, 1.0)
    assert cycle == pytest.approx(12.0)
    assert shuttle.first_load_min(300.0, 3.0, 2.0) == pytest.approx(8.0)
    assert shuttle.load_l(200.0, 0.9, 0.1) == pytest.approx(162.0)
    assert shuttle.haul_flow_l_min(162.0, cycle, carriers=2) == pytest.approx(22.5)


@pytest.mark.parametrize(
    ("way_m", "pieces"), [(0.0, 0), (18.18, 1), (18.19, 2), (36.36, 2), (36.37, 3), (float("nan"), 3)]
)
def test_law_a_whole_hose_is_taken_from_a_millimetre_on(way_m: float, pieces: int) -> None:
    """20 m of hose and 10 % of slack (C) reach 18.18 m; one more than there are is out of reach."""
    hoses = [laying.Piece(20.0, 38.1)] * 2
    assert laying.pieces_needed(way_m, hoses) == pieces
    laid = laying.laid_by_run(way_m, hoses)[0][1]
    assert np.isnan(laid) if pieces == 3 else laid == 20.0 * pieces


@pytest.mark.parametrize("unlike", [{"bore_mm": 50.8}, {"roughness_c": 120.0}, {"kind": "b"}])
def test_law_hoses_that_differ_in_what_they_lose_make_two_runs(unlike: dict[str, object]) -> None:
    one = laying.Piece(20.0, 38.1, 140.0, "a")
    assert len(laying.laid_by_run(30.0, [one, replace(one, length_m=15.0)])) == 1
    assert len(laying.laid_by_run(30.0, [one, replace(one, **unlike)])) == 2


@pytest.mark.parametrize(
    ("on", "said", "first", "last", "usable"),
    [
        (15, None, 15, 20, True),
        (20, None, 15, 20, True),
        (14, None, 15, 20, False),
        (21, True, 15, 20, False),
        (17, False, 15, 20, False),
        (17, None, 15, None, None),
        (17, None, None, 20, None),
        (17, True, 15, None, True),
        (14, True, 15, None, False),
        (21, True, None, 20, False),
        (17, None, None, None, None),
        (None, True, 15, 20, None),
        (None, False, None, None, False),
    ],
)
def test_law_a_source_serves_between_its_days(
    on: int | None, said: bool | None, first: int | None, last: int | None, usable: bool | None
) -> None:
    day, begins, ends = (None if each is None else dt.date(2026, 6, each) for each in (on, first, last))
    assert storage.usable_on(day, said, begins, ends) is usable


def test_law_days_turned_round_are_refused_and_one_day_alone_is_not() -> None:
    day = dt.date(2026, 6, 15)
    assert storage.usable_on(day, None, day, day) is True
    with pytest.raises(BadValue):
        storage.usable_on(day, None, day, day - dt.timedelta(days=1))


@pytest.mark.parametrize(
    ("fails", "figures"),
    [
        (lambda: supply.tap(345.678, None, 345.679, 50.0), ("345.678 kPa", "345.679 kPa")),
        (lambda: storage.dug_pond_l(20.1234, 10.1234, 5.11234, 1.0), ("10.2247 m", "10.1234 m")),
        (lambda: storage.box_l(1.0, 1.0, 0.512345, 0.612345), ("0.512345 m", "0.612345 m")),
        (lambda: nozzle.fits_hose(38.1234, 38.1), ("38.1234 mm", "38.1 mm")),
        (
            lambda: pump.curve_pump(((100.123, 30.1234), (200.123, 31.1234))),
            ("100.123 L/min", "200.123 L/min", "30.1234 m", "31.1234 m"),
        ),
    ],
)
def test_law_what_is_refused_is_told_as_it_was_typed(fails: object, figures: tuple[str, ...]) -> None:
    with pytest.raises(BadValue) as caught:
        fails()
    assert all(figure in str(caught.value) for figure in figures), str(caught.value)


def test_law_the_narrow_side_of_a_dug_pond_decides_and_sides_may_just_meet() -> None:
    """20 × 10 m, 1:1 sides: at 5 m they meet. A wedge: prismoidal d/6·(A + 4·M + 0) = 5/6·(200 + 4·75) m³."""
    for length, width in ((20.0, 10.0), (10.0, 20.0)):
        assert storage.dug_pond_l(length, width, 5.0, 1.0) == pytest.approx(5 / 6 * 500 * 1000)
        with pytest.raises(BadValue):
            storage.dug_pond_l(length, width, 5.01, 1.0)


@pytest.mark.parametrize(
    ("points", "straight"),
    [
        (((0.0, 30.0), (100.0, 20.0), (200.0, 0.0)), False),
        (((10.0, 30.0), (100.0, 20.0), (200.0, 0.0)), True),
        (((0.0, 30.0), (200.0, 0.0)), True),
        (((0.0, 30.0), (50.0, 28.0), (100.0, 20.0), (200.0, 0.0)), True),
        (((0.0, 30.0), (0.05, 29.0), (200.0, 0.0)), True),
        (((0.0, 30.0), (199.0, 29.9), (200.0, 0.0)), True),
    ],
)
def test_law_three_points_from_no_flow_are_bent_and_others_are_joined_straight(
    points: tuple[tuple[float, float], ...], straight: bool
) -> None:
    """EPANET 2.2, three-point pump curve (P); each curve runs through all of its points."""
    made = pump.curve_pump(points)
    assert bool(made.table) == straight
    assert [float(made.head_m(flow)) for flow, _ in points] == pytest.approx([head for _, head in points], abs=1e-6)
    assert made.most_flow_l_min == pytest.approx(points[-1][0])
    assert made.most_head_m == pytest.approx(points[0][1])


@pytest.mark.parametrize("points", [((0.0, 30.0),), ((0.0, 30.0), (0.0, 20.0)), ((0.0, 30.0), (10.0, 30.0)), ()])
def test_refuses_a_curve_that_is_none(points: tuple[tuple[float, float], ...]) -> None:
    with pytest.raises(BadValue):
        pump.curve_pump(points)


@pytest.mark.parametrize(
    ("given", "most_l_min"),
    [
        ((300.0,), 15.0),
        ((300.0, 40.0), 40.0),
        ((300.0, None, 150.0), 15.0),
        ((300.0, None, None, 50.0), 15.0),
        ((300.0, 1000.0, 150.0, 50.0), 50.0 * 2 ** (1 / 1.852)),
        ((300.0, None, 150.0, 50.0), 50.0 * 2 ** (1 / 1.852)),
        ((300.0, 20.0, 150.0, 50.0), 20.0),
    ],
)
def test_law_a_tap_gives_what_is_known_of_it_or_what_any_tap_gives(given: tuple[float, ...], most_l_min: float) -> None:
    """A flow test: at half the pressure left it runs 50 L/min, so with none left 50 · 2^0.54 (NFPA 291; M)."""
    assert supply.tap(*given).most_flow_l_min == pytest.approx(most_l_min)


def test_law_a_cap_above_what_comes_changes_nothing() -> None:
    made = pump.plate_pump(60.0, 500.0)
    assert made.capped(500.0) is made.capped(501.0) is made
    lower = made.capped(499.0, "suction")
    assert (lower.most_flow_l_min, lower.held_by, made.held_by) == (499.0, "suction", "yield")
    with pytest.raises(BadValue):
        made.capped(0.0)


def test_law_beyond_what_it_can_yield_nothing_is_left() -> None:
    line = HoseLine(pump.plate_pump(60.0, 500.0).capped(100.0), [HoseRun(38.1, 30.0)], nozzle.bore_factor(25.0))
    at, beyond = head_margin_m(line, np.array([100.0, 100.001]), 0.0)
    assert at > 0
    assert beyond == -np.inf
    assert steady_flow_l_min(line, 0.0) == pytest.approx(100.0)


def along(lowest: float, intake: float | None = None, at_m: float = 40.0) -> Along:
    flat = np.zeros(2)
    return Along(flat, flat, flat, lowest, at_m, 0.0, None, None, intake)


@pytest.mark.parametrize(
    ("found", "told"),
    [
        (along(0.0), None),
        (along(-1e-7), None),
        (along(-0.1), "40 m along"),
        (along(5.0, 0.1), None),
        (along(5.0, 0.0), ""),
        (along(5.0, -12.3), "12 kPa"),
        (along(-5.0, -12.3), "12 kPa"),
    ],
)
def test_law_a_line_that_draws_air_is_a_fault_from_nothing_on(found: Along, told: str | None) -> None:
    fault = found.fault()
    assert (fault is None) == (told is None)
    assert fault is None or (told or "") in tell(fault)


def test_law_of_several_hoses_the_one_nearest_to_its_rating_is_told() -> None:
    assert worst((500.0, 1000.0), None, (400.0, 600.0), (900.0, 2000.0)) == (400.0, 600.0)
    assert worst(None, None) is None
    assert worst() is None


def test_law_two_lays_with_a_tank_between_are_one() -> None:
    """The second begins where the first ends, in length and in height; its nozzle alone shuts."""
    driver = pump.plate_pump(60.0, 500.0)
    hoses = [HoseRun(38.1, 100.0, rated_kpa=1000.0)]
    up, on = (
        pressure_along(HoseLine(driver, hoses, 5.0), 60.0, ((0.0, 0.0), (40.0, top), (100.0, end)))
        for top, end in ((30.0, 20.0), (2.0, 5.0))
    )
    both = joined(up, on)
    assert both.distance_m.max() == pytest.approx(200.0)
    assert both.height_m[-1] == pytest.approx(25.0)
    assert both.lowest_kpa == min(up.lowest_kpa, on.lowest_kpa)
    assert both.lowest_at_m == pytest.approx(up.lowest_at_m)
    assert joined(on, up).lowest_at_m == pytest.approx(100.0 + up.lowest_at_m)
    assert both.shut_kpa == max(float(up.pressure_kpa.max()), on.shut_kpa)
    assert both.running == worst(up.running, on.running)
    assert (both.shut, both.intake_kpa) == (on.shut, None)


def test_law_only_hoses_of_a_known_rating_that_lie_there_are_strained() -> None:
    driver = pump.plate_pump(60.0, 500.0)
    wide, narrow, bare = HoseRun(50.8, 60.0, rated_kpa=700.0), HoseRun(38.1, 40.0, rated_kpa=2000.0), HoseRun(38.1, 9.0)
    found = pressure_along(HoseLine(driver, [wide, narrow], 5.0), 100.0, LEVEL)
    head = float(driver.head_m(100.0))
    assert found.running == (pytest.approx(float(friction.pressure_kpa(head))), 700.0)
    assert found.shut == (pytest.approx(float(friction.pressure_kpa(60.0))), 700.0)
    assert pressure_along(HoseLine(driver, [bare], 5.0), 100.0, LEVEL).running is None
    coiled = pressure_along(HoseLine(driver, [replace(wide, length_m=0.0), narrow], 5.0), 100.0, LEVEL)
    assert coiled.shut is not None
    assert coiled.shut[1] == 2000.0


@pytest.mark.parametrize(("head", "runs"), [(2.99, False), (3.0, False), (3.01, True)])
def test_law_water_runs_only_over_what_it_was_lifted_over(head: float, runs: bool) -> None:
    assert primes(head, ((0.0, 0.0), (40.0, 3.0), (100.0, -10.0))) is runs


def test_law_a_lay_is_read_between_its_points_and_cut_where_asked() -> None:
    lay = ((0.0, 0.0), (40.0, 4.0), (100.0, -2.0))
    assert [height_at(lay, at) for at in (0.0, 20.0, 40.0, 70.0, 100.0)] == pytest.approx([0.0, 2.0, 4.0, 1.0, -2.0])
    assert cut(lay, 40.0) == (((0.0, 0.0), (40.0, 4.0)), ((0.0, 0.0), (60.0, -6.0)))
    assert tilted(lay, 10.0) == ((0.0, 0.0), (40.0, 8.0), (100.0, 8.0))
    assert highest_m(lay, np.array([0.0, 10.0, -50.0])).tolist() == pytest.approx([4.0, 8.0, 0.0])
    assert fill_l([]) == 0.0


@pytest.mark.parametrize(("size", "fits"), [(38.1, True), (38.6, True), (38.61, False), (37.6, True), (37.59, False)])
def test_law_couplings_half_a_millimetre_apart_are_one_size(size: float, fits: bool) -> None:
    """38 mm and 1½ in, 38.1 mm, are one coupling (C)."""
    assert (misfits((("a", 38.1), ("b", None), ("c", size))) == ()) is fits


@pytest.mark.parametrize(("altitude", "metres"), [(0.0, 6.7), (800.0, 6.1), (1600.0, 5.2), (2400.0, 4.6)])
def test_published_practical_suction_is_never_more_than_the_table(altitude: float, metres: float) -> None:
    """The published table (P), to a tenth of a metre; a warm pond of 30 °C costs 0.61 × 2.5 kPa more (IAPWS; S)."""
    cold, warm = (float(suction.practical_suction_lift_m(altitude, water)) for water in (15.0, 30.0))
    assert metres - 0.65 < cold <= metres + 0.05
    assert cold - warm == pytest.approx(0.61 * (4.247 - 1.706) / 9.789, rel=0.01)


def test_law_a_suction_hose_lets_through_what_its_friction_leaves() -> None:
    """At that flow the stricter rule of friction eats just what lift leaves of the limit."""
    most = suction.most_suction_flow_l_min(4.0, 6.0, 50.8, 8.0, 120.0)
    lost = [friction.hazen_williams_loss_m(most, 8.0, 50.8, 120.0), friction.fire_rule_loss_m(most, 8.0, 50.8)]
    assert float(np.nanmax(lost)) == pytest.approx(2.0)
