"""What would turn a verdict: each change is laid out and solved again before it is said."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from functools import lru_cache

import numpy as np

from sitemap.errors import BadValue
from sitemap.hydraulics import nozzle, supply
from sitemap.hydraulics.laying import SLACK, Piece
from sitemap.notes import kiln_called
from sitemap.site.model import Entry, Feature, Item
from sitemap.units import text
from sitemap.water import verdict
from sitemap.water.allocation import Turn
from sitemap.water.equipment import Rig
from sitemap.water.hose_line import Lift, lift_of, solve
from sitemap.water.hose_verdict import hold_of, hose_lines
from sitemap.water.pressure_source import NoLineError, pumps_in_use
from sitemap.water.reach import attack_margin_m, quench_margin_m
from sitemap.water.relay import pump_relay, unlike
from sitemap.water.shuttle import haul_line, time_text
from sitemap.water.values import Advice, Kit, Lay, Need, WaterLine, link_of
from sitemap.water.verdict import Line

SIZES_MM = (25.4, 38.1, 50.8, 63.5, 76.2)  # hose sizes one can borrow: the sizes of table water_friction
FIRST_M = 60.0  # [m] of bigger hose tried first
PIECE_M = {"metric": 20.0, "us": 15.24}  # [m] one hose length to borrow, 20 m or 50 ft: common practice, no source
BY_WATER_M = {"metric": 15.0, "us": 15.24}  # [m] from the water, 15 m or 50 ft: beyond the 10 m a fire keeps from it
BY_WATER_LIFT = Lift(2.0, 1.0, True)
TANK_ABOVE_M = {"metric": (1.0, 3.0), "us": (0.9144, 3.048)}  # [m] tank over the kiln, on a stand or up the slope
TANK_HOSE_M = 20.0  # [m] from that tank
NARROWER = (2, 4)  # the nozzle's opening is tried at a half and a quarter
LEAST_WORK = ("smaller_nozzle", "open_end", "more_hose", "bigger_hose", "second_pump", "tank_above", "stand_by_water")
FILL_DAY_MIN = 480.0  # [min] a tank must be full within a working day

Change = tuple[str, str, Line, WaterLine]


def advice_for(
    need: Need,
    kit: Kit,
    rigs: Mapping[str, Rig | NoLineError],
    lays: tuple[Lay, ...],
    links: tuple[Entry, ...],
    sources: Mapping[str, Feature],
    turn: Turn,
    best: Mapping[Line, WaterLine],
    system: str = "metric",
) -> tuple[Advice, ...]:
    """Changes that make the best quench or attack line of a spot better.

    Parameters
    ----------
    need, kit, links : as for `of_site.water_of`
    rigs, sources : by id of the source
    turn : what a changed line is held to
    best : the verdicts as they stand
    system : units of the sentences

    Returns
    -------
    the best result of each kind of change for each line, with the verdict before and after, the least work first; a
    change that turns both lines once, for the one it does more for
    """
    found: dict[tuple[str, Line], Advice] = {}
    used = pumps_in_use(sources.values(), kit)
    spare = tuple(machine for machine in kit.pumps if machine.id not in used)
    for lay in lays:
        if lay.spot_id != need.spot_id or lay.source_id not in sources:
            continue
        link = link_of(links, lay.source_id, lay.spot_id)
        wanted = tuple(line for line, stands in best.items() if stands.verdict in ("short", "tight", "not known"))
        source = sources[lay.source_id]
        changes = _changes(need, kit, spare, rigs[lay.source_id], lay, lift_of(lay, link), source, wanted, system)
        for what, told, line, raw in changes:
            before, after = best[line].verdict, turn.held(raw, need).verdict
            if line not in wanted or after == "not known" or _rank(after) >= _rank(before):
                continue
            known = found.get((what, line))
            if known is None or _rank(after) < _rank(known.after):
                found[what, line] = Advice(need.spot_id, line, what, before, after, told)
    once: dict[str, Advice] = {}
    for advice in found.values():
        if advice.text not in once or _rank(advice.after) < _rank(once[advice.text].after):
            once[advice.text] = advice
    return tuple(sorted(once.values(), key=lambda advice: LEAST_WORK.index(advice.what)))


def _rank(word: verdict.Word) -> int:
    return verdict.BEST_FIRST.index(word)


@lru_cache(maxsize=256)
def _changes(
    need: Need,
    kit: Kit,
    spare: tuple[Item, ...],
    rig: Rig | NoLineError,
    lay: Lay,
    lift: Lift,
    source: Feature,
    wanted: tuple[Line, ...],
    system: str,
) -> tuple[Change, ...]:
    """Every change worth trying on one lay, solved."""
    if not wanted:
        return ()
    by_m = BY_WATER_M[system]
    near = replace(lay, length_m=by_m, profile=None, lift_m=BY_WATER_LIFT.metres, steepest_pct=0.0, side_pct=0.0)
    away = text(by_m, "m", system, 2)
    by_water = f"Stand {kiln_called(need.name)} by {source.name} before lighting, {away} from it."
    if lay.way != "hose":
        if "quench" not in wanted:
            return ()
        line = _hauled(need, near, source, kit)
        moved: tuple[Change, ...] = () if line is None else (("stand_by_water", by_water, "quench", line),)
        return (*moved, *(_tank_hauled(need, rig, lay, source, kit, system) if isinstance(rig, Rig) else ()))
    if isinstance(rig, NoLineError):
        return ()
    alone = replace(rig, relay=None)
    changes = [*_tried("stand_by_water", by_water, need, alone, near, BY_WATER_LIFT)]
    if lay.length_m is None:
        return tuple(changes)
    length = lay.length_m * (1 + SLACK)
    missing = length - rig.on_hand_m
    if missing > 0:
        piece_m = PIECE_M[system]
        count = int(np.ceil(missing / piece_m))
        more = replace(rig, pieces=rig.pieces + (replace(rig.pieces[-1], length_m=piece_m),) * count)
        many = f"{count} more {'length' if count == 1 else 'lengths'} of hose, {text(piece_m, 'm', system, 2)}"
        told = f"Bring {many}{'' if count == 1 else ' each'}, for the line from {source.name}."
        return (*changes, *_tried("more_hose", told, need, more, lay, lift))
    if rig.relay is None:
        hoses = tuple(hose for hose in kit.hoses if hose.id in {piece.kind for piece in rig.pieces})
        for machine in spare:
            if not unlike(machine, hoses):
                changes += _second_pump(need, rig, lay, lift, machine, source, system)
    changes += _bigger_hose(need, rig, lay, lift, source, length, system)
    if rig.attack_kpa is not None:
        for told, narrower in _narrower(rig, system):
            changes += _tried("smaller_nozzle", f"Put on {told}.", need, narrower, lay, lift, wanted)
    if rig.attack_kpa is not None and "quench" in wanted:
        bare = _bare(rig)
        changes += _tried("open_end", "Take the nozzle off for the quench.", need, bare, lay, lift, ("quench",))
    if "quench" in wanted:
        changes += _tank_above(need, rig, lay, lift, kit, system)
    return tuple(changes)


def _narrower(rig: Rig, system: str) -> Iterator[tuple[str, Rig]]:
    """The rig with nozzles of less opening, and what to call them."""
    for share, said in zip(NARROWER, ("half", "a quarter of"), strict=True):
        factor = rig.outlet_factor / share
        bore = text(float(np.sqrt(factor / nozzle.bore_factor(1.0))), "mm", system, 2)
        yield f"a nozzle of {said} the opening, as a tip of {bore}", replace(rig, outlet_factor=factor)


def _bare(rig: Rig) -> Rig:
    """The rig with its nozzle taken off."""
    return replace(rig, outlet_factor=float(nozzle.open_end_factor(rig.pieces[-1].bore_mm)), attack_kpa=None)


def _second_pump(
    need: Need, rig: Rig, lay: Lay, lift: Lift, machine: Item, source: Feature, system: str
) -> Iterator[Change]:
    half_m = (lay.length_m or 0.0) / 2
    try:
        helped = replace(rig, relay=pump_relay(machine, half_m))
    except BadValue:  # its plate is not known
        return
    where = f"half way, {text(half_m, 'm', system, 2)} from {source.name}"
    yield from _tried("second_pump", f"Put {machine.name} into the line {where}.", need, helped, lay, lift)


def _bigger_hose(
    need: Need, rig: Rig, lay: Lay, lift: Lift, source: Feature, length: float, system: str
) -> Iterator[Change]:
    wider = next((size for size in SIZES_MM if size > rig.pieces[0].bore_mm * 1.05), None)
    if wider is None:
        return
    piece_m = PIECE_M[system]
    for metres in sorted({min(FIRST_M, length), length}):
        count = int(np.ceil(metres / piece_m))
        bought = (Piece(piece_m, wider, kind="bigger", rated_kpa=rig.rated_kpa),) * count
        first = f"for the first {text(count * piece_m, 'm', system, 2)}"
        where = first if count * piece_m < length else "all the way"
        told = f"Lay a {text(wider, 'mm', system, 2)} hose {where} from {source.name}."
        bigger = replace(rig, pieces=bought + rig.pieces)
        yield from _tried("bigger_hose", told, need, bigger, lay, lift)
        if rig.attack_kpa is not None:  # for the throw often only both together do
            for tip, both in _narrower(bigger, system):
                together = f"{told.removesuffix('.')}, and put on {tip}."
                yield from _tried("bigger_hose", together, need, both, lay, lift, ("attack",))


def _tank_above(need: Need, rig: Rig, lay: Lay, lift: Lift, kit: Kit, system: str) -> Iterator[Change]:
    """A tank over the kiln, filled beforehand through the open hose and drained by its own fall."""
    bare = _bare(rig)
    for above_m in TANK_ABOVE_M[system]:
        try:
            filling = solve(bare, lay, Lift(lift.metres + above_m, lift.error_m, lift.known)).flow_l_min
        except BadValue:
            return
        # it must fill even where the lift is as bad as its ± allows
        slow = float(np.percentile(np.nan_to_num(filling, nan=0.0), 10))
        yield from _from_tank(need, rig, lay, above_m, slow, "through the hose", kit, system)


def _tank_hauled(need: Need, rig: Rig, lay: Lay, source: Feature, kit: Kit, system: str) -> Iterator[Change]:
    """The same tank, filled by the machine."""
    hauled = _hauled(need, lay, source, kit) if lay.way == "haul" else None
    if hauled is None or hauled.flow_l_min is None:
        return
    for above_m in TANK_ABOVE_M[system]:
        yield from _from_tank(need, rig, lay, above_m, hauled.flow_l_min.low, "by the machine", kit, system)


def _from_tank(
    need: Need, rig: Rig, lay: Lay, above_m: float, filling_l_min: float, how: str, kit: Kit, system: str
) -> Iterator[Change]:
    """The quench out of a tank so far above the kiln, filled at a flow before lighting."""
    if need.quench_l is None or not rig.pieces or filling_l_min <= 0:
        return
    litres = need.quench_l.high + need.reserve_l
    if litres / filling_l_min > FILL_DAY_MIN:
        return
    holding = [(held, tank.name) for tank in kit.tanks if (held := tank.number("volume_l") or 0.0) >= litres]
    tank = f"{min(holding)[1]}" if holding else f"a tank of {text(litres, 'l', system, 2)}"
    told = (
        f"Set {tank} {text(above_m, 'm', system, 2)} above {kiln_called(need.name)}: fill it {how} before lighting, "
        f"which takes {time_text(litres / filling_l_min)}, and let it run by its own fall."
    )
    piece = replace(rig.pieces[-1], length_m=TANK_HOSE_M * (1 + SLACK))
    bare = _bare(rig)
    fall = replace(bare, supply=supply.gravity(), pieces=(piece,), suction=None, relay=None, tight=(), gear=())
    near = replace(lay, length_m=TANK_HOSE_M, profile=None)
    yield from _tried("tank_above", told, need, fall, near, Lift(-above_m, above_m / 6, True), ("quench",))


def _tried(
    what: str, told: str, need: Need, rig: Rig, lay: Lay, lift: Lift, lines: tuple[Line, ...] = ("quench", "attack")
) -> Iterator[Change]:
    promising = list(lines)
    if rig.relay is None or rig.relay.kind == "pump":  # a tank parts the line: only the whole solution tells
        promising = [line for line in lines if _margin_m(need, rig, lay, lift, line) >= -lift.error_m]
    if not promising:  # spares the whole solution with its draws where the likely figures already say no
        return
    try:
        solved = hose_lines(need, rig, lay, lift)
    except BadValue:
        return
    yield from ((what, told, line.line, line) for line in solved if line.line in promising)


def _margin_m(need: Need, rig: Rig, lay: Lay, lift: Lift, line: Line) -> float:
    route, hold = lay.length_m or 0.0, hold_of(need)
    if line == "attack":
        return float(np.nan_to_num(attack_margin_m(rig, route, lift.metres), nan=-np.inf))
    if need.quench_l is None or hold is None:
        return -np.inf
    margin = quench_margin_m(rig, need.quench_l.likely, float(hold[0]), route, lift.metres)
    return float(np.nan_to_num(margin, nan=-np.inf))


def _hauled(need: Need, lay: Lay, source: Feature, kit: Kit) -> WaterLine | None:
    try:
        return haul_line(need, lay, source, kit)
    except BadValue:
        return None
