"""The water of one kiln in three lines: to put it out, for an escape, and if it fails."""

from __future__ import annotations

from sitemap.assessment import Assessment
from sitemap.kiln.values import KilnRun
from sitemap.plan.near import short
from sitemap.plan.phrases import Words
from sitemap.plan.say import name_of
from sitemap.ranges import Drawn
from sitemap.reasons import Fact, Range, Term
from sitemap.water.values import WaterLine
from sitemap.wording import WAYS


def lines(a: Assessment, words: Words, spot: str, run: KilnRun | None) -> tuple[str, ...]:
    """Three lines; what is not known says so."""
    wet = a.water.of_spot(spot) if a.water else None
    quench, attack = (wet.quench, wet.attack) if wet else (None, None)
    litres = drawn(run.quench_l_per_batch if run else None, "l")
    if quench is None or quench.source is None:
        first = words("crew.quench_unknown", litres=litres)
    else:
        first = words("crew.quench", litres=litres, takes=drawn(quench.minutes_to_quench, "min"), **_by(a, quench))
    if attack is None or attack.source is None:
        second = words("crew.escape_unknown")
    else:
        second = words("crew.escape", reserve=drawn(a.burn.reserve_l, "l"), **_by(a, attack))
    clocks = a.clock_of(spot)
    call = words.moment(clocks[-1].call_by, a.on) if clocks else words("crew.before_dusk")
    return first, second, words("crew.fails", hours=drawn(run.burn_out_h if run else None, "h"), call=call)


def drawn(quantity: Drawn | None, unit: str) -> Fact:
    """A drawn quantity as a fact: likely, with its range."""
    return None if quantity is None else Range(*quantity.triple(), unit)


def _by(a: Assessment, line: WaterLine) -> dict[str, Fact]:
    """How a line brings water, from where, how much of it, and what that is worth."""
    return {
        "way": Term(WAYS[line.way]) if line.way else None,
        "source": short(name_of(a, line.source)),
        "flow": drawn(line.flow_l_min, "l_min"),
        "verdict": Term(line.verdict),
    }
