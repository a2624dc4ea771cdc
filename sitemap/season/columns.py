"""Columns of a weather file that belong together: a day and its hour, the highest and the lowest of a day."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Sequence

Cells = tuple[tuple[str, ...], ...]
_DAY = ("date", "day", "fecha", "día", "dia", "datum", "tag", "jour", "data")
_HOUR = ("time", "hour", "hr", "hora", "local_time", "time_local", "time_utc", "uhrzeit", "zeit", "stunde", "heure")
_PARTS = (("year", "yr", "yyyy", "año"), ("month", "mo", "mm", "mes"), ("day", "dd", "dy", "día", "dia"))
_HIGH = re.compile(r"max|high|highest", re.IGNORECASE)
_MEAN = "mean of {} and {}"


def joined(heads: tuple[str, ...], rows: Cells) -> tuple[tuple[str, ...], Cells]:
    """The table with one column of times where day and hour stand in columns of their own, and with a mean where only
    the highest and the lowest of a day are given.

    heads, rows : as read, a cell for each head
    """
    heads, rows = _times(heads, rows)
    return _means(heads, rows)


def _times(heads: tuple[str, ...], rows: Cells) -> tuple[tuple[str, ...], Cells]:
    named = [re.sub(r"\W+$", "", head.casefold().strip()) for head in heads]
    hour = _first(named, _HOUR)
    parts = [_first(named, words) for words in _PARTS]
    if all(part is not None for part in parts):
        days = [_of_parts([row[part] for part in parts if part is not None]) for row in rows]
    elif hour is not None and (day := _first(named, _DAY)) is not None:
        days = [row[day] for row in rows]
    else:
        return heads, rows
    times = [_at(day, row[hour]) if hour is not None else day for day, row in zip(days, rows, strict=True)]
    used = {each for each in (hour, _first(named, _DAY), *parts) if each is not None}
    kept = [number for number in range(len(heads)) if number not in used]
    cells = tuple((time, *(row[number] for number in kept)) for time, row in zip(times, rows, strict=True))
    said = " UTC" if any("utc" in named[number] or "gmt" in named[number] for number in used) else ""
    return (f"date and time{said}", *(heads[number] for number in kept)), cells


def _first(named: Sequence[str], words: Sequence[str]) -> int | None:
    return next((number for number, name in enumerate(named) if name in words), None)


def _of_parts(parts: Sequence[str]) -> str:
    year, month, day = parts
    return f"{year}-{month:0>2}-{day:0>2}" if all(each.isdecimal() for each in parts) else ""


def _at(day: str, hour: str) -> str:
    """Day and hour in one; hours counted 1 to 24 end with the midnight of the next day."""
    if not day or not hour:
        return day
    whole = re.fullmatch(r"(\d{1,2})(?::?00)?", hour)
    if whole is None:
        return f"{day} {hour}"
    if int(whole[1]) == 24:
        try:
            return f"{dt.date.fromisoformat(day) + dt.timedelta(days=1)} 00:00"
        except ValueError:
            return f"{day} {hour}"
    return f"{day} {int(whole[1]):02d}:00"


def _means(heads: tuple[str, ...], rows: Cells) -> tuple[tuple[str, ...], Cells]:
    """Beside each pair of a highest and a lowest their mean: common practice for days, no source."""
    for head in heads:
        other = _lowest(head, heads)
        if other is None:
            continue
        high, low = heads.index(head), heads.index(other)
        cells = tuple((*row, _mean(row[high], row[low])) for row in rows)
        heads, rows = (*heads, _MEAN.format(head, other)), cells
    return heads, rows


def _lowest(head: str, heads: Sequence[str]) -> str | None:
    if not _HIGH.search(head) or re.search(r"wind|gust", head, re.IGNORECASE):
        return None
    for lower in ("min", "low", "lowest"):
        wanted = _HIGH.sub(lower, head, count=1).casefold()
        found = next((each for each in heads if each.casefold() == wanted), None)
        if found is not None:
            return found
    return None


def _mean(high: str, low: str) -> str:
    try:
        return f"{(float(high.replace(',', '.')) + float(low.replace(',', '.'))) / 2:g}"
    except ValueError:
        return ""
