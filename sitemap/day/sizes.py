"""Typed sizes far outside the usual: feet typed as metres, inches as millimetres? Said, and no pass until looked at."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import lru_cache

from sitemap import tables
from sitemap.kiln.reading import read_kiln
from sitemap.reasons import Quantity, Reason, Term, compared, reason
from sitemap.safety.permission import Check, checked
from sitemap.site.attributes import Attribute
from sitemap.site.equipment import EQUIPMENT, RECORDS, SECTIONS
from sitemap.site.kinds import HEAPS
from sitemap.site.model import Entry, Feature, Item, Site
from sitemap.tables import Row

_FACTS = ("crew", "season")
MEASURED = "measured"  # a range whose basis says so has been looked at twice


def size_checks(site: Site) -> tuple[Check, ...]:
    """One check for every thing with a size outside the table `usual_sizes`, its first such size."""
    found = (feature.once(_of_feature) for feature in site.features)
    others = (_of(kind, entry, about, name) for kind, entry, about, name in _entries(site))
    fed = (_fed(item) for item in site.equipment("kilns"))
    return tuple(check for check in (*found, *others, *fed) if check is not None)


def _fed(item: Item) -> Check | None:
    """A feed rate above what an opening of that size was seen to burn: as typed, it makes the burn too short."""
    kiln = item.once(read_kiln)[0]
    if kiln is None or kiln.feed_kg_h is None:
        return None
    by = "feed_per_area" if kiln.machine_feed_kg_h is None else "feed_per_area_by_machine"
    area_m2, most = kiln.hollow.open_area_m2, tables.load("kiln_burning")[by]["high"]
    if kiln.feed_kg_h <= most * area_m2:
        return None
    fed, burns = compared(kiln.feed_kg_h, most * area_m2, "kg_h")
    why = reason("day.fed_too_fast", name=item.name, fed=fed, burns=burns, area=Quantity(area_m2, "m2", 2))
    return checked("size", "unlikely size", item.id, why, reason("action.measure_size"))


def _of_feature(feature: Feature) -> Check | None:
    read = feature.records("readings") if feature.kind in HEAPS else ()
    found = (_of(feature.kind, each, feature.id, feature.name) for each in (feature, *read))
    return next(filter(None, found), None)


def _entries(site: Site) -> Iterator[tuple[str, Entry, str, str]]:
    """Kind, entry, id and name of all else that has sizes."""
    for kind in EQUIPMENT:
        for item in site.equipment(kind):
            yield kind, item, item.id, item.name
    for kind in _FACTS:
        yield kind, site.section(kind), "site", ""
    for link in site.records("links"):
        source = site.find(link.text("source") or "")
        yield "links", link, "site", source.name if source is not None else ""


def unusual(entry: Entry, attribute: Attribute) -> Reason | None:
    """That the size of one field lies outside the usual, to be said beside it; None where it does not.

    It is said of what counts as measured as well: a figure is typed anew and its basis stays.

    entry : what the field belongs to, of any kind
    """
    row = _usual(_kind(entry)).get(attribute.name)
    odd = None if row is None else _outside(entry, attribute, row)
    return None if odd is None or row is None else _why(attribute, odd, row, "")


def _kind(entry: Entry) -> str | None:
    if isinstance(entry, Feature):
        return entry.kind
    kinds = {**EQUIPMENT, **SECTIONS, **RECORDS}
    return next((key for key, kind in kinds.items() if kind.attributes is entry.attributes), None)


def _of(kind: str, entry: Entry, about: str, name: str) -> Check | None:
    usual = _usual(kind)
    for attribute in entry.attributes if usual else ():
        row = usual.get(attribute.name)
        odd = None if row is None else _odd(entry, attribute, row)
        if odd is not None and row is not None:
            why = _why(attribute, odd, row, name)
            return checked("size", "unlikely size", about, why, reason("action.measure_size"))
    return None


@lru_cache(maxsize=256)  # a file may name any kind
def _usual(kind: str | None) -> Mapping[str, Row]:
    """The rows of a kind, by the name of their attribute."""
    rows = ((key.partition("."), row) for key, row in tables.load("usual_sizes").items())
    return {name: row for (of, _, name), row in rows if of == kind}


def _odd(entry: Entry, attribute: Attribute, row: Row) -> float | None:
    """The size that lies outside the usual; None where none does, or somebody says that it was measured."""
    if attribute.ranged and entry.raw(f"{attribute.name}_basis") == MEASURED:
        return None
    return _outside(entry, attribute, row)


def _outside(entry: Entry, attribute: Attribute, row: Row) -> float | None:
    typed = entry.numbers(attribute.name) if attribute.type == "numbers" else (entry.number(attribute.name),)
    return next((each for each in typed if each is not None and not row["least"] <= each <= row["most"]), None)


def _why(attribute: Attribute, odd: float, row: Row, name: str) -> Reason:
    shown = Quantity(odd, attribute.unit)
    least, most = (Quantity(row[end], attribute.unit, 2) for end in ("least", "most"))
    what = Term(attribute.label)
    if not name:
        return reason("day.unlikely_fact", what=what, size=shown, least=least, most=most)
    return reason("day.unlikely_size", name=name, what=what, size=shown, least=least, most=most)
