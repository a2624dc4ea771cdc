"""Which kiln burns on which day: kilns down the side, four weeks across, the number of batches in black cells."""

from __future__ import annotations

import datetime as dt
from collections.abc import Collection, Iterable, Iterator
from dataclasses import dataclass

from shapely.geometry import LineString, box

from sitemap.assessment import Assessment
from sitemap.plan.map.pen import DARK, Pen
from sitemap.plan.map.signs import text_width
from sitemap.plan.phrases import Words
from sitemap.plan.say import short_kiln
from sitemap.season.calendar import CalendarDay
from sitemap.season.calendar_of_site import Calendar
from sitemap.telling import words as told_words

WIDE_MM, _LEFT, _DAY, _ROW, _HEAD = 186.0, 32.0, 5.46, 6.0, 13.0
WEEKS, _MOST_ROWS = 4, 36  # of one picture: a sheet holds no more
_NAME = 20  # letters beside a row
_HEAD_DAYS = 4  # the name of a month runs over
_LEGEND_LEFT = 0.5
_GREY = "#8c8c8c"


@dataclass(frozen=True)
class Part:
    """What one picture shows: 28 days from a Monday on, those of them that are laid, and the kilns that burn then."""

    monday: dt.date
    days: tuple[CalendarDay, ...]
    kilns: tuple[str, ...]


def parts_of(found: Calendar) -> tuple[Part, ...]:
    """The pictures of a calendar, in order; four weeks on which nothing burns and nobody comes have none."""
    parts = []
    days = list(found.laid.days)
    while days:
        monday = days[0].date - dt.timedelta(days=days[0].date.weekday())
        ends = monday + dt.timedelta(weeks=WEEKS)
        shown = tuple(day for day in days if day.date < ends)
        days = days[len(shown) :]
        busy = {key for day in shown for key in (*(key for key, _ in day.batches), *day.check)}
        kilns = tuple(key for key in found.names if key in busy)
        for first in range(0, len(kilns), _MOST_ROWS):
            parts.append(Part(monday, shown, kilns[first : first + _MOST_ROWS]))
    return tuple(parts)


def drawn(a: Assessment, number: int, words: Words) -> str | None:
    """One picture of the calendar as SVG; None where there is none of that number."""
    found = a.calendar
    parts = () if found is None else parts_of(found)
    if found is None or number >= len(parts):
        return None
    part, pen = parts[number], Pen(f"calendar{number}")
    barred = frozenset(each.spot for each in a.decisions if not each.may_be_lit)
    bottom = _HEAD + (len(part.kilns) + 1) * _ROW
    _heads(pen, part, words)
    for day in part.days:
        _column(pen, day, _x(part, day.date), bottom)
    for row, key in enumerate(part.kilns):
        y = _HEAD + row * _ROW
        pen.text(0.5, y + _ROW / 2, _name(a, key), 8.0, "start", bold=True)
        _line(pen, 0, y, WIDE_MM - 1, y)
        _batches(pen, part, key, y, barred=key in barred)
    _checks(pen, part, found.laid.looks_again, words, bottom - _ROW)
    _line(pen, 0, bottom, WIDE_MM - 1, bottom)
    _end(pen, part, found.permit_ends, words, bottom)
    last = _legend(pen, words, bottom + 5.0, _marks(part, barred))
    return pen.svg(WIDE_MM, last + 3.5, "chart", words("calendar.chart"))


def _name(a: Assessment, key: str) -> str:
    """The name of a kiln, as much of it as there is room for before the first day."""
    names = (short_kiln(a, key, letters) for letters in range(_NAME, 3, -1))
    return next((name for name in names if text_width(name, 8.0, bold=True) < _LEFT - 1), short_kiln(a, key, 3))


def _x(part: Part, date: dt.date) -> float:
    return _LEFT + (date - part.monday).days * _DAY


def _line(pen: Pen, x1: float, y1: float, x2: float, y2: float, stroke: str = _GREY, width_pt: float = 0.4) -> None:
    pen.line(LineString([(x1, y1), (x2, y2)]), stroke, width_pt)


def _heads(pen: Pen, part: Part, words: Words) -> None:
    """Months, days of the week, days of the month."""
    told = told_words(words.language)["calendar"]
    names, months = told["days"].split(), told["months"].split()
    for n in range(7 * WEEKS):
        date, x = part.monday + dt.timedelta(days=n), _LEFT + n * _DAY
        if date.day == 1 or (n == 0 and (date + dt.timedelta(days=_HEAD_DAYS)).month == date.month):
            pen.text(x + 0.5, 2.0, f"{months[date.month - 1]} {date.year}", 7.5, "start", bold=True)
        pen.text(x + _DAY / 2, 6.3, names[date.weekday()][:2], 6.5, fill="#555555")
        pen.text(x + _DAY / 2, 10.4, f"{date.day}", 7.5, bold=date.weekday() == 0)


def _column(pen: Pen, day: CalendarDay, x: float, bottom: float) -> None:
    """One day: its lines, heavier on Mondays, and its pattern where nothing is burned on it."""
    _line(pen, x, _HEAD, x, bottom, _GREY, 1.0 if day.date.weekday() == 0 else 0.3)
    if day.shut:
        pen.area(box(x, _HEAD, x + _DAY, bottom), "none", "landing" if day.shut == "closed" else "no go", _GREY)


def _batches(pen: Pen, part: Part, key: str, y: float, *, barred: bool) -> None:
    for day in part.days:
        count = dict(day.batches).get(key)
        if count:
            x = _x(part, day.date)
            _batch(pen, (x + 0.5, y + 0.5, x + _DAY - 0.5, y + _ROW - 0.5), f"{count}", 9.0, barred=barred)


def _batch(pen: Pen, cell: tuple[float, float, float, float], count: str, size: float, *, barred: bool) -> None:
    """A number in a black cell; in a dashed one with a question mark, of a kiln that may not be lit as it stands."""
    west, north, east, south = cell
    if barred:
        pen.box(west, north, east, south, "#ffffff", DARK, width=0.8, dash=(2.0, 1.5))
        pen.text((west + east) / 2, (north + south) / 2, f"{count}?", size - 1.0, fill=DARK)
    else:
        pen.box(west, north, east, south, DARK)
        pen.text((west + east) / 2, (north + south) / 2, count, size, bold=True, fill="#ffffff")


def _checks(pen: Pen, part: Part, again: frozenset[dt.date], words: Words, y: float) -> None:
    """The days somebody comes and looks: rings on the morning after, dots on the later ones."""
    _line(pen, 0, y, WIDE_MM - 1, y, DARK, 0.8)
    pen.text(0.5, y + _ROW / 2, words("calendar.check_row"), 8.0, "start")
    for day in part.days:
        if any(key in part.kilns for key in day.check):
            pen.circle(_x(part, day.date) + _DAY / 2, y + _ROW / 2, 1.7, "#ffffff", DARK, 1.2)
    for date in again:
        if part.monday <= date < part.monday + dt.timedelta(weeks=WEEKS):
            pen.circle(_x(part, date) + _DAY / 2, y + _ROW / 2, 0.7, DARK, DARK, 0.1)


def _end(pen: Pen, part: Part, ends: dt.date | None, words: Words, bottom: float) -> None:
    """The end of the permit, a thick line after its last day."""
    if ends is None or not 0 <= (ends - part.monday).days < 7 * WEEKS:
        return
    x, told = _x(part, ends) + _DAY, words("calendar.permit_ends")
    _line(pen, x, _HEAD - 4.5, x, bottom, DARK, 2.4)
    room = x - _LEFT > text_width(told, 7.0, bold=True)
    pen.text(x - 1.0 if room else x + 1.0, bottom + 1.6, told, 7.0, "end" if room else "start", bold=True)


def _marks(part: Part, barred: Collection[str]) -> Iterator[str]:
    """The marks of a picture, in order: those of a barred kiln and of a closed day only where there is one."""
    yield "batches"
    if any(key in barred for key in part.kilns):
        yield "barred"
    yield from ("looked", "again", "no_work")
    if any(day.shut == "closed" for day in part.days):
        yield "closed"


def _legend(pen: Pen, words: Words, y: float, marks: Iterable[str]) -> float:
    """What the marks mean, on a further line where one is full; the place of the last line."""
    x = _LEGEND_LEFT
    for mark in marks:
        told = words(f"calendar.mark_{mark}")
        wide = 4.4 + 1.2 + text_width(told, 7.5)
        if x + wide > WIDE_MM:
            x, y = _LEGEND_LEFT, y + 4.5
        west, north, east, south = x, y - 1.8, x + 4.4, y + 1.8
        if mark in ("batches", "barred"):
            _batch(pen, (west, north, east, south), "2", 8.0, barred=mark == "barred")
        elif mark == "looked":
            pen.circle((west + east) / 2, y, 1.7, "#ffffff", DARK, 1.2)
        elif mark == "again":
            pen.circle((west + east) / 2, y, 0.7, DARK, DARK, 0.1)
        else:
            pen.area(box(west, north, east, south), "none", "landing" if mark == "closed" else "no go", _GREY)
            pen.box(west, north, east, south, "none", _GREY)
        pen.text(east + 1.2, y, told, 7.5, "start")
        x += wide + 2.8
    return y
