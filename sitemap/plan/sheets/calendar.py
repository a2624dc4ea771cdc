"""The sheets of the season: which kiln burns on which day, when heaps are dry, the hours of the forecast, the winds."""

from __future__ import annotations

import datetime as dt

from sitemap.assessment import Assessment
from sitemap.day.as_if_moved import laid_though_barred
from sitemap.helps import helps_of
from sitemap.plan.charts.calendar import parts_of
from sitemap.plan.model import Block, Items, MapHere, Paragraph, Section, Sheet, Table
from sitemap.plan.phrases import Words
from sitemap.plan.say import short_kiln
from sitemap.plan.sheets.smoke import winds
from sitemap.reasons import Range, Term
from sitemap.season.calendar import CalendarDay
from sitemap.season.calendar_of_site import Calendar
from sitemap.season.climate import told_of
from sitemap.season.log_of_site import LABELS
from sitemap.season.weeks import Week, weeks_of
from sitemap.telling import words as told_words
from sitemap.wording import capital

BODY_PT = 9
_ROWS, _AROUND = 30, 5  # of the pictures on one side; of each beside its kilns
_NAME = 12  # letters of a kiln in a cell


def sheets(a: Assessment, words: Words) -> tuple[Sheet, ...]:
    """What burns on which day; the wood and the weather; the winds. Each is one side unless there is too much of it."""
    found = a.calendar
    learned = _taught(a, words)
    versions = [(Paragraph(words("calendar.none")), *learned)]
    if found is not None:
        helps = _helps(a, found, words)
        versions = [(*_blocks(a, found, words, helps, table), *learned) for table in (True, False)]
    parts = parts_of(found) if found is not None else ()
    fits = sum(len(part.kilns) + _AROUND for part in parts) <= _ROWS
    made = [Sheet("calendar", words("calendar.title"), versions[0], fits, BODY_PT, shorter=tuple(versions[1:]))]
    ready = (*_drying(a, words), *_strip(a, words))
    if ready:
        made.append(Sheet("calendar", words("calendar.ready_head"), ready, False, BODY_PT, "ready"))
    return (*made, *winds(a, words))


def _blocks(a: Assessment, found: Calendar, words: Words, helps: tuple[Block, ...], table: bool) -> tuple[Block, ...]:
    """helps : what would help; table : the days in words too, where there is room for what the picture shows already"""
    heads = (words("calendar.week"), *told_words(words.language)["calendar"]["days"].split())
    rows = tuple(
        (_week(week, words), *(_cell(a, found, day, words) for day in week)) for week in weeks_of(found.laid.days)
    )
    barred = laid_though_barred(a.decisions, found.laid.places)
    left = [words("calendar.left", name=found.names.get(key, key), count=count) for key, count in _left(found)]
    return (
        Paragraph(words.told(found.told), "strong"),
        *((Paragraph(words.told(barred), "strong"),) if barred is not None else ()),
        *((Paragraph(words("calendar.counted")),) if found.laid.burn_days else ()),
        *(MapHere(f"calendar-{n}", "") for n in range(len(parts_of(found)))),
        *(Paragraph(each) for each in left),
        *helps,
        *(
            (Table("", heads, rows, (9, *(13,) * 7), small=True), Paragraph(words("calendar.how"), "small"))
            if table
            else ()
        ),
        *(Paragraph(words.told(note.text), "small") for note in found.notes),
    )


def _left(found: Calendar) -> list[tuple[str, int]]:
    return [(key, count) for key, count in found.laid.left.items() if count]


def _helps(a: Assessment, found: Calendar, words: Words) -> tuple[Block, ...]:
    """What would help, where what is likely does not fit."""
    if found.word != "does not fit":
        return ()
    rows = tuple(
        (
            words.told(each.told),
            words("calendar.none_burned") if each.last is None else words.day(each.last),
            f"{each.left}",
            f"{each.left_slow}",
        )
        for each in helps_of(a)
    )
    heads = tuple(words(f"calendar.help_{key}") for key in ("change", "last", "left", "slow"))
    return (Table(words("calendar.helps_head"), heads, rows, (80, 34, 26, 36), small=True),)


def _taught(a: Assessment, words: Words) -> tuple[Block, ...]:
    """What the log taught, before and after side by side; and what it says besides."""
    rows = tuple(
        (
            each.name,
            capital(words.shown(Term(LABELS[lesson.quantity]))),
            words.shown(Range(*lesson.before, unit=lesson.unit)),
            words.shown(Range(*lesson.after, unit=lesson.unit)),
            f"{lesson.count}",
        )
        for each in a.taught
        for lesson in each.lessons
    )
    said = tuple(words.told(why) for each in a.taught for why in each.told)
    heads = tuple(words(f"calendar.taught_{key}") for key in ("kiln", "what", "before", "after", "count"))
    table = Table("", heads, rows, (26, 52, 40, 40, 18), small=True)
    blocks = (*((table,) if rows else ()), *((Items(said, small=True),) if said else ()))
    return (Section("taught", words("calendar.taught_head"), blocks),) if blocks else ()


def _drying(a: Assessment, words: Words) -> tuple[Block, ...]:
    if not a.drying:
        return ()
    weather = dict.fromkeys(words.told(told_of(each.recorded)) for each in a.drying)
    said = Items((*(words.told(each.told) for each in a.drying), *weather))
    pictures = (MapHere(f"drying-{n}", "") for n in range(len(a.drying)))
    how = Paragraph(words("calendar.dry_how"), "small")
    return (Section("dry", words("calendar.dry_head"), (said, *pictures, how)),)


def _strip(a: Assessment, words: Words) -> tuple[Block, ...]:
    window = a.weather
    if window is None or not window.burn:
        return ()
    undated = words("calendar.strip_undated")
    head = undated if window.issued is None else words("calendar.strip_head", issued=window.issued)
    said = Items(tuple(words.told(why) for why in window.reasons), small=True)
    blocks = (
        MapHere("strip-0", ""),
        *((said,) if window.reasons else ()),
        Paragraph(words("calendar.strip_how"), "small"),
    )
    return (Section("strip", head, blocks),)


def _cell(a: Assessment, found: Calendar, day: CalendarDay | None, words: Words) -> str:
    if day is None:
        return ""
    said = [f"{short_kiln(a, key, _NAME)}\u00a0×\u00a0{count}" for key, count in day.batches]
    if day.shut == "closed":
        said.append(day.why or words("calendar.shut"))
    if day.check:
        said.append(words("calendar.check"))
    elif day.date in found.laid.looks_again:
        said.append(words("calendar.again"))
    if day.date == found.permit_ends:
        said.append(words("calendar.permit_ends"))
    return f"{day.date.day}: {', '.join(said)}" if said else f"{day.date.day}" if not day.shut else "–"


def _week(week: Week, words: Words) -> str:
    """Its Monday, as people write it."""
    day = next(each for each in week if each is not None)
    monday = day.date - dt.timedelta(days=day.date.weekday())
    return " ".join(words.day(monday).split()[1:3])
