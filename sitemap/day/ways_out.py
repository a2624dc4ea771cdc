"""Ways out, meeting point and refuge: two ways that differ, a place to count heads, and bare ground wide enough."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import shapely
from shapely.geometry.base import BaseGeometry

from sitemap.reasons import metres, reason
from sitemap.safety.heat import refuge_distance_m
from sitemap.safety.permission import Check, checked

LEAST_WAYS = 2  # fire or a machine may stand across one of them; common practice, no source
SAME_WAY_M = 15.0  # [m] what runs nearer to another way than this runs with it; ours (C)
OF_ITS_OWN = 0.5  # [1] share of a way that runs with no other, for it to be a second one; ours (C)
LEADS_AWAY_M = 50.0  # [m] a way that ends nearer to the kiln leads nowhere; ours (C)
LEAST_REFUGE_M = 5.0  # [m] from its middle to its edge, however low the fuel round it; ours (C)
SLOPE_WIND_FACTOR = 5.0  # [1] upper end of what is usual, NWCG safety zone research (P); up to 10 on steep ground
NEAR_WAY_M = 100.0  # [m] a way that begins further from a kiln is none out of there; ours (C)
NEAR_REFUGE_M = 400.0  # [m] further nobody runs from a fire; ours (C)
NEAR_MEETING_M = 1000.0  # [m] further off heads are not counted while a fire gets away; ours (C)
SITE = "site"


@dataclass(frozen=True)
class Refuge:
    """Bare ground to sit out a fire. shape : its edge on the plane [m]; None without a place, without area a point."""

    name: str
    shape: BaseGeometry | None


def ways_check(ways: Iterable[BaseGeometry]) -> Check:
    """Whether two ways out at least are known, that differ: one way drawn twice, or back and forth, is one.

    ways : lines on the plane [m]
    """
    count = len(different(ways))
    if count == 0:
        return checked("ways_out", "not known", SITE, reason("day.no_way_out"))
    if count < LEAST_WAYS:
        return checked("ways_out", "one way out", SITE, reason("day.one_way_out", least=LEAST_WAYS))
    return checked("ways_out", "two ways out", SITE, reason("day.ways_out", count=count))


def ways_near(
    ways: Iterable[BaseGeometry], kiln: BaseGeometry | None, water: BaseGeometry | None = None
) -> list[BaseGeometry]:
    """The ways that begin or pass near a kiln and lead away from it on dry ground; all of them where it has no place.

    ways, kiln : on the plane [m]; water : ponds and lakes, which nobody runs through
    """
    dry = [way for way in ways if water is None or not way.intersects(water)]
    return [way for way in dry if kiln is None or (way.distance(kiln) <= NEAR_WAY_M and _leads_away(way, kiln))]


def _leads_away(way: BaseGeometry, kiln: BaseGeometry) -> bool:
    return float(shapely.hausdorff_distance(way, kiln)) >= LEADS_AWAY_M


def refuges_near(refuges: Iterable[Refuge], kiln: BaseGeometry | None) -> list[Refuge]:
    """The refuges near enough to a kiln; all of them where one has no place. kiln : on the plane [m]"""
    near = []
    for refuge in refuges:
        if kiln is None or refuge.shape is None or float(refuge.shape.distance(kiln)) <= NEAR_REFUGE_M:
            near.append(refuge)
    return near


def meeting_check(places: Iterable[BaseGeometry], kiln: BaseGeometry | None) -> Check:
    """Whether the place is known where heads are counted when a fire gets away: the card sends everybody there.

    places : meeting points on the plane [m]; kiln : on the plane [m], or None
    """
    if any(kiln is None or float(place.distance(kiln)) <= NEAR_MEETING_M for place in places):
        return checked("meeting_point", "on the map", SITE, reason("day.meeting_point"))
    return checked("meeting_point", "not known", SITE, reason("day.no_meeting_point"))


def different(ways: Iterable[BaseGeometry]) -> list[BaseGeometry]:
    """Of ways that run together only the first. ways : on the plane [m]"""
    found: list[BaseGeometry] = []
    for way in ways:
        if all(_parts(way, other) and _parts(other, way) for other in found):
            found.append(way)
    return found


def _parts(way: BaseGeometry, other: BaseGeometry) -> bool:
    """Whether a way runs for the most part where another does not."""
    return bool(way.difference(other.buffer(SAME_WAY_M)).length > OF_ITS_OWN * way.length)


def refuge_check(refuges: Sequence[Refuge], fuel_height_m: float | None, fuel: Iterable[BaseGeometry]) -> Check:
    """Whether one refuge is wide enough: from its middle to its edge as far as the fuel round it asks for.

    Parameters
    ----------
    refuges : as drawn
    fuel_height_m : height of grass and brush round about [m], or None
    fuel : shapes on the plane [m] of standing timber, unburned heaps and water: no bare ground

    Notes
    -----
    8 × height × slope-and-wind factor (`safety.heat.refuge_distance_m`), the factor at the upper end of what is usual:
    the day's wind is not known yet.
    """
    if not refuges:
        return checked("refuge", "not known", SITE, reason("day.no_refuge"))
    if fuel_height_m is None:
        return checked("refuge", "not known", SITE, reason("day.refuge_fuel_not_known"))
    need_m = max(float(refuge_distance_m(fuel_height_m, SLOPE_WIND_FACTOR)), LEAST_REFUGE_M)
    burns = shapely.union_all(list(fuel))
    widths = [(_half_width_m(refuge.shape, burns), refuge.name) for refuge in refuges]
    drawn = [(half_m, name) for half_m, name in widths if half_m is not None]
    if not drawn:
        return checked("refuge", "not known", SITE, reason("day.refuge_size_not_known", name=refuges[0].name))
    half_m, name = max(drawn)
    wide, need = metres(2 * half_m, toward="down"), metres(2 * need_m, toward="up")
    if half_m < need_m:
        return checked("refuge", "refuge too small", SITE, reason("day.refuge_small", name=name, wide=wide, need=need))
    return checked("refuge", "refuge wide enough", SITE, reason("day.refuge_wide", name=name, wide=wide, need=need))


def _half_width_m(shape: BaseGeometry | None, burns: BaseGeometry) -> float | None:
    """From the place farthest inside a refuge to its edge, fuel in it left out [m]; None where it is not drawn."""
    if shape is None or not shape.area:
        return None
    bare = shape.difference(burns)
    return float(shapely.maximum_inscribed_circle(bare).length) if bare.area else 0.0
