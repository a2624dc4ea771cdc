"""Heat from an open-top kiln: flame height, plume temperature over it, radiant heat beside it.

Quantities in kW, m, K. All of it is for a free fire in still air with an open top: an order of magnitude for a kiln.
Wind bends the flame and the plume towards people; no figure here allows for it.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from sitemap.errors import not_negative, positive, within
from sitemap.ranges import Array

AMBIENT_K = 293.0  # [K] 20 °C
GRAVITY_M_S2 = 9.81  # [m/s²]
AIR_DENSITY_KG_M3 = 1.2  # [kg/m³] at 20 °C, ± 10 % with altitude and weather
AIR_HEAT_KJ_KG_K = 1.0  # [kJ/(kg K)]
RADIATIVE_FRACTION = 0.30  # [share] of the heat that leaves as radiation, NUREG-1805 (S); 0.2–0.4 among fuels
CONVECTIVE_FRACTION = 1 - RADIATIVE_FRACTION


def flame_height_m(heat_kw: ArrayLike, diameter_m: ArrayLike) -> Array:
    """Mean flame height above the rim in still air.

    Parameters
    ----------
    heat_kw : heat release [kW], scalar or array, at least 0
    diameter_m : diameter of the burning surface, √(4A/π) for a box [m], above 0

    Returns
    -------
    flame height [m], same shape; 0 where there is no coherent flame

    Raises
    ------
    BadValue : heat below 0, diameter not above 0

    Notes
    -----
    L = 0.235 Q^0.4 − 1.02 D. Tips flicker well above it.

    References
    ----------
    Heskestad's correlation as in NUREG-1805 and Karlsson & Quintiere (S).

    Examples
    --------
    >>> round(float(flame_height_m(1690.0, 1.6)), 2)
    2.96
    """
    Q = np.asarray(not_negative("The heat release", heat_kw, "kW"), dtype=float)
    D = np.asarray(positive("The diameter of the fire", diameter_m, "m"), dtype=float)
    return np.asarray(np.maximum(0.235 * Q**0.4 - 1.02 * D, 0.0))


def virtual_origin_m(heat_kw: ArrayLike, diameter_m: ArrayLike) -> Array:
    """Height of the point from which the plume seems to rise, against the rim [m]; negative is below it.

    Parameters
    ----------
    heat_kw : heat release [kW], scalar or array, at least 0
    diameter_m : diameter of the burning surface [m], above 0

    Returns
    -------
    height [m], same shape

    Raises
    ------
    BadValue : heat below 0, diameter not above 0

    Notes
    -----
    z0 = 0.083 Q^0.4 − 1.02 D.

    References
    ----------
    As for `flame_height_m` (S).

    Examples
    --------
    >>> round(float(virtual_origin_m(1000.0, 1.5)), 3)
    -0.215
    """
    Q = np.asarray(not_negative("The heat release", heat_kw, "kW"), dtype=float)
    D = np.asarray(positive("The diameter of the fire", diameter_m, "m"), dtype=float)
    return np.asarray(0.083 * Q**0.4 - 1.02 * D)


def axis_rise_k(
    convective_kw: ArrayLike,
    above_origin_m: ArrayLike,
    ambient_k: ArrayLike = AMBIENT_K,
    gravity_m_s2: float = GRAVITY_M_S2,
) -> Array:
    """Temperature rise on the axis of a plume, by height above its virtual origin.

    Parameters
    ----------
    convective_kw : the share of the heat that rises, about 0.7 of the whole [kW], at least 0
    above_origin_m : z − z0 [m], above 0
    ambient_k : temperature of the air [K], 200–350
    gravity_m_s2 : [m/s²]

    Returns
    -------
    rise above ambient [K], same shape

    Raises
    ------
    BadValue : outside those limits

    Notes
    -----
    ΔT = 9.1 (T / (g cp² ρ²))^(1/3) Qc^(2/3) (z − z0)^(−5/3). It holds above the flame only; `plume_rise_k` holds it to
    that. The leading coefficient is 25.0 at 293 K.

    References
    ----------
    Heskestad's axis formula as in Karlsson & Quintiere (S).

    Examples
    --------
    >>> round(float(axis_rise_k(700.0, 10.0)), 1)
    42.5
    """
    Qc = np.asarray(not_negative("The convective heat", convective_kw, "kW"), dtype=float)
    z = np.asarray(positive("The height above the virtual origin", above_origin_m, "m"), dtype=float)
    T = np.asarray(within("The temperature of the air", ambient_k, 200.0, 350.0, "K"), dtype=float)
    coefficient = 9.1 * (T / (gravity_m_s2 * AIR_HEAT_KJ_KG_K**2 * AIR_DENSITY_KG_M3**2)) ** (1 / 3)
    return np.asarray(coefficient * Qc ** (2 / 3) * z ** (-5 / 3))


def plume_rise_k(
    heat_kw: ArrayLike, height_m: ArrayLike, diameter_m: ArrayLike, ambient_k: ArrayLike = AMBIENT_K
) -> Array:
    """Temperature rise straight above a kiln, above its flame.

    Parameters
    ----------
    heat_kw : heat release [kW], scalar or array, at least 0
    height_m : height above the rim [m], above 0
    diameter_m : diameter of the burning surface [m], above 0
    ambient_k : temperature of the air [K], 200–350

    Returns
    -------
    rise above ambient [K], same shape; NaN in the flame, where the formula does not hold

    Raises
    ------
    BadValue : outside those limits

    Notes
    -----
    `axis_rise_k` with `virtual_origin_m` and 0.7 of the heat.

    References
    ----------
    As for `axis_rise_k` (S).

    Examples
    --------
    >>> round(float(plume_rise_k(1000.0, 9.0, 1.5)))
    49
    """
    z = np.asarray(positive("The height above the rim", height_m, "m"), dtype=float)
    in_flame = z <= flame_height_m(heat_kw, diameter_m)
    above_origin = z - virtual_origin_m(heat_kw, diameter_m)
    convective = CONVECTIVE_FRACTION * np.asarray(heat_kw, dtype=float)
    rise = axis_rise_k(convective, np.where(in_flame, 1.0, above_origin), ambient_k)
    return np.where(in_flame, np.nan, rise)


def mccaffrey_rise_k(heat_kw: ArrayLike, height_m: ArrayLike, ambient_k: ArrayLike = AMBIENT_K) -> Array:
    """Temperature rise on the axis over a fire, flame, flickering zone and plume alike.

    Parameters
    ----------
    heat_kw : heat release [kW], scalar or array, above 0
    height_m : height above the burning surface [m], above 0
    ambient_k : temperature of the air [K], 200–350

    Returns
    -------
    rise above ambient [K], same shape

    Raises
    ------
    BadValue : outside those limits

    Notes
    -----
    ΔT = T (k / (0.9 √(2g)))² (z/Q^0.4)^(2n−1); k, n = 6.8, ½ below z/Q^0.4 = 0.08; 1.9, 0 to 0.2; 1.1, −⅓ above.
    Found on small gas flames; used here as the second opinion.

    References
    ----------
    McCaffrey's plume as cited in fire engineering texts (S).

    Examples
    --------
    >>> round(float(mccaffrey_rise_k(1000.0, 5.0)), 3)
    152.588
    """
    Q = np.asarray(positive("The heat release", heat_kw, "kW"), dtype=float)
    z = np.asarray(positive("The height above the fire", height_m, "m"), dtype=float)
    T = np.asarray(within("The temperature of the air", ambient_k, 200.0, 350.0, "K"), dtype=float)
    scaled = z / Q**0.4
    zones = [scaled < 0.08, scaled < 0.2]
    k = np.select(zones, [6.8, 1.9], 1.1)
    n = np.select(zones, [0.5, 0.0], -1 / 3)
    return np.asarray(T * (k / (0.9 * np.sqrt(2 * GRAVITY_M_S2))) ** 2 * scaled ** (2 * n - 1))


def radiant_distance_m(
    heat_kw: ArrayLike, flux_kw_m2: ArrayLike, radiative_fraction: float = RADIATIVE_FRACTION
) -> Array:
    """Distance from the middle of the flame at which radiant heat has fallen to a limit, taken as a point.

    Parameters
    ----------
    heat_kw : heat release [kW], scalar or array, at least 0
    flux_kw_m2 : the limit [kW/m²], above 0
    radiative_fraction : part of the heat radiated, 0–1 [fraction]

    Returns
    -------
    distance [m], same shape

    Raises
    ------
    BadValue : outside those limits

    Notes
    -----
    q = χ Q / (4 π R²), solved for R. Nearer than about 2.5 diameters of the fire it is only an order of magnitude (M).

    References
    ----------
    NUREG-1805, point source (S).

    Examples
    --------
    >>> round(float(radiant_distance_m(1000.0, 1.0)), 2)
    4.89
    """
    Q = np.asarray(not_negative("The heat release", heat_kw, "kW"), dtype=float)
    q = np.asarray(positive("The limit of radiant heat", flux_kw_m2, "kW/m²"), dtype=float)
    chi = within("The radiative share", radiative_fraction, 0.0, 1.0)
    return np.asarray(np.sqrt(chi * Q / (4 * np.pi * q)))


def refuge_distance_m(fuel_height_m: ArrayLike, slope_wind_factor: ArrayLike = 1.0) -> Array:
    """Bare ground a refuge needs between people and the fuel around it.

    Sized by the fuel that may burn around it, not by the flame of a kiln.

    Parameters
    ----------
    fuel_height_m : height of grass, brush or timber around it [m], at least 0
    slope_wind_factor : 1 on the level in still air, 1–5 as a rule, up to 10 on steep ground or in strong wind [-]

    Returns
    -------
    distance from every edge [m], same shape

    Raises
    ------
    BadValue : height below 0, factor outside 1–10

    References
    ----------
    8 × height of the vegetation × slope-and-wind factor: NWCG, safety zone research (P).

    Examples
    --------
    >>> float(refuge_distance_m(2.0, 3.0))
    48.0
    """
    height = np.asarray(not_negative("The height of the fuel", fuel_height_m, "m"), dtype=float)
    factor = np.asarray(within("The slope-and-wind factor", slope_wind_factor, 1.0, 10.0), dtype=float)
    return np.asarray(8.0 * height * factor)
