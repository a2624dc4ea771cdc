"""A table whose rows have their shape as well-known text, as map programs and databases write it (OGC 06-103r4)."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence

import shapely
from shapely.errors import ShapelyError
from shapely.geometry import mapping
from shapely.geometry.base import BaseGeometry

from sitemap.geodesy.systems import carried
from sitemap.reasons import reason
from sitemap.site.grid import PLACE, CellNote
from sitemap.site.imports.gridded import system_named
from sitemap.site.imports.rows import Row, datum_note

_HEADS = ("wkt", "wkt geom", "wkt geometry", "geometry", "geom", "the geom", "shape wkt")
_TEXT = re.compile(r"(?:SRID=(\d+);)?\s*((?:MULTI)?(?:POINT|LINESTRING|POLYGON)\b.*)", re.IGNORECASE | re.DOTALL)
_WGS84 = "OGC:CRS84"


def column_of_shapes(heads: Sequence[str], rows: Sequence[Sequence[str]]) -> int | None:
    """Number of the column that holds shapes, or None."""
    for at, head in enumerate(heads):
        if " ".join(head.casefold().replace("_", " ").split()) in _HEADS:
            cells = [row[at] for row in rows if at < len(row) and row[at].strip()]
            if cells and all(_TEXT.match(cell.strip()) for cell in cells):
                return at
    return None


def shaped(
    lines: Sequence[int], texts: Sequence[str], said: Sequence[Mapping[str, str]], system: str | None
) -> tuple[list[Row], list[CellNote], bool]:
    """The rows with their shapes, what is to be said of them, and whether their coordinate system must be asked for.

    lines : of the table; texts : the shapes; said : the other cells
    system : that somebody named; a number within the text goes before it. Degrees without one are longitude, latitude
    """
    rows: list[Row] = []
    notes: dict[str, CellNote] = {}
    asks = False
    named = system_named(system) if system else None
    for line, text, cells in zip(lines, texts, said, strict=True):
        shape, code = _read(text)
        own = system_named(code) if code else named
        if shape is None:
            rows.append(Row(line, cells, None))
            continue
        if own is None and not _degrees(shape):
            asks = True
            rows.append(Row(line, cells, None, fault=reason("site.no_degrees")))
            continue
        found = carried([shape], own or _WGS84)
        if own is None:
            notes["system"] = CellNote(0, "", "", "no_system", reason("site.no_system"))
        elif found.off_m:
            notes[own] = datum_note(found.system, found.off_m)
        there = found.shapes[0]
        fault = reason("site.no_place_there") if there is None else None
        geometry = None if there is None else mapping(there)
        rows.append(Row(line, cells, geometry, off_m=found.off_m, fault=fault))
    if asks:
        notes["asks"] = CellNote(0, PLACE, "", "no_system", reason("site.which_system"))
    return rows, list(notes.values()), asks


def _read(text: str) -> tuple[BaseGeometry | None, str]:
    found = _TEXT.fullmatch(text.strip())
    if found is None:
        return None, ""
    try:
        shape = shapely.from_wkt(found[2])
    except ShapelyError:
        return None, ""
    return None if shape is None or shape.is_empty else shape, found[1] or ""


def _degrees(shape: BaseGeometry) -> bool:
    west, south, east, north = shape.bounds
    return bool(-180 <= west <= east <= 180 and -90 <= south <= north <= 90)
