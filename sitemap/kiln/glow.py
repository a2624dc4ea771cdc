"""The glowing bed: what it loses while water is late, how long it would burn, and its heat on the people who quench it.

Figures: `tables/quench.toml`.
"""

from __future__ import annotations

import numpy as np

from sitemap.errors import not_negative, positive, within
from sitemap.kiln.quench import KELVIN
from sitemap.ranges import Numbers

STEFAN_BOLTZMANN = 5.670374e-11  # [kW/m² K⁴]


def glowing_loss(char_kg: Numbers, glowing_area: Numbers, loss_g_m2_s: Numbers, minutes: Numbers) -> Numbers:
    """Char that burns to ash while it glows open to the air.

    Parameters
    ----------
    char_kg : char there, scalar or (n,) [kg]
    glowing_area : scalar or (n,) [m²]
    loss_g_m2_s : scalar or (n,) [g/m² s]
    minutes : scalar or (n,) [min]

    Returns
    -------
    char lost, same shape [kg], never more than there is

    Raises
    ------
    BadValue : a negative value

    References
    ----------
    1–3 g/m² s (evidence M).

    Examples
    --------
    3 m² for an hour at 1 g/m² s:

    >>> round(float(glowing_loss(226.0, 3.0, 1.0, 60.0)), 1)
    10.8
    """
    not_negative("Char", char_kg, "kg")
    not_negative("Glowing area", glowing_area, "m²")
    not_negative("Glowing loss", loss_g_m2_s, "g/m² s")
    not_negative("Time", minutes, "min")
    lost: Numbers = np.minimum(char_kg, glowing_area * loss_g_m2_s * minutes * 60 / 1000)
    return lost


def burn_out_hours(char_kg: Numbers, glowing_area: Numbers, loss_g_m2_s: Numbers) -> Numbers:
    """Hours until a glowing bed has burned away by itself: how long people stay when the water fails.

    Parameters
    ----------
    char_kg : char there, scalar or (n,) [kg]
    glowing_area : scalar or (n,) [m²], above 0
    loss_g_m2_s : scalar or (n,) [g/m² s], above 0

    Returns
    -------
    hours, same shape [h]

    Raises
    ------
    BadValue : outside those limits

    Notes
    -----
    At a steady loss; ash slows it towards the end, so it is the least to count on.

    References
    ----------
    1–3 g/m² s (evidence M).

    Examples
    --------
    >>> round(burn_out_hours(226.0, 3.0, 2.0), 1)
    10.5
    """
    not_negative("Char", char_kg, "kg")
    positive("Glowing area", glowing_area, "m²")
    positive("Glowing loss", loss_g_m2_s, "g/m² s")
    return char_kg * 1000 / (glowing_area * loss_g_m2_s * 3600)


def glow_heat(
    radius_m: Numbers, from_rim_m: Numbers, temperature_c: Numbers, height_m: Numbers, emissivity: Numbers
) -> Numbers:
    """Radiant heat of a glowing bed on somebody who stands beside it, facing it.

    Parameters
    ----------
    radius_m : of the bed, scalar or (n,) [m], above 0
    from_rim_m : level distance from its rim, scalar or (n,) [m], 0 and more
    temperature_c : of the glowing surface, scalar or (n,) [°C], 0–1447
    height_m : of the face or chest above the bed, scalar or (n,) [m], above 0
    emissivity : scalar or (n,), 0–1 [fraction]

    Returns
    -------
    heat, same shape [kW/m²]

    Raises
    ------
    BadValue : outside those limits

    Notes
    -----
    q = F·ε·σ·T⁴, T in K; F is the share of what an upright surface sees that is the level disc,
    F = H/2·[Z/√(Z² − 4R²) − 1], H = height/l, R = radius/l, Z = 1 + H² + R², l the distance from the middle. The bed
    alone: a flame above it adds to this, a rim that stands higher than the char takes from it.

    References
    ----------
    View factor of a disc, plain geometry (evidence D, by numerical integration); emissivity from memory (evidence M).

    Examples
    --------
    A bed 2 m across, a metre from its rim, at 600 and 700 °C:

    >>> [round(float(glow_heat(1.0, 1.0, glow, 1.0, 0.9)), 1) for glow in (600.0, 700.0)]
    [2.5, 3.9]
    """
    positive("Radius of the bed", radius_m, "m")
    not_negative("Distance from the rim", from_rim_m, "m")
    within("Temperature of the char", temperature_c, 0, 1447, "°C")
    positive("Height above the bed", height_m, "m")
    within("Emissivity", emissivity, 0, 1)
    away = np.asarray(radius_m) + from_rim_m
    height, radius = height_m / away, radius_m / away
    edge = 1 + height**2 + radius**2
    seen = height / 2 * (edge / np.sqrt(edge**2 - 4 * radius**2) - 1)
    heat: Numbers = seen * emissivity * STEFAN_BOLTZMANN * (temperature_c + KELVIN) ** 4
    return heat
