"""A table in CSV, or pasted from a spreadsheet, as things that may be kept.

Headings are matched to the names and labels of attributes, with or without a unit; a column nobody knows goes into the
note of its row. A table without headings is read in the order of the grid. What is no table at all is words.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterator, Mapping, Sequence

from sitemap.errors import BadFile, BadValue
from sitemap.reasons import reason
from sitemap.site.cells import number_of
from sitemap.site.grid import NAME, PLACE, CellNote, columns, notes_of, with_cells
from sitemap.site.imports.brought import Brought, Candidate, kinds_for
from sitemap.site.imports.guess import kind_named, kind_of, source_of
from sitemap.site.imports.headings import BEARING, DISTANCE, DOUBLE, FROM, KIND, LAT, LON, PACES, Column, column_of
from sitemap.site.kinds import KINDS
from sitemap.site.model import Feature, Site

MOST_ROWS = 2000
MOST_COLUMNS = 200
_OF_PLACE = (PLACE, LAT, LON, BEARING, PACES, DISTANCE, FROM)

_MARKS = "\t;,|"  # that set columns apart
_SEPARATOR = re.compile(r"sep=([\t;,|])\r?\n", re.IGNORECASE)  # spreadsheets say so in a line before the headings
_DEGREES = re.compile(r"[-+−]?\d{1,3}[.,]\d{3,}")  # nobody measures a heap to a millimetre

Rows = list[tuple[int, list[str]]]  # line each begins on, and its cells


def read_table(name: str, text: str, site: Site, kind: str | None = None, unit: str | None = None) -> Brought:
    """What a table says.

    Parameters
    ----------
    name : of the file, for sentences
    text : the table, columns set apart by tabs, semicolons, commas or bars
    site : for its units, and for what cells refer to
    kind : of every row; where left out, told by a column "kind", else by the row's name, else a pile
    unit : "metric" or "us", of numbers that say none in cell or heading; the site's where left out

    Raises
    ------
    BadFile : too long, or nothing in it
    """
    rows = [(line, row) for line, row in _rows(name, text) if any(cell.strip() for cell in row)]
    if not rows:
        raise BadFile(reason("files.empty", name=name))
    usual = kind or "pile"
    heads = [cell.strip() for cell in rows[0][1]]
    known = [column_of(head, usual) for head in heads if head]
    headed = sum(column is not None for column in known) * 2 >= len(known)
    if not headed and not any(_is_number(cell) for _, row in rows for cell in row):
        return Brought(name, words=text.strip())
    notes: list[CellNote] = []
    if headed:
        rows = rows[1:]
        heads = _by_degrees(heads, rows)
    else:
        heads = [NAME, *(a.name for a in columns(usual)), PLACE][: max(len(row) for _, row in rows)]
        notes.append(CellNote(0, NAME, "", "no_headings", reason("site.no_headings")))
    candidates = [_candidate(number, dict(_cells(heads, row)), site, kind, unit) for number, row in rows]
    kinds = {candidate.feature.kind for candidate in candidates} or {usual}
    notes += _strange(heads, kinds)
    notes += notes_of(site, (c.feature for c in candidates), [c.row for c in candidates])
    return Brought(name, tuple(candidates), tuple(notes), headings=_taken_for(heads, kinds) if headed else ())


def _rows(name: str, text: str) -> Rows:
    said = _SEPARATOR.match(text)
    text, line = (text[said.end() :], 2) if said else (text, 1)
    first = next((each for each in text.splitlines() if each.strip()), "")
    mark = said[1] if said else max(_MARKS, key=first.count) if any(mark in first for mark in _MARKS) else "\t"
    rows: Rows = []
    before, reader = line - 1, csv.reader(io.StringIO(text, newline=""), delimiter=mark)
    for row in reader:
        rows.append((line, row))
        line = before + reader.line_num + 1
        if len(rows) > MOST_ROWS or len(row) > MOST_COLUMNS:
            raise BadFile(
                reason(
                    "files.too_many_rows",
                    rows=MOST_ROWS,
                    columns=MOST_COLUMNS,
                    row=len(rows),
                    count=len(row),
                    name=name,
                )
            )
    return rows


def _by_degrees(heads: list[str], rows: Rows) -> list[str]:
    """The headings; where one word means a side of a heap and a degree, the numbers below tell which: "Breite"."""
    columns = [number for number, head in enumerate(heads) if head.casefold() in DOUBLE]
    cells = [row[number].strip() for _, row in rows for number in columns if number < len(row)]
    if len(columns) != len(set(DOUBLE.values())) or not all(_DEGREES.fullmatch(cell) for cell in cells if cell):
        return heads
    return [DOUBLE[head.casefold()] if number in columns else head for number, head in enumerate(heads)]


def _is_number(cell: str) -> bool:
    try:
        number_of(cell)
    except BadValue:
        return False
    return True


def _cells(heads: Sequence[str], row: Sequence[str]) -> Iterator[tuple[str, str]]:
    for number, cell in enumerate(row):
        if cell.strip():
            yield (heads[number] if number < len(heads) and heads[number] else f"Column {number + 1}"), cell.strip()


def _candidate(row: int, cells: dict[str, str], site: Site, kind: str | None, unit: str | None) -> Candidate:
    kind, why = _kind(cells, kind)
    feature = Feature.of("", None, {"kind": kind})
    of_place: dict[str, str] = {}
    stray = []
    for head, text in cells.items():
        column = column_of(head, kind)
        if column is None:
            stray.append(f"{head}: {text}")
        elif column.key in _OF_PLACE:
            of_place[column.key] = f"{text} {column.unit}".strip()
        elif column.key != KIND:
            feature = with_cells(site, feature, {column.key: text}, column.unit or unit)
    place = _place(of_place, unit or site.units)
    note = "; ".join([str(feature.values["note"]), *stray] if feature.has("note") else stray)
    source = source_of(feature.name) if kind == "water_source" and not feature.has("source") else None
    more = {PLACE: place or None, "note": note or None, "source": source or feature.values.get("source")}
    return Candidate(row, feature.with_values(**more), kinds_for(None), why)


def _kind(cells: Mapping[str, str], kind: str | None) -> tuple[str, str]:
    if kind is not None:
        return kind, "chosen"
    by_key = {column.key: text for head, text in cells.items() if (column := column_of(head, "pile")) is not None}
    named = kind_named(by_key.get(KIND, ""))
    if named:
        return named, "the column of kinds"
    return kind_of(by_key.get(NAME, "")) or ("pile", "nothing else said: taken as a pile")


def _place(cells: Mapping[str, str], system: str) -> str:
    """The place in words: as one cell has it, by latitude and longitude, or by bearing and paces."""
    if PLACE in cells:
        return cells[PLACE]
    if LAT in cells or LON in cells:
        return f"{cells.get(LAT, '')}, {cells.get(LON, '')}"
    if BEARING not in cells:
        return ""
    unit = "" if any(c.isalpha() for c in cells.get(DISTANCE, "")) else {"us": " ft"}.get(system, " m")
    far = f"{cells[PACES]} paces" if PACES in cells else f"{cells[DISTANCE]}{unit}" if DISTANCE in cells else ""
    start = f" from {cells[FROM]}" if FROM in cells else ""
    return f"bearing {cells[BEARING]}, {far}{start}"


def _taken_for(heads: Sequence[str], kinds: set[str]) -> tuple[tuple[str, str], ...]:
    """What each heading was taken for: the label of an attribute, a word of ours, or nothing for the note."""
    found = []
    for head in filter(None, heads):
        meant = [(kind, column) for kind in sorted(kinds) if (column := column_of(head, kind)) is not None]
        kind, column = meant[0] if meant else ("", None)
        attribute = KINDS[kind].attribute(column.key) if column is not None else None
        found.append((head, "" if column is None else attribute.label if attribute else column.key))
    return tuple(found)


def _strange(heads: Sequence[str], kinds: set[str]) -> Iterator[CellNote]:
    for head in heads:
        meant: list[Column | None] = [column_of(head, kind) for kind in sorted(kinds)] if head else []
        if meant and not any(meant):
            yield CellNote(0, head, "", "unknown_column", reason("site.unknown_column", head=head))
