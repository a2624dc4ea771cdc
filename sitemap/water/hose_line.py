"""A hose rig laid along one way at one lift: its steady state, what limits it, and its picture."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from sitemap.hydraulics import nozzle
from sitemap.hydraulics.friction import head_m
from sitemap.hydraulics.laying import pieces_needed
from sitemap.hydraulics.profile import Along, Profile, check_profile, cut, fill_l, joined, tilted
from sitemap.hydraulics.steady_flow import steady_flow_l_min
from sitemap.ranges import Array, draw, fixed
from sitemap.reasons import Reason, Term, compared, l_min, litres, reason
from sitemap.water.equipment import Rig
from sitemap.water.pressure_source import NoLineError
from sitemap.water.records import Link
from sitemap.water.relay import UNNAMED_TANK, RelayOnWay
from sitemap.water.segments import Leg, Stretch, stretch_of
from sitemap.water.values import Lay, LinePicture

TYPED_LIFT_ERROR_M = 2.0  # [m] a lift typed without its ±: common practice, no source
UNKNOWN_LIFT_ERROR_M = 15.0  # [m] ± of a phone's elevation, house rule
LEAST_INTAKE_KPA = 70.0  # [kPa] a second pump wants 10 psi before it: common practice, no source
WIDE_OPEN = 1e9  # [L/min per √kPa] an outlet that holds nothing back
EVEN = 1.01  # a tank that gives hardly more than it takes keeps its level


THE_WATER, THE_KILN = Term("the water"), Term("the kiln")


@dataclass(frozen=True)
class Lift:
    """Static head: kiln above the water [m], its ± [m], and whether anybody knows it.

    doubt : two sources of it that disagree; the worse of them is reckoned with
    """

    metres: float
    error_m: float
    known: bool
    doubt: Reason | None = None


def lift_of(lay: Lay, link: Link | None) -> Lift:
    """The lift: typed for the pair, else by the elevations, else level ± 15 m and not known.

    Where the typed one and that of the ground lie apart by more than both their errors, the higher is reckoned with.
    """
    if link is not None and link.lift_m is not None:
        error = link.lift_error_m
        error = max(TYPED_LIFT_ERROR_M, abs(link.lift_m) / 10) if error is None else error
        if lay.lift_m is None or lay.lift_error_m is None:
            return Lift(link.lift_m, error, True)
        if abs(link.lift_m - lay.lift_m) <= error + lay.lift_error_m:
            return Lift(link.lift_m, error, True)
        typed, ground = compared(link.lift_m, lay.lift_m, "m")
        doubt = reason("water.lifts_disagree", typed=typed, ground=ground)
        return Lift(max(link.lift_m, lay.lift_m), max(error, lay.lift_error_m), True, doubt)
    by_ground = lay.lift_m if lay.lift_m is not None else (lay.profile[-1][1] if lay.profile else None)
    error = UNKNOWN_LIFT_ERROR_M if lay.lift_error_m is None else lay.lift_error_m
    return Lift(0.0, UNKNOWN_LIFT_ERROR_M, False) if by_ground is None else Lift(by_ground, error, True)


@dataclass(frozen=True, eq=False)
class Solved:
    """A hose line in its steady state.

    stretches : one, or two with a relay tank between them
    flow_l_min : (draws,) what arrives [L/min], NaN where nothing does
    hose_m, fill_l : hose laid [m], water that fills it [L]
    tight : what allows *tight* at best
    told : what a relay or the suction hose does; None without
    """

    rig: Rig
    stretches: tuple[Stretch, ...]
    lift: Lift
    tight: tuple[Reason, ...]
    told: Reason | None
    hose_m: float
    flow_l_min: Array
    fill_l: float
    along: Along | None

    def margin_m(self, flow_l_min: float, lift_m: float) -> float:
        """Head left at a flow and lift, likely inputs; a tank on the way stands as much higher as the kiln."""
        return min(float(stretch.margin_m(flow_l_min, lift_m - self.lift.metres)) for stretch in self.stretches)

    def holds_closed(self, flow_l_min: float) -> bool:
        """Whether no pressure falls below the air's once the nozzle is closed to a flow, likely inputs."""
        closed = [stretch.along_at(flow_l_min) for stretch in self.stretches]
        return all(part is None or part.fault() is None for part in closed)

    @property
    def unrated(self) -> bool:
        """Whether nobody knows what pressure some hose on the way is rated for."""
        return any(
            hose.rated_kpa is None and np.asarray(hose.length_m) > 0 for part in self.stretches for hose in part.laid
        )

    @property
    def parted(self) -> bool:
        """Whether the pressure would fall below vacuum on the way, likely inputs: the water parts, nothing arrives."""
        return self.along is not None and self.along.lowest_kpa < -self.rig.air_kpa

    def carries_l_min(self, outlet_kpa: float) -> float:
        """Flow the line carries with a pressure left at its end [kPa] to [L/min], likely inputs; 0 where none."""
        end = self.stretches[-1]
        line = replace(end.line, outlet_factor=WIDE_OPEN)
        return float(np.nan_to_num(steady_flow_l_min(line, end.rise_m + float(head_m(outlet_kpa))), nan=0.0))

    def weakest(self, flow_l_min: float) -> Stretch:
        """The stretch with the least to spare at a flow."""
        return min(self.stretches, key=lambda stretch: float(stretch.margin_m(flow_l_min)))

    def limit(self, flow_l_min: float) -> str:
        """What takes most of the head at a flow: "lift", "friction", "nozzle"; "yield" or "suction" where that caps."""
        weakest = self.weakest(flow_l_min)
        if flow_l_min > weakest.rig.most_flow_l_min:
            return weakest.rig.supply.held_by
        friction = float(weakest.line.friction_m(flow_l_min))
        at_nozzle = float(head_m(nozzle.outlet_pressure_kpa(weakest.rig.outlet_factor, flow_l_min)))
        takes = {"lift": weakest.rise_m, "friction": friction, "nozzle": at_nozzle}
        return max(takes, key=lambda name: takes[name])


def solve(rig: Rig, lay: Lay, lift: Lift) -> Solved:
    """The steady state of a rig on a lay.

    Raises NoLineError where the hose or the head does not reach, where a relay lies beyond the end or its pump would
    draw the hose flat, and BadValue for a profile that is none.
    """
    if lay.length_m is None:
        why = lay.reason or reason("water.no_way_for_a_hose")
        raise NoLineError(why, "short" if lay.barred else "not known", "hose length")
    low, high = lift.metres - lift.error_m, lift.metres + lift.error_m
    about = f"{lay.source_id}→{lay.spot_id}"
    lifts = draw(lift.metres, low, high, about=about, quantity="lift_m") if lift.error_m > 0 else fixed(lift.metres)
    way = Leg(THE_WATER, THE_KILN, lay.length_m, _profile(lay, lift), lifts - lift.metres, lift.error_m)
    relay, tight = rig.relay, (*rig.unlike(lay.length_m), *rig.tight, *((lift.doubt,) if lift.doubt else ()))
    if relay is not None and relay.after_m >= lay.length_m:
        stands, ends = compared(relay.after_m, lay.length_m, "m")
        raise NoLineError(reason("water.relay_beyond", stands=stands, ends=ends))
    if relay is not None and not lay.profile:
        tight = (*tight, reason("water.relay_on_a_line"))
    if relay is None:
        line = stretch_of(rig, way)
        return _solved(rig, (line,), lift, tight, _through_suction(line))
    if relay.kind == "pump":
        line = stretch_of(rig, way)
        told, little = _before_pump(relay, line)
        return _solved(rig, (line,), lift, (*tight, *little), told)
    before, behind = (stretch_of(*part) for part in _parted(rig, relay, way))
    return _solved(rig, (before, behind), lift, tight, _through_tank(relay, before, behind))


def _solved(
    rig: Rig, stretches: tuple[Stretch, ...], lift: Lift, tight: tuple[Reason, ...], told: Reason | None
) -> Solved:
    laid = [hose for stretch in stretches for hose in stretch.laid]
    flow = np.min([stretch.flow_l_min for stretch in stretches], axis=0)
    known = [stretch.along for stretch in stretches if stretch.along is not None]
    pressures = None if len(known) < len(stretches) else known[0] if len(known) == 1 else joined(*known)
    hose_m = float(sum(float(np.asarray(hose.length_m)) for hose in laid))
    return Solved(rig, stretches, lift, tight, told, hose_m, flow, float(fill_l(laid)), pressures)


def _through_suction(line: Stretch) -> Reason | None:
    supply = line.rig.supply
    if supply.held_by != "suction" or not line.flow_l_min[0] >= supply.most_flow_l_min:
        return None
    return reason("water.suction_holds", most=l_min(supply.most_flow_l_min))


def _before_pump(relay: RelayOnWay, line: Stretch) -> tuple[Reason | None, tuple[Reason, ...]]:
    """What is left before a second pump, and, where that is little, why the line is tight; with nothing left what was
    reckoned does not run.
    """
    intake = line.along.intake_kpa if line.along else None
    if line.along is None or intake is None:
        return None, ()
    fault = line.along.fault()
    if intake <= 0 and fault is not None:
        raise NoLineError(fault, "short", "pressure")
    left, wanted = compared(intake, LEAST_INTAKE_KPA, "kpa")
    little = (reason("water.little_intake", wanted=wanted),) if intake < LEAST_INTAKE_KPA else ()
    return reason("water.intake", left=left, pump=relay.name), little


def _parted(rig: Rig, relay: RelayOnWay, way: Leg) -> tuple[tuple[Rig, Leg], tuple[Rig, Leg]]:
    """What fills a relay tank, through an open hose end, and what runs out of it; each as uncertain as the whole."""
    count = max(int(pieces_needed(relay.after_m, rig.pieces)), 1)
    filling, rest = rig.pieces[:count], rig.pieces[count:]
    open_end = float(nozzle.open_end_factor(min(piece.bore_mm for piece in filling)))
    first = replace(rig, pieces=filling, outlet_factor=open_end, attack_kpa=None, relay=None)
    second = replace(
        rig, pieces=rest, supply=relay.supply, supply_share=relay.supply_share, suction=relay.suction, relay=None
    )
    before, behind = cut(way.profile, relay.after_m / way.length_m * way.profile[-1][0])
    return (
        (first, replace(way, end=UNNAMED_TANK, length_m=relay.after_m, profile=before)),
        (second, replace(way, start=UNNAMED_TANK, length_m=way.length_m - relay.after_m, profile=behind)),
    )


def _through_tank(relay: RelayOnWay, before: Stretch, behind: Stretch) -> Reason:
    """What runs into a relay tank and out of it, and how long a full tank makes up the difference."""
    runs_in, runs_out = float(before.flow_l_min[0]), float(behind.flow_l_min[0])
    if np.isnan(runs_in):
        return reason("water.nothing_runs_in", tank=relay.name)
    if np.isnan(runs_out):
        return reason("water.nothing_runs_out", tank=relay.name)
    filled, emptied = compared(runs_in, runs_out, "l_min")
    told = reason("water.tank_flows", filled=filled, emptied=emptied, tank=relay.name)
    if runs_out <= runs_in * EVEN:
        return told
    if relay.tank_l is None:
        return reason("water.tank_lasts", flows=told)
    more = litres(relay.tank_l * runs_out / (runs_out - runs_in), 2)
    return reason("water.tank_full", flows=told, more=more)


def _profile(lay: Lay, lift: Lift) -> Profile:
    """Heights along the lay, tilted so that it ends at the lift that counts."""
    length = max(lay.length_m or 0.0, 1e-3)
    if not lay.profile:
        return (0.0, 0.0), (length, lift.metres)
    points = check_profile(lay.profile)
    return tilted(points, lift.metres - points[-1][1])


def picture_of(solved: Solved, needed_l_min: float | None) -> LinePicture | None:
    """The line as a picture, at likely inputs; None where nothing runs."""
    pressures, flow = solved.along, float(solved.flow_l_min[0])
    if pressures is None:
        return None
    shown = solved.weakest(needed_l_min or flow)  # a tank parts the balance: that of its weaker side
    most = min(shown.rig.most_flow_l_min, 2 * max(flow, needed_l_min or 0.0))
    curve = np.linspace(0.0, most, 41)
    supplied = np.asarray(shown.line.driving_head_m(curve))
    left = shown.margin_m(curve)
    arrays = (pressures.distance_m, pressures.height_m, pressures.pressure_kpa)
    distance, height, pressure = (tuple(float(x) for x in array) for array in arrays)
    return LinePicture(
        distance,
        height,
        pressure,
        solved.rig.rated_kpa,
        pressures.shut_kpa,
        tuple(float(x) for x in curve),
        tuple(float(x) for x in supplied),
        tuple(float(x) for x in supplied - left),
        flow,
        needed_l_min,
    )
