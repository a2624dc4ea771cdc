"""What each source must give on the day, step by step: the quenches of every kiln, and the reserve kept there."""

from __future__ import annotations

import math
from collections.abc import Iterator

from sitemap.assessment import Assessment
from sitemap.kiln.days import turn_key
from sitemap.plan.say import name_of
from sitemap.plan.working.step import Step, Value
from sitemap.ranges import Drawn, fixed
from sitemap.reasons import KilnName
from sitemap.water.budget import stock_of
from sitemap.water.of_site import sources_of
from sitemap.water.values import SourceBudget, WaterLine


def source_steps(a: Assessment) -> Iterator[tuple[str, tuple[Step, ...]]]:
    """Name of each source that something draws from, and its steps."""
    if a.plane is None:
        return
    for source in sources_of(a.source.of_kind("water_source"), a.plane):
        budget = next((each for each in a.sources if each.id == source.id), None)
        if budget is not None and budget.litres_needed is not None:
            yield name_of(a, source.id), tuple(_asked(a, budget, stock_of(source, a.on).refill_l_min))


def _asked(a: Assessment, budget: SourceBudget, refill_l_min: float) -> Iterator[Step]:
    """Kiln after kiln, then the reserve. Of the spots one kiln works in turn, the one that draws most."""
    total, drawn = Drawn.exact(0.0), list(_drawn(a, budget, refill_l_min))
    most = {turn: max(litres.likely for of, litres, _, _ in drawn if of == turn) for turn, _, _, _ in drawn}
    for turn, litres, spot, inputs in drawn:
        if litres.likely < most.get(turn, math.inf):
            continue
        del most[turn]
        before, total = Value.of("before", total, "l"), Drawn(total.values + litres.values)
        of = KilnName(name_of(a, spot))
        yield Step("With {of}", "drawn", (before, *inputs), Value("w", total.likely, "l"), total, of)
    assert budget.litres_needed is not None, "source_steps has looked"
    needed = budget.litres_needed
    reserve = Value.of("reserve", Drawn(needed.values - total.values), "l")
    both = Value.of("quenches", total, "l"), reserve
    yield Step("Needed with reserve", "with_reserve", both, Value("w", needed.likely, "l"), needed)


def _drawn(
    a: Assessment, budget: SourceBudget, refill_l_min: float
) -> Iterator[tuple[str, Drawn, str, tuple[Value, ...]]]:
    """Turn, litres, spot and what they are reckoned from, of every kiln that draws from a source."""
    runs = {run.spot: run for run in a.kilns}
    for wet in a.water.spots if a.water else ():
        line, run = wet.quench, runs.get(wet.spot_id)
        if line.source != budget.id or line.litres is None or run is None or not counts(line):
            continue
        took = line.minutes_to_quench.values if line.minutes_to_quench else fixed(0.0)
        often = run.batches_per_day or 1
        inputs = (
            *(Value("n", often), Value.of("litres", line.litres, "l")),
            *(Value("refill", refill_l_min, "l_min"), Value("minutes", float(took[0]), "min")),
        )
        turn = turn_key(run) if run.never_twice else run.spot
        yield turn, Drawn(often * (line.litres.values - refill_l_min * took)), run.spot, inputs


def counts(line: WaterLine) -> bool:
    """Whether the water of a quench line is in the sum of its source: not where it could not be quenched by it at all,
    but where only the litres lack."""
    return line.litres is not None and (line.verdict != "short" or line.fails_first == "volume")
