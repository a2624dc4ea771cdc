"""From where the wind keeps each kiln's smoke off the places it must be kept from, and what may arrive there."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from shapely.geometry import Point
from shapely.geometry.base import BaseGeometry

from sitemap import tables
from sitemap.geodesy.plane import Plane
from sitemap.kiln.values import KilnRun, Stock
from sitemap.reasons import Fact, KilnName, Quantity, Reason, Term, metres, reason
from sitemap.season.airs import Air, airs_of
from sitemap.season.window import Window
from sitemap.season.winds import Arc, blocked, concentration, free, inside, stability, wetness_factor
from sitemap.site.model import Site
from sitemap.site.on_plane import near_shape
from sitemap.slash.moisture import wet_basis
from sitemap.terrain.drainage import Lie, lie_of
from sitemap.terrain.terrain import Terrain

_NEAREST_M, _FARTHEST_M = 100.0, 10_000.0  # between these the curves of the plume hold
_POINTS = ("north", "north-east", "east", "south-east", "south", "south-west", "west", "north-west")
HARDLY = "EF"  # classes in which the air hardly mixes


class _Place(NamedTuple):
    """A smoke place drawn on the plane [m]."""

    id: str
    name: str
    shape: BaseGeometry


@dataclass(frozen=True)
class Reached:
    """One place smoke must be kept from, seen from a kiln.

    id : of the place
    bearing_deg : clockwise from north; away_m : to its nearest edge [m]; half_deg : half the angle it fills
    by_day, on_a_calm_evening : what may arrive on the axis of the plume [µg/m³], to an order of magnitude
    by_hour : the hours of the burn in which the forecast blows that way, or may, and what may arrive in each [µg/m³]
    lie, lower_m : whether cold air from the kiln may run there, and how much lower it lies [m]
    """

    id: str
    name: str
    bearing_deg: float
    away_m: float
    half_deg: float
    by_day: float
    on_a_calm_evening: float
    by_hour: tuple[tuple[dt.datetime, float], ...]
    lie: Lie
    lower_m: float

    @property
    def hours(self) -> int:
        """How many hours of the burn the forecast blows that way."""
        return len(self.by_hour)

    @property
    def by_forecast(self) -> float | None:
        """The most in one of them [µg/m³], None where it does not blow there."""
        return max((value for _, value in self.by_hour), default=None)


@dataclass(frozen=True)
class KilnSmoke:
    """The winds of one kiln.

    places : nearest first; bad, good : arcs the wind must not, and may, come from [deg]
    hours : of the forecast in which it comes from a bad one
    told : in a sentence; cautions : what else is to be heeded, a sentence each
    """

    spot: str
    name: str
    places: tuple[Reached, ...]
    bad: tuple[Arc, ...]
    good: tuple[Arc, ...]
    hours: int
    told: Reason
    cautions: tuple[Reason, ...]


def smoke_of(
    site: Site,
    plane: Plane | None,
    runs: Sequence[KilnRun],
    window: Window | None = None,
    stock: Iterable[Stock] = (),
    terrain: Terrain | None = None,
) -> tuple[KilnSmoke, ...]:
    """The winds of every kiln that has a place on the map; none where the site has no place to keep smoke from.

    Parameters
    ----------
    site : as entered; plane : of it; runs : what is burned at each spot
    window : the forecast of the burn, judged; stock : of each heap, with its moisture
    terrain : of the site, for where cold air runs
    """
    if plane is None:
        return ()
    drawn = ((each, near_shape(each, plane)) for each in site.of_kind("smoke_place"))
    places = [_Place(each.id, each.name, shape) for each, shape in drawn if shape is not None]
    at = {spot.id: (spot.name, near_shape(spot, plane)) for spot in site.of_kind("kiln_spot")}
    half, airs = tables.value("smoke", "half_sector"), airs_of(site, plane, window)
    moistures = {each.id: each.moisture for each in stock}
    found = []
    for run in runs:
        name, shape = at.get(run.spot, ("", None))
        if shape is None or not places:
            continue
        source = smoke_g_s(run, moistures)
        views = (_seen(shape.centroid, place, source, airs, half, terrain) for place in places)
        seen = sorted(views, key=lambda each: each.away_m)
        bad = blocked([(each.bearing_deg, each.half_deg) for each in seen], half)
        good = free(bad)
        hours = sum(air.from_deg is not None and inside(air.from_deg, bad) for air in airs)
        told = _told(name, good, hours, seen[0])
        found.append(
            KilnSmoke(
                run.spot,
                name,
                tuple(seen),
                bad,
                good,
                hours,
                told,
                (*_wet(name, run, moistures), *_cautions(name, seen, airs)),
            )
        )
    return tuple(found)


def smoke_g_s(run: KilnRun, moistures: Mapping[str, float | None]) -> float:
    """Particles a kiln gives off while it burns [g/s], at the careful end of the published spread, by its wettest wood.

    run : of the kiln; moistures : water per dry wood by heap [kg/kg], None for not known, which counts as wet
    """
    rows = tables.load("smoke")
    wet = rows["wet_wood"]
    known = [moistures.get(heap) for heap in run.heaps]
    pct = [float(wet["wet_from"]) if each is None else 100 * float(wet_basis(each)) for each in known]
    factor = wetness_factor(
        max(pct, default=float(wet["wet_from"])), float(wet["dry_to"]), float(wet["wet_from"]), float(wet["value"])
    )
    batches = max(run.batches.likely, 1.0)
    char_kg_h = 1000 * run.char_t.likely / batches / run.hours_per_batch.likely * run.units
    return char_kg_h * float(rows["particles"]["high"]) * factor / 3600


def cautions_of(found: Iterable[KilnSmoke]) -> tuple[Reason, ...]:
    """What else is to be heeded, said once for all the kilns it holds for."""
    kilns: dict[tuple[str, tuple[tuple[str, Fact], ...]], tuple[KilnName, ...]] = {}
    for each in found:
        for why in each.cautions:
            rest = tuple(fact for fact in why.facts if fact[0] != "name")
            kilns[why.code, rest] = (*kilns.get((why.code, rest), ()), KilnName(each.name))
    return tuple(Reason(code, tuple(sorted((*rest, ("name", names))))) for (code, rest), names in kilns.items())


def order_of(micrograms: float) -> int | None:
    """A concentration to its order of magnitude [µg/m³]; None below 1.

    >>> order_of(0.3), order_of(340.0)
    (None, 1000)
    """
    return None if micrograms < 1 else int(10 ** round(math.log10(micrograms)))


def _seen(
    kiln: Point, place: _Place, source_g_s: float, airs: Sequence[Air], half_sector: float, terrain: Terrain | None
) -> Reached:
    shape = place.shape
    middle, away = shape.centroid, kiln.distance(shape)
    bearing = math.degrees(math.atan2(middle.x - kiln.x, middle.y - kiln.y)) % 360
    half, slow = _half_angle(kiln, shape, bearing), tables.value("smoke", "slow_wind")
    far = min(max(away, _NEAREST_M), _FARTHEST_M)
    day, evening = (float(concentration(source_g_s, slow, far, air)) for air in _worst(slow))
    towards = blocked([(bearing, half)], half_sector)
    blown = [air for air in airs if air.smoke_from_deg is None or inside(air.smoke_from_deg, towards)]
    by_hour = tuple(
        (air.time, float(concentration(source_g_s, max(air.wind_m_s or 0.0, slow), far, air.mixing))) for air in blown
    )
    lie, lower = _lie(terrain, kiln, shape)
    return Reached(place.id, place.name, bearing, away, half, day, evening, by_hour, lie, lower)


def _lie(terrain: Terrain | None, kiln: Point, shape: BaseGeometry) -> tuple[Lie, float]:
    """By its middle and its corners: one that cold air reaches is enough."""
    if terrain is None:
        return "not known", 0.0
    depth = tables.value("smoke", "cold_air")
    outline = shape.convex_hull
    corners = outline.exterior.coords if outline.geom_type == "Polygon" else outline.coords
    found = [
        lie_of(terrain, (kiln.x, kiln.y), (x, y), depth)
        for x, y in {(shape.centroid.x, shape.centroid.y), *_xy(corners)}
    ]
    order: tuple[Lie, ...] = ("below", "not known", "not below")
    return min(found, key=lambda each: (order.index(each[0]), -each[1]))


def _xy(corners: Iterable[Sequence[float]]) -> Iterable[tuple[float, float]]:
    return ((x, y) for x, y, *_ in corners)


def _worst(wind_m_s: float) -> tuple[str, str]:
    """How badly the air mixes at the worst by day, and on a calm clear evening: classes of stability."""
    return stability(wind_m_s, "overcast"), stability(wind_m_s, "night, clear")


def _half_angle(kiln: Point, shape: BaseGeometry, bearing: float) -> float:
    """Half the angle a place fills [deg]; all round where the kiln stands in it."""
    if shape.distance(kiln) == 0:
        return 180.0
    outline = shape.convex_hull
    corners = outline.exterior.coords if outline.geom_type == "Polygon" else outline.coords
    seen = (math.degrees(math.atan2(x - kiln.x, y - kiln.y)) for x, y in _xy(corners))
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


def _wet(name: str, run: KilnRun, moistures: Mapping[str, float | None]) -> tuple[Reason, ...]:
    known = all(moistures.get(heap) is not None for heap in run.heaps)
    return () if known else (reason("season.smoke_as_wet", name=(KilnName(name),)),)


def _cautions(name: str, places: Sequence[Reached], airs: Sequence[Air]) -> tuple[Reason, ...]:
    """Air that hardly mixes in the hours of the burn, and places cold air runs to."""
    found, kiln = [], (KilnName(name),)
    still = [air.time for air in airs if air.mixing in HARDLY]
    if still:
        first = still[0].timetz().replace(tzinfo=None)
        found.append(reason("season.air_hardly_mixes", name=kiln, count=len(still), first=first))
    below = [each for each in places if each.lie == "below"]
    if below:
        lowest = metres(max(each.lower_m for each in below), 2)
        names = tuple(each.name for each in below)
        found.append(reason("season.drains_to", name=kiln, places=names, count=len(names), lower=lowest))
    unknown = tuple(each.name for each in places if each.lie == "not known")
    if unknown:
        found.append(reason("season.drains_not_known", name=kiln, places=unknown))
    return tuple(found)


def _word(begin: float, end: float) -> Term:
    """The point of the compass in the middle of an arc."""
    middle = (begin + ((end - begin) % 360 or 360) / 2) % 360
    return Term(_POINTS[round(middle / 45) % 8])
