"""The water of one kiln in three lines: to put it out, for an escape, and if it fails."""

from __future__ import annotations

from sitemap.assessment import Assessment
from sitemap.kiln.values import KilnRun
from sitemap.plan.phrases import Words
from sitemap.plan.say import LETTERS, name_of, shortened
from sitemap.ranges import Drawn
from sitemap.reasons import Fact, Quantity, Range, Term
from sitemap.safety.effects import PASSES
from sitemap.water.values import WaterLine
from sitemap.wording import WAYS


def lines(a: Assessment, words: Words, spot: str, run: KilnRun | None) -> tuple[str, ...]:
    """Three lines; what is not known says so."""
    wet = a.water.of_spot(spot) if a.water else None
    quench, attack = (wet.quench, wet.attack) if wet else (None, None)
    unknown = words("crew.amount_unknown")
    reserve = drawn(a.burn.reserve_l, "l") or f"{unknown},"
    litres = drawn(run.quench_l_per_batch if run else None, "l") or unknown
    if quench is None or quench.source is None:
        first = words("crew.quench_unknown", litres=litres)
    elif quench.flow_l_min is None:
        first = words("crew.quench_no_flow", litres=litres, **_nothing(a, words, quench))
    else:
        takes, by = _most(quench.minutes_to_quench, "min"), _by(a, words, quench)
        timed = words("crew.takes", takes=takes) if takes is not None else ""
        first = words("crew.quench", litres=litres, takes=timed, **by)
    if attack is None or attack.source is None:
        second = words("crew.escape_unknown")
    elif attack.flow_l_min is None:
        second = words("crew.escape_no_flow", reserve=reserve, **_nothing(a, words, attack))
    else:
        second = words("crew.escape", reserve=reserve, **_by(a, words, attack))
    clocks = a.clock_of(spot)
    call = words.moment(clocks[-1].call_by, a.on) if clocks else words("crew.before_dusk")
    hours = _most(run.burn_out_h if run else None, "h")
    long = words("crew.burns_out", hours=hours) if hours is not None else ""
    return first, second, words("crew.fails", long=long, call=call)


def early(words: Words, run: KilnRun | None) -> tuple[str, str]:
    """What to do once somebody has said stop, and once fire has left the ring."""
    if run is not None and run.flood_l is not None:
        return words("crew.then_flood", litres=drawn(run.flood_l, "l")), words("crew.escaped")
    return words("crew.then_spread"), words("crew.escaped")


def drawn(quantity: Drawn | None, unit: str) -> Fact:
    """A drawn quantity as a fact: likely, with its range; water to a litre in a hundred, for it is fetched by it."""
    return None if quantity is None else Range(*quantity.triple(), unit, 2)


def _most(quantity: Drawn | None, unit: str) -> Fact:
    """The long end of a time, in whole numbers."""
    return None if quantity is None else Quantity(max(1.0, round(quantity.triple()[2])), unit)


def _by(a: Assessment, words: Words, line: WaterLine) -> dict[str, Fact]:
    """How a line brings water, from where, how much of it, and what it lacks."""
    return {
        **_from(a, line),
        "flow": drawn(line.flow_l_min, "l_min"),
        "verdict": _but(words, line),
    }


def _but(words: Words, line: WaterLine) -> str:
    if line.effect == PASSES:
        return ""
    return words("crew.but_unknown") if line.verdict == "not known" else words("crew.but", verdict=Term(line.verdict))


def _nothing(a: Assessment, words: Words, line: WaterLine) -> dict[str, Fact]:
    """Whence a line would bring its water, and whether too little arrives, no hose is there or nobody knows."""
    why = "short" if line.verdict == "short" else "unknown"
    if line.way == "hose" and line.hose_m is None:
        why = "no_hose"
    return {**_from(a, line), "arrives": words(f"crew.flow_{why}")}


def _from(a: Assessment, line: WaterLine) -> dict[str, Fact]:
    """Whence a line brings its water."""
    return {"way": Term(WAYS[line.way]) if line.way else None, "source": shortened(name_of(a, line.source), LETTERS)}
