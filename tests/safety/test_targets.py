"""What features are for the rules: blanks are taken the cautious way, and said."""

import math
from types import SimpleNamespace as Of

import pytest
import shapely

from sitemap.between import feed_minutes
from sitemap.safety.of_site import Around, targets_of
from sitemap.safety.rules import Rule
from sitemap.safety.targets import feed_heap
from sitemap.site.model import Site
from sitemap.telling import tell
from tests.safety.drawn import PLANE, feature, target

AT = shapely.Point(100, 0)
LINE = shapely.LineString([(100, -50), (100, 50)])


@pytest.mark.parametrize(
    ("kind", "shape", "values", "use", "said"),
    [
        ("structure", AT, {}, "occupied_by_others", {"use", "footprint"}),
        ("structure", AT, {"use": "own"}, "own", {"footprint"}),
        ("structure", AT.buffer(5), {"use": "own"}, "own", set()),
        ("road", LINE, {}, "public", {"public", "width_m"}),
        ("road", LINE, {"public": False, "width_m": 4}, "private", set()),
        ("power_line", LINE, {}, "overhead", {"overhead", "width_m"}),
        ("power_line", LINE, {"overhead": False}, "buried", {"width_m"}),
        ("water_source", AT, {}, "open_water", {"source", "footprint"}),
        ("water_source", AT, {"source": "tank"}, "contained", set()),
        ("pile", AT, {"length_m": 4, "width_m": 3, "height_m": 2}, "heap", set()),  # half of 24 m³
        ("pile", AT, {"length_m": 12, "width_m": 8, "height_m": 2}, "large_heap", set()),  # half of 192 m³
        ("pile", AT, {"length_m": 7.5, "width_m": 6, "height_m": 2}, "large_heap", {"heap_size"}),  # 47 m³, or more
        ("pile", AT, {"length_m": 3, "width_m": 3, "height_m": 3.1}, "large_heap", set()),
        ("pile", AT, {}, "large_heap", {"heap_size", "footprint"}),
        ("pile", AT, {"packing": "loose_brush"}, "large_heap", {"heap_size", "footprint"}),  # size unknown is large
        ("pile", AT, {"staged_feed": True}, "large_heap", {"heap_size", "footprint"}),
        ("pile", AT, {"staged_feed": True, "length_m": 2, "width_m": 2, "height_m": 1}, "staged", set()),
        ("pile", AT, {"status": "burned", "length_m": 9, "width_m": 9, "height_m": 4}, "burned", set()),
        ("windrow", LINE, {"width_m": 4, "height_m": 2}, "large_heap", set()),  # 100 m long
    ],
)
def test_law_use_of_a_feature(kind, shape, values, use, said) -> None:
    thing = target(feature("x", kind, shape, **values))
    assert thing.use == use
    assert {note.what for note in thing.notes} - ({"footprint"} if use == "burned" else set()) == said


def test_law_a_point_pile_is_the_circle_through_its_corners() -> None:
    """6 × 8 m: half the diagonal is 5 m by Pythagoras, so the circle's area is 25 π."""
    thing = target(feature("p", "pile", AT, length_m=6, width_m=8, height_m=2))
    assert thing.shape.area == pytest.approx(25 * math.pi, rel=0.002)
    assert AT.distance(thing.shape.boundary) == pytest.approx(5.0, rel=0.002)


def test_law_a_feed_heap_lasts_a_quarter_of_an_hour_at_most() -> None:
    """15 minutes' supply: FIELD 5; common practice, no source. How long is not known: a heap like any other."""
    small = target(feature("s", "pile", AT, staged_feed=True, length_m=2, width_m=2, height_m=1))
    assert [feed_heap(small, minutes).use for minutes in (4.0, 15.0, 15.1, 400.0, None)] == [
        *("staged", "staged", "heap", "heap", "heap")
    ]
    assert feed_heap(small, 15.0).notes == small.notes
    assert "15 min at most" in tell(feed_heap(small, 40.0).notes[-1].text)


@pytest.mark.parametrize(
    ("kind", "half_m", "more_m"), [("road", 3.0, 3.0), ("railway", 2.0, 2.5), ("stream", 1.0, 2.0)]
)
def test_law_a_distance_runs_to_the_edge_of_what_is_drawn_along_its_middle(kind, half_m, more_m) -> None:
    """The line lies 50 m east of the origin. A width not entered is taken, and the place is less well known by half of
    what it may be wider."""
    east = shapely.LineString([(50, -50), (50, 50)])
    taken, typed = target(feature("x", kind, east)), target(feature("x", kind, east, width_m=9.0))
    assert taken.shape.distance(shapely.Point(0, 0)) == pytest.approx(50 - half_m)
    assert typed.shape.distance(shapely.Point(0, 0)) == pytest.approx(45.5)
    assert (taken.error_m, typed.error_m) == (5.0 + more_m, 5.0)
    assert target(feature("x", kind, shapely.box(40, -50, 60, 50))).shape.area == pytest.approx(2000, rel=1e-3)


def test_law_a_holding_drawn_as_an_area_counts_by_its_edge() -> None:
    thing = target(feature("h", "property_line", shapely.box(-200, -200, 200, 200)))
    assert thing.shape.distance(shapely.Point(150, 0)) == pytest.approx(50.0, abs=1e-3)


def test_law_a_pond_marked_by_a_point_has_the_area_entered() -> None:
    thing = target(feature("w", "water_source", AT, source="pond", area_m2=400.0))
    assert thing.shape.area == pytest.approx(400.0, rel=0.002)


@pytest.mark.parametrize(
    ("kind", "values", "metres", "assumed"),
    [
        ("kiln_spot", {}, 5.0, True),
        ("kiln_spot", {"under_trees": True}, 10.0, True),
        ("kiln_spot", {"under_trees": True, "position_error_m": 0.5}, 0.5, False),
        ("hazard_tree", {"height_m": 20}, 10.0, True),
        ("structure", {"use": "own"}, 17.0, True),  # drawn as a mark: it may be a barn of 24 m
        ("water_source", {"source": "tank"}, 5.0, True),
        ("water_source", {"source": "pond", "area_m2": 200}, 5.0, True),
    ],
)
def test_law_position_errors(kind, values, metres, assumed) -> None:
    thing = target(feature("x", kind, AT, **values))
    assert (thing.error_m, thing.error_assumed) == (metres, assumed)


def test_law_burned_heaps_and_piped_water_are_left_out() -> None:
    features = (
        feature("a", "pile", AT, status="cold"),
        feature("b", "water_source", AT, source="hydrant"),
        feature("c", "smoke_place", AT),
        feature("d", "fuel_store", AT),
        feature("e", "no such kind", AT),
    )
    kinds = ("pile", "water_source", "fuel_store", "no such kind")
    rules = tuple(Rule(kind, kind, "", 5.0, "", "", "") for kind in kinds)
    assert [each.id for each in targets_of(Around(features, rules, PLANE))] == ["d"]


def test_law_a_crossed_or_missing_shape_has_no_place() -> None:
    bow_tie = shapely.Polygon([(0, 0), (10, 10), (10, 0), (0, 10)])
    assert target(feature("x", "wetland", bow_tie)).shape is None
    assert target(feature("x", "wetland", None)).shape is None


def test_published_minutes_a_staged_heap_feeds_the_slowest_kiln() -> None:
    """By hand: 0.05 t at 0.1 t/h are 30 min; one of unknown packing is left out."""
    heaps = feature("p", "pile", AT, packing="tops"), feature("q", "pile", AT)
    slash = Of(items=tuple(Of(id=heap.id, large_t=0.05) for heap in heaps))
    burns = Of(kilns=tuple(Of(feed_dry_t_per_h=Of(likely=rate)) for rate in (0.0, 0.1, 0.25)))
    assert feed_minutes(Site(heaps), PLANE, slash, burns) == (("p", pytest.approx(30)),)
