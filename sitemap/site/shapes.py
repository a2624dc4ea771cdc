"""A drawn shape out of its GeoJSON geometry, and what is wrong where it is none.

Whether an outline crosses itself is asked in longitude and latitude, except where it is wide: a ring across the
antimeridian jumps from one end of the longitudes to the other, and one round a pole has no inside there. Such a shape
is judged as it lies on the ground round its first corner.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np
import shapely
from shapely.geometry import shape as shapely_shape
from shapely.geometry.base import BaseGeometry

from sitemap.reasons import Reason, Term, reason

_WIDE_DEG = 180.0  # a site is not half the Earth wide: a shape this wide crosses the antimeridian or goes round a pole


def made_shape(geometry: Mapping[str, Any]) -> BaseGeometry | None:
    """The shape in longitude and latitude, or None where it is empty, crossed or not a shape at all."""
    made = _made(geometry)
    return None if made is None or made.is_empty or not _as_it_lies(made).is_valid else made


def shape_fault(geometry: Mapping[str, Any]) -> Reason | None:
    """What is wrong with a geometry, as the rest of a sentence, or None."""
    made = _made(geometry)
    if made is None:
        return reason("site.unusable_corners")
    if made.is_empty:
        return reason("site.empty_shape")
    lies = _as_it_lies(made)
    if lies.is_valid:
        return None
    why = shapely.is_valid_reason(lies).split("[")[0].strip().lower()
    return reason("site.crosses_itself") if "self-intersection" in why else reason("site.unsound_shape", why=Term(why))


def _made(geometry: Mapping[str, Any]) -> BaseGeometry | None:
    """The shape; where some corners have a height and some none, or more than that, without any heights."""
    for told in (geometry, _flat(geometry)):
        try:
            return shapely_shape(told)
        except (shapely.errors.ShapelyError, ValueError, TypeError, KeyError, AttributeError, IndexError):
            continue
    return None


def _flat(value: Any) -> Any:
    if isinstance(value, Mapping):
        return {key: _flat(inner) if key in ("coordinates", "geometries") else inner for key, inner in value.items()}
    if not isinstance(value, tuple | list):
        return value
    is_position = all(isinstance(each, int | float) for each in value)
    return value[:2] if is_position else [_flat(each) for each in value]


def _as_it_lies(shape: BaseGeometry) -> BaseGeometry:
    if shape.geom_type == "Point":  # never wide, and most of what a large site has
        return shape
    west, _, east, _ = shapely.bounds(shapely.get_parts(shape)).T
    if not np.any(east - west >= _WIDE_DEG):  # each part by itself: parts cut at the antimeridian are sound as they are
        return shape
    lon0, lat0 = np.radians(shapely.get_coordinates(shape)[0])

    def onto_tangent(places: np.ndarray) -> np.ndarray:
        lon, lat = np.radians(places).T
        ahead = np.sin(lat0) * np.sin(lat) + np.cos(lat0) * np.cos(lat) * np.cos(lon - lon0)
        east_of = np.cos(lat) * np.sin(lon - lon0)
        north_of = np.cos(lat0) * np.sin(lat) - np.sin(lat0) * np.cos(lat) * np.cos(lon - lon0)
        ahead = np.maximum(ahead, 1e-3)  # what lies on the far side is pushed far out
        return np.column_stack([east_of / ahead, north_of / ahead])

    return shapely.transform(shape, onto_tangent)
