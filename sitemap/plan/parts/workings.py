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
    "Likely values. The range in brackets comes from drawing every uncertain input 2,000 times, eight times of ten "
    "between the ends printed behind it, or beside it under “Where the figures come from”. F and a number: see "
    "“Formulas”. Where k stands among the inputs, multiply the result by it: it carries the units."
)

_BY_HAND = (
    "The range of a heap by hand, nearly: of each bracket take half its width as a share of its number (of one less "
    "the earth for the earth). The root of the sum of their squares, down to the row in question, is half the range of "
    "that row as a share of its likely value, to a tenth of itself."
)


def workings(a: Assessment, words: Words) -> Section:
    """Every figure of the sheets, step by step."""
    spots = {spot.id: capital(words.shown(KilnName(spot.name))) for spot in a.spots}
    blocks: list[Block] = [Paragraph(words.own(_HOW), "small"), Paragraph(words.own(_BY_HAND), "small")]
    blocks += _tables(words, "Heap", heap_steps(a))
    blocks += _tables(words, "One batch", _named(kiln_steps(a), spots))
    blocks += _tables(words, "Water", _named(water_steps(a), spots))
    blocks += _tables(words, "Source", source_steps(a))
    blocks += _tables(words, "People and embers", _named(people_steps(a), spots))
    sums = tuple(site_steps(a))
    blocks += _tables(words, "Sums", [(words.own("the site"), sums)] if sums else [])
    return Section("workings", words.own("Workings"), tuple(blocks))


def _named(worked: Worked, names: dict[str, str]) -> Worked:
    return [(names.get(id_, id_), steps) for id_, steps in worked]


def _tables(words: Words, title: str, worked: Worked) -> Iterator[Block]:
    """A table for each; those that come out alike share one."""
    alike: dict[tuple[tuple[str, str, str, str], ...], list[str]] = {}
    for name, steps in worked:
        rows = tuple(dict.fromkeys(told(step, words) for step in steps))
        if rows:
            alike.setdefault(rows, []).append(name)
    for rows, names in alike.items():
        yield Table(f"{words.own(title)}: {listed(names, 12)}", words.row(*HEADS), rows, (21, 5, 66, 32))


def formula_list(a: Assessment, words: Words) -> Section:  # noqa: ARG001
    """Every formula by its number, as it is reckoned with."""
    rows = tuple(
        (
            f"F{each.number}",
            words.own(each.gives),
            each.form,
            f"{words.own(each.source)} ({words.own(tables.STANDINGS[each.standing])})",
        )
        for each in formulas().values()
    )
    heads = words.row("No.", "Gives", "Formula", "Source, standing")
    return Section("formulas", words.own("Formulas"), (Table("", heads, rows, (6, 34, 54, 30)),))
