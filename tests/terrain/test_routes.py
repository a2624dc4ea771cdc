"""Ways over the ground: small drawn rasters with a known answer, laws, published walking speeds."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st
from matplotlib.cbook import get_sample_data
from shapely.geometry import LineString, Point, Polygon, box

from sitemap.errors import BadShape, BadValue
from sitemap.terrain.along_way import way_steepest_pct
from sitemap.terrain.grid import Grid
from sitemap.terrain.routes import Obstacles, build_graph, drawn_route, field, path_from, path_to
from sitemap.terrain.surface import surface_steps
from sitemap.terrain.terrain import Terrain, level_terrain
from sitemap.terrain.travel import Hose, Machine, Walker, walking_km_h
from tests.properties import examples
from tests.terrain.costs import cost_at, trip_cost
from tests.terrain.rasters import hill, terrain

CLEAR = Obstacles()
FLAT = level_terrain((0, 0, 60, 60), 1.0)


def hose_way(obstacles: Obstacles, start: tuple[float, float], end: tuple[float, float], ground: Terrain = FLAT):
    return path_to(field(build_graph(ground, obstacles, Hose(), "one_way"), Point(start)), Point(end))


# --- known answers --------------------------------------------------------------------------------------------------

#   y
#  60 ─────────────────────────      A fence across level ground from edge to edge, one cell thick at most, at y 30,
#     .  S                    .      or aslant from corner to corner. S (10.5, 45.5) and E (50.5, 15.5) lie on either
#  30 ━━━━━━━━━━━━━  ━━━━━━━━━━      side, 50 m apart (30-40-50). The gate is 3 m wide, centred on (30, 30).
#     .                   E   .
#   0 ─────────────────────────
START, END = (10.5, 45.5), (50.5, 15.5)
FENCES = {
    "straight": [LineString([(-1, 30), (61, 30)])],
    "straight, on the cells' edge": [LineString([(-1, 30.0), (61, 30.0)])],
    "straight, amid cells": [LineString([(-1, 30.4), (61, 30.4)])],
    "aslant, through the corners": [LineString([(-1, -1), (61, 61)])],
    "aslant, off the corners": [LineString([(-1, -0.7), (61, 61.3)])],
    "flat slant": [LineString([(-1, 15), (61, 45)])],
    "steep slant": [LineString([(14, -1), (46, 61)])],
}


@pytest.mark.parametrize("travel_cost", [Hose(), Machine(width_m=0.2), Walker()], ids=lambda cost: type(cost).__name__)
@pytest.mark.parametrize("fence", FENCES.values(), ids=FENCES.keys())
def test_published_nothing_leaks_through_a_one_cell_fence(fence, travel_cost) -> None:
    """The answer is drawn above: without a gate there is no way."""
    graph = build_graph(FLAT, Obstacles(closed=tuple(fence)), travel_cost, "one_way")
    assert path_to(field(graph, Point(START)), Point(END)) is None
    assert path_to(field(graph, Point(START)), Point(START[0] + 3, START[1])) is not None


@pytest.mark.parametrize("fence", FENCES.values(), ids=FENCES.keys())
def test_published_the_gate_is_found(fence) -> None:
    """With the gate the way leads through it. It lies on the straight line from S to E, so the way is 50 m long, and
    up to 2.8 % more for the 16 directions.
    """
    gated = shapely.difference(fence[0], Point(30, 30).buffer(3.5))
    way = hose_way(Obstacles(closed=(gated,)), START, END)
    assert way is not None
    assert way.line.distance(Point(30, 30)) < 3.5
    assert 50 <= way.length_m <= 50 * 1.028 + 1
    assert not way.line.intersects(gated)


def test_published_round_a_wall() -> None:
    """A wall from the south edge to y 40, at x 30: from (10.5, 10.5) to (50.5, 10.5) one goes round its head. Straight
    lines to the first open cells above it: 2·√(19.5² + 30²) + 1 ≈ 72.6 m, at most 2.8 % more.
    """
    way = hose_way(Obstacles(closed=(LineString([(30.5, -1), (30.5, 39.9)]),)), (10.5, 10.5), (50.5, 10.5))
    assert way is not None
    shortest = 2 * math.hypot(20, 29.4)  # touching its head
    assert shortest <= way.length_m <= shortest * 1.028 + 1.5


def test_published_level_haul_by_pocket_calculator() -> None:
    """100 m level: out loaded at 1.5 km/h takes 240 s, back empty at 3 km/h 120 s (house defaults)."""
    ground = level_terrain((0, 0, 120, 10), 1.0)
    for trip, seconds in (("one_way", 240), ("loaded_out", 360), ("loaded_back", 360)):
        reached = field(build_graph(ground, CLEAR, Machine(), trip), Point(10.5, 5.5))
        assert cost_at(reached, 110.5, 5.5) == pytest.approx(seconds)
        route = path_to(reached, Point(110.5, 5.5))
        assert route.length_m == pytest.approx(100)
        assert trip_cost(route, Machine(), trip) == pytest.approx(seconds)


@pytest.mark.parametrize(("trip", "seconds"), [("one_way", 323.58), ("loaded_out", 462.26), ("loaded_back", 439.15)])
def test_published_haul_up_a_ramp_by_pocket_calculator(trip: str, seconds: float) -> None:
    """15 % up for 100 level metres, 101.119 m over the ground, for a machine that may take 30 %: half way to its limit
    it has lost a quarter of its speed uphill and an eighth downhill (house rule). Up loaded 1.125 km/h: 323.58 s; down
    empty 2.625: 138.68 s; up empty 2.25: 161.79 s; down loaded 1.3125: 277.36 s.
    """
    x, _ = Grid(0, 5, 1, 5, 120).centres()
    graph = build_graph(terrain(0.15 * x), CLEAR, Machine(side_slope_pct=99, width_m=0.5), trip)
    reached = field(graph, Point(10.5, 2.5))
    assert cost_at(reached, 110.5, 2.5) == pytest.approx(seconds, abs=0.01)
    assert trip_cost(path_to(reached, Point(110.5, 2.5)), graph.travel_cost, trip) == pytest.approx(seconds, abs=0.05)


def test_published_nothing_slips_between_corners() -> None:
    """Ground of unknown height along a diagonal, one cell thick, its cells touching by their corners only."""
    z = np.zeros((40, 40))
    np.fill_diagonal(z, np.nan)
    assert hose_way(CLEAR, (5.5, 5.5), (35.5, 35.5), terrain(z)) is None, "from below the diagonal to above it"
    z[20, 20] = z[20, 21] = 0
    assert hose_way(CLEAR, (5.5, 5.5), (35.5, 35.5), terrain(z)) is not None


def test_published_a_bank_one_cell_wide_is_not_jumped() -> None:
    """A bank 0.8 m high and one cell wide across level ground: 80 % up and down, whatever the step."""
    z = np.zeros((40, 40))
    z[:, 20] = 0.8
    machine = Machine(side_slope_pct=1000, width_m=0.5)
    reached = field(build_graph(terrain(z), CLEAR, machine, "loaded_out"), Point(5.5, 20.5))
    assert np.isinf(cost_at(reached, 35.5, 20.5))
    assert np.isfinite(cost_at(reached, 15.5, 35.5))


@pytest.mark.parametrize(("gap_m", "passes"), [(2.0, False), (4.6, True)])
def test_published_a_machine_needs_its_width(gap_m: float, passes: bool) -> None:
    """A gap between two walls: a machine 2.5 m wide does not pass 2 m; a hose does."""
    walls = LineString([(15, -1), (15, 15 - gap_m / 2)]), LineString([(15, 15 + gap_m / 2), (15, 31)])
    ground = level_terrain((0, 0, 30, 30), 0.5)
    way = path_to(
        field(build_graph(ground, Obstacles(closed=walls), Machine(), "loaded_out"), Point(5, 5)), Point(25, 5)
    )
    assert (way is not None) == passes
    assert hose_way(Obstacles(closed=walls), (5, 5), (25, 5), ground) is not None


def test_published_hose_up_a_ramp() -> None:
    """75 % for 40 level metres: 50 m of hose (3-4-5)."""
    x, _ = Grid(0, 10, 1, 10, 60).centres()
    way = hose_way(CLEAR, (10.5, 5.5), (50.5, 5.5), terrain(0.75 * x))
    assert way.length_m == pytest.approx(50, abs=1e-3)
    assert (way.steepest_up_pct, way.steepest_down_pct) == pytest.approx((75, 0), abs=0.01)
    assert way.height_m[-1] - way.height_m[0] == pytest.approx(30, abs=1e-3)


@pytest.mark.parametrize(
    ("degrees", "km_h"), [(-20, 2.00), (-10, 3.86), (0, 5.04), (10, 2.72), (20, 1.41)], ids=lambda value: str(value)
)
def test_published_walking_speed(degrees: float, km_h: float) -> None:
    """Tobler 1993, points of its table (S); two decimals are printed."""
    assert walking_km_h(np.tan(np.radians(degrees))) == pytest.approx(km_h, abs=0.005)
    assert walking_km_h(np.tan(np.radians(degrees)), off_path=True) == pytest.approx(0.6 * km_h, abs=0.005)


# --- laws -----------------------------------------------------------------------------------------------------------


def test_law_level_ways_are_at_most_2_8_percent_too_long_and_never_too_short() -> None:
    """16 directions: 2.75 % at worst, 1.3 % on average (derived here, D)."""
    grid = Grid(-50.5, 50.5, 1, 101, 101)
    ground = Terrain(grid, np.zeros(grid.shape, np.float32), 1.0)
    lengths = field(build_graph(ground, CLEAR, Hose(), "one_way"), Point(0, 0)).costs
    straight = np.hypot(*grid.centres())
    far = straight > 20
    excess = lengths[far] / straight[far] - 1
    assert excess.min() >= -1e-6
    assert excess.max() <= 0.028
    assert excess.mean() == pytest.approx(0.013, abs=0.003)


def test_law_a_round_trip_is_the_way_out_plus_the_way_back() -> None:
    ground = terrain(hill())
    machine = Machine(loaded_up_pct=25, loaded_down_pct=22, empty_up_pct=40, empty_down_pct=38, width_m=0.5)
    a, b = Point(10.5, 10.5), Point(88.5, 66.5)
    out_and_back = field(build_graph(ground, CLEAR, machine, "loaded_out"), a)
    home_loaded = field(build_graph(ground, CLEAR, machine, "loaded_back"), b)
    assert cost_at(out_and_back, b.x, b.y) == pytest.approx(cost_at(home_loaded, a.x, a.y), rel=1e-6)
    out = cost_at(field(build_graph(ground, CLEAR, machine, "one_way"), a), b.x, b.y)
    route = path_to(out_and_back, b)
    assert trip_cost(route, machine, "one_way") >= out * 0.999
    both = trip_cost(route, machine, "loaded_out")
    assert route.cost == pytest.approx(both, rel=0.01)  # heights between cells are read a little differently


@pytest.mark.parametrize(("up_pct", "down_pct", "there", "back"), [(25, 12, True, False), (12, 25, False, True)])
def test_law_up_and_down_are_told_apart(up_pct: float, down_pct: float, there: bool, back: bool) -> None:
    """A ramp of 20 % between walls: a machine that may climb it but not come down it loaded, and the other way."""
    x, _ = Grid(0, 5, 1, 5, 60).centres()
    machine = Machine(loaded_up_pct=up_pct, loaded_down_pct=down_pct, side_slope_pct=15, width_m=0.5)
    graph = build_graph(terrain(0.2 * x), CLEAR, machine, "one_way")
    low, high = Point(5.5, 2.5), Point(55.5, 2.5)
    assert np.isfinite(cost_at(field(graph, low), high.x, high.y)) == there
    assert np.isfinite(cost_at(field(graph, high), low.x, low.y)) == back


def test_law_side_slope_bars_the_way_across_but_not_a_track() -> None:
    """A hillside of 20 %, rising north: straight up is fine, along it is not, unless a track is cut."""
    _, y = Grid(0, 60, 1, 60, 60).centres()
    ground = terrain(0.2 * y)
    start, across, above = Point(5.5, 30.5), Point(55.5, 30.5), Point(5.5, 55.5)
    reached = field(build_graph(ground, CLEAR, Machine(), "loaded_out"), start)
    assert np.isfinite(cost_at(reached, above.x, above.y))
    # along the contour it may only zigzag at angles whose side slope is 10 % or less: a much longer way
    track = Obstacles(tracks=(LineString([(5.5, 30.5), (55.5, 30.5)]),))
    on_track = cost_at(field(build_graph(ground, track, Machine(), "loaded_out"), start), across.x, across.y)
    assert on_track == pytest.approx(50 * 3.6 * (1 / 1.5 + 1 / 3), rel=1e-5)
    assert cost_at(reached, across.x, across.y) > 2 * on_track


def test_law_wet_ground_is_crossed_only_on_a_track() -> None:
    stream = LineString([(-1, 20.3), (25, 33.1), (61, 37.7)])
    marsh = Polygon([(0, 40), (60, 44), (60, 50), (0, 46)])
    track = LineString([(44.2, 0), (47.9, 60)])
    start, end = (10.5, 5.5), (10.5, 57.5)
    assert hose_way(Obstacles(wet=(stream, marsh)), start, end) is None
    way = hose_way(Obstacles(wet=(stream, marsh), tracks=(track,)), start, end)
    assert way is not None
    wet_part = way.line.intersection(shapely.union_all([stream, marsh]))
    assert wet_part.hausdorff_distance(track.intersection(shapely.union_all([stream, marsh]))) < 2
    assert hose_way(Obstacles(closed=(stream,), tracks=(track,)), start, end) is None, "closed stays closed"


coordinate = st.floats(1, 59, allow_nan=False)


@examples(25)
@given(
    bends=st.lists(st.tuples(coordinate, coordinate), min_size=2, max_size=4, unique=True),
    end=st.tuples(coordinate, coordinate),
)
def test_law_no_way_touches_what_is_closed(bends, end) -> None:
    wall = LineString(bends)
    reached = field(build_graph(FLAT, Obstacles(closed=(wall,)), Hose(width_m=1e-6), "one_way"), Point(30.5, 0.5))
    way = path_to(reached, Point(end))
    if way is not None and reached.graph.open.flat[int(FLAT.grid.cell_of(*end))]:
        between = LineString([FLAT.grid.centre_of(FLAT.grid.cell_of(*place)) for place in way.line.coords[:-1]])
        assert not between.intersects(wall)


def test_law_a_limit_only_cuts_off() -> None:
    graph = build_graph(terrain(hill()), CLEAR, Hose(), "one_way")
    whole, near = field(graph, Point(30.5, 30.5)).costs, field(graph, Point(30.5, 30.5), 25.0).costs
    within = whole <= 25
    np.testing.assert_array_equal(near[within], whole[within])
    assert np.isinf(near[~within]).all()


@pytest.mark.parametrize("alone", [False, True])
@pytest.mark.parametrize(("end", "limit"), [(END, 5000.0), (END, 250.0), (END, 45.0), ((12.5, 40.5), 250.0)])
def test_law_a_way_sought_near_the_start_first_is_the_way_of_the_whole_search(end, limit, alone) -> None:
    """50 m straight, some 68 m by the gate in the corner of the fence: a quarter of 250 m is tried first, in vain."""
    fence = LineString([(-1, 30), (58, 30)])
    graph = build_graph(FLAT, Obstacles(closed=(fence,)), Hose(), "one_way")
    whole = path_to(field(graph, Point(START), limit), Point(end))
    assert path_from(graph, Point(START), Point(end), limit, alone=alone) == whole
    assert (whole is None) == (limit < 50)


def test_law_a_pond_is_left_at_its_rim() -> None:
    """A pond 20 m across, closed: the lay starts at the bank, not at the middle."""
    pond = Point(20, 30).buffer(10)
    reached = field(build_graph(FLAT, Obstacles(closed=(pond,)), Hose(), "one_way"), pond)
    assert reached.cost_to(Point(50.5, 30.5)) == pytest.approx(20.5, abs=1.5)
    way = path_to(reached, Point(50.5, 30.5))
    assert way.line.coords[0] == pytest.approx((30, 30), abs=1.5)
    inside = field(reached.graph, Point(23, 30))
    assert inside.cost_to(Point(50.5, 30.5)) == pytest.approx(27.5, abs=1.0), "the metres over closed ground count"
    assert path_to(reached, pond) is not None


def test_law_the_metres_over_closed_ground_are_in_the_length_of_a_bent_way() -> None:
    """Round a wall to a place 4 m inside closed ground, and to the open cell before it: 4 m apart, but for which of the
    cells 1 m wide before it is left."""
    wall, closed = LineString([(30.5, -1), (30.5, 39.9)]), box(47.1, 0, 60, 60)
    graph = build_graph(FLAT, Obstacles(closed=(wall, closed)), Machine(width_m=0.2), "one_way")
    reached = field(graph, Point(10.5, 10.5))
    before, inside = (path_to(reached, Point(x, 10.5)) for x in (46.5, 50.5))
    assert inside.length_m == pytest.approx(before.length_m + 4, abs=2.5)


def test_law_deep_in_closed_ground_there_is_no_way() -> None:
    graph = build_graph(FLAT, Obstacles(closed=(box(0, 0, 40, 60),)), Hose(), "one_way")
    assert np.isinf(field(graph, Point(5, 30)).costs).all()
    assert path_to(field(graph, Point(50, 30)), Point(5, 30)) is None
    assert path_to(field(graph, Point(500, 30)), Point(50, 30)) is None, "outside the ground"
    assert field(graph, Point(500, 30)).cost_to(Point(50, 30)) == math.inf


def test_law_badly_drawn_shapes_do_not_stop_the_search() -> None:
    """A bow tie as a road, and a place without a shape."""
    bow_tie = Polygon([(0, 0), (40, 40), (40, 0), (0, 40)])
    way = hose_way(Obstacles(roads=(bow_tie,), tracks=(bow_tie,)), (5.5, 20.5), (50.5, 20.5))
    assert way.road_crossings
    reached = field(build_graph(FLAT, CLEAR, Hose(), "one_way"), Polygon())
    assert np.isinf(reached.costs).all()
    assert path_to(reached, Point(5, 5)) is None
    assert path_to(field(reached.graph, Point(5, 5)), Polygon()) is None


def test_law_holes_are_closed() -> None:
    z = hill()
    z[:, 50:53] = np.nan
    assert hose_way(CLEAR, (10.5, 40.5), (90.5, 40.5), terrain(z)) is None


def test_law_a_machine_does_not_mind_roughness_smaller_than_itself() -> None:
    """Level ground in cells of half a metre with bumps of ± 6 cm: steps of 24 % that a machine rides over."""
    bumps = np.indices((60, 80)).sum(axis=0) % 2 * 0.12
    graph = build_graph(terrain(bumps, 0.5), CLEAR, Machine(loaded_up_pct=20), "loaded_out")
    assert np.isfinite(cost_at(field(graph, Point(5, 5)), 35, 25))


def test_law_graphs_and_fields_are_remembered() -> None:
    first = build_graph(terrain(hill()), CLEAR, Hose(), "one_way")
    assert build_graph(terrain(hill()), Obstacles(), Hose(), "one_way") is first
    assert field(first, Point(5, 5)) is field(first, Point(5, 5))


def test_law_on_real_ground() -> None:
    """The fault elevation model among Matplotlib's sample data, its own cells taken as 80 m: a hose is never shorter
    than the slope, a machine keeps to its limits, and there and back is one trip.
    """
    z = get_sample_data("jacksboro_fault_dem.npz")["elevation"][100:220, 150:300].astype(np.float32)
    ground = terrain(z, 80.0)
    a, b = Point(2040, 3000), Point(10040, 6040)
    hose = path_to(field(build_graph(ground, CLEAR, Hose(), "one_way"), a), b)
    assert hose.length_m >= math.hypot(a.distance(b), float(np.diff(ground.elevation([a.x, b.x], [a.y, b.y]))[0]))
    assert hose.length_m >= surface_steps(*ground.profile(hose.line)).sum() * 0.999 - 80
    machine = Machine(loaded_up_pct=25, side_slope_pct=20)
    gentlest = int(np.argmin(ground.pad_slope(400.0)))
    a = Point(*(float(part) for part in ground.grid.centre_of(gentlest)))
    out = field(build_graph(ground, CLEAR, machine, "loaded_out"), a)
    reached = np.isfinite(out.costs)
    assert 0.05 < reached.mean() < 0.999
    assert np.nanmax(way_steepest_pct(out)) <= 30
    cell = int(draw_cell(reached))
    x, y = (float(part) for part in ground.grid.centre_of(cell))
    back = field(build_graph(ground, CLEAR, machine, "loaded_back"), Point(x, y))
    assert cost_at(back, a.x, a.y) == pytest.approx(float(out.costs.flat[cell]), rel=1e-5)


def draw_cell(reached: np.ndarray) -> int:
    return np.random.default_rng(3).choice(np.flatnonzero(reached))


# --- drawn ways -----------------------------------------------------------------------------------------------------


def test_law_a_drawn_way_is_described_as_drawn() -> None:
    """Up 10 % for 30 m, then down 20 % for 20 m; a road crosses at x 12."""
    x, _ = Grid(0, 10, 1, 10, 60).centres()
    ground = terrain(np.where(x < 35, 0.1 * x, 3.5 - 0.2 * (x - 35)))
    road = LineString([(12, -5), (12, 20)])
    way = drawn_route(ground, LineString([(5, 5), (55, 5)]), Obstacles(roads=(road,)))
    assert not way.found
    assert way.cost is None
    assert way.length_m == pytest.approx(30 * math.hypot(1, 0.1) + 20 * math.hypot(1, 0.2), abs=0.02)
    assert way.steepest_up_pct == pytest.approx(10, abs=0.1)
    assert way.steepest_down_pct == pytest.approx(20, abs=0.1)
    assert way.road_crossings == ((12, 5),)
    assert math.isinf(trip_cost(way, Machine(loaded_down_pct=15, width_m=1), "loaded_out"))
    assert math.isfinite(trip_cost(way, Machine(loaded_down_pct=15, empty_up_pct=25, width_m=1), "loaded_back"))


def test_law_the_steepest_stretch_is_ten_metres_long_and_may_be_the_last() -> None:
    """A step of 0.5 m amid level ground is 5 % over 10 m and roughness below; a ramp of 30 % ends the way."""
    x, _ = Grid(0, 10, 1, 10, 60).centres()
    for ground, steepest_pct in ((np.where(x < 30, 0.0, 0.5), 5), (np.maximum(0.0, 0.3 * (x - 45)), 30)):
        way = drawn_route(terrain(ground), LineString([(5, 5), (55, 5)]), CLEAR)
        assert way.steepest_up_pct == pytest.approx(steepest_pct, rel=0.03)
        assert way.steepest_down_pct == 0


def test_refuses_what_cannot_be_used() -> None:
    with pytest.raises(BadShape, match="way without length leads nowhere"):
        drawn_route(FLAT, LineString([(1, 1), (1, 1)]), CLEAR)
    with pytest.raises(BadValue, match=r"loaded_km_h must be above 0; it is 0\. Correct it"):
        Machine(loaded_km_h=0)


def test_law_absurd_slopes_bar_a_walker_without_a_warning() -> None:
    """Heights in a wrong unit make slopes of hundreds per one: no speed is left there, and nothing fails."""
    assert np.isinf(Walker().cost(np.array([900.0, -900.0]), np.ones(2), True)).all()


def test_law_nobody_is_sent_where_hands_are_needed() -> None:
    """60 % up or down, ours, no source (C): 6 m up on 10 m, no more."""
    steep = np.isinf(Walker().cost(np.array([0.59, -0.59, 0.61, -0.61, 6.0]), np.ones(5), False))
    assert steep.tolist() == [False, False, True, True, True]
