"""A kiln spot, a source and a hose between them: what arrives, and the verdict on the quench and the attack line."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from sitemap.hydraulics import nozzle
from sitemap.hydraulics.profile import Along, worst
from sitemap.ranges import Array, Drawn, draw, fixed
from sitemap.reasons import Quantity, Reason, compared, l_min, metres, minutes, reason, together
from sitemap.water import verdict
from sitemap.water.bucket import MOST_MAINS_KPA, Bucket, doubt_of, doubted, most_flow_l_min
from sitemap.water.equipment import Rig
from sitemap.water.hose_line import Lift, Solved, picture_of, solve
from sitemap.water.pressure_source import PRESSURE_ASSUMED
from sitemap.water.records import Gear, LineGear
from sitemap.water.values import Lay, Need, WaterLine
from sitemap.water.verdict import Line, Word

NOZZLE_OFF = 1.25  # a bucket filled this much faster than on paper: was the nozzle on? common practice, no source


def hold_of(need: Need) -> Array | None:
    """Flow that only keeps pace with the glow: as handed over, else from the glowing area. (draws,) [L/min]"""
    if need.hold_l_min is not None:
        return need.hold_l_min.values
    if need.glowing_area_m2 is None:
        return None
    likely, low, high = (verdict.HOLD_L_MIN_M2[i] * need.glowing_area_m2 for i in (1, 0, 2))
    return draw(likely, low, high, about=need.spot_id, quantity="hold_l_min")


def measured_line(need: Need, lay: Lay, bucket: Bucket, paper: Reason, lift_m: float | None = None) -> WaterLine:
    """Quench line where the model has no number: the bucket shows a flow, and that it is too little where it is.

    It does not show what the hose must bear or what the pump can draw, so that enough is not known.

    Parameters
    ----------
    need, lay, bucket : the kiln, the way and the test
    paper : what the model says instead
    lift_m : kiln above the water, where known [m]
    """
    hold = hold_of(need)
    flow = fixed(bucket.flow_l_min)
    word: Word = "not known"
    needed, took = None, None
    if need.quench_l is not None and hold is not None:
        wanted = verdict.needed_flow_l_min(need.quench_l.values, hold)
        took = verdict.minutes_to_quench(need.quench_l.values, flow, hold)
        word, needed = verdict.at_best(_proved(flow, wanted), "not known"), float(wanted[0])
    in_time = took is not None and bool(np.isfinite(took[0]))
    return WaterLine(
        source=lay.source_id,
        way="hose",
        line="quench",
        verdict=word,
        effect=verdict.effect_of(word, "quench"),
        reason=reason("water.bucket_alone", flow=l_min(bucket.flow_l_min), paper=paper),
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
        return bool(np.isfinite(self.flow_l_min[0])) and not self.solved.parted

    @property
    def pressures(self) -> tuple[Along, ...]:
        """Pressures at the flow that runs, and at the one measured where the line can be reckoned at it."""
        solved, found = self.solved, () if self.solved.along is None else (self.solved.along,)
        if self.measured_l_min is None or self.measured_l_min > solved.rig.most_flow_l_min:
            return found
        at_measured = (part.along_at(self.measured_l_min) for part in solved.stretches)
        return (*found, *(along for along in at_measured if along is not None))

    @property
    def nozzle_off(self) -> bool:
        """Whether the bucket filled faster than the nozzle should let through."""
        measured = self.measured_l_min
        return measured is not None and not measured <= NOZZLE_OFF * self.solved.flow_l_min[0]


def hose_lines(
    need: Need,
    rig: Rig,
    lay: Lay,
    lift: Lift,
    bucket: Bucket | None = None,
    other: Callable[[LineGear], Reason | None] = lambda _: None,
) -> tuple[WaterLine, WaterLine]:
    """Quench and attack line of one hose lay; a flow measured with a bucket overrides what is computed, unless the
    line cannot give it or was another when the bucket was filled.

    other : why a test of that line says nothing of one with this gear, or None

    Raises NoLineError and BadValue as `solve`.
    """
    solved = solve(rig, lay, lift)
    doubt = None
    if bucket is not None:
        doubt = doubt_of(bucket, most_flow_l_min(rig, lift)) or other(rig.gear_on(lay.length_m or 0.0))
    measured = None if bucket is None or doubt is not None else bucket.flow_l_min
    flow = solved.flow_l_min if measured is None else fixed(measured)
    run = Run(lay, solved, flow, measured)
    lines = _quench(need, run), _attack(run)
    return lines if doubt is None else (doubted(lines[0], doubt), doubted(lines[1], doubt))


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
    if run.measured_l_min is None:
        return reason("water.arrives", flow=flow)
    return reason("water.arrives_tested", flow=flow, line=run.solved.rig.names_on(run.lay.length_m or 0.0))


def _attack(run: Run) -> WaterLine:
    wanted = run.solved.rig.attack_kpa
    if wanted is None:
        return _line(run, "attack", Judged("short", (reason("water.open_end"),)))
    factor, flow = run.solved.rig.outlet_factor, run.flow_l_min
    needed = fixed(float(nozzle.outlet_flow_l_min(factor, wanted)))
    judged = _judged(run, needed)
    told = reason("water.nothing_arrives")
    if run.arrives:
        found, throws = compared(float(nozzle.outlet_pressure_kpa(factor, flow[0])), wanted, "kpa", 3)
        tested = run.measured_l_min is not None
        told = reason("water.throws_tested" if tested else "water.throws", found=found, throws=throws)
    line = _line(run, "attack", Judged(judged.word, (told, *judged.because)), float(needed[0]))
    return replace(line, carries_l_min=run.solved.carries_l_min(wanted))


@dataclass(frozen=True)
class Judged:
    """A word, and why, worst first."""

    word: Word
    because: tuple[Reason, ...] = ()


def _judged(run: Run, needed: Array) -> Judged:
    """The word for a line that must bring a flow. needed : (draws,) [L/min]"""
    solved, asked = run.solved, float(needed[0])
    passes = np.nan_to_num(run.flow_l_min, nan=-1.0) >= needed
    burst = _bursts(run)
    if burst is not None:
        return Judged("short", (burst,))
    tight = [*solved.tight, *_strained(run)]
    fault = next((fault for along in run.pressures if (fault := along.fault()) is not None), None)
    if fault is not None:
        if solved.parted or not (passes[0] and solved.holds_closed(asked)):
            return Judged("short", (fault,))
        tight.append(reason("water.half_shut", fault=fault))
    told = () if solved.told is None else (solved.told,)
    if run.measured_l_min is not None:
        return _judged_measured(run, needed, tight, told)
    word = _word(run, passes, asked, tight)
    return Judged(word, (*told, *tight, *_close(solved, word, asked, bool(tight))))


def _judged_measured(run: Run, needed: Array, tight: list[Reason], told: tuple[Reason, ...]) -> Judged:
    """The word where a bucket proved the flow: what it does not prove may still hold it back. needed : (draws,) [L/min]

    A line that was run is coupled, and its tap has a pressure: that is all a bucket says besides the flow.
    """
    bears = run.solved.rig.rated_kpa is not None and run.solved.rig.rated_kpa >= MOST_MAINS_KPA
    held = [why for why in tight if why.code != "hydraulics.misfit" and not (bears and why == PRESSURE_ASSUMED)]
    word = verdict.at_best(_proved(run.flow_l_min, needed), "tight" if held else "enough, proved")
    if run.solved.unrated:
        word, held = verdict.at_best(word, "enough on paper"), [*held, reason("water.unrated")]
    if run.nozzle_off:
        word, held = verdict.at_best(word, "enough on paper"), [*held, reason("water.nozzle_on")]
    return Judged(word, (*told, *held))


def _bursts(run: Run) -> Reason | None:
    """Why a hose may burst while the line runs."""
    running = worst(*(along.running for along in run.pressures))
    if running is None or running[0] <= running[1]:
        return None
    highest, rated = compared(*running, "kpa")
    return reason("water.bursts", highest=highest, rated=rated)


def _strained(run: Run) -> list[Reason]:
    """What of lift and shut nozzle allows *tight* at best."""
    solved = run.solved
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
    in_time = took is not None and bool(np.isfinite(took[0])) and not solved.parted
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
        lift_error_m=solved.lift.error_m,
        minutes_to_quench=Drawn(np.minimum(took, verdict.A_DAY_MIN)) if took is not None and in_time else None,
        flip_m=flip,
        fails_first="pressure" if faulty else limit,
        picture=picture_of(solved, needed_l_min) if line == "quench" else None,
        gear=solved.rig.in_use(run.lay.length_m or 0.0),
        made_of=solved.rig.gear_on(run.lay.length_m or 0.0),
        stretches=solved.stretches,
    )
