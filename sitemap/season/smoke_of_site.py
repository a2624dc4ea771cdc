"""From where the wind keeps each kiln's smoke off the places it must be kept from, and what may arrive there."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from shapely.geometry import Point
from shapely.geometry.base import BaseGeometry

from sitemap import tables
from sitemap.geodesy.plane import Plane
from sitemap.kiln.values import KilnRun
from sitemap.reasons import KilnName, Quantity, Reason, Term, metres, reason
from sitemap.season.hours import WeatherHour
from sitemap.season.winds import Arc, blocked, concentration, free, inside, stability
from sitemap.site.model import Site
from sitemap.site.on_plane import near_shape

_NEAREST_M, _FARTHEST_M = 100.0, 10_000.0  # between these the curves of the plume hold
_POINTS = ("north", "north-east", "east", "south-east", "south", "south-west", "west", "north-west")


@dataclass(frozen=True)
class Reached:
    """One place smoke must be kept from, seen from a kiln.

    bearing_deg : clockwise from north; away_m : to its nearest edge [m]; half_deg : half the angle it fills
    by_day, on_a_calm_evening : what may arrive on the axis of the plume [µg/m³], to an order of magnitude
    """

    name: str
    bearing_deg: float
    away_m: float
    half_deg: float
    by_day: float
    on_a_calm_evening: float


@dataclass(frozen=True)
class KilnSmoke:
    """The winds of one kiln.

    places : nearest first; bad, good : arcs the wind must not, and may, come from [deg]
    hours : of the forecast in which it comes from a bad one
    told : in a sentence
    """

    spot: str
    name: str
    places: tuple[Reached, ...]
    bad: tuple[Arc, ...]
    good: tuple[Arc, ...]
    hours: int
    told: Reason


def smoke_of(
    site: Site, plane: Plane | None, runs: Sequence[KilnRun], burn_hours: Iterable[WeatherHour] = ()
) -> tuple[KilnSmoke, ...]:
    """The winds of every kiln that has a place on the map; none where the site has no place to keep smoke from.

    site : as entered; plane : of it; runs : what is burned at each spot; burn_hours : of the forecast
    """
    if plane is None:
        return ()
    places = [(each.name, near_shape(each, plane)) for each in site.of_kind("smoke_place")]
    shapes = [(name, shape) for name, shape in places if shape is not None]
    winds = [hour.wind_from_deg for hour in burn_hours if hour.wind_from_deg is not None]
    at = {spot.id: (spot.name, near_shape(spot, plane)) for spot in site.of_kind("kiln_spot")}
    half = float(tables.load("smoke")["half_sector"]["value"])
    found = []
    for run in runs:
        name, shape = at.get(run.spot, ("", None))
        if shape is None or not shapes:
            continue
        seen = sorted((_seen(shape.centroid, *each, run) for each in shapes), key=lambda each: each.away_m)
        bad = blocked([(each.bearing_deg, each.half_deg) for each in seen], half)
        hours, good = sum(inside(wind, bad) for wind in winds), free(bad)
        found.append(KilnSmoke(run.spot, name, tuple(seen), bad, good, hours, _told(name, good, hours, seen[0])))
    return tuple(found)


def smoke_g_s(run: KilnRun) -> float:
    """Particles a kiln gives off while it burns [g/s], at the careful end of the published spread."""
    batches = max(run.batches.likely, 1.0)
    char_kg_h = 1000 * run.char_t.likely / batches / run.hours_per_batch.likely * run.units
    return char_kg_h * float(tables.load("smoke")["particles"]["high"]) / 3600


def _seen(kiln: Point, name: str, shape: BaseGeometry, run: KilnRun) -> Reached:
    middle, away = shape.centroid, kiln.distance(shape)
    bearing = math.degrees(math.atan2(middle.x - kiln.x, middle.y - kiln.y)) % 360
    slow = float(tables.load("smoke")["slow_wind"]["value"])
    far = min(max(away, _NEAREST_M), _FARTHEST_M)
    day, evening = (float(concentration(smoke_g_s(run), slow, far, air)) for air in _worst(slow))
    return Reached(name, bearing, away, _half_angle(kiln, shape, bearing), day, evening)


def _worst(wind_m_s: float) -> tuple[str, str]:
    """How badly the air mixes at the worst by day, and on a calm clear evening: classes of stability."""
    return stability(wind_m_s, "overcast"), stability(wind_m_s, "night, clear")


def _half_angle(kiln: Point, shape: BaseGeometry, bearing: float) -> float:
    """Half the angle a place fills [deg]; all round where the kiln stands in it."""
    if shape.distance(kiln) == 0:
        return 180.0
    outline = shape.convex_hull
    corners = outline.exterior.coords if outline.geom_type == "Polygon" else outline.coords
    seen = (math.degrees(math.atan2(x - kiln.x, y - kiln.y)) for x, y, *_ in corners)
    return max(abs((each - bearing + 180) % 360 - 180) for each in seen)


def _told(name: str, good: Sequence[Arc], hours: int, nearest: Reached) -> Reason:
    kiln, off = KilnName(name), metres(nearest.away_m, 2, "down")
    if not good:
        return reason("season.no_good_wind", name=kiln, nearest=nearest.name, off=off)
    arcs = tuple(
        reason(
            "season.arc", begin=Quantity(round(begin), "deg"), end=Quantity(round(end), "deg"), word=_word(begin, end)
        )
        for begin, end in good
    )
    if hours:
        return reason("season.smoke_hours", name=kiln, arcs=arcs, hours=hours)
    return reason("season.good_winds", name=kiln, arcs=arcs, nearest=nearest.name, off=off)


def _word(begin: float, end: float) -> Term:
    """The point of the compass in the middle of an arc."""
    middle = (begin + ((end - begin) % 360 or 360) / 2) % 360
    return Term(_POINTS[round(middle / 45) % 8])
