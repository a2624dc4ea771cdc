"""Where people, vehicles and glowing char are: not nearer to a kiln than the floors the plan prints, nor in water."""

from __future__ import annotations

import math
from collections.abc import Iterable

import shapely

from sitemap import tables
from sitemap.reasons import Reason, metres, reason
from sitemap.safety.near import MEASURE, TOO_CLOSE, TOUCHING_M, Spot
from sitemap.safety.permission import Check, checked
from sitemap.safety.targets import Target

PAD_M = 3.0  # [m] bare ground between a kiln or a heap and char that is tipped out; ours (C)
AT_REST = ("lookout",)  # keep the floor for crew; the others that for visitors
VISITORS = ("parking", "meeting_point", "refuge", "turning_place", "landing_place")
SHELTERS = ("meeting_point", "refuge")
EMBERS_M = 124.0  # [m] embers of a flame of 5 ft in the open at 10 mph (D), FIELD 8
FEED_NEAR_M = 8.0  # [m] from the rim: further off a staged heap is a heap like any other (setbacks, heap)
DOWNWIND_DEG = 30.0  # [°] either side of the wind; ours (C)
CREW_KINDS = (*VISITORS, *AT_REST, "char_pad", "smoke_place")


def floor_m(kind: str) -> float:
    """Least distance of a place for people, vehicles or char from the rim of a kiln [m]; kind : one of CREW_KINDS."""
    if kind == "char_pad":
        return PAD_M
    return float(tables.load("heat_limits")["rest_floor" if kind in AT_REST else "visitor_floor"]["least_m"])


def downwind_checks(spot: Spot, places: Iterable[Target], wind_from_deg: float | None) -> tuple[Check, ...]:
    """Where heads are counted, people shelter and feed is staged, downwind of a kiln by the wind as it usually blows.

    spot : the kiln spot; places : features of CREW_KINDS and staged heaps
    wind_from_deg : clockwise from north [°], None where nobody entered it: the wind of the day decides then
    """
    if wind_from_deg is None:
        return ()
    found = []
    for place in places:
        if place.kind in SHELTERS and _is_downwind(spot, place, wind_from_deg, EMBERS_M):
            away = metres(float(shapely.distance(spot.place, place.shape)), 2)
            why = reason("safety.downwind", name=place.name, distance=away)
            found.append(checked("crew_place", "downwind of a kiln", place.id, why, reason("action.move_upwind")))
        elif place.use == "staged" and _is_downwind(spot, place, wind_from_deg, spot.radius_m + FEED_NEAR_M):
            why = reason("safety.feed_downwind", name=place.name)
            found.append(checked("crew_place", "downwind of a kiln", place.id, why, reason("action.move_upwind")))
    return tuple(found)


def _is_downwind(spot: Spot, place: Target, wind_from_deg: float, within_m: float) -> bool:
    if place.shape is None or float(shapely.distance(spot.place, place.shape)) > within_m:
        return False
    middle, kiln = place.shape.centroid, spot.place.centroid
    bearing = math.degrees(math.atan2(middle.x - kiln.x, middle.y - kiln.y))
    return abs((bearing - wind_from_deg) % 360.0 - 180.0) <= DOWNWIND_DEG


def crew_place_checks(spot: Spot, places: Iterable[Target]) -> tuple[Check, ...]:
    """What stands too near a kiln for people, vehicles or char, and the kiln inside a place to keep smoke from.

    Parameters
    ----------
    spot : the kiln spot
    places : features of CREW_KINDS; one without a place may be here
    """
    found = []
    for place in places:
        if place.shape is None:
            why = reason("safety.no_place", name=place.name, kind=place.label)
            found.append(checked("crew_place", "not known", place.id, why))
            continue
        distance_m = max(float(shapely.distance(spot.place, place.shape)) - spot.radius_m, 0.0)
        if place.kind == "smoke_place":
            error_m = spot.error_m + place.error_m
            if distance_m <= TOUCHING_M:
                found.append(checked("crew_place", TOO_CLOSE, place.id, reason("safety.on_it", name=place.name)))
            elif distance_m < error_m:
                told = {"distance": metres(distance_m), "error": metres(error_m, toward="up")}
                found.append(checked("crew_place", MEASURE, place.id, reason("safety.in_it", name=place.name, **told)))
            continue
        least_m = floor_m(place.kind)
        if distance_m < least_m:
            away, least = metres(distance_m, 2, "down"), metres(least_m, 2, "up")
            why = reason("safety.crew_place", name=place.name, distance=away, least=least)
            found.append(checked("crew_place", "too near a kiln", place.id, why, reason("action.move_place")))
        elif place.kind != "char_pad" and distance_m < least_m + (error_m := spot.error_m + place.error_m):
            told = {"distance": metres(distance_m), "error": metres(error_m, toward="up")}
            why = reason("safety.crew_place_near", name=place.name, least=metres(least_m, toward="up"), **told)
            found.append(checked("crew_place", MEASURE, place.id, why, reason("action.tape")))
    return tuple(found)


def char_pad_checks(pads: Iterable[Target], targets: Iterable[Target]) -> tuple[Check, ...]:
    """Char pads in water or wet ground, and against a heap: glowing char there steams on people, or lights the heap.

    pads : features of the kind; targets : features as the rules see them
    """
    every, found = tuple(target for target in targets if target.shape is not None), []
    for pad in pads:
        if pad.shape is None:
            continue
        for target in every:
            distance_m = float(shapely.distance(pad.shape, target.shape))
            wet = target.kind in ("wetland", "stream") or target.use == "open_water"
            if wet and distance_m <= TOUCHING_M:
                found.append(_pad_check(pad, reason("safety.wet_pad", name=pad.name, water=target.name)))
            elif target.kind in ("pile", "windrow") and distance_m < PAD_M:
                away, least = metres(distance_m), metres(PAD_M)
                why = reason("safety.pad_by_heap", name=pad.name, heap=target.name, distance=away, least=least)
                found.append(_pad_check(pad, why))
    return tuple(found)


def _pad_check(pad: Target, why: Reason) -> Check:
    return checked("char_pad", "char pad in the wrong place", pad.id, why, reason("action.move_place"))
