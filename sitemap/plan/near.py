"""Where a thing lies from another, and least distances as one paces them out."""

from __future__ import annotations

import math

from sitemap.assessment import Assessment
from sitemap.geodesy.measure import azimuth_deg, compass_word, distance_m
from sitemap.plan.phrases import Words
from sitemap.plan.say import up
from sitemap.reasons import Term, metres
from sitemap.site.model import Feature
from sitemap.site.on_plane import middle_of, near_shape
from sitemap.telling import word
from sitemap.units import unit_label


def way_to(a: Assessment, words: Words, start: Feature, end: Feature) -> str:
    """How far a thing lies from another and in which direction ("120 m NW"); of a line the end that is farther off.

    Empty where either has no place.
    """
    if a.plane is None:
        return ""
    here, shape = middle_of(start, a.plane), near_shape(end, a.plane)
    there = middle_of(end, a.plane)
    if here is None or shape is None or there is None:
        return ""
    if shape.geom_type == "LineString":
        there = max(shape.boundary.geoms, key=here.distance, default=there)
    bearing = azimuth_deg(a.plane, here, there)
    way = "" if bearing is None else Term(compass_word(bearing))
    return words("shared.toward", away=metres(float(distance_m(here, there)), 2), way=way).strip()


def nearest(a: Assessment, start: Feature | None, kind: str) -> tuple[Feature, ...]:
    """Things of a kind, the nearest to a place first; as listed where that has none."""
    found = a.source.of_kind(kind)
    here = None if start is None or a.plane is None else middle_of(start, a.plane)
    if here is None or a.plane is None:
        return found
    away = {each.id: near_shape(each, a.plane) for each in found}
    return tuple(sorted(found, key=lambda each: math.inf if (at := away[each.id]) is None else at.distance(here)))


def at_least(metres_: float, words: Words) -> str:
    """A least distance, rounded up to what one can pace out."""
    label = unit_label("m", words.units)
    return up(metres_, words.units).replace(label, word(label, words.language))
