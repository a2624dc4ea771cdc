"""From where the wind keeps smoke off: a compass for each kiln, the barred winds striped, a line towards each place."""

from __future__ import annotations

import math

from shapely.geometry import LineString, Polygon

from sitemap.assessment import Assessment
from sitemap.plan.map.pen import DARK, Pen
from sitemap.plan.map.signs import text_width
from sitemap.plan.phrases import Words
from sitemap.plan.say import short_kiln
from sitemap.season.smoke_of_site import KilnSmoke
from sitemap.season.winds import Arc

SIDE_MM, ACROSS, DOWN = 46.0, 4, 5  # of one compass; so many beside each other, and under each other on one sheet
_R, _MID, _NAME = 15.0, 23.0, 24
_MOST = 9  # places drawn round one kiln; all of them stand in the table
_POINTS = (("north", 0), ("east", 90), ("south", 180), ("west", 270))


def drawn(a: Assessment, number: int, words: Words) -> str | None:
    """So many compasses as a sheet holds, from the kiln of that number of sheets on; None where there is none."""
    shown = a.smoke[number * ACROSS * DOWN :][: ACROSS * DOWN]
    if not shown:
        return None
    pen, deep = Pen(f"winds{number}"), SIDE_MM + 5.0
    for n, each in enumerate(shown):
        _compass(pen, each, words, n % ACROSS * SIDE_MM, n // ACROSS * deep)
        name = short_kiln(a, each.spot, _NAME)
        pen.text((n % ACROSS + 0.5) * SIDE_MM, n // ACROSS * deep + SIDE_MM + 1.5, name, 8.0, bold=True)
    width, height = min(len(shown), ACROSS) * SIDE_MM, math.ceil(len(shown) / ACROSS) * deep
    return pen.svg(width, height, "chart", words("calendar.compass"))


def compass(smoke: KilnSmoke, words: Words) -> str:
    """The winds of one kiln alone, as SVG."""
    pen = Pen(f"winds-{smoke.spot}")
    _compass(pen, smoke, words, 0.0, 0.0)
    return pen.svg(SIDE_MM, SIDE_MM, "chart", words("calendar.compass"))


def _compass(pen: Pen, smoke: KilnSmoke, words: Words, left: float, top: float) -> None:
    x, y = left + _MID, top + _MID
    pen.circle(x, y, _R, "#ffffff", DARK, 1.2)
    for arc in smoke.bad:
        sector = _sector(arc, x, y)
        pen.area(sector, "none", "no go", DARK)
        pen.line(sector, DARK, 0.8)
    for key, bearing in _POINTS:
        told = words(f"calendar.{key}")
        pen.text(*_at(x, y, bearing, _R + 1.6 + text_width(told, 9.0) / 2), told, 9.0, bold=True)
    for n, place in enumerate(smoke.places[:_MOST], start=1):
        end, label = _at(x, y, place.bearing_deg, _R - 2.0), _at(x, y, place.bearing_deg, _R - 5.0)
        pen.line(LineString([(x, y), end]), "#ffffff", 3.6)
        pen.line(LineString([(x, y), end]), DARK, 1.8)
        pen.circle(*label, 1.9, "#ffffff", DARK, 0.8)
        pen.text(*label, f"{n}", 8.0, bold=True)
    pen.circle(x, y, 1.2, DARK)


def _sector(arc: Arc, x: float, y: float) -> Polygon:
    begin, end = arc
    sweep = (end - begin) % 360 or 360.0
    steps = max(math.ceil(sweep / 3), 2)
    rim = [_at(x, y, begin + sweep * n / steps, _R) for n in range(steps + 1)]
    return Polygon(rim if sweep == 360 else [(x, y), *rim])


def _at(x: float, y: float, bearing_deg: float, radius: float) -> tuple[float, float]:
    angle = math.radians(bearing_deg)
    return x + radius * math.sin(angle), y - radius * math.cos(angle)
