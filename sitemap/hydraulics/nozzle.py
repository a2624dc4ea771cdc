"""What a nozzle lets through. Every outlet is one number, its factor: flow [L/min] = factor · √(pressure [kPa])."""

from __future__ import annotations

import numpy as np

from sitemap.errors import BadValue, not_negative, positive
from sitemap.hydraulics.friction import GRAVITY, KPA_PER_M, Numbers
from sitemap.reasons import as_typed, reason

SMOOTH_BORE_KPA = 345.0  # [kPa] working pressure of a smooth bore: 50 psi (P)
FOG_KPA = 690.0  # [kPa] working pressure of a fog nozzle: 100 psi (P)
_BORE_FACTOR = 0.06637  # [L/min per mm² per √kPa]: 0.6637·d²·√bar, from 29.7·d²·√psi (P, metric form D)


def bore_factor(bore_mm: Numbers) -> Numbers:
    """Factor of a smooth-bore nozzle: Q = 0.6637·d²·√p, Q in L/min, d in mm, p in bar at the nozzle inlet.

    Parameters
    ----------
    bore_mm : scalar or (n,), bore of the tip [mm]

    Returns
    -------
    same shape [L/min per √kPa]

    References
    ----------
    Q gpm = 29.7·d²·√psi, d in inches: fire-service handbook form (P).

    >>> round(float(bore_factor(25.4)) * 345**0.5 / 3.785411784)
    210
    """
    return _BORE_FACTOR * positive("Nozzle bore", bore_mm, "mm") ** 2


def rated_factor(rated_flow_l_min: Numbers, rated_pressure_kpa: Numbers) -> Numbers:
    """Factor of a nozzle known by its rated flow at a pressure: flow / √pressure.

    Parameters
    ----------
    rated_flow_l_min : scalar or (n,) [L/min]
    rated_pressure_kpa : scalar or (n,) [kPa]

    Returns
    -------
    same shape [L/min per √kPa]

    Notes
    -----
    Holds for a fixed opening; a nozzle that adjusts itself gives more at low and less at high pressure.

    References
    ----------
    Orifice law Q ∝ √p (textbooks, M).

    >>> float(rated_factor(100.0, 400.0))
    5.0
    """
    flow = positive("Rated flow", rated_flow_l_min, "L/min")
    return flow / np.sqrt(positive("Rated pressure", rated_pressure_kpa, "kPa"))


def open_end_factor(hose_bore_mm: Numbers) -> Numbers:
    """Factor of an open hose end: the exit velocity head v²/2g of the hose itself, counted once.

    Parameters
    ----------
    hose_bore_mm : scalar or (n,), bore of the last hose [mm]

    Returns
    -------
    same shape [L/min per √kPa]; never to be used together with a nozzle, whose form holds that head already

    References
    ----------
    Torricelli's law (textbooks, M).
    """
    area_m2 = np.pi / 4 * (positive("Hose bore", hose_bore_mm, "mm") / 1000.0) ** 2
    return area_m2 * 60_000.0 * float(np.sqrt(2 * GRAVITY / KPA_PER_M))


def outlet_flow_l_min(factor: Numbers, pressure_kpa: Numbers) -> Numbers:
    """Flow of an outlet at a pressure: factor·√p.

    Parameters
    ----------
    factor : scalar or (n,), of the outlet [L/min per √kPa]
    pressure_kpa : scalar or (n,), at its inlet [kPa]

    Returns
    -------
    broadcast shape [L/min]

    Raises
    ------
    BadValue : a factor not above zero, a pressure below zero: nothing comes out then

    References
    ----------
    Orifice law (textbooks, M).
    """
    return positive("Nozzle factor", factor) * np.sqrt(not_negative("Pressure at the nozzle", pressure_kpa, "kPa"))


def outlet_pressure_kpa(factor: Numbers, flow_l_min: Numbers) -> Numbers:
    """Pressure at the inlet of an outlet that passes a flow: (Q / factor)².

    Parameters
    ----------
    factor : scalar or (n,), of the outlet [L/min per √kPa]
    flow_l_min : scalar or (n,) [L/min]

    Returns
    -------
    broadcast shape [kPa]

    References
    ----------
    Orifice law (textbooks, M).

    >>> float(outlet_pressure_kpa(5.0, 100.0))
    400.0
    """
    return (flow_l_min / positive("Nozzle factor", factor)) ** 2


def fits_hose(nozzle_bore_mm: float, hose_bore_mm: float) -> None:
    """Refuse a nozzle wider than the hose it hangs on: it would not hold back anything.

    Parameters
    ----------
    nozzle_bore_mm, hose_bore_mm : bores [mm]

    Raises
    ------
    BadValue : the nozzle is wider

    References
    ----------
    Plain geometry (D).
    """
    if positive("Nozzle bore", nozzle_bore_mm, "mm") > positive("Hose bore", hose_bore_mm, "mm"):
        sizes = as_typed(nozzle_bore_mm, "mm"), as_typed(hose_bore_mm, "mm")
        raise BadValue(reason("hydraulics.wide_nozzle", nozzle=sizes[0], hose=sizes[1]))
