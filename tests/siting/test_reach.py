"""Areas of reach: an area and the verdict of a spot in it never disagree; each edge tells what stops the water."""

from __future__ import annotations

import json

import numpy as np
import pytest
import shapely
from shapely.geometry import LineString, Point

from sitemap.ranges import Drawn
from sitemap.site.file import parse_site
from sitemap.siting.reach import Reach
from sitemap.siting.water_reach import haul_reach, hose_reach
from sitemap.telling import sentence
from sitemap.terrain.graph import Obstacles, build_graph
from sitemap.terrain.grid import Grid
from sitemap.terrain.routes import field, path_to
from sitemap.terrain.terrain import Terrain, level_terrain
from sitemap.terrain.travel import Hose, Machine
from sitemap.water.equipment import Rig, rig_of
from sitemap.water.hose_line import lift_of
from sitemap.water.hose_verdict import hose_lines
from sitemap.water.pressure_source import NoLineError
from sitemap.water.reading import kit_of, source_of
from sitemap.water.shuttle import Trip, haul_line
from sitemap.water.values import Lay, Need
from tests.terrain.rasters import hill, terrain

CLEAR = Obstacles()
LEVEL_M, ERROR_M = 500.0, 1.0
SITE = parse_site(
    json.dumps(
        {
            "type": "FeatureCollection",
            "site": {
                "format": 1,
                "units": "metric",
                "equipment": {
                    "pumps": [{"id": "p1", "name": "pump", "max_head_m": 26, "max_flow_l_min": 130}],
                    "hoses": [{"id": "h1", "name": "hose", "bore_mm": 25, "lengths_m": [20, 20, 20, 20]}],
                    "nozzles": [{"id": "n1", "name": "nozzle", "bore_mm": 6}],
                    "machines": [{"id": "m1", "name": "digger", "bucket_l": 150}],
                },
            },
            "features": [
                {
                    "type": "Feature",
                    "id": "pond",
                    "geometry": {"type": "Point", "coordinates": [0, 0]},
                    "properties": {"kind": "water_source", "source": "pond", "volume_l": 90000, "suction_lift_m": 1},
                }
            ],
        }
    )
)
KIT = kit_of(SITE)
POND = source_of(SITE.get("pond"))
NEED = Need("k1", "Kiln 1", Drawn.exact(500.0), hold_l_min=Drawn.exact(3.0))
RIG: Rig = rig_of(POND, KIT, 300.0)
SLOPE = terrain(500 + 0.08 * Grid(0, 120, 1, 120, 160).centres()[0] + (hill(120, 160) - 500))
START = Point(20.5, 60.5)


def spot_word(ground: Terrain, reached, place: Point) -> str:
    """The verdict of the water room on the quench of a kiln at a place, its way found as for the area."""
    way = path_to(reached, place)
    if way is None:
        return "short"
    profile = tuple((d, h - LEVEL_M) for d, h in zip(way.distance_m, way.height_m, strict=True))
    lift = float(ground.elevation(place.x, place.y)) - LEVEL_M
    lay = Lay("pond", "k1", "hose", way.length_m, profile, lift, ERROR_M)
    try:
        return hose_lines(NEED, RIG, lay, lift_of(lay, None))[0].verdict
    except NoLineError as fault:
        return fault.word


def reach_of(ground: Terrain, obstacles: Obstacles = CLEAR) -> tuple[Reach, object]:
    reached = field(build_graph(ground, obstacles, Hose(), "one_way"), START)
    return hose_reach("pond", reached, RIG, (500.0, 3.0), (500.0, 3.0), LEVEL_M, ERROR_M), reached


STEEP = terrain(500 + 0.3 * (Grid(0, 120, 1, 120, 160).centres()[0] - 20) + (hill(120, 160) - 500))
HILLS = terrain(500 + 3 * (hill(120, 160) - 500))


@pytest.mark.parametrize(
    ("ground", "expected"),
    [(STEEP, {"short", "tight", "enough on paper"}), (HILLS, {"short", "enough on paper"})],
    ids=["steep", "hills"],
)
def test_agrees_with_the_verdict_of_a_spot_for_a_hose(ground: Terrain, expected: set[str]) -> None:
    """A hundred and twenty kilns at cell centres, half of them at the edge: reached exactly where a spot is not short;
    sure only where it is enough on paper or tight. What else the water room judges (draws) can only make it tight.
    """
    reach, reached = reach_of(ground)
    assert 0.05 < (reach.state > 0).mean() < 0.95
    assert (reach.state == 2).any()
    draw = np.random.default_rng(11)
    edge = np.flatnonzero((reach.state > 0) != np.roll(reach.state > 0, 1, axis=1))
    cells = np.concatenate([draw.choice(reach.grid.size, 60), draw.choice(edge, 60)])
    words = set()
    for cell in cells:
        place = Point(*(float(part) for part in reach.grid.centre_of(cell)))
        word, said = spot_word(ground, reached, place), reach.at(place.x, place.y)
        words.add(word)
        assert said.reached == (word != "short"), (place, word, said)
        if not said.tight and said.reached:
            assert word in ("enough on paper", "tight")
        assert reach.area.covers(place) == said.reached
    assert expected <= words


def test_law_the_tight_band_is_at_least_one_cell_wide() -> None:
    reach, _ = reach_of(SLOPE)
    out = shapely.points(*reach.grid.centre_of(np.flatnonzero(reach.state == 0)))
    sure = reach.sure
    assert shapely.distance(sure, out).min() >= 1.4  # the centres of two cells apart, less half a cell
    assert reach.area.covers(sure)


def test_law_uphill_ends_by_lift_and_far_by_hose() -> None:
    """80 m of hose with a tenth of slack cover 72.7 m; 26 m of head, less wear, stop it on a steep slope sooner."""
    level, _ = reach_of(Terrain(SLOPE.grid, np.full(SLOPE.grid.shape, 500, np.float32), 1.0))
    assert {limit for limit, _ in level.edges} == {"hose length"}
    assert level.at(92.5, 60.5).reached
    assert not level.at(94.5, 60.5).reached
    assert sentence(level.at(94.5, 60.5).why) == "Water does not arrive by a hose: the hose on hand ends here."
    x, _ = SLOPE.grid.centres()
    steep, _ = reach_of(terrain(500 + 0.6 * (x - 20)))
    assert {limit for limit, _ in steep.edges} == {"hose length", "lift"} or "friction" in dict(steep.edges)
    assert not steep.at(65.5, 60.5).reached
    assert steep.at(65.5, 60.5).limit in ("lift", "high point")


def test_law_what_cannot_be_crossed_ends_it() -> None:
    wall = LineString([(40.5, -5), (40.5, 200)])
    reach, _ = reach_of(SLOPE, Obstacles(closed=(wall,)))
    edges = dict(reach.edges)
    assert edges["closed"].distance(Point(40.5, 60)) < 1
    assert not reach.at(45.5, 60.5).reached
    lengths = sum(line.length for line in edges.values())
    inner = reach.area.boundary.difference(shapely.box(*reach.grid.bounds).exterior.buffer(0.1))
    assert lengths == pytest.approx(inner.length, rel=3e-3)


def test_law_not_known_is_neither_reached_nor_out_of_reach() -> None:
    z = hill(120, 160)
    z[50:70, 60:80] = np.nan
    reach, _ = reach_of(terrain(z))
    for place in ((70, 60), (-5, 10)):
        said = reach.at(*place)
        assert said.reached is None
        assert said.limit == "not known"
    assert "is not known: the height of the ground" in sentence(reach.at(70, 60).why)


TRIP = Trip("digger", 96.0, 1.5, 0.5, 1.5, 3.0)


@pytest.mark.parametrize("ground", [level_terrain((0, 0, 400, 120), 2.0), SLOPE], ids=["level", "slope"])
def test_agrees_with_the_verdict_of_a_spot_for_a_haul(ground: Terrain) -> None:
    reached = field(build_graph(ground, CLEAR, Machine(), "loaded_out"), START)
    litres = 300.0 if ground.level else 600.0
    need = Need("k1", "Kiln 1", Drawn.exact(litres), hold_l_min=Drawn.exact(1.0))
    reach = haul_reach("pond", reached, TRIP, (litres, 1.0), (litres, 1.0))
    assert 0.02 < (reach.state > 0).mean() < 0.98
    draw = np.random.default_rng(13)
    for cell in draw.choice(reach.grid.size, 120):
        place = Point(*(float(part) for part in reach.grid.centre_of(cell)))
        way, said = path_to(reached, place), reach.at(place.x, place.y)
        if way is None:
            assert not said.reached
            continue
        steepest = max(way.steepest_up_pct, way.steepest_down_pct)
        word = haul_line(need, Lay("pond", "k1", "haul", way.length_m, steepest_pct=steepest), POND, KIT).verdict
        assert said.reached == (word != "short"), (place, word, said)
        if not said.tight and said.reached:
            assert word in ("enough on paper", "tight")


@pytest.mark.parametrize(("percent", "tight"), [(10, False), (24, True)])
def test_law_a_steep_haul_is_tight(percent: float, tight: bool) -> None:
    """Warned from 20 % (house rule), stopped at 30 %. The slope rises 13° north of east, amid two of the 16 directions:
    the machine may take both.
    """
    x, y = Grid(0, 120, 1, 120, 160).centres()
    rise = percent / 100 * (np.cos(np.radians(13)) * x + np.sin(np.radians(13)) * y)
    reached = field(build_graph(terrain(rise), CLEAR, Machine(), "loaded_out"), START)
    said = haul_reach("pond", reached, TRIP, (100.0, 1.0), (100.0, 1.0)).at(50.5, 67.5)
    assert said.reached
    assert said.tight == tight


def test_law_a_spot_beside_a_cells_middle_is_judged_as_its_cell_within_a_cell() -> None:
    """Kilns anywhere, not in the middle of cells: sure ground is never short, ground a cell outside always is."""
    reach, reached = reach_of(STEEP)
    out = np.pad(reach.state == 0, 1, constant_values=True)
    deep = np.all([out[1 + r : 121 + r, 1 + c : 161 + c] for r in (-1, 0, 1) for c in (-1, 0, 1)], axis=0)
    draw = np.random.default_rng(23)
    for x, y in draw.uniform((1, 1), (159, 119), (120, 2)):
        cell, said = int(reach.grid.cell_of(x, y)), reach.at(x, y)
        word = spot_word(STEEP, reached, Point(x, y))
        if said.reached and not said.tight:
            assert word != "short"
        if deep.flat[cell]:
            assert word == "short"


def test_law_a_haul_ends_by_time_or_by_slope() -> None:
    x, _ = Grid(0, 120, 1, 120, 160).centres()
    bank = terrain(np.where(x < 60, 500, 500 + 0.5 * (x - 60)))
    reached = field(build_graph(bank, CLEAR, Machine(), "loaded_out"), START)
    reach = haul_reach("pond", reached, TRIP, (100.0, 1.0), (100.0, 1.0))
    assert {limit for limit, _ in reach.edges} == {"slope"}
    assert sentence(reach.at(90, 60).why) == "Water does not arrive by hauling: the slope stops the machine."
    slow = haul_reach("pond", reached, TRIP, (700.0, 1.0), (700.0, 1.0))
    assert "time" in dict(slow.edges)
