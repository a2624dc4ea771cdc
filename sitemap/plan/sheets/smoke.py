"""Smoke on the sheets of the season: a compass for each kiln, what may arrive at each place, and what to heed."""

from __future__ import annotations

import math

from sitemap.assessment import Assessment
from sitemap.geodesy.measure import compass_word
from sitemap.plan.charts.winds import ACROSS, DOWN
from sitemap.plan.model import Block, Items, MapHere, Paragraph, Sheet, Table
from sitemap.plan.phrases import Words
from sitemap.plan.say import short_kiln, shortened
from sitemap.reasons import Term, metres
from sitemap.season.airs import airs_of
from sitemap.season.smoke_of_site import KilnSmoke, Reached, cautions_of, order_of
from sitemap.season.smoke_together import Together

_KILN, _NAME = 14, 30  # letters of a name in a column
_POINT_DEG = 22.5  # from one point of the compass to the next
_KILNS, _PLACES = 12, 15  # on one side
COLUMNS = ("kiln", "wind", "place", "away", "towards", "lies", "by_day", "evening", "forecast")
_WIDTHS = (17, 24, 29, 14, 18, 19, 21, 22, 26)
_LIES = {"below": "drains", "not known": "drains_not_known", "not below": "level"}
IN_THE_TABLE = ("season.good_winds", "season.drains_to")  # not said twice


def winds(a: Assessment, words: Words) -> tuple[Sheet, ...]:
    """The sheet; none where there is no place to keep smoke from."""
    if not a.smoke:
        return ()
    fits = len(a.smoke) <= _KILNS and sum(len(each.places) for each in a.smoke) + len(a.smoke_together) <= _PLACES
    return (Sheet("calendar", words("smoke.head"), _blocks(a, words), fits, 9, "winds"),)


def _blocks(a: Assessment, words: Words) -> tuple[Block, ...]:
    said = (*(each.told for each in a.smoke), *cautions_of(a.smoke))
    told = tuple(words.told(why) for why in said if why.code not in IN_THE_TABLE)
    rows = tuple(
        row(a, words, each, number, place) for each in a.smoke for number, place in enumerate(each.places, start=1)
    )
    rows += tuple(
        (
            words("smoke.together", count=len(each.kilns)),
            "",
            shortened(each.place, _NAME),
            "",
            "",
            "",
            *_bare(a, each, words),
        )
        for each in a.smoke_together
    )
    return (
        *(MapHere(f"winds-{n}", "") for n in range(-(-len(a.smoke) // (ACROSS * DOWN)))),
        Paragraph(words("smoke.stripes"), "small"),
        Items((*told, words("smoke.evening_caution"))),
        Table("", tuple(words(f"smoke.{key}") for key in COLUMNS), rows, _WIDTHS, small=True),
        Paragraph(words("smoke.how"), "small"),
    )


def row(a: Assessment, words: Words, each: KilnSmoke, number: int, place: Reached) -> tuple[str, ...]:
    """One place seen from one kiln, in the order of COLUMNS; number : of the place, nearest first"""
    return (
        short_kiln(a, each.spot, _KILN),
        good_winds(each, words),
        f"{number} {shortened(place.name, _NAME)}",
        words.shown(metres(place.away_m, 2, "down")),
        f"{words.shown(Term(compass_word(place.bearing_deg)))}, {place.bearing_deg:.0f}°",
        lies(place, words),
        *_bare(a, place, words),
    )


def good_winds(each: KilnSmoke, words: Words, *, ends: bool = True) -> str:
    """From where the wind may come, clockwise, by the points of the compass within each arc; ends : its degrees too"""
    arcs = (_arc(begin, end, words, "arc" if ends else "points") for begin, end in each.good)
    return ", ".join(arcs) or words("smoke.no_wind")


def _arc(begin_deg: float, end_deg: float, words: Words, key: str) -> str:
    ends, wide = f"{round(begin_deg)}–{round(end_deg)}°", (end_deg - begin_deg) % 360
    before = math.ceil(begin_deg / _POINT_DEG) * _POINT_DEG - begin_deg  # to the first point within
    if before > wide:
        return ends
    last = before + (wide - before) // _POINT_DEG * _POINT_DEG
    points = (Term(compass_word((begin_deg + past) % 360)) for past in (before, last))
    return words(f"smoke.{key}", ends=ends, **dict(zip(("first", "last"), points, strict=True)))


def lies(place: Reached, words: Words) -> str:
    """Whether cold air runs from the kiln to a place, and how much lower it lies."""
    return words(f"smoke.{_LIES[place.lie]}", lower=metres(place.lower_m, 2))


def _bare(a: Assessment, place: Reached | Together, words: Words) -> tuple[str, ...]:
    """The orders without their unit, which stands in the heads of the table."""
    return tuple(told.replace(" µg/m³", "") for told in orders(a, place, words))


def orders(a: Assessment, place: Reached | Together, words: Words) -> tuple[str, str, str]:
    """What may arrive at a place, to its order of magnitude: by day, on a calm evening, by the forecast."""
    nowhere = "not_there" if airs_of(a.source, a.plane, a.weather) else "no_forecast"
    blown = words(f"smoke.{nowhere}") if place.by_forecast is None else _order(place.by_forecast, words)
    hours = f"{blown} ({words('smoke.hours', count=place.hours)})" if place.hours else blown
    return _order(place.by_day, words), _order(place.on_a_calm_evening, words), hours


def _order(micrograms: float, words: Words) -> str:
    order = order_of(micrograms)
    return words("smoke.below") if order is None else words("smoke.about", order=f"{order:,}")
