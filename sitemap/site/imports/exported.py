"""What our own exports say of a thing beside what was entered: it does not come back as a note of somebody's."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

COLUMNS = ("kind", "name", "status", "note", "dry_t", "verdict")  # of a thing in GeoPackage, KML and table
_RECKONED = ("id", "dry_t", "verdict", "description")  # a verdict belongs to its day, and to no note


def is_ours(heads: Iterable[str]) -> bool:
    """Whether columns are those of an export, whatever stands beside them.

    >>> is_ours(("id", "Name", "Kind", "Verdict")), is_ours(("id", *COLUMNS, "latitude"))
    (False, True)
    """
    return set(COLUMNS) <= {head.casefold() for head in heads}


def reckoned(head: str) -> bool:
    """Whether a column of an export was made of what was entered."""
    return head.casefold() in _RECKONED


def entered(said: Mapping[str, Any]) -> Mapping[str, Any]:
    """What a row of a map file says, without what an export has reckoned."""
    return {key: value for key, value in said.items() if not reckoned(key)} if is_ours(said) else said
