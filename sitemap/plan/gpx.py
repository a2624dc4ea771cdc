"""The site for a phone or a hand-held receiver: GPX 1.1 (topografix.com/GPX/1/1).

A point is a waypoint, a line a track, an area the track of its outline, each with its name and, in `type`, its kind.
Longitudes run from −180 up to, but without, 180, as the schema of the format asks.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from pathlib import Path

from gpxpy.gpx import GPX, GPXTrack, GPXTrackPoint, GPXTrackSegment, GPXWaypoint
from shapely.geometry.base import BaseGeometry

from sitemap.assessment import Assessment
from sitemap.errors import BadFile
from sitemap.plan.letters import printable
from sitemap.reasons import reason
from sitemap.site.model import Entry, Feature
from sitemap.site.vocabulary import COMMON

DECIMALS = 7  # of a degree: 0.01 m


def write_gpx(assessment: Assessment, path: Path) -> None:
    """Write every thing that has a place.

    Parameters
    ----------
    assessment : of the site; the verdict of a kiln goes along with the day it was given for
    path : FILE.gpx

    Raises
    ------
    BadFile : nothing is on the map
    """
    gpx = GPX()
    gpx.creator, gpx.name = printable(assessment.made_with), printable(assessment.site.name or "") or None
    for feature in assessment.source.features:
        parts = list(_simple(feature.shape)) if feature.shape is not None else []
        gpx.waypoints += [_waypoint(assessment, feature, part) for part in parts if part.geom_type == "Point"]
        lines = [line for part in parts if part.geom_type != "Point" for line in _lines(part)]
        if lines:
            gpx.tracks.append(_track(assessment, feature, lines))
    if not gpx.waypoints and not gpx.tracks:
        raise BadFile(reason("command.nothing_drawn"))
    path.write_text(gpx.to_xml(version="1.1"), encoding="utf-8")


def longitude(degrees: float) -> float:
    """A longitude [deg] in −180 ≤ λ < 180, rounded first, so that no rounding brings 180 back.

    >>> longitude(180.25), longitude(180.0), longitude(-179.99999999), longitude(12.5)
    (-179.75, -180.0, -180.0, 12.5)
    """
    return round((round(degrees, DECIMALS) + 180) % 360 - 180, DECIMALS)


def _simple(shape: BaseGeometry) -> Iterator[BaseGeometry]:
    """Points, lines and areas of one part each."""
    parts = getattr(shape, "geoms", None)
    if parts is None:
        yield shape
    else:
        for part in parts:
            yield from _simple(part)


def _lines(part: BaseGeometry) -> list[BaseGeometry]:
    return [part.exterior, *part.interiors] if part.geom_type == "Polygon" else [part]


def _waypoint(a: Assessment, feature: Feature, place: BaseGeometry) -> GPXWaypoint:
    lon, lat = _at(place.x, place.y)
    height_m = _height_m(a, feature, place)
    height_m = None if height_m is None else round(height_m, 1)
    name, words = printable(feature.name), _words(a, feature)
    return GPXWaypoint(lat, lon, height_m, name=name, description=words, type=feature.kind)


def _track(a: Assessment, feature: Feature, lines: list[BaseGeometry]) -> GPXTrack:
    track = GPXTrack(printable(feature.name), _words(a, feature))
    track.type = feature.kind  # type: ignore[assignment]  # the library says None and writes what is there
    for line in lines:
        places = (_at(x, y) for x, y, *_ in line.coords)
        track.segments.append(GPXTrackSegment([GPXTrackPoint(lat, lon) for lon, lat in places]))
    return track


def _words(a: Assessment, feature: Feature) -> str | None:
    """The decision on a kiln with the day it was made for, and the note; None where nothing is to be said."""
    decision = a.decision(feature.id)
    day = "no burn date set" if a.on is None else f"for {a.on.isoformat()}"
    verdict = f"{decision.word}, {day}" if decision is not None else ""
    return printable(" · ".join(filter(None, (verdict, _common(feature).text("note"))))) or None


def _common(feature: Feature) -> Entry:
    """What may be said of every thing, also of one whose kind nobody knows."""
    return Entry(feature.values, COMMON)


def _at(lon: float, lat: float) -> tuple[float, float]:
    return longitude(lon), round(lat, DECIMALS)


def _height_m(a: Assessment, feature: Feature, place: BaseGeometry) -> float | None:
    """Elevation as entered, else from the raster [m]; None where neither tells."""
    entered = _common(feature).number("elevation_m")
    if entered is not None or a.terrain is None or a.plane is None:
        return entered
    found = float(a.terrain.elevation(*a.plane.xy(place.x, place.y)))
    return found if math.isfinite(found) else None
