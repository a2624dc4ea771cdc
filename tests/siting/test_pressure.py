"""Hoses strained beyond their rating, or drawn flat: the area of reach and the verdict of a spot never disagree."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from shapely.geometry import Point

from sitemap.hydraulics.laying import Piece
from sitemap.hydraulics.pump import curve_pump
from sitemap.hydraulics.supply import gravity
from sitemap.ranges import Drawn, draw_cv
from sitemap.siting.reach import Reach
from sitemap.siting.water_reach import _cautious, hose_reach
from sitemap.telling import tell
from sitemap.terrain.graph import Obstacles, build_graph
from sitemap.terrain.grid import Grid
from sitemap.terrain.routes import Field, field, path_to
from sitemap.terrain.terrain import Terrain
from sitemap.terrain.travel import Hose
from sitemap.water.equipment import Rig
from sitemap.water.hose_line import lift_of
from sitemap.water.hose_verdict import hose_lines
from sitemap.water.pressure_source import NoLineError
from sitemap.water.values import Lay, Need
from tests.properties import thorough
from tests.siting.test_reach import ERROR_M, RIG
from tests.terrain.rasters import terrain

LEVEL_M = 500.0
START = Point(80.5, 60.5)
PLACES = 200 if thorough() else 50
NEED = Need("k1", "Kiln 1", Drawn.exact(900.0), hold_l_min=Drawn.exact(4.0))


def rolling(seed: int, tall_m: float, fall: float = 0.0) -> Terrain:
    """Fresh ground by chance: eight long waves up to tall_m high, on a slope that falls to the east; 500 m at START."""
    chance = np.random.default_rng(seed)
    x, y = Grid(0, 120, 1, 120, 160).centres()
    z = -fall * x
    for _ in range(8):
        towards, length, phase = chance.uniform(0, np.pi), chance.uniform(30, 90), chance.uniform(0, 6)
        z += tall_m / 8 * np.sin(2 * np.pi * (np.cos(towards) * x + np.sin(towards) * y) / length + phase)
    return terrain(z - z.flat[Grid(0, 120, 1, 120, 160).cell_of(START.x, START.y)] + LEVEL_M)


def rig(
    *rated_kpa: float | None, bores: tuple[float, ...] = (25.0, 25.0), head_m: float = 45.0, outlet: float = 6.0
) -> Rig:
    """Four hoses of 20 m, half of them rated for the first pressure, half for the second, on a pump by its curve."""
    pieces = tuple(
        Piece(20.0, bore, 140.0, f"h{kind}", rated, f"hose {kind}", 0.5)
        for kind, (rated, bore) in enumerate(zip(rated_kpa, bores, strict=True))
        for _ in range(2)
    )
    known = [rated for rated in rated_kpa if rated is not None]
    supply = curve_pump(((0.0, head_m), (80.0, 0.8 * head_m), (160.0, 0.0))) if head_m else gravity()
    one = np.ones_like(RIG.supply_share)
    return replace(
        RIG,
        supply=supply,
        pieces=pieces,
        rated_kpa=min(known, default=None),
        supply_share=one,
        outlet_factor=outlet,
        tight=(),
        ends=(("", None), ("", None)),
    )


def judged(used: Rig, ground: Terrain) -> tuple[Reach, Field]:
    reached = field(build_graph(ground, Obstacles(), Hose(), "one_way"), START)
    return hose_reach("pond", reached, used, (900.0, 4.0), (900.0, 4.0), LEVEL_M, ERROR_M), reached


def spot(used: Rig, ground: Terrain, reached: Field, place: Point) -> tuple[str, str]:
    """Verdict of the water room on the quench of a kiln at a place, and its reason."""
    way = path_to(reached, place)
    assert way is not None
    profile = tuple((d, h - LEVEL_M) for d, h in zip(way.distance_m, way.height_m, strict=True))
    lay = Lay("pond", "k1", "hose", way.length_m, profile, profile[-1][1], ERROR_M)
    try:
        line = hose_lines(NEED, used, lay, lift_of(lay, None))[0]
    except NoLineError as fault:
        return fault.word, str(fault)
    return line.verdict, tell(line.reason)


CASES = {
    "the pump strains the first hose": (rig(360.0, None), rolling(1, 6.0), "may burst"),
    "the second hose is weak": (rig(None, 240.0), rolling(2, 6.0), "may burst"),
    "narrow first, weak after": (rig(400.0, 180.0, bores=(19.0, 25.0)), rolling(3, 4.0), "may burst"),
    "a valley strains the hose": (rig(400.0, 400.0), rolling(4, 60.0), "may burst"),
    "by its own fall": (rig(60.0, 60.0, head_m=0.0), rolling(5, 6.0, 0.25), "may burst"),
    "a siphon over a rise": (rig(None, None, head_m=0.0), rolling(6, 9.0, 0.2), "the air's"),
    "a rise with the nozzle open": (
        rig(None, None, bores=(16.0, 16.0), head_m=20.0, outlet=12.0),
        rolling(7, 40.0),
        "the air's",
    ),
}


@pytest.mark.parametrize("name", CASES)
def test_law_area_and_spot_agree_where_a_hose_is_strained(name: str) -> None:
    """At PLACES by chance on fresh ground, each in the middle of a cell: short exactly where not reached. A place
    within a cell of the edge may differ: the way is walked by cells, the spot's profile in between."""
    used, ground, why = CASES[name]
    reach, reached = judged(used, ground)
    inside = reach.state > 0
    near = np.zeros_like(inside)
    for down, right in ((0, 1), (1, 0), (0, -1), (-1, 0), (1, 1), (1, -1), (-1, 1), (-1, -1)):
        near |= inside != np.roll(inside, (down, right), (0, 1))
    told, differ = 0, []
    cells = np.flatnonzero(np.isfinite(reach.route_m) & (reach.route_m < 72))
    for cell in np.random.default_rng(17).choice(cells, PLACES, replace=False):
        place = Point(*(float(part) for part in reach.grid.centre_of(cell)))
        word, reason = spot(used, ground, reached, place)
        said = reach.at(place.x, place.y)
        told += why in reason and word == "short"
        if said.reached != (word != "short") and not near.flat[cell]:
            differ.append((place.x, place.y, said.limit, word, reason))
        if said.reached and not said.tight:
            assert word in ("enough on paper", "tight"), (place, reason)
    assert not differ, differ[:5]
    assert told > PLACES // 40


def test_law_the_cautious_rig_is_as_bad_as_one_draw_in_ten_and_no_worse() -> None:
    """Low and high are the 10th and 90th percentile everywhere: a worn pump at the one, a rough hose at the other."""
    drawn = draw_cv(1.0, 0.2, about="site", quantity="share")
    cautious = _cautious(replace(rig(None, None), supply_share=drawn, friction_share=drawn))
    assert np.mean(drawn[1:] >= cautious.supply_share[0]) == pytest.approx(0.9, abs=0.002)
    assert np.mean(drawn[1:] <= cautious.friction_share[0]) == pytest.approx(0.9, abs=0.002)
