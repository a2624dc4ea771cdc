"""The log of a site: what its batches teach of those to come, kiln by kiln, and what is left to burn."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from sitemap.errors import BadValue
from sitemap.kiln.reading import hour_minute
from sitemap.kiln.values import KilnRun
from sitemap.ranges import Array, Drawn
from sitemap.reasons import KilnName, Range, Reason, Term, reason
from sitemap.season.learning import Belief, belief_of, carried, taught
from sitemap.site.model import Entry, Site

_UNITS = {"hours_per_batch": "h", "char_m3_per_batch": "m3", "quench_l_per_batch": "l"}
_LABELS = {
    "hours_per_batch": "hours a batch",
    "char_m3_per_batch": "char a batch",
    "quench_l_per_batch": "quench a batch",
}
_CAUSES = {"late": "put in too late", "thick": "too thick", "wet": "too wet", "smothered": "smothered by earth"}


@dataclass(frozen=True)
class Lesson:
    """One number of a kiln before and after its log.

    count : batches that told of it; unit : a key of units.UNITS; before, after : low, likely, high
    """

    quantity: str
    count: int
    unit: str
    before: tuple[float, float, float]
    after: tuple[float, float, float]


@dataclass(frozen=True)
class Taught:
    """One kiln with what its log taught.

    run : with hours, fill, quench and the batches still to come
    burned : batches logged; lessons : what they taught; told : in sentences
    """

    run: KilnRun
    name: str
    burned: int
    lessons: tuple[Lesson, ...]
    told: tuple[Reason, ...]


@dataclass(frozen=True)
class _Batch:
    hours: float | None
    char_m3: float | None
    water_l: float | None


def taught_of(site: Site, runs: Sequence[KilnRun], bucket_l: float) -> tuple[Taught, ...]:
    """Every kiln with what its log taught; one without a batch in the log is as it was.

    site : as entered; runs : what is burned at each spot; bucket_l : what people call a bucket [L]
    """
    names = {spot.id: spot.name for spot in site.of_kind("kiln_spot")}
    rows = site.records("log")
    found = []
    for run in runs:
        name = names.get(run.spot, run.spot)
        own = [entry for entry in rows if _is_of(entry, run, name)]
        wrong, batches = _read(own, name, bucket_l)
        found.append(_taught(run, name, batches, [*wrong, *_uncharred(own, name)]))
    return tuple(found)


def _is_of(entry: Entry, run: KilnRun, name: str) -> bool:
    """A row with a date that names the spot."""
    said = (entry.text("kiln") or "").strip().casefold()
    return entry.date("date") is not None and said in (run.spot.casefold(), name.casefold())


def _read(rows: Sequence[Entry], name: str, bucket_l: float) -> tuple[list[Reason], list[_Batch]]:
    wrong: list[Reason] = []
    batches = []
    for entry in rows:
        buckets, water = entry.number("buckets"), entry.number("water_l")
        try:
            hours = _hours(entry.text("lit"), entry.text("water_on"))
        except BadValue as bad:
            hours = None
            wrong.append(reason("season.log_times", name=KilnName(name), on=entry.date("date"), why=bad.reason))
        batches.append(_Batch(hours, buckets * bucket_l / 1000 if buckets else None, water or None))
    return wrong, batches


def _hours(lit: str | None, water_on: str | None) -> float | None:
    """From lighting to water by the clock [h]; a water before it was lit came after midnight."""
    if not lit or not water_on:
        return None
    begin, end = (at.hour + at.minute / 60 for at in (hour_minute(lit), hour_minute(water_on)))
    return (end - begin) % 24 or None


def _taught(run: KilnRun, name: str, batches: Sequence[_Batch], told: list[Reason]) -> Taught:
    if not batches:
        return Taught(run, name, 0, (), tuple(told))
    seen = {
        "hours_per_batch": [each.hours for each in batches if each.hours is not None],
        "char_m3_per_batch": [each.char_m3 for each in batches if each.char_m3 is not None],
        "quench_l_per_batch": [each.water_l for each in batches if each.water_l is not None],
    }
    lessons, new = [], {}
    for quantity, values in seen.items():
        held: Drawn = getattr(run, quantity)
        before = belief_of(*held.triple())
        after = taught(before, values)
        new[quantity] = _carried(held, before, after) if values else held
        if values:
            lesson = Lesson(quantity, len(values), _UNITS[quantity], before.triple, after.triple)
            lessons.append(lesson)
            told.append(_lesson(name, lesson))
    left = _left(run, new["char_m3_per_batch"], batches)
    fill = new["char_m3_per_batch"].values / run.char_m3_per_batch.values
    feed = Drawn(run.feed_dry_t_per_batch.values * fill)
    told.append(
        reason(
            "season.log_left",
            name=KilnName(name),
            burned=len(batches),
            left=round(left.likely),
            before=max(round(run.batches.likely) - len(batches), 0),
        )
    )
    if len(batches) > round(run.batches.high):
        told.append(reason("season.log_more", name=KilnName(name), burned=len(batches), most=round(run.batches.high)))
    changed = replace(
        run,
        batches=left,
        feed_dry_t_per_batch=feed,
        hours_per_batch=new["hours_per_batch"],
        char_m3_per_batch=new["char_m3_per_batch"],
        quench_l_per_batch=new["quench_l_per_batch"],
    )
    return Taught(changed, name, len(batches), tuple(lessons), tuple(told))


def _carried(held: Drawn, before: Belief, after: Belief) -> Drawn:
    return Drawn(carried(held.values, before, after))


def _left(run: KilnRun, char: Drawn, batches: Sequence[_Batch]) -> Drawn:
    """Batches still to come: the wood that is left by the fill as it is believed now.

    A batch took wood by the char it gave; one whose char nobody counted took what was planned. So a batch more in the
    log never leaves more wood.
    """
    feed, planned = run.feed_dry_t_per_batch.values, run.char_m3_per_batch.values
    burned: Array = np.zeros(feed.shape)
    for each in batches:
        burned = burned + (feed if each.char_m3 is None else feed * each.char_m3 / planned)
    wood = np.maximum(run.char_stock_dry_t.values - burned, 0.0)
    return Drawn(np.ceil(wood / (feed * char.values / planned) - 1e-6).clip(min=0.0))


def _lesson(name: str, lesson: Lesson) -> Reason:
    before, after = (Range(*ends, unit=lesson.unit) for ends in (lesson.before, lesson.after))
    label = Term(_LABELS[lesson.quantity])
    return reason("season.lesson", name=KilnName(name), count=lesson.count, what=label, before=before, after=after)


def _uncharred(rows: Sequence[Entry], name: str) -> list[Reason]:
    """How many pieces came out uncharred, and why most of them did."""
    causes: Counter[str] = Counter()
    for entry in rows:
        count, cause = entry.integer("uncharred"), entry.choice("cause")
        if count and cause in _CAUSES:
            causes[cause] += count
    if not causes:
        return []
    cause, most = causes.most_common(1)[0]
    total = sum(causes.values())
    return [reason("season.uncharred", name=KilnName(name), count=total, most=most, cause=Term(_CAUSES[cause]))]
