"""The steady state of a hose line: what comes out, and whether a wanted flow still arrives.

One balance serves the single kiln spot, the draws of its range and the cells of an area of reach:
head of the supply − lift − friction in every hose − fittings − pressure at the outlet.
It falls as the flow grows, so it has one root, and a wanted flow arrives exactly where the balance at that flow is not
below zero.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TypedDict

import numpy as np
from scipy.optimize import elementwise

from sitemap.errors import positive
from sitemap.hydraulics.friction import FrictionRule, Numbers, friction_gradient, head_m, minor_loss_m
from sitemap.hydraulics.nozzle import outlet_pressure_kpa
from sitemap.hydraulics.supply import Supply
from sitemap.ranges import Array

NO_RELAY = Supply(0.0)  # a second pump in the line that adds nothing


class Driven(TypedDict):
    """Arguments of `head_margin_m` and `steady_flow_l_min` that say how pumps and hoses fare against their figures."""

    supply_share: Numbers
    friction_share: Numbers
    relay: Supply
    relay_share: Numbers


@dataclass(frozen=True, eq=False)
class HoseRun:
    """Hose of one bore.

    bore_mm, roughness_c : numbers
    length_m : scalar or array, one length per lay [m]
    loss_coefficient : sum of the K of its fittings
    rule : friction rule; "hazen_williams" only to compare with other programs
    rated_kpa : pressure it is rated for, None where not known
    """

    bore_mm: float
    length_m: Numbers
    roughness_c: float = 140.0
    loss_coefficient: float = 0.0
    rule: FrictionRule = "planned"
    rated_kpa: float | None = None

    def loss_m(self, flow_l_min: Numbers, length_m: Numbers, friction_share: Numbers = 1.0) -> Numbers:
        """Friction and fittings over a length of this run [m]; friction_share scales the friction alone."""
        loss = friction_gradient(flow_l_min, self.bore_mm, self.roughness_c, self.rule) * length_m * friction_share
        if self.loss_coefficient:
            loss = loss + minor_loss_m(flow_l_min, self.bore_mm, self.loss_coefficient)
        return loss


def head_margin_m(
    flow_l_min: Numbers,
    supply: Supply,
    hoses: Sequence[HoseRun],
    lift_m: Numbers,
    outlet_factor: float,
    *,
    supply_share: Numbers = 1.0,
    friction_share: Numbers = 1.0,
    relay: Supply = NO_RELAY,
    relay_share: Numbers = 1.0,
) -> Array:
    """Head left over when a flow is asked of a line: H(Q) + H₂(Q) − lift − friction − fittings − outlet.

    The wanted flow arrives where this is not below zero, and the number itself is how much higher the outlet might
    stand before it no longer does.

    Parameters
    ----------
    flow_l_min : scalar or array, the wanted flow [L/min], not below 0
    supply : pump, tap or gravity
    hoses : runs from the supply to the outlet; their lengths scalar or array [m], NaN for out of reach
    lift_m : scalar or array, outlet above the water (above the tap) [m]
    outlet_factor : of nozzle or open end [L/min per √kPa]
    supply_share : scalar or array, share of the supply's head it really gives (wear)
    friction_share : scalar or array, friction relative to the rule
    relay : a second pump in the line, wherever it stands; its head counts like the first's
    relay_share : scalar or array, share of that head it really gives

    Returns
    -------
    broadcast shape [m]; minus infinity beyond what the supply or the second pump can yield, NaN where a length or lift
    is not known

    Notes
    -----
    All arguments broadcast. Velocity head in the hose is left out, as in the reference systems it is held against.
    """
    q = np.asarray(flow_l_min, dtype=float)
    margin = supply.head_m(q) * supply_share - lift_m - head_m(outlet_pressure_kpa(outlet_factor, q))
    if relay is not NO_RELAY:
        margin = margin + relay.head_m(q) * relay_share
    for hose in hoses:
        margin = margin - hose.loss_m(q, hose.length_m, friction_share)
    most = min(supply.most_flow_l_min, relay.most_flow_l_min)
    return np.where(q > most * (1 + 1e-9), -np.inf, margin)


def steady_flow_l_min(
    supply: Supply,
    hoses: Sequence[HoseRun],
    lift_m: Numbers,
    outlet_factor: float,
    *,
    supply_share: Numbers = 1.0,
    friction_share: Numbers = 1.0,
    relay: Supply = NO_RELAY,
    relay_share: Numbers = 1.0,
) -> Array:
    """What comes out in the steady state.

    Parameters
    ----------
    as for `head_margin_m`

    Returns
    -------
    broadcast shape [L/min]. NaN where nothing arrives (the lift is at or above the head at no flow) and where a length
    or lift is not known: never a small number in its place. Where the supply's yield is the limit, the yield.

    References
    ----------
    Root of the balance by scipy.optimize.elementwise.find_root (Chandrupatla 1997).

    >>> from sitemap.hydraulics.supply import Supply
    >>> round(float(steady_flow_l_min(Supply(60.0, 0.01), [], 20.0, 1e9)), 3)  # √((60 − 20)/0.01)
    63.246
    """
    positive("Nozzle factor", outlet_factor)
    arrays = [lift_m, supply_share, friction_share, relay_share, *(hose.length_m for hose in hoses)]
    lift, wear, rough, relay_wear, *lengths = np.broadcast_arrays(*(np.asarray(a, dtype=float) for a in arrays))

    def margin(q: Array, lift: Array, wear: Array, rough: Array, relay_wear: Array, *lengths: Array) -> Array:
        left = supply.head_m(q) * wear - lift - head_m(outlet_pressure_kpa(outlet_factor, q))
        if relay is not NO_RELAY:
            left = left + relay.head_m(q) * relay_wear
        for hose, length in zip(hoses, lengths, strict=True):
            left = left - hose.loss_m(q, length, rough)
        return np.asarray(left)

    at_rest = margin(np.zeros_like(lift), lift, wear, rough, relay_wear, *lengths)
    flow = np.full(lift.shape, np.nan)
    runs = np.isfinite(at_rest) & (at_rest > 0)
    if not runs.any():
        return flow
    given = tuple(a[runs] for a in (lift, wear, rough, relay_wear, *lengths))
    # at this flow the outlet alone eats all the head, so the root lies below it
    most_head = supply.most_head_m * given[1] + relay.most_head_m * given[3]
    most = outlet_factor * np.sqrt((most_head - given[0]) / float(head_m(1.0))) * (1 + 1e-9)
    cap = np.minimum(most, min(supply.most_flow_l_min, relay.most_flow_l_min))
    capped = margin(cap, *given) >= 0
    found = cap.copy()
    if not capped.all():
        searched = tuple(a[~capped] for a in given)
        tolerances = {"xrtol": 1e-10, "xatol": 1e-9}
        root = elementwise.find_root(
            margin, (np.zeros_like(cap[~capped]), cap[~capped]), args=searched, tolerances=tolerances
        )
        found[~capped] = root.x
    flow[runs] = found
    return flow
