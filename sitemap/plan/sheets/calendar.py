"""The calendar sheet: which kiln burns how many batches on which day, as a wall calendar has it."""

from __future__ import annotations

import datetime as dt

from sitemap.assessment import Assessment
from sitemap.plan.model import Block, Items, Paragraph, Sheet, Table
from sitemap.plan.phrases import Words
from sitemap.season.calendar import CalendarDay
from sitemap.season.calendar_of_site import Calendar
from sitemap.season.weeks import Week, weeks_of
from sitemap.telling import words as told_words


def sheets(a: Assessment, words: Words) -> tuple[Sheet, ...]:
    """The one sheet."""
    found = a.calendar
    blocks: tuple[Block, ...] = (Paragraph(words("calendar.none")),) if found is None else _blocks(found, words)
    dry = tuple(words.told(each.told) for each in a.drying)
    taught = tuple(words.told(why) for each in a.taught for why in each.told)
    winds = tuple(words.told(each.told) for each in a.smoke)
    said = dry + taught + winds
    blocks += (Items(said, small=True),) if said else ()
    return (Sheet("calendar", words("calendar.title"), blocks, one_side=False, body_pt=9),)


def _blocks(found: Calendar, words: Words) -> tuple[Block, ...]:
    heads = (words("calendar.week"), *told_words(words.language)["calendar"]["days"].split())
    rows = tuple(
        (_week(week, words), *(_cell(found, day, words) for day in week)) for week in weeks_of(found.laid.days)
    )
    left = [words("calendar.left", name=found.names.get(key, key), count=count) for key, count in _left(found)]
    return (
        Paragraph(words.told(found.told), "strong"),
        Table("", heads, rows, (9, *(13,) * 7), small=True),
        *(Paragraph(each) for each in left),
        Paragraph(words("calendar.how"), "small"),
        *(Paragraph(words.told(note.text), "small") for note in found.notes),
    )


def _left(found: Calendar) -> list[tuple[str, int]]:
    return [(key, count) for key, count in found.laid.left.items() if count]


def _cell(found: Calendar, day: CalendarDay | None, words: Words) -> str:
    if day is None:
        return ""
    said = [f"{found.names.get(key, key)}\u00a0×\u00a0{count}" for key, count in day.batches]
    if day.shut == "closed":
        said.append(day.why or words("calendar.shut"))
    if day.check:
        said.append(words("calendar.check"))
    if day.date == found.permit_ends:
        said.append(words("calendar.permit_ends"))
    return f"{day.date.day}: {', '.join(said)}" if said else f"{day.date.day}" if not day.shut else "–"


def _week(week: Week, words: Words) -> str:
    """Its Monday, as people write it."""
    day = next(each for each in week if each is not None)
    monday = day.date - dt.timedelta(days=day.date.weekday())
    return " ".join(words.day(monday).split()[1:3])
