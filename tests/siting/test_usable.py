"""Usable ground: exact at the edge, every reason told, an answer and the area never at odds."""

from __future__ import annotations

import numpy as np
import pytest
import shapely
from shapely.geometry import LineString, Point, box

from sitemap.errors import BadValue
from sitemap.siting.layers import (
    access_layer,
    fuel_layer,
    slope_layer,
    water_layer,
    ways_out_layer,
)
from sitemap.siting.reach import LIMITS, Reach
from sitemap.siting.usable import GroundType, Setback, Usable, usable_ground
from sitemap.telling import sentence, tell
from sitemap.terrain.graph import Obstacles, build_graph
from sitemap.terrain.grid import Grid
from sitemap.terrain.routes import field
from sitemap.terrain.terrain import Terrain, level_terrain
from sitemap.terrain.travel import Machine, Walker
from tests.siting.answers import answer, finding
from tests.terrain.rasters import hill, terrain

GRID = Grid(0, 100, 1, 100, 100)
WORK = box(0, 0, 100, 100)
HEAP = Point(50, 50).buffer(5, quad_segs=256)


def ground(*setbacks: Setback, work: shapely.Polygon | None = WORK, layers=(), radius: float = 1.0, types=()) -> Usable:
    return usable_ground(GRID, work, setbacks, layers, radius, types)


HEAP_RULE = Setback(HEAP, 8.0, finding("Heap 1 is nearer than 8 m."), what="heap")


# --- known answers --------------------------------------------------------------------------------------------------

#  A heap of 5 m radius in the middle of a square of 100 m; 8 m to keep, the kiln is 1 m from middle to edge: its middle
#  may stand 14 m from the middle of the heap, and 1 m from the edge of the square.


@pytest.mark.parametrize(
    ("metres", "may"), [(13.99, False), (14.01, True), (48.99, True), (49.01, False), (0.0, False)]
)
def test_published_distance_is_kept_to_the_centimetre(metres: float, may: bool) -> None:
    """Arithmetic of the drawing above."""
    found = answer(ground(HEAP_RULE), 50 + metres, 50)
    assert found.may is may
    assert (found.nearest_m == 0) == may


def test_published_nearest_usable_ground() -> None:
    """From the middle of the heap 14 m; from 3 m outside the square 4 m."""
    site = ground(HEAP_RULE)
    inside, outside = answer(site, 50, 50), answer(site, 103, 50)
    assert inside.nearest_m == pytest.approx(14, abs=0.002)
    assert outside.nearest_m == pytest.approx(4, abs=1e-6)
    assert outside.nearest_xy == pytest.approx((99, 50), abs=1e-6)
    assert inside.reasons == ("Heap 1 is nearer than 8 m.",)
    assert answer(ground(HEAP_RULE), 80, 50).may is True


def test_published_area() -> None:
    """98 × 98 m less the disc of 14 m: 9604 - 196π."""
    assert ground(HEAP_RULE).area.area == pytest.approx(9604 - 196 * np.pi, rel=1e-4)


def test_published_the_drawn_edge_is_nowhere_inside_the_distance() -> None:
    """Points all along the edge round the heap: 9 m or more from it (8 m and the kiln's 1 m), and hardly more."""
    (edge,) = (ring for ring in shapely.get_parts(ground(HEAP_RULE).area)[0].interiors)
    places = shapely.line_interpolate_point(edge, np.linspace(0, edge.length, 500))
    distance = shapely.distance(HEAP, places)
    assert distance.min() >= 9 - 1e-9
    assert distance.max() <= 9.005


# --- laws -----------------------------------------------------------------------------------------------------------


def test_law_every_reason_is_told_those_that_bar_first() -> None:
    near = Setback(LineString([(60, 0), (60, 100)]), 10, finding("The stream is nearer than 10 m."), error_m=5.0)
    peat = GroundType(box(0, 0, 52, 100), True, finding("The ground is peat."))
    duff = GroundType(box(40, 0, 100, 100), False, finding("The ground is duff: scrape it."))
    site = ground(near, HEAP_RULE, types=(duff, peat))
    found = answer(site, 48, 50)
    assert found.may is False
    assert found.reasons == (
        "Heap 1 is nearer than 8 m.",
        "The ground is peat.",
        "Within the errors of the positions, so measure on the ground: The stream is nearer than 10 m.",
        "The ground is duff: scrape it.",
    )
    uncertain = answer(site, 73, 80)
    assert uncertain.may is None
    assert "measure on the ground" in uncertain.reasons[0]
    assert answer(site, 90, 80).reasons == ("The ground is duff: scrape it.",)


def test_law_no_usable_ground_is_said() -> None:
    found = answer(ground(Setback(WORK, 5, finding("Too near."))), 50, 50)
    assert (found.nearest_m, found.nearest_xy) == (None, None)
    assert answer(ground(work=box(0, 0, 1, 1)), 0.5, 0.5).may is False, "no room for the whole kiln"


def full_site() -> Usable:
    """Rolling ground with everything on it."""
    x, y = GRID.centres()
    z = 500 + 0.06 * x + 1.2 * np.sin(y / 15) + (hill(100, 100) - 500)
    z[90:95, 10:14] = np.nan
    land = terrain(z)
    wall = Obstacles(closed=(LineString([(0, 20), (80, 20)]),))
    machine = field(build_graph(land, wall, Machine(width_m=0.5), "loaded_out"), Point(50.5, 60.5))
    exits = [
        field(build_graph(land, wall, Walker(), "one_way"), Point(*place)) for place in ((2.5, 60.5), (97.5, 80.5))
    ]
    layers = (
        slope_layer(land, 3.0),
        fuel_layer(land, [box(60, 60, 90, 95)]),
        access_layer(machine),
        ways_out_layer(land, exits),
    )
    setbacks = (
        HEAP_RULE,
        Setback(LineString([(0, 0), (100, 40)]), 6, finding("Road."), 3.0),
        Setback(Point(20, 80), 15, finding("House.")),
    )
    return usable_ground(
        GRID, box(5, 5, 95, 95), setbacks, layers, 1.2, (GroundType(box(0, 40, 30, 60), True, finding("Peat.")),)
    )


def test_law_the_area_and_the_answer_never_disagree() -> None:
    site = full_site()
    places = np.random.default_rng(17).uniform(0, 100, (400, 2))
    on_area = shapely.covers(site.area, shapely.points(places))
    assert 0.1 < on_area.mean() < 0.9
    for (x, y), covered in zip(places, on_area, strict=True):
        found = answer(site, x, y)
        assert (found.may is not False) == covered
        if found.may is False:
            distance = site.area.distance(Point(x, y))
            assert found.nearest_m == pytest.approx(distance)
        assert bool(found.reasons) == (found.may is not True)


def test_law_nearest_ground_is_usable_a_hair_further_on() -> None:
    site = full_site()
    for x, y in np.random.default_rng(18).uniform(10, 90, (40, 2)):
        found = answer(site, x, y)
        if found.may is False:
            there = Point(found.nearest_xy)
            assert site.area.distance(there) < 1e-6
            inward = there.buffer(0.05).intersection(site.area).representative_point()
            assert answer(site, inward.x, inward.y).may is not False


def test_law_what_bars_is_told_once_for_each_kind() -> None:
    """Largest first; areas by shapely's own buffers inside the work area, within the rim of cells a shape touches.
    Every reason that bars a place by chance is among them."""
    site = full_site()
    assert [bar.area_m2 for bar in site.bars] == sorted((bar.area_m2 for bar in site.bars), reverse=True)
    assert len({bar.what for bar in site.bars}) == len(site.bars)
    told = {bar.what: bar for bar in site.bars}
    setbacks = [each for each in site.setbacks if each.what == "setback"]
    kept = [each.shape.buffer(each.distance_m + 1.2).intersection(box(5, 5, 95, 95)) for each in setbacks]
    whole = shapely.union_all(kept)
    assert whole.area <= told["setback"].area_m2 <= whole.area + 1.5 * whole.length
    assert kept[0].area > kept[1].area
    assert [sentence(why) for why in told["setback"].reasons] == ["Road.", "House."]
    for x, y in np.random.default_rng(19).uniform(7, 93, (200, 2)):
        for found in site.objections_at(x, y):
            assert not found.bars or found.why in told[found.what].reasons


def test_law_slope_of_the_pad() -> None:
    x, _ = GRID.centres()
    for percent, may in ((4, True), (9.9, True), (10.2, False)):
        layer = slope_layer(terrain(percent / 100 * x), 3.0)
        assert answer(ground(layers=(layer,)), 50, 50).may is may
    level = slope_layer(level_terrain((0, 0, 100, 100), 1.0), 3.0)
    assert answer(ground(layers=(level,)), 50, 50).may is None
    coarse = slope_layer(Terrain(GRID, np.zeros((100, 100), np.float32), 30.0), 3.0)
    assert "measure the slope on the ground" in answer(ground(layers=(coarse,)), 50, 50).reasons[0]


@pytest.mark.parametrize(
    ("percent", "fuel_from", "conditional"),
    [(30, 52, True), (30, 75, True), (30, 90, False), (30, 0, False), (15, 52, False)],
)
def test_law_fuel_uphill(percent: float, fuel_from: float, conditional: bool) -> None:
    """A slope rising east; fuel of 8 m from somewhere on: only uphill, only within 30 m, only when steep."""
    x, _ = GRID.centres()
    layer = fuel_layer(terrain(percent / 100 * x), [box(fuel_from, 0, fuel_from + 8, 100)])
    found = answer(ground(layers=(layer,)), 50.5, 50.5)
    assert found.may is (None if conditional else True)


def test_law_two_ways_out() -> None:
    flat = level_terrain((0, 0, 100, 100), 1.0)

    def exits(*places: tuple[float, float], obstacles: Obstacles = Obstacles()) -> list:  # noqa: B008
        graph = build_graph(flat, obstacles, Walker(), "one_way")
        return [field(graph, Point(place)) for place in places]

    def may(fields: list) -> bool | None:
        return answer(ground(layers=(ways_out_layer(flat, fields),)), 50.5, 50.5).may

    assert may(exits((1.5, 50.5), (98.5, 50.5))) is True
    assert may(exits((1.5, 50.5), (50.5, 98.5))) is True
    assert may(exits((1.5, 50.5), (1.5, 60.5))) is None, "nearly the same direction"
    assert may(exits((1.5, 50.5))) is None, "only one is drawn"
    pen = LineString([(30, 30), (70, 30), (70, 70), (30, 70), (30, 52), (28, 52)])
    gated = exits((1.5, 50.5), (98.5, 50.5), obstacles=Obstacles(closed=(pen,)))
    assert may(gated) is None, "both leave by one gate"
    closed = exits((1.5, 50.5), (98.5, 50.5), obstacles=Obstacles(closed=(box(30, 30, 70, 70).exterior,)))
    assert may(closed) is False


def test_law_water_is_the_best_over_the_sources() -> None:
    shape, hose, slope = GRID.shape, LIMITS.index("hose length"), LIMITS.index("slope")
    route = np.full(shape, 20.0)
    west = np.zeros(shape, np.uint8)
    west[:, :50] = 2
    band = np.zeros(shape, np.uint8)
    band[:, 40:60] = 1
    by_hose = Reach("pond", "hose", GRID, west, np.full(shape, hose, np.uint8), route)
    by_haul = Reach("pond", "haul", GRID, band, np.full(shape, slope, np.uint8), route)
    site = ground(layers=(water_layer([by_hose, by_haul]),))
    assert answer(site, 20, 50).may is True
    assert answer(site, 55, 50).reasons == ("Water arrives, but only just (tight).",)
    barred = answer(site, 80, 50)
    assert barred.may is False
    assert "the hose on hand ends here" in barred.reasons[0]
    assert "the slope stops the machine" in barred.reasons[0]
    everywhere = Reach("tap", "hose", GRID, np.full(shape, 2, np.uint8), np.zeros(shape, np.uint8), route)
    assert answer(ground(layers=(water_layer([everywhere]),)), 80, 50).may is True


@pytest.mark.parametrize("sources", [2, 9])
def test_law_every_cell_without_water_hears_what_stops_each_source_there(sources: int) -> None:
    """A mixture of its own in each, 2⁹ of them for nine sources: told as each area alone tells it, and none as free."""
    ends, unknown = LIMITS.index("hose length"), LIMITS.index("not known")
    cells = np.arange(GRID.rows * GRID.columns).reshape(GRID.shape)
    none, route = np.zeros(GRID.shape, np.uint8), np.full(GRID.shape, 20.0)
    reaches = [
        Reach(f"s{n}", "hose", GRID, none, np.where(cells >> n & 1, ends, unknown).astype(np.uint8), route)
        for n in range(sources)
    ]
    layer = water_layer(reaches)
    assert len(np.unique(layer.codes)) + 1 == len(layer.reasons) == 1 + 2**sources
    assert layer.codes.min() > 1  # neither free nor tight
    site = ground(layers=(layer,))
    for x, y in np.random.default_rng(7).integers(5, 95, (40, 2)) + 0.5:
        said = {reach.at(x, y).why for reach in reaches}
        (found,) = answer(site, x, y).reasons
        assert all(tell(why).casefold() in found.casefold() for why in said)
        assert answer(site, x, y).may is (False if len(said) == 1 and "ends here" in found else None)
        assert site.area.covers(Point(x, y)) is (answer(site, x, y).may is None)


def test_law_a_ring_drawn_across_itself_still_counts() -> None:
    bow_tie = shapely.Polygon([(10, 10), (90, 90), (90, 10), (10, 90)])
    site = ground(work=bow_tie, types=(GroundType(bow_tie, False, finding("Duff.")),))
    assert answer(site, 85, 50).may is None
    assert answer(site, 50, 90).may is False


def test_refuses_a_distance_below_zero() -> None:
    with pytest.raises(BadValue, match="distance to keep must not be below 0 m; it is −3 m"):
        ground(Setback(HEAP, -3, finding("Too near.")))
    with pytest.raises(BadValue, match="radius of a kiln must not be below 0 m"):
        ground(radius=-1)
