"""Rows of a table that sum up others: a total is no heap, and counted as one it doubles the slash."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence

from sitemap.errors import BadValue
from sitemap.site.cells import number_of

#  What stands before such lines of a spreadsheet (C); from memory.
_SUMS = frozenset(
    (
        *("total", "totals", "sum", "sums", "subtotal", "subtotals", "average", "mean", "count", "minimum", "maximum"),
        *("summe", "gesamt", "gesamtsumme", "zwischensumme", "insgesamt", "mittel", "mittelwert", "anzahl"),
        *("suma", "totales", "promedio", "media", "soma", "somme", "moyenne", "totale", "totaal", "summa", "yhteensä"),
        *("σ", "∑"),
    )
)
_BEFORE = frozenset(("grand", "gran", "sub", "general", "overall"))
_WORDS = re.compile(r"[^\W\d_]+|∑")
_ROUNDED = 0.005  # of a sum that a spreadsheet shows rounded
_LEAST = 2  # rows a sum is of


def is_sum(row: Sequence[str], above: Sequence[Sequence[str]], named: int, places: Sequence[int]) -> bool:
    """Whether a row sums up others: by its word, or without a name and a place by its numbers.

    row : its cells; above : the rows before it that are things
    named : number of the column of names; places : numbers of those that say a place
    """
    name = _cell(row, named)
    words = _WORDS.findall(name.casefold())
    placed = any(_cell(row, at) for at in places)
    if words and (len(words) == 1 or not placed):
        first = words[1] if words[0] in _BEFORE and len(words) > 1 else words[0]
        if first in _SUMS and (not placed or not any(map(str.isdigit, name))):
            return True
    return not name and not placed and _adds_up(row, above, named, places)


def _adds_up(row: Sequence[str], above: Sequence[Sequence[str]], named: int, places: Sequence[int]) -> bool:
    """Whether every number of a row is the sum of those above it, which have names, and there is at least one."""
    if len(above) < _LEAST or not all(_cell(each, named) for each in above):
        return False
    columns = [at for at in range(len(row)) if _cell(row, at) and at not in (named, *places)]
    return bool(columns) and all(_is_total(at, row, above) for at in columns)


def _is_total(at: int, row: Sequence[str], above: Sequence[Sequence[str]]) -> bool:
    try:
        said = number_of(_cell(row, at))
        parts = [number_of(text) for each in above if (text := _cell(each, at))]
    except BadValue:
        return False
    return len(parts) >= _LEAST and math.isclose(said, math.fsum(parts), rel_tol=_ROUNDED)


def _cell(cells: Sequence[str], at: int) -> str:
    return cells[at].strip() if at < len(cells) else ""
