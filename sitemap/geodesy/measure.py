"""Distances, bearings, lengths and areas of shapes on a site's plane.

Every shape here is in metres on a `Plane`; nothing here takes degrees. Within 10 km of the plane's centre lengths
agree with the ellipsoidal geodesic to 0.7 ppm and areas to 1.4 ppm; slope is not in them.
"""

from __future__ import annotations

from typing import Any

import numpy as np
import shapely
from shapely.geometry import Point

from sitemap.errors import BadShape, BadValue
from sitemap.geodesy.plane import WGS84, Plane
from sitemap.reasons import Quantity, reason

M2_PER_HA = 10_000.0
COMPASS_WORDS = ["N", "NNE", "NE", "ENE", "E", "ESE", "SE", "SSE", "S", "SSW", "SW", "WSW", "W", "WNW", "NW", "NNW"]
SAME_PLACE_M = 1e-6  # two places nearer than this have no bearing


def distance_m(one: Any, other: Any) -> Any:
    """Shortest distance [m] between the edges of two shapes, 0 where they touch or overlap.

    one, other : shapes on one plane, or arrays of them that broadcast. Returns a float or an array; nan where either
    is missing or empty, which stands for "not known" and never for "near" or "far".

    >>> distance_m(shapely.box(0, 0, 1, 1), Point(4, 5))
    5.0
    """
    result = shapely.distance(one, other)
    return float(result) if np.ndim(result) == 0 else result


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


def length_m(shape: Any) -> Any:
    """Length [m] of lines, outline of areas, 0 of points; a shape or an array of them, nan where one is missing.

    >>> length_m(shapely.LineString([(0, 0), (3, 4)]))
    5.0
    """
    result = shapely.length(shape)
    return float(result) if np.ndim(result) == 0 else result


def area_m2(shape: Any) -> Any:
    """Area [m²] of a shape or an array of them, holes left out; 0 of points and lines, nan where one is missing.

    Raises BadShape for an outline that crosses itself: its halves would cancel and the area come out too small.

    >>> area_m2(shapely.box(0, 0, 20, 30))
    600.0
    """
    faulty = ~shapely.is_valid(shape) & ~shapely.is_missing(shape)
    if bool(np.any(faulty)):
        where = shapely.is_valid_reason(np.atleast_1d(shape)[np.atleast_1d(faulty)][0])
        raise BadShape(reason("geodesy.crosses_itself", where=where))
    result = shapely.area(shape)
    return float(result) if np.ndim(result) == 0 else result


def area_ha(shape: Any) -> Any:
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
        raise BadValue(reason("geodesy.bearing", bearing=Quantity(bearing_deg, "deg", 6)))
    return COMPASS_WORDS[int(bearing_deg / 22.5 + 0.5) % 16]
