"""How far the water of one source gets: the thresholds behind the areas on the map, over arrays of ways and lifts.

They are the same functions at the same likely inputs as the verdict of a single kiln spot, so that area and spot agree.
"""

from __future__ import annotations

import numpy as np

from sitemap.hydraulics.friction import Numbers
from sitemap.hydraulics.nozzle import outlet_flow_l_min
from sitemap.hydraulics.profile import fill_l
from sitemap.hydraulics.steady_flow import head_margin_m
from sitemap.ranges import Array
from sitemap.water import verdict
from sitemap.water.equipment import Rig
from sitemap.water.shuttle import Trip


def quench_margin_m(
    rig: Rig, litres: float, hold_l_min: float, route_m: Numbers, lift_m: Numbers, highest_m: Numbers | None = None
) -> Array:
    """Head left over when the flow of a quench in time is asked at the end of a way.

    Parameters
    ----------
    rig : hose line of the source
    litres, hold_l_min : likely quench volume [L] and holding flow [L/min]
    route_m : scalar or array, way along the ground without slack [m]; NaN or infinite where there is none
    lift_m : same shape, ground above the water [m]
    highest_m : same shape, highest point on the way above the water [m]; None: the end itself

    Returns
    -------
    same shape [m]; not below 0 where the quench line reaches, NaN where the hose on hand does not
    """
    hoses = rig.hoses(_real(route_m))
    needed = verdict.needed_flow_l_min(litres, hold_l_min, fill_l(hoses))
    return _margin(rig, needed, route_m, lift_m, highest_m)


def attack_margin_m(rig: Rig, route_m: Numbers, lift_m: Numbers, highest_m: Numbers | None = None) -> Array:
    """Head left over when the nozzle must have its working pressure; parameters and answer as `quench_margin_m`.

    All NaN for an open end, which does not throw.
    """
    if rig.attack_kpa is None:
        return np.full(np.broadcast_shapes(np.shape(route_m), np.shape(lift_m)), np.nan)
    needed = outlet_flow_l_min(rig.outlet_factor, rig.attack_kpa)
    return _margin(rig, np.asarray(needed), route_m, lift_m, highest_m)


def haul_margin_min(trip: Trip, litres: float, hold_l_min: float, distance_m: Numbers, cap_l_min: float) -> Array:
    """Minutes left over when a quench is hauled: 60 less the time it takes, or 30 less the first load if that is less.

    Parameters
    ----------
    trip : one way of hauling
    litres, hold_l_min : likely quench volume [L] and holding flow [L/min]
    distance_m : scalar or array [m]; infinite where there is no way
    cap_l_min : flow the source fills buckets with [L/min]

    Returns
    -------
    same shape [min]; not below 0 where the haul keeps up, minus infinity where the char is never put out
    """
    distance = _real(distance_m)
    known = np.where(np.isnan(distance), 0.0, distance)
    flow = np.minimum(trip.flow_l_min(known), cap_l_min)
    first = trip.first_min(known)
    done = verdict.minutes_to_quench(litres, flow, hold_l_min, first)
    left = np.minimum(verdict.COLD_MIN - done, verdict.WATER_ON_MIN - first)
    return np.where(np.isnan(distance), -np.inf, left)


def _margin(rig: Rig, needed: Array, route_m: Numbers, lift_m: Numbers, highest_m: Numbers | None) -> Array:
    hoses = rig.all_hoses(_real(route_m))
    margin = head_margin_m(rig.line(hoses), needed, lift_m)
    if highest_m is None or rig.most_head_m <= 0:
        return margin
    # the pump must first push water over the highest point of the way
    return np.minimum(margin, np.where(rig.most_head_m > highest_m, np.inf, -np.inf))


def _real(metres: Numbers) -> Array:
    array = np.asarray(metres, dtype=float)
    return np.where(np.isfinite(array), array, np.nan)
