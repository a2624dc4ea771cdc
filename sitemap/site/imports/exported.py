"""What our own exports say of a thing beside what was entered: it does not come back as a note of somebody's."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

Rows = list[tuple[int, list[str]]]  # line each begins on, and its cells
COLUMNS = ("kind", "name", "status", "note", "dry_t", "verdict")  # of a thing in GeoPackage, KML and table
_RECKONED = ("id", "dry_t", "verdict", "description")  # a verdict belongs to its day, and to no note


def entered(said: Mapping[str, Any]) -> Mapping[str, Any]:
    """What a row of a map file says, without what an export has reckoned.

    >>> entered({"name": "K1", "verdict": "may be lit"})
    {'name': 'K1', 'verdict': 'may be lit'}
    >>> entered(dict.fromkeys(COLUMNS, "")).keys()
    dict_keys(['kind', 'name', 'status', 'note'])
    """
    return {key: value for key, value in said.items() if not _reckoned(key)} if _is_ours(said) else said


def entered_rows(rows: Rows) -> Rows:
    """The rows of a table, its headings first, without what an export has reckoned."""
    heads = [cell.strip() for cell in rows[0][1]]
    kept = [at for at, head in enumerate(heads) if not _reckoned(head)]
    return [(line, [row[at] for at in kept if at < len(row)]) for line, row in rows] if _is_ours(heads) else rows


def _is_ours(heads: Iterable[str]) -> bool:
    """Whether columns are those of an export, whatever stands beside them."""
    return set(COLUMNS) <= {head.casefold() for head in heads}


def _reckoned(head: str) -> bool:
    """Whether a column of an export was made of what was entered."""
    return head.casefold() in _RECKONED
