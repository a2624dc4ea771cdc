"""Hose from what drives it to an open end, in its steady state: a whole line, or one side of a relay tank."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from sitemap.hydraulics.laying import SLACK
from sitemap.hydraulics.profile import Along, Profile, cut, highest_m, pressure_along, primes, tilted
from sitemap.hydraulics.steady_flow import HoseLine, HoseRun, head_margin_m, steady_flow_l_min
from sitemap.ranges import Array
from sitemap.reasons import Term, compared, metres, percent, reason, together
from sitemap.water.equipment import Rig
from sitemap.water.pressure_source import PRESSURE_ASSUMED, NoLineError


@dataclass(frozen=True, eq=False)
class Leg:
    """A length of way.

    start, end : as people say them
    length_m : [m]
    profile : distances and heights above the start [m]
    error_m : ± of the end's height [m]
    shift_m : (draws,) how much higher than likely the end stands [m], within error_m
    """

    start: Term
    end: Term
    length_m: float
    profile: Profile
    shift_m: Array
    error_m: float


@dataclass(frozen=True, eq=False)
class Stretch:
    """A rig laid along a leg.

    leg : the way it takes
    line : what the balance runs over, with the suction, likely inputs
    laid : the hoses without it
    rise_m : end above start, likely [m]
    flow_l_min : (draws,), NaN where nothing arrives [L/min]
    """

    rig: Rig
    leg: Leg
    line: HoseLine
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
        laid = replace(self.line, hoses=self.laid)
        return pressure_along(laid, flow_l_min, self.leg.profile, lost_before_m=lost_m, relay_at_m=relay_at_m)

    def margin_m(self, flow_l_min: float | Array, higher_m: float = 0.0) -> Array:
        """Head left at a flow, likely inputs, with the end so much higher."""
        return head_margin_m(self.line, flow_l_min, self.rise_m + higher_m)


def stretch_of(rig: Rig, leg: Leg) -> Stretch:
    """The steady state of a rig on a leg.

    A second pump of the rig stands in the line; a tank is none of its business.

    Raises NoLineError where the hose does not reach, nothing drives the water or the way rises too high.
    """
    rise_m, relay = leg.profile[-1][1], rig.relay
    if rig.most_head_m <= 0 and rise_m - leg.error_m >= 0:
        why = reason("water.no_fall", end=leg.end, start=leg.start, height=metres(rise_m, 2))
        raise NoLineError(why, "short", "lift")
    laid = rig.hoses(leg.length_m) if rig.pieces else ()
    hose_m = float(sum(float(np.asarray(hose.length_m)) for hose in laid)) if laid else np.nan
    if np.isnan(hose_m):
        on_hand, long = compared(rig.on_hand_m, leg.length_m, "m")
        slack = percent(100 * SLACK, 3)
        why = reason("water.hose_ends", on_hand=on_hand, way=long, start=leg.start, end=leg.end, slack=slack)
        raise NoLineError(why, "short", "hose length")
    share = relay.after_m / leg.length_m if relay is not None and relay.kind == "pump" else None
    primed = _primed(rig, leg, share)
    hoses = rig.all_hoses(leg.length_m)
    flow = steady_flow_l_min(rig.line(hoses, draws=True), rise_m + leg.shift_m)
    return Stretch(rig, leg, rig.line(hoses), laid, rise_m, np.where(primed, flow, np.nan))


AT_THE_WATER, BOTH = Term("the pump at the water"), Term("the two pumps together")
THE_PUMP, THE_PRESSURE = Term("the pump"), Term("the pressure at the source")


def _primed(rig: Rig, leg: Leg, share: float | None) -> NDArray[np.bool_]:
    """Whether the pumps fill the hose, as they must first: the one at the water as far as the second, both to the end.

    share : of the way that lies before the second pump, None without one [fraction]

    Returns (draws,); raises NoLineError where they do not even with the end as low as its error allows.
    """
    alone_m = rig.supply.most_head_m * rig.supply_share
    pumps = [(THE_PUMP if rig.pumped else THE_PRESSURE, alone_m, 1.0)]
    if share is not None and rig.relay is not None:
        both_m = alone_m + rig.booster.most_head_m * rig.relay.supply_share
        pumps = [(AT_THE_WATER, alone_m, share), (BOTH, both_m, 1.0)]
    primed = np.ones(leg.shift_m.shape, dtype=np.bool_)
    for who, head_m, part in pumps:
        if head_m[0] <= 0:  # by its own fall it may run as a siphon: judged by pressure
            continue
        profile = leg.profile if part == 1.0 else cut(leg.profile, part * leg.profile[-1][0])[0]
        primed &= head_m > highest_m(profile, leg.shift_m * part)
        if primes(float(head_m[0]), tilted(profile, -leg.error_m * part)):
            continue
        lifts_to, rises_to = compared(float(head_m[0]), max(height for _, height in profile), "m")
        count = 2 if who is BOTH else 1
        why = reason("water.not_primed", who=who, count=count, lifts=lifts_to, rises=rises_to, start=leg.start)
        if rig.pressure_assumed:
            raise NoLineError(
                together(why, reason("water.pressure_unmeasured", assumed=PRESSURE_ASSUMED)), fails="lift"
            )
        raise NoLineError(why, "short", "lift")
    return primed
