"""Places as a survey writes them: coordinates in any form, or a bearing and paces from a thing that has a name.

A thing whose place cannot be read yet keeps the words (its property `place`); as soon as they can be read, because the
pace was counted or the gate stands on the map, `settle` puts it on the map.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from difflib import get_close_matches

from sitemap.errors import BadValue, PitsteadError, within
from sitemap.geodesy.coordinates import decimal, from_bearing, paces_m, parse
from sitemap.reasons import Term, reason
from sitemap.site.cells import number_of
from sitemap.site.grid import PLACE, CellNote
from sitemap.site.kinds import AREA, KINDS, LINE, POINT
from sitemap.site.model import Feature, Site
from sitemap.units import written_out

_EXAMPLE = reason("site.place_example")
DECIMALS = 7  # 0.01 m
_FROM = re.compile(r"\b(?:from|desde)\s+(.+)$", re.IGNORECASE)
_DISTANCE = re.compile(
    r"(\d+(?:[.,]\d+)?)\s*(paces?|steps?|pasos?|met(?:re|er)s?|metros?|m|feet|foot|ft|pies?|yards?|yd)\b",
    re.IGNORECASE,
)
_BEARING = re.compile(r"-?\d+(?:[.,]\d+)?")
_MAGNETIC = re.compile(r"\bmag", re.IGNORECASE)
_PART = re.compile(r"\s*(?:;|\n|→)\s*")

Place = tuple[float, float]


@dataclass(frozen=True)
class Known:
    """What a place may be told from.

    places : name, in small letters → longitude and latitude [deg]; None for a name that stands for no single point
    pace_m : length of one pace [m], or None where it was not counted
    """

    places: Mapping[str, Place | None]
    pace_m: float | None


def known_of(site: Site) -> Known:
    """The named points of a site and its pace. A name borne by two things tells no place."""
    places: dict[str, Place | None] = {}
    for feature in site.features:
        name = feature.name.casefold()
        point = feature.shape is not None and feature.shape.geom_type == POINT
        places[name] = (feature.shape.x, feature.shape.y) if point and name not in places else None  # type: ignore[union-attr]
    return Known(places, site.section("crew").number("pace_m"))


def place_of(text: str, known: Known) -> Place:
    """Longitude and latitude [deg] of one place as written.

    Bearings are clockwise from true north; the distance goes along the level, so that paces on a slope come out a
    little too far (5 % on a slope of 30 %).

    Raises BadValue, saying what is wrong and the way out.

    >>> place_of("44.05, -121.3", Known({}, None))
    (-121.3, 44.05)
    >>> gate = Known({"gate": (0.0, 0.0)}, 0.75)
    >>> [round(degrees, 5) for degrees in place_of("bearing 90, 1484 paces from Gate", gate)]
    [0.01, 0.0]
    """
    told = _FROM.search(text)
    if told is None:
        try:
            return parse(text)
        except BadValue:
            if _DISTANCE.search(text):
                raise BadValue(reason("site.from_where", text=text, example=_EXAMPLE)) from None
            raise
    start = _start(told[1].strip(" ."), known)
    body, _ = written_out(text[: told.start()])
    distance = _DISTANCE.search(body)
    if distance is None:
        raise BadValue(reason("site.how_far", text=text, example=_EXAMPLE))
    rest = body[: distance.start()] + " " + body[distance.end() :]
    bearings = _BEARING.findall(rest)
    if len(bearings) != 1:
        raise BadValue(reason("site.one_bearing", text=text, example=_EXAMPLE))
    if _MAGNETIC.search(rest):
        raise BadValue(reason("site.magnetic", text=text))
    bearing_deg = within("The bearing", number_of(bearings[0]), 0, 360, "°")
    return from_bearing(*start, bearing_deg, _metres(distance, known))


def geometry_of(text: str, kind: str, known: Known) -> dict[str, object]:
    """The GeoJSON geometry of a thing of a kind: one place, or several set apart by semicolons for a line or an area.

    Raises BadValue, also where a line or an area is given by too few places.
    """
    shapes = KINDS[kind].geometries if kind in KINDS else (POINT,)
    try:
        places = [place_of(text, known)]
    except BadValue:
        parts = [part for part in _PART.split(text) if part]
        if len(parts) < 2:
            raise
        places = [place_of(part, known) for part in parts]
    corners = [[round(degrees, DECIMALS) for degrees in place] for place in places]
    label = Term(KINDS[kind].label.lower() if kind in KINDS else "thing")
    if len(corners) == 1 and POINT in shapes:
        return {"type": POINT, "coordinates": corners[0]}
    if LINE in shapes and len(corners) >= 2:
        return {"type": LINE, "coordinates": corners}
    if AREA in shapes and len(corners) >= 3:
        return {"type": AREA, "coordinates": [[*corners, corners[0]]]}
    if LINE in shapes:
        raise BadValue(reason("site.write_both_ends", label=label))
    if AREA in shapes:
        raise BadValue(reason("site.write_three_corners", label=label))
    raise BadValue(reason("site.one_place", label=label, count=len(corners)))


def settle(site: Site) -> Site:
    """The site with every thing on the map whose place, as written, can be read by now; the others are left alone."""
    waiting = [feature for feature in site.features if feature.has(PLACE)]
    settled = True
    while waiting and settled:  # a place may be told from another that only now is on the map
        known, settled = known_of(site), False
        for feature in tuple(waiting):
            try:
                geometry = feature.geometry or geometry_of(str(feature.values[PLACE]), feature.kind, known)
            except PitsteadError:
                continue
            site = site.put(feature.with_geometry(geometry).with_values(**{PLACE: None}))
            waiting.remove(feature)
            settled = True
    return site


def place_notes(site: Site, features: Iterable[Feature]) -> tuple[CellNote, ...]:
    """Why a place as written is not on the map yet, at its cell."""
    known, notes = known_of(site), []
    for row, feature in enumerate(features, 1):
        if feature.has(PLACE) and feature.geometry is None:
            try:
                geometry_of(str(feature.values[PLACE]), feature.kind, known)
            except PitsteadError as bad:
                notes.append(CellNote(row, PLACE, feature.id or feature.name, "bad_place", bad.reason))
    return tuple(notes)


def place_text(feature: Feature) -> str:
    """What the place cell of a feature shows: the words kept, else the point, else what is drawn."""
    if feature.has(PLACE):
        return str(feature.values[PLACE])
    if feature.shape is None:
        return ""
    if feature.shape.geom_type == POINT:
        return decimal(feature.shape.x, feature.shape.y)
    return {"LineString": "line on the map", "Polygon": "area on the map"}.get(feature.shape.geom_type, "on the map")


def _metres(distance: re.Match[str], known: Known) -> float:
    count, word = number_of(distance[1]), distance[2].casefold()
    if word.startswith(("pace", "step", "paso")):
        if known.pace_m is None:
            raise BadValue(reason("site.no_pace"))
        return paces_m(count, known.pace_m)
    return number_of(f"{count} {word}", "m")


def _start(name: str, known: Known) -> Place:
    said = name.casefold()
    place = known.places.get(said)
    if place is not None:
        return place
    if said in known.places:
        raise BadValue(reason("site.no_single_point", name=name))
    near = get_close_matches(said, known.places, 1)
    if near:
        raise BadValue(reason("site.called_like", name=name, near=near[0]))
    raise BadValue(reason("site.nothing_called", name=name))
