"""How high a pump can draw: altitude, water temperature, and the share of it that works in the field."""

from __future__ import annotations

import numpy as np

from sitemap.errors import positive, within
from sitemap.hydraulics.friction import KPA_PER_M, Numbers, fire_rule_loss_m, hazen_williams_loss_m

PRACTICAL_SHARE = 0.61  # of (p_atm − p_v)/ρg: the lowest of the published table's 0.61–0.66 (D from P)
TIGHT_ABOVE_M = 4.5  # [m] a practical suction above this is tight, house rule


def atmospheric_pressure_kpa(altitude_m: Numbers) -> Numbers:
    """Mean air pressure at an altitude: 101.325·(1 − 2.25577e-5·z)^5.25588.

    Parameters
    ----------
    altitude_m : scalar or (n,), above sea level [m], −500 … 6000

    Returns
    -------
    same shape [kPa]

    References
    ----------
    Standard atmosphere (D); within 0.03 kPa of the published table P.
    """
    return 101.325 * (1 - 2.25577e-5 * within("Altitude", altitude_m, -500.0, 6000.0, "m")) ** 5.25588


def vapour_pressure_kpa(water_c: Numbers) -> Numbers:
    """Vapour pressure of water: 0.6108·exp(17.27·T/(T + 237.3)).

    Parameters
    ----------
    water_c : scalar or (n,), temperature of the water [°C], 0 … 60

    Returns
    -------
    same shape [kPa], within 0.3 % of IAPWS-95 up to 40 °C

    References
    ----------
    Tetens' form as in FAO Irrigation and Drainage Paper 56, equation 11, from memory M.
    """
    t = within("Water temperature", water_c, 0.0, 60.0, "°C")
    return 0.6108 * np.exp(17.27 * t / (t + 237.3))


def practical_suction_lift_m(altitude_m: Numbers, water_c: Numbers = 15.0) -> Numbers:
    """Highest the pump may stand above the water: 0.61 of what the air could push.

    Parameters
    ----------
    altitude_m : scalar or (n,) [m above sea level]
    water_c : scalar or (n,) [°C]

    Returns
    -------
    same shape [m]; never above the published table (6.7 m at sea level, 6.1 at 800 m, 5.2 at 1,600 m, 4.6 at 2,400 m)

    References
    ----------
    Share of the published table (P) taken from its lowest value (D).

    >>> round(float(practical_suction_lift_m(2400.0)), 1)
    4.6
    """
    usable_kpa = atmospheric_pressure_kpa(altitude_m) - vapour_pressure_kpa(water_c)
    return PRACTICAL_SHARE * usable_kpa / KPA_PER_M


def most_suction_flow_l_min(
    lift_m: float, limit_m: float, bore_mm: Numbers, length_m: Numbers, roughness_c: Numbers = 140.0
) -> Numbers:
    """Flow a suction hose lets through: the one at which lift and friction together reach what the pump can draw from.

    Parameters
    ----------
    lift_m : pump above the water [m]
    limit_m : highest it can draw from [m], above the lift (see `practical_suction_lift_m`)
    bore_mm, length_m, roughness_c : suction hose, scalar or (n,) [mm], [m], [no unit]

    Returns
    -------
    same shape [L/min]

    Raises
    ------
    BadValue : a lift at or above the limit, a hose without length

    Notes
    -----
    limit − lift = h(Q), solved for Q by Hazen–Williams and by the fire-service rule; the smaller counts. Beyond it the
    water boils in the pump, whatever its curve says.

    References
    ----------
    Net positive suction head: air pressure less vapour pressure, lift and friction of the suction side (P, textbooks).

    >>> round(float(most_suction_flow_l_min(4.0, 6.6, 25.4, 8.0, 120.0)))
    70
    """
    left = positive("Suction left for friction", limit_m - lift_m, "m")
    positive("Length of the suction hose", length_m, "m")
    by_hazen_williams = (left / hazen_williams_loss_m(1.0, length_m, bore_mm, roughness_c)) ** (1 / 1.852)
    by_fire_rule = np.sqrt(left / fire_rule_loss_m(1.0, length_m, bore_mm))
    most: Numbers = np.fmin(by_hazen_williams, by_fire_rule)
    return most
