"""What lies ahead of a site by its dates: later burns, looks at what burned, the end of the permit, kilns in turn."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from dataclasses import dataclass

from sitemap.assessment import Assessment


@dataclass(frozen=True)
class LaterDay:
    """A day of the calendar that is not the burn date itself.

    batches : name of a kiln that may be lit by today's knowledge → batches on that day
    looked : names of the kilns looked at on that day
    """

    date: dt.date
    batches: tuple[tuple[str, int], ...]
    looked: tuple[str, ...]


@dataclass(frozen=True)
class InTurn:
    """Kilns of which there are fewer than spots at which they may be lit.

    kiln : what it is called; count : how many there are, so many can be alight at one time
    spots : ids of the kiln spots
    """

    kiln: str
    count: int
    spots: tuple[str, ...]


def in_turn(a: Assessment) -> Iterator[InTurn]:
    """Each sort of kiln that is moved between spots which a sign "may be lit" alone would have alight together."""
    counts = {kiln.id: kiln.integer("count") or 1 for kiln in a.source.equipment("kilns")}
    lit = {decision.spot for decision in a.decisions if decision.may_be_lit}
    spots: dict[tuple[str, str], list[str]] = {}
    for run in a.kilns:
        if run.moved and run.spot in lit:
            spots.setdefault((run.id, run.name), []).append(run.spot)
    for (key, name), at in spots.items():
        if len(at) > counts.get(key, 1):
            yield InTurn(name, counts.get(key, 1), tuple(at))


def later_days(a: Assessment) -> Iterator[LaterDay]:
    """The later days of the calendar, of kilns that may be lit by today's knowledge, and the mornings after them."""
    found = a.calendar
    lit = {decision.spot: decision.name for decision in a.decisions if decision.may_be_lit}
    for day in found.laid.days if found is not None else ():
        batches = tuple((lit[key], count) for key, count in day.batches if key in lit)
        looked = tuple(lit[key] for key in day.check if key in lit)
        if day.date != a.on and (batches or looked):
            yield LaterDay(day.date, batches, looked)


def permit_ends(a: Assessment) -> dt.date | None:
    """The day the permit ends; None where none is needed or no end is entered."""
    permit = a.source.section("permit")
    return None if permit.flag("none_needed") else permit.date("to")


def has_dates(a: Assessment) -> bool:
    """Whether a calendar program could be told anything: a clock of a kiln that may be lit, a later day, a last day."""
    clocks = any(run.spot is not None and a.clock_of(run.spot) for run in a.kilns)
    return clocks or permit_ends(a) is not None or next(later_days(a), None) is not None
