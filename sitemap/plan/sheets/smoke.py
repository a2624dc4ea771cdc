"""Smoke on the sheets of the season: a compass for each kiln, what may arrive at each place, and what to heed."""

from __future__ import annotations

from sitemap.assessment import Assessment
from sitemap.plan.charts.winds import ACROSS, DOWN
from sitemap.plan.model import Block, Items, MapHere, Paragraph, Section, Table
from sitemap.plan.phrases import Words
from sitemap.plan.say import short_kiln, shortened
from sitemap.reasons import metres
from sitemap.season.smoke_of_site import Reached, cautions_of, order_of
from sitemap.season.smoke_together import Together

_KILN, _NAME = 18, 34  # letters of a name in a column
_COLUMNS = ("kiln", "place", "away", "towards", "by_day", "evening", "forecast")


def winds(a: Assessment, words: Words) -> tuple[Block, ...]:
    """The section; nothing where there is no place to keep smoke from."""
    if not a.smoke:
        return ()
    pictures = (MapHere(f"winds-{n}", "") for n in range(-(-len(a.smoke) // (ACROSS * DOWN))))
    rows = tuple(
        (
            short_kiln(a, each.spot, _KILN),
            f"{number} {shortened(place.name, _NAME)}",
            words.shown(metres(place.away_m, 2, "down")),
            f"{place.bearing_deg:.0f}°",
            *orders(place, words),
        )
        for each in a.smoke
        for number, place in enumerate(each.places, start=1)
    )
    rows += tuple(
        (words("smoke.together", count=len(each.kilns)), shortened(each.place, _NAME), "", "", *orders(each, words))
        for each in a.smoke_together
    )
    said = tuple(words.told(why) for why in (*(each.told for each in a.smoke), *cautions_of(a.smoke)))
    blocks: tuple[Block, ...] = (
        *pictures,
        Paragraph(words("smoke.stripes"), "small"),
        Items((*said, words("smoke.evening_caution"))),
        Table("", tuple(words(f"smoke.{key}") for key in _COLUMNS), rows, (20, 40, 18, 16, 26, 26, 34), small=True),
        Paragraph(words("smoke.how"), "small"),
    )
    return (Section("winds", words("smoke.head"), blocks),)


def orders(place: Reached | Together, words: Words) -> tuple[str, str, str]:
    """What may arrive at a place, to its order of magnitude: by day, on a calm evening, and by the forecast."""
    blown = words("smoke.not_there") if place.by_forecast is None else _order(place.by_forecast, words)
    hours = f"{blown} ({words('smoke.hours', count=place.hours)})" if place.hours else blown
    return _order(place.by_day, words), _order(place.on_a_calm_evening, words), hours


def _order(micrograms: float, words: Words) -> str:
    order = order_of(micrograms)
    return words("smoke.below") if order is None else words("smoke.about", order=f"{order:,}")
