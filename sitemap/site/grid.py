"""The grid: features of one kind as rows of text, and rows of text as features. Cells are judged, and all are kept."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from sitemap.errors import BadValue
from sitemap.reasons import Quantity, Reason, Term, metres, reason
from sitemap.site.attributes import Attribute
from sitemap.site.cells import cell_text, kept_cell, read_cell
from sitemap.site.kinds import HEAPS, KINDS
from sitemap.site.model import Feature, Site
from sitemap.telling import marked
from sitemap.wording import with_unit

NAME = "name"
PLACE = "place"  # a place as written that is not on the map yet; the word stays in the file until it can be read
HIGHEST_USUAL_M = 6.0  # [m] slash heaps are lower (C): a higher one is asked about
LEAST_USUAL_SHARE = 0.01  # a lower one is asked about: 0.2 typed where % are meant reads as 0.2 % (ours, C)
FOOT_M = 0.3048  # [m], exact (international foot, NIST SP 811, S)
_CELL_TYPES = ("number", "integer", "choice", "flag", "text", "date", "reference", "references", "numbers")
_LISTED = ("pieces",)  # records that are typed as a list of their first number
_SIZES = ("length_m", "width_m", "height_m", "length_b_m", "width_b_m", "height_b_m")


@dataclass(frozen=True)
class CellNote:
    """What is to be said at one cell.

    row : from 1; column : key of the column, "name" and "place" among them
    about : id of the feature, or its name while it has none; what : stable word; text : what is told of it
    """

    row: int
    column: str
    about: str
    what: str
    text: Reason


def columns(kind: str, more: bool = False) -> tuple[Attribute, ...]:
    """The attributes that stand in the grid of a kind, the rarer ones only with `more`."""
    return tuple(a for a in KINDS[kind].attributes if typable(a) and (a.main or more))


def typable(attribute: Attribute) -> bool:
    """Whether what an attribute says fits in one cell."""
    return attribute.type in _CELL_TYPES or attribute.name in _LISTED


def headings(kind: str, system: str, more: bool = False) -> dict[str, str]:
    """Column key → what stands over it, with the unit of the system: number first, place last."""
    shown = {a.name: heading(a, system) for a in columns(kind, more)}
    return {NAME: "Number or name", **shown, PLACE: "Place"}


def heading(attribute: Attribute, system: str) -> str:
    """The label with its unit: "Height (ft)"."""
    return with_unit(attribute.label, attribute.unit, system)


def row_of(site: Site, feature: Feature, keys: Iterable[str]) -> dict[str, str]:
    """The cells of a feature, in the units of the site; its place as far as it still is text."""
    cells = {}
    for key in keys:
        raw = feature.values.get(key)
        attribute = _attribute(feature, key)
        if attribute is None:
            cells[key] = "" if raw is None else str(raw)
        else:
            cells[key] = cell_text(attribute, raw, site.units, names_of(site, attribute))
    return cells


def with_cells(site: Site, feature: Feature, cells: Mapping[str, str | None], unit: str | None = None) -> Feature:
    """The feature with some cells typed anew. Text that cannot be read is kept as it stands.

    cells : key → text; a blank one takes the value away
    unit : of numbers that say none; the units of the site where left out
    """
    changes: dict[str, object] = {}
    same_units = unit in (None, site.units)
    for key, typed in cells.items():
        text, attribute = typed or "", _attribute(feature, key)
        if attribute is None:
            changes[key] = text.strip() or None
        elif not text or not same_units or text != row_of(site, feature, (key,))[key]:  # what stands is not rounded
            changes[key] = kept_cell(attribute, text, unit or site.units, names_of(site, attribute))
    return feature.with_values(**changes)


def is_blank(feature: Feature) -> bool:
    """Whether nothing is said of a feature: neither a value nor a place."""
    return feature.geometry is None and all(v in (None, "") for key, v in feature.values.items() if key != "kind")


def names_of(site: Site, attribute: Attribute) -> dict[str, str]:
    """Id → name of what an attribute may refer to; empty where it refers to nothing."""
    if attribute.refers_to == "features":
        return {feature.id: feature.name for feature in site.features}
    return {item.id: item.name for item in site.equipment(attribute.refers_to)} if attribute.refers_to else {}


def blanks_text(feature: Feature, system: str) -> str:
    """What the blank cells of a row are taken as: "shape: a dome · wood: mixed wood, 450 kg/m³"."""
    schema = feature.kind_schema
    if schema is None:
        return ""
    main = (a for a in schema.attributes if a.main and a.blank and not feature.has(a.name))
    return " · ".join(f"{a.label.split(',')[0].lower()}: {marked(a.blank, system)}" for a in main)


def notes_of(site: Site, features: Iterable[Feature], numbers: Iterable[int] | None = None) -> tuple[CellNote, ...]:
    """What is to be said at the cells of some rows, in their order; nothing is changed.

    numbers : of the rows where they do not count from 1: the lines of a file

    Values that cannot be used, heaps higher than usual or higher than wide, and numbers that stand twice.
    """
    each = tuple(features)
    rows = dict(zip(numbers or range(1, len(each) + 1), each, strict=True))
    found = [note for row, feature in rows.items() for note in _value_notes(site, row, feature)]
    found += _twice(rows)
    return tuple(sorted(found, key=lambda note: note.row))


def from_feet(feature: Feature) -> Feature:
    """The sizes of a heap that were typed in feet in a column of metres."""
    typed = {key: feature.number(key) for key in _SIZES if feature.kind in HEAPS and _attribute(feature, key)}
    return feature.with_values(**{key: round(v * FOOT_M, 4) for key, v in typed.items() if v is not None})


def _attribute(feature: Feature, key: str) -> Attribute | None:
    return feature.kind_schema.attribute(key) if feature.kind_schema else None


def _about(feature: Feature) -> str:
    return feature.id or feature.name


def _value_notes(site: Site, row: int, feature: Feature) -> Iterator[CellNote]:
    for attribute in feature.attributes:
        raw = feature.values.get(attribute.name)
        fault = None if raw is None else attribute.fault(raw)
        if fault:
            told = _unread(site, attribute, raw) or reason("site.cell_fault", what=Term(attribute.label), why=fault)
            yield CellNote(row, attribute.name, _about(feature), "bad_value", reason("site.counts_as_blank", why=told))
        share = feature.number(attribute.name) if attribute.unit == "fraction" else None
        if share is not None and 0 < share < LEAST_USUAL_SHARE:
            now, then = Quantity(share, "fraction"), Quantity(100 * share, "fraction")
            low = reason("site.very_low", what=Term(attribute.label), now=now, then=then)
            yield CellNote(row, attribute.name, _about(feature), "very_low", low)
    if feature.kind not in HEAPS:
        return
    height, width = feature.number("height_m"), feature.number("width_m")
    if height is not None and height > HIGHEST_USUAL_M:
        high = reason("site.very_high", now=metres(height), feet=metres(height * FOOT_M))
        yield CellNote(row, "height_m", _about(feature), "very_high", high)
    if height is not None and width is not None and height > width:
        swapped = reason("site.higher_than_wide", high=metres(height), wide=metres(width))
        yield CellNote(row, "height_m", _about(feature), "higher_than_wide", swapped)


def _unread(site: Site, attribute: Attribute, raw: object) -> Reason | None:
    """Why a text kept in place of a value could not be read."""
    if isinstance(raw, str):
        try:
            read_cell(attribute, raw, site.units, names_of(site, attribute))
        except BadValue as bad:
            return bad.reason
    return None


def _twice(rows: Mapping[int, Feature]) -> Iterator[CellNote]:
    by_name: dict[tuple[str, str], list[int]] = defaultdict(list)
    for row, feature in rows.items():
        said = str(feature.values.get(NAME) or "").strip().casefold()
        if said:
            by_name[feature.kind, said].append(row)
    for numbers in by_name.values():
        for row in numbers[1:]:
            name, others = str(rows[row].values[NAME]), tuple(str(other) for other in numbers if other != row)
            twice = reason("site.name_twice", name=name, others=others)
            yield CellNote(row, NAME, _about(rows[row]), "twice", twice)
