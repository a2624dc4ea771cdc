"""Water hauled by machine or carried by hand from one source to one kiln spot, and the verdict on it."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from sitemap.hydraulics import shuttle
from sitemap.hydraulics.supply import UNKNOWN_TAP_L_MIN
from sitemap.named import named
from sitemap.ranges import Array, Drawn, draw, fixed
from sitemap.reasons import Quantity, Reason, compared, litres, metres, minutes, reason, together
from sitemap.water import verdict
from sitemap.water.bucket import TIMED_WITHIN, doubted
from sitemap.water.hose_verdict import hold_of
from sitemap.water.pressure_source import NoLineError
from sitemap.water.records import Gear, Kit, Machine, Source, Trips
from sitemap.water.values import Lay, Need, WaterLine
from sitemap.water.verdict import Word

TANK_L_MIN = 60.0  # [L/min] filling and emptying a towed tank, common practice, no source
Pace = tuple[float, float, float]  # speed on the day against the reckoned one: likely, low, high
PACE: Pace = (1.0, 0.7, 1.2)  # common practice, no source
HAUL, HAND = "haul", "hand"  # by machine, by people
NEAR_UNTESTED_M = 15.0  # [m] a carry this short is ground one has seen: common practice, no source


@dataclass(frozen=True)
class Trip:
    """One way of hauling. litres : brought by a trip [L]; times [min]; speeds [km/h]; carriers : machines or people;
    slopes it may take [%]; machine : its id, empty for people; pace : on the day against these speeds."""

    name: Reason
    litres: float
    load_min: float
    dump_min: float
    loaded_km_h: float
    empty_km_h: float
    carriers: int = 1
    max_slope_pct: float | None = None
    side_slope_pct: float | None = None
    machine: str = ""
    pace: Pace = PACE

    def flow_l_min(self, distance_m: float | Array, pace: float | Array = 1.0) -> Array:
        """Mean flow over the hour at a distance, scalar or array [m] to [L/min]."""
        loaded, empty = self.loaded_km_h * pace, self.empty_km_h * pace
        cycle = shuttle.cycle_min(distance_m, loaded, empty, self.load_min, self.dump_min)
        return np.asarray(shuttle.haul_flow_l_min(self.litres, cycle, carriers=self.carriers))

    def first_min(self, distance_m: float | Array) -> Array:
        """Until the first load is there, scalar or array [m] to [min]."""
        return np.asarray(shuttle.first_load_min(distance_m, self.loaded_km_h, self.load_min))


def machine_trips(kit: Kit) -> tuple[Trip, ...]:
    """What each machine brings: its towed tank where it has one, else its bucket; those without either are left out."""
    trips = []
    for machine in kit.machines:
        tank = named(kit.tanks, machine.tank)
        if tank is not None and tank.volume_l is not None:
            name = reason("water.machine_with_tank", machine=machine.name, tank=tank.name)
            takes = tank.volume_l / TANK_L_MIN
            trips.append(_machine_trip(machine, name, tank.volume_l, takes, takes))
        elif machine.bucket_l is not None:
            brings, name = float(shuttle.load_l(machine.bucket_l)), reason("water.bucket_of", machine=machine.name)
            trips.append(_machine_trip(machine, name, brings, shuttle.LOAD_MIN, shuttle.DUMP_MIN))
    return tuple(_paced(trip, kit, HAUL) for trip in trips)


def _paced(trip: Trip, kit: Kit, way: str) -> Trip:
    """The trip at the likely pace of its way, and the range about it."""
    known = dict(kit.paces)
    likely, low, high = known.get(trip.machine) or known.get(way, PACE)
    loaded, empty = trip.loaded_km_h * likely, trip.empty_km_h * likely
    return replace(trip, loaded_km_h=loaded, empty_km_h=empty, pace=(1.0, low / likely, high / likely))


def _machine_trip(machine: Machine, name: Reason, brings_l: float, load_min: float, dump_min: float) -> Trip:
    return Trip(
        name,
        brings_l,
        load_min,
        dump_min,
        machine.loaded_km_h or shuttle.LOADED_KM_H,
        machine.empty_km_h or shuttle.EMPTY_KM_H,
        max_slope_pct=machine.max_slope_pct,
        side_slope_pct=machine.side_slope_pct,
        machine=machine.id,
    )


def hand_trip(kit: Kit) -> Trip | None:
    """What the people who can carry bring; None where nobody was named for it."""
    if not kit.carriers:
        return None
    buckets, size = kit.buckets_each or shuttle.HAND_BUCKETS, kit.bucket_l or shuttle.HAND_BUCKET_L
    trip = Trip(
        reason("water.people_with_buckets", people=kit.carriers, buckets=buckets, size=litres(size, 2)),
        buckets * float(shuttle.load_l(size)),
        shuttle.HAND_LOAD_MIN,
        shuttle.HAND_DUMP_MIN,
        shuttle.HAND_LOADED_KM_H,
        shuttle.HAND_EMPTY_KM_H,
        kit.carriers,
    )
    return _paced(trip, kit, HAND)


def filling_cap_l_min(source: Source) -> float:
    """Flow the source itself can fill buckets with [L/min]; infinite where one dips into standing water."""
    kind, given = source.kind, source.yield_l_min
    if kind == "tap" or (kind == "well" and source.basin.volume_l is None):
        return UNKNOWN_TAP_L_MIN if given is None else given
    return given if kind in ("stream", "hydrant") and given is not None else np.inf


def haul_line(need: Need, lay: Lay, source: Source, kit: Kit, timed: Trips | None = None) -> WaterLine:
    """The quench by hauling or carrying: the best of the site's machines, or the people who carry.

    timed : trips by the watch on this way: they prove the flow of the machine, or of the people, that made them

    Raises NoLineError where nothing can be reckoned.
    """
    if lay.length_m is None:
        word: Word = "short" if lay.barred else "not known"
        raise NoLineError(lay.reason or reason("water.no_way_to_haul"), word, "slope")
    trip = hand_trip(kit) if lay.way == "hand" else None
    trips = machine_trips(kit) if lay.way == "haul" else (trip,) if trip else ()
    alone = len(trips) == 1
    if not trips:
        raise NoLineError(reason("water.no_machine" if lay.way == "haul" else "water.no_carriers"))
    lines = [_line(need, lay, each, source, timed if _made_by(timed, each, lay, alone) else None) for each in trips]
    return min(lines, key=lambda line: (verdict.BEST_FIRST.index(line.verdict), -(line.flow_l_min or _NONE).likely))


def _made_by(timed: Trips | None, trip: Trip, lay: Lay, alone: bool) -> bool:
    """Whether trips by the watch were made by this machine, or by the people; alone : there is no other"""
    if timed is None or timed.way != lay.way:
        return False
    return trip.machine in (timed.machine, "") if timed.machine else alone


_NONE = Drawn.exact(0.0)
_BUSY = {
    "haul": Gear("machine", reason("water.the_machine")),
    "hand": Gear("carriers", reason("water.the_carriers")),
}


def _line(need: Need, lay: Lay, trip: Trip, source: Source, timed: Trips | None) -> WaterLine:
    """One way of hauling, by what was timed where it was and can be believed; else as reckoned, and never proved."""
    distance, cap_l_min = float(lay.length_m or 0.0), filling_cap_l_min(source)
    pace = draw(*trip.pace, about=f"{lay.source_id}→{lay.spot_id}", quantity="haul_pace")
    reckoned = np.minimum(trip.flow_l_min(distance, pace), cap_l_min)
    if timed is None:
        return _at(need, lay, trip, source, reckoned)
    most = min(float(trip.flow_l_min(distance, trip.pace[2])), cap_l_min)
    if timed.flow_l_min <= most * TIMED_WITHIN:
        return _at(need, lay, trip, source, fixed(timed.flow_l_min), tested=True)
    flow, can = compared(timed.flow_l_min, most, "l_min")
    brought, seconds = litres(timed.litres, 3), Quantity(timed.seconds, "s", 3)
    again = reason("water.trips_again", litres=brought, seconds=seconds, flow=flow, most=can)
    return doubted(_at(need, lay, trip, source, reckoned), again)


def _at(need: Need, lay: Lay, trip: Trip, source: Source, flow: Array, tested: bool = False) -> WaterLine:
    """The verdict on a flow. flow : (draws,) [L/min]; tested : it was timed on this way"""
    distance = float(lay.length_m or 0.0)
    first = float(trip.first_min(distance))
    common = {"route_m": distance, "lift_m": lay.lift_m, "flow_l_min": Drawn(flow), "gear": _gear(lay, source)}
    stopped, reasons = _slope(lay, trip, distance, tested)
    hold = hold_of(need)
    brings, keeps = Quantity(float(flow[0]) * 60, "l_h", 2), None
    if hold is not None:
        brings, keeps = compared(float(flow[0]) * 60, float(hold[0]) * 60, "l_h")
    told = reason(
        "water.hauled_tested" if tested else "water.hauled", trip=trip.name, brings=brings, over=metres(distance, 2)
    )
    if stopped:
        why = reason("water.haul_stopped", trip=trip.name, why=stopped)
        return _made(lay, "short", why, route_m=distance, lift_m=lay.lift_m, fails_first="slope")
    if need.quench_l is None or hold is None:
        return _made(lay, "not known", together(told, reason("water.quench_unknown")), **common)
    quench_l = need.quench_l.values
    # the first load stands for the filling of the hose: L/(q − q_hold) ≤ 60 − first
    left = verdict.COLD_MIN - first
    needed = hold + quench_l / left if left > 0 else np.full_like(quench_l, np.inf)
    common |= {"loads": shuttle.loads_needed(float(quench_l[0]), trip.litres)}
    if flow[0] <= hold[0]:
        why = reason("water.haul_keeps_pace", hauled=told, keeps=keeps)
        return _made(lay, "short", why, fails_first="speed", needed_l_min=_finite(needed[0]), **common)
    took = verdict.minutes_to_quench(quench_l, flow, hold, first)
    grown = np.minimum(verdict.quench_growth(flow, hold) * quench_l, verdict.MOST_L)
    common |= {"minutes_to_quench": Drawn(np.minimum(took, verdict.A_DAY_MIN)), "litres": Drawn(grown)}
    common |= {"loads": shuttle.loads_needed(float(grown[0]), trip.litres)}
    passes = (flow >= needed) & (first <= verdict.WATER_ON_MIN)
    word = verdict.word_of(passes, True, False, reasons)
    if tested and word == "enough on paper":
        word = "enough, proved"
    done = reason("water.haul_done", after=time_told(float(took[0])), limit=minutes(verdict.COLD_MIN))
    why = together(told, done, *reasons)
    return _made(lay, word, why, needed_l_min=_finite(needed[0]), fails_first="speed", **common)


def _gear(lay: Lay, source: Source) -> tuple[Gear, ...]:
    """Who hauls; and the source itself where it fills one thing at a time, a hose or a bucket."""
    if not np.isfinite(filling_cap_l_min(source)):
        return (_BUSY[lay.way],)
    return _BUSY[lay.way], Gear(f"line {source.id}", reason("water.the_line", at=source.name))


def _slope(lay: Lay, trip: Trip, distance: float, tested: bool) -> tuple[Reason | None, list[Reason]]:
    """Why the machine must stop, or what makes the haul tight. distance : [m]; tested : the way was driven, loaded"""
    if lay.way == "hand":
        return None, []
    if lay.steepest_pct is None:
        return None, [] if tested or distance <= NEAR_UNTESTED_M else [reason("water.slope_unknown")]
    word = shuttle.slope_word(lay.steepest_pct, trip.max_slope_pct, lay.side_pct or 0.0, trip.side_slope_pct)
    steep = reason("water.steep", along=Quantity(round(abs(lay.steepest_pct)), "pct"))
    if lay.side_pct:
        across = Quantity(round(abs(lay.side_pct)), "pct")
        steep = reason("water.steep_across", along=Quantity(round(abs(lay.steepest_pct)), "pct"), across=across)
    if word == "stop":
        return reason("water.too_steep", steep=steep), []
    return None, [reason("water.go_slowly", steep=steep)] if word == "warn" else []


def _made(lay: Lay, word: Word, why: Reason, **figures: object) -> WaterLine:
    return WaterLine(lay.source_id, lay.way, "quench", word, verdict.effect_of(word, "quench"), why, **figures)  # type: ignore[arg-type]


def time_told(span_min: float) -> Reason:
    """A span of time as people say it.

    Parameters
    ----------
    span_min : the span [min]

    Returns
    -------
    the words for it
    """
    if span_min > verdict.A_DAY_MIN:
        return reason("water.over_a_day")
    if span_min < 120:
        return reason("water.span", span=Quantity(round(span_min), "min"))
    return reason("water.span", span=Quantity(round(span_min / 60, 1), "h"))


def _finite(value: float) -> float | None:
    return float(value) if np.isfinite(value) else None
