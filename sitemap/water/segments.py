"""Hose from what drives it to an open end, in its steady state: a whole line, or one side of a relay tank."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from sitemap.hydraulics.laying import SLACK
from sitemap.hydraulics.profile import Along, Profile, cut, highest_m, pressure_along, primes, tilted
from sitemap.hydraulics.steady_flow import HoseRun, head_margin_m, steady_flow_l_min
from sitemap.ranges import Array
from sitemap.units import compared, text
from sitemap.water.equipment import Rig
from sitemap.water.pressure_source import PRESSURE_ASSUMED, NoLineError


@dataclass(frozen=True, eq=False)
class Leg:
    """A length of way.

    start, end : for sentences
    profile : heights above the start
    shift_m : (draws,) how much higher than likely the end stands [m], within error_m
    """

    start: str
    end: str
    length_m: float
    profile: Profile
    shift_m: Array
    error_m: float


@dataclass(frozen=True, eq=False)
class Stretch:
    """A rig laid along a leg.

    leg : the way it takes
    hoses : what the balance runs over, with the suction
    laid : without it
    rise_m : end above start, likely
    flow_l_min : (draws,), NaN where nothing arrives
    """

    rig: Rig
    leg: Leg
    hoses: tuple[HoseRun, ...]
    laid: tuple[HoseRun, ...]
    rise_m: float
    flow_l_min: Array

    @cached_property
    def along(self) -> Along | None:
        """Pressures at the flow that runs, likely inputs; None where none does."""
        return self.along_at(float(self.flow_l_min[0]))

    def along_at(self, flow_l_min: float, lost_m: float = 0.0) -> Along | None:
        """Pressures at a flow, likely inputs, with so much head lost where the water enters; None where none runs."""
        rig, hose_m = self.rig, float(sum(float(np.asarray(hose.length_m)) for hose in self.laid))
        if not np.isfinite(flow_l_min) or hose_m <= 0:
            return None
        in_line = rig.relay is not None and rig.relay.kind == "pump"
        relay_at_m = hose_m * rig.relay.after_m / self.leg.length_m if rig.relay is not None and in_line else np.inf
        if rig.suction:
            lost_m += float(rig.suction.loss_m(flow_l_min, rig.suction.length_m))
        return pressure_along(
            flow_l_min,
            rig.supply,
            self.laid,
            self.leg.profile,
            lost_before_m=lost_m,
            relay_at_m=relay_at_m,
            **rig.driven(),
        )

    def margin_m(self, flow_l_min: float | Array, higher_m: float = 0.0) -> Array:
        """Head left at a flow, likely inputs, with the end so much higher."""
        rig, rise_m = self.rig, self.rise_m + higher_m
        return head_margin_m(flow_l_min, rig.supply, self.hoses, rise_m, rig.outlet_factor, **rig.driven())


def stretch_of(rig: Rig, leg: Leg, system: str = "metric") -> Stretch:
    """The steady state of a rig on a leg; what it refuses is said in the units of a system.

    A second pump of the rig stands in the line; a tank is none of its business.

    Raises NoLineError where the hose does not reach, nothing drives the water or the way rises too high.
    """
    rise_m, relay = leg.profile[-1][1], rig.relay
    if rig.most_head_m <= 0 and rise_m - leg.error_m >= 0:
        stands = f"{leg.end} stands {text(rise_m, 'm', system, 2)} above {leg.start}"
        raise NoLineError(f"no pump is entered and {stands}: nothing runs by itself", "short", "lift")
    laid = rig.hoses(leg.length_m) if rig.pieces else ()
    hose_m = float(sum(float(np.asarray(hose.length_m)) for hose in laid)) if laid else np.nan
    if np.isnan(hose_m):
        on_hand, long = compared(rig.on_hand_m, leg.length_m, "m", system)
        way = f"the way of {long} from {leg.start} to {leg.end}"
        told = f"the hose on hand, {on_hand}, does not cover {way} with {100 * SLACK:.0f} % slack"
        raise NoLineError(told, "short", "hose length")
    share = relay.after_m / leg.length_m if relay is not None and relay.kind == "pump" else None
    primed = _primed(rig, leg, share, system)
    hoses = rig.all_hoses(leg.length_m)
    flow = steady_flow_l_min(rig.supply, hoses, rise_m + leg.shift_m, rig.outlet_factor, **rig.driven(draws=True))
    return Stretch(rig, leg, hoses, laid, rise_m, np.where(primed, flow, np.nan))


def _primed(rig: Rig, leg: Leg, share: float | None, system: str) -> NDArray[np.bool_]:
    """Whether the pumps fill the hose, as they must first: the one at the water as far as the second, both to the end.

    share : of the way that lies before the second pump, None without one

    Returns (draws,); raises NoLineError where they do not even with the end as low as its error allows.
    """
    alone_m = rig.supply.most_head_m * rig.supply_share
    pumps = [("the pump" if rig.pumped else "the pressure at the source", alone_m, 1.0)]
    if share is not None and rig.relay is not None:
        both_m = alone_m + rig.booster.most_head_m * rig.relay.supply_share
        pumps = [("the pump at the water", alone_m, share), ("the two pumps together", both_m, 1.0)]
    primed = np.ones(leg.shift_m.shape, dtype=np.bool_)
    for who, head_m, part in pumps:
        if head_m[0] <= 0:  # by its own fall it may run as a siphon: judged by pressure
            continue
        profile = leg.profile if part == 1.0 else cut(leg.profile, part * leg.profile[-1][0])[0]
        primed &= head_m > highest_m(profile, leg.shift_m * part)
        if primes(float(head_m[0]), tilted(profile, -leg.error_m * part)):
            continue
        lifts_to, rises_to = compared(float(head_m[0]), max(height for _, height in profile), "m", system)
        lifts = "lift" if "two" in who else "lifts"
        told = f"{who} {lifts} {lifts_to} at most and the lay rises to {rises_to} above {leg.start}: nothing arrives"
        if rig.pressure_assumed:
            raise NoLineError(f"{told}; {PRESSURE_ASSUMED}: measure it, or run the bucket test", fails="lift")
        raise NoLineError(told, "short", "lift")
    return primed
