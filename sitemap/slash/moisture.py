"""Moisture of wood: on dry or on wet basis, green tonnes, meter readings.

u dry basis = water / dry wood, may exceed 1; w wet basis = water / (water + wood), always below 1. The basis has to
be said: 20 % of the dry weight is 16.7 % of the wet weight, and 20 % of the wet weight is 25 % of the dry weight.
"""

from __future__ import annotations

import numpy as np

from sitemap import tables
from sitemap.errors import BadValue, not_negative, within
from sitemap.ranges import Numbers
from sitemap.reasons import as_typed, percent, reason

WETTEST_DRY_BASIS = 3.0  # [fraction] light sapwood straight from the stump; above it a reading is a slip of the pen (C)
WETTEST_WET_BASIS = WETTEST_DRY_BASIS / (1 + WETTEST_DRY_BASIS)
# One reading of a pin meter is good to about ± 2 points (S): the spread of a few readings is never taken smaller.
METER_POINTS = 2.0


def dry_basis(wet_basis: Numbers) -> Numbers:
    """Dry-basis moisture from wet-basis moisture, u = w/(1 − w).

    Parameters
    ----------
    wet_basis : scalar or (n,) [fraction], 0 to below 0.75 (u below 3)

    Returns
    -------
    same shape [fraction]

    Raises
    ------
    BadValue : outside those limits

    References
    ----------
    Definition (P).

    >>> dry_basis(0.2)
    0.25
    """
    within("Moisture as a share of the wet weight", wet_basis, 0, WETTEST_WET_BASIS)
    return wet_basis / (1 - wet_basis)


def wet_basis(dry_basis: Numbers) -> Numbers:
    """Wet-basis moisture from dry-basis moisture, w = u/(1 + u).

    Parameters
    ----------
    dry_basis : scalar or (n,) [fraction], 0 to 3

    Returns
    -------
    same shape [fraction]

    Raises
    ------
    BadValue : outside those limits

    References
    ----------
    Definition (P).

    >>> round(wet_basis(0.2), 4)
    0.1667
    """
    within("Moisture as a share of the dry weight", dry_basis, 0, WETTEST_DRY_BASIS)
    return dry_basis / (1 + dry_basis)


def as_dry_basis(moisture_pct: Numbers, basis: str | None) -> Numbers:
    """A typed moisture as dry-basis fraction; its basis has to be said.

    Parameters
    ----------
    moisture_pct : scalar or (n,) [%]
    basis : "dry" (of the dry weight, 0 to 300) or "wet" (of the wet weight, 0 to 75)

    Returns
    -------
    same shape [fraction, dry basis]

    Raises
    ------
    BadValue : no basis, or a moisture that basis does not allow (140 % can only be of the dry weight)

    References
    ----------
    Definition (P).

    >>> as_dry_basis(50.0, "wet")
    1.0
    """
    top = float(np.max(np.asarray(moisture_pct, dtype=float), initial=-np.inf))  # of none there is no wettest
    if basis not in ("dry", "wet"):
        shown = as_typed(top, "pct")
        if top >= 100:
            raise BadValue(reason("slash.basis_of_the_dry_weight", moisture=shown, all=percent(100)))
        raise BadValue(reason("slash.basis_needed", moisture=shown))
    if basis == "wet" and top >= 100:
        raise BadValue(reason("slash.too_wet_to_be", moisture=as_typed(top, "pct"), all=percent(100, 3)))
    fraction = moisture_pct / 100
    if basis == "wet":
        return dry_basis(fraction)
    return within("Moisture as a share of the dry weight", fraction, 0, WETTEST_DRY_BASIS)


def as_read(moisture_pct: float, basis: str | None, wood_c: float | None = None) -> float:
    """The moisture behind one meter reading: its basis told, cold wood allowed for.

    Parameters
    ----------
    moisture_pct : scalar [%]
    basis : "dry" or "wet", as `as_dry_basis`
    wood_c : temperature of the wood [°C]; None: as cold as wood that is not frozen

    Returns
    -------
    moisture [fraction, dry basis], 0 to 3

    Raises
    ------
    BadValue : as `as_dry_basis`

    References
    ----------
    0.5 point of the dry weight for 5.6 °C below 21.1 °C (S), table fuel_moisture.

    >>> round(as_read(18.0, "dry", 21.1), 4), round(as_read(18.0, "dry", 10.0), 4), round(as_read(18.0, "dry"), 4)
    (0.18, 0.1899, 0.1988)
    """
    rows = tables.load("fuel_moisture")
    cold = float(rows["blank_temperature"]["value"]) if wood_c is None else wood_c
    points = float(rows["meter_per_degree"]["value"]) * (float(rows["meter_reference"]["value"]) - cold)
    return float(np.clip(float(as_dry_basis(moisture_pct, basis)) + points / 100, 0.0, WETTEST_DRY_BASIS))


def green_mass(dry_t: Numbers, moisture_dry_basis: Numbers) -> Numbers:
    """Mass of the wood with its water, m_green = m_dry·(1 + u).

    Parameters
    ----------
    dry_t : scalar or (n,) [t], 0 or more
    moisture_dry_basis : same shape [fraction], 0 to 3

    Returns
    -------
    same shape [t]

    Raises
    ------
    BadValue : outside those limits

    References
    ----------
    Definition (P).

    >>> green_mass(10.0, 0.5)
    15.0
    """
    not_negative("The dry mass", dry_t, "t")
    within("Moisture as a share of the dry weight", moisture_dry_basis, 0, WETTEST_DRY_BASIS)
    return dry_t * (1 + moisture_dry_basis)
