"""A kiln spot, a source and a hose between them: what arrives, and the verdict on the quench and the attack line."""

from __future__ import annotations

import numpy as np

from sitemap.hydraulics import nozzle
from sitemap.ranges import Array, Drawn, draw, fixed
from sitemap.site.model import Entry
from sitemap.units import compared, text
from sitemap.water import verdict
from sitemap.water.equipment import Rig
from sitemap.water.hose_line import Lift, Solved, picture_of, solve
from sitemap.water.values import Gear, Lay, Need, WaterLine
from sitemap.water.verdict import Line, Word

NOZZLE_OFF = 1.25  # a bucket filled this much faster than on paper: was the nozzle on? common practice, no source


def bucket_flow_l_min(link: Entry | None) -> float | None:
    """Flow measured with a bucket at the far end of the hose, or None. [L/min]"""
    if link is None:
        return None
    litres, seconds = link.pair("bucket_test") or (None, None)
    litres, seconds = link.number("bucket_litres") or litres, link.number("bucket_seconds") or seconds
    return None if litres is None or seconds is None else litres / seconds * 60.0


def hold_of(need: Need) -> Array | None:
    """Flow that only keeps pace with the glow: as handed over, else from the glowing area. (draws,) [L/min]"""
    if need.hold_l_min is not None:
        return need.hold_l_min.values
    if need.glowing_area_m2 is None:
        return None
    likely, low, high = (verdict.HOLD_L_MIN_M2[i] * need.glowing_area_m2 for i in (1, 0, 2))
    return draw(likely, low, high, about=need.spot_id, quantity="hold_l_min")


def measured_line(
    need: Need, lay: Lay, measured_l_min: float, paper: str, lift_m: float | None = None, system: str = "metric"
) -> WaterLine:
    """Quench line by the bucket alone, where the model has no number.

    measured_l_min : [L/min]; paper : what the model says instead; lift_m : kiln above the water, where known [m];
    system : units of the reason
    """
    hold = hold_of(need)
    flow = fixed(measured_l_min)
    word: Word = "not known"
    needed, minutes = None, None
    if need.quench_l is not None and hold is not None:
        wanted = verdict.needed_flow_l_min(need.quench_l.values, hold)
        minutes = verdict.minutes_to_quench(need.quench_l.values, flow, hold)
        word, needed = _proved(flow, wanted), float(wanted[0])
    in_time = minutes is not None and bool(np.isfinite(minutes[0]))
    return WaterLine(
        source=lay.source_id,
        way="hose",
        line="quench",
        verdict=word,
        effect=verdict.effect_of(word, "quench"),
        reason=f"{text(measured_l_min, 'l_min', system, 2)} measured with a bucket; on paper: {paper}",
        flow_l_min=Drawn(flow),
        needed_l_min=needed,
        litres=Drawn(np.minimum(minutes * flow, verdict.MOST_L)) if minutes is not None and in_time else None,
        route_m=lay.length_m,
        lift_m=lift_m,
        minutes_to_quench=Drawn(np.minimum(minutes, verdict.A_DAY_MIN)) if minutes is not None and in_time else None,
        gear=(Gear(f"line {lay.source_id}", "the hose line"),),
    )


def hose_lines(
    need: Need, rig: Rig, lay: Lay, lift: Lift, measured: float | None = None, system: str = "metric"
) -> tuple[WaterLine, WaterLine]:
    """Quench and attack line of one hose lay; a flow measured with a bucket [L/min] overrides what is computed.

    The reasons are in the units of a system, "metric" or "us".

    Raises NoLineError and BadValue as `solve`.
    """
    solved = solve(rig, lay, lift, system)
    flow = solved.flow_l_min if measured is None else fixed(measured)
    return _quench(need, lay, solved, flow, measured, system), _attack(lay, solved, flow, measured, system)


def _quench(need: Need, lay: Lay, solved: Solved, flow: Array, measured: float | None, system: str) -> WaterLine:
    hold = hold_of(need)
    if need.quench_l is None or hold is None:
        return _line(lay, "quench", solved, flow, "not known", "how much water the quench takes is not known")
    litres = need.quench_l.values
    needed = verdict.needed_flow_l_min(litres, hold, solved.fill_l)
    word, because = _judged(solved, flow, needed, measured, system)
    how = "flooding" if need.floods else "raking and spraying"
    tested = "" if measured is None else " by the bucket test"
    if np.isfinite(flow[0]) and flow[0] <= hold[0]:
        arrives, keeps = compared(flow[0], hold[0], "l_min", system)
        reason = (
            f"{arrives} arrive{tested} and {keeps} only keep pace with the glow: "
            "the char may never go out, whatever the volume"
        )
    else:
        arrives, asked = "nothing arrives", text(needed[0], "l_min", system, 2)
        if np.isfinite(flow[0]):
            arrives, asked = compared(flow[0], needed[0], "l_min", system)
            arrives = f"{arrives} arrive{tested}"
        reason = f"{arrives}; {how} asks for {asked} to be done within {verdict.COLD_MIN:.0f} min"
    with np.errstate(invalid="ignore", divide="ignore"):
        first = solved.fill_l / flow
    minutes = verdict.minutes_to_quench(litres, flow, hold, first)
    grown = verdict.quench_growth(flow, hold) * litres
    return _line(lay, "quench", solved, flow, word, reason + because, needed[0], grown, minutes, measured is not None)


def _attack(lay: Lay, solved: Solved, flow: Array, measured: float | None, system: str) -> WaterLine:
    wanted = solved.rig.attack_kpa
    if wanted is None:
        return _line(lay, "attack", solved, flow, "short", "an open hose end does not throw: put a nozzle on")
    factor = solved.rig.outlet_factor
    needed = fixed(float(nozzle.outlet_flow_l_min(factor, wanted)))
    word, because = _judged(solved, flow, needed, measured, system)
    paper = solved.flow_l_min[0]
    if measured is not None and not measured <= NOZZLE_OFF * paper:
        word = verdict.at_best(word, "enough on paper")
        because += "; the bucket filled faster than the nozzle should let through: was it on?"
    reason = "nothing arrives"
    if np.isfinite(flow[0]):
        tested = "" if measured is None else " by the bucket test"
        at_nozzle = float(nozzle.outlet_pressure_kpa(factor, flow[0]))
        found, throws = compared(at_nozzle, wanted, "kpa", system, 3)
        reason = f"{found} at the nozzle{tested}; it throws from {throws}"
    return _line(lay, "attack", solved, flow, word, reason + because, needed[0], measured=measured is not None)


def _judged(solved: Solved, flow: Array, needed: Array, measured: float | None, system: str) -> tuple[Word, str]:
    if measured is not None:
        return _proved(flow, needed), ""
    passes = np.nan_to_num(flow, nan=-1.0) >= needed
    rig, lift = solved.rig, solved.lift
    worst, best = (solved.margin_m(float(needed[0]), lift.metres + s * lift.error_m) >= 0 for s in (1, -1))
    reasons = list(solved.tight)
    if not lift.known:
        reasons.append("how high the kiln stands above the water is not known")
    pressures = solved.along
    if pressures is not None and pressures.running is not None and pressures.running[0] > pressures.running[1]:
        highest, rated = compared(*pressures.running, "kpa", system)
        return "short", f"; {highest} in a hose rated for {rated}: it may burst"
    if pressures is not None and pressures.shut is not None and pressures.shut[0] > pressures.shut[1]:
        shut, rated = compared(*pressures.shut, "kpa", system)
        if rig.attack_kpa is not None:
            reasons.append(f"shutting the nozzle puts {shut} on a hose rated for {rated}")
    fault = pressures.fault(system) if pressures is not None else None
    if fault:
        if not (passes[0] and solved.holds_closed(float(needed[0]))):
            return "short", f"; {fault}"
        reasons.append(f"{fault}, unless the nozzle is half shut")
    word = verdict.word_of(passes, worst, best, reasons)
    blank = rig.pressure_assumed and needed[0] <= rig.most_flow_l_min
    if not passes[0] and ((word == "tight" and not lift.known) or (word == "short" and blank)):
        word = "not known"  # what was not entered decides
    flip = solved.margin_m(float(needed[0]), lift.metres)
    if word == "tight" and lift.known and abs(flip) <= lift.error_m:
        side, way = ("short", "higher") if flip >= 0 else ("enough", "lower")
        what = "the kiln" if len(solved.stretches) == 1 else "the kiln or the relay tank"
        reasons.append(f"{side} if {what} stands {text(abs(flip), 'm', system, 2)} {way} than entered")
    if word == "tight" and not reasons:
        reasons.append("close to the limit: a pump more worn or a hose rougher than reckoned would not do")
    return word, "".join(f"; {reason}" for reason in ([solved.told] if solved.told else []) + reasons)


def _proved(flow: Array, needed: Array) -> Word:
    passes = flow >= needed
    if not passes[0]:
        return "short"
    return "enough, proved" if float(np.mean(passes[1:])) >= 0.9 else "tight"


def _line(
    lay: Lay,
    line: Line,
    solved: Solved,
    flow: Array,
    word: Word,
    reason: str,
    needed: float | None = None,
    litres: Array | None = None,
    minutes: Array | None = None,
    measured: bool = False,
) -> WaterLine:
    arrives = bool(np.isfinite(flow[0]))
    in_time = minutes is not None and bool(np.isfinite(minutes[0]))
    flip = None if measured or needed is None else solved.margin_m(needed, solved.lift.metres)
    if flip is not None and not np.isfinite(flip):
        flip = None
    faulty = solved.along is not None and solved.along.fault() is not None
    limit = solved.limit(needed) if needed is not None else None
    return WaterLine(
        source=lay.source_id,
        way="hose",
        line=line,
        verdict=word,
        effect=verdict.effect_of(word, line),
        reason=reason,
        flow_l_min=Drawn(np.nan_to_num(flow, nan=0.0)) if arrives else None,
        needed_l_min=needed,
        litres=Drawn(np.minimum(litres, verdict.MOST_L)) if litres is not None and in_time else None,
        nozzle_kpa=float(nozzle.outlet_pressure_kpa(solved.rig.outlet_factor, flow[0])) if arrives else None,
        route_m=lay.length_m,
        hose_m=solved.hose_m,
        lift_m=solved.lift.metres if solved.lift.known else None,
        minutes_to_quench=Drawn(np.minimum(minutes, verdict.A_DAY_MIN)) if minutes is not None and in_time else None,
        flip_m=flip,
        fails_first="pressure" if faulty else limit,
        picture=picture_of(solved, needed) if line == "quench" else None,
        gear=solved.rig.in_use(lay.length_m or 0.0),
    )
