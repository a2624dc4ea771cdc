"""One row of a map file, whatever its format, as a thing that may be kept.

A property called like an attribute of the kind, or headed so in a language we know, is taken for it; what else is said
goes into the note. A shape of several parts becomes several things. Heights are not taken.
"""

from __future__ import annotations

import html
import math
import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from shapely.geometry.base import BaseGeometry

from sitemap.errors import BadFile
from sitemap.reasons import Quantity, Reason, Term, reason
from sitemap.site.cells import STORED
from sitemap.site.grid import NAME, PLACE, CellNote, with_cells
from sitemap.site.imports.brought import Brought, Candidate, kinds_for
from sitemap.site.imports.exported import entered
from sitemap.site.imports.guess import kind_named, kind_of, source_of
from sitemap.site.imports.headings import KIND, column_of
from sitemap.site.imports.thinning import THINNED_M, thinned
from sitemap.site.kinds import AREA, KINDS, LINE, POINT
from sitemap.site.model import Feature, Site
from sitemap.site.shapes import shape_fault

MOST_THINGS = 2000
_NAMES = ("name", "label", "title", "no", "nr", "number", "id")
_BY_SHAPE = {
    POINT: ("pile", "nothing in its name: taken as a pile"),
    LINE: ("track", "a line"),
    AREA: ("logged_area", "an outline"),
}
_DEPTHS = {POINT: 0, LINE: 1, AREA: 2}
_RANGES = ("_low", "_high", "_basis")
_DEEPEST = 20  # lists in one another of one property
_LONGEST = 20_000  # characters of one property: ten times what a cell holds
_CUT_NAME = 10  # letters a column of a Shapefile may have (ESRI, Shapefile Technical Description, July 1998)
OFF_SAID_M = 5.0  # [m] a place is taken to be good to this at best where nothing is said
_TAGS = re.compile(r"<[^<>]{1,2000}>")


@dataclass(frozen=True)
class Row:
    """One feature of a map file.

    number : in the file, from 1; said : its properties
    geometry : GeoJSON in WGS 84, or None; off_m : how far the change of datum may put it off [m], NaN for unknown
    id : by which its file knows it again; layer : name of the layer it stands in
    fault : why it has no place, where that is known
    """

    number: int
    said: Mapping[str, Any]
    geometry: Any
    id: str = ""
    layer: str = ""
    off_m: float = 0.0
    fault: Reason | None = None


def things_of(name: str, rows: Iterable[Row], site: Site, kind: str | None, unit: str | None) -> Brought:
    """What may be kept of the rows of a map file; a row without a usable place is named, with its reason.

    kind : of every row whose shape it may have; unit : "metric" or "us", of numbers that say none

    Raises BadFile where there are too many, or none has a place.
    """
    made: list[Candidate] = []
    notes: list[CellNote] = []
    taken_for: dict[str, str] = {}
    count, placed = 0, False
    for row in rows:
        said = {str(key): value for key, value in entered(row.said).items() if value is not None}
        named = _name(said)
        strange = [key for key, value in said.items() if not _sound(value)]
        if strange:
            why = reason("site.value_no_file_holds", name=named or str(row.number), keys=tuple(strange))
            notes.append(CellNote(row.number, strange[0], named, "bad_value", why))
            said = {key: value for key, value in said.items() if key not in strange}
        found = tuple(parts_of(row.geometry))
        placed |= bool(found or row.fault)
        for part, shape in enumerate(found):
            count += 1
            fault = fault_of(shape)
            if fault is None:
                reading = _Reading(row, said, named, site, kind, unit)
                made.append(reading.candidate(shape, "" if len(found) == 1 else f"#{part + 1}"))
                taken_for |= reading.taken_for
            else:
                notes.append(CellNote(row.number, PLACE, named, "bad_place", _left_out(named, row.number, fault)))
        if not found:
            fault = row.fault or reason("site.no_shape")
            notes.append(CellNote(row.number, PLACE, named, "bad_place", _left_out(named, row.number, fault)))
        if count > MOST_THINGS:
            raise BadFile(reason("files.too_many", most=MOST_THINGS, name=name))
    if not placed:
        raise BadFile(reason("files.no_shape", name=name))
    return Brought(name, tuple(made), tuple(notes), headings=tuple(taken_for.items()))


def parts_of(geometry: Any) -> Iterator[dict[str, Any]]:
    """The points, lines and outlines of a GeoJSON geometry, without heights, whatever stands in it."""
    if not isinstance(geometry, Mapping):
        return
    kind = str(geometry.get("type"))
    if kind == "GeometryCollection":
        parts = geometry.get("geometries")
        for part in parts if isinstance(parts, list | tuple) else ():
            yield from parts_of(part)
    elif kind.startswith("Multi") and isinstance(geometry.get("coordinates"), list | tuple):
        for part in geometry["coordinates"]:
            yield from parts_of({"type": kind.removeprefix("Multi"), "coordinates": part})
    elif kind in _DEPTHS:
        yield {"type": kind, "coordinates": _flat(geometry.get("coordinates"), _DEPTHS[kind])}


def fault_of(shape: Mapping[str, Any]) -> Reason | None:
    """Why a shape has no place on Earth, or None. An outline that crosses itself has one: it is mended."""
    coordinates, depth = shape["coordinates"], _DEPTHS[shape["type"]]
    if not _is_placed(coordinates, depth):
        return reason("site.unusable_corners")
    fault = shape_fault(shape) if depth else None
    if fault is not None and fault.code in ("site.unusable_corners", "site.empty_shape"):
        return fault
    if _on_earth(coordinates, depth):
        return None
    return reason("site.turned_degrees" if _on_earth(coordinates, depth, turned=True) else "site.beyond_degrees")


class _Reading:
    """One row read as a thing of a kind."""

    def __init__(self, row: Row, said: dict[str, Any], name: str, site: Site, kind: str | None, unit: str | None):
        self.row, self.said, self.name, self.site, self.kind, self.unit = row, said, name, site, kind, unit
        self.taken_for: dict[str, str] = {}

    def candidate(self, shape: dict[str, Any], part: str) -> Candidate:
        fits = kinds_for(shape["type"])
        kind, why = self._kind(shape["type"], fits)
        feature, other = self._values(Feature.of("", None, {"kind": kind, NAME: self.name or None}), kind)
        if kind == "water_source" and not feature.has("source"):
            feature = feature.with_values(source=source_of(self.name))
        note = "; ".join([*([str(feature.values["note"])] if feature.has("note") else []), *other])
        feature = feature.with_values(note=note or None)
        if OFF_SAID_M < self.row.off_m < math.inf and not feature.has("position_error_m"):
            feature = feature.with_values(position_error_m=self.row.off_m)
        thin, before = thinned(shape)
        if before:
            count = f"{before:,} points thinned to {_corners(thin):,}"
            why += f"; {count}, nowhere {THINNED_M} m off"
        own = self.row.id and f"{self.row.layer}/{self.row.id}{part}"
        return Candidate(self.row.number, feature.with_geometry(thin), fits, why, own)

    def _kind(self, shape: str, fits: tuple[str, ...]) -> tuple[str, str]:
        if self.kind in fits:
            return str(self.kind), "chosen"
        said = next((value for key, value in self.said.items() if _means(key, KIND)), None)
        named = kind_named(str(said)) if said is not None else None
        guesses = (
            (str(said), "the property kind") if said in KINDS else (named, "the property kind") if named else None,
            kind_of(self.name),
            (found[0], f"the layer {self.row.layer}") if (found := kind_of(self.row.layer)) else None,
        )
        return next((guess for guess in guesses if guess and guess[0] in fits), _BY_SHAPE[shape])

    def _values(self, feature: Feature, kind: str) -> tuple[Feature, list[str]]:
        """The properties that are attributes of the kind, taken; the others as text for the note."""
        known = {attribute.name for attribute in KINDS[kind].attributes}
        other: list[str] = []
        exact: dict[str, Any] = {}
        read: dict[str, tuple[str, str | None]] = {}
        for key, value in self.said.items():
            full = _uncut(key, known)
            if full in known and isinstance(value, str):  # a number too: some formats have words only
                read[full] = value, STORED
                continue
            if full in known or full.endswith(_RANGES):
                exact[full] = value
                continue
            column = column_of(key, kind)
            if column is not None and column.key in known and column.key not in (self.said.keys() | read.keys()):
                if value != "" and isinstance(value, str | int | float):
                    read[column.key] = _cell(value), column.unit or self.unit
                    self.taken_for[key] = KINDS[kind].attribute(column.key).label  # type: ignore[union-attr]
            elif _worth(key, value, self.name):
                other.append(f"{key}: {_plain(str(value))}")
                self.taken_for.setdefault(key, "")
        for key, (text, unit) in read.items():
            feature = with_cells(self.site, feature, {key: text}, unit)
        return feature.with_values(**exact), other


def _left_out(name: str, number: int, why: Reason) -> Reason:
    return reason("site.row_left_out", name=name or str(number), why=why)


def datum_note(system: str, off_m: float) -> CellNote:
    """What is to be said of places carried over from another datum."""
    unknown = not math.isfinite(off_m)
    off: Any = Term("not known") if unknown else Quantity(off_m, "m", 2, "up")
    return CellNote(0, PLACE, "", "datum", reason("site.other_datum", system=system, off=off))


def no_degrees(shapes: Iterable[BaseGeometry | None]) -> bool:
    """Whether no number of any shape can be degrees, in whichever order they stand."""
    bounds = [shape.bounds for shape in shapes if shape is not None]
    return bool(bounds) and all(max(map(abs, each)) > 360 for each in bounds)


def asked(system: str | None) -> CellNote:
    """What is said where places lack their coordinate system; system : what somebody named, which names none."""
    why = reason("site.strange_grid", system=system) if system else reason("site.which_system")
    return CellNote(0, PLACE, "", "asks", why)


def _name(said: Mapping[str, Any]) -> str:
    by_word = {key.casefold(): value for key, value in reversed(list(said.items()))}
    found = next((by_word[word] for word in _NAMES if by_word.get(word) not in (None, "")), None)
    if found is None:
        found = next((value for key, value in said.items() if _means(key, NAME) and value != ""), "")
    return _plain(str(found)) if isinstance(found, str | int | float) and _sound(found) else ""


def _means(heading: str, key: str) -> bool:
    column = column_of(heading, "pile")
    return column is not None and column.key == key


def _uncut(key: str, known: set[str]) -> str:
    """The attribute a column of a Shapefile stands for, whose name was cut short there."""
    if key in known or len(key) != _CUT_NAME:
        return key
    begun = [name for name in known if name.startswith(key)]
    return begun[0] if len(begun) == 1 else key


def _cell(value: str | float) -> str:
    return ("no", "yes")[value] if isinstance(value, bool) else _plain(str(value))


def _worth(key: str, value: Any, name: str) -> bool:
    if key.casefold() == KIND and (value in KINDS or kind_named(str(value)) is not None):
        return False
    return isinstance(value, str | int | float | list | dict) and str(value) not in ("", name, "[]", "{}")


def _plain(text: str) -> str:
    """Words without the marks of a web page round them, which map programs write into descriptions."""
    return " ".join(html.unescape(_TAGS.sub(" ", text)).split()) if "<" in text else text.strip()


def _sound(value: Any, depth: int = 0) -> bool:
    """Whether a site file can hold a value: finite numbers, whole characters, not too long and not too deep."""
    if isinstance(value, str):
        whole = value.isascii() or not any("\ud800" <= character <= "\udfff" for character in value)
        return whole and len(value) <= _LONGEST
    if isinstance(value, dict | list | tuple):
        inner = [*value.keys(), *value.values()] if isinstance(value, dict) else value
        return depth < _DEEPEST and all(_sound(each, depth + 1) for each in inner)
    if isinstance(value, int | float):
        try:
            return math.isfinite(float(value))
        except OverflowError:
            return False
    return value is None


def _corners(shape: Mapping[str, Any]) -> int:
    return len(shape["coordinates"]) if shape["type"] == LINE else sum(map(len, shape["coordinates"]))


def _flat(coordinates: Any, depth: int) -> Any:
    """Coordinates without heights; None where they are no coordinates of that depth."""
    if not isinstance(coordinates, list | tuple) or not coordinates:
        return None
    return list(coordinates[:2]) if depth == 0 else [_flat(each, depth - 1) for each in coordinates]


def _is_placed(coordinates: Any, depth: int) -> bool:
    if not isinstance(coordinates, list):
        return False
    if depth:
        return len(coordinates) > (depth == 1) and all(_is_placed(each, depth - 1) for each in coordinates)
    return len(coordinates) == 2 and all(
        isinstance(each, int | float) and not isinstance(each, bool) and _sound(each) for each in coordinates
    )


def _on_earth(coordinates: Any, depth: int, turned: bool = False) -> bool:
    if depth:
        return all(_on_earth(each, depth - 1, turned) for each in coordinates)
    lon, lat = reversed(coordinates) if turned else coordinates
    return bool(abs(lon) <= 180 and abs(lat) <= 90)
