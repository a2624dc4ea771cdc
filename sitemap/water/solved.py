"""A hose rig laid along one way at one lift: its steady state, what limits it, and its picture."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from sitemap.ranges import Array, draw, fixed
from sitemap.site.model import Entry
from sitemap.units import compared, text
from sitemap.water import along, nozzle
from sitemap.water.friction import head_m
from sitemap.water.laying import SLACK
from sitemap.water.line import HoseRun, head_margin_m, steady_flow_l_min
from sitemap.water.rig import NoLineError, Rig
from sitemap.water.values import Lay, LinePicture

TYPED_LIFT_ERROR_M = 2.0  # [m] a lift typed without its ±: common practice, no source
UNKNOWN_LIFT_ERROR_M = 15.0  # [m] ± of a phone's elevation, house rule


@dataclass(frozen=True)
class Lift:
    """Kiln above the water [m], its ±, and whether anybody knows it."""

    metres: float
    error_m: float
    known: bool


def lift_of(lay: Lay, link: Entry | None) -> Lift:
    """The lift: typed for the pair, else by the elevations, else level ± 15 m and not known."""
    typed = link.number("lift_m") if link else None
    if link is not None and typed is not None:
        error = link.number("lift_error_m")
        return Lift(typed, max(TYPED_LIFT_ERROR_M, abs(typed) / 10) if error is None else error, True)
    by_ground = lay.lift_m if lay.lift_m is not None else (lay.profile[-1][1] if lay.profile else None)
    error = UNKNOWN_LIFT_ERROR_M if lay.lift_error_m is None else lay.lift_error_m
    return Lift(0.0, UNKNOWN_LIFT_ERROR_M, False) if by_ground is None else Lift(by_ground, error, True)


@dataclass(frozen=True, eq=False)
class Solved:
    """A hose line in its steady state. flow_l_min : (draws,), NaN where nothing arrives; fill_l : to fill the hose."""

    rig: Rig
    hoses: tuple[HoseRun, ...]
    hose_m: float
    lift: Lift
    lifts_m: Array
    flow_l_min: Array
    fill_l: float
    along: along.Along | None

    def margin_m(self, flow_l_min: float, lift_m: float) -> float:
        """Head left at a flow and lift, likely inputs."""
        return float(
            head_margin_m(
                flow_l_min,
                self.rig.supply,
                self.hoses,
                lift_m,
                self.rig.outlet_factor,
                supply_share=float(self.rig.supply_share[0]),
                friction_share=float(self.rig.friction_share[0]),
            )
        )

    def limit(self, flow_l_min: float) -> str:
        """What takes the most of the head at a flow: "lift", "friction", "nozzle", or "yield" where that is the cap."""
        if flow_l_min > self.rig.supply.most_flow_l_min:
            return "yield"
        share = float(self.rig.friction_share[0])
        friction = sum(float(hose.loss_m(flow_l_min, hose.length_m, share)) for hose in self.hoses)
        at_nozzle = float(head_m(nozzle.outlet_pressure_kpa(self.rig.outlet_factor, flow_l_min)))
        takes = {"lift": self.lift.metres, "friction": friction, "nozzle": at_nozzle}
        return max(takes, key=lambda name: takes[name])


def solve(rig: Rig, lay: Lay, lift: Lift, system: str = "metric") -> Solved:
    """The steady state of a rig on a lay; what it refuses is said in the units of a system.

    Raises NoLineError where the hose does not reach, and BadValue for a profile that is none.
    """
    if lay.length_m is None:
        why = lay.reason or "there is no way for a hose"
        raise NoLineError(why, "short" if lay.barred else "not known", "hose length")
    if rig.supply.most_head_m <= 0 and lift.metres - lift.error_m >= 0:
        raise NoLineError(
            f"no pump is entered and the kiln stands {text(lift.metres, 'm', system, 2)} above the water: "
            "nothing runs by itself",
            "short",
            "lift",
        )
    hoses = rig.hoses(lay.length_m)
    hose_m = float(sum(float(np.asarray(hose.length_m)) for hose in hoses))
    if np.isnan(hose_m):
        on_hand = sum(piece.length_m for piece in rig.pieces)
        raise NoLineError(
            f"the hose on hand, {text(on_hand, 'm', system, 3)}, does not cover the way of "
            f"{text(lay.length_m, 'm', system, 2)} with {100 * SLACK:.0f} % slack",
            "short",
            "hose length",
        )
    laid = rig.all_hoses(lay.length_m)
    low, high = lift.metres - lift.error_m, lift.metres + lift.error_m
    about = f"{lay.source_id}→{lay.spot_id}"
    lifts = draw(lift.metres, low, high, about=about, quantity="lift_m") if lift.error_m > 0 else fixed(lift.metres)
    shares = {"supply_share": rig.supply_share, "friction_share": rig.friction_share}
    flow = steady_flow_l_min(rig.supply, laid, lifts, rig.outlet_factor, **shares)
    profile = _profile(lay, lift)
    wear = float(rig.supply_share[0])
    if not along.primes(rig.supply, profile, wear) and rig.supply.most_head_m > 0:
        top_m = max(height for _, height in profile)
        lifts_to, rises_to = compared(rig.supply.most_head_m * wear, top_m, "m", system)
        raise NoLineError(
            f"the pump lifts {lifts_to} at most and the lay rises to {rises_to} above the water: nothing arrives",
            "short",
            "lift",
        )
    pressures: along.Along | None = None
    if np.isfinite(flow[0]) and hose_m > 0:
        behind = float(rig.suction.loss_m(flow[0], rig.suction.length_m)) if rig.suction else 0.0
        pressures = along.pressure_along(
            float(flow[0]),
            rig.supply,
            hoses,
            profile,
            supply_share=wear,
            friction_share=float(rig.friction_share[0]),
            lost_before_m=behind,
        )
    return Solved(rig, laid, hose_m, lift, lifts, flow, float(along.fill_l(hoses)), pressures)


def _profile(lay: Lay, lift: Lift) -> along.Profile:
    """Heights along the lay, tilted so that it ends at the lift that counts."""
    length = max(lay.length_m or 0.0, 1e-3)
    if not lay.profile:
        return (0.0, 0.0), (length, lift.metres)
    points = along.check_profile(lay.profile)
    tilt = (lift.metres - points[-1][1]) / points[-1][0]
    return tuple((distance, height + tilt * distance) for distance, height in points)


def picture_of(solved: Solved, needed_l_min: float | None) -> LinePicture | None:
    """The line as a picture, at likely inputs; None where nothing runs."""
    pressures, rig = solved.along, solved.rig
    if pressures is None:
        return None
    flow = float(solved.flow_l_min[0])
    most = min(rig.supply.most_flow_l_min, 2 * max(flow, needed_l_min or 0.0))
    curve = np.linspace(0.0, most, 41)
    supplied = np.asarray(rig.supply.head_m(curve)) * rig.supply_share[0]
    left = head_margin_m(
        curve,
        rig.supply,
        solved.hoses,
        solved.lift.metres,
        rig.outlet_factor,
        supply_share=float(rig.supply_share[0]),
        friction_share=float(rig.friction_share[0]),
    )
    arrays = (pressures.distance_m, pressures.height_m, pressures.pressure_kpa)
    distance, height, pressure = (tuple(float(x) for x in array) for array in arrays)
    return LinePicture(
        distance,
        height,
        pressure,
        rig.rated_kpa,
        pressures.shut_kpa,
        tuple(float(x) for x in curve),
        tuple(float(x) for x in supplied),
        tuple(float(x) for x in supplied - left),
        flow,
        needed_l_min,
    )
