"""How much water there is: ponds, tanks, wells; and whether it can be used on the day."""

from __future__ import annotations

import datetime as dt

import numpy as np

from sitemap.errors import BadValue, not_negative, positive, within
from sitemap.hydraulics.friction import Numbers
from sitemap.reasons import Term, as_typed, reason

POND_SHAPE = 0.33  # share of area × greatest depth where the shape is unknown: a cone; a steep-sided pond 0.53 (D)
POND_USABLE = 0.5  # share of a pond one can draw: common practice, no source
STREAM_SHARE = 0.5  # share of a stream's flow one may take where nothing was said: common practice, no source


def pond_l(area_m2: Numbers, depth_m: Numbers, shape: Numbers = POND_SHAPE) -> Numbers:
    """Water in a pond by its area and the depth a stick shows in the middle: shape × A × d.

    Parameters
    ----------
    area_m2 : scalar or (n,) [m²], above 0
    depth_m : scalar or (n,), greatest depth [m], not below 0
    shape : 0.2 … 1 [-]; 0.33 cone, 0.53 steep-sided

    Returns
    -------
    same shape [L]

    References
    ----------
    0.4·A·d is a customary figure (M); 0.33 where the shape is unknown (D).

    >>> pond_l(100.0, 2.0)
    66000.0
    """
    depth = not_negative("Depth", depth_m, "m")
    return within("Pond shape", shape, 0.2, 1.0) * positive("Area of the water", area_m2, "m²") * depth * 1000.0


def dug_pond_l(length_m: Numbers, width_m: Numbers, depth_m: Numbers, side_slope: Numbers) -> Numbers:
    """Water in a rectangular dug pond by the prismoidal rule: d/6·(A_top + 4·A_mid + A_bottom).

    Parameters
    ----------
    length_m, width_m : scalar or (n,), at the water's surface [m]
    depth_m : scalar or (n,) [m]
    side_slope : horizontal per vertical [m/m]; 2 for 2:1 sides

    Returns
    -------
    same shape [L]

    Raises
    ------
    BadValue : sides that meet above the bottom

    References
    ----------
    Farm pond handbook example 100 × 70 ft, 12 ft deep, 2:1 sides = 44,256 ft³ (P).

    >>> round(float(dug_pond_l(30.48, 21.336, 3.6576, 2.0)) / 28.316846592)
    44256
    """
    run = 2 * not_negative("Side slope", side_slope) * not_negative("Depth", depth_m, "m")
    narrow = np.minimum(positive("Length", length_m, "m"), positive("Width", width_m, "m"))
    if np.any(run > narrow):
        slope, width = as_typed(float(np.max(run)), "m"), as_typed(float(np.min(narrow)), "m")
        raise BadValue(reason("hydraulics.sides_meet", run=slope, width=width))
    top = length_m * width_m
    bottom = (length_m - run) * (width_m - run)
    middle = (length_m - run / 2) * (width_m - run / 2)
    return depth_m / 6 * (top + 4 * middle + bottom) * 1000.0


def lying_cylinder_l(diameter_m: Numbers, length_m: Numbers, depth_m: Numbers) -> Numbers:
    """Water in a lying cylinder with flat ends, filled to a depth.

    V = L·[r²·acos((r − h)/r) − (r − h)·√(2rh − h²)]

    Parameters
    ----------
    diameter_m, length_m : scalar or (n,), inside [m]
    depth_m : scalar or (n,), depth of the water [m], 0 … diameter

    Returns
    -------
    same shape [L]

    References
    ----------
    Plain geometry (D).

    >>> round(float(lying_cylinder_l(1.2, 2.0, 0.4)), 2)
    660.02
    """
    r = positive("Diameter", diameter_m, "m") / 2
    h = _filled(depth_m, diameter_m, "diameter")
    section: Numbers = r**2 * np.arccos((r - h) / r) - (r - h) * np.sqrt(np.maximum(2 * r * h - h**2, 0.0))
    return section * positive("Length", length_m, "m") * 1000.0


def standing_cylinder_l(diameter_m: Numbers, height_m: Numbers, depth_m: Numbers) -> Numbers:
    """Water in a standing cylinder: π d² h / 4 to the depth filled.

    Parameters
    ----------
    diameter_m, height_m : scalar or (n,), inside [m]
    depth_m : scalar or (n,), depth of the water, 0 … height [m]

    Returns
    -------
    broadcast shape [L]

    Raises
    ------
    BadValue : more water than the tank is high

    References
    ----------
    Volume of a cylinder (D); held against a tank library in the tests.
    """
    area = np.pi / 4 * positive("Diameter", diameter_m, "m") ** 2
    return area * _filled(depth_m, height_m, "height") * 1000.0


def box_l(length_m: Numbers, width_m: Numbers, height_m: Numbers, depth_m: Numbers) -> Numbers:
    """Water in a box to the depth filled.

    Parameters
    ----------
    length_m, width_m, height_m : scalar or (n,), inside [m]
    depth_m : scalar or (n,), depth of the water, 0 … height [m]

    Returns
    -------
    broadcast shape [L]

    Raises
    ------
    BadValue : more water than the box is high

    References
    ----------
    Volume of a box (D).
    """
    base = positive("Length", length_m, "m") * positive("Width", width_m, "m")
    return base * _filled(depth_m, height_m, "height") * 1000.0


def usable_on(on: dt.date | None, said: bool | None, first: dt.date | None, last: dt.date | None) -> bool | None:
    """Whether a source can be used on a day; None where nothing was said.

    Parameters
    ----------
    on : the day; None where it is not set: what was said of it is not known to hold
    said : what was said of the burn date itself
    first, last : the days between which it has water, ends included; blank on one side is open

    >>> import datetime as dt
    >>> usable_on(dt.date(2026, 8, 1), True, None, dt.date(2026, 6, 30))
    False
    """
    if first is not None and last is not None and first > last:
        raise BadValue(reason("hydraulics.usable_dates", first=first, last=last))
    if on is None:
        return False if said is False else None
    if said is False or (first is not None and on < first) or (last is not None and on > last):
        return False
    return True if said or (first is not None and last is not None) else None


def _filled(depth_m: Numbers, most_m: Numbers, name: str) -> Numbers:
    depth = not_negative("Depth of the water", depth_m, "m")
    if np.any(depth > positive(name.capitalize(), most_m, "m")):
        most, filled = as_typed(float(np.max(most_m)), "m"), as_typed(float(np.max(depth)), "m")
        raise BadValue(reason("hydraulics.overfull", side=Term(name), most=most, depth=filled))
    return depth if np.ndim(most_m) == 0 else np.broadcast_arrays(depth, most_m)[0]
