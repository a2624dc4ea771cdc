"""Water hauled to a kiln: from the nearest of several sources, for one place and for the whole ground alike."""

from __future__ import annotations

import numpy as np
import pytest
from shapely.geometry import Point

from sitemap.siting.work import Heap, Rates, WaterHaul, Work
from sitemap.terrain.graph import Obstacles
from sitemap.terrain.grid import Grid
from sitemap.terrain.terrain import Terrain
from sitemap.terrain.travel import Machine

GRID = Grid(0.0, 160.0, 4.0, 40, 40)
WEST, EAST = Point(6.0, 82.0), Point(154.0, 82.0)
HEAP = Heap("p", "Heap", Point(82.0, 150.0), 1.0)


def work(*sources: Point, ground: Terrain | None) -> Work:
    return Work((HEAP,), ground, Obstacles(), Machine(), Rates(), WaterHaul(sources))


def hours(*sources: Point, ground: Terrain | None) -> np.ndarray:
    return work(*sources, ground=ground).coarse_hours(GRID, 2, lambda *_: None)[0]


@pytest.mark.parametrize("level", [False, True])
def test_law_water_is_hauled_from_the_nearest_of_several_sources(level: bool) -> None:
    """Two sources are worth what the nearer of them is, block by block, and each is the nearer one somewhere."""
    ground = Terrain(GRID, np.full(GRID.shape, 500.0, np.float32), 4.0) if level else None
    west, east, both = (hours(*sources, ground=ground) for sources in ((WEST,), (EAST,), (WEST, EAST)))
    np.testing.assert_allclose(both, np.minimum(west, east))
    assert (west < east).any()
    assert (east < west).any()


def test_law_one_place_and_the_whole_ground_agree_on_the_water() -> None:
    """Straight ways: trips and loads of one tonne by hand, at the middle of each block."""
    both, without = hours(WEST, EAST, ground=None), hours(ground=None)
    coarse = GRID.coarser(2)
    place = work(WEST, EAST, ground=None)
    assert np.isinf(without).all()
    for block in (0, 57, 210, 399):
        x, y = coarse.centre_of(np.array([block]))
        spot = Point(float(x[0]), float(y[0]))
        (haul,) = place.hauls_to(spot)
        assert haul is not None
        assert both[block] == pytest.approx(haul.hours + HEAP.dry_t * place.water_h_per_t(spot))
