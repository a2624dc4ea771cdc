"""How one heap dries: the range, the likely course, its readings, the limit, the days of the permit, the day it is
ready."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from shapely.geometry import LineString, Polygon, box

from sitemap.assessment import Assessment
from sitemap.plan.map.pen import DARK, Pen
from sitemap.plan.map.signs import text_width
from sitemap.plan.phrases import Words
from sitemap.plan.say import shortened
from sitemap.ranges import Array
from sitemap.season.climate import runs_of
from sitemap.season.drying_of_site import HeapDrying
from sitemap.slash.moisture import wet_basis
from sitemap.telling import words as told_words

WIDE_MM, HIGH_MM = 186.0, 68.0
_LEFT, _TOP, _RIGHT, _BOTTOM = 12.0, 6.0, 183.0, 52.0
_DAYS_BEFORE = 60  # of the past that are drawn
_GREY, _BAND = "#8c8c8c", "#d4d4d4"
_NAME = 50  # letters over the picture


@dataclass(frozen=True)
class _Axes:
    """The days drawn, from `first` on, and the highest moisture [% of the wet weight]."""

    first: dt.date
    days: int
    most: float

    def x(self, day: dt.date) -> float:
        return _LEFT + (_RIGHT - _LEFT) * (day - self.first).days / max(self.days, 1)

    def y(self, dry_basis: float) -> float:
        return self.at(_pct(dry_basis))

    def at(self, pct: float) -> float:
        return _BOTTOM - (_BOTTOM - _TOP) * pct / self.most


def drawn(a: Assessment, number: int, words: Words) -> str | None:
    """The picture of one heap as SVG; None where there is none of that number."""
    if number >= len(a.drying):
        return None
    found, pen = a.drying[number], Pen(f"drying{number}")
    today = a.today or a.on or found.first
    begins = max(min([(today - found.first).days - _DAYS_BEFORE, *(read.day for read in found.reads)]), 0)
    axes = _axes(found, begins)
    days = [found.first + dt.timedelta(days=n) for n in range(begins, len(found.moisture.likely))]
    _band(pen, axes, days, found, begins)
    _scale(pen, axes, words)
    _line(pen, axes, days, found.moisture.before[begins:], 1.0, (4, 3), _GREY)
    _line(pen, axes, days, found.moisture.likely[begins:], 1.8)
    _recorded(pen, axes, found)
    _limit(pen, axes, found, words)
    for read in found.reads:
        pen.circle(axes.x(found.first + dt.timedelta(days=read.day)), axes.y(read.value), 1.3, "#ffffff", DARK, 1.4)
    _permit(pen, axes, a, words)
    _mark(pen, axes, today, words("calendar.today"), 0.8, (2, 2), _TOP + 2.0)
    if found.ready is not None and found.ready > today:
        told = words("calendar.ready", day=" ".join(words.day(found.ready).split()[1:3]))
        _mark(pen, axes, found.ready, told, 1.4, (), _TOP + 6.0)
    pen.text(0.5, 2.2, shortened(found.name, _NAME), 9.0, "start", bold=True)
    _legend(pen, words)
    return pen.svg(WIDE_MM, HIGH_MM, "chart", words("calendar.drying", name=found.name))


def _axes(found: HeapDrying, begins: int) -> _Axes:
    most = max(_pct(float(np.max(found.moisture.high[begins:]))), *(_pct(read.value) for read in found.reads), 25.0)
    first = found.first + dt.timedelta(days=begins)
    return _Axes(first, len(found.moisture.likely) - 1 - begins, 10.0 * math.ceil(most / 10))


def _pct(dry_basis: float) -> float:
    """Moisture as people read it [% of the wet weight]."""
    return 100 * float(wet_basis(min(float(dry_basis), 3.0)))


def _band(pen: Pen, axes: _Axes, days: Sequence[dt.date], found: HeapDrying, begins: int) -> None:
    low, high = found.moisture.low[begins:], found.moisture.high[begins:]
    edge = [(axes.x(day), axes.y(value)) for day, value in zip(days, high, strict=True)]
    edge += [(axes.x(day), axes.y(value)) for day, value in zip(reversed(days), low[::-1], strict=True)]
    if len(days) > 1:
        pen.area(Polygon(edge), _BAND)


def _line(
    pen: Pen,
    axes: _Axes,
    days: Sequence[dt.date],
    values: Array,
    width_pt: float,
    dash: tuple[float, ...] = (),
    stroke: str = DARK,
) -> None:
    places = [(axes.x(day), axes.y(value)) for day, value in zip(days, values, strict=True)]
    if len(places) > 1:
        pen.line(LineString(places), stroke, width_pt, dash)


def _scale(pen: Pen, axes: _Axes, words: Words) -> None:
    """Moisture on the left, months below."""
    months = told_words(words.language)["calendar"]["months"].split()
    for pct in range(0, round(axes.most) + 1, 10):
        pen.line(LineString([(_LEFT, axes.at(pct)), (_RIGHT, axes.at(pct))]), _GREY, 0.3)
        pen.text(_LEFT - 1.2, axes.at(pct), f"{pct} %", 7.5, "end")
    day = axes.first
    for n in range(axes.days + 1):
        day = axes.first + dt.timedelta(days=n)
        if day.day == 1:
            x = axes.x(day)
            pen.line(LineString([(x, _TOP), (x, _BOTTOM + 1.0)]), _GREY, 0.3)
            if x < _RIGHT - 12:
                pen.text(x + 0.6, _BOTTOM + 2.2, f"{months[day.month - 1]} {day.year % 100:02d}", 7.5, "start")
    pen.line(LineString([(_LEFT, _TOP), (_LEFT, _BOTTOM), (_RIGHT, _BOTTOM)]), DARK, 0.8)


def _recorded(pen: Pen, axes: _Axes, found: HeapDrying) -> None:
    """The days whose weather was recorded, thick along the foot."""
    last = axes.first + dt.timedelta(days=axes.days)
    for begin, end in runs_of([day for day in found.recorded if axes.first <= day <= last]):
        west, east = axes.x(begin), min(axes.x(end), _RIGHT)
        pen.box(west, _BOTTOM - 1.0, max(east, west + 0.4), _BOTTOM, DARK)


def _limit(pen: Pen, axes: _Axes, found: HeapDrying, words: Words) -> None:
    y, told = axes.y(found.limit), words("calendar.limit")
    pen.line(LineString([(_LEFT, y), (_RIGHT, y)]), DARK, 1.4, (1, 2))
    wide = text_width(told, 7.5)
    pen.box(_RIGHT - wide - 0.6, y + 0.5, _RIGHT, y + 3.9, "#ffffff", opacity=0.85)
    pen.text(_RIGHT - 0.3, y + 2.2, told, 7.5, "end")


def _permit(pen: Pen, axes: _Axes, a: Assessment, words: Words) -> None:
    """The days of the permit, a bar under the months."""
    permit = a.source.section("permit")
    first, last = permit.date("from") or axes.first, permit.date("to")
    ends = axes.first + dt.timedelta(days=axes.days)
    if last is None or permit.flag("none_needed") or last < axes.first or first > ends or last < first:
        return
    west, east, y = axes.x(max(first, axes.first)), axes.x(min(last, ends)), _BOTTOM + 4.6
    bar = box(west, y, max(east, west + 0.6), y + 2.0)
    pen.area(bar, "#ffffff", "no go", DARK)
    pen.line(bar, DARK, 0.8)
    if last <= ends:
        pen.line(LineString([(east, _TOP), (east, y + 2.0)]), DARK, 0.8, (6, 2))
    told = words("calendar.permit_bar", last=last)
    right = west + 1.0 + text_width(told, 7.5) > _RIGHT
    pen.text(_RIGHT if right else west, y + 4.0, told, 7.5, "end" if right else "start")


def _mark(pen: Pen, axes: _Axes, day: dt.date, told: str, width_pt: float, dash: tuple[float, ...], y: float) -> None:
    """A day, as a line with its word."""
    if not 0 <= (day - axes.first).days <= axes.days:
        return
    x, wide = axes.x(day), text_width(told, 7.5, bold=True)
    pen.line(LineString([(x, _TOP), (x, _BOTTOM)]), DARK, width_pt, dash)
    right = x + 1.0 + wide > _RIGHT
    west = x - 1.0 - wide if right else x + 0.8
    pen.box(west, y - 1.6, west + wide + 0.4, y + 1.6, "#ffffff", opacity=0.9)
    pen.text(x - 1.0 if right else x + 1.0, y, told, 7.5, "end" if right else "start", bold=True)


def _legend(pen: Pen, words: Words) -> None:
    x, y = _LEFT, HIGH_MM - 2.4
    for mark in ("range", "likely", "unread", "reading"):
        if mark == "range":
            pen.box(x, y - 1.4, x + 6, y + 1.4, _BAND)
        elif mark == "reading":
            pen.circle(x + 3, y, 1.3, "#ffffff", DARK, 1.4)
        else:
            line = LineString([(x, y), (x + 6, y)])
            pen.line(
                line, DARK if mark == "likely" else _GREY, 1.8 if mark == "likely" else 1.0, (4, 3) * (mark == "unread")
            )
        told = words(f"calendar.mark_{mark}")
        pen.text(x + 7.2, y, told, 7.5, "start")
        x += 12.0 + text_width(told, 7.5)
