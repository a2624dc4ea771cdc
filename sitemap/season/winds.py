"""Smoke and wind: from where the wind keeps smoke off a place, how well the air mixes, what may arrive there.

A screening with a straight plume over open ground: right to an order of magnitude at best, an upper bound for a source
on the ground whose smoke rises. Valleys, calm evenings and trees are not in it.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike

from sitemap.errors import BadValue, not_negative, positive, within
from sitemap.ranges import Array
from sitemap.reasons import reason

Arc = tuple[float, float]  # clockwise, from and to [deg], 0 north
Sky = Literal["strong sun", "moderate sun", "slight sun", "overcast", "night, cloudy", "night, clear"]
# Rows: wind at 10 m below 2, 3, 5, 6 m/s and above; columns as Sky without overcast. Of "A–B" the more stable.
_CLASSES = (
    ("A", "B", "B", "E", "F"),
    ("B", "B", "C", "E", "F"),
    ("B", "C", "C", "D", "E"),
    ("C", "D", "D", "D", "D"),
    ("C", "D", "D", "D", "D"),
)
_STEPS_M_S = (2.0, 3.0, 5.0, 6.0)
_COLUMNS = ("strong sun", "moderate sun", "slight sun", "night, cloudy", "night, clear")
_SIGMA_Y = {"A": 0.22, "B": 0.16, "C": 0.11, "D": 0.08, "E": 0.06, "F": 0.04}


def blocked(bearings: Iterable[tuple[float, float]], half_sector_deg: float) -> tuple[Arc, ...]:
    """From where the wind must not come, for smoke to be kept off places.

    Parameters
    ----------
    bearings : of each place from the kiln, and half the angle it fills as seen from there [deg]
    half_sector_deg : smoke may drift so far to either side [deg], 0 to 180

    Returns
    -------
    arcs of wind directions, clockwise from and to [deg], joined where they meet; (0, 360) where none is left

    Raises
    ------
    BadValue : a half sector outside its limits, a bearing or an angle that is not a number

    >>> blocked([(90.0, 0.0)], 30.0), blocked([(180.0, 0.0), (140.0, 0.0)], 30.0)
    (((240.0, 300.0),), ((290.0, 30.0),))
    """
    within("Half the sector of smoke", half_sector_deg, 0, 180, "°")
    arcs = []
    for bearing, half_width in bearings:
        within("The bearing of a place", bearing, -360, 360, "°")
        half = half_sector_deg + within("Half the angle a place fills", half_width, 0, 180, "°")
        if half >= 180:
            return ((0.0, 360.0),)
        arcs.append(((bearing + 180 - half) % 360, 2 * half))
    return _joined(arcs)


def _joined(arcs: Sequence[tuple[float, float]]) -> tuple[Arc, ...]:
    """Arcs (begin, length) joined on the circle."""
    ends: list[list[float]] = []
    for begin, length in sorted(arcs):
        if ends and begin <= ends[-1][1]:
            ends[-1][1] = max(ends[-1][1], begin + length)
        else:
            ends.append([begin, begin + length])
    while len(ends) > 1 and ends[-1][1] >= ends[0][0] + 360:  # the last runs over north into the first
        first = ends.pop(0)
        ends[-1][1] = max(ends[-1][1], first[1] + 360)
    if ends and ends[0][1] - ends[0][0] >= 360:
        return ((0.0, 360.0),)
    return tuple((begin, end % 360) for begin, end in ends)


def free(arcs: Sequence[Arc]) -> tuple[Arc, ...]:
    """What some arcs, joined and in order, leave of the circle.

    >>> free(((240.0, 300.0),)), free(()), free(((0.0, 360.0),))
    (((300.0, 240.0),), ((0.0, 360.0),), ())
    """
    if not arcs:
        return ((0.0, 360.0),)
    if arcs == ((0.0, 360.0),):
        return ()
    return tuple((arcs[n][1], arcs[(n + 1) % len(arcs)][0]) for n in range(len(arcs)))


def inside(direction_deg: float, arcs: Iterable[Arc]) -> bool:
    """Whether a direction [deg] lies in one of some arcs.

    >>> inside(5.0, [(290.0, 30.0)]), inside(60.0, [(290.0, 30.0)])
    (True, False)
    """
    return any((end - begin) % 360 >= (direction_deg - begin) % 360 or end - begin >= 360 for begin, end in arcs)


def stability(wind_m_s: float, sky: Sky) -> str:
    """How well the air mixes: class A, very well, to F, hardly; of two classes in a cell the more stable.

    Parameters
    ----------
    wind_m_s : at 10 m [m/s], 0 or more
    sky : sun by day; "night" from an hour before sunset to an hour after sunrise

    Raises
    ------
    BadValue : a negative wind, another word for the sky

    References
    ----------
    Pasquill's table as given by NOAA (P); overcast is D at any hour.

    >>> stability(1.0, "night, clear"), stability(4.0, "moderate sun"), stability(7.0, "strong sun")
    ('F', 'C', 'C')
    """
    not_negative("The wind", wind_m_s, "m/s")
    if sky == "overcast":
        return "D"
    if sky not in _COLUMNS:
        raise BadValue(reason("season.no_such_sky", sky=sky))
    row = sum(wind_m_s >= step for step in _STEPS_M_S)
    return _CLASSES[row][_COLUMNS.index(sky)]


def wetness_factor(wet_pct: float, dry_to: float, wet_from: float, most: float) -> float:
    """How many times the smoke of dry wood wetter wood gives.

    Parameters
    ----------
    wet_pct : moisture, scalar [% of the wet weight], 0 to 100
    dry_to, wet_from : below the one nothing is added, beyond the other no more, scalars [% of the wet weight]
    most : at that end, scalar [1], 1 or more

    Returns
    -------
    factor [1], never less for wetter wood

    Raises
    ------
    BadValue : outside those limits

    References
    ----------
    Common practice, no source (C), row wet_wood of table smoke.

    >>> wetness_factor(12, 15, 40, 10), round(wetness_factor(27.5, 15, 40, 10), 2), wetness_factor(60, 15, 40, 10)
    (1.0, 3.16, 10.0)
    """
    within("The moisture", wet_pct, 0, 100, "%")
    positive("The moisture beyond which no more is added, above that to which none is", wet_from - dry_to, "%")
    share = min(max((wet_pct - dry_to) / (wet_from - dry_to), 0.0), 1.0)
    return float(within("The factor of wet wood", most, 1, 1000) ** share)


def sigmas(distance_m: ArrayLike, stability_class: str) -> tuple[Array, Array]:
    """Spread of a plume across and up, Briggs, open country.

    Parameters
    ----------
    distance_m : downwind, scalar or array [m], 100 to 10,000
    stability_class : A to F

    Returns
    -------
    σy, σz [m], same shape

    Raises
    ------
    BadValue : outside those limits

    References
    ----------
    Briggs' open-country curves (S).

    >>> [round(float(each), 2) for each in sigmas(1000.0, "D")]
    [76.28, 37.95]
    """
    if stability_class not in _SIGMA_Y:
        raise BadValue(reason("season.no_such_class", entered=stability_class))
    x = np.asarray(within("The distance downwind", np.asarray(distance_m, dtype=float), 100, 10_000, "m"))
    y = _SIGMA_Y[stability_class] * x / np.sqrt(1 + 0.0001 * x)
    z = {
        "A": lambda: 0.20 * x,
        "B": lambda: 0.12 * x,
        "C": lambda: 0.08 * x / np.sqrt(1 + 0.0002 * x),
        "D": lambda: 0.06 * x / np.sqrt(1 + 0.0015 * x),
        "E": lambda: 0.03 * x / (1 + 0.0003 * x),
        "F": lambda: 0.016 * x / (1 + 0.0003 * x),
    }[stability_class]()
    return y, np.asarray(z)


def concentration(source_g_s: float, wind_m_s: float, distance_m: ArrayLike, stability_class: str) -> Array:
    """What arrives on the axis of a plume from the ground, C = Q/(π·u·σy·σz).

    Parameters
    ----------
    source_g_s : what comes out [g/s], 0 or more
    wind_m_s : [m/s], above 0
    distance_m : downwind, scalar or array [m], 100 to 10,000
    stability_class : A to F

    Returns
    -------
    concentration [µg/m³], same shape: an hour's, right to an order of magnitude; smoke that rises gives less

    Raises
    ------
    BadValue : outside those limits

    References
    ----------
    Gaussian plume, source and place on the ground (S).
    """
    not_negative("What comes out", source_g_s, "g/s")
    positive("The wind", wind_m_s, "m/s")
    y, z = sigmas(distance_m, stability_class)
    return np.asarray(1e6 * source_g_s / (math.pi * wind_m_s * y * z))
