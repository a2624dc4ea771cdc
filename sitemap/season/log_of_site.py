"""The log of a site: what its batches teach of those to come, kiln by kiln, and what is left to burn."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace

import numpy as np

from sitemap.kiln.standing import figure
from sitemap.kiln.values import KilnRun
from sitemap.ranges import Array, Drawn
from sitemap.reasons import KilnName, Quantity, Reason, Term, reason
from sitemap.season import observed
from sitemap.season.batches import Batch, burned_by
from sitemap.season.learning import (
    Belief,
    belief_of,
    carried,
    taught,
    taught_together,
)
from sitemap.season.pace import ENOUGH, Learned
from sitemap.site.model import Site

_UNITS = {"hours_per_batch": "h", "char_m3_per_batch": "m3", "quench_l_per_batch": "l"}
_BY_LOG = ("hours_per_batch", "quench_l_per_batch")
LABELS = {
    "hours_per_batch": "hours a batch",
    "char_m3_per_batch": "char a batch",
    "quench_l_per_batch": "quench a batch",
    "char_density": "weight of loose char",
    "char_yield": "char from dry wood",
    "haul": "speed of the loaded machine",
    "hand": "speed of people with full buckets",
    "brought": "water the haul brings",
    "stock": "wood for the kiln still lying",
}
COMMON_SPREAD = 0.316  # of the logarithm: packing 30 % and density 10 %, common to the heaps of a site; judgement
OWN_SPREAD = 0.192  # dimensions 12 % and shape 15 %, a heap's own; judgement
_DIGITS = 2  # of a number in a sentence: a change they do not show is none
Triple = tuple[float, float, float]


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

    run : with fill and batches still to come; its hours and quench are those the clock goes by (`by_log`)
    burned : batches logged; lessons : what they taught; told : in sentences
    """

    run: KilnRun
    name: str
    burned: int
    lessons: tuple[Lesson, ...]
    told: tuple[Reason, ...]


@dataclass(frozen=True)
class Ground:
    """What the log is held against besides the plan.

    bucket_l : what people call a bucket [L]
    paces : what timed trips taught of each way
    brought : id of a spot → what its water by machine or hand brings, before and after [L/h]: low, likely, high
    gone : id of a heap that is burned → its char stock as it was reckoned before [t dry]
    today : the last day the log may tell of; None, any
    """

    bucket_l: float
    paces: Sequence[Learned] = ()
    brought: Mapping[str, tuple[Triple, Triple]] = field(default_factory=dict)
    gone: Mapping[str, Drawn] = field(default_factory=dict)
    today: dt.date | None = None


@dataclass(frozen=True)
class _Common:
    """What all batches of a site tell together: beliefs before and after."""

    density: tuple[Belief, Belief]
    share: tuple[Belief, Belief]
    stock: Belief
    lessons: tuple[Lesson, ...]


def taught_of(site: Site, runs: Sequence[KilnRun], ground: Ground) -> tuple[Taught, ...]:
    """Every kiln with what its log taught; one without a batch in the log is as it was.

    site : as entered; runs : what is burned at each spot, as the clock goes by; ground : what the log is held against
    """
    names = {spot.id: spot.name for spot in site.of_kind("kiln_spot")}
    burned = burned_by(site, ground.today)
    if not any(run.spot == batch.spot for run in runs for batch in burned):
        return tuple(Taught(run, names.get(run.spot, run.spot), 0, (), ()) for run in runs)
    common = _common(burned, ground)
    made, once = [], _held_back(ground)  # of all kilns: said with the first
    for run in runs:
        own = [batch for batch in burned if batch.spot == run.spot]
        made.append(_taught(run, names.get(run.spot, run.spot), own, common, ground, once if own else ()))
        once = [] if own else once
    return tuple(made)


def with_burned(site: Site, today: dt.date | None = None) -> Site:
    """The site with every heap burned that the log says is burned up; itself where the log says so of none.

    today : the last day the log may tell of; None, any
    """
    for batch in burned_by(site, today):
        for heap in map(site.get, batch.done):
            if (
                heap is not None
                and heap.kind in ("pile", "windrow")
                and heap.choice("status") not in ("burned", "cold")
            ):
                site = site.put(heap.with_values(status="burned"))
    return site


def _common(burned: Sequence[Batch], ground: Ground) -> _Common:
    """Weight of char, yield, and how much more or less than reckoned lay in heaps that are burned up."""
    density, share = _row("char_density"), _row("char_yield")
    weights = [kg for batch in burned if (kg := observed.density_kg_m3(batch, ground.bucket_l))]
    density_now = taught(density, weights, observed.WEIGHING)
    share_now, seen = share, observed.yields(burned, ground.bucket_l, density_now)
    for value, spread in seen:
        share_now = taught(share_now, [value], spread)
    stock = Belief(0.0, COMMON_SPREAD)
    told = 0
    for heap, likely_t in ground.gone.items():
        char_kg = _char_kg(heap, burned, ground.bucket_l, math.exp(density_now.mean))
        if char_kg is None or likely_t.likely <= 0:
            continue
        spread = math.hypot(OWN_SPREAD, density_now.spread)
        stock, share_now = taught_together(stock, share_now, [char_kg / (likely_t.likely * 1000)], spread)
        told += 1
    lessons = []
    if weights:
        lessons.append(Lesson("char_density", len(weights), "kg_m3", density.triple, density_now.triple))
    if seen or told:
        lessons.append(Lesson("char_yield", len(seen) + told, "pct", _times(share, 100), _times(share_now, 100)))
    lessons += _paces(ground)
    return _Common((density, density_now), (share, share_now), stock, tuple(lessons))


def _char_kg(heap: str, burned: Iterable[Batch], bucket_l: float, density: float) -> float | None:
    """Char a heap gave [kg], where every batch that burned of it burned nothing else and was counted."""
    own = [batch for batch in burned if heap in (*batch.heaps, *batch.done)]
    volumes = [observed.char_m3(batch, bucket_l) for batch in own]
    alone = all({*batch.heaps, *batch.done} == {heap} for batch in own)
    if not own or not alone or None in volumes:
        return None
    return sum(volume for volume in volumes if volume is not None) * density


def _taught(
    run: KilnRun, name: str, batches: Sequence[Batch], common: _Common, ground: Ground, once: Iterable[Reason]
) -> Taught:
    told = [why for batch in batches for why in batch.wrong]
    if not batches:
        return Taught(run, name, 0, (), tuple(told))
    looked = [observed.counted(batch, ground.bucket_l, run.char_m3_per_batch.high) for batch in batches]
    chars = [char for char, _ in looked]
    told += [why for _, said in looked for why in said]
    seen = {
        "hours_per_batch": [batch.hours for batch in batches if batch.hours],
        "char_m3_per_batch": [char for char in chars if char],
        "quench_l_per_batch": [water for batch in batches if (water := batch.figure("water_l"))],
    }
    lessons, char, reckoned = [], run.char_m3_per_batch, run.reckoned
    for quantity, values in seen.items():
        if not values:
            continue
        held: Drawn = getattr(reckoned, quantity)
        before = belief_of(*held.triple())
        after = taught(before, values)
        lessons.append(Lesson(quantity, len(values), _UNITS[quantity], before.triple, after.triple))
        if quantity == "char_m3_per_batch":
            char = Drawn(carried(held.values, before, after))
    lessons += common.lessons
    if run.spot in ground.brought:
        told_by = sum(each.count for each in ground.paces)
        lessons.append(Lesson("brought", told_by, "l_h", *ground.brought[run.spot]))
    wood = _per_batch(run, common)
    stock = (
        Drawn(run.char_stock_dry_t.values * np.exp(common.stock.mean)) if common.stock.mean else run.char_stock_dry_t
    )
    lying = _lying(run, stock, wood, chars, batches, ground.gone)
    feed = Drawn(wood * char.values / run.char_m3_per_batch.values)
    left = Drawn(np.ceil(lying / feed.values - 1e-6).clip(min=0.0))
    if run.char_stock_dry_t.likely > 0:
        before_t, after_t = run.char_stock_dry_t.triple(), Drawn(lying).triple()
        lessons.append(Lesson("stock", len(batches), "t", before_t, after_t))
    told += [*once, *_count(run, name, len(batches), left, lessons)]
    told += _waiting(name, lessons)
    changed = replace(run, batches=left, feed_dry_t_per_batch=feed, char_m3_per_batch=char)
    return Taught(changed, name, len(batches), tuple(lessons), (*told, *observed.uncharred(batches, name)))


def _waiting(name: str, lessons: Iterable[Lesson]) -> list[Reason]:
    """That hours or water came out less than reckoned and are not gone by yet: the rule is that of `by_log`."""
    return [
        reason(
            "season.log_waits", name=KilnName(name), what=Term(LABELS[each.quantity]), count=each.count, needed=ENOUGH
        )
        for each in lessons
        if each.quantity in _BY_LOG
        and each.after[1] < each.before[1]
        and each.count < ENOUGH
        and _change(each) is not None
    ]


def _count(run: KilnRun, name: str, burned: int, left: Drawn, lessons: Sequence[Lesson]) -> list[Reason]:
    """What changed and how many batches are still to come; and a sentence where more are logged than there can have
    been."""
    before = max(round(run.batches.likely) - burned, 0)
    kiln = KilnName(name)
    changes = tuple(change for lesson in lessons if (change := _change(lesson)) is not None)
    more = round(left.likely)
    if changes:
        told = [reason("season.log_taught", name=kiln, burned=burned, changes=changes, left=more, before=before)]
    else:
        told = [reason("season.log_left", name=kiln, burned=burned, left=more, before=before)]
    if burned > round(run.batches.high):
        told.append(reason("season.log_more", name=kiln, burned=burned, most=round(run.batches.high)))
    return told


def _per_batch(run: KilnRun, common: _Common) -> Array:
    """Dry wood a batch as planned takes, by weight of char and yield as they are believed now [t]."""
    density, share = (
        carried(values, *belief) / values
        for values, belief in (
            (figure("kiln_burning", "char_density", 60, 400), common.density),
            (figure("kiln_burning", "char_yield", 0.01, 0.6), common.share),
        )
    )
    return np.asarray(run.feed_dry_t_per_batch.values * density / share)


def _lying(
    run: KilnRun,
    stock: Drawn,
    wood: Array,
    chars: Sequence[float | None],
    batches: Sequence[Batch],
    gone: Mapping[str, Drawn],
) -> Array:
    """The wood for this kiln that still lies there [t dry].

    A batch took wood by the char it gave; one whose char nobody counted took what was planned. Wood of heaps that are
    burned up is no longer in the stock: batches that say so take none of it, and the others are taken to have burned
    what was left of those heaps first. So a batch more, or a heap more that is burned up, never leaves more wood.
    """
    still: Array = np.zeros(wood.shape)
    loose: Array = np.zeros(wood.shape)
    of_gone: dict[str, Array] = {}
    for batch, char in zip(batches, chars, strict=True):
        took = wood if char is None else wood * char / run.char_m3_per_batch.values
        named = batch.heaps or batch.done
        for heap in named:
            if heap in gone:
                of_gone[heap] = of_gone.get(heap, np.zeros(wood.shape)) + took / len(named)
            else:
                still = still + took / len(named)
        if not named:
            loose = loose + took
    finished = {heap for batch in batches for heap in batch.done if heap in gone}
    for heap in finished:
        loose = loose - np.maximum(gone[heap].values - of_gone.get(heap, np.zeros(wood.shape)), 0.0)
    return np.maximum(stock.values - still - np.maximum(loose, 0.0), 0.0)


def _paces(ground: Ground) -> list[Lesson]:
    return [
        Lesson(each.way, each.count, "km_h", _times(each.before, each.speed_km_h), _times(each.after, each.speed_km_h))
        for each in ground.paces
    ]


def _held_back(ground: Ground) -> list[Reason]:
    """That trips were faster and do not count yet, and for which machine they were taken."""
    taken = [
        reason("season.pace_machine", count=each.count, machine=each.taken_for)
        for each in ground.paces
        if each.taken_for
    ]
    return taken + [
        reason("season.pace_waits", what=Term(LABELS[each.way]), count=each.count, needed=ENOUGH)
        for each in ground.paces
        if each.waits
    ]


def _row(key: str) -> Belief:
    return belief_of(*Drawn(figure("kiln_burning", key)).triple())


def _times(belief: Belief, factor: float) -> tuple[float, float, float]:
    low, likely, high = belief.triple
    return low * factor, likely * factor, high * factor


def _change(lesson: Lesson) -> Reason | None:
    """One number before and after, as is likely; None where it came out as it was."""
    before, after = (
        Quantity(float(f"{ends[1]:.{_DIGITS}g}"), lesson.unit, _DIGITS) for ends in (lesson.before, lesson.after)
    )
    if before == after:
        return None
    return reason("season.instead", what=Term(LABELS[lesson.quantity]), after=after, before=before)
