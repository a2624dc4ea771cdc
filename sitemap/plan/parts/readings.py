"""What a meter read of each heap, and what that proves of its wood: as it was typed, beside its day."""

from __future__ import annotations

from collections.abc import Iterator

from sitemap.assessment import Assessment
from sitemap.plan.largest import printed
from sitemap.plan.model import Section, Table
from sitemap.plan.parts.entered import typed
from sitemap.plan.phrases import Words
from sitemap.slash.fuel import told_of
from sitemap.slash.result import SlashItem


def readings(a: Assessment, words: Words) -> Section:
    """A row for what was read alike of a heap on a day; nothing where nobody read anything."""
    rows = tuple(row for item in printed(a) for row in _rows(a, item, words))
    heads = words.row("Heap", "Read on", "Moisture", "How it was read", "What its latest readings say")
    tables = (Table("", heads, rows, (12, 15, 17, 28, 44), small=True),) if rows else ()
    return Section("readings", words.own("Moisture readings"), tables)


def _rows(a: Assessment, item: SlashItem, words: Words) -> Iterator[tuple[str, ...]]:
    heap = a.source.get(item.id)
    if heap is None:
        return
    attributes = {each.name: each for each in heap.attribute("readings").item}
    moisture = attributes.pop("moisture_pct")
    del attributes["date"]
    alike: dict[tuple[str, str], list[str]] = {}
    for entry in heap.records("readings"):
        how = "; ".join(f"{label} {told}" for label, told in typed(entry, tuple(attributes.values()), words))
        figure = "".join(told for _, told in typed(entry, (moisture,), words)) or words("shared.not_known")
        alike.setdefault((words.day(entry.date("date")), how), []).append(figure)
    said = words.told(told_of(item.dryness)) if item.dryness is not None else ""
    for (day, how), figures in alike.items():
        yield words.shown(item.name), day, ", ".join(figures), how, said
        said = ""
