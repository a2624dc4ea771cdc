"""The hours of a burn as a strip: each limit a row, each hour a cell whose word can be read without colour."""

from __future__ import annotations

import html
from collections.abc import Sequence

from sitemap.safety.weather import INSIDE, NEAR, OUTSIDE
from sitemap.season.window import Judged, Window
from sitemap.units import rounded, to_display, unit_label
from sitemap.views.charts import BAND, INK, SOFT

_ROWS = (
    ("wind", "Wind", "km_h"),
    ("gust", "Gust", "km_h"),
    ("humidity", "Humidity", "pct"),
    ("temperature", "Temp.", "c"),
)
_CELL, _ROW, _LEFT = 46, 30, 118
_THIN = 13


def strip_svg(window: Window, units: str) -> str:
    """The strip of the burn, and under it the winds of the quiet time after, as a drawing."""
    body = _hours(window.burn, units, 0)
    after = [each for each in window.hours if each.time >= window.span.cold_check]
    top = 34 + len(_ROWS) * _ROW
    body += _after(after, top + 24)
    width = _LEFT + max(_CELL * len(window.burn), _THIN * len(after), 240) + 8
    height = top + 24 + 2 * 16 + 30
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width} {height}" width="{width}" height="{height}" '
        f'font-family="sans-serif" font-size="13"><title>Weather of the burn, hour by hour</title>'
        f"{_PATTERN}{body}</svg>"
    )


def _hours(burn: Sequence[Judged], units: str, top: float) -> str:
    parts = []
    for number, hour in enumerate(burn):
        x = _LEFT + number * _CELL
        parts.append(_text(x + _CELL / 2, top + 18, f"{hour.time:%H:%M}", SOFT, 11))
    for row, (key, label, unit) in enumerate(_ROWS):
        y = top + 26 + row * _ROW
        shown = f"{label} ({unit_label(unit, units)})"
        parts.append(f'<text x="4" y="{y + 19}" fill="{INK}">{html.escape(shown)}</text>')
        for number, hour in enumerate(burn):
            value = hour.values.get(key)
            text = "?" if value is None else rounded(to_display(value, unit, units), 2)
            parts.append(_cell(_LEFT + number * _CELL, y, _CELL, _ROW - 3, hour.words[key], text))
    return "".join(parts)


def _after(after: Sequence[Judged], top: float) -> str:
    """Wind and gust after the cold check, without figures: where they are beyond a limit it is seen."""
    parts = [f'<text x="4" y="{top - 6}" fill="{SOFT}" font-size="11">After cold check 1, 48 h from lighting</text>']
    for row, key in enumerate(("wind", "gust")):
        y = top + row * 16
        parts.append(f'<text x="4" y="{y + 12}" fill="{INK}" font-size="11">{key.capitalize()}</text>')
        for number, hour in enumerate(after):
            parts.append(_cell(_LEFT + number * _THIN, y, _THIN, 14, hour.words[key], ""))
    for number, hour in enumerate(after):
        if hour.time.hour % 12 == 0:
            parts.append(_text(_LEFT + number * _THIN, top + 46, f"{hour.time:%a %H}", SOFT, 10))
    return "".join(parts)


_PATTERN = (
    '<defs><pattern id="near" width="6" height="6" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">'
    '<rect width="6" height="6" fill="#fff"/><rect width="2" height="6" fill="#9aa093"/></pattern></defs>'
)


def _cell(x: float, y: float, width: float, height: float, word: str, text: str) -> str:
    fill = {INSIDE: "#ffffff", NEAR: "url(#near)", OUTSIDE: INK}.get(word, "#ffffff")
    dashed = "" if word in (INSIDE, NEAR, OUTSIDE) else ' stroke-dasharray="3 2"'
    ink = "#ffffff" if word == OUTSIDE else INK
    weight = "" if word == INSIDE else ' font-weight="700"'
    drawn = f'<rect x="{x}" y="{y}" width="{width - 1}" height="{height}" fill="{fill}" stroke="{BAND}"{dashed}/>'
    if not text:
        return drawn
    middle = f'x="{x + width / 2}" y="{y + height / 2 + 5}" text-anchor="middle"'
    halo = ' stroke="#fff" stroke-width="3" paint-order="stroke"' if word == NEAR else ""
    return f'{drawn}<text {middle} fill="{ink}"{weight}{halo}>{html.escape(text)}</text>'


def _text(x: float, y: float, text: str, colour: str, size: int) -> str:
    return f'<text x="{x}" y="{y}" text-anchor="middle" fill="{colour}" font-size="{size}">{html.escape(text)}</text>'
