"""The day sheet: the order of the water, the clock, the limits, the boxes before lighting and the log, on one side."""

from __future__ import annotations

from sitemap.assessment import Assessment, SpotReport
from sitemap.kiln.values import Clock
from sitemap.plan.model import Block, Boxes, Paragraph, Section, Sheet, Table
from sitemap.plan.parts.limits import stop_rows
from sitemap.plan.parts.moved import moved
from sitemap.plan.phrases import Words
from sitemap.plan.say import name_of, short_kiln, shortened, spots_in_use
from sitemap.plan.sheets.times import KEYS, batches, moments
from sitemap.reasons import KilnName, Term, litres
from sitemap.site.model import Entry
from sitemap.water.values import WaterLine
from sitemap.wording import WAYS

BODY_PT = 9
TICKS = (  # keys of the ticks in a site file, and of their words
    *("ban", "permit", "forecast", "weather", "neighbours", "crew"),
    *("ring", "water", "ways_out", "machine", "lookout"),
)
_LOG_LINES = 8  # of the log where there is room; the back of the sheet is empty
_MORE_LINES = 2  # than kilns, where there is room
_LEAST = 8  # letters of the name of a source
_NAME = 26  # letters of a name in a narrow column
_TRIES = (
    (_LOG_LINES, _NAME),
    (6, _NAME),
    (4, _NAME),
    (4, 12),
    (3, 2),
    (2, 2),
)  # lines, letters: where there is less room
_READ = "\u00a0"  # a cell for the pen


def sheets(a: Assessment, words: Words) -> tuple[Sheet, ...]:
    """The sheet of the burn day: the one day that is worked out."""
    most = max(_LOG_LINES, len(spots_in_use(a)) + _MORE_LINES)
    versions = [_blocks(a, words, lines, name) for lines, name in ((most, _NAME), *_TRIES)]
    title = words("day.title", day=words.day(a.on))
    about = None if a.on is None else a.on.isoformat()
    return (Sheet("day", title, versions[0], True, BODY_PT, about, tuple(versions[1:])),)


def _blocks(a: Assessment, words: Words, lines: int, name: int) -> tuple[Block, ...]:
    return (
        Section("clock", words("day.clock"), _clock(a, words, name)),
        Section("limits", words("day.limits"), (_limits(a, words),)),
        Section("before", words("day.before"), (Boxes(_ticks(a, words), columns=2),)),
        Section("log", words("day.log"), (_log(a, words, lines),)),
    )


def _clock(a: Assessment, words: Words, most: int) -> tuple[Block, ...]:
    """Every batch in the order its water begins; the kilns that are not lit in one line, without any time."""
    found = batches(a)
    lit = {spot.id for *_, spot in found}
    dark = [KilnName(short_kiln(a, s.id, most)) for s in a.spots if s.id not in lit]
    not_lit = [Paragraph(words("day.not_lit", kilns=tuple(dark)))] if dark else []
    if not found:
        return (Paragraph(words("day.no_times"), "strong"), *not_lit)
    heads = (
        words("day.kiln"),
        words("day.water_from"),
        words("day.minutes"),
        *(words(f"shared.{key}") for key in KEYS),
    )
    rows = tuple(_batch(a, words, clock, spot, number, most) for number, clock, spot in found)
    earlier = [words.told(each) for each in a.on_the_day if each.code == "today.light_earlier"]
    above = tuple(Paragraph(told, "strong") for told in (*moved(a, words), *earlier))
    return (*above, Table("", heads, rows, (14, 16, 8, 11, 11, 9, 9, 13, 11, 15)), *not_lit)


def _batch(a: Assessment, words: Words, clock: Clock, spot: SpotReport, number: int, most: int) -> tuple[str, ...]:
    wet = a.water.of_spot(spot.id) if a.water else None
    name = words("shared.kiln", kiln=KilnName(short_kiln(a, spot.id, most)))
    return (f"{number}  {name}", *_water(a, words, wet.quench if wet else None, most), *moments(words, a.on, clock))


def _water(a: Assessment, words: Words, line: WaterLine | None, most: int) -> tuple[str, str]:
    if line is None or line.source is None or line.way is None:
        return words("shared.not_known"), words("shared.not_known")
    source = shortened(name_of(a, line.source), max(most, _LEAST))
    took = line.minutes_to_quench
    minutes = words("shared.not_known") if took is None else f"{took.triple()[2]:.0f}"
    return words("day.by", way=Term(WAYS[line.way]), source=source), minutes


def _limits(a: Assessment, words: Words) -> Table:
    """Where the burn stops, and blanks for what is read at three hours of the day."""
    rows = tuple((*row, *(_READ,) * 3) for row in stop_rows(a, words))
    heads = tuple(words(f"day.{key}") for key in ("limit", "inside", "stops", "read_first", "read_noon", "read_water"))
    return Table("", heads, rows, (24, 25, 26, 17, 17, 17), hand=True)


def _ticks(a: Assessment, words: Words) -> tuple[tuple[str, str], ...]:
    """Boxes that are empty again the next day: a tick counts only where its own day is the burn date."""
    ticked = {}
    for entry in a.source.records("ticks"):
        who, when, what = entry.text("who"), entry.text("when"), entry.text("what")
        if what and who and when and a.on is not None and when.strip()[:10] == a.on.isoformat():
            ticked[what.strip().casefold().replace(" ", "_")] = f"{who}, {when.strip()[10:].strip()}".rstrip(", ")
    return tuple((words(f"day.tick_{what}"), ticked.get(what, "")) for what in TICKS)


def _log(a: Assessment, words: Words, lines: int) -> Table:
    """What was logged on the day, and lines for the pen."""
    heads = tuple(words(f"day.log_{key}") for key in ("kiln", "lit", "water", "steam", "buckets", "used", "remarks"))
    kept = [_logged(a, words, entry) for entry in a.source.records("log") if entry.date("date") == a.on]
    empty = ((_READ,) * len(heads),) * max(lines - len(kept), 2)
    return Table("", heads, (*kept[-lines:], *empty), (16, 14, 11, 11, 14, 14, 46), hand=True)


def _logged(a: Assessment, words: Words, entry: Entry) -> tuple[str, ...]:
    kiln, buckets, used = entry.text("kiln"), entry.number("buckets"), entry.number("water_l")
    return (
        shortened(name_of(a, kiln), _NAME) if kiln else "",
        *(entry.text(key) or "" for key in ("lit", "water_on", "out")),
        f"{buckets:g}" if buckets is not None else "",
        words("day.figure", figure=litres(used)) if used is not None else "",
        shortened(entry.text("text") or "", 2 * _NAME),
    )
