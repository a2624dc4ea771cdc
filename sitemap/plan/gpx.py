"""The site for a phone or a hand-held receiver: GPX 1.1 (topografix.com/GPX/1/1).

A point is a waypoint, a line a track, an area the track of its outline, each with its name and, in `type`, its kind.
Longitudes run from −180 up to, but without, 180, as the schema of the format asks.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from pathlib import Path
from xml.etree.ElementTree import Element, ElementTree, SubElement, indent

from shapely.geometry.base import BaseGeometry

from sitemap.assessment import Assessment
from sitemap.errors import BadFile
from sitemap.plan.model import printable
from sitemap.site.model import Feature

NAMESPACE = "http://www.topografix.com/GPX/1/1"
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
    root = Element("gpx", {"xmlns": NAMESPACE, "version": "1.1", "creator": printable(assessment.made_with)})
    about = SubElement(root, "metadata")
    _text(about, "name", assessment.site.name)
    points: list[Element] = []
    tracks: list[Element] = []
    for feature in assessment.source.features:
        if feature.shape is None:
            continue
        parts = list(_simple(feature.shape))
        points += [_waypoint(assessment, feature, part) for part in parts if part.geom_type == "Point"]
        lines = [line for part in parts if part.geom_type != "Point" for line in _lines(part)]
        if lines:
            tracks.append(_track(assessment, feature, lines))
    if not points and not tracks:
        raise BadFile("Nothing is on the map yet, so there is nothing to export: draw the site first.")
    root.extend([*points, *tracks])  # the schema wants all waypoints before all tracks
    indent(root)
    ElementTree(root).write(path, encoding="utf-8", xml_declaration=True)


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


def _waypoint(a: Assessment, feature: Feature, place: BaseGeometry) -> Element:
    point = Element("wpt", _at(place.x, place.y))
    height_m = _height_m(a, feature, place)
    if height_m is not None:
        _text(point, "ele", f"{height_m:.1f}")
    _told(point, a, feature)
    return point


def _track(a: Assessment, feature: Feature, lines: list[BaseGeometry]) -> Element:
    track = Element("trk")
    _told(track, a, feature)
    for line in lines:
        segment = SubElement(track, "trkseg")
        for x, y, *_ in line.coords:
            SubElement(segment, "trkpt", _at(x, y))
    return track


def _told(to: Element, a: Assessment, feature: Feature) -> None:
    """Name, words and kind, in the order of the schema."""
    _text(to, "name", feature.name)
    decision = a.decision(feature.id)
    day = "no burn date set" if a.on is None else f"for {a.on.isoformat()}"
    verdict = f"{decision.word}, {day}" if decision is not None else ""
    _text(to, "desc", " · ".join(filter(None, (verdict, feature.text("note")))))
    _text(to, "type", feature.kind)


def _text(to: Element, name: str, words: str) -> None:
    if words:
        SubElement(to, name).text = printable(words)


def _at(lon: float, lat: float) -> dict[str, str]:
    return {"lat": f"{lat:.{DECIMALS}f}", "lon": f"{longitude(lon):.{DECIMALS}f}"}


def _height_m(a: Assessment, feature: Feature, place: BaseGeometry) -> float | None:
    """Elevation as entered, else from the raster [m]; None where neither tells."""
    entered = feature.number("elevation_m")
    if entered is not None or a.terrain is None or a.plane is None:
        return entered
    found = float(a.terrain.elevation(*a.plane.xy(place.x, place.y)))
    return found if math.isfinite(found) else None
