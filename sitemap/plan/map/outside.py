"""What the sheets speak of and the ground of the map does not reach: told below it by distance and direction."""

from __future__ import annotations

from shapely.geometry import Point

from sitemap.assessment import Assessment
from sitemap.geodesy.measure import azimuth_deg, compass_word
from sitemap.plan.map.signs import text_width
from sitemap.plan.map.view import View
from sitemap.plan.phrases import Words
from sitemap.plan.say import away, kiln_mark, shortened
from sitemap.reasons import Quantity, Term
from sitemap.safety.setbacks import Setback
from sitemap.site.on_plane import near_shape

_NAME = 30  # letters


def outside(a: Assessment, view: View, words: Words) -> tuple[str, ...]:
    """Each thing that binds a kiln and lies outside a view, from the kiln it is nearest to; the nearest first."""
    unseen = {
        feature.id
        for feature in a.source.features
        if a.plane is not None and (found := near_shape(feature, a.plane)) is not None and view.on_paper(found).is_empty
    }
    near: dict[str, tuple[float, Setback, str]] = {}
    for spot in a.spots:
        for each in spot.setbacks:
            if each.feature in unseen and each.distance_m is not None and each.line:
                found_now = each.distance_m, each, spot.id
                near[each.feature] = min(near.get(each.feature, found_now), found_now, key=lambda one: one[0])
    return tuple(_told(a, words, each, spot) for _, each, spot in sorted(near.values(), key=lambda one: one[0]))


def _told(a: Assessment, words: Words, setback: Setback, spot: str) -> str:
    start, *_, end = (Point(place) for place in setback.line or ())
    bearing = azimuth_deg(a.plane, start, end) if a.plane is not None else None
    way = "" if bearing is None else Term(compass_word(bearing))
    toward = words("shared.toward", away=away(setback), way=way).strip()
    return words("map.outside_one", name=shortened(setback.name, _NAME), away=toward, kiln=kiln_mark(a, spot))


def in_a_row(words: Words, key: str, told: tuple[str, ...], width: float, size_pt: float) -> str:
    """As many of some things as a row has room for, behind its words, and how many more there are."""
    for kept in range(len(told), 0, -1):
        more = [words("map.more", n=Quantity(len(told) - kept, "count"))] if kept < len(told) else []
        row = words(key, names=", ".join((*told[:kept], *more)))
        if text_width(row, size_pt) <= width:
            return row
    return words(key, names=words("map.things", n=Quantity(len(told), "count")))
