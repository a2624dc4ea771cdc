"""The calendar of a site: its batches on the days that permit, light, crew and bans leave, and whether they all fit."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Literal

from sitemap.errors import PitsteadError
from sitemap.geodesy.plane import Plane
from sitemap.kiln import clock
from sitemap.kiln.days import turn_key, turns_of
from sitemap.kiln.reading import read_crew
from sitemap.kiln.values import Clock, KilnRun
from sitemap.notes import Note
from sitemap.reasons import Reason, Term, reason
from sitemap.season.calendar import HORIZON_DAYS, Job, Laid, Open, lay
from sitemap.season.day_times import day_times, light_of
from sitemap.season.workdays import WEEKDAYS, weekdays
from sitemap.site.model import Site

Word = Literal["fits the dates", "tight", "does not fit", "not known"]
People = Callable[[Iterable[KilnRun]], int]


@dataclass(frozen=True)
class Calendar:
    """The batches of a site on dates.

    when : which days may be burned on
    permit_ends : the last day of the permit; None where none is needed, or where it is not known
    laid : as is likely; slow : slow batches, and as many of them as there may be one time in ten
    names : of the places, by id
    word, told : whether all is burned in time, and the sentence; it rests on both
    notes : what was assumed
    """

    when: Open
    permit_ends: dt.date | None
    laid: Laid
    slow: Laid
    names: Mapping[str, str]
    word: Word
    told: Reason
    notes: tuple[Note, ...]

    @property
    def last_burn_day(self) -> dt.date | None:
        """As is likely; None where nothing is burned."""
        return self.laid.last_burn_day


def calendar_of(
    site: Site,
    plane: Plane | None,
    runs: Sequence[KilnRun],
    people: People,
    first: dt.date | None,
    ready: Mapping[str, dt.date] | None = None,
) -> Calendar | None:
    """The calendar of a site.

    Parameters
    ----------
    site : as entered; plane : of it, for the light
    runs : what is burned at each spot, with the hours the clock of the day goes by
    people : how many the kilns of a day take at its busiest minute, asked with the runs alight, each with its clocks
    first : the burn date, the first day something is burned; None where none is set
    ready : first day the wood of a heap is dry, by its id, where that is foreseen

    Returns
    -------
    Calendar, or None where date, place, time zone or work are not known
    """
    if first is None or plane is None or site.timezone is None or not runs:
        return None
    notes: list[Note] = []
    when, ends = _open(site, first, notes)
    if when is None:
        return None
    names = {spot.id: spot.name for spot in site.of_kind("kiln_spot")}
    dry = ready or {}
    try:
        laid, slow = (_lay(site, plane, runs, people, when, dry, slow=each) for each in (False, True))
    except PitsteadError:
        return None  # check has named the time zone
    word, told = _verdict(laid, slow, ends, known=ends is not None or _none_needed(site))
    return Calendar(when, ends, laid, slow, names, word, told, tuple(notes))


def _none_needed(site: Site) -> bool:
    return site.section("permit").flag("none_needed") is True


def _open(site: Site, on: dt.date, notes: list[Note]) -> tuple[Open | None, dt.date | None]:
    """The days that may be burned on, and the last day of the permit; none where the permit ends before they begin."""
    permit, season = site.section("permit"), site.section("season")
    starts, ends = (None, None) if _none_needed(site) else (permit.date("from"), permit.date("to"))
    first = max(on, starts) if starts is not None else on
    if ends is not None and ends < first:
        return None, ends
    try:
        days, assumed = weekdays(season.text("work_days"), season.integer("days_per_week"), on)
    except PitsteadError as bad:
        notes.append(Note("site", "work_days", bad.reason))
        days, assumed = weekdays(None, season.integer("days_per_week"), on)
    if assumed:
        names = tuple(Term(WEEKDAYS[day]) for day in sorted(days))
        notes.append(Note("site", "work_days_assumed", reason("season.work_days_assumed", days=names)))
    closed = []
    for each in site.records("closed"):
        begins = each.date("from") or each.date("to")
        if begins is not None:
            stops = each.date("to") or begins
            closed.append((min(begins, stops), max(begins, stops), each.text("why") or ""))
    return Open(first, ends, days, tuple(closed)), ends


def _lay(
    site: Site,
    plane: Plane,
    runs: Sequence[KilnRun],
    people: People,
    when: Open,
    ready: Mapping[str, dt.date],
    slow: bool,
) -> Laid:
    zone = str(site.timezone)
    at = {run.spot: run for run in runs}
    crew = read_crew(site.section("crew"))
    counts = {kiln.id: kiln.integer("count") or 1 for kiln in site.equipment("kilns")}
    turns = {turn.key: turn for turn in turns_of(runs, counts, slow)}
    rakers = max(1, crew.rakers or 1)

    def lawful(batch: Clock, day: dt.date) -> bool:
        return batch.no_steam_by.date() == day or when.lawful(batch.no_steam_by.date())

    def fits(day: dt.date, keys: tuple[str, ...]) -> dict[str, int]:
        times = day_times(site, light_of(plane.lon0, plane.lat0, day, zone))
        if times.kind == "no_sunset" and not (times.work_starts and times.work_ends):
            return dict.fromkeys(keys, 1)  # as the day of a site has it: no clock, one batch
        spots = list(keys)
        while spots:
            plan = clock.day_plan([turns[turn_key(at[spot])] for spot in spots], times, rakers)
            clocks = {key: tuple(each for each in own if lawful(each, day)) for key, own in plan.items()}
            alight = [replace(at[spot], clocks=clocks[turn_key(at[spot])]) for spot in spots]
            if crew.adults is None or people(alight) <= crew.adults:
                return {run.spot: len(run.clocks) for run in alight}
            spots.pop()  # too few hands for all of them: the later kiln in the list waits
        return {}

    jobs = []
    for run in runs:
        dry = [ready[heap] for heap in run.heaps if heap in ready]
        batches = run.batches.high if slow else run.batches.likely
        jobs.append(Job(run.spot, turn_key(run), round(batches), max(dry, default=None)))
    return lay(jobs, when, fits)


def _verdict(laid: Laid, slow: Laid, ends: dt.date | None, known: bool) -> tuple[Word, Reason]:
    last, late = laid.last_burn_day, slow.last_burn_day
    left, left_slow = sum(laid.left.values()), sum(slow.left.values())
    if last is None:
        return "does not fit", reason("season.no_day_fits")
    if not laid.all_burned and ends is None:
        return "does not fit", reason("season.beyond_horizon", left=left, days=HORIZON_DAYS)
    if left:
        return "does not fit", reason("season.does_not_fit", left=left, ends=ends, slow=left_slow)
    if not known:
        return "not known", reason("season.permit_not_known", last=last)
    slowly = reason("season.also_slow") if late == last else reason("season.or_slow", late=late)
    if ends is None:
        return "fits the dates", reason("season.no_end", last=last, slow=slowly)
    if left_slow:
        return "tight", reason("season.tight", last=last, left=left_slow, ends=ends)
    return "fits the dates", reason("season.fits", last=last, slow=slowly, ends=ends)
