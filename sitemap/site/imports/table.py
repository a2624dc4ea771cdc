"""A table in CSV, or pasted from a spreadsheet, as things that may be kept.

Headings are matched to the names and labels of attributes, with or without a unit; a column nobody knows goes into the
note of its row. A table without headings is read in the order of the grid. What is no table at all is words.
"""

from __future__ import annotations

import csv
import io
import math
import re
from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from itertools import islice

from sitemap.errors import BadFile, BadValue
from sitemap.reasons import reason
from sitemap.site.cells import number_of
from sitemap.site.grid import NAME, PLACE, CellNote, columns, notes_of, with_cells
from sitemap.site.imports.brought import Brought, Candidate, kinds_for
from sitemap.site.imports.degrees import Degrees, degrees_of
from sitemap.site.imports.dialect import thousands_of
from sitemap.site.imports.exported import Rows, entered_rows
from sitemap.site.imports.gridded import Gridded, Placed, gridded_of
from sitemap.site.imports.guess import kind_named, kind_of, source_of
from sitemap.site.imports.headings import (
    BEARING,
    DISTANCE,
    DOUBLE,
    FROM,
    KIND,
    LAT,
    LON,
    PACES,
    TURNED,
    Column,
    column_of,
)
from sitemap.site.imports.pairs import latitude_first
from sitemap.site.imports.rows import OFF_SAID_M, datum_note, things_of
from sitemap.site.imports.sums import is_sum
from sitemap.site.imports.well_known import column_of_shapes, shaped
from sitemap.site.kinds import KINDS
from sitemap.site.model import Feature, Site

MOST_ROWS = 2000
MOST_COLUMNS = 200
_TITLES = 5  # lines at most that may stand above the headings
_OF_PLACE = (PLACE, LAT, LON, BEARING, PACES, DISTANCE, FROM)

_END = "\x03"  # end of text
_MARKS = "\t;,|"  # that set columns apart
_SEPARATOR = re.compile(r"sep=([\t;,|])\r?\n", re.IGNORECASE)  # spreadsheets say so in a line before the headings
_DECIMAL_COMMA = re.compile(r"(?<=\d),(?=\d)")  # in a cell of one number it can be nothing else
_DEGREES = re.compile(r"[-+−]?\d{1,3}[.,]\d{3,}")  # nobody measures a heap to a millimetre


def read_table(
    name: str, text: str, site: Site, kind: str | None = None, unit: str | None = None, system: str | None = None
) -> Brought:
    """What a table says.

    Parameters
    ----------
    name : of the file, for sentences
    text : the table, columns set apart by tabs, semicolons, commas or bars
    site : for its units, and for what cells refer to
    kind : of every row; where left out, told by a column "kind", else by the row's name, else a pile
    unit : "metric" or "us", of numbers that say none in cell or heading; the site's where left out
    system : coordinate system of eastings and northings that say none

    Raises
    ------
    BadFile : too long, or nothing in it
    """
    rows = [(line, row) for line, row in _rows(name, text) if any(cell.strip() for cell in row)]
    if not rows:
        raise BadFile(reason("files.empty", name=name))
    usual = kind or "pile"
    title = [" ".join(filter(None, map(str.strip, row))) for _, row in rows[: _above(rows, usual)]]
    rows = entered_rows(rows[len(title) :])
    heads = [cell.strip() for cell in rows[0][1]]
    headed = _headed(heads, usual)
    if not headed and not any(_is_number(cell) for _, row in rows for cell in row):
        return Brought(name, words=text.strip())
    if headed and len(rows) == 1:
        raise BadFile(reason("files.no_rows", name=name))
    notes: list[CellNote] = [CellNote(0, "", "", "title", reason("site.title_line", text=text)) for text in title]
    at = column_of_shapes(heads, [row for _, row in rows[1:]]) if headed else None
    if at is not None:
        return _shaped(name, rows, at, site, (kind, unit, system), notes)
    grid = _of_place(heads, rows[1:]) if headed else None
    if headed:
        heads, rows = _with_units(heads, rows[1:], usual)
        heads = _one_each(_by_degrees(heads, rows), rows, usual, grid, notes)
        rows = _in_thousands(heads, _things(heads, rows, usual, notes), usual, notes)
    else:
        heads = [NAME, *(a.name for a in columns(usual)), PLACE][: max(len(row) for _, row in rows)]
        notes.append(CellNote(0, NAME, "", "no_headings", reason("site.no_headings")))
    candidates: list[Candidate] = []
    carried_from: dict[str, float] = {}
    waiting = set()
    for number, row in rows:
        cells: dict[str, str] = dict(_cells(heads, row))
        place: Placed | str = ""
        if grid is not None:
            cells, place, lacks = _off_the_grid(number, row, heads, grid, system, notes)
            waiting |= {number} if lacks else set()
        candidates.append(_candidate(number, cells, site, kind, unit, place))
        if isinstance(place, Placed):
            carried_from[place.system] = place.off_m
    notes += [datum_note(each, off_m) for each, off_m in carried_from.items() if off_m or math.isnan(off_m)]
    if waiting:
        why = reason("site.strange_grid", system=system) if system else reason("site.which_grid")
        notes.append(CellNote(0, PLACE, "", "no_system", why))
    kinds = {candidate.feature.kind for candidate in candidates} or {usual}
    told = {note.column for note in notes if note.what == "column_twice"}
    notes += _strange(
        [head for at, head in enumerate(heads) if head not in told and (grid is None or at not in grid.columns)], kinds
    )
    notes += notes_of(site, (c.feature for c in candidates), [c.row for c in candidates])
    headings = _taken_for(heads, kinds, grid) if headed else ()
    return Brought(
        name,
        tuple(candidates),
        tuple(notes),
        headings=headings,
        asks_system=bool(waiting),
        waiting=frozenset(waiting),
    )


def _shaped(
    name: str,
    rows: Rows,
    at: int,
    site: Site,
    chosen: tuple[str | None, str | None, str | None],
    notes: list[CellNote],
) -> Brought:
    """A table with shapes in its column `at`; chosen : kind, unit and system."""
    heads = [cell.strip() for cell in rows[0][1]]
    said = [{key: text for key, text in _cells(heads, row) if key != heads[at]} for _, row in rows[1:]]
    texts = [row[at] if at < len(row) else "" for _, row in rows[1:]]
    made, more, asks = shaped([line for line, _ in rows[1:]], texts, said, chosen[2])
    brought = things_of(name, made, site, *chosen[:2])
    return replace(brought, notes=(*notes, *more, *brought.notes), asks_system=asks)


def _things(heads: Sequence[str], rows: Rows, kind: str, notes: list[CellNote]) -> Rows:
    """The rows without those that sum up others, which are told: a total is no heap."""
    named = next(iter(_columns(heads, kind, (NAME,))), 0)
    places = _places(heads, rows, kind)
    kept: Rows = []
    for line, row in rows:
        if is_sum(row, [each for _, each in kept], named, places):
            name = row[named].strip() if named < len(row) else ""
            notes.append(CellNote(line, NAME, name, "a_sum", reason("site.row_sums_up", name=name or str(line))))
        else:
            kept.append((line, row))
    return kept


def _in_thousands(heads: Sequence[str], rows: Rows, kind: str, notes: list[CellNote]) -> Rows:
    """The rows with the points that part thousands taken out, which is told at each."""
    alone = (*_columns(heads, kind, (NAME, KIND, "note")), *_places(heads, rows, kind))
    made, read = thousands_of(rows, alone)
    for line, at, said, taken in read:
        head = heads[at] if at < len(heads) else ""
        notes.append(CellNote(line, head, said, "thousands", reason("site.point_of_thousands", text=said, taken=taken)))
    return made


def _columns(heads: Sequence[str], kind: str, keys: Sequence[str]) -> list[int]:
    """Numbers of the columns that mean one of the keys."""
    meant = [column_of(head, kind) for head in heads]
    return [at for at, column in enumerate(meant) if column is not None and column.key in keys]


def _places(heads: Sequence[str], rows: Rows, kind: str) -> list[int]:
    """Numbers of all columns that say a place."""
    grid = _of_place(heads, rows)
    return [*_columns(heads, kind, _OF_PLACE), *(() if grid is None else grid.columns)]


def _one_each(
    heads: list[str], rows: Rows, kind: str, grid: Gridded | Degrees | None, notes: list[CellNote]
) -> list[str]:
    """The headings; where several say the same, one counts and the others are told and go into the note.

    Of names it is the first that is not all numbers, an id only where no other is; of others the first.
    """
    by_key: dict[str, list[int]] = defaultdict(list)
    for at, head in enumerate(heads):
        if grid is None or at not in grid.columns:
            column = column_of(head, kind)
            by_key[head if column is None else column.key].append(at)
    made = list(heads)
    for key, same in by_key.items():
        worded = (at for at in same if any(at < len(row) and re.search(r"[^\W\d_]", row[at]) for _, row in rows))
        first = min(worded, key=lambda at: heads[at].casefold() == "id", default=same[0]) if key == NAME else same[0]
        for at in same if key else ():
            if at != first:
                made[at] = f"{heads[at]} ({at + 1})"
                twice = reason("site.column_twice", head=heads[at], number=at + 1, other=heads[first], first=first + 1)
                notes.append(CellNote(0, made[at], "", "column_twice", twice))
    return made


def _with_units(heads: list[str], rows: Rows, kind: str) -> tuple[list[str], Rows]:
    """The headings with the units of the line below them, where that says units alone, and the rows below."""
    below = [cell.strip() for cell in rows[0][1]] if rows else []
    said = {at: cell for at, cell in enumerate(below[: len(heads)]) if cell.strip("-– ")}
    with_it = {at: f"{heads[at]} ({cell.strip('()[] ')})" for at, cell in said.items()}
    if not said or any(column_of(each, kind) is None for each in with_it.values()):
        return heads, rows
    return [with_it.get(at, head) for at, head in enumerate(heads)], rows[1:]


def _of_place(heads: Sequence[str], rows: Rows | tuple[()]) -> Gridded | Degrees | None:
    return degrees_of(heads, [row for _, row in rows]) or gridded_of(heads)


def _headed(heads: Sequence[str], kind: str) -> bool:
    """Whether at least half of the cells are headings somebody knows."""
    numbers = any(_is_number(head) for head in heads if head)  # then E and N are halves of a place, no headings
    grid = None if numbers else _of_place(heads, ())
    known = [column_of(head, kind) for head in heads if head]
    count = sum(column is not None for column in known) + (len(grid.columns) if grid is not None else 0)
    return count * 2 >= len(known)


def _above(rows: Rows, kind: str) -> int:
    """So many lines stand above the headings: a title, who surveyed, when; none where no line further down is one."""
    for number, (_, row) in enumerate(rows[: _TITLES + 1]):
        heads = [cell.strip() for cell in row]
        if sum(map(bool, heads)) > 1 and _headed(heads, kind):
            return number
    return 0


def _off_the_grid(
    line: int,
    row: Sequence[str],
    heads: Sequence[str],
    grid: Gridded | Degrees,
    system: str | None,
    notes: list[CellNote],
) -> tuple[dict[str, str], Placed | str, bool]:
    """The cells of a row without its easting and northing, the place these say (in words where it is not known), and
    whether it lacks its system."""
    cells = dict(_cells(["" if at in grid.columns else head for at, head in enumerate(heads)], row))
    for at in grid.columns:
        cells.pop(f"Column {at + 1}", None)
    said = ", ".join(f"{heads[at]} {row[at].strip()}" for at in grid.columns if at < len(row) and row[at].strip())
    try:
        place = grid.placed(row, system)
        return cells, place or said, place is None and bool(said) and isinstance(grid, Gridded)
    except BadValue as bad:
        notes.append(CellNote(line, PLACE, "", "bad_place", bad.reason))
    return cells, said, False


def _rows(name: str, text: str) -> Rows:
    said = _SEPARATOR.match(text)
    text, line = (text[said.end() :], 2) if said else (text, 1)
    mark = said[1] if said else _mark(text)
    rows: Rows = []
    before, reader = line - 1, csv.reader(io.StringIO(f"{text}\n{_END}", newline=""), delimiter=mark)
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
    line, last = rows.pop()
    if last != [_END]:  # a quotation mark took everything behind it into its cell
        raise BadFile(reason("files.open_quote", line=line, name=name))
    return rows


def _mark(text: str) -> str:
    """What sets the columns apart: a mark that every line has as often as the headings, before decimal commas count;
    else that of the first line that has any, for above it stand titles."""
    first = list(islice((each for each in text.splitlines() if each.strip()), _TITLES + 1))
    steady = (mark for mark in "\t;|" if len({line.count(mark) for line in first}) == 1 and mark in first[0])
    if len(first) > 1 and (mark := next(steady, "")):
        return mark
    counts = [max((line.count(mark), mark) for mark in _MARKS) for line in first]
    most = max((count for count, _ in counts), default=0)
    return next((mark for count, mark in counts if count * 2 > most), "\t")


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


def _candidate(
    row: int, cells: dict[str, str], site: Site, kind: str | None, unit: str | None, gridded: Placed | str
) -> Candidate:
    kind, why = _kind(cells, kind)
    feature = Feature.of("", None, {"kind": kind})
    of_place: dict[str, str] = {}
    stray = []
    columns_of = {head: column_of(head, kind) for head in cells}
    degrees = {LAT, LON} <= {column.key for column in columns_of.values() if column is not None}
    for head, text in cells.items():
        column = columns_of[head]
        placed_elsewhere = column is not None and column.key == PLACE and (degrees or bool(gridded))  # "upper landing"
        if column is None or placed_elsewhere or (column.key == KIND and kind_named(text) is None):
            stray.append(f"{head}: {text}")
        elif column.key in _OF_PLACE:
            of_place[column.key] = latitude_first(text) if column.unit == TURNED else f"{text} {column.unit}".strip()
        elif column.key != KIND:
            feature = with_cells(site, feature, {column.key: text}, column.unit or unit)
    off_m = gridded.off_m if isinstance(gridded, Placed) else 0.0
    if OFF_SAID_M < off_m < math.inf and not feature.has("position_error_m"):
        feature = feature.with_values(position_error_m=off_m)
    place = (gridded.text if isinstance(gridded, Placed) else gridded) or _place(of_place, unit or site.units)
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
        return ", ".join(_DECIMAL_COMMA.sub(".", cells.get(half, "")) for half in (LAT, LON))
    if BEARING not in cells:
        return ""
    unit = "" if any(c.isalpha() for c in cells.get(DISTANCE, "")) else {"us": " ft"}.get(system, " m")
    far = f"{cells[PACES]} paces" if PACES in cells else f"{cells[DISTANCE]}{unit}" if DISTANCE in cells else ""
    start = f" from {cells[FROM]}" if FROM in cells else ""
    return f"bearing {cells[BEARING]}, {far}{start}"


def _taken_for(heads: Sequence[str], kinds: set[str], grid: Gridded | Degrees | None) -> tuple[tuple[str, str], ...]:
    """What each heading was taken for: the label of an attribute, a word of ours, or nothing for the note."""
    found = []
    for at, head in enumerate(heads):
        if not head:
            continue
        if grid is not None and at in grid.columns:
            found.append((head, grid.word(at)))
            continue
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
