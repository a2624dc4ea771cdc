"""How high a side of the HTML page is when a browser prints it, near enough to choose how fully it is said.

A browser cannot try one wording after another as the typesetter does, and nothing may run on the page. So the height
is reckoned from the letters, wide ones (DejaVu Sans) taken, and rather too high: narrower ones have room to spare.
"""

from __future__ import annotations

import math
import unicodedata
from collections.abc import Mapping
from functools import cache, lru_cache

from sitemap.plan.map.pen import height_mm
from sitemap.plan.model import (
    Blanks,
    Block,
    Boxes,
    Facts,
    Items,
    MapHere,
    Paragraph,
    Section,
    Sheet,
    Sides,
    Table,
    Warned,
)

# [pt] what the style sheet `page.css` says of print: a line, a letter, room between blocks, labels, rows for the pen
_LINE, _BOLD = 1.16, 1.13  # of the size of the letters; bold ones to others
_WIDTHS = (
    (" .,:;'|!()[]/ijlIJ", 0.33),
    ("ftr-\u2013\u00a0", 0.41),
    ("W@%mM\u2026\u2014", 0.98),
    ("wOQGDHNU\u2192\u2713\u2715\u00d7", 0.82),
)  # of letters
_MM = 72 / 25.4
_SIDES_MM = {"a4": (188.0, 277.0), "letter": (193.9, 259.4)}  # paper less its margins
_GAP, _LABEL, _HAND, _COLUMN = 2.6, 24 * _MM + 7.5, 7.2 * _MM, 13.5
_NAME_PT, _UNDER, _TITLE = 15.0, 26.0, 24.0  # the name of the site and what stands under it; the title of a sheet
_SMALLER = (0.95, 0.9, 0.85, 0.8)


def fitted(sheet: Sheet, paper: str, maps: Mapping[str, str | None], name: str) -> tuple[tuple[Block, ...], float]:
    """The fullest version of a sheet that fits its side when a browser prints it, and the size of its letters [pt]:
    smaller only where the shortest version asks for it.

    sheet : of one side; paper : "a4" or "letter"; maps : SVG by size; name : that stands over it, or ""
    """
    width, height = (side * _MM for side in _SIDES_MM[paper])
    room = height - _TITLE - (_text(name, width, _NAME_PT, bold=True) + _UNDER if name else 0)
    versions = (sheet.blocks, *sheet.shorter)
    tries = [(one, sheet.body_pt) for one in versions]
    tries += [(versions[-1], share * sheet.body_pt) for share in _SMALLER]
    return next(((one, size) for one, size in tries if _high(one, width, size, maps) <= room), tries[-1])


def _high(blocks: tuple[Block, ...], width: float, size: float, maps: Mapping[str, str | None]) -> float:
    return sum(_block(block, width, size, maps) + _GAP for block in blocks)


def _block(block: Block, width: float, size: float, maps: Mapping[str, str | None]) -> float:
    small = max(8.0, 0.9 * size)
    line = size * _LINE
    match block:
        case Paragraph():
            return _text(block.text, width, small if block.weight == "small" else size, block.weight == "strong")
        case Facts():
            return sum(max(_text(a, _LABEL, size), _text(b, width - _LABEL, size)) + 0.8 for a, b in block.pairs)
        case Items():
            return sum(_text(text, width - 1.2 * size, small if block.small else size) + 0.8 for text in block.texts)
        case Warned():
            return 1.7 * line + sum(_text(text, width - 26, size) + 1.5 for text in block.texts)
        case Table():
            return _table(block, width, small if block.small else size)
        case Boxes():
            across = width / block.columns
            rows = [max(_text(text, 0.66 * across - 30, size), 13) + 9 for text, _ in block.rows]
            return sum(rows) / block.columns + max(rows, default=0)
        case Blanks():
            return len(block.labels) * (1.3 * size + 8)
        case MapHere():
            drawing = maps.get(block.size)
            return height_mm(drawing) * _MM if drawing else line
        case Sides():
            left, right = (share / sum(block.shares) * (width - _COLUMN) for share in block.shares)
            return max(_high(block.left, left, size, maps), _high(block.right, right, size, maps))
        case Section():
            return (1.3 * line if block.title else 0) + _high(block.blocks, width, size, maps) - _GAP
    return 0.0


def _table(block: Table, width: float, size: float) -> float:
    shares = block.widths or (1,) * len(block.heads)
    widths = [share / sum(shares) * width - 3 for share in shares]

    def row(cells: tuple[str | tuple[str, ...], ...], bold: bool = False) -> float:
        lines = [(cell,) if isinstance(cell, str) else cell for cell in cells]
        pairs = zip(lines, widths, strict=True)
        return 2 + max(sum(_text(t, w, size, bold or not n) for t in each) for n, (each, w) in enumerate(pairs))

    least = _HAND if block.hand else 0.0
    title = _text(block.title, width, size, True) + 4 if block.title else 0.0
    return title + row(block.heads, True) + sum(max(row(cells), least) for cells in block.rows)


@lru_cache(maxsize=8192)
def _text(text: str, width: float, size: float, bold: bool = False) -> float:
    """How high a text is in a column [pt], wrapped between words, or within one that is too long for a line."""
    line, letter = max(width / (size * (_BOLD if bold else 1.0)), 1.0), 0.0
    lines = 1
    for word in text.split(" "):
        long = sum(map(_ems, word))
        if letter + long <= line:
            letter += long + _ems(" ")
            continue
        lines += 1 if letter else 0
        more = math.ceil(long / line) - 1
        lines, letter = lines + max(more, 0), long - max(more, 0) * line + _ems(" ")
    return lines * size * _LINE


@cache
def _ems(letter: str) -> float:
    """How wide a letter is, of its size: DejaVu Sans, by groups; East Asian letters are as wide as high."""
    if unicodedata.east_asian_width(letter) in "WF":
        return 1.0
    return next((wide for group, wide in _WIDTHS if letter in group), 0.7 if letter.isupper() else 0.62)
