"""The workings as tables: each figure with its formula by number, what goes in and what comes out."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from sitemap import tables
from sitemap.assessment import Assessment
from sitemap.plan.model import Block, Paragraph, Section, Table
from sitemap.plan.say import spot_name
from sitemap.plan.working.heaps import heap_steps
from sitemap.plan.working.kilns import kiln_steps
from sitemap.plan.working.people import people_steps, site_steps
from sitemap.plan.working.sources import source_steps
from sitemap.plan.working.step import Step, formulas, told
from sitemap.plan.working.water import water_steps
from sitemap.wording import capital, listed

Worked = Iterable[tuple[str, tuple[Step, ...]]]
HEADS = ("Figure", "By", "With", "Gives")
_HOW = (
    "Likely values. The range in brackets comes from drawing every uncertain input 2,000 times and cannot be reworked "
    "by hand. F and a number: see “Formulas”. Where k stands among the inputs, multiply the result by it: it carries "
    "the units."
)


def workings(a: Assessment) -> Section:
    """Every figure of the sheets, step by step."""
    spots = {spot.id: capital(spot_name(a, spot.id)) for spot in a.spots}
    blocks: list[Block] = [Paragraph(_HOW, "small")]
    blocks += _tables("Heap", a, heap_steps(a))
    blocks += _tables("One batch", a, _named(kiln_steps(a), spots))
    blocks += _tables("Water", a, _named(water_steps(a), spots))
    blocks += _tables("Source", a, source_steps(a))
    blocks += _tables("People and embers", a, _named(people_steps(a), spots))
    sums = tuple(site_steps(a))
    blocks += _tables("Sums", a, [("the site", sums)] if sums else [])
    return Section("workings", "Workings", tuple(blocks))


def _named(worked: Worked, names: dict[str, str]) -> Worked:
    return [(names.get(id_, id_), steps) for id_, steps in worked]


def _tables(title: str, a: Assessment, worked: Worked) -> Iterator[Block]:
    """A table for each; those that come out alike share one."""
    alike: dict[tuple[tuple[str, str, str, str], ...], list[str]] = {}
    for name, steps in worked:
        rows = tuple(dict.fromkeys(told(step, a.source.units) for step in steps))
        if rows:
            alike.setdefault(rows, []).append(name)
    for rows, names in alike.items():
        yield Table(f"{title}: {listed(names, 12)}", HEADS, rows, (21, 5, 66, 32))


def formula_list(a: Assessment) -> Section:  # noqa: ARG001
    """Every formula by its number, as it is reckoned with."""
    rows = tuple(
        (f"F{each.number}", each.gives, each.form, f"{each.source} ({tables.STANDINGS[each.standing]})")
        for each in formulas().values()
    )
    heads = ("No.", "Gives", "Formula", "Source, standing")
    return Section("formulas", "Formulas", (Table("", heads, rows, (6, 34, 54, 30)),))
