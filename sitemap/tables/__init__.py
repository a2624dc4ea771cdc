"""Published figures as data. No row stands without value, unit, source and evidence.

Evidence: P the publication's own text was seen · S seen in a second text that cites it · D derived here ·
M from memory, not verified · C common practice, no source.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from types import MappingProxyType
from typing import Any

from sitemap.errors import BadTable

EVIDENCE_LEVELS: Mapping[str, str] = MappingProxyType(
    {
        "P": "published text seen",
        "S": "seen in a second text",
        "D": "derived here",
        "M": "from memory",
        "C": "common practice, no source",
    }
)


@dataclass(frozen=True)
class Row:
    """One published figure, or one set of figures that belong together."""

    key: str
    figures: Mapping[str, Any]
    source: str
    evidence: str

    def __getitem__(self, name: str) -> Any:
        return self.figures[name]

    def get(self, name: str, default: Any = None) -> Any:
        """A figure of the row, or default where the row lacks it."""
        return self.figures.get(name, default)


def parse(text: str, name: str) -> Mapping[str, Row]:
    """Read the rows of one table.

    Raises BadTable, naming table and row, where key, source or evidence is missing or a key stands twice.
    """
    rows: dict[str, Row] = {}
    for number, raw in enumerate(tomllib.loads(text).get("row", []), start=1):
        figures = dict(raw)
        key = figures.pop("key", None)
        where = f"Table {name}, row {key or number}"
        source, evidence = figures.pop("source", ""), figures.pop("evidence", "")
        if not key:
            raise BadTable(f"{where} has no key: give it one.")
        if key in rows:
            raise BadTable(f"{where} stands twice: keep one.")
        if evidence not in EVIDENCE_LEVELS or (not source and evidence not in "MC"):
            raise BadTable(f"{where} lacks its source or evidence ({', '.join(EVIDENCE_LEVELS)}): add it.")
        rows[key] = Row(key, MappingProxyType(figures), source or EVIDENCE_LEVELS[evidence], evidence)
    if not rows:
        raise BadTable(f"Table {name} has no rows.")
    return MappingProxyType(rows)


@cache
def load(name: str) -> Mapping[str, Row]:
    """The rows of `tables/<name>.toml` by key, in file order. Raises BadTable."""
    return parse(files(__package__).joinpath(f"{name}.toml").read_text(encoding="utf-8"), name)


def value(name: str, key: str) -> float:
    """The likely figure of one row of a table.

    >>> value("drying", "pieces") == float(load("drying")["pieces"]["value"])
    True
    """
    return float(load(name)[key]["value"])


def names() -> tuple[str, ...]:
    """Names of all tables."""
    return tuple(sorted(f.name[:-5] for f in files(__package__).iterdir() if f.name.endswith(".toml")))
