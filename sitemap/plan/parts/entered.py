"""What somebody typed, in full: who, where in every form, permit, who was asked; the sheets tell some of it shorter."""

from __future__ import annotations

from collections.abc import Iterator

from sitemap.assessment import Assessment
from sitemap.geodesy.coordinates import formats
from sitemap.plan.model import Block, Facts, Section, Table
from sitemap.plan.parts.who_where import grid_place, lon_lat
from sitemap.plan.phrases import Words
from sitemap.plan.say import kiln_mark
from sitemap.reasons import Term
from sitemap.site.attributes import Attribute
from sitemap.site.equipment import EQUIPMENT, SECTIONS
from sitemap.site.model import Entry
from sitemap.units import text


def entered(a: Assessment, words: Words) -> Section:
    """Crew, permit and season as typed, and the place of each kiln in every form."""
    blocks: list[Block] = [Facts(tuple(_facts(a, words)))]
    heads = words.row("Kiln", "On the map", "Degrees and minutes", "Decimal degrees", "Deg, min, sec", "UTM", "MGRS")
    rows = []
    for spot in a.source.of_kind("kiln_spot"):
        at = lon_lat(spot)
        forms = {**formats(*at), "utm": grid_place(words, *at)} if at is not None else {}
        keys = ("degrees_minutes", "decimal", "dms", "utm", "mgrs")
        rows.append((spot.name, kiln_mark(a, spot.id), *(forms.get(key, words("shared.not_known")) for key in keys)))
    if rows:
        blocks.append(Table(words.own("Places of the kilns, WGS 84"), heads, tuple(rows), (14, 9, 22, 19, 22, 21, 17)))
    gear = tuple(_gear(a, words))
    if gear:
        blocks.append(Table(words.own("Gear"), words.row("What", "Name", "As entered"), gear, (12, 24, 88)))
    return Section("entered", words.own("As entered"), tuple(blocks))


def _facts(a: Assessment, words: Words) -> Iterator[tuple[str, str]]:
    yield words.own("Site"), a.site.name  # in full: over and under the sides it may be cut
    for key in ("crew", "permit", "season"):
        for label, told in typed(a.source.section(key), SECTIONS[key].attributes, words):
            yield f"{words.shown(Term(SECTIONS[key].label))}: {label}", told


def _gear(a: Assessment, words: Words) -> Iterator[tuple[str, str, str]]:
    for key, kind in EQUIPMENT.items():
        for item in a.source.equipment(key):
            entered = typed(item, kind.attributes, words)
            yield words.shown(Term(kind.label)), item.name, "; ".join(f"{label} {told}" for label, told in entered)


def typed(entry: Entry, attributes: tuple[Attribute, ...], words: Words) -> Iterator[tuple[str, str]]:
    """Label of each attribute that was entered, and what was entered, in the units of the site."""
    for attribute in attributes:
        name, units, told = attribute.name, words.units, None
        if attribute.type == "date":
            date = entry.date(name)
            told = None if date is None else words.day(date)
        elif attribute.type == "choice":
            chosen = entry.choice(name)
            told = None if chosen is None else words.shown(Term(attribute.choice_label(chosen)))
        elif attribute.type in ("text", "reference") and name != "name":
            told = entry.text(name)
        elif attribute.type in ("number", "integer"):
            number = entry.number(name)
            told = None if number is None else words.figure(text(number, attribute.unit, units, 4))
        elif attribute.type == "numbers":
            told = ", ".join(text(number, attribute.unit, units, 4) for number in entry.numbers(name))
        elif attribute.type == "flag":
            told = {True: words.own("yes"), False: words.own("no"), None: None}[entry.flag(name)]
        if told:
            yield words.shown(Term(attribute.label)).lower(), told
