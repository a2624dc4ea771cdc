"""How many batches a day holds at every kiln spot, their clocks, and the days until all is burned."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import replace

import numpy as np

from sitemap import tables
from sitemap.kiln import burning, clock
from sitemap.kiln.values import Clock, CrewFacts, DayTimes, KilnRun
from sitemap.notes import Note
from sitemap.ranges import Array, Drawn
from sitemap.reasons import KilnName, Quantity, Reason, reason

_EXACT = 1e-6  # of a tenth of an hour: rounding in binary makes no tenth of its own


def soak_and_burn_down(piece_cm: float) -> tuple[float, float]:
    """Minutes from the last thick piece, and from the last thin one, to the water; the first never the shorter.

    Parameters
    ----------
    piece_cm : thickest piece, at least 0 [cm]

    Returns
    -------
    soak, burn-down [min]

    Raises
    ------
    BadValue : below 0

    References
    ----------
    Table kiln_burning, each row with its own source and letter (P, S, C).

    >>> soak_and_burn_down(10.0)
    (125.0, 25.0)
    """
    rows = tables.load("kiln_burning")
    per_cm = float(rows["soak"]["value"])
    burn_down = float(burning.soak_minutes(float(rows["last_thin_piece"]["value"]), per_cm))
    return max(float(burning.soak_minutes(piece_cm, per_cm)), burn_down), burn_down


def with_days(
    runs: Sequence[KilnRun],
    counts: Mapping[str, int],
    crew: CrewFacts,
    day: DayTimes | None,
    names: Mapping[str, str],
    barred: frozenset[str] = frozenset(),
) -> tuple[list[KilnRun], list[Note], list[Note]]:
    """The runs with the batches of a day, their clocks and the days they take.

    Parameters
    ----------
    runs : one for every kiln spot
    counts : kilns there are of each id
    crew, day : who works; light and hours, or None where not known
    names : name of each kiln spot by its id
    barred : ids of spots where no kiln may burn: they take no hour of the crew from the others; their own hours are
        those of a day on which all kilns burn

    Returns
    -------
    (the runs, what was assumed, what is not known)
    """
    assumed: list[Note] = []
    unknowns: list[Note] = []
    if day is None:
        assumed.append(Note("site", "one_batch_a_day", reason("kiln.one_batch_a_day")))
        return [_with_day(run, (), run.units) for run in runs], assumed, unknowns
    unknowns += _of_the_light(day)
    if day.kind == "no_sunset" and not (day.work_starts and day.work_ends):
        return [_with_day(run, (), run.units) for run in runs], assumed, unknowns
    if crew.rakers is None:
        assumed.append(Note("site", "rakers", reason("kiln.one_crew_rakes")))
    crews = max(1, crew.rakers or 1)
    standing = [run for run in runs if run.spot not in barred]
    likely, slow = (
        {key: clocks for of in (runs, standing) for key, clocks in _plan(of, counts, day, crews, slow=slow).items()}
        for slow in (False, True)
    )
    timed: list[KilnRun] = []
    unfit: dict[tuple[str, str, Reason], list[str]] = {}
    for run in runs:
        clocks = likely[turn_key(run)]
        if not clocks:
            unfit.setdefault((run.id, run.name, _no_batch(run, day)), []).append(run.spot)
        elif not slow[turn_key(run)]:
            assumed.append(_tight(run, names[run.spot]))
        if 0 < len(clocks) < run.units:
            why = reason("kiln.not_all_fit", units=run.units, kiln=run.name, fit=len(clocks))
            assumed.append(Note(run.spot, "not_all_fit", why))
        timed.append(_with_day(run, clocks, len(clocks)))
    # what is the kiln's own fault is said of the kiln, once for all its places
    for (kiln, name, why), at in unfit.items():
        told = reason("kiln.no_batch_fits", kiln=name, places=tuple(names[spot] for spot in at), why=why)
        unknowns.append(Note(at[0] if len(at) == 1 else kiln, "no_batch_fits", told))
    return timed, assumed, unknowns


def _of_the_light(day: DayTimes) -> list[Note]:
    """What is not known of the light and the working hours."""
    notes = [Note("site", "working_hours", reason("kiln.working_hours", why=why)) for why in day.unread]
    if day.kind == "no_sunrise":
        notes.append(Note("site", "no_sunrise", reason("kiln.no_sunrise")))
    if day.kind == "no_sunset" and not (day.work_starts and day.work_ends):
        notes.append(Note("site", "no_sunset", reason("kiln.no_sunset")))
    return notes


def days_in_all(runs: Sequence[KilnRun]) -> Drawn | None:
    """Days until the last kiln is done, all working the same days; None where one with work to do has no day for it.

    A kiln moved between spots works them one after the other.
    """
    if any(run.days is None and run.batches.likely > 0 for run in runs):
        return None
    by_kiln: dict[str, list[Array]] = {}
    for run in runs:
        if run.days is not None:
            by_kiln.setdefault(turn_key(run), []).append(run.days.values)
    if not by_kiln:
        return Drawn.exact(0)
    return Drawn(np.max([np.sum(days, axis=0) for days in by_kiln.values()], axis=0))


def turn_key(run: KilnRun) -> str:
    """A kiln moved between spots takes one turn, wherever it stands that day."""
    return f"moved {run.id}" if run.moved else f"spot {run.spot}"


def _plan(
    runs: Sequence[KilnRun], counts: Mapping[str, int], day: DayTimes, crews: int, *, slow: bool
) -> Mapping[str, tuple[Clock, ...]]:
    return clock.day_plan(turns_of(runs, counts, slow), day, crews)


def _turn(run: KilnRun, at_work: int, slow: bool) -> clock.Turn:
    hours = run.hours_per_batch.high if slow else run.hours_per_batch.likely
    soak, burn_down = soak_and_burn_down(run.thickest_cm)
    return clock.Turn(turn_key(run), at_work, hours, soak, burn_down, run.rake_min.likely)


def turns_of(runs: Sequence[KilnRun], counts: Mapping[str, int], slow: bool) -> list[clock.Turn]:
    """What the clock must know of every kiln; a kiln that is moved has the hours of its slowest place at each.

    counts : kilns there are of each id; slow : a batch takes as long as it may, one time in ten longer
    """
    turns: dict[str, clock.Turn] = {}
    for run in runs:
        turn = _turn(run, counts[run.id] if run.moved else run.units, slow)
        if turn.key not in turns or turn.hours > turns[turn.key].hours:
            turns[turn.key] = turn
    return list(turns.values())


def hours_needed(run: KilnRun) -> Quantity:
    """How long a batch takes from lighting to water [h], to the tenth above."""
    return _tenths(math.ceil(run.hours_per_batch.likely * 10 - _EXACT))


def _no_batch(run: KilnRun, day: DayTimes) -> Reason:
    needed, room = run.hours_per_batch.likely, clock.burning_hours(day)
    leaves = _tenths(math.floor(room * 10 + _EXACT))
    return reason(
        "kiln.rakers_taken" if needed <= room else "kiln.day_too_short", needs=hours_needed(run), leaves=leaves
    )


def _tight(run: KilnRun, place: str) -> Note:
    hours = run.hours_per_batch
    likely, slow = (Quantity(each, "h", 2) for each in (hours.likely, hours.high))  # as in the table of the kilns
    return Note(run.spot, "day_is_tight", reason("kiln.day_is_tight", kiln=KilnName(place), likely=likely, slow=slow))


def _tenths(tenths: int) -> Quantity:
    """Hours to the tenth: what is needed was rounded up, what there is down [h]."""
    return Quantity(tenths / 10, "h", 3)


def _with_day(run: KilnRun, clocks: tuple[Clock, ...], per_day: int) -> KilnRun:
    if per_day == 0:
        return run
    return replace(run, clocks=clocks, batches_per_day=per_day, days=Drawn(np.ceil(run.batches.values / per_day)))
