"""The hours of a burn as a strip: each limit a row, each hour a cell whose word can be read without colour."""

from __future__ import annotations

from collections.abc import Sequence

from shapely.geometry import LineString, box

from sitemap.assessment import Assessment
from sitemap.plan.map.pen import DARK, Pen
from sitemap.plan.phrases import Words
from sitemap.safety.weather import INSIDE, NEAR, OUTSIDE
from sitemap.season.window import Judged, Window
from sitemap.units import rounded, to_display, unit_label

_UNITS = {"wind": "km_h", "gust": "km_h", "humidity": "pct", "temperature": "c"}
_WIDEST_MM, _LEAST_MM, _LEFT, _ROW, _HEAD = 186.0, 100.0, 27.0, 7.0, 5.0
_CELL = 9.2  # [mm] of a cell where few hours leave room: nine of them fit a phone
_AFTER_ROW = 4.4  # [mm] of a row after the burn
_GREY = "#8c8c8c"


def drawn(a: Assessment, number: int, words: Words) -> str | None:
    """The strip of the burn, and under it the winds of the quiet time after; None without a forecast of the day."""
    window = a.weather
    if window is None or not window.burn or number:
        return None
    pen = Pen("strip")
    cell = min((_WIDEST_MM - _LEFT - 0.5) / len(window.burn), _CELL)
    wide = max(_LEFT + len(window.burn) * cell + 0.5, _LEAST_MM)
    for n, hour in enumerate(window.burn):
        pen.text(_LEFT + (n + 0.5) * cell, 2.2, f"{hour.time:%H}", 8.0)
    for row, (key, unit) in enumerate(_UNITS.items()):
        y = _HEAD + row * _ROW
        label = f"{words(f'calendar.{key}')} ({unit_label(unit, words.units)})"
        pen.text(0.5, y + _ROW / 2, label, 8.0, "start")
        for n, hour in enumerate(window.burn):
            value = hour.values.get(key)
            told = "?" if value is None else rounded(to_display(value, unit, words.units), 2)
            _cell(pen, (_LEFT + n * cell, y, cell, _ROW), hour.words[key], told)
    top = _HEAD + len(_UNITS) * _ROW
    bottom = _after(pen, window, words, top + 3.0, wide)
    return pen.svg(wide, bottom, "chart", words("calendar.strip"))


def _after(pen: Pen, window: Window, words: Words, top: float, wide: float) -> float:
    """Wind and gust after the cold check, without figures: where they are beyond a limit it is seen."""
    after: Sequence[Judged] = [each for each in window.hours if each.time >= window.span.cold_check]
    pen.text(0.5, top + 1.5, words("calendar.after"), 7.5, "start")
    top += 4.0
    cell = (wide - _LEFT - 0.5) / max(len(after), 1)
    for row, key in enumerate(("wind", "gust")):
        y = top + row * _AFTER_ROW
        pen.text(0.5, y + _AFTER_ROW / 2, words(f"calendar.{key}"), 7.5, "start")
        for n, hour in enumerate(after):
            _cell(pen, (_LEFT + n * cell, y, cell, _AFTER_ROW), hour.words[key], "")
    bottom = top + 2 * _AFTER_ROW
    for n, hour in enumerate(after):
        if hour.time.hour % 12 == 0 and n * cell < wide - _LEFT - 8.0:
            x = _LEFT + n * cell
            pen.line(LineString([(x, bottom), (x, bottom + 1.2)]), DARK, 0.6)
            pen.text(x + 0.6, bottom + 2.4, f"{words.day(hour.time.date()).split()[0]} {hour.time:%H}", 7.0, "start")
    return bottom + 4.5


def _cell(pen: Pen, room: tuple[float, float, float, float], word: str, told: str) -> None:
    x, y, width, height = room
    west, north, east, south = x, y, x + width, y + height  # one line between two: no cell looks bolder
    pen.box(west, north, east, south, DARK if word == OUTSIDE else "#ffffff")
    if word == NEAR:
        pen.area(box(west, north, east, south), "none", "no go", _GREY)
    known = word in (INSIDE, NEAR, OUTSIDE)
    pen.box(west, north, east, south, "none", DARK, width=0.5, dash=() if known else (2, 1.4))
    if told:
        if word == NEAR:
            pen.box((west + east) / 2 - 2.4, north + 1.4, (west + east) / 2 + 2.4, south - 1.4, "#ffffff")
        ink = "#ffffff" if word == OUTSIDE else DARK
        pen.text((west + east) / 2, (north + south) / 2, told, 8.0, bold=word != INSIDE, fill=ink)
