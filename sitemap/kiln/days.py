"""How many batches a day holds at every kiln spot, their clocks, and the days until all is burned."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

import numpy as np

from sitemap import tables
from sitemap.kiln import burning, clock
from sitemap.kiln.values import Clock, CrewFacts, DayTimes, KilnRun
from sitemap.notes import Note, kiln_called, sentence
from sitemap.ranges import Array, Drawn


def soak_and_burn_down(piece_cm: float) -> tuple[float, float]:
    """Minutes from the last thick piece, and from the last thin one, to the water; the first never the shorter.

    piece_cm : thickest piece [cm]. Raises BadValue where it is negative.

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
) -> tuple[list[KilnRun], list[Note], list[Note]]:
    """The runs with the batches of a day, their clocks and the days they take.

    Parameters
    ----------
    runs : one for every kiln spot
    counts : kilns there are of each id
    crew, day : who works; light and hours, or None where not known
    names : name of each kiln spot by its id

    Returns
    -------
    (the runs, what was assumed, what is not known)
    """
    assumed: list[Note] = []
    unknowns: list[Note] = []
    if day is None:
        text = "Burn date, place or time zone is not known: one batch a day is taken for each kiln, without a clock."
        assumed.append(Note("site", "one_batch_a_day", text))
        return [_with_day(run, (), run.units) for run in runs], assumed, unknowns
    for why in day.unread:
        unknowns.append(Note("site", "working_hours", f"Working hours: {why[0].lower()}{why[1:]}"))
    if day.kind == "no_sunrise":
        unknowns.append(Note("site", "no_sunrise", "The sun does not rise on the burn date: no batch fits."))
    if day.kind == "no_sunset" and not (day.work_starts and day.work_ends):
        text = (
            "The sun does not set on the burn date: enter when work starts and ends; until then one batch a day is "
            "taken for each kiln, without a clock."
        )
        unknowns.append(Note("site", "no_sunset", text))
        return [_with_day(run, (), run.units) for run in runs], assumed, unknowns
    if crew.rakers is None:
        assumed.append(Note("site", "rakers", "One crew is taken to rake: kilns are put out one after the other."))
    crews = max(1, crew.rakers if crew.rakers is not None else 1)
    likely = clock.day_plan(_turns(runs, counts, slow=False), day, crews)
    slow = clock.day_plan(_turns(runs, counts, slow=True), day, crews)
    timed: list[KilnRun] = []
    unfit: dict[tuple[str, str, str], list[str]] = {}
    for run in runs:
        clocks = likely[_turn_key(run)]
        if not clocks:
            unfit.setdefault((run.id, run.name, _no_batch(run, day)), []).append(run.spot)
        elif not slow[_turn_key(run)]:
            assumed.append(_tight(run, names[run.spot]))
        if 0 < len(clocks) < run.units:
            fit = "1 fits" if len(clocks) == 1 else f"{len(clocks)} fit"
            text = f"Of {run.units} × {run.name} only {fit} the day with the crews that rake."
            assumed.append(Note(run.spot, "not_all_fit", text))
        timed.append(_with_day(run, clocks, len(clocks)))
    # what is the kiln's own fault is said of the kiln, once for all its places
    for (kiln, name, why), at in unfit.items():
        places = f"{', '.join(names[spot] for spot in at[:-1])} and {names[at[-1]]}" if len(at) > 1 else names[at[0]]
        text = f"{name} ({places}) {why}."
        unknowns.append(Note(at[0] if len(at) == 1 else kiln, "no_batch_fits", text))
    return timed, assumed, unknowns


def days_in_all(runs: Sequence[KilnRun]) -> Drawn | None:
    """Days until the last kiln is done, all working the same days; None where one with work to do has no day for it.

    A kiln moved between spots works them one after the other.
    """
    if any(run.days is None and run.batches.likely > 0 for run in runs):
        return None
    by_kiln: dict[str, list[Array]] = {}
    for run in runs:
        if run.days is not None:
            by_kiln.setdefault(_turn_key(run), []).append(run.days.values)
    if not by_kiln:
        return Drawn.exact(0)
    return Drawn(np.max([np.sum(days, axis=0) for days in by_kiln.values()], axis=0))


def _turn_key(run: KilnRun) -> str:
    """A kiln moved between spots takes one turn, wherever it stands that day."""
    return f"moved {run.id}" if run.moved else f"spot {run.spot}"


def _turns(runs: Sequence[KilnRun], counts: Mapping[str, int], slow: bool) -> list[clock.Turn]:
    turns: dict[str, clock.Turn] = {}
    for run in runs:
        key = _turn_key(run)
        hours = run.hours_per_batch.high if slow else run.hours_per_batch.likely
        if key not in turns or hours > turns[key].hours:
            units = counts[run.id] if run.moved else run.units
            turns[key] = clock.Turn(key, units, hours, *soak_and_burn_down(run.thickest_cm))
    return list(turns.values())


def _no_batch(run: KilnRun, day: DayTimes) -> str:
    hours, room = run.hours_per_batch.likely, clock.burning_hours(day)
    needs = f"needs {hours:.1f} h from lighting to water, the day leaves {room:.1f} h"
    if hours <= room:
        return f"{needs}, but who can rake is taken up by other kilns: find more crews that rake, or light fewer a day"
    return f"{needs}: no batch fits this daylight, so fill it less, feed it faster or choose a longer day"


def _tight(run: KilnRun, place: str) -> Note:
    text = (
        f"{kiln_called(place)} fits the day at {run.hours_per_batch.likely:.1f} h but not at its slow end, "
        f"{run.hours_per_batch.high:.1f} h: feed it for the last time by the clock, full or not"
    )
    return Note(run.spot, "day_is_tight", sentence(text))


def _with_day(run: KilnRun, clocks: tuple[Clock, ...], per_day: int) -> KilnRun:
    if per_day == 0:
        return run
    return replace(run, clocks=clocks, batches_per_day=per_day, days=Drawn(np.ceil(run.batches.values / per_day)))
