"""The clock for a calendar program: iCalendar (RFC 5545), written by the library `icalendar`.

Times stand in UTC, so that no program has to know a zone. Nothing of a kiln that may not be lit is in it.
"""

from __future__ import annotations

import datetime as dt
import hashlib
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from icalendar import Calendar, Event

from sitemap.ahead import later_days, permit_ends
from sitemap.assessment import Assessment
from sitemap.errors import BadFile
from sitemap.kiln.values import Clock
from sitemap.plan.letters import printable
from sitemap.plan.phrases import Words, words_for
from sitemap.reasons import KilnName, reason
from sitemap.wording import capital

STEPS = ("light_by", "last_thick", "stop_feeding", "water_on", "no_steam_by", "call_by")  # of the clock
_STEP = dt.timedelta(minutes=15)  # how long an entry takes in the calendar; it is the start that counts
_CHECK = dt.timedelta(minutes=30)


@dataclass(frozen=True)
class Entry:
    """One entry: key for ever the same, what it says, when it begins, how long it takes (None: the whole day)."""

    key: str
    says: str
    begins: dt.datetime | dt.date
    takes: dt.timedelta | None = None


def write_ics(a: Assessment, path: Path) -> None:
    """Write clock, cold checks, the days of the calendar and the end of the permit.

    Parameters
    ----------
    a : of the site on the burn date
    path : FILE.ics

    Raises
    ------
    BadFile : there is nothing to write: no kiln may be lit, and no end of a permit is entered
    """
    words = words_for(a.source)
    entries = list(entries_of(a, words))
    if not entries:
        raise BadFile(reason("command.nothing_to_remember"))
    calendar = Calendar()
    calendar.add("prodid", f"-//{printable(a.made_with)}//EN")
    calendar.add("version", "2.0")
    calendar.add("x-wr-calname", printable(a.site.name))
    for entry in entries:
        calendar.add_component(_event(a, entry, words))
    path.write_bytes(calendar.to_ical())


def entries_of(a: Assessment, words: Words) -> Iterator[Entry]:
    """What a calendar is told, kiln by kiln."""
    for run in a.kilns:
        if run.spot is None:
            continue
        spot = a.spot(run.spot)
        name = KilnName(spot.name if spot is not None else run.name)
        clocks = a.clock_of(run.spot)
        for number, clock in enumerate(clocks):
            yield from _steps(f"{run.spot}/{run.id}/{number}", name, clock, words)
        if clocks:
            yield from _checks(f"{run.spot}/{run.id}", name, clocks[-1], words)
    yield from _planned(a, words)
    ends = permit_ends(a)
    if ends is not None:
        yield Entry("permit", words("ics.permit_ends"), ends)


def _planned(a: Assessment, words: Words) -> Iterator[Entry]:
    """The later days of the calendar, of kilns that may be lit by today's knowledge, and the mornings after them."""
    for day in later_days(a):
        if day.batches:
            batches = tuple(f"{name} × {count}" for name, count in day.batches)
            yield Entry(f"burn/{day.date}", words("ics.burn_planned", batches=batches), day.date)
        if day.looked:
            yield Entry(f"look/{day.date}", words("ics.look_planned", kilns=day.looked), day.date)


def _steps(key: str, kiln: KilnName, clock: Clock, words: Words) -> Iterator[Entry]:
    for step in STEPS:
        yield Entry(f"{key}/{step}", words(f"ics.{step}", kiln=kiln), getattr(clock, step), _STEP)


def _checks(key: str, kiln: KilnName, clock: Clock, words: Words) -> Iterator[Entry]:
    """The cold checks after the last batch; a kiln has no others."""
    for check in clock.checks:
        yield Entry(f"{key}/{check.what}", words("ics.cold_check", kiln=kiln), check.when, _CHECK)


def _event(a: Assessment, entry: Entry, words: Words) -> Event:
    event = Event()
    event.add("uid", f"{_named(a, entry)}@pitstead")
    event.add("dtstamp", dt.datetime.combine(a.on or dt.date(2000, 1, 1), dt.time(0), dt.UTC))  # not the clock's time
    event.add("summary", printable(capital(entry.says)))
    if isinstance(entry.begins, dt.datetime) and entry.takes is not None:
        begins = entry.begins.astimezone(dt.UTC).replace(second=0, microsecond=0)  # a latest time is never put later
        event.add("dtstart", begins)
        event.add("dtend", begins + entry.takes)
    else:
        event.add("dtstart", entry.begins)
    event.add("description", words("ics.about", site=printable(a.site.name), made_with=a.made_with))
    return event


def _named(a: Assessment, entry: Entry) -> str:
    """The same entry keeps its name, so that a calendar read in again is renewed, not doubled."""
    day = a.on.isoformat() if a.on is not None else ""
    return hashlib.sha256("\n".join((a.site.name, day, entry.key)).encode()).hexdigest()[:32]
