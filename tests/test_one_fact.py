"""One fact has one figure: what is told of the samples in a sentence or a table is rounded to the same words."""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from collections.abc import Iterator
from dataclasses import fields, is_dataclass
from typing import Any

import pytest

from sample_sites.make import SITES
from sitemap.assessment import Assessment
from sitemap.ranges import Drawn
from sitemap.reasons import Quantity, Reason
from sitemap.summary import held
from sitemap.telling import tell
from sitemap.units import text
from tests.plan.builders import sample

ENTERED = ("source", "terrain", "plane", "around")  # no findings stand in these
MEASURED = ("h", "min", "l", "l_min", "kpa")  # time and water: what a crew acts by
KEYS = tuple(SITES)


def quantities(found: Any) -> Iterator[Quantity]:
    """Every quantity of every sentence of an assessment."""
    if isinstance(found, Quantity):
        yield found
    elif isinstance(found, Reason):
        yield from (each for _, fact in found.facts for each in quantities(fact))
    elif isinstance(found, tuple | list):
        yield from (each for part in found for each in quantities(part))
    elif is_dataclass(found) and not isinstance(found, Drawn):
        members = [each.name for each in fields(found) if each.name not in ENTERED and hasattr(found, each.name)]
        yield from (each for name in members for each in quantities(getattr(found, name)))


def in_tables(a: Assessment) -> Iterator[tuple[float, str, str]]:
    """What tables of pages and papers show of the same: (value, unit, words)."""
    units = a.source.units
    for run in a.burn.kilns:
        yield run.hours_per_batch.likely, "h", text(run.hours_per_batch.likely, "h", units, 2)
        yield run.quench_l_per_batch.likely, "l", text(run.quench_l_per_batch.likely, "l", units, 2, "up")
    for source in a.sources:
        if source.litres_there is not None:
            yield source.litres_there, "l", held(source, units)
        if source.litres_needed is not None:
            yield source.litres_needed.likely, "l", text(source.litres_needed.likely, "l", units, 2, "up")


@pytest.mark.parametrize("key", KEYS)
def test_law_one_value_is_told_in_one_way(key: str) -> None:
    a = sample(key)
    told: dict[tuple[float, str], set[str]] = defaultdict(set)
    for each in quantities(a):
        if each.unit in MEASURED and each.apart is None:
            shown = text(each.value, each.unit, a.source.units, each.digits, each.toward)
            told[float(f"{each.value:.9g}"), each.unit].add(shown)
    for value, unit, words in in_tables(a):
        told[float(f"{value:.9g}"), unit].add(words)
    assert len(told) > 10
    assert {fact: words for fact, words in told.items() if len(words) > 1} == {}


@pytest.mark.parametrize("key", KEYS)
def test_law_what_a_source_holds_is_one_figure_in_table_and_sentence(key: str) -> None:
    a = sample(key)
    for source in a.sources:
        if source.litres_there is not None and source.litres_needed is not None:
            assert f"it can give {held(source, a.source.units)}" in tell(source.reason, a.source.units)


@pytest.mark.parametrize("key", KEYS)
def test_law_water_that_comes_later_than_the_clock_says_so(key: str) -> None:
    a = sample(key)
    for spot in a.water.spots if a.water else ():
        (run,) = [each for each in a.burn.kilns if each.spot == spot.spot_id]
        for line in spot.entries:
            if line.water_on and line.done and run.clock and line.source:
                late_min = (line.water_on - run.clock.water_on).total_seconds() / 60
                late = late_min > 0
                wait = f"the water comes {text(late_min, 'min', a.source.units, 2, 'up')} later than by the clock"
                assert (wait in tell(line.reason, a.source.units)) == late
                if not late:
                    assert line.done <= run.clock.no_steam_by
                past = text((line.done - run.clock.call_by).total_seconds() / 60, "min", a.source.units, 2, "up")
                past_dusk = f"it steams {past} beyond the hour at which none may"
                assert (past_dusk in tell(line.reason, a.source.units)) == (
                    line.done - run.clock.call_by > dt.timedelta(minutes=1)
                )


def test_law_hours_of_a_tight_day_are_those_of_the_table() -> None:
    told = 0
    for a in map(sample, KEYS):
        for run in a.burn.kilns:
            hours = [
                text(end, "h", a.source.units, 2) for end in (run.hours_per_batch.likely, run.hours_per_batch.high)
            ]
            for note in (*a.burn.assumed, *a.burn.unknowns):
                if note.what == "day_is_tight" and note.about == run.spot:
                    told += 1
                    assert all(each in note.told(a.source.units) for each in hours)
    assert told
