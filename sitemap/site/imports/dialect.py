"""Numbers of a table in which the comma is the decimal mark: there "1.500" is fifteen hundred."""

from __future__ import annotations

import re
from collections.abc import Container, Sequence

_COMMA = re.compile(r"[-+]?(?:\d{1,3}(?:\.\d{3})+|\d+),(?:\d{1,2}|\d{4,})\b.*")
_POINT = re.compile(r"[-+]?\d+\.(?:\d{1,2}|\d{4,})\b(?![.,]).*")
_THOUSANDS = re.compile(r"([-+]?[1-9]\d{0,2}(?:\.\d{3})+)(?![\d.,])(.*)")

Rows = list[tuple[int, list[str]]]


def thousands_of(rows: Rows, others: Container[int]) -> tuple[Rows, list[tuple[int, int, str, str]]]:
    """The rows with the points that part thousands taken out, where other numbers of the table have decimal commas and
    none has a decimal point; and what was read so: line, column, as it stood, as it is read.

    others : numbers of the columns that are left alone: names and places

    >>> thousands_of([(2, ["6,5", "1.500 L"])], ())
    ([(2, ['6,5', '1500 L'])], [(2, 1, '1.500 L', '1500 L')])
    >>> thousands_of([(2, ["6.5", "1.500 L"])], ())[1]
    []
    """
    cells = [cell.strip() for _, row in rows for at, cell in enumerate(row) if at not in others]
    if not any(map(_COMMA.fullmatch, cells)) or any(map(_POINT.fullmatch, cells)):
        return rows, []
    read = []
    for line, row in rows:
        for at, cell in enumerate(row):
            found = None if at in others else _THOUSANDS.fullmatch(cell.strip())
            if found is not None:
                read.append((line, at, cell.strip(), found[1].replace(".", "") + found[2]))
    changed = {(line, at): text for line, at, _, text in read}
    return [(line, _with(row, line, changed)) for line, row in rows], read


def _with(row: Sequence[str], line: int, changed: dict[tuple[int, int], str]) -> list[str]:
    return [changed.get((line, at), cell) for at, cell in enumerate(row)]
