"""The workings as tables: each figure with its formula by number, what goes in and what comes out."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from sitemap import tables
from sitemap.assessment import Assessment
from sitemap.plan.model import Block, Paragraph, Section, Table
from sitemap.plan.phrases import Words
from sitemap.plan.working.heaps import heap_steps
from sitemap.plan.working.kilns import kiln_steps
from sitemap.plan.working.people import people_steps, site_steps
from sitemap.plan.working.sources import source_steps
from sitemap.plan.working.step import Step, formulas, told
from sitemap.plan.working.water import water_steps
from sitemap.reasons import KilnName
from sitemap.wording import capital, listed

Worked = Iterable[tuple[str, tuple[Step, ...]]]
HEADS = ("Figure", "By", "With", "Gives")
_HOW = (
    "Likely values. A range in brackets comes from drawing every uncertain input 2,000 times: eight times of ten the "
    "figure lies between its ends. F and a number: see “Formulas”. Where k stands among the inputs, multiply the "
    "result by it: it carries the units."
)
_BY_HAND = (
    "A range by hand, nearly: take the formula again with each number that has a bracket, one at a time, at its low "
    "and at its high end. The root of the sum of the squares of the rises is how far the high end lies above the "
    "likely value, that of the falls how far the low end lies below it. In {together} the numbers go up and down "
    "together: put all at their low ends, then all at their high ends. Each end comes out to a seventh of the width "
    "of the range, batches to one. Not so where less water arrives (q) than twice what only keeps pace with the glow "
    "(hold): the high end then lies far above what is found by hand, for a little less water never puts the char out."
)
TOGETHER = ("larger", "smaller", "drawn", "with_reserve")  # formulas whose inputs rest on the same things


def workings(a: Assessment, words: Words) -> Section:
    """Every figure of the sheets, step by step."""
    spots = {spot.id: capital(words.shown(KilnName(spot.name))) for spot in a.spots}
    blocks: list[Block] = [Paragraph(words.own(_HOW), "small"), Paragraph(_by_hand(words), "small")]
    blocks += _tables(words, "Heap", heap_steps(a))
    blocks += _tables(words, "One batch", _named(kiln_steps(a), spots))
    blocks += _tables(words, "Water", _named(water_steps(a), spots))
    blocks += _tables(words, "Source", source_steps(a))
    blocks += _tables(words, "People and embers", _named(people_steps(a), spots))
    sums = tuple(site_steps(a))
    blocks += _tables(words, "Sums", [(words.own("the site"), sums)] if sums else [])
    return Section("workings", words.own("Workings"), tuple(blocks))


def _by_hand(words: Words) -> str:
    """How a range is reworked."""
    return words.own(_BY_HAND, together=listed(tuple(f"F{formulas()[key].number}" for key in TOGETHER), 9))


def _named(worked: Worked, names: dict[str, str]) -> Worked:
    return [(names.get(id_, id_), steps) for id_, steps in worked]


def _tables(words: Words, title: str, worked: Worked) -> Iterator[Block]:
    """A table for each; those that come out alike share one."""
    alike: dict[tuple[tuple[str, str, str, str], ...], list[str]] = {}
    for name, steps in worked:
        rows = tuple(dict.fromkeys(told(step, words) for step in steps))
        if rows:
            alike.setdefault(rows, []).append(words.shown(name))
    for rows, names in alike.items():
        yield Table(f"{words.own(title)}: {listed(names, 12)}", words.row(*HEADS), rows, (21, 5, 66, 32))


def formula_list(a: Assessment, words: Words) -> Section:  # noqa: ARG001
    """Every formula by its number, as it is reckoned with."""
    rows = tuple(
        (
            f"F{each.number}",
            words.own(each.gives),
            each.form,
            f"{words.own(each.source)} ({words.own(tables.EVIDENCE_LEVELS[each.evidence])})",
        )
        for each in formulas().values()
    )
    heads = words.row("No.", "Gives", "Formula", "Source, evidence")
    return Section("formulas", words.own("Formulas"), (Table("", heads, rows, (6, 34, 54, 30)),))
