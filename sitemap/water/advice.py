"""What would turn a verdict: each change is laid out and solved again before it is said."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np

from sitemap.errors import BadValue
from sitemap.hydraulics import nozzle, supply
from sitemap.hydraulics.laying import SLACK, Piece
from sitemap.reasons import KilnName, Quantity, Reason, litres, metres, reason
from sitemap.water import verdict
from sitemap.water.allocation import Turn
from sitemap.water.equipment import Rig
from sitemap.water.hose_line import Lift, lift_of, solve
from sitemap.water.hose_verdict import hold_of, hose_lines
from sitemap.water.pressure_source import NoLineError, pumps_in_use
from sitemap.water.reach import attack_margin_m, quench_margin_m
from sitemap.water.records import Hose, Kit, Link, Pump, Source, link_of
from sitemap.water.relay import pump_relay
from sitemap.water.shuttle import haul_line, time_told
from sitemap.water.values import Advice, Lay, Need, WaterLine
from sitemap.water.verdict import Line

SIZES_MM = (25.4, 38.1, 50.8, 63.5, 76.2)  # hose sizes one can borrow: the sizes of table water_friction
FIRST_M = 60.0  # [m] of bigger hose tried first
BY_WATER_LIFT = Lift(2.0, 1.0, True)
TANK_HOSE_M = 20.0  # [m] from a tank above the kiln
NARROWER = (2, 4)  # the nozzle's opening is tried at a half and a quarter
LEAST_WORK = ("smaller_nozzle", "open_end", "more_hose", "bigger_hose", "second_pump", "tank_above", "stand_by_water")
FILL_DAY_MIN = 480.0  # [min] a tank must be full within a working day
BOTH_LINES: tuple[Line, ...] = ("quench", "attack")

Change = tuple[str, Reason, Line, WaterLine]


@dataclass(frozen=True)
class Lengths:
    """Lengths in which gear is sold and people reckon, where the site is. [m] all.

    piece_m : one hose length to borrow: common practice, no source
    by_water_m : from the water, beyond the 10 m a fire keeps from it: common practice, no source
    tank_above_m : tank over the kiln, on a stand or up the slope
    """

    piece_m: float
    by_water_m: float
    tank_above_m: tuple[float, ...]


METRIC = Lengths(20.0, 15.0, (1.0, 3.0))
US = Lengths(15.24, 15.24, (0.9144, 3.048))  # 50 ft, 50 ft, 3 and 10 ft
LENGTHS: Mapping[str, Lengths] = {"metric": METRIC, "us": US}


@dataclass(frozen=True, eq=False)
class Situation:
    """What there is on the site, as for `of_site.water_of`. rigs : by id of the source"""

    kit: Kit
    rigs: Mapping[str, Rig | NoLineError]
    lays: tuple[Lay, ...]
    links: tuple[Link, ...]
    sources: tuple[Source, ...]
    lengths: Lengths


@dataclass(frozen=True)
class At:
    """One way with its source and lift, and the gear one may change there. spare : pumps that stand nowhere yet"""

    source: Source
    lay: Lay
    lift: Lift
    kit: Kit
    spare: tuple[Pump, ...]
    lengths: Lengths


def advice_for(need: Need, there: Situation, turn: Turn, best: Mapping[Line, WaterLine]) -> tuple[Advice, ...]:
    """Changes that make the best quench or attack line of a spot better.

    Parameters
    ----------
    need : of the kiln
    there : ways, sources and gear
    turn : what a changed line is held to
    best : the verdicts as they stand

    Returns
    -------
    the best result of each kind of change for each line, with the verdict before and after, the least work first; a
    change that turns both lines once, for the one it does more for
    """
    found: dict[tuple[str, Line], Advice] = {}
    used, by_id = pumps_in_use(there.sources, there.kit), {source.id: source for source in there.sources}
    spare = tuple(machine for machine in there.kit.pumps if machine.id not in used)
    wanted = tuple(line for line, stands in best.items() if stands.verdict in ("short", "tight", "not known"))
    for lay in there.lays:
        if lay.spot_id != need.spot_id or lay.source_id not in by_id:
            continue
        lift = lift_of(lay, link_of(there.links, lay.source_id, lay.spot_id))
        at = At(by_id[lay.source_id], lay, lift, there.kit, spare, there.lengths)
        for what, told, line, raw in _changes(need, there.rigs[lay.source_id], at, wanted):
            before, after = best[line].verdict, turn.held(raw, need).verdict
            if line not in wanted or after == "not known" or _rank(after) >= _rank(before):
                continue
            known = found.get((what, line))
            if known is None or _rank(after) < _rank(known.after):
                found[what, line] = Advice(need.spot_id, line, what, before, after, told)
    once: dict[Reason, Advice] = {}
    for advice in found.values():
        if advice.text not in once or _rank(advice.after) < _rank(once[advice.text].after):
            once[advice.text] = advice
    return tuple(sorted(once.values(), key=lambda advice: LEAST_WORK.index(advice.what)))


def _rank(word: verdict.Word) -> int:
    return verdict.BEST_FIRST.index(word)


@lru_cache(maxsize=256)
def _changes(need: Need, rig: Rig | NoLineError, at: At, wanted: tuple[Line, ...]) -> tuple[Change, ...]:
    """Every change worth trying on one lay, solved."""
    if not wanted:
        return ()
    lay, by_m = at.lay, at.lengths.by_water_m
    near = replace(lay, length_m=by_m, profile=None, lift_m=BY_WATER_LIFT.metres, steepest_pct=0.0, side_pct=0.0)
    by_water = reason("water.stand_by_water", kiln=KilnName(need.name), at=at.source.name, away=metres(by_m, 2))
    if lay.way != "hose":
        return tuple(_hauled_changes(need, rig, at, near, by_water)) if "quench" in wanted else ()
    if isinstance(rig, NoLineError):
        return ()
    alone, by_the_water = replace(rig, relay=None), replace(at, lay=near, lift=BY_WATER_LIFT)
    moved = tuple(_tried("stand_by_water", by_water, need, alone, by_the_water))
    if lay.length_m is None:
        return moved
    if lay.length_m * (1 + SLACK) > rig.on_hand_m:
        return (*moved, *_more_hose(need, rig, at))
    return (*moved, *_changed_rigs(need, rig, at, wanted))


def _hauled_changes(need: Need, rig: Rig | NoLineError, at: At, near: Lay, by_water: Reason) -> Iterator[Change]:
    line = _hauled(need, near, at.source, at.kit)
    if line is not None:
        yield "stand_by_water", by_water, "quench", line
    if isinstance(rig, Rig):
        yield from _tank_hauled(need, rig, at)


def _changed_rigs(need: Need, rig: Rig, at: At, wanted: tuple[Line, ...]) -> Iterator[Change]:
    if rig.relay is None:
        hoses = tuple(hose for hose in at.kit.hoses if hose.id in {piece.kind for piece in rig.pieces})
        for machine in at.spare:
            yield from _second_pump(need, rig, at, machine, hoses)
    yield from _bigger_hose(need, rig, at)
    if rig.attack_kpa is not None:
        for tip, narrower in _narrower(rig):
            yield from _tried("smaller_nozzle", reason("water.put_on", tip=tip), need, narrower, at, wanted)
    if rig.attack_kpa is not None and "quench" in wanted:
        yield from _tried("open_end", reason("water.take_off"), need, _bare(rig), at, ("quench",))
    if "quench" in wanted:
        yield from _tank_above(need, rig, at)


def _more_hose(need: Need, rig: Rig, at: At) -> Iterator[Change]:
    piece_m = at.lengths.piece_m
    count = int(np.ceil(((at.lay.length_m or 0.0) * (1 + SLACK) - rig.on_hand_m) / piece_m))
    more = replace(rig, pieces=rig.pieces + (replace(rig.pieces[-1], length_m=piece_m),) * count)
    each, name = metres(piece_m, 2), at.source.name
    if count == 1:
        told = reason("water.one_more_hose", each=each, at=name)
    else:
        told = reason("water.more_hose", count=count, each=each, at=name)
    yield from _tried("more_hose", told, need, more, at)


def _narrower(rig: Rig) -> Iterator[tuple[Reason, Rig]]:
    """The rig with nozzles of less opening, and what to call them."""
    for share in NARROWER:
        factor = rig.outlet_factor / share
        bore = Quantity(float(np.sqrt(factor / nozzle.bore_factor(1.0))), "mm", 2)
        tip = reason("water.half_opening" if share == NARROWER[0] else "water.quarter_opening", bore=bore)
        yield tip, replace(rig, outlet_factor=factor)


def _bare(rig: Rig) -> Rig:
    """The rig with its nozzle taken off."""
    return replace(rig, outlet_factor=float(nozzle.open_end_factor(rig.pieces[-1].bore_mm)), attack_kpa=None)


def _second_pump(need: Need, rig: Rig, at: At, machine: Pump, hoses: tuple[Hose, ...]) -> Iterator[Change]:
    half_m = (at.lay.length_m or 0.0) / 2
    try:
        relay = pump_relay(machine, half_m, hoses)
    except BadValue:  # its plate is not known
        return
    if relay.unlike:
        return
    told = reason("water.pump_half_way", pump=machine.name, half=metres(half_m, 2), at=at.source.name)
    yield from _tried("second_pump", told, need, replace(rig, relay=relay), at)


def _bigger_hose(need: Need, rig: Rig, at: At) -> Iterator[Change]:
    wider = next((size for size in SIZES_MM if size > rig.pieces[0].bore_mm * 1.05), None)
    if wider is None:
        return
    piece_m, length = at.lengths.piece_m, (at.lay.length_m or 0.0) * (1 + SLACK)
    for long_m in sorted({min(FIRST_M, length), length}):
        count = int(np.ceil(long_m / piece_m))
        bought = (Piece(piece_m, wider, kind="bigger", rated_kpa=rig.rated_kpa),) * count
        bore, name = Quantity(wider, "mm", 2), at.source.name
        if count * piece_m < length:
            told = reason("water.bigger_first", bore=bore, first=metres(count * piece_m, 2), at=name)
        else:
            told = reason("water.bigger_all", bore=bore, at=name)
        bigger = replace(rig, pieces=bought + rig.pieces)
        yield from _tried("bigger_hose", told, need, bigger, at)
        if rig.attack_kpa is not None:  # for the throw often only both together do
            for tip, both in _narrower(bigger):
                yield from _tried(
                    "bigger_hose", reason("water.and_put_on", hose=told, tip=tip), need, both, at, ("attack",)
                )


def _tank_above(need: Need, rig: Rig, at: At) -> Iterator[Change]:
    """A tank over the kiln, filled beforehand through the open hose and drained by its own fall."""
    bare, lift = _bare(rig), at.lift
    for above_m in at.lengths.tank_above_m:
        try:
            filling = solve(bare, at.lay, Lift(lift.metres + above_m, lift.error_m, lift.known)).flow_l_min
        except BadValue:
            return
        # it must fill even where the lift is as bad as its ± allows
        slow = float(np.percentile(np.nan_to_num(filling, nan=0.0), 10))
        yield from _from_tank(need, rig, at, Filling(above_m, slow, reason("water.through_the_hose")))


def _tank_hauled(need: Need, rig: Rig, at: At) -> Iterator[Change]:
    """The same tank, filled by the machine."""
    hauled = _hauled(need, at.lay, at.source, at.kit) if at.lay.way == "haul" else None
    if hauled is None or hauled.flow_l_min is None:
        return
    for above_m in at.lengths.tank_above_m:
        yield from _from_tank(need, rig, at, Filling(above_m, hauled.flow_l_min.low, reason("water.by_the_machine")))


@dataclass(frozen=True)
class Filling:
    """A tank over the kiln [m], the flow it is filled at [L/min], and by what."""

    above_m: float
    flow_l_min: float
    how: Reason


def _from_tank(need: Need, rig: Rig, at: At, filling: Filling) -> Iterator[Change]:
    """The quench out of a tank so far above the kiln, filled before lighting."""
    if need.quench_l is None or not rig.pieces or filling.flow_l_min <= 0:
        return
    wanted_l = need.quench_l.high + need.reserve_l
    if wanted_l / filling.flow_l_min > FILL_DAY_MIN:
        return
    holding = [(held, tank.name) for tank in at.kit.tanks if (held := tank.volume_l or 0.0) >= wanted_l]
    if holding:
        what = reason("water.named_tank", name=min(holding)[1])
    else:
        what = reason("water.tank_to_borrow", litres=litres(wanted_l, 2))
    told = reason(
        "water.tank_above",
        tank=what,
        above=metres(filling.above_m, 2),
        kiln=KilnName(need.name),
        how=filling.how,
        takes=time_told(wanted_l / filling.flow_l_min),
    )
    piece, bare = replace(rig.pieces[-1], length_m=TANK_HOSE_M * (1 + SLACK)), _bare(rig)
    fall = replace(bare, supply=supply.gravity(), pieces=(piece,), suction=None, relay=None, tight=(), gear=())
    near = replace(at.lay, length_m=TANK_HOSE_M, profile=None)
    there = replace(at, lay=near, lift=Lift(-filling.above_m, filling.above_m / 6, True))
    yield from _tried("tank_above", told, need, fall, there, ("quench",))


def _tried(
    what: str, told: Reason, need: Need, rig: Rig, at: At, lines: tuple[Line, ...] = BOTH_LINES
) -> Iterator[Change]:
    lay, lift = at.lay, at.lift
    promising = list(lines)
    if rig.relay is None or rig.relay.kind == "pump":  # a tank parts the line: only the whole solution tells
        promising = [line for line in lines if _margin_m(need, rig, at, line) >= -lift.error_m]
    if not promising:  # spares the whole solution with its draws where the likely figures already say no
        return
    try:
        solved = hose_lines(need, rig, lay, lift)
    except BadValue:
        return
    yield from ((what, told, line.line, line) for line in solved if line.line in promising)


def _margin_m(need: Need, rig: Rig, at: At, line: Line) -> float:
    route, hold, lift = at.lay.length_m or 0.0, hold_of(need), at.lift
    if line == "attack":
        return float(np.nan_to_num(attack_margin_m(rig, route, lift.metres), nan=-np.inf))
    if need.quench_l is None or hold is None:
        return -np.inf
    margin = quench_margin_m(rig, need.quench_l.likely, float(hold[0]), route, lift.metres)
    return float(np.nan_to_num(margin, nan=-np.inf))


def _hauled(need: Need, lay: Lay, source: Source, kit: Kit) -> WaterLine | None:
    try:
        return haul_line(need, lay, source, kit)
    except BadValue:
        return None
