"""The legend: only what the drawing shows, each as it is drawn."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

from shapely.geometry import LineString, box

from sitemap.maps.symbols import OVERLAYS, SYMBOLS, VERDICTS, symbol_of
from sitemap.plan.map.layers import WAY_STYLES, Shown, pattern_of, stroke
from sitemap.plan.map.pen import DARK, Pen, dash_of, width_of
from sitemap.plan.map.sectors import STYLES
from sitemap.plan.map.signs import BADGE, Sign, draw_sign, draw_small
from sitemap.plan.phrases import Words
from sitemap.site.kinds import KINDS
from sitemap.telling import word

COLUMNS, ROW_MM, WORDS_PT = 3, 5.6, 8.0
_SAMPLE_MM = 17.0


@dataclass(frozen=True)
class Entry:
    """A row: how its sample is drawn at a place, and what it means."""

    draw: Callable[[Pen, float, float], None]
    words: str


def entries(shown: Shown, words: Words) -> list[Entry]:
    """The rows for what was drawn, in one order for every site."""
    rows = [_kind(kind, shown.kinds[kind], words, kind in shown.small) for kind in SYMBOLS if kind in shown.kinds]
    if shown.kinds.keys() - SYMBOLS.keys():
        rows.append(_kind("?", False, words))
    marks = {sign.verdict for sign in shown.signs}
    rows += [_verdict(effect, words) for effect, mark in VERDICTS.items() if mark in marks]
    rows += [_way(style, words) for style in WAY_STYLES if style in shown.lines]
    rows += [_distance(style, words) for style in ("too close", "measure", "nearest", *STYLES) if style in shown.lines]
    return rows


def height_mm(count: int) -> float:
    """What a legend of so many rows takes."""
    return math.ceil(count / COLUMNS) * ROW_MM + 1.0


def draw_legend(pen: Pen, rows: list[Entry], left: float, top: float, width: float) -> None:
    """Rows in columns, down each column first."""
    deep = math.ceil(len(rows) / COLUMNS)
    for number, row in enumerate(rows):
        column, line = divmod(number, deep)
        x, y = left + column * width / COLUMNS, top + (line + 0.5) * ROW_MM
        row.draw(pen, x + _SAMPLE_MM / 2, y)
        pen.text(x + _SAMPLE_MM + 1, y, row.words, WORDS_PT, "start")


def _kind(kind: str, drawn: bool, words: Words, small: bool = False) -> Entry:
    symbol = symbol_of(kind)

    def draw(pen: Pen, x: float, y: float) -> None:
        pattern = pattern_of(kind)
        if drawn and pattern and "Polygon" in KINDS[kind].geometries:
            field = box(x - 7.5, y - 2.1, x + 7.5, y + 2.1)
            pen.area(field, symbol.fill, pattern, symbol.stroke)
            pen.line(field.boundary, symbol.stroke, width_of(symbol), dash_of(symbol))
        elif drawn:
            stroke(pen, LineString([(x - 7.5, y), (x + 7.5, y)]), symbol, kind == "escape_route")
        if small:
            draw_small(pen, symbol, (x, y))
        else:
            draw_sign(pen, Sign(symbol.letter, symbol, (x, y), 7.0))

    label = word(KINDS[kind].label, words.language) if kind in KINDS else words("map.kind_unknown")
    return Entry(draw, label)


def _verdict(effect: str, words: Words) -> Entry:
    mark = VERDICTS[effect]

    def draw(pen: Pen, x: float, y: float) -> None:
        pen.circle(x, y, BADGE * 1.1, mark.colour)
        pen.text(x, y, mark.sign, 7.0, bold=True, fill="#ffffff")

    return Entry(draw, words(f"map.kiln_{effect.replace(' ', '_')}"))


def _way(style: str, words: Words) -> Entry:
    def draw(pen: Pen, x: float, y: float) -> None:
        stroke(pen, LineString([(x - 7.5, y), (x + 7.5, y)]), WAY_STYLES[style])

    return Entry(draw, words(f"map.line_{style}"))


def _distance(style: str, words: Words) -> Entry:
    symbol = OVERLAYS[style]

    def draw(pen: Pen, x: float, y: float) -> None:
        pen.line(LineString([(x - 7.5, y), (x + 7.5, y)]), symbol.stroke or DARK, width_of(symbol), dash_of(symbol))

    return Entry(draw, words(f"map.line_{style.replace(' ', '_')}"))
