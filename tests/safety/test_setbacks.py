"""Distances and margins on drawn shapes, and the columns against a plain loop."""

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from sitemap.errors import BadShape, BadValue
from sitemap.safety.setbacks import WORDS, distances, nearest_line, verdict_codes

metres = st.floats(0, 500)


@pytest.mark.parametrize(
    ("distance", "required", "error", "word"),
    [
        (5.0, 8.0, 10.0, "too close"),  # 3 m inside the rule is never "measure"
        (8.0, 8.0, 1.0, "measure on the ground"),
        (8.0, 8.0, 0.0, "far enough"),
        (17.9, 8.0, 10.0, "measure on the ground"),
        (18.0, 8.0, 10.0, "far enough"),
        (0.0, 0.0, 0.0, "too close"),  # inside a no-go area whose rule is 0 m
        (3.0, 0.0, 5.0, "measure on the ground"),
    ],
)
def test_law_margin_sign(distance, required, error, word) -> None:
    assert WORDS[verdict_codes(distance, required, error)] == word


@given(metres, metres, metres, st.floats(0, 100))
def test_law_further_away_is_never_worse(distance: float, required: float, error: float, step: float) -> None:
    assert verdict_codes(distance + step, required, error) <= verdict_codes(distance, required, error)
    assert verdict_codes(distance, required + step, error) >= verdict_codes(distance, required, error)
    assert verdict_codes(distance, required, error + step) >= verdict_codes(distance, required, error)


#   y
#   |   ┌────┐ box 20…30 × −5…5          kiln at the origin, radius 2
#   K   │    │   edge to edge 20 − 2 = 18 m
#   |   └────┘
def test_law_edge_to_edge_of_a_drawn_box() -> None:
    found = distances([shapely.Point(0, 0)], [shapely.box(20, -5, 30, 5)], 25.0, 0.0, 2.0)
    assert found.distance_m == pytest.approx([18.0])
    assert found.margin_m == pytest.approx([-7.0])
    assert [WORDS[code] for code in found.code] == ["too close"]


def test_law_a_kiln_in_the_yard_of_a_ring_measures_to_the_ring() -> None:
    ring = shapely.box(-50, -50, 50, 50).difference(shapely.box(-10, -10, 10, 10))
    assert distances([shapely.Point(0, 0)], [ring], 30.0).distance_m == pytest.approx([10.0])


def test_law_inside_a_shape_is_no_distance_at_all() -> None:
    found = distances([shapely.Point(0, 0)], [shapely.box(-50, -50, 50, 50)], 0.0)
    assert (found.distance_m[0], found.code[0]) == (0.0, 2)


def test_agrees_with_a_plain_loop() -> None:
    """Every pair the loop finds not far enough, and no other; distances by shapely one pair at a time."""
    rng = np.random.default_rng(7)
    places = shapely.points(rng.uniform(0, 800, (60, 2)))
    centres, radii = shapely.points(rng.uniform(0, 800, (80, 2))), rng.uniform(1, 20, 80)
    things = shapely.buffer(centres, radii, quad_segs=3)
    required = rng.choice([0.0, 8.0, 30.0, 305.0], 80)
    found = distances(places, things, required, 10.0, 1.5)
    seen = {(int(i), int(j)): float(d) for i, j, d in zip(found.shape, found.feature, found.distance_m, strict=True)}
    for i, place in enumerate(places):
        for j, thing in enumerate(things):
            apart = max(place.distance(thing) - 1.5, 0.0)
            if apart < required[j] + 10.0:
                assert seen.pop((i, j)) == pytest.approx(apart, abs=1e-9)
    assert seen == {}
    assert np.all(np.diff(found.shape) >= 0)


def test_law_nothing_near_gives_empty_columns() -> None:
    assert distances([shapely.Point(0, 0)], [shapely.Point(1000, 0)], 30.0, 10.0).code.size == 0
    assert distances([], [shapely.Point(0, 0)], 30.0).code.size == 0
    assert distances([shapely.Point(0, 0)], [], np.empty(0)).code.size == 0


def test_law_nearest_line_runs_from_rim_to_edge() -> None:
    line = nearest_line(shapely.Point(0, 0), 2.0, shapely.box(20, -5, 30, 5))
    assert line == ((pytest.approx(2.0), pytest.approx(0.0)), (pytest.approx(20.0), pytest.approx(0.0)))
    inside = nearest_line(shapely.Point(0, 0), 2.0, shapely.box(1, -5, 30, 5))
    assert inside[0] == inside[1]


@given(st.floats(-100, 100), st.floats(-100, 100))
def test_law_nearest_line_is_as_long_as_the_distance(x: float, y: float) -> None:
    box = shapely.box(120, 120, 130, 140)
    (x0, y0), (x1, y1) = nearest_line(shapely.Point(x, y), 1.5, box)
    assert np.hypot(x1 - x0, y1 - y0) == pytest.approx(shapely.Point(x, y).distance(box) - 1.5, abs=1e-6)


def test_refuses_missing_shapes_and_negative_rules() -> None:
    with pytest.raises(BadShape, match="Feature 0 has no place"):
        distances([shapely.Point(0, 0)], [None], 3.0)
    with pytest.raises(BadShape, match="Shape 1 has no place"):
        distances([shapely.Point(0, 0), shapely.Point()], [shapely.Point(0, 0)], 3.0)
    with pytest.raises(BadValue, match="rule must not be below 0 m; it is -1 m"):
        verdict_codes(3.0, -1.0, 0.0)
    with pytest.raises(BadValue, match="distance"):
        verdict_codes(float("nan"), 1.0, 0.0)
