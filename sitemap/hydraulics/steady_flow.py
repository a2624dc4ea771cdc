"""The steady state of a hose line: what comes out, and whether a wanted flow still arrives.

One balance serves the single kiln spot, the draws of its range and the cells of an area of reach:
head of the supply − lift − friction in every hose − fittings − pressure at the outlet.
It falls as the flow grows, so it has one root, and a wanted flow arrives exactly where the balance at that flow is not
below zero.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from sitemap.errors import positive
from sitemap.hydraulics.friction import FrictionRule, Numbers, friction_gradient, head_m, minor_loss_m
from sitemap.hydraulics.nozzle import outlet_pressure_kpa
from sitemap.hydraulics.supply import Supply
from sitemap.ranges import Array
from sitemap.roots import root_between

NO_RELAY = Supply(0.0)  # a second pump in the line that adds nothing


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


@dataclass(frozen=True, eq=False)
class HoseLine:
    """All that stands between open water and the outlet: what the balance runs over.

    supply : pump, tap or gravity at the water
    hoses : in the order of the flow, lengths broadcasting with whatever else is an array
    outlet_factor : of nozzle or open end [L/min per √kPa]
    supply_share : scalar or array, share of the supply's head it really gives [fraction]
    friction_share : scalar or array, friction against the rule [fraction]
    relay : a second pump in the line, wherever it stands; its head counts like the first's
    relay_share : scalar or array, share of that head it really gives [fraction]
    """

    supply: Supply
    hoses: Sequence[HoseRun]
    outlet_factor: float
    supply_share: Numbers = 1.0
    friction_share: Numbers = 1.0
    relay: Supply = NO_RELAY
    relay_share: Numbers = 1.0

    @property
    def most_flow_l_min(self) -> float:
        """Flow that neither supply nor second pump can exceed [L/min]."""
        return min(self.supply.most_flow_l_min, self.relay.most_flow_l_min)

    def driving_head_m(self, flow_l_min: Numbers) -> Numbers:
        """Head of all that drives the water at a flow [L/min] to [m]."""
        head = self.supply.head_m(flow_l_min) * self.supply_share
        if self.relay is not NO_RELAY:
            head = head + self.relay.head_m(flow_l_min) * self.relay_share
        return head

    def friction_m(self, flow_l_min: Numbers) -> Numbers:
        """Head lost in hoses and fittings at a flow [L/min] to [m]."""
        return sum((hose.loss_m(flow_l_min, hose.length_m, self.friction_share) for hose in self.hoses), 0.0)


def head_margin_m(line: HoseLine, flow_l_min: Numbers, static_head_m: Numbers) -> Array:
    """Head left over when a flow is asked of a line: H(Q) + H₂(Q) − static head − outlet − friction − fittings.

    Parameters
    ----------
    line : the hose line; its shares and lengths broadcast with the rest
    flow_l_min : scalar or (n,), flow asked [L/min]
    static_head_m : scalar or (n,), outlet above the water [m]

    Returns
    -------
    broadcast shape [m]; minus infinity beyond what the supply or the second pump can yield, NaN where a length or the
    static head is not known

    Notes
    -----
    Velocity head in the hose is left out, as in the reference systems it is held against.

    References
    ----------
    Energy equation between two points (textbooks, M); held against EPANET 2.2 in the tests.
    """
    q = np.asarray(flow_l_min, dtype=float)
    lengths = [hose.length_m for hose in line.hoses]
    margin = _balance_m(line, q, static_head_m, line.supply_share, line.friction_share, line.relay_share, *lengths)
    return np.where(q > line.most_flow_l_min * (1 + 1e-9), -np.inf, margin)


def _balance_m(
    line: HoseLine,
    q: Array,
    static_head_m: Numbers,
    supply_share: Numbers,
    friction_share: Numbers,
    relay_share: Numbers,
    *lengths_m: Numbers,
) -> Array:
    """The one balance of a line; what varies from lay to lay is handed over beside it, as a root search needs it."""
    left = line.supply.head_m(q) * supply_share - static_head_m - head_m(outlet_pressure_kpa(line.outlet_factor, q))
    if line.relay is not NO_RELAY:
        left = left + line.relay.head_m(q) * relay_share
    for hose, length_m in zip(line.hoses, lengths_m, strict=True):
        left = left - hose.loss_m(q, length_m, friction_share)
    return np.asarray(left)


def steady_flow_l_min(line: HoseLine, static_head_m: Numbers) -> Array:
    """What comes out in the steady state.

    Parameters
    ----------
    line : the hose line; its shares and lengths broadcast with the static head
    static_head_m : scalar or (n,), outlet above the water [m]

    Returns
    -------
    broadcast shape [L/min]. NaN where nothing arrives (the static head is at or above the head at no flow) and where a
    length or the static head is not known: never a small number in its place. Where the supply's yield is the limit,
    the yield.

    Raises
    ------
    BadValue : an outlet factor not above zero

    References
    ----------
    Root of the balance as `roots.root_between` finds it.

    >>> from sitemap.hydraulics.supply import Supply
    >>> round(float(steady_flow_l_min(HoseLine(Supply(60.0, 0.01), [], 1e9), 20.0)), 3)  # √((60 − 20)/0.01)
    63.246
    """
    positive("Nozzle factor", line.outlet_factor)
    arrays = [static_head_m, line.supply_share, line.friction_share, line.relay_share]
    given = np.broadcast_arrays(*(np.asarray(a, dtype=float) for a in (*arrays, *(h.length_m for h in line.hoses))))

    def margin(q: Array, *varying: Array) -> Array:
        return _balance_m(line, q, *varying)

    at_rest = margin(np.zeros_like(given[0]), *given)
    flow = np.full(given[0].shape, np.nan)
    runs = np.isfinite(at_rest) & (at_rest > 0)
    if not runs.any():
        return flow
    running = tuple(a[runs] for a in given)
    # at this flow the outlet alone eats all the head, so the root lies below it
    most_head = line.supply.most_head_m * running[1] + line.relay.most_head_m * running[3]
    most = line.outlet_factor * np.sqrt((most_head - running[0]) / float(head_m(1.0))) * (1 + 1e-9)
    cap = np.minimum(most, line.most_flow_l_min)
    capped = margin(cap, *running) >= 0
    found = cap.copy()
    if not capped.all():
        searched = (a[~capped] for a in running)
        found[~capped] = root_between(margin, np.zeros_like(cap[~capped]), cap[~capped], *searched)
    flow[runs] = found
    return flow
