"""A kiln spot, a source and a hose between them: what arrives, and the verdict on the quench and the attack line."""

from __future__ import annotations

import numpy as np

from sitemap.ranges import Array, Drawn, draw, fixed
from sitemap.site.model import Entry
from sitemap.water import nozzle, verdict
from sitemap.water.rig import Rig
from sitemap.water.solved import Lift, Solved, picture_of, solve
from sitemap.water.values import Lay, Need, WaterLine
from sitemap.water.verdict import Line, Word

NOZZLE_OFF = 1.25  # a bucket filled this much faster than on paper: was the nozzle on? common practice, no source


def bucket_flow_l_min(link: Entry | None) -> float | None:
    """Flow measured with a bucket at the far end of the hose, or None. [L/min]"""
    litres, seconds = (link.number("bucket_litres"), link.number("bucket_seconds")) if link else (None, None)
    return None if litres is None or seconds is None else litres / seconds * 60.0


def hold_of(need: Need) -> Array | None:
    """Flow that only keeps pace with the glow: as handed over, else from the glowing area. (draws,) [L/min]"""
    if need.hold_l_min is not None:
        return need.hold_l_min.values
    if need.glowing_area_m2 is None:
        return None
    likely, low, high = (verdict.HOLD_L_MIN_M2[i] * need.glowing_area_m2 for i in (1, 0, 2))
    return draw(likely, low, high, about=need.spot_id, quantity="hold_l_min")


def measured_line(need: Need, lay: Lay, measured_l_min: float, paper: str) -> WaterLine:
    """Quench line by the bucket alone, where the model has no number. paper : what the model says instead."""
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
        reason=f"{measured_l_min:.0f} L/min measured with a bucket; on paper: {paper}",
        flow_l_min=Drawn(flow),
        needed_l_min=needed,
        litres=Drawn(np.minimum(minutes * flow, 1e6)) if minutes is not None and in_time else None,
        route_m=lay.length_m,
        minutes_to_quench=Drawn(np.minimum(minutes, verdict.A_DAY_MIN)) if minutes is not None and in_time else None,
    )


def hose_lines(
    need: Need, rig: Rig, lay: Lay, lift: Lift, measured: float | None = None
) -> tuple[WaterLine, WaterLine]:
    """Quench and attack line of one hose lay; a flow measured with a bucket [L/min] overrides what is computed.

    Raises NoLineError and BadValue as `solve`.
    """
    solved = solve(rig, lay, lift)
    flow = solved.flow_l_min if measured is None else fixed(measured)
    return _quench(need, lay, solved, flow, measured), _attack(lay, solved, flow, measured)


def _quench(need: Need, lay: Lay, solved: Solved, flow: Array, measured: float | None) -> WaterLine:
    hold = hold_of(need)
    if need.quench_l is None or hold is None:
        return _line(lay, "quench", solved, flow, "not known", "how much water the quench takes is not known")
    litres = need.quench_l.values
    needed = verdict.needed_flow_l_min(litres, hold, solved.fill_l)
    word, because = _judged(solved, flow, needed, measured)
    how = "flooding" if need.floods else "raking and spraying"
    if np.isfinite(flow[0]) and flow[0] <= hold[0]:
        word = "short"
        text = (
            f"{flow[0]:.0f} L/min arrive and {hold[0]:.0f} L/min only keep pace with the glow: "
            "the char may never go out, whatever the volume"
        )
    else:
        text = f"{_arrives(flow)}; {how} asks for {needed[0]:.0f} L/min to be done within {verdict.COLD_MIN:.0f} min"
    with np.errstate(invalid="ignore", divide="ignore"):
        first = solved.fill_l / flow
    minutes = verdict.minutes_to_quench(litres, flow, hold, first)
    grown = verdict.quench_growth(flow, hold) * litres
    return _line(lay, "quench", solved, flow, word, text + because, needed[0], grown, minutes, measured is not None)


def _attack(lay: Lay, solved: Solved, flow: Array, measured: float | None) -> WaterLine:
    wanted = solved.rig.attack_kpa
    if wanted is None:
        return _line(lay, "attack", solved, flow, "short", "an open hose end does not throw: put a nozzle on")
    factor = solved.rig.outlet_factor
    needed = fixed(float(nozzle.outlet_flow_l_min(factor, wanted)))
    word, because = _judged(solved, flow, needed, measured)
    paper = solved.flow_l_min[0]
    if measured is not None and not measured <= NOZZLE_OFF * paper:
        word = verdict.at_best(word, "enough on paper")
        because += "; the bucket filled faster than the nozzle should let through: was it on?"
    at_nozzle = nozzle.outlet_pressure_kpa(factor, flow[0])
    found = f"{at_nozzle:.0f} kPa at the nozzle" if np.isfinite(flow[0]) else "nothing arrives"
    text = f"{found}; it throws from {wanted:.0f} kPa"
    return _line(lay, "attack", solved, flow, word, text + because, needed[0], measured=measured is not None)


def _judged(solved: Solved, flow: Array, needed: Array, measured: float | None) -> tuple[Word, str]:
    if measured is not None:
        return _proved(flow, needed), " (measured with a bucket)"
    passes = np.nan_to_num(flow, nan=-1.0) >= needed
    rig, lift = solved.rig, solved.lift
    worst, best = (solved.margin_m(float(needed[0]), lift.metres + s * lift.error_m) >= 0 for s in (1, -1))
    reasons = list(rig.tight)
    if not lift.known:
        reasons.append("how high the kiln stands above the water is not known")
    pressures = solved.along
    if pressures is not None and rig.rated_kpa is not None:
        if pressures.highest_kpa > rig.rated_kpa:
            text = f"; {pressures.highest_kpa:.0f} kPa in a hose rated for {rig.rated_kpa:.0f} kPa: it may burst"
            return "short", text
        if pressures.shut_kpa > rig.rated_kpa and rig.attack_kpa is not None:
            reasons.append(
                f"shutting the nozzle puts {pressures.shut_kpa:.0f} kPa on a hose of {rig.rated_kpa:.0f} kPa"
            )
    if pressures is not None and pressures.fault:
        return "short", f"; {pressures.fault}"
    word = verdict.word_of(passes, worst, best, reasons)
    if word == "tight" and not passes[0] and not lift.known:
        word = "not known"
    flip = solved.margin_m(float(needed[0]), lift.metres)
    if word == "tight" and lift.known and abs(flip) <= lift.error_m:
        side = "short" if flip >= 0 else "enough"
        reasons.append(f"{side} if the kiln stands {abs(flip):.1f} m {'higher' if flip >= 0 else 'lower'} than entered")
    if word == "tight" and not reasons:
        reasons.append("close to the limit: a pump more worn or a hose rougher than reckoned would not do")
    return word, "".join(f"; {reason}" for reason in reasons)


def _proved(flow: Array, needed: Array) -> Word:
    passes = flow >= needed
    if not passes[0]:
        return "short"
    return "enough, proved" if float(np.mean(passes[1:])) >= 0.9 else "tight"


def _arrives(flow: Array) -> str:
    return f"{flow[0]:.0f} L/min arrive" if np.isfinite(flow[0]) else "nothing arrives"


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
    faulty = solved.along is not None and solved.along.fault is not None
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
        litres=Drawn(np.minimum(litres, 1e6)) if litres is not None and in_time else None,
        nozzle_kpa=float(nozzle.outlet_pressure_kpa(solved.rig.outlet_factor, flow[0])) if arrives else None,
        route_m=lay.length_m,
        hose_m=solved.hose_m,
        lift_m=solved.lift.metres if solved.lift.known else None,
        minutes_to_quench=Drawn(np.minimum(minutes, verdict.A_DAY_MIN)) if minutes is not None and in_time else None,
        flip_m=flip,
        fails_first="pressure" if faulty else limit,
        picture=picture_of(solved, needed) if line == "quench" else None,
    )
