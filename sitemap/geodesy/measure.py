"""Distances, bearings, lengths and areas of shapes on a site's plane.

Every shape here is in metres on a `Plane`; nothing here takes degrees. Within 10 km of the plane's centre lengths
agree with the ellipsoidal geodesic to 0.7 ppm and areas to 1.4 ppm; slope is not in them.
"""

from __future__ import annotations

import shapely
from shapely.geometry import Point
from shapely.geometry.base import BaseGeometry

from sitemap.errors import BadShape, BadValue
from sitemap.geodesy.plane import WGS84, Plane
from sitemap.reasons import as_typed, reason

M2_PER_HA = 10_000.0
COMPASS_WORDS = ["N", "NNE", "NE", "ENE", "E", "ESE", "SE", "SSE", "S", "SSW", "SW", "WSW", "W", "WNW", "NW", "NNW"]
SAME_PLACE_M = 1e-6  # two places nearer than this have no bearing


def distance_m(one: BaseGeometry | None, other: BaseGeometry | None) -> float:
    """Shortest distance [m] between the edges of two shapes, 0 where they touch or overlap.

    one, other : shapes on one plane. NaN where either is missing or empty, which stands for "not known" and never for
    "near" or "far".

    >>> distance_m(shapely.box(0, 0, 1, 1), Point(4, 5))
    5.0
    """
    return float(shapely.distance(one, other))


def azimuth_deg(plane: Plane, start: Point, end: Point) -> float | None:
    """Bearing [deg] from start to end, clockwise from true north, in [0, 360); None when they are one place.

    It is the geodesic's own bearing on the ellipsoid (pyproj.Geod), so the turn of grid north away from true north
    is in it. Raises BadShape for a place the plane does not reach.

    >>> round(azimuth_deg(Plane(10.0, 60.0), Point(0, 0), Point(100, 100)))
    45
    """
    if start.distance(end) < SAME_PLACE_M:
        return None
    azimuth = WGS84.inv(*plane.lonlat(start.x, start.y), *plane.lonlat(end.x, end.y))[0]
    return float(azimuth) % 360.0 % 360.0  # twice: a hair below north turns into 360 the first time


def length_m(shape: BaseGeometry | None) -> float:
    """Length [m] of a line, outline of an area, 0 of a point; NaN where it is missing.

    >>> length_m(shapely.LineString([(0, 0), (3, 4)]))
    5.0
    """
    return float(shapely.length(shape))


def area_m2(shape: BaseGeometry | None) -> float:
    """Area [m²] of a shape, holes left out; 0 of points and lines, NaN where it is missing.

    Raises BadShape for an outline that crosses itself: its halves would cancel and the area come out too small.

    >>> area_m2(shapely.box(0, 0, 20, 30))
    600.0
    """
    if shape is not None and not shape.is_valid:
        raise BadShape(reason("geodesy.crosses_itself", where=shapely.is_valid_reason(shape)))
    return float(shapely.area(shape))


def area_ha(shape: BaseGeometry | None) -> float:
    """Area [ha] as `area_m2`.

    >>> area_ha(shapely.box(0, 0, 100, 150))
    1.5
    """
    return area_m2(shape) / M2_PER_HA


def compass_word(bearing_deg: float) -> str:
    """The nearest of sixteen compass points for a bearing [deg] clockwise from north, 0 … 360.

    Parameters
    ----------
    bearing_deg : clockwise from north, 0 … 360 [deg]

    Returns
    -------
    the word

    Raises
    ------
    BadValue : outside those limits

    >>> compass_word(359.0), compass_word(112.5)
    ('N', 'ESE')
    """
    if not 0 <= bearing_deg <= 360:
        raise BadValue(reason("geodesy.bearing", bearing=as_typed(bearing_deg, "deg")))
    return COMPASS_WORDS[int(bearing_deg / 22.5 + 0.5) % 16]
