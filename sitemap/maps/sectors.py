"""Round a kiln, by the forecast: where to patrol for embers, where smoke drifts, and which winds are barred."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from shapely import union_all
from shapely.geometry import Polygon, mapping
from shapely.geometry.base import BaseGeometry

from sitemap import tables
from sitemap.assessment import Assessment
from sitemap.maps.scene import Overlay
from sitemap.reasons import metres
from sitemap.safety.embers import patrol_distance_m
from sitemap.season.airs import Air, airs_of
from sitemap.season.winds import Arc, blocked
from sitemap.site.on_plane import near_shape
from sitemap.telling import quantity_text

SMOKE_M = 1000.0  # [m] so far a sector of smoke is drawn; smoke drifts on
_LEAST_M, _MOST_M, _SHARE = 15.0, 60.0, 0.25  # of the compass on the map, by the distance of the nearest place
_STEP_DEG = 3.0


@dataclass(frozen=True)
class Sectors:
    """What is drawn round one kiln, on the plane [m].

    patrol, reach_m : where embers may fly, and how far; None where the bound gives no figure
    smoke : where smoke drifts; None without a forecast
    barred : from where the wind must not come, as a compass on the ground; None where nothing speaks against any
    by_forecast : whether the direction is that of the forecast, not all round
    """

    spot: str
    patrol: BaseGeometry | None
    reach_m: float | None
    smoke: BaseGeometry | None
    barred: BaseGeometry | None
    by_forecast: bool


def sectors_of(a: Assessment) -> tuple[Sectors, ...]:
    """The sectors of every kiln that has a place and is not ruled out by it."""
    if a.plane is None or a.safety is None:
        return ()
    airs = airs_of(a.source, a.plane, a.weather)
    half = tables.value("smoke", "half_sector")
    away = blocked([(0.0, 180.0) if air.from_deg is None else (air.from_deg, 0.0) for air in airs], half)
    gust, known = _gust(airs)
    smoke = {each.spot: each for each in a.smoke}
    found = []
    for safe in a.safety.spots:
        feature = a.source.get(safe.id)
        shape = None if feature is None else near_shape(feature, a.plane)
        if shape is None:
            continue
        at = (shape.centroid.x, shape.centroid.y)
        reach = patrol_distance_m(safe.flame_height_m, gust)
        winds = smoke.get(safe.id)
        compass = 0.0 if winds is None else min(max(_SHARE * winds.places[0].away_m, _LEAST_M), _MOST_M)
        found.append(
            Sectors(
                safe.id,
                None if reach is None else wedge(at, away if airs else ((0.0, 360.0),), reach),
                reach,
                wedge(at, away, SMOKE_M) if airs else None,
                wedge(at, winds.bad, compass) if winds is not None and winds.bad else None,
                known,
            )
        )
    return tuple(found)


def _gust(airs: tuple[Air, ...]) -> tuple[float, bool]:
    """The gust to patrol for, at 20 ft [m/s], and whether the forecast tells that of every hour. It is never less than
    the most we burn in: the map sends nobody less far than the sheets do."""
    ours = float(tables.load("weather_limits")["gust_m_s"]["inside_high"])
    said = [air.gust_m_s for air in airs if air.gust_m_s is not None]
    return max([ours, *said]), bool(airs) and len(said) == len(airs)


def wedge(at: tuple[float, float], arcs: Iterable[Arc], radius_m: float) -> BaseGeometry:
    """The ground within some arcs of directions from a place.

    at : on the plane (x, y) [m]; arcs : clockwise from and to, from north [deg]; radius_m : above 0 [m]

    >>> round(wedge((0.0, 0.0), [(0.0, 90.0)], 100.0).area / (3.14159 * 100**2 / 4), 2)
    1.0
    """
    return union_all([_one(at, begin, (end - begin) % 360 or 360.0, radius_m) for begin, end in arcs])


def _one(at: tuple[float, float], begin: float, sweep: float, radius_m: float) -> Polygon:
    x, y = at
    steps = max(math.ceil(sweep / _STEP_DEG), 2)
    turned = [math.radians(begin + sweep * n / steps) for n in range(steps + 1)]
    rim = [(x + radius_m * math.sin(angle), y + radius_m * math.cos(angle)) for angle in turned]
    return Polygon(rim if sweep == 360 else [at, *rim])


def sector_overlays(a: Assessment, spot: str | None) -> Iterator[Overlay]:
    """The sectors of the chosen kiln, for the map."""
    each = next((found for found in sectors_of(a) if found.spot == spot), None) if spot else None
    if each is None or a.plane is None:
        return
    label = "" if each.reach_m is None else quantity_text(metres(each.reach_m, 2, "up"), a.source.units)
    for style, shape, said in (
        ("smoke", each.smoke, ""),
        ("patrol", each.patrol, label),
        ("bad wind", each.barred, ""),
    ):
        if shape is not None:
            yield Overlay(style, mapping(a.plane.inverse(shape)), said, each.spot)
