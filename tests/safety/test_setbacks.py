"""Distances and margins on drawn shapes, and the columns against a plain loop."""

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from sitemap.errors import BadValue
from sitemap.reasons import Term
from sitemap.safety.rules import Rule
from sitemap.safety.setbacks import WORDS, Spot, Targets, nearest_line, setbacks_of, targets_by_rule, verdict_codes
from sitemap.safety.targets import Target

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


def things(*drawn: tuple[shapely.Geometry, float]) -> Targets:
    """Shapes, each with its own rule [m]."""
    targets = [
        Target(f"t{n}", f"T{n}", f"kind{n}", Term("thing"), "", shape, 10.0) for n, (shape, _) in enumerate(drawn)
    ]
    rules = [Rule(f"r{n}", f"kind{n}", "", need, "", "", "") for n, (_, need) in enumerate(drawn)]
    return targets_by_rule(targets, tuple(rules), (), None)


def kiln(x: float = 0.0, y: float = 0.0, radius_m: float = 1.5) -> Spot:
    return Spot("k", "K", shapely.Point(x, y), radius_m, 0.0)


#   y
#   |   ┌────┐ box 20…30 × −5…5          kiln at the origin, radius 2
#   K   │    │   edge to edge 20 − 2 = 18 m
#   |   └────┘
def test_law_edge_to_edge_of_a_drawn_box() -> None:
    (found,) = setbacks_of(kiln(radius_m=2.0), things((shapely.box(20, -5, 30, 5), 25.0)))
    assert found.distance_m == pytest.approx(18.0)
    assert found.margin_m == pytest.approx(-7.0)
    assert found.verdict == "too close"


def test_law_a_kiln_in_the_yard_of_a_ring_measures_to_the_ring() -> None:
    ring = shapely.box(-50, -50, 50, 50).difference(shapely.box(-10, -10, 10, 10))
    (found,) = setbacks_of(kiln(radius_m=0.0), things((ring, 30.0)))
    assert found.distance_m == pytest.approx(10.0)


def test_law_inside_a_shape_is_no_distance_at_all() -> None:
    (found,) = setbacks_of(kiln(), things((shapely.box(-50, -50, 50, 50), 0.0)))
    assert (found.distance_m, found.verdict) == (0.0, "too close")


def test_agrees_with_a_plain_loop() -> None:
    """Every target the loop finds within its rule, its error and 30 m, and no other; distances by shapely one pair at a
    time. Each target is a kind of its own, so the nearest of each kind would list all: they are held of one kind."""
    rng = np.random.default_rng(7)
    places = rng.uniform(0, 800, (20, 2))
    shapes = shapely.buffer(shapely.points(rng.uniform(0, 800, (80, 2))), rng.uniform(1, 20, 80), quad_segs=3)
    rule = Rule("r", "thing", "", 40.0, "", "", "")
    targets = [Target(f"t{n}", "T", "thing", Term("thing"), "", shape, 10.0) for n, shape in enumerate(shapes)]
    columns = targets_by_rule(targets, (rule,), (), None)
    for x, y in places:
        seen = {each.feature: each for each in setbacks_of(kiln(x, y), columns)}
        apart = {t.id: max(t.shape.distance(shapely.Point(x, y)) - 1.5, 0.0) for t in targets}
        nearest = min(apart.values())
        assert set(seen) == {key for key, metres in apart.items() if metres <= max(40.0 + 10.0 + 30.0, nearest)}
        for key, setback in seen.items():
            assert setback.distance_m == pytest.approx(apart[key], abs=1e-9)
            assert setback.verdict == WORDS[verdict_codes(apart[key], 40.0, 10.0)]


def test_law_nothing_to_keep_clear_of_gives_nothing() -> None:
    assert setbacks_of(kiln(), things()) == ()


def test_law_a_kiln_is_no_target_of_itself() -> None:
    own = Target("k", "K", "kiln_spot", Term("kiln"), "", shapely.Point(0, 0).buffer(1.5), 5.0)
    assert setbacks_of(kiln(), targets_by_rule([own], (), (), None)) == ()


def test_law_all_are_listed_where_all_are_asked_for() -> None:
    far = [Target(f"t{n}", "T", "thing", Term("thing"), "", shapely.Point(500 * n, 0), 0.0) for n in (1, 2)]
    columns = targets_by_rule(far, (Rule("r", "thing", "", 8.0, "", "", ""),), (), None)
    assert [each.feature for each in setbacks_of(kiln(), columns)] == ["t1"]
    assert [each.feature for each in setbacks_of(kiln(), columns, np.inf)] == ["t1", "t2"]


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


def test_refuses_negative_rules() -> None:
    with pytest.raises(BadValue, match="rule must not be below 0 m; it is −1 m"):
        verdict_codes(3.0, -1.0, 0.0)
    with pytest.raises(BadValue, match="distance"):
        verdict_codes(float("nan"), 1.0, 0.0)
