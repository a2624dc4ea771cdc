"""Sectors on the map of the papers: where to patrol for embers, and where smoke drifts by the forecast."""

from __future__ import annotations

from collections.abc import Iterator

from shapely import Point, union_all

from sitemap.assessment import Assessment
from sitemap.maps.sectors import sectors_of
from sitemap.maps.symbols import OVERLAYS
from sitemap.plan.map.labels import Name
from sitemap.plan.map.pen import Pen, dash_of, width_of
from sitemap.plan.map.view import View
from sitemap.plan.say import spots_in_use
from sitemap.reasons import metres
from sitemap.telling import quantity_text

STYLES = ("patrol", "smoke")
_TRIES = 24  # places along the edge where its figure may stand


def draw_sectors(a: Assessment, pen: Pen, view: View, drawn: set[str]) -> Iterator[Name]:
    """The edges of the sectors of all kilns that may be placed where they are, and how far embers may fly, for the
    edge; drawn : told which styles were."""
    used = {spot.id for spot in spots_in_use(a)}
    kept = [each for each in sectors_of(a) if each.spot in used]
    for style in STYLES:
        either = [each.patrol if style == "patrol" else each.smoke for each in kept]
        found = [shape for shape in either if shape is not None]
        edge = view.on_paper(union_all(found).boundary) if found else Point()
        if edge.is_empty:
            continue
        drawn.add(style)
        pen.line(edge, OVERLAYS[style].stroke, width_of(OVERLAYS[style]), dash_of(OVERLAYS[style]))
        reach = max((each.reach_m for each in kept if each.reach_m is not None), default=None)
        if style == "patrol" and reach is not None:
            places = [edge.interpolate(n / _TRIES, normalized=True) for n in range(_TRIES)]
            told = quantity_text(metres(reach, 2, "up"), a.source.units)
            yield Name(told, edge.bounds, 7.0, along=tuple((place.x, place.y) for place in places))
