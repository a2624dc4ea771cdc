"""The plane against the ellipsoid: geographiclib (Karney 2013), EPSG guidance note 7-2, the GDA Technical Manual."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely
from geographiclib.geodesic import Geodesic
from hypothesis import given
from hypothesis import strategies as st
from pyproj import Transformer
from shapely.geometry import (
    GeometryCollection,
    LineString,
    MultiLineString,
    MultiPoint,
    MultiPolygon,
    Point,
    Polygon,
    box,
)

from sitemap.errors import BadShape
from sitemap.geodesy.plane import Plane, centre, farthest_m, plane_of, wrapped

# where a plane could go wrong: zone seams, both hemispheres, 78° N, the antimeridian, the equator, beside the pole
CENTRES = [
    (-120.0, 44.0),
    (6.0, 51.0),
    (146.3, -37.9),
    (12.0, 78.0),
    (180.0, -16.5),
    (-180.0, 65.0),
    (0.0, 0.0),
    (30.0, 89.99),
    (-70.0, -90.0),
]
ANYWHERE = st.builds(Plane, st.floats(-180, 179.9999), st.floats(-90, 90))
NEARBY_M = st.floats(-10_000, 10_000)


def test_published_transverse_mercator_of_guidance_note_7_2() -> None:
    """EPSG guidance note 7-2, Transverse Mercator example (S): 577274.99 E 69740.50 N, printed to 1 cm.

    It holds the projection library our plane is made with, on the note's own definition.
    """
    grid = Transformer.from_crs(4277, 27700, always_xy=True)
    assert grid.transform(0.5, 50.5) == pytest.approx((577274.99, 69740.50), abs=0.01)


def test_published_flinders_peak_to_buninyong() -> None:
    """GDA Technical Manual (S): 54,972.271 m. Across 55 km the plane may err by its scale at 27 km, 9 ppm - 0.6 ppm."""
    flinders = 144 + 25 / 60 + 29.52440 / 3600, -(37 + 57 / 60 + 3.72030 / 3600)
    buninyong = 143 + 55 / 60 + 35.38390 / 3600, -(37 + 39 / 60 + 10.15610 / 3600)
    plane = Plane(*centre(*zip(flinders, buninyong, strict=True)))
    (ax, ay), (bx, by) = plane.xy(*flinders), plane.xy(*buninyong)
    assert math.hypot(ax - bx, ay - by) == pytest.approx(54972.271, rel=9e-6)


@pytest.mark.parametrize("middle", CENTRES)
@pytest.mark.parametrize("bearing", range(0, 360, 30))
def test_agrees_with_geodesic_within_10_km(middle: tuple[float, float], bearing: int) -> None:
    """geographiclib: a geodesic from the centre, and one of 100 m at its end, within 0.7 ppm of the plane's."""
    plane = Plane(wrapped(middle[0]), middle[1])
    for start_m in (0.0, 5_000.0, 9_900.0):
        near = Geodesic.WGS84.Direct(middle[1], middle[0], bearing, start_m)
        far = Geodesic.WGS84.Direct(near["lat2"], near["lon2"], near["azi2"] + 35, 100.0)
        (ax, ay), (bx, by) = plane.xy(near["lon2"], near["lat2"]), plane.xy(far["lon2"], far["lat2"])
        assert math.hypot(bx - ax, by - ay) == pytest.approx(100.0, rel=0.7e-6)


@given(ANYWHERE, NEARBY_M, NEARBY_M)
def test_law_round_trip(plane: Plane, x: float, y: float) -> None:
    assert plane.xy(*plane.lonlat(x, y)) == pytest.approx((x, y), abs=1e-6)


@given(st.floats(-1e4, 1e4))
def test_law_wrapped_keeps_the_direction(lon: float) -> None:
    turned = wrapped(lon)
    assert -180 <= turned < 180
    assert math.cos(math.radians(turned - lon)) == pytest.approx(1)
    assert wrapped(turned) == turned


def test_law_arrays_and_scalars_take_the_same_path() -> None:
    plane = Plane(-121.3, 44.05)
    lons, lats = np.array([-121.31, -121.29]), np.array([44.04, 44.06])
    xs, ys = plane.xy(lons, lats)
    assert [plane.xy(lon, lat) for lon, lat in zip(lons, lats, strict=True)] == list(zip(xs, ys, strict=True))
    assert isinstance(plane.xy(-121.3, 44.0)[0], float)


def test_law_every_kind_of_shape_comes_back_with_its_heights() -> None:
    plane = Plane(-180.0, 66.0)
    line = LineString([(179.99, 66, 5), (-179.99, 66.01, 7)])
    ring = Polygon([(179.9, 66), (-179.9, 66), (-179.9, 66.1)])
    shapes = [
        Point(179.99, 66.001),
        Point(179.99, 66.001, 812.5),
        line,
        ring,
        MultiPoint([(179.99, 66), (-179.99, 66)]),
        MultiLineString([[(179.99, 66), (-179.99, 66)], [(179.98, 66), (-179.98, 66)]]),
        MultiPolygon([box(179.90, 66, 179.91, 66.01), box(-179.91, 66, -179.90, 66.01)]),
        GeometryCollection([Point(179.99, 66), ring]),
        Point(),
        Polygon(),
    ]
    for shape in shapes:
        there = plane.forward(shape)
        back = plane.inverse(there)
        assert (there.geom_type, there.has_z) == (shape.geom_type, shape.has_z) == (back.geom_type, back.has_z)
        assert shapely.equals_exact(back, shape, tolerance=1e-9)
        if shape.has_z:
            heights = [shapely.get_coordinates(one, include_z=True)[:, 2].tolist() for one in (shape, there, back)]
            assert heights[0] == heights[1] == heights[2]


def test_law_parts_cut_at_180_are_one_piece() -> None:
    """RFC 7946 section 3.1.9 cuts a polygon at the antimeridian; geographiclib gives its whole area."""
    #  179.99 ┌────┬────┐ -179.99
    #         └────┴────┘          both parts, one shape
    cut = MultiPolygon([box(179.99, 66, 180, 66.01), box(-180, 66, -179.99, 66.01)])
    plane = Plane(-180.0, 66.0)
    whole = plane.forward(cut)
    outline = Geodesic.WGS84.Polygon()
    for lat, lon in [(66, 179.99), (66, 180), (66, -179.99), (66.01, -179.99), (66.01, 180), (66.01, 179.99)]:
        outline.AddPoint(lat, lon)
    assert whole.geom_type == "Polygon"
    assert whole.area == pytest.approx(outline.Compute()[2], rel=2e-6)
    assert whole.contains(plane.forward(Point(180, 66.005)))
    assert not whole.contains(plane.forward(Point(179.98, 66.005)))


def test_law_ring_round_the_pole_has_an_inside() -> None:
    ring = Polygon([(lon, 89.95) for lon in range(-180, 180, 10)])
    plane = plane_of([ring])
    assert plane is not None
    assert plane.lat0 == 90.0
    there = plane.forward(ring)
    assert there.is_valid
    assert there.contains(plane.forward(Point(123, 90)))


def test_law_middle_across_180_and_round_the_pole() -> None:
    assert centre([179.999, -179.999], [0.0, 0.0]) == (-180.0, 0.0)
    assert centre([0, 90, 180, -90], [89.0] * 4)[1] == pytest.approx(90.0)
    assert centre([10.0], [-45.0]) == pytest.approx((10.0, -45.0))


def test_law_plane_stays_when_one_feature_moves_a_little() -> None:
    fixed = [Point(-121.300 + step / 1000, 44.050) for step in range(9)]
    assert plane_of([*fixed, Point(-121.302, 44.051)]) == plane_of([*fixed, Point(-121.303, 44.0512)])
    assert hash(plane_of(fixed)) == hash(plane_of(fixed))


def test_law_plane_of_nothing_is_none() -> None:
    assert plane_of([]) is None
    assert plane_of([None, Point(), Polygon()]) is None
    assert farthest_m(Plane(0.0, 0.0), [None, Point()]) == 0.0


def test_agrees_with_geodesic_farthest_vertex() -> None:
    """geographiclib: across 180°, and a quarter of the Earth away where the plane itself would mislead."""
    plane = Plane(179.9, 10.0)
    shapes = [Point(179.9, 10.0), LineString([(180, 10), (-179.5, 10.2)])]
    expected = Geodesic.WGS84.Inverse(10.0, 179.9, 10.2, -179.5)["s12"]
    assert farthest_m(plane, shapes) == pytest.approx(expected, abs=1e-6)
    assert farthest_m(plane, [Point(0, 0)]) == pytest.approx(Geodesic.WGS84.Inverse(10, 179.9, 0, 0)["s12"], abs=1e-6)


def test_refuses_what_is_no_place() -> None:
    plane = Plane(-121.3, 44.05)
    for lat in (95.0, -90.001, math.nan, math.inf):
        with pytest.raises(BadShape, match=r"latitude must lie between −90° and 90°; it is .*swapped"):
            plane.xy(-121.3, lat)
    with pytest.raises(BadShape, match="swapped"):
        plane.forward(LineString([(44.05, -121.3), (44.06, -121.3)]))
    with pytest.raises(BadShape, match="no position on a plane"):
        plane.xy(math.nan, 44.0)
    with pytest.raises(BadShape, match="too far from the plane's middle"):
        plane.lonlat(1e12, 0.0)
    with pytest.raises(BadShape, match="no middle"):
        centre([0.0, 180.0], [0.0, 0.0])
    with pytest.raises(BadShape, match="nothing to take the middle of"):
        centre([], [])
    with pytest.raises(BadShape, match="not a number"):
        centre([math.nan], [0.0])
