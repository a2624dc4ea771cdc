"""Char into buckets and bags: how many, and what one weighs."""

from __future__ import annotations

import numpy as np

from sitemap.errors import not_negative, positive, within
from sitemap.ranges import Numbers


def containers(char_volume: Numbers, litres_each: Numbers) -> Numbers:
    """Whole buckets or bags for loose char.

    Parameters
    ----------
    char_volume : scalar or (n,) [m³]
    litres_each : level, scalar or (n,) [L], above 0

    Returns
    -------
    containers, same shape [count]

    Raises
    ------
    BadValue : outside those limits

    Notes
    -----
    Char volume hardly changes with its water, so it is measured by volume.

    References
    ----------
    Arithmetic (evidence D).

    Examples
    --------
    >>> float(containers(1.0, 20.0))
    50.0
    """
    not_negative("Volume of char", char_volume, "m³")
    positive("Size of the container", litres_each, "L")
    whole: Numbers = np.ceil(np.round(np.asarray(char_volume) * 1000 / litres_each, 9))
    return whole


def dry_weight(litres: Numbers, char_density: Numbers) -> Numbers:
    """Weight of a container of loose dry char.

    Parameters
    ----------
    litres : of the container, scalar or (n,) [L]
    char_density : loose and dry, scalar or (n,) [kg/m³], above 0

    Returns
    -------
    weight, same shape [kg]

    Raises
    ------
    BadValue : outside those limits

    References
    ----------
    Arithmetic (evidence D).

    Examples
    --------
    >>> round(dry_weight(703.0, 150.0), 2)
    105.45
    """
    not_negative("Size of the container", litres, "L")
    positive("Density of loose char", char_density, "kg/m³")
    return litres / 1000 * char_density


def wet_weight(dry: Numbers, water_share: Numbers) -> Numbers:
    """Weight of char with water in it.

    Parameters
    ----------
    dry : weight without water, scalar or (n,) [kg]
    water_share : of the whole, wet basis, scalar or (n,) [0–0.95]

    Returns
    -------
    weight, same shape [kg]

    Raises
    ------
    BadValue : outside those limits

    References
    ----------
    Arithmetic (evidence D).

    Examples
    --------
    >>> wet_weight(60.0, 0.40)
    100.0
    """
    not_negative("Dry weight", dry, "kg")
    within("Share of water, wet basis", water_share, 0, 0.95)
    return dry / (1 - water_share)
