"""Days in rows of a week, Monday first, as a wall calendar has them."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence

from sitemap.season.calendar import CalendarDay

Week = tuple[CalendarDay | None, ...]


def weeks_of(days: Sequence[CalendarDay]) -> tuple[Week, ...]:
    """The days as rows of seven, None before the first and after the last.

    days : one after the other, without a gap

    >>> day = CalendarDay(dt.date(2026, 12, 4), (), ())
    >>> [[each is not None for each in week] for week in weeks_of([day])]
    [[False, False, False, False, True, False, False]]
    """
    if not days:
        return ()
    rows: dict[dt.date, list[CalendarDay | None]] = {}
    for day in days:
        monday = day.date - dt.timedelta(days=day.date.weekday())
        rows.setdefault(monday, [None] * 7)[day.date.weekday()] = day
    return tuple(tuple(row) for row in rows.values())
