"""Does the heap as drawn cover the ground that its typed sizes say?"""

from __future__ import annotations

import numpy as np
from shapely.geometry.base import BaseGeometry

from sitemap.errors import BadValue, positive
from sitemap.ranges import Numbers
from sitemap.reasons import Quantity, Reason, Term, percent, reason
from sitemap.slash.volume import SHAPES

TOLERANCE = 0.25  # share of the typed footprint; two taped sides good to 12 % each and a ring drawn by eye (C)


def typed_footprint(shape: str, length_m: Numbers, width_m: Numbers, width_b_m: Numbers | None = None) -> Numbers:
    """Ground a heap covers by its typed sizes: an ellipse for round heaps, π·l·w/4, else length times mean width.

    Parameters
    ----------
    shape : key of volume.SHAPES
    length_m, width_m, width_b_m : sizes, the last of end B of a tapered ridge, scalar or (n,) [m], above 0

    Returns
    -------
    same shape [m²]

    Raises
    ------
    BadValue : outside those limits, no such shape

    References
    ----------
    Geometry (D).

    >>> round(typed_footprint("dome", 4.0, 3.0), 3), typed_footprint("tapered_ridge", 10.0, 4.0, 2.0)
    (9.425, 30.0)
    """
    if shape not in SHAPES:
        raise BadValue(reason("slash.one_of", what=Term("The shape of a heap"), choices=tuple(SHAPES), entered=shape))
    positive("The length of the heap", length_m, "m")
    positive("The width of the heap", width_m, "m")
    if SHAPES[shape].round_base:
        return np.pi / 4 * length_m * width_m
    if width_b_m is None or shape not in ("tapered_ridge", "rounded_ridge", "mean_block"):
        return length_m * width_m
    return length_m * ((width_m + positive("The width at the other end", width_b_m, "m")) / 2)


def compare(drawn_m2: float, typed_m2: float, tolerance: float = TOLERANCE) -> Reason | None:
    """Hold the drawn area against the typed one; they agree within a share of the typed one.

    Parameters
    ----------
    drawn_m2, typed_m2 : scalars [m²], above 0
    tolerance : [share]

    Returns
    -------
    None where they agree, else the finding

    Raises
    ------
    BadValue : outside those limits

    References
    ----------
    The tolerance is judged (C).

    >>> compare(20.0, 18.0) is None, compare(40.0, 18.0) is None
    (True, False)
    """
    positive("The drawn area", drawn_m2, "m²")
    positive("The typed area", typed_m2, "m²")
    if abs(drawn_m2 - typed_m2) <= tolerance * typed_m2:
        return None
    return reason(
        "slash.footprint_differs", times=Quantity(drawn_m2 / typed_m2, "count", 2), tolerance=percent(100 * tolerance)
    )


def sides_of(outline: BaseGeometry) -> tuple[float, float]:
    """Length and width of the smallest rectangle, turned as need be, around an outline on the plane [m].

    Parameters
    ----------
    outline : a shapely shape in metres (a plane's, never longitude and latitude)

    Returns
    -------
    (longer, shorter side) [m]

    >>> import shapely
    >>> tuple(round(side, 6) for side in sides_of(shapely.box(0, 0, 3, 5)))
    (5.0, 3.0)
    """
    import shapely

    corners = shapely.get_coordinates(outline.minimum_rotated_rectangle)[:3]
    sides = np.hypot(*np.diff(corners, axis=0).T)
    return float(np.max(sides)), float(np.min(sides))
