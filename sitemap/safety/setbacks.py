"""Distances against rules, for many shapes at once: numbers and NumPy columns, no Site in sight.

Edge to edge on a plane. A kiln is a circle through the corners of its open top (its direction is not known).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
import shapely
from numpy.typing import ArrayLike, NDArray

from sitemap.errors import BadShape, not_negative

FAR_ENOUGH, MEASURE, TOO_CLOSE = "far enough", "measure on the ground", "too close"
WORDS = (FAR_ENOUGH, MEASURE, TOO_CLOSE)
# Two edges this near touch: on the plane coordinates carry about a nanometre, a kiln's edge is good to a centimetre.
TOUCHING_M = 1e-6


@dataclass(frozen=True, eq=False)
class Columns:
    """The pairs that are not far enough, a column each; every pair not listed is far enough by the rule.

    shape, feature : (n,) index of shape and feature
    distance_m, margin_m : (n,) [m]
    code : (n,) 1 measure on the ground, 2 too close: index into `WORDS`
    """

    shape: NDArray[np.int64]
    feature: NDArray[np.int64]
    distance_m: NDArray[np.float64]
    margin_m: NDArray[np.float64]
    code: NDArray[np.int8]


def verdict_codes(distance_m: ArrayLike, required_m: ArrayLike, error_m: ArrayLike) -> Any:
    """The verdict on a distance, as an index into `WORDS`.

    Parameters
    ----------
    distance_m : edge to edge [m], 0 where the two touch or overlap; scalar or array
    required_m : by the rule [m]
    error_m : errors of both places, added [m]

    Returns
    -------
    0 far enough, 1 measure on the ground, 2 too close; same shape

    Raises
    ------
    BadValue : any of them below 0 or not a number

    Notes
    -----
    margin = distance − required. Margin below 0: too close. At least 0 but below the errors: measure. Else far enough.
    Touching or overlapping is too close whatever the rule says, also where it says 0 m.

    Examples
    --------
    >>> [WORDS[code] for code in verdict_codes([7.0, 12.0, 25.0], 8.0, 10.0)]
    ['too close', 'measure on the ground', 'far enough']
    """
    distance = np.asarray(not_negative("The distance", distance_m, "m"), dtype=float)
    margin = distance - np.asarray(not_negative("The distance by the rule", required_m, "m"), dtype=float)
    error = np.asarray(not_negative("The error of the two places", error_m, "m"), dtype=float)
    code = np.where(margin < error, 1, 0)
    return np.where((margin < 0) | (distance <= TOUCHING_M), 2, code).astype(np.int8)[()]


def distances(
    shapes: ArrayLike,
    features: ArrayLike,
    required_m: ArrayLike,
    error_m: ArrayLike = 0.0,
    radius_m: ArrayLike = 0.0,
) -> Columns:
    """Every pair of shape and feature that is not far enough, each feature by its own rule.

    Parameters
    ----------
    shapes : (s,) shapes on the plane [m]: places of kilns, candidate cells
    features : (f,) shapes on the plane [m]
    required_m : distance by the rule of each feature [m], scalar or (f,)
    error_m : both errors added [m], scalar or (f,)
    radius_m : radius of the circle each shape stands for [m], scalar or (s,)

    Returns
    -------
    `Columns`, ordered by shape

    Raises
    ------
    BadValue : a distance, error or radius below 0
    BadShape : a missing or empty shape: it has no distance to anything

    Notes
    -----
    One tree over the bounds of the features, each padded by its own rule, then the exact distance on the candidates:
    a tree searched at the largest rule would hand back every neighbour of every small one.
    """
    places, things = np.atleast_1d(np.asarray(shapes, dtype=object)), np.atleast_1d(np.asarray(features, dtype=object))
    for name, geometries in (("shape", places), ("feature", things)):
        unusable = shapely.is_missing(geometries) | shapely.is_empty(geometries)
        if unusable.any():
            raise BadShape(f"{name.capitalize()} {int(unusable.argmax())} has no place. Draw it, or leave it out.")
    required = np.broadcast_to(
        np.asarray(not_negative("The distance by the rule", required_m, "m"), float), things.shape
    )
    error = np.broadcast_to(np.asarray(not_negative("The error of the two places", error_m, "m"), float), things.shape)
    radius = np.broadcast_to(np.asarray(not_negative("The radius of a kiln", radius_m, "m"), float), places.shape)
    if places.size == 0 or things.size == 0:
        return _columns(*(np.empty(0, int),) * 2, np.empty(0), np.empty(0), np.empty(0))
    pad = required + error + radius.max() + TOUCHING_M
    low_x, low_y, high_x, high_y = shapely.bounds(things).T
    padded = shapely.box(low_x - pad, low_y - pad, high_x + pad, high_y + pad)
    i, j = shapely.STRtree(padded).query(places)
    left, lower, right, upper = shapely.bounds(places).T
    gap_x = np.maximum(low_x[j] - right[i], left[i] - high_x[j]).clip(0)
    gap_y = np.maximum(low_y[j] - upper[i], lower[i] - high_y[j]).clip(0)
    near = gap_x**2 + gap_y**2 <= pad[j] ** 2  # a padded box reaches too far at its corners
    i, j = i[near], j[near]
    distance = np.maximum(shapely.distance(places[i], things[j]) - radius[i], 0.0)
    return _columns(i, j, distance, required[j], error[j])


def nearest_line(place: Any, radius_m: float, feature: Any) -> tuple[tuple[float, float], tuple[float, float]]:
    """The line on the map: from the edge of the kiln's circle to the nearest point of the feature.

    Parameters
    ----------
    place : point on the plane [m]
    radius_m : of the kiln [m]
    feature : shape on the plane [m]

    Returns
    -------
    ((x, y), (x, y)) [m]; both ends meet where the two overlap

    Examples
    --------
    >>> nearest_line(shapely.Point(0, 0), 1.0, shapely.Point(10, 0))
    ((1.0, 0.0), (10.0, 0.0))
    """
    (x0, y0), (x1, y1) = shapely.get_coordinates(shapely.shortest_line(place, feature))
    length = float(np.hypot(x1 - x0, y1 - y0))
    share = 1.0 if length <= radius_m else radius_m / length
    return (float(x0 + share * (x1 - x0)), float(y0 + share * (y1 - y0))), (float(x1), float(y1))


def _columns(i: Any, j: Any, distance: Any, required: Any, error: Any) -> Columns:
    code = np.atleast_1d(verdict_codes(distance, required, error))
    kept = np.flatnonzero(code)
    return Columns(i[kept], j[kept], distance[kept], distance[kept] - required[kept], code[kept])
