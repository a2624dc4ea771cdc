"""Water hauled by machine or carried by hand from one source to one kiln spot, and the verdict on it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from sitemap.hydraulics import shuttle
from sitemap.hydraulics.supply import UNKNOWN_TAP_L_MIN
from sitemap.ranges import Array, Drawn, draw
from sitemap.site.model import Feature, Item
from sitemap.units import compared, text
from sitemap.water import verdict
from sitemap.water.hose_verdict import hold_of
from sitemap.water.pressure_source import NoLineError
from sitemap.water.values import Gear, Kit, Lay, Need, WaterLine, named
from sitemap.water.verdict import Word

TANK_L_MIN = 60.0  # [L/min] filling and emptying a towed tank, common practice, no source
PACE = (1.0, 0.7, 1.2)  # speed on the day against the reckoned one: common practice, no source
NEAR_UNTESTED_M = 15.0  # [m] a carry this short is ground one has seen: common practice, no source


@dataclass(frozen=True)
class Trip:
    """One way of hauling. litres : brought by a trip [L]; times [min]; carriers : machines or people."""

    name: str
    litres: float
    load_min: float
    dump_min: float
    loaded_km_h: float
    empty_km_h: float
    carriers: int = 1
    max_slope_pct: float | None = None
    side_slope_pct: float | None = None

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
        tank = named(kit.tanks, machine.text("tank"))
        volume = tank.number("volume_l") if tank else None
        bucket = machine.number("bucket_l")
        if tank is not None and volume is not None:
            times = volume / TANK_L_MIN, volume / TANK_L_MIN
            trips.append(_machine_trip(machine, f"{machine.name} with {tank.name}", volume, *times))
        elif bucket is not None:
            litres = float(shuttle.load_l(bucket))
            trips.append(
                _machine_trip(machine, f"bucket of {machine.name}", litres, shuttle.LOAD_MIN, shuttle.DUMP_MIN)
            )
    return tuple(trips)


def _machine_trip(machine: Item, name: str, litres: float, load_min: float, dump_min: float) -> Trip:
    return Trip(
        name,
        litres,
        load_min,
        dump_min,
        machine.number("loaded_km_h") or shuttle.LOADED_KM_H,
        machine.number("empty_km_h") or shuttle.EMPTY_KM_H,
        max_slope_pct=machine.number("max_slope_pct"),
        side_slope_pct=machine.number("side_slope_pct"),
    )


def hand_trip(kit: Kit, system: str = "metric") -> Trip | None:
    """What the people who can carry bring, named in the units of a system; None where nobody was named for it."""
    if not kit.carriers:
        return None
    buckets, size = kit.buckets_each or shuttle.HAND_BUCKETS, kit.bucket_l or shuttle.HAND_BUCKET_L
    people = "1 person" if kit.carriers == 1 else f"{kit.carriers} people"
    many = "1 bucket" if buckets == 1 else f"{buckets} buckets"
    return Trip(
        f"{people} with {many} of {text(size, 'l', system, 2)} each",
        buckets * float(shuttle.load_l(size)),
        shuttle.HAND_LOAD_MIN,
        shuttle.HAND_DUMP_MIN,
        shuttle.HAND_LOADED_KM_H,
        shuttle.HAND_EMPTY_KM_H,
        kit.carriers,
    )


def filling_cap_l_min(source: Feature) -> float:
    """Flow the source itself can fill buckets with [L/min]; infinite where one dips into standing water."""
    kind, given = source.choice("source"), source.number("yield_l_min")
    if kind == "tap" or (kind == "well" and source.number("volume_l") is None):
        return UNKNOWN_TAP_L_MIN if given is None else given
    return given if kind in ("stream", "hydrant") and given is not None else np.inf


def haul_line(need: Need, lay: Lay, source: Feature, kit: Kit, system: str = "metric") -> WaterLine:
    """The quench by hauling or carrying: the best of the site's machines, or the people who carry.

    The reason is in the units of a system, "metric" or "us".

    Raises NoLineError where nothing can be reckoned.
    """
    if lay.length_m is None:
        word: Word = "short" if lay.barred else "not known"
        raise NoLineError(lay.reason or "there is no way to haul along", word, "slope")
    trip = hand_trip(kit, system) if lay.way == "hand" else None
    trips = machine_trips(kit) if lay.way == "haul" else (trip,) if trip else ()
    if not trips:
        wanted = "a machine with a bucket or a tank" if lay.way == "haul" else "people who can carry water"
        raise NoLineError(f"{wanted} has not been entered" if lay.way == "haul" else f"{wanted} have not been entered")
    lines = [_line(need, lay, trip, filling_cap_l_min(source), system) for trip in trips]
    return min(lines, key=lambda line: (verdict.BEST_FIRST.index(line.verdict), -(line.flow_l_min or _NONE).likely))


_NONE = Drawn.exact(0.0)
_BUSY = {"haul": Gear("machine", "the machine"), "hand": Gear("carriers", "the people who carry")}


def _line(need: Need, lay: Lay, trip: Trip, cap_l_min: float, system: str) -> WaterLine:
    distance = float(lay.length_m or 0.0)
    pace = draw(*PACE, about=f"{lay.source_id}→{lay.spot_id}", quantity="haul_pace")
    flow = np.minimum(trip.flow_l_min(distance, pace), cap_l_min)
    first = float(trip.first_min(distance))
    common = {"route_m": distance, "lift_m": lay.lift_m, "flow_l_min": Drawn(flow), "gear": (_BUSY[lay.way],)}
    stopped, reasons = _slope(lay, trip, distance)
    hold = hold_of(need)
    brings, keeps = text(flow[0] * 60, "l_h", system, 2), ""
    if hold is not None:
        brings, keeps = compared(flow[0] * 60, hold[0] * 60, "l_h", system)
    told = f"{trip.name}: {brings} over {text(distance, 'm', system, 2)}"
    if stopped:
        return _made(lay, "short", f"{trip.name}: {stopped}", route_m=distance, lift_m=lay.lift_m, fails_first="slope")
    if need.quench_l is None or hold is None:
        return _made(lay, "not known", f"{told}; how much water the quench takes is not known", **common)
    litres = need.quench_l.values
    # the first load stands for the filling of the hose: L/(q − q_hold) ≤ 60 − first
    left = verdict.COLD_MIN - first
    needed = hold + litres / left if left > 0 else np.full_like(litres, np.inf)
    common |= {"loads": shuttle.loads_needed(float(litres[0]), trip.litres)}
    if flow[0] <= hold[0]:
        reason = f"{told}, and {keeps} only keep pace with the glow: the char may never go out"
        return _made(lay, "short", reason, fails_first="speed", needed_l_min=_finite(needed[0]), **common)
    minutes = verdict.minutes_to_quench(litres, flow, hold, first)
    grown = np.minimum(verdict.quench_growth(flow, hold) * litres, verdict.MOST_L)
    common |= {"minutes_to_quench": Drawn(np.minimum(minutes, verdict.A_DAY_MIN)), "litres": Drawn(grown)}
    common |= {"loads": shuttle.loads_needed(float(grown[0]), trip.litres)}
    passes = (flow >= needed) & (first <= verdict.WATER_ON_MIN)
    word = verdict.word_of(passes, True, False, reasons)
    reason = f"{told}; done after {time_text(float(minutes[0]))}, and it must be within {verdict.COLD_MIN:.0f} min"
    reason += "".join(f"; {part}" for part in reasons)
    return _made(lay, word, reason, needed_l_min=_finite(needed[0]), fails_first="speed", **common)


def _slope(lay: Lay, trip: Trip, distance: float) -> tuple[str | None, list[str]]:
    """Why the machine must stop, or what makes the haul tight."""
    if lay.way == "hand":
        return None, []
    if lay.steepest_pct is None:
        return None, [] if distance <= NEAR_UNTESTED_M else ["how steep the way is has not been entered"]
    word = shuttle.slope_word(lay.steepest_pct, trip.max_slope_pct, lay.side_pct or 0.0, trip.side_slope_pct)
    steep = f"the way is {abs(lay.steepest_pct):.0f} % steep"
    if lay.side_pct:
        steep += f" and {abs(lay.side_pct):.0f} % across"
    if word == "stop":
        return f"{steep}, more than a loaded machine may take", []
    return None, [f"{steep}: go slowly, loads spill"] if word == "warn" else []


def _made(lay: Lay, word: Word, reason: str, **figures: object) -> WaterLine:
    return WaterLine(lay.source_id, lay.way, "quench", word, verdict.effect_of(word, "quench"), reason, **figures)  # type: ignore[arg-type]


def time_text(minutes: float) -> str:
    """A span of time as people say it. [min]"""
    if minutes > verdict.A_DAY_MIN:
        return "more than a day"
    return f"{minutes:.0f} min" if minutes < 120 else f"{minutes / 60:.1f} h"


def _finite(value: float) -> float | None:
    return float(value) if np.isfinite(value) else None
