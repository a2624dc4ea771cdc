"""Two layouts side by side: what differs in decisions, work, hours, days and water, and what fails first in each."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import zip_longest
from textwrap import wrap

import numpy as np

from sitemap.assessment import Assessment
from sitemap.day.decision import WORDS, Decision
from sitemap.ranges import Drawn
from sitemap.reasons import Fact, KilnName, Quantity, Range, Reason, Term, litres, reason
from sitemap.telling import tell

_WIDEST = 44  # letters of a column


@dataclass(frozen=True)
class Row:
    """One thing, as it is in either; a value that is not known says so.

    what : its label; one, other : its values
    """

    what: Reason
    one: Reason
    other: Reason

    @property
    def differs(self) -> bool:
        """Whether it is another in the other."""
        return self.one != self.other


def compared(one: Assessment, other: Assessment) -> tuple[Row, ...]:
    """Everything that is held side by side, in the order of the job.

    one, other : of the two sites, each on its own burn date; kilns and sources are told apart by their names

    Returns
    -------
    rows, those that are alike too
    """
    missing = reason("compare.not_there")
    here, there = dict(_values(one)), dict(_values(other))
    return tuple(Row(what, here.get(what, missing), there.get(what, missing)) for what in _in_order(here, there))


def _in_order(here: Mapping[Reason, Reason], there: Mapping[Reason, Reason]) -> list[Reason]:
    """What stands in either: what is only in the other one comes after what it follows there."""
    order, last = list(here), -1
    for what in there:
        if what not in here:
            order.insert(last + 1, what)
        last = order.index(what)
    return order


def _values(a: Assessment) -> Iterator[tuple[Reason, Reason]]:
    yield from (*_decisions(a), *_work(a), *_water(a), *_season(a))


def _said(value: Fact) -> Reason:
    return reason("compare.value", value=value)


def _decisions(a: Assessment) -> Iterator[tuple[Reason, Reason]]:
    for word in WORDS:
        count = sum(decision.word == word for decision in a.decisions)
        yield reason("compare.kilns", word=Term(word)), _said(count)
    for decision in a.decisions:
        yield reason("compare.kiln", name=KilnName(decision.name)), _said(Term(decision.word))
    yield reason("compare.fails_first"), _fails_first(a.decisions)


def _fails_first(decisions: tuple[Decision, ...]) -> Reason:
    """What bars the kiln that is worst off, the worst first."""
    barred = [decision for decision in decisions if decision.because]
    if not decisions:
        return reason("compare.no_kiln")
    if not barred:
        return reason("compare.nothing_fails")
    worst = max(barred, key=lambda decision: (WORDS.index(decision.word), len(decision.because)))
    bar = worst.because[0]
    return reason("compare.fails", name=KilnName(worst.name), why=bar.reason, action=bar.action)


def _work(a: Assessment) -> Iterator[tuple[Reason, Reason]]:
    burn = a.burn
    yield reason("compare.stock"), _range(a.slash.char_stock_dry_t if a.slash.counted else None, "t")
    yield reason("compare.batches"), _counts(burn.batches)
    yield reason("compare.kiln_hours"), _range(_kiln_hours(a), "h")
    yield reason("compare.days"), _counts(burn.days)
    yield reason("compare.char"), _range(burn.char_m3, "m3")
    left = tuple(sorted(heap.name for heap in a.slash.items if not _served(a, heap.id)))
    yield reason("compare.heaps_left"), _said(left) if left else reason("compare.none")


def _served(a: Assessment, heap: str) -> bool:
    return any(heap in run.heaps for run in a.kilns)


def _kiln_hours(a: Assessment) -> Drawn | None:
    """Hours from lighting to water, of every batch of every kiln together."""
    if not a.kilns:
        return None
    return Drawn(np.sum([run.batches.values * run.hours_per_batch.values for run in a.kilns], axis=0))


def _water(a: Assessment) -> Iterator[tuple[Reason, Reason]]:
    yield reason("compare.quench"), _range(a.burn.quench_l, "l")
    yield reason("compare.reserve"), _range(a.burn.reserve_l, "l")
    for spot in a.spots:
        wet = a.water.of_spot(spot.id) if a.water else None
        word = reason("plain.not_known") if wet is None else _said(Term(wet.quench.verdict))
        yield reason("compare.quench_line", name=KilnName(spot.name)), word
    for source in a.sources:
        feature = a.source.get(source.id)
        needed = _range(source.litres_needed, "l")
        verdict = Term(source.verdict)
        there: Fact = None if source.litres_there is None else litres(source.litres_there, toward="down")
        if source.endless:
            said = reason("compare.endless", word=verdict, needed=needed)
        else:
            said = reason("compare.source_says", word=verdict, needed=needed, there=there)
        yield reason("compare.source", name=source.id if feature is None else feature.name), said


def _season(a: Assessment) -> Iterator[tuple[Reason, Reason]]:
    day: Fact = None if a.calendar is None else a.calendar.last_burn_day
    yield reason("compare.last_day"), _said(day)
    yield reason("compare.calendar"), _said(Term("not known" if a.calendar is None else a.calendar.word))
    smoky = tuple(each.name for each in a.smoke if not each.good)
    yield reason("compare.no_wind"), _said(smoky) if smoky else reason("compare.none")


def _range(quantity: Drawn | None, unit: str) -> Reason:
    return reason("plain.not_known") if quantity is None else _said(Range(*quantity.triple(), unit))


def _counts(quantity: Drawn | None) -> Reason:
    """Whole numbers with their range."""
    if quantity is None:
        return reason("plain.not_known")
    low, likely, high = (round(end) for end in quantity.triple())
    if low == high:
        return _said(Quantity(likely, "count"))
    return _said(Range(low, likely, high, "count", 3))


def comparison_text(one: Assessment, other: Assessment, *, everything: bool = False) -> str:
    """The comparison as a plain table, in the units and language of the first; everything : what is alike too."""
    units = one.source.units
    rows = [row for row in compared(one, other) if everything or row.differs]
    cells = [("", one.site.name, other.site.name)]
    cells += [(tell(row.what, units), tell(row.one, units), tell(row.other, units)) for row in rows]
    if len(cells) == 1:
        return f"{one.site.name}, {other.site.name}: {tell(reason('compare.alike'), units)}\n"
    wide = [min(max(len(row[n]) for row in cells), _WIDEST) for n in range(3)]
    lines = []
    for row in cells:
        parts = [wrap(cell, width) or [""] for cell, width in zip(row, wide, strict=True)]
        for line in zip_longest(*parts, fillvalue=""):
            lines.append("  ".join(word.ljust(width) for word, width in zip(line, wide, strict=True)).rstrip())
    return "\n".join(lines) + "\n"
