"""Measures on the plane against geographiclib (Karney 2013) and the GDA Technical Manual."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
from geographiclib.geodesic import Geodesic
from hypothesis import given
from hypothesis import strategies as st
from pyproj import Geod, Proj
from shapely.geometry import LineString, MultiPolygon, Point, Polygon, box

from sitemap.errors import BadShape, BadValue
from sitemap.geodesy import measure
from sitemap.geodesy.plane import Plane, plane_of, wrapped

PLACES = {
    "zone seam": (-120.0, 44.0),
    "zone seam, south": (150.0, -33.0),
    "Norway's wide zone": (3.0, 61.0),
    "Svalbard": (21.0, 78.0),
    "antimeridian": (180.0, -16.5),
    "antimeridian, arctic": (180.0, 71.0),
    "equator": (36.0, 0.0),
    "north pole": (40.0, 89.97),
    "south pole": (-120.0, -89.97),
}


def walked(middle: tuple[float, float], legs: list[tuple[float, float]]) -> list[tuple[float, float]]:
    """Vertices (lon, lat) reached by geodesics of (bearing, metres) from the middle, with geographiclib."""
    ends = (Geodesic.WGS84.Direct(middle[1], middle[0], bearing, metres) for bearing, metres in legs)
    return [(wrapped(end["lon2"]), end["lat2"]) for end in ends]


def on_plane(lonlats: list[tuple[float, float]], kind: Any) -> tuple[Plane, Any]:
    shape = kind(lonlats)
    plane = plane_of([shape])
    assert plane is not None
    return plane, plane.forward(shape)


@pytest.mark.parametrize(
    "line",
    [
        # lat1, lon1, azimuth, lat2, lon2, azimuth there, metres: GeodTest lines (P) that geographiclib ships
        (35.60777, -139.44815, 111.098748429560326, -11.17491, -69.95921, 129.289270889708762, 8935244.5604818305),
        (55.52454, 106.05087, 22.020059880982801, 77.03196, 197.18234, 109.112041110671519, 4105086.1713924406),
        (-66.99028, 112.2363, 173.73491240878403, -12.70631, 285.90344, 2.512956620913668, 11150344.2312080241),
        (-68.82867, -74.28391, 93.774347763114881, -50.63005, -8.36685, 34.65564085411343, 3956936.926063544),
    ],
)
def test_published_geodtest_lines_hold_for_our_ellipsoid(line: tuple[float, ...]) -> None:
    """GeodTest (CC0, Karney 2010): our ellipsoid and library, to the micrometre and 1e-9 degree."""
    lat1, lon1, azimuth, lat2, lon2, ahead, metres = line
    there, back, length = measure.WGS84.inv(lon1, lat1, lon2, lat2)
    assert length == pytest.approx(metres, abs=1e-6)
    assert there == pytest.approx(azimuth, abs=1e-9)
    assert back % 360 == pytest.approx((ahead + 180) % 360, abs=1e-9)


def test_published_flinders_peak_to_buninyong() -> None:
    """GDA Technical Manual (S): 54,972.271 m, azimuth 306 52 05.37; GRS80 and WGS 84 differ by 0.1 mm here."""
    flinders = 144 + 25 / 60 + 29.52440 / 3600, -(37 + 57 / 60 + 3.72030 / 3600)
    buninyong = 143 + 55 / 60 + 35.38390 / 3600, -(37 + 39 / 60 + 10.15610 / 3600)
    assert Geod(ellps="GRS80").inv(*flinders, *buninyong)[2] == pytest.approx(54972.271, abs=0.001)
    plane = Plane(144.18, -37.80)
    start, end = plane.forward(Point(flinders)), plane.forward(Point(buninyong))
    assert measure.azimuth_deg(plane, start, end) == pytest.approx(306 + 52 / 60 + 5.37 / 3600, abs=0.01 / 3600)
    # 27 km from the centre the scale is off by 9 ppm at most (D): beyond the 10 km the plane is meant for
    assert measure.distance_m(start, end) == pytest.approx(54972.271, rel=9e-6)


def test_agrees_with_projection_library_on_convergence() -> None:
    """The azimuth is grid bearing plus the meridian's lean, which PROJ works out by itself (pyproj.Proj.get_factors).

    9 km east of a centre at 78° N grid north lies 0.4° off true north; the first-order Δλ·sin φ says the same.
    """
    plane = Plane(15.0, 78.0)
    start, end = Point(9000, 0), Point(9000, 10)  # due grid north, too short to bend
    azimuth = measure.azimuth_deg(plane, start, end)
    lon, lat = plane.lonlat(start.x, start.y)
    assert azimuth == pytest.approx(Proj(plane.definition).get_factors(lon, lat).meridian_convergence, abs=1e-4)
    assert azimuth == pytest.approx((lon - 15.0) * math.sin(math.radians(lat)), abs=1e-3)
    assert azimuth == pytest.approx(0.38, abs=0.01)


@pytest.mark.parametrize("middle", PLACES.values(), ids=PLACES.keys())
def test_agrees_with_geodesic_distance_and_azimuth(middle: tuple[float, float]) -> None:
    """geographiclib: 7 km lines, length within 0.7 ppm, bearing within a hundredth of a second."""
    for bearing in range(5, 360, 50):
        (lon1, lat1), (lon2, lat2) = walked(middle, [(bearing, 2500.0), (bearing + 170, 4500.0)])
        expected = Geodesic.WGS84.Inverse(lat1, lon1, lat2, lon2)
        plane, line = on_plane([(lon1, lat1), (lon2, lat2)], LineString)
        start, end = Point(line.coords[0]), Point(line.coords[1])
        assert measure.distance_m(start, end) == pytest.approx(expected["s12"], rel=0.7e-6)
        assert measure.length_m(line) == pytest.approx(expected["s12"], rel=0.7e-6)
        azimuth = measure.azimuth_deg(plane, start, end)
        assert azimuth is not None
        assert (azimuth - expected["azi1"] + 180) % 360 - 180 == pytest.approx(0, abs=0.01 / 3600)


@pytest.mark.parametrize("middle", PLACES.values(), ids=PLACES.keys())
def test_agrees_with_geodesic_area_and_outline(middle: tuple[float, float]) -> None:
    """geographiclib PolygonArea, its edges geodesics: a ring 6 km across, area within 1.4 ppm, outline within 0.7."""
    lonlats = walked(middle, [(bearing, 2000.0 + 10 * bearing % 1000) for bearing in range(0, 360, 15)])
    outline = Geodesic.WGS84.Polygon()
    for lon, lat in lonlats:
        outline.AddPoint(lat, lon)
    _, perimeter, area = outline.Compute()
    _, ring = on_plane(lonlats, Polygon)
    assert measure.area_m2(ring) == pytest.approx(abs(area), rel=1.4e-6)
    assert measure.area_ha(ring) * 1e4 == pytest.approx(abs(area), rel=1.4e-6)
    assert measure.length_m(ring) == pytest.approx(perimeter, rel=0.7e-6)


def test_law_edges_not_middles() -> None:
    #   ┌──┐      ○        5 m from the box's edge to the circle's
    #   └──┘
    circle = Point(20, 5).buffer(5, quad_segs=64)
    assert measure.distance_m(box(0, 0, 10, 10), circle) == pytest.approx(5)
    assert measure.distance_m(box(0, 0, 10, 10), box(2, 2, 3, 3)) == 0


def test_law_what_is_missing_is_not_known_and_what_is_empty_has_no_size() -> None:
    assert np.isnan(measure.distance_m(None, Point(0, 0)))
    assert np.isnan(measure.distance_m(Polygon(), Point(0, 0)))
    assert np.isnan([measure.length_m(None), measure.area_m2(None)]).all()
    assert [measure.length_m(Point(3, 4)), measure.area_m2(Point(3, 4)), measure.area_m2(Polygon())] == [0.0, 0.0, 0.0]


def test_law_one_place_has_no_bearing() -> None:
    plane = Plane(0.0, 0.0)
    assert measure.azimuth_deg(plane, Point(5, 5), Point(5, 5)) is None


def test_law_holes_are_not_counted_and_parts_are() -> None:
    ring = Polygon(box(0, 0, 10, 10).exterior, [box(2, 2, 4, 4).exterior])
    assert measure.area_m2(ring) == 96
    assert measure.area_m2(MultiPolygon([ring, box(20, 0, 30, 10)])) == 196


@given(st.floats(-170, 170), st.floats(-80, 80), st.floats(0, 359.99))
def test_law_bearing_there_and_back_differ_by_half_a_turn(lon: float, lat: float, bearing: float) -> None:
    plane = Plane(lon, lat)
    east, north = 300 * math.sin(math.radians(bearing)), 300 * math.cos(math.radians(bearing))
    there = measure.azimuth_deg(plane, Point(0, 0), Point(east, north))
    back = measure.azimuth_deg(plane, Point(east, north), Point(0, 0))
    assert there is not None
    assert back is not None
    assert 0 <= there < 360
    assert (there - bearing + 180) % 360 - 180 == pytest.approx(0, abs=1e-6)  # at the centre grid north is true north
    assert abs((there - back) % 360 - 180) < 0.02  # meridians lean by 300 m / 6371 km × tan 80°


def test_law_compass_words_by_sector() -> None:
    assert [measure.compass_word(sector * 22.5) for sector in range(16)] == measure.COMPASS_WORDS
    assert measure.compass_word(11.24) == measure.compass_word(348.76) == measure.compass_word(360) == "N"
    assert (measure.compass_word(11.26), measure.compass_word(90), measure.compass_word(225)) == ("NNE", "E", "SW")


def test_refuses_crossed_outline_and_wild_bearing() -> None:
    bow_tie = Polygon([(0, 0), (10, 10), (10, 0), (0, 10)])
    with pytest.raises(BadShape, match=r"crosses or repeats itself .*Redraw"):
        measure.area_m2(bow_tie)
    with pytest.raises(BadShape, match="crosses"):
        measure.area_ha(bow_tie)
    with pytest.raises(BadShape, match="too far"):
        measure.azimuth_deg(Plane(0.0, 0.0), Point(0, 0), Point(1e12, 0))
    for bearing in (-1.0, 400.0, math.nan):
        with pytest.raises(BadValue, match="between 0° and 360°"):
            measure.compass_word(bearing)
