"""Laying a picture on the ground by points seen in both: the affine map that fits them best.

Two points give the scale and the turn of a picture taken from straight above; three or more also allow it to be
stretched and skewed, as a scanned sheet is. Least squares; what is left over says how well the points agree.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sitemap.errors import BadValue
from sitemap.reasons import reason

FEWEST = 2
_APART_PX = 10.0  # two points nearer than that in the picture say nothing of its scale
_FLAT = 0.01  # points whose band is narrower than that share of its length lie on one line: nothing across it is known


@dataclass(frozen=True)
class Fit:
    """x = a·column + b·row + c, y = d·column + e·row + f: column to the right and row down from the upper left corner
    [pixels], x east and y north [m].

    misfit_m : root mean square of what is left over [m], None where nothing can be (two or three points)
    worst : number of the point that fits worst, from 0, or None
    """

    a: float
    b: float
    c: float
    d: float
    e: float
    f: float
    misfit_m: float | None = None
    worst: int | None = None

    @property
    def pixel_m(self) -> float:
        """Side of a pixel on the ground, the mean of both [m]."""
        return float(np.sqrt(abs(self.a * self.e - self.b * self.d)))


def fitted(pixels: NDArray[np.float64], places: NDArray[np.float64]) -> Fit:
    """The map from a picture to the plane that fits pairs of points best.

    Parameters
    ----------
    pixels : column and row in the picture, (n, 2), n at least 2 [count]
    places : east and north of the same points, (n, 2) [m]

    Returns
    -------
    the map with its misfit [m]

    Raises
    ------
    BadValue : fewer than two points, points too near each other or on one line, a picture that would be mirrored

    Notes
    -----
    Two points: the similarity without mirroring, x = p·column + q·row + c, y = q·column − p·row + f. More: the full
    affine map, each coordinate by linear least squares (D; any book on map projections or images).

    Examples
    --------
    A picture 100 pixels wide and high, half a metre each, its upper left corner 10 m east and 60 m north:

    >>> fit = fitted(np.array([[0.0, 0.0], [100.0, 100.0]]), np.array([[10.0, 60.0], [60.0, 10.0]]))
    >>> [round(float(v), 6) + 0.0 for v in (fit.a, fit.b, fit.c, fit.d, fit.e, fit.f)]
    [0.5, 0.0, 10.0, 0.0, -0.5, 60.0]
    """
    columns, rows = np.asarray(pixels, dtype=float).T
    east, north = np.asarray(places, dtype=float).T
    count = len(columns)
    if count < FEWEST:
        raise BadValue(reason("terrain.picture_points", needed=FEWEST, given=count))
    first, second, apart = _nearest(pixels)
    if apart < _APART_PX:
        raise BadValue(reason("terrain.picture_points_near", first=first + 1, second=second + 1))
    first, second, apart = _nearest(places)
    if apart == 0:
        raise BadValue(reason("terrain.picture_places_near", first=first + 1, second=second + 1))
    if count == FEWEST:
        one, none = np.ones(count), np.zeros(count)
        system = np.vstack([np.column_stack([columns, rows, one, none]), np.column_stack([-rows, columns, none, one])])
        p, q, c, f = np.linalg.lstsq(system, np.concatenate([east, north]), rcond=None)[0]
        return Fit(float(p), float(q), float(c), float(q), float(-p), float(f))
    _not_on_a_line(pixels)
    _not_on_a_line(places)
    system = np.column_stack([columns, rows, np.ones(count)])
    (a, d), (b, e), (c, f) = np.linalg.lstsq(system, np.column_stack([east, north]), rcond=None)[0]
    if a * e - b * d >= 0:  # rows run down, north runs up: seen from above the sign is negative
        raise BadValue(reason("terrain.picture_mirrored"))
    left = np.hypot(*(system @ np.array([[a, d], [b, e], [c, f]]) - np.column_stack([east, north])).T)
    known = count > FEWEST + 1
    misfit_m, worst = (float(np.sqrt(np.mean(left**2))), int(np.argmax(left))) if known else (None, None)
    return Fit(float(a), float(b), float(c), float(d), float(e), float(f), misfit_m, worst)


def _nearest(points: NDArray[np.float64]) -> tuple[int, int, float]:
    """The two points that lie nearest to each other, and how far apart they are."""
    apart = np.hypot(*(np.asarray(points, float)[:, None] - np.asarray(points, float)[None]).transpose(2, 0, 1))
    first, second = np.triu_indices(len(points), 1)
    at = int(np.argmin(apart[first, second]))
    return int(first[at]), int(second[at]), float(apart[first, second][at])


def _not_on_a_line(points: NDArray[np.float64]) -> None:
    long, across = np.linalg.svd(np.asarray(points, float) - np.mean(points, axis=0), compute_uv=False)
    if across < _FLAT * long:
        raise BadValue(reason("terrain.picture_on_a_line"))
