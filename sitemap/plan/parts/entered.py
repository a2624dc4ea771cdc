"""What somebody typed, in full: who, where in every form, permit, who was asked; the sheets tell some of it shorter."""

from __future__ import annotations

from collections.abc import Iterator

from sitemap.assessment import Assessment
from sitemap.geodesy.coordinates import formats
from sitemap.plan.model import Block, Facts, Section, Table
from sitemap.plan.parts.who_where import lon_lat
from sitemap.plan.say import day, kiln_mark
from sitemap.site.attributes import Attribute
from sitemap.site.equipment import EQUIPMENT, SECTIONS
from sitemap.site.model import Entry
from sitemap.units import text
from sitemap.wording import NOT_KNOWN


def entered(a: Assessment) -> Section:
    """Crew, permit and season as typed, and the place of each kiln in every form."""
    blocks: list[Block] = [Facts(tuple(_facts(a)))]
    heads = ("Kiln", "On the map", "Degrees and minutes", "Decimal degrees", "Deg, min, sec", "UTM", "MGRS")
    rows = []
    for spot in a.source.of_kind("kiln_spot"):
        at = lon_lat(spot)
        forms = formats(*at) if at is not None else {}
        keys = ("degrees_minutes", "decimal", "dms", "utm", "mgrs")
        rows.append((spot.name, kiln_mark(a, spot.id), *(forms.get(key, NOT_KNOWN) for key in keys)))
    if rows:
        blocks.append(Table("Places of the kilns, WGS 84", heads, tuple(rows), (14, 9, 22, 19, 22, 21, 17)))
    gear = tuple(_gear(a))
    if gear:
        blocks.append(Table("Gear", ("What", "Name", "As entered"), gear, (12, 24, 88)))
    return Section("entered", "As entered", tuple(blocks))


def _facts(a: Assessment) -> Iterator[tuple[str, str]]:
    for key in ("crew", "permit", "season"):
        for label, typed in _typed(a.source.section(key), SECTIONS[key].attributes, a.source.units):
            yield f"{SECTIONS[key].label}: {label}", typed


def _gear(a: Assessment) -> Iterator[tuple[str, str, str]]:
    for key, kind in EQUIPMENT.items():
        for item in a.source.equipment(key):
            typed = _typed(item, kind.attributes, a.source.units)
            yield kind.label, item.name, "; ".join(f"{label} {words}" for label, words in typed)


def _typed(entry: Entry, attributes: tuple[Attribute, ...], units: str) -> Iterator[tuple[str, str]]:
    """Label of each attribute that was entered, and what was entered, in the units of the site."""
    for attribute in attributes:
        name, typed = attribute.name, None
        if attribute.type == "date":
            date = entry.date(name)
            typed = None if date is None else day(date)
        elif attribute.type == "choice":
            chosen = entry.choice(name)
            typed = None if chosen is None else attribute.choice_label(chosen)
        elif attribute.type in ("text", "reference") and name != "name":
            typed = entry.text(name)
        elif attribute.type in ("number", "integer"):
            number = entry.number(name)
            typed = None if number is None else text(number, attribute.unit, units, 4)
        elif attribute.type == "numbers":
            typed = ", ".join(text(number, attribute.unit, units, 4) for number in entry.numbers(name))
        elif attribute.type == "flag":
            typed = {True: "yes", False: "no", None: None}[entry.flag(name)]
        if typed:
            yield attribute.label.lower(), typed
