"""The burn-site plan as plain values: what is said, in which order. How it looks is not known here."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable
from dataclasses import dataclass, fields, is_dataclass
from typing import Any

Cells = tuple[str, ...]
_TURNING = frozenset("\u200e\u200f\u061c\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069\ufeff")


@dataclass(frozen=True)
class Paragraph:
    """Sentences. weight : "plain", "strong" or "small"."""

    text: str
    weight: str = "plain"


@dataclass(frozen=True)
class Facts:
    """Labels with what is known under each."""

    pairs: tuple[tuple[str, str], ...]


@dataclass(frozen=True)
class Items:
    """A list of sentences."""

    texts: Cells
    small: bool = False


@dataclass(frozen=True)
class Warned:
    """What nobody may overlook, in a frame."""

    title: str
    texts: Cells


@dataclass(frozen=True)
class Table:
    """Columns and rows of text; widths are relative; its heads are repeated on every sheet it runs over.

    hand : its empty rows are filled in by hand, so they are high
    """

    title: str
    heads: Cells
    rows: tuple[Cells, ...]
    widths: tuple[int, ...] = ()
    small: bool = False
    hand: bool = False


@dataclass(frozen=True)
class Boxes:
    """Boxes to tick by hand: (what, who ticked it and when, empty to be filled)."""

    rows: tuple[tuple[str, str], ...]


@dataclass(frozen=True)
class Blanks:
    """Lines to fill by hand, a label before each."""

    labels: Cells


@dataclass(frozen=True)
class MapHere:
    """The map stands here. size : "small" (beside text) or "full"."""

    size: str


@dataclass(frozen=True)
class Sides:
    """Two columns where there is room, one under the other on a phone."""

    left: tuple[Block, ...]
    right: tuple[Block, ...]


Block = Paragraph | Facts | Items | Warned | Table | Boxes | Blanks | MapHere | Sides


@dataclass(frozen=True)
class Section:
    """One head of the plan with what stands under it. new_sheet : begins a sheet of paper."""

    key: str
    title: str
    blocks: tuple[Block, ...]
    new_sheet: bool = False


@dataclass(frozen=True)
class BurnPlan:
    """The whole plan.

    name : of the site; subtitle : date and what it is; footer : at the foot of every sheet
    language : of the text, for screen readers
    """

    name: str
    subtitle: str
    footer: str
    sections: tuple[Section, ...]
    language: str = "en"

    def section(self, key: str) -> Section:
        """One section by its key. Raises KeyError."""
        for section in self.sections:
            if section.key == key:
                return section
        raise KeyError(key)

    @property
    def text(self) -> str:
        """Every word of the plan, a line each, without any form."""
        return "\n".join([self.name, self.subtitle, *_words(self.sections)])


def plain_values(value: Any) -> Any:
    """Blocks as plain JSON values; each says what it `is`."""
    if is_dataclass(value) and not isinstance(value, type):
        kept = {field.name: plain_values(getattr(value, field.name)) for field in fields(value)}
        return {"is": type(value).__name__, **kept}
    if isinstance(value, tuple):
        return [plain_values(one) for one in value]
    return printable(value) if isinstance(value, str) else value


def printable(text: str) -> str:
    """Text without control characters and marks that turn the direction of writing: they could hide words on paper.

    >>> printable("pile\\x00 \\u202eK1")
    'pile K1'
    """
    spaced = text.replace("\n", " ").replace("\t", " ")
    return "".join(c for c in spaced if c not in _TURNING and unicodedata.category(c) not in ("Cc", "Cs", "Co", "Cn"))


def _words(value: Any) -> Iterable[str]:
    if isinstance(value, str):
        yield value
    elif isinstance(value, tuple):
        for one in value:
            yield from _words(one)
    elif is_dataclass(value):
        for field in fields(value):
            if field.name not in ("key", "weight", "size"):
                yield from _words(getattr(value, field.name))
