"""The ground shapes lie on, by which one of several ways between two datums is chosen; pyproj says what it is."""

from __future__ import annotations

import pyproj
import pytest
import shapely

from sitemap.geodesy.systems import _bounds


def test_agrees_with_pyproj_where_shapes_lie() -> None:
    crs = pyproj.CRS("EPSG:25832")
    shapes = [shapely.box(500_000, 5_500_000, 500_100, 5_500_200), None, shapely.Point()]
    west, south, east, north = _bounds(crs, shapes)
    back = pyproj.Transformer.from_crs(4326, crs, always_xy=True)
    assert back.transform(west, south) == pytest.approx((500_000, 5_500_000), abs=1)
    assert back.transform(east, north) == pytest.approx((500_100, 5_500_200), abs=1)
    assert _bounds(crs, [None, shapely.Point()]) is None


def test_law_ground_that_is_known_in_part_is_not_known() -> None:
    """A shape as large as the Earth in EPSG:3035: PROJ knows west, east and north of it, and no south."""
    assert _bounds(pyproj.CRS("EPSG:3035"), [shapely.box(-2e7, -2e7, 2e7, 2e7)]) is None
