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
    sums = tuple(site_steps(a))
    steps = (
        *_tables(words, "Heap", heap_steps(a)),
        *_tables(words, "One batch", _named(kiln_steps(a), spots)),
        *_tables(words, "Water", _named(water_steps(a), spots)),
        *_tables(words, "Source", source_steps(a)),
        *_tables(words, "People and embers", _named(people_steps(a), spots)),
        *_tables(words, "Sums", [(words.own("the site"), sums)] if sums else []),
    )
    used = _used(steps)
    own = [f"F{formulas()[key].number}" for key in TOGETHER]
    together = listed(tuple(each for each in own if each in used) or tuple(own), 9)
    how = Paragraph(words.own(_HOW), "small"), Paragraph(words.own(_BY_HAND, together=together), "small")
    return Section("workings", words.own("Workings"), (*how, *steps) if steps else ())


def _used(blocks: Iterable[Block]) -> set[str]:
    """Formulas that stand in tables of steps, by what they are called there."""
    return {str(row[1]) for block in blocks if isinstance(block, Table) for row in block.rows}


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
        yield Table(f"{words.own(title)}: {listed(names, 12)}", words.row(*HEADS), rows, (27, 5, 66, 26))


def formula_list(worked: Section, words: Words) -> Section:
    """Every formula the workings use, by its number, as it is reckoned with."""
    used = _used(worked.blocks)
    rows = tuple(
        (
            f"F{each.number}",
            words.own(each.gives),
            each.form,
            f"{words.own(each.source)} ({words.own(tables.EVIDENCE_LEVELS[each.evidence])})",
        )
        for each in formulas().values()
        if f"F{each.number}" in used
    )
    heads = words.row("No.", "Gives", "Formula", "Source, evidence")
    listed_here = (Table("", heads, rows, (6, 34, 54, 30)),) if rows else ()
    return Section("formulas", words.own("Formulas"), listed_here)
