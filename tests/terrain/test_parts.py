"""A part of a graph: the ways in it are those of the whole."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry import Point

from sitemap.terrain.grid import Grid
from sitemap.terrain.routes import Obstacles, build_graph, field, path_to
from sitemap.terrain.terrain import Terrain
from sitemap.terrain.travel import Hose, Machine, Walker
from tests.properties import examples

_DOWN, _RIGHT = np.mgrid[:180, :180]
WIDE = Terrain(Grid(0.0, 360.0, 2.0, 180, 180), (0.1 * _RIGHT + 3 * np.sin(_DOWN / 9 + _RIGHT / 7)).astype("f4"), 2.0)
coordinate = st.floats(1, 59, allow_nan=False)


@examples(10)
@given(
    ends=st.tuples(st.tuples(coordinate, coordinate), st.tuples(coordinate, coordinate)),
    longer=st.floats(1.0, 2.0),
    cost=st.sampled_from([(Hose(), "one_way"), (Walker(), "loaded_out"), (Machine(), "loaded_back")]),
)
def test_law_every_way_of_so_much_cost_lies_in_the_part_between_its_ends(ends, longer, cost) -> None:
    """A wide hilly ground with a pond in it: the part leaves out most of it, and the way costs the same to a digit."""
    graph = build_graph(WIDE, Obstacles(closed=(Point(175, 185).buffer(9),)), *cost)
    start, end = (Point(150 + x, 150 + y) for x, y in ends)
    limit = longer * graph.level_cost(max(20.0, start.distance(end)))
    part = graph.between(start, end, limit)
    assert part.grid.size < graph.grid.size
    whole, near = (path_to(field(each, start, limit), end) for each in (graph, part))
    assert (near is None) == (whole is None)
    if whole is not None:
        assert near.cost == pytest.approx(whole.cost, rel=1e-12)
        assert near.line.length == pytest.approx(whole.line.length, rel=1e-6)


def test_law_no_slope_is_quicker_than_the_quickest() -> None:
    slopes = np.linspace(-0.6, 0.6, 241)
    for cost in (Hose(), Walker(), Machine()):
        for loaded in (True, False):
            best = cost.cost(np.array(cost.quickest_slope), np.hypot(1.0, cost.quickest_slope), loaded)
            assert (cost.cost(slopes, np.hypot(1.0, slopes), loaded) >= best * (1 - 1e-12)).all()
