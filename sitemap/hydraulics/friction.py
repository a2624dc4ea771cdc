"""What a hose costs: friction by two rules, fittings, and head against pressure.

Flow [L/min], bore [mm], length and head [m], pressure [kPa]. Everything takes a number or an array alike.
"""

from __future__ import annotations

from functools import lru_cache
from typing import Literal

import numpy as np

from sitemap import tables
from sitemap.errors import BadValue, not_negative, positive
from sitemap.ranges import Array
from sitemap.reasons import reason

Numbers = float | Array
FrictionRule = Literal["planned", "hazen_williams"]

KPA_PER_M = 9.789  # [kPa/m] fresh water near 20 °C (D)
KPA_PER_PSI = 6.894757  # [kPa/psi], from the pound-force and the inch
GRAVITY = 9.80665  # [m/s²] standard gravity
_L_MIN_PER_M3_S = 60_000.0  # [L/min per m³/s], exact
_HEAD = 10.667  # Hazen–Williams in SI, with the exponents below; agrees with EPANET's 4.727 in feet to 1e-4 (D)
_FLOW_POWER = 1.852
_BORE_POWER = 4.871
_GALLON = 3.785411784  # [L] US gallon, exact
_HUNDRED_FEET = 30.48  # [m], exact


def pressure_kpa(head_m: Numbers) -> Numbers:
    """Pressure of a column of water: 9.789 kPa a metre; 0.4327 psi a foot.

    Parameters
    ----------
    head_m : scalar or (n,), height of water [m]

    Returns
    -------
    same shape [kPa]

    References
    ----------
    Hydrostatics, fresh water near 20 °C (D).

    >>> pressure_kpa(10.0)
    97.89
    """
    return head_m * KPA_PER_M


def head_m(pressure: Numbers) -> Numbers:
    """Height of water that a pressure holds up; the other way round of `pressure_kpa`.

    Parameters
    ----------
    pressure : scalar or (n,) [kPa]

    Returns
    -------
    same shape [m]

    References
    ----------
    As for `pressure_kpa` (D).

    >>> head_m(97.89)
    10.0
    """
    return pressure / KPA_PER_M


def velocity_m_s(flow_l_min: Numbers, bore_mm: Numbers) -> Numbers:
    """Mean speed of water in a full hose: v = Q / (π d² / 4).

    Parameters
    ----------
    flow_l_min : scalar or (n,) [L/min]
    bore_mm : scalar or (n,), bore of the hose [mm]

    Returns
    -------
    same shape [m/s]

    Raises
    ------
    BadValue : a bore not above zero

    References
    ----------
    Continuity (textbooks, M).
    """
    area_m2 = np.pi / 4 * (positive("Bore", bore_mm, "mm") / 1000.0) ** 2
    return flow_l_min / _L_MIN_PER_M3_S / area_m2


def hazen_williams_factor(bore_mm: Numbers, roughness_c: Numbers = 140.0) -> Numbers:
    """Loss by Hazen–Williams per metre of hose, to be multiplied by flow^1.852.

    Parameters
    ----------
    bore_mm : scalar or (n,), true inner diameter [mm]
    roughness_c : scalar or (n,), Hazen–Williams C [no unit]; 140 lined hose

    Returns
    -------
    [m per m per (L/min)^1.852]

    Raises
    ------
    BadValue : bore or C not above zero

    Notes
    -----
    h = 10.667·L·Q^1.852 / (C^1.852·d^4.871), Q in m³/s, d in m. Water at ordinary temperature, turbulent flow.

    References
    ----------
    EPANET 2.2 user manual (4.727 in feet and ft³/s) P; constants in SI derived (D).
    """
    d = positive("Bore", bore_mm, "mm") / 1000.0
    c = positive("Hazen–Williams C", roughness_c)
    factor: Numbers = _HEAD / (c**_FLOW_POWER * d**_BORE_POWER * _L_MIN_PER_M3_S**_FLOW_POWER)
    return factor


def hazen_williams_loss_m(
    flow_l_min: Numbers, length_m: Numbers, bore_mm: Numbers, roughness_c: Numbers = 140.0
) -> Numbers:
    """Friction of a hose by Hazen–Williams (see `hazen_williams_factor`).

    Parameters
    ----------
    flow_l_min : scalar or (n,), not below 0 [L/min]
    length_m : scalar or (n,), not below 0 [m]
    bore_mm : scalar or (n,), true inner diameter [mm]
    roughness_c : scalar or (n,), Hazen–Williams C [no unit]

    Returns
    -------
    broadcast shape [m]

    References
    ----------
    EPANET 2.2 user manual P.

    >>> round(float(hazen_williams_loss_m(1500.0, 150.0, 100.0, 150.0)), 5)
    11.96733
    """
    not_negative("Flow", flow_l_min, "L/min")
    factor = hazen_williams_factor(bore_mm, roughness_c)
    loss: Numbers = factor * not_negative("Length", length_m, "m") * flow_l_min**_FLOW_POWER
    return loss


def fire_rule_coefficient(bore_mm: Numbers) -> Numbers:
    """Coefficient c of the fire-service rule, between its published sizes on a straight line in log c against log d.

    Parameters
    ----------
    bore_mm : scalar or (n,), bore [mm]

    Returns
    -------
    same shape [psi per 100 ft at 100 US gal/min]; NaN outside 25.4 … 76.2 mm, where the rule has no figure

    References
    ----------
    Table water_friction (P and S row by row).
    """
    rows = tables.load("water_friction").values()
    bores = np.log([row["bore_mm"] for row in rows])
    values = np.log([row["value"] for row in rows])
    found: Array = np.exp(np.interp(np.log(positive("Bore", bore_mm, "mm")), bores, values, left=np.nan, right=np.nan))
    return found


def fire_rule_loss_m(flow_l_min: Numbers, length_m: Numbers, bore_mm: Numbers) -> Numbers:
    """Friction by the fire-service rule: psi = c·(gpm/100)²·(ft/100).

    Parameters
    ----------
    flow_l_min : scalar or (n,), not below 0 [L/min]
    length_m : scalar or (n,), not below 0 [m]
    bore_mm : scalar or (n,), bore [mm]

    Returns
    -------
    broadcast shape [m]; NaN outside the rule's sizes

    Notes
    -----
    It is optimistic for small hose: at 1 in and 10–20 US gal/min half the Hazen–Williams loss (D), so the plan goes by
    the larger of the two.

    References
    ----------
    Table water_friction (P and S row by row).

    >>> round(float(pressure_kpa(fire_rule_loss_m(200 * 3.785411784, 30.48, 63.5))) / KPA_PER_PSI, 6)
    8.0
    """
    flow = not_negative("Flow", flow_l_min, "L/min")
    return _fire_rule_factor(bore_mm) * not_negative("Length", length_m, "m") * flow**2


def friction_gradient(
    flow_l_min: Numbers, bore_mm: float, roughness_c: float = 140.0, rule: FrictionRule = "planned"
) -> Numbers:
    """Loss per metre of hose; "planned" is the larger of Hazen–Williams and the fire-service rule.

    Parameters
    ----------
    flow_l_min : scalar or (n,) [L/min], not below 0 (not checked here: this runs inside a root search)
    bore_mm : bore [mm]
    roughness_c : Hazen–Williams C [no unit]
    rule : "planned", or "hazen_williams" to hold it against other programs

    Returns
    -------
    same shape as flow [m per m]

    Raises
    ------
    BadValue : another rule

    References
    ----------
    As for `hazen_williams_factor` and `fire_rule_coefficient`; the larger of both: ours (D).
    """
    by_hazen_williams: Numbers = hazen_williams_factor(bore_mm, roughness_c) * flow_l_min**_FLOW_POWER
    if rule == "hazen_williams":
        return by_hazen_williams
    if rule != "planned":
        raise BadValue(reason("hydraulics.friction_rule", rule=rule))
    larger: Array = np.fmax(by_hazen_williams, _fire_rule_factor(bore_mm) * flow_l_min**2)
    return larger


def minor_loss_m(flow_l_min: Numbers, bore_mm: Numbers, loss_coefficient: Numbers) -> Numbers:
    """Loss in fittings: K·v²/2g with the speed in the given bore.

    Parameters
    ----------
    flow_l_min : scalar or (n,) [L/min]
    bore_mm : scalar or (n,), bore the speed is taken in [mm]
    loss_coefficient : scalar or (n,), sum of the K of the fittings (table water_fittings), not below 0 [-]

    Returns
    -------
    same shape [m]

    References
    ----------
    EPANET 2.2 user manual, minor losses P.
    """
    k = not_negative("Loss coefficient", loss_coefficient)
    return k * velocity_m_s(flow_l_min, bore_mm) ** 2 / (2 * GRAVITY)


def hose_contents_l(length_m: Numbers, bore_mm: Numbers) -> Numbers:
    """Water in a full hose: π d² L / 4.

    Parameters
    ----------
    length_m : scalar or (n,), not below 0 [m]; NaN (out of reach) stays NaN
    bore_mm : scalar or (n,), bore [mm]

    Returns
    -------
    broadcast shape [L]

    References
    ----------
    Volume of a cylinder; held against the published contents of fire hose (P) in the tests.

    >>> round(float(hose_contents_l(30.48, 38.1)) / 3.785411784, 1)
    9.2
    """
    not_negative("Length", np.nan_to_num(length_m), "m")
    return np.pi / 4 * (positive("Bore", bore_mm, "mm") / 1000.0) ** 2 * length_m * 1000.0


def _fire_rule_factor(bore_mm: Numbers) -> Numbers:
    # a root search asks for the same hose many times
    return _one_fire_rule_factor(bore_mm) if isinstance(bore_mm, float) else _any_fire_rule_factor(bore_mm)


def _any_fire_rule_factor(bore_mm: Numbers) -> Numbers:
    psi_to_m = KPA_PER_PSI / KPA_PER_M
    return fire_rule_coefficient(bore_mm) * psi_to_m / (100.0 * _GALLON) ** 2 / _HUNDRED_FEET


_one_fire_rule_factor = lru_cache(maxsize=64)(_any_fire_rule_factor)
