"""Places that do not belong to the site, and lines with more corners than a hand can move."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np
import shapely
from shapely.geometry import mapping
from shapely.geometry.base import BaseGeometry

from sitemap.errors import BadShape
from sitemap.geodesy.plane import WGS84, Plane, centre, plane_of
from sitemap.reasons import Fact, Quantity, Term, reason
from sitemap.site.check import FAR_KM
from sitemap.site.grid import PLACE, CellNote
from sitemap.site.model import Feature

THINNED_M = 1.0  # [m] a receiver is off by more than this
MOST_CORNERS = 40  # a line with fewer is left as it came


def far_notes(plane: Plane | None, rows: Iterable[tuple[int, Feature]]) -> tuple[CellNote, ...]:
    """What lies more than 50 km from the site, at its row, with the slip it looks like.

    plane : of the site; where nothing is placed yet, what is brought is held against its own middle
    rows : row of each thing, and the thing; those without a shape are passed over
    """
    placed = [(row, feature) for row, feature in rows if feature.shape is not None]
    home = (plane.lon0, plane.lat0) if plane is not None else _middle(placed)
    notes: list[CellNote] = []
    if home is None:
        return ()
    for row, feature in placed:
        lon, lat = shapely.get_coordinates(feature.shape)[0]
        away_km = _away_m(home, lon, lat) / 1000
        if away_km > FAR_KM:
            name, away = feature.name or str(row), Quantity(away_km, "km", 2)
            why = reason("site.far_from_site", name=name, away=away, where=_hemisphere(home, lon, lat))
            slip = _slip(home, lon, lat)
            told = why if slip is None else reason("site.far_by_a_slip", far=why, what=slip)
            notes.append(CellNote(row, PLACE, feature.name, "far_away", told))
    return tuple(notes)


def tidied(geometry: dict[str, object]) -> dict[str, object]:
    """A line or ring walked with a receiver, fit to be drawn: corners thinned out where it ran straight, off by a metre
    at most, and of a round that crosses itself (it always does where it closes) the greatest part.

    Measured on the plane. A shape with few corners, or one that cannot be mended, comes back as it is.
    """
    shape = shapely.geometry.shape(geometry)
    crossed = not shape.is_valid
    if not crossed and shapely.get_num_coordinates(shape) <= MOST_CORNERS:
        return geometry
    try:
        plane = plane_of([shape])
        flat = plane.forward(shape) if plane else shape
        if not flat.is_valid:
            parts = shapely.get_parts(shapely.make_valid(flat))
            flat = max(parts, key=lambda part: (part.area, part.length))
        thin = flat.simplify(THINNED_M)
        back = plane.inverse(thin) if plane else thin
    except BadShape:
        return geometry
    return _plain(back) if back.is_valid and back.geom_type == shape.geom_type else geometry


def _plain(shape: BaseGeometry) -> dict[str, object]:
    return dict(mapping(shapely.transform(shape, lambda places: np.round(places, 7))))


def _middle(placed: list[tuple[int, Feature]]) -> tuple[float, float] | None:
    """The middle of the greater part: the median place, whatever strays lie about."""
    if not placed:
        return None
    corners = np.array([shapely.get_coordinates(feature.shape)[0] for _, feature in placed])
    try:
        lon, lat = centre(corners[:, 0], corners[:, 1])
    except BadShape:
        lon, lat = corners[0]
    away = [_away_m((lon, lat), *corner) for corner in corners]
    near = corners[np.asarray(away) <= np.median(away) + 1]
    return float(np.median(near[:, 0])), float(np.median(near[:, 1]))


def _away_m(home: tuple[float, float], lon: float, lat: float) -> float:
    return float(WGS84.inv(*home, lon, lat)[2])


def _hemisphere(home: tuple[float, float], lon: float, lat: float) -> Fact:
    if home[1] * lat < 0:
        return reason("site.south_of_the_equator" if lat < 0 else "site.north_of_the_equator")
    if home[0] * lon < 0:
        return reason("site.west_of_greenwich" if lon < 0 else "site.east_of_greenwich")
    return ""


def _slip(home: tuple[float, float], lon: float, lat: float) -> Term | None:
    """The slip that would bring the place home: a sign lost, or latitude and longitude swapped."""
    tries = (
        ("the sign of the longitude", -lon, lat),
        ("the sign of the latitude", lon, -lat),
        ("both signs", -lon, -lat),
        ("the order of latitude and longitude", lat, lon),
    )
    for what, tried_lon, tried_lat in tries:
        if abs(tried_lat) <= 90 and _away_m(home, tried_lon, tried_lat) < 1000 * FAR_KM:
            return Term(what)
    return None
