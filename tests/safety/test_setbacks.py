"""Distances and margins on drawn shapes, and the columns against a plain loop."""

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from sitemap.errors import BadValue
from sitemap.reasons import Term
from sitemap.safety.near import WORDS, Spot, Targets, targets_by_rule, verdict_codes
from sitemap.safety.rules import Rule
from sitemap.safety.setbacks import Setback, distance_checks, nearest_lines, setbacks_of
from sitemap.safety.targets import Target
from sitemap.telling import tell

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
    (found,) = of_one(kiln(radius_m=2.0), things((shapely.box(20, -5, 30, 5), 25.0)))
    assert found.distance_m == pytest.approx(18.0)
    assert found.margin_m == pytest.approx(-7.0)
    assert found.verdict == "too close"


def test_law_a_kiln_in_the_yard_of_a_ring_measures_to_the_ring() -> None:
    ring = shapely.box(-50, -50, 50, 50).difference(shapely.box(-10, -10, 10, 10))
    (found,) = of_one(kiln(radius_m=0.0), things((ring, 30.0)))
    assert found.distance_m == pytest.approx(10.0)


def test_law_inside_a_shape_is_no_distance_at_all() -> None:
    (found,) = of_one(kiln(), things((shapely.box(-50, -50, 50, 50), 0.0)))
    assert (found.distance_m, found.verdict) == (0.0, "too close")


def of_one(spot: Spot, targets: Targets, beyond_m: float = 30.0) -> tuple[Setback, ...]:
    (found,) = setbacks_of([spot], targets, beyond_m)
    return found


def test_agrees_with_a_plain_loop() -> None:
    """Every target the loop finds within its rule, its error and 30 m, the nearest of each kind, and no other, for many
    kilns at once; distances by shapely one pair at a time. The kilns themselves are the kind that is rarest."""
    rng = np.random.default_rng(7)
    shapes = shapely.buffer(shapely.points(rng.uniform(0, 800, (80, 2))), rng.uniform(1, 20, 80), quad_segs=3)
    needs = {"near thing": 40.0, "rare thing": 3.0, "asked for": None, "kiln_spot": 6.0}
    kinds = ["rare thing"] * 3 + ["asked for"] * 2 + ["near thing"] * 75
    targets = [
        Target(f"t{n}", "T", kind, Term("thing"), "", shape, float(n % 3))
        for n, (kind, shape) in enumerate(zip(kinds, shapes, strict=True))
    ]
    spots = [
        Spot(f"k{n}", "K", shapely.Point(*place), 1.5, 2.0) for n, place in enumerate(rng.uniform(0, 800, (20, 2)))
    ]
    targets += [Target(s.id, "K", "kiln_spot", Term("kiln"), "", s.place.buffer(1.5), s.error_m) for s in spots]
    rules = tuple(Rule(kind, kind, "", need, "", "", "") for kind, need in needs.items())
    columns = targets_by_rule(targets, rules, (), None)
    for spot, setbacks in zip(spots, setbacks_of(spots, columns), strict=True):
        apart = {t.id: (t, max(t.shape.distance(spot.place) - 1.5, 0.0)) for t in targets if t.id != spot.id}
        nearest = {kind: min(m for t, m in apart.values() if t.kind == kind) for kind in needs}
        within = {t.id: max((needs[t.kind] or 0.0) + 32.0 + t.error_m, nearest[t.kind]) for t, _ in apart.values()}
        assert {each.feature for each in setbacks} == {
            key for key, (_, metres) in apart.items() if metres <= within[key]
        }
        for each in setbacks:
            need, metres = needs[each.kind], apart[each.feature][1]
            assert each.distance_m == pytest.approx(metres, abs=1e-9)
            if need is not None:
                assert each.verdict == WORDS[verdict_codes(metres, need, 2.0 + apart[each.feature][0].error_m)]


def test_law_nothing_to_keep_clear_of_gives_nothing() -> None:
    assert of_one(kiln(), things()) == ()


def test_law_a_kiln_is_no_target_of_itself() -> None:
    own = Target("k", "K", "kiln_spot", Term("kiln"), "", shapely.Point(0, 0).buffer(1.5), 5.0)
    assert of_one(kiln(), targets_by_rule([own], (), (), None)) == ()


def test_law_all_are_listed_where_all_are_asked_for() -> None:
    far = [Target(f"t{n}", "T", "thing", Term("thing"), "", shapely.Point(500 * n, 0), 0.0) for n in (1, 2)]
    columns = targets_by_rule(far, (Rule("r", "thing", "", 8.0, "", "", ""),), (), None)
    assert [each.feature for each in of_one(kiln(), columns)] == ["t1"]
    assert [each.feature for each in of_one(kiln(), columns, np.inf)] == ["t1", "t2"]


@pytest.mark.parametrize(
    ("count", "said"), [(1, ""), (2, "T1"), (5, "T1, T2, T3 and T4"), (7, "T1, T2, T3, T4 and 2 more")]
)
def test_law_what_does_not_pass_beside_the_worst_is_named_or_counted(count: int, said: str) -> None:
    """A kiln among heaps: whoever moves one must not think that it was the last."""
    heaps = [Target(f"t{n}", f"T{n}", "heap", Term("thing"), "", shapely.Point(5 + n, 0), 0.0) for n in range(count)]
    clear = Target("far", "Far", "heap", Term("thing"), "", shapely.Point(0, 60), 0.0)
    columns = targets_by_rule([clear, *heaps], (Rule("r", "heap", "", 20.0, "", "", ""),), (), None)
    (check,) = distance_checks(of_one(kiln(), columns))
    assert (check.about, check.verdict) == ("t0", "too close")
    told = tell(check.reason)
    assert told.endswith(f"; nor do these of its kind pass: {said}") if said else "nor do" not in told


def test_law_nearest_line_runs_from_rim_to_edge() -> None:
    (line,) = nearest_lines(shapely.Point(0, 0), 2.0, np.array([shapely.box(20, -5, 30, 5)]))
    assert line == ((pytest.approx(2.0), pytest.approx(0.0)), (pytest.approx(20.0), pytest.approx(0.0)))
    (inside,) = nearest_lines(shapely.Point(0, 0), 2.0, np.array([shapely.box(1, -5, 30, 5)]))
    assert inside[0] == inside[1]


@given(st.floats(-100, 100), st.floats(-100, 100))
def test_law_nearest_line_is_as_long_as_the_distance(x: float, y: float) -> None:
    box = shapely.box(120, 120, 130, 140)
    (((x0, y0), (x1, y1)),) = nearest_lines(shapely.Point(x, y), 1.5, np.array([box]))
    assert np.hypot(x1 - x0, y1 - y0) == pytest.approx(shapely.Point(x, y).distance(box) - 1.5, abs=1e-6)


def test_refuses_negative_rules() -> None:
    with pytest.raises(BadValue, match="rule must not be below 0 m; it is −1 m"):
        verdict_codes(3.0, -1.0, 0.0)
    with pytest.raises(BadValue, match="distance"):
        verdict_codes(float("nan"), 1.0, 0.0)
