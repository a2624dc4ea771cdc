"""A kiln spot, a source and a hose between them: what arrives, and the verdict on the quench and the attack line."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sitemap.hydraulics import nozzle
from sitemap.ranges import Array, Drawn, draw, fixed
from sitemap.reasons import Quantity, Reason, compared, l_min, metres, minutes, reason, together
from sitemap.water import verdict
from sitemap.water.equipment import Rig
from sitemap.water.hose_line import Lift, Solved, picture_of, solve
from sitemap.water.records import Link
from sitemap.water.values import Gear, Lay, Need, WaterLine
from sitemap.water.verdict import Line, Word

NOZZLE_OFF = 1.25  # a bucket filled this much faster than on paper: was the nozzle on? common practice, no source


def bucket_flow_l_min(link: Link | None) -> float | None:
    """Flow measured with a bucket at the far end of the hose, or None. [L/min]"""
    if link is None or link.bucket_l is None or link.bucket_s is None:
        return None
    return link.bucket_l / link.bucket_s * 60.0


def hold_of(need: Need) -> Array | None:
    """Flow that only keeps pace with the glow: as handed over, else from the glowing area. (draws,) [L/min]"""
    if need.hold_l_min is not None:
        return need.hold_l_min.values
    if need.glowing_area_m2 is None:
        return None
    likely, low, high = (verdict.HOLD_L_MIN_M2[i] * need.glowing_area_m2 for i in (1, 0, 2))
    return draw(likely, low, high, about=need.spot_id, quantity="hold_l_min")


def measured_line(need: Need, lay: Lay, measured_l_min: float, paper: Reason, lift_m: float | None = None) -> WaterLine:
    """Quench line by the bucket alone, where the model has no number.

    Parameters
    ----------
    need, lay : the kiln and the way
    measured_l_min : by the bucket [L/min]
    paper : what the model says instead
    lift_m : kiln above the water, where known [m]
    """
    hold = hold_of(need)
    flow = fixed(measured_l_min)
    word: Word = "not known"
    needed, took = None, None
    if need.quench_l is not None and hold is not None:
        wanted = verdict.needed_flow_l_min(need.quench_l.values, hold)
        took = verdict.minutes_to_quench(need.quench_l.values, flow, hold)
        word, needed = _proved(flow, wanted), float(wanted[0])
    in_time = took is not None and bool(np.isfinite(took[0]))
    return WaterLine(
        source=lay.source_id,
        way="hose",
        line="quench",
        verdict=word,
        effect=verdict.effect_of(word, "quench"),
        reason=reason("water.bucket_alone", flow=l_min(measured_l_min), paper=paper),
        flow_l_min=Drawn(flow),
        needed_l_min=needed,
        litres=Drawn(np.minimum(took * flow, verdict.MOST_L)) if took is not None and in_time else None,
        route_m=lay.length_m,
        lift_m=lift_m,
        minutes_to_quench=Drawn(np.minimum(took, verdict.A_DAY_MIN)) if took is not None and in_time else None,
        gear=(Gear(f"line {lay.source_id}", reason("water.the_hose_line")),),
    )


@dataclass(frozen=True, eq=False)
class Run:
    """A hose line as it runs: solved, and the flow that counts.

    flow_l_min : (draws,) measured where a bucket was filled, else computed [L/min]
    measured_l_min : by the bucket [L/min], or None
    """

    lay: Lay
    solved: Solved
    flow_l_min: Array
    measured_l_min: float | None

    @property
    def arrives(self) -> bool:
        """Whether anything arrives, likely inputs."""
        return bool(np.isfinite(self.flow_l_min[0]))


def hose_lines(
    need: Need, rig: Rig, lay: Lay, lift: Lift, measured_l_min: float | None = None
) -> tuple[WaterLine, WaterLine]:
    """Quench and attack line of one hose lay; a flow measured with a bucket [L/min] overrides what is computed.

    Raises NoLineError and BadValue as `solve`.
    """
    solved = solve(rig, lay, lift)
    flow = solved.flow_l_min if measured_l_min is None else fixed(measured_l_min)
    run = Run(lay, solved, flow, measured_l_min)
    return _quench(need, run), _attack(run)


def _quench(need: Need, run: Run) -> WaterLine:
    hold, flow = hold_of(need), run.flow_l_min
    if need.quench_l is None or hold is None:
        return _line(run, "quench", Judged("not known", (reason("water.quench_unknown"),)))
    litres = need.quench_l.values
    needed = verdict.needed_flow_l_min(litres, hold, run.solved.fill_l)
    judged = _judged(run, needed)
    with np.errstate(invalid="ignore", divide="ignore"):
        first = run.solved.fill_l / flow
    took = verdict.minutes_to_quench(litres, flow, hold, first)
    grown = verdict.quench_growth(flow, hold) * litres
    told = _quench_told(need, run, float(needed[0]), float(hold[0]))
    return _line(run, "quench", Judged(judged.word, (told, *judged.because)), float(needed[0]), grown, took)


def _quench_told(need: Need, run: Run, needed_l_min: float, hold_l_min: float) -> Reason:
    """What arrives against what the quench asks for, likely [L/min], and the flow that keeps pace [L/min]."""
    limit, flow = minutes(verdict.COLD_MIN), float(run.flow_l_min[0])
    if not run.arrives:
        asked = l_min(needed_l_min)
        if need.floods:
            return reason("water.flooding_nothing", asked=asked, limit=limit)
        return reason("water.raking_nothing", asked=asked, limit=limit)
    if flow <= hold_l_min:
        arrives, keeps = compared(flow, hold_l_min, "l_min")
        return reason("water.only_keeps_pace", arrives=_arriving(run, arrives), keeps=keeps)
    arrives, asked = compared(flow, needed_l_min, "l_min")
    told = _arriving(run, arrives)
    if need.floods:
        return reason("water.flooding_asks", arrives=told, asked=asked, limit=limit)
    return reason("water.raking_asks", arrives=told, asked=asked, limit=limit)


def _arriving(run: Run, flow: Quantity) -> Reason:
    return reason("water.arrives" if run.measured_l_min is None else "water.arrives_tested", flow=flow)


def _attack(run: Run) -> WaterLine:
    wanted = run.solved.rig.attack_kpa
    if wanted is None:
        return _line(run, "attack", Judged("short", (reason("water.open_end"),)))
    factor, flow = run.solved.rig.outlet_factor, run.flow_l_min
    needed = fixed(float(nozzle.outlet_flow_l_min(factor, wanted)))
    judged = _judged(run, needed)
    word, because = judged.word, judged.because
    if run.measured_l_min is not None and not run.measured_l_min <= NOZZLE_OFF * run.solved.flow_l_min[0]:
        word = verdict.at_best(word, "enough on paper")
        because = (*because, reason("water.nozzle_on"))
    told = reason("water.nothing_arrives")
    if run.arrives:
        found, throws = compared(float(nozzle.outlet_pressure_kpa(factor, flow[0])), wanted, "kpa", 3)
        tested = run.measured_l_min is not None
        told = reason("water.throws_tested" if tested else "water.throws", found=found, throws=throws)
    return _line(run, "attack", Judged(word, (told, *because)), float(needed[0]))


@dataclass(frozen=True)
class Judged:
    """A word, and why, worst first."""

    word: Word
    because: tuple[Reason, ...] = ()


def _judged(run: Run, needed: Array) -> Judged:
    """The word for a line that must bring a flow. needed : (draws,) [L/min]"""
    if run.measured_l_min is not None:
        return Judged(_proved(run.flow_l_min, needed))
    solved, asked = run.solved, float(needed[0])
    passes = np.nan_to_num(run.flow_l_min, nan=-1.0) >= needed
    burst = _bursts(solved)
    if burst is not None:
        return Judged("short", (burst,))
    tight = [*solved.tight, *_strained(solved)]
    fault = solved.along.fault() if solved.along is not None else None
    if fault is not None:
        if not (passes[0] and solved.holds_closed(asked)):
            return Judged("short", (fault,))
        tight.append(reason("water.half_shut", fault=fault))
    word = _word(run, passes, asked, tight)
    told = () if solved.told is None else (solved.told,)
    return Judged(word, (*told, *tight, *_close(solved, word, asked, bool(tight))))


def _bursts(solved: Solved) -> Reason | None:
    """Why a hose may burst while the line runs."""
    running = solved.along.running if solved.along is not None else None
    if running is None or running[0] <= running[1]:
        return None
    highest, rated = compared(*running, "kpa")
    return reason("water.bursts", highest=highest, rated=rated)


def _strained(solved: Solved) -> list[Reason]:
    """What of lift and shut nozzle allows *tight* at best."""
    found = [] if solved.lift.known else [reason("water.lift_unknown")]
    shut = solved.along.shut if solved.along is not None else None
    if shut is not None and shut[0] > shut[1] and solved.rig.attack_kpa is not None:
        highest, rated = compared(*shut, "kpa")
        found.append(reason("water.shut_strains", highest=highest, rated=rated))
    return found


def _word(run: Run, passes: NDArray[np.bool_], asked_l_min: float, tight: list[Reason]) -> Word:
    solved = run.solved
    rig, lift = solved.rig, solved.lift
    worst, best = (solved.margin_m(asked_l_min, lift.metres + s * lift.error_m) >= 0 for s in (1, -1))
    word = verdict.word_of(passes, worst, best, tight)
    blank = rig.pressure_assumed and asked_l_min <= rig.most_flow_l_min
    if not passes[0] and ((word == "tight" and not lift.known) or (word == "short" and blank)):
        return "not known"  # what was not entered decides
    return word


def _close(solved: Solved, word: Word, asked_l_min: float, reasons: bool) -> tuple[Reason, ...]:
    """By how much a tight line flips, or that it is close where nothing else was said."""
    lift, flip = solved.lift, solved.margin_m(asked_l_min, solved.lift.metres)
    if word == "tight" and lift.known and abs(flip) <= lift.error_m:
        by, alone = metres(abs(flip), 2), len(solved.stretches) == 1
        if alone:
            return (reason("water.short_if_higher" if flip >= 0 else "water.enough_if_lower", by=by),)
        return (reason("water.short_if_tank_higher" if flip >= 0 else "water.enough_if_tank_lower", by=by),)
    return () if word != "tight" or reasons else (reason("water.close"),)


def _proved(flow: Array, needed: Array) -> Word:
    passes = flow >= needed
    if not passes[0]:
        return "short"
    return "enough, proved" if float(np.mean(passes[1:])) >= 0.9 else "tight"


def _line(
    run: Run,
    line: Line,
    judged: Judged,
    needed_l_min: float | None = None,
    litres: Array | None = None,
    took: Array | None = None,
) -> WaterLine:
    """The line with its figures. litres : (draws,) of one quench [L]; took : (draws,) until it is done [min]."""
    solved, flow = run.solved, run.flow_l_min
    in_time = took is not None and bool(np.isfinite(took[0]))
    flip = None
    if run.measured_l_min is None and needed_l_min is not None:
        margin = solved.margin_m(needed_l_min, solved.lift.metres)
        flip = margin if np.isfinite(margin) else None
    faulty = solved.along is not None and solved.along.fault() is not None
    limit = solved.limit(needed_l_min) if needed_l_min is not None else None
    nozzle_kpa = float(nozzle.outlet_pressure_kpa(solved.rig.outlet_factor, flow[0])) if run.arrives else None
    return WaterLine(
        source=run.lay.source_id,
        way="hose",
        line=line,
        verdict=judged.word,
        effect=verdict.effect_of(judged.word, line),
        reason=together(*judged.because),
        flow_l_min=Drawn(np.nan_to_num(flow, nan=0.0)) if run.arrives else None,
        needed_l_min=needed_l_min,
        litres=Drawn(np.minimum(litres, verdict.MOST_L)) if litres is not None and in_time else None,
        nozzle_kpa=nozzle_kpa,
        route_m=run.lay.length_m,
        hose_m=solved.hose_m,
        lift_m=solved.lift.metres if solved.lift.known else None,
        minutes_to_quench=Drawn(np.minimum(took, verdict.A_DAY_MIN)) if took is not None and in_time else None,
        flip_m=flip,
        fails_first="pressure" if faulty else limit,
        picture=picture_of(solved, needed_l_min) if line == "quench" else None,
        gear=solved.rig.in_use(run.lay.length_m or 0.0),
    )
