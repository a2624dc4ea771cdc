"""The papers as plain values: what is said, in which order. How it looks is not known here."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, fields, is_dataclass
from typing import Any

from sitemap.plan.letters import printable

Cells = tuple[str, ...]
Cell = str | Cells  # several lines of one cell


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

    hand : rows with an empty cell are filled in by hand, so they are high
    """

    title: str
    heads: Cells
    rows: tuple[tuple[Cell, ...], ...]
    widths: tuple[int, ...] = ()
    small: bool = False
    hand: bool = False


@dataclass(frozen=True)
class Boxes:
    """Boxes to tick by hand: (what, who ticked it and when, empty to be filled). columns : side by side on paper"""

    rows: tuple[tuple[str, str], ...]
    columns: int = 1


@dataclass(frozen=True)
class Blanks:
    """Lines to fill by hand, a label before each."""

    labels: Cells


@dataclass(frozen=True)
class MapHere:
    """A map or a chart stands here.

    size : "small" or "smaller" (beside text) or "full" of the map; or the key of a chart (`plan.charts`)
    otherwise : what is said where there is none
    """

    size: str
    otherwise: str


@dataclass(frozen=True)
class Sides:
    """Two columns where there is room, one under the other on a phone; shares : their relative widths."""

    left: tuple[Block, ...]
    right: tuple[Block, ...]
    shares: tuple[int, int] = (1, 1)


@dataclass(frozen=True)
class Section:
    """One head with what stands under it. key : its place in the page"""

    key: str
    title: str
    blocks: tuple[Block, ...]


@dataclass(frozen=True)
class Picture:
    """A photo. key : sha256 of its file; caption : under it"""

    key: str
    caption: str


@dataclass(frozen=True)
class Pictures:
    """Photos, two side by side on paper."""

    shown: tuple[Picture, ...]


Block = Paragraph | Facts | Items | Warned | Table | Boxes | Blanks | MapHere | Pictures | Sides | Section


@dataclass(frozen=True)
class Sheet:
    """What is printed and handed out together, for one reader.

    key : "decision", "map", "crew", "day", "cold", "calendar", "permission", "photos" or "annex"
    one_side : it is one side of A4 and of Letter, never more
    body_pt : size of its letters [pt]
    about : the kiln or the day it is for, where there are several of its key
    shorter : the same said in less and less room, for a side that `blocks` do not fit on; nothing is dropped in them
        without a word that says how much more there is, and where
    subtitle, footer, language : its own, where it is told in another language than the plan
    """

    key: str
    title: str
    blocks: tuple[Block, ...]
    one_side: bool
    body_pt: float
    about: str | None = None
    shorter: tuple[tuple[Block, ...], ...] = ()
    subtitle: str = ""
    footer: str = ""
    language: str = ""


@dataclass(frozen=True)
class BurnPlan:
    """The sheets of a site on a day, all or some.

    name : of the site; subtitle : date and what it is; footer : at the foot of every side
    language : of the text, for screen readers
    """

    name: str
    subtitle: str
    footer: str
    sheets: tuple[Sheet, ...]
    language: str = "en"

    def sheet(self, key: str, about: str | None = None) -> Sheet:
        """The first sheet of a key, or that about a kiln or a day. Raises KeyError."""
        for sheet in self.sheets:
            if sheet.key == key and about in (None, sheet.about):
                return sheet
        raise KeyError(key)

    def section(self, key: str) -> Section:
        """One section of any sheet by its key. Raises KeyError."""
        for block in every_block(self):
            if isinstance(block, Section) and block.key == key:
                return block
        raise KeyError(key)

    @property
    def text(self) -> str:
        """Every word of the plan, a line each, without any form."""
        return "\n".join([self.name, self.subtitle, *(word for sheet in self.sheets for word in words_of(sheet))])


def words_of(sheet: Sheet) -> Iterable[str]:
    """Every word of one sheet as it is said where there is room."""
    return every_word((sheet.title, sheet.blocks))


def every_block(plan: BurnPlan) -> Iterable[Block]:
    """Every block of a plan, also those within others."""
    for sheet in plan.sheets:
        yield from blocks_of(sheet.blocks)


def blocks_of(blocks: tuple[Block, ...]) -> Iterable[Block]:
    """Blocks, and those within them."""
    waiting = list(reversed(blocks))
    while waiting:
        block = waiting.pop()
        yield block
        inside = (*block.left, *block.right) if isinstance(block, Sides) else getattr(block, "blocks", ())
        waiting += reversed(inside)


def plain_values(value: Any) -> Any:
    """Blocks as plain JSON values; each says what it `is`."""
    if is_dataclass(value) and not isinstance(value, type):
        kept = {field.name: plain_values(getattr(value, field.name)) for field in fields(value)}
        return {"is": type(value).__name__, **kept}
    if isinstance(value, tuple):
        return [plain_values(one) for one in value]
    return printable(value) if isinstance(value, str) else value


def every_word(value: Any) -> Iterable[str]:
    """Every word in a block, or in several."""
    if isinstance(value, str):
        yield value
    elif isinstance(value, tuple):
        for one in value:
            yield from every_word(one)
    elif is_dataclass(value):
        for field in fields(value):
            if field.name not in ("key", "weight", "size", "otherwise"):
                yield from every_word(getattr(value, field.name))
