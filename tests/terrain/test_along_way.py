"""What lies along the ways to all cells at once: lengths, slopes and heights."""

from __future__ import annotations

import numpy as np
import pytest
from shapely.geometry import Point

from sitemap.terrain.along_way import way_extremes, way_lengths, way_steepest_pct
from sitemap.terrain.graph import Obstacles, build_graph
from sitemap.terrain.routes import field, path_to
from sitemap.terrain.travel import Machine
from tests.terrain.rasters import hill, terrain

CLEAR = Obstacles()


def test_agrees_with_the_single_way_in_every_cell() -> None:
    """Lengths, heights and slopes of all ways at once, by joining stretches of doubled length, against the ways walked
    one by one.
    """
    ground = terrain(hill())
    reached = field(build_graph(ground, CLEAR, Machine(width_m=0.5), "loaded_out"), Point(20.5, 30.5))
    lengths, steepest, (lowest, highest) = way_lengths(reached), way_steepest_pct(reached), way_extremes(reached)
    draw = np.random.default_rng(5)
    for cell in draw.choice(ground.grid.size, 40, replace=False):
        x, y = (float(part) for part in ground.grid.centre_of(cell))
        way = path_to(reached, Point(x, y))
        assert lengths.flat[cell] == pytest.approx(way.length_m, rel=1e-5)
        assert steepest.flat[cell] == pytest.approx(max(way.steepest_up_pct, way.steepest_down_pct), rel=1e-4)
        heights = ground.elevation(*np.array(way.line.coords).T)
        assert (lowest.flat[cell], highest.flat[cell]) == pytest.approx((heights.min(), heights.max()), abs=1e-3)
    limits = reached.graph.travel_cost
    assert np.nanmax(steepest) <= max(limits.loaded_up_pct, limits.loaded_down_pct)


def test_law_no_way_has_no_length() -> None:
    z = hill()
    z[:, 50:53] = np.nan
    reached = field(build_graph(terrain(z), CLEAR, Machine(), "loaded_out"), Point(20.5, 30.5))
    assert np.isinf(way_lengths(reached)[:, 60:]).all()
    assert np.isnan(way_steepest_pct(reached)[:, 60:]).all()
    assert np.isnan(way_extremes(reached)[1][:, 60:]).all()
