"""Hose from what drives it to an open end, in its steady state: a whole line, or one side of a relay tank."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from sitemap.ranges import Array
from sitemap.units import compared, text
from sitemap.water import along
from sitemap.water.along import Along, Profile
from sitemap.water.drivers import PRESSURE_ASSUMED, NoLineError
from sitemap.water.laying import SLACK
from sitemap.water.line import HoseRun, head_margin_m, steady_flow_l_min
from sitemap.water.rig import Rig


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

    hoses : what the balance runs over, with the suction
    laid : without it
    rise_m : end above start, likely
    flow_l_min : (draws,), NaN where nothing arrives
    """

    rig: Rig
    hoses: tuple[HoseRun, ...]
    laid: tuple[HoseRun, ...]
    rise_m: float
    flow_l_min: Array
    along: Along | None

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
    _check_priming(rig, leg, share, system)
    hoses = rig.all_hoses(leg.length_m)
    flow = steady_flow_l_min(rig.supply, hoses, rise_m + leg.shift_m, rig.outlet_factor, **rig.driven(draws=True))
    pressures: Along | None = None
    if np.isfinite(flow[0]) and hose_m > 0:
        likely = float(flow[0])
        relay_at_m = np.inf if share is None else hose_m * share
        behind = float(rig.suction.loss_m(likely, rig.suction.length_m)) if rig.suction else 0.0
        pressures = along.pressure_along(
            likely, rig.supply, laid, leg.profile, lost_before_m=behind, relay_at_m=relay_at_m, **rig.driven()
        )
    return Stretch(rig, hoses, laid, rise_m, flow, pressures)


def _check_priming(rig: Rig, leg: Leg, share: float | None, system: str) -> None:
    """A pump must first fill the hose: the one at the water as far as the second, both together to the end.

    share : of the way that lies before the second pump, None without one
    """
    alone_m = rig.supply.most_head_m * float(rig.supply_share[0])
    alone = "the pump" if rig.pumped else "the pressure at the source"
    pumps = [(alone, alone_m, leg.profile)]
    if share is not None:
        pumps = [
            ("the pump at the water", alone_m, along.cut(leg.profile, share * leg.profile[-1][0])[0]),
            ("the two pumps together", rig.most_head_m, leg.profile),
        ]
    for who, head_m, profile in pumps:
        if head_m <= 0 or along.primes(head_m, profile):  # by its own fall it may run as a siphon: judged by pressure
            continue
        lifts_to, rises_to = compared(head_m, max(height for _, height in profile), "m", system)
        lifts = "lift" if "two" in who else "lifts"
        told = f"{who} {lifts} {lifts_to} at most and the lay rises to {rises_to} above {leg.start}: nothing arrives"
        if rig.pressure_assumed:
            raise NoLineError(f"{told}; {PRESSURE_ASSUMED}: measure it, or run the bucket test", fails="lift")
        raise NoLineError(told, "short", "lift")
