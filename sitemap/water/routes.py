"""The ways water can take on a site: drawn by the crew, else found over the ground, for every source and kiln spot."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np
import shapely
from shapely.geometry import Point
from shapely.geometry.base import BaseGeometry

from sitemap.errors import BadShape
from sitemap.geodesy.plane import Plane
from sitemap.notes import Note
from sitemap.reasons import Reason, metres, reason
from sitemap.site.model import Entry, Feature, Site
from sitemap.site.on_plane import middle_of, near, near_shape
from sitemap.terrain import travel
from sitemap.terrain.graph import Graph, build_graph
from sitemap.terrain.of_site import ground_of, heeded, obstacles_of
from sitemap.terrain.routes import Route, are_few, drawn_route, path_from
from sitemap.terrain.steps import Trip
from sitemap.terrain.terrain import Terrain
from sitemap.terrain.travel import TravelCost
from sitemap.water.reading import link_record, source_of
from sitemap.water.records import Machine
from sitemap.water.values import Lay, Way

NEAR_END_M = 15.0  # [m] a drawn lay belongs to a source and spot its ends come this near to
TERRAIN_ERROR_M, COARSE_ERROR_M = 1.0, 5.0  # [m] height difference read off a raster; ours, from memory (M)
PHONE_ERROR_M = 15.0  # [m] heights from phones: house rule (C)
MEASURED_ERROR_M = 1.0  # [m] heights said to be measured; ours (C)
REACH_M = 1500.0  # [m] no hose is looked for beyond
TRIP_S = 3600.0  # [s] no haul whose round trip alone takes an hour: the quench must be done by then


def travel_cost_of(machine: Machine | None) -> travel.Machine:
    """A machine of the equipment list as the routes see it; blanks, and no machine, are the slow house values."""
    plain = travel.Machine()
    if machine is None:
        return plain
    slope = machine.max_slope_pct
    limits = {} if slope is None else dict.fromkeys(_SLOPES, slope)
    typed = {
        "loaded_km_h": machine.loaded_km_h,
        "empty_km_h": machine.empty_km_h,
        "side_slope_pct": machine.side_slope_pct,
        "width_m": machine.width_m,
    }
    return replace(plain, **limits, **{name: value for name, value in typed.items() if value is not None})


def first_machine(machines: tuple[Machine, ...]) -> travel.Machine:
    """The machine that hauls: the first of the list."""
    return travel_cost_of(machines[0] if machines else None)


_LIMIT: dict[Way, float] = {"hose": REACH_M, "haul": TRIP_S, "hand": TRIP_S}
_SLOPES = ("loaded_up_pct", "loaded_down_pct", "empty_up_pct", "empty_down_pct")


def graph_for(way: Way, features: tuple[Feature, ...], plane: Plane, ground: Terrain, machine: travel.Machine) -> Graph:
    """The graph hose, machine or walkers go by; the reach areas of siting are made on the same one."""
    costs: dict[Way, TravelCost] = {"hose": travel.Hose(), "haul": machine, "hand": travel.Walker()}
    fixed = heeded(features, plane)
    trip: Trip = "one_way" if way == "hose" else "loaded_out"
    return build_graph(ground, obstacles_of(fixed, plane, way == "haul"), costs[way], trip)


def lays_of(
    features: tuple[Feature, ...],
    links: tuple[Entry, ...],
    plane: Plane,
    terrain: Terrain | None,
    machines: tuple[Machine, ...],
    carriers: bool,
) -> tuple[Lay, ...]:
    """Every way from every source to every kiln spot that can be looked for.

    Parameters
    ----------
    features : of the site
    links : records of source and spot together (a lay they name wins)
    plane, terrain : of the site; without terrain the ground counts as level and heights come from what was typed
    machines : the first carries the water
    carriers : whether people may carry it

    Returns
    -------
    one Lay for each source, spot and way; length None where there is none
    """
    ground = ground_of(features, plane, terrain)
    machine = first_machine(machines)
    possible: tuple[tuple[Way, bool], ...] = (("hose", True), ("haul", bool(machines)), ("hand", carriers))
    ways = tuple(way for way, can in possible if can)
    placed = near(features, plane)
    sources = [feature for feature in placed if feature.kind == "water_source"]
    spots = [feature for feature in placed if feature.kind == "kiln_spot"]
    fixed = heeded(placed, plane)
    drawn = tuple(feature for feature in placed if feature.kind == "hose_lay")
    over = _Over(fixed, drawn, links, plane, terrain, ground, machine, _few(placed, plane, ground))
    return tuple(_lay(source, spot, way, over) for source in sources for spot in spots for way in ways)


def _few(features: tuple[Feature, ...], plane: Plane, ground: Terrain) -> bool:
    waters = [near_shape(feature, plane) for feature in features if feature.kind == "water_source"]
    kilns = [middle_of(feature, plane) for feature in features if feature.kind == "kiln_spot"]
    ends = ((water, kiln) for water in waters for kiln in kilns if water is not None and kiln is not None)
    return are_few((water.distance(kiln) for water, kiln in ends), ground)


@dataclass(frozen=True)
class _Over:
    """What every way of a site leads over: fixed features, lays the crew drew, readings of links, ground, machine,
    and whether they are few."""

    fixed: tuple[Feature, ...]
    drawn: tuple[Feature, ...]
    links: tuple[Entry, ...]
    plane: Plane
    terrain: Terrain | None
    ground: Terrain
    machine: travel.Machine
    few: bool


@lru_cache(maxsize=1024)
def _lay(source: Feature, spot: Feature, way: Way, over: _Over) -> Lay:
    plane, terrain = over.plane, over.terrain
    water, kiln = plane.forward(source.shape), middle_of(spot, plane)
    lift, error = _lift(source, spot, water, kiln, terrain)
    lay = drawn_lay(source, spot, over.drawn, over.links, plane) if way == "hose" else None
    route: Route | None
    if lay is not None:
        try:
            route = drawn_route(over.ground, plane.forward(lay.shape), obstacles_of(over.fixed, plane, False))
        except BadShape as fault:
            return Lay(source.id, spot.id, way, None, reason=reason("water.lay_fault", why=fault.reason))
        how = reason("water.along_drawn", lay=lay.name)
    else:
        graph = graph_for(way, over.fixed, plane, over.ground, over.machine)
        limit = _LIMIT[way]
        route = path_from(graph, water, kiln, limit, alone=over.few) if kiln is not None else None
        how = reason("water.found_level" if terrain is None else "water.found_over_ground")
        if terrain is not None and terrain.coarse:
            how = reason("water.found_coarse")
    if route is None:
        known = not any(math.isnan(height) for height in _heights_m(water, kiln, terrain))
        why = _why_none(way, known or terrain is None)
        return Lay(source.id, spot.id, way, None, lift_m=lift, lift_error_m=error, reason=why, barred=known)
    profile = _typed_profile(lay) or (_profile(route) if terrain is not None else None)
    steepest = max(route.steepest_up_pct, route.steepest_down_pct) if terrain is not None else math.nan
    return Lay(
        source.id,
        spot.id,
        way,
        route.length_m,
        profile,
        lift,
        error,
        None if math.isnan(steepest) else steepest,
        drawn=lay is not None,
        reason=reason("water.across_road", way=how) if route.road_crossings else how,
    )


def route_line(
    source: Feature,
    spot: Feature,
    way: Way,
    features: tuple[Feature, ...],
    plane: Plane,
    terrain: Terrain | None,
    machines: tuple[Machine, ...],
) -> BaseGeometry | None:
    """The line of a found way on the plane [m], to draw it; None where there is none."""
    kiln = middle_of(spot, plane)
    if kiln is None or source.shape is None:
        return None
    machine = first_machine(machines)
    ground = ground_of(features, plane, terrain)
    graph, few = graph_for(way, features, plane, ground, machine), _few(features, plane, ground)
    found = path_from(graph, plane.forward(source.shape), kiln, _LIMIT[way], alone=few)
    return None if found is None else found.line


def drawn_lay(
    source: Feature, spot: Feature, drawn: tuple[Feature, ...], links: tuple[Entry, ...], plane: Plane
) -> Feature | None:
    """The hose lay the crew drew from a source to a spot: named for them, else ending near both; or None."""
    water, kiln = near_shape(source, plane), middle_of(spot, plane)
    pair = (source.id, spot.id)
    records = [link_record(link) for link in links]
    named = {link.hose_lay for link in records if (link.source, link.spot) == pair}
    for lay in drawn:
        if lay.shape is not None and (lay.id in named or (lay.text("from_source"), lay.text("to_spot")) == pair):
            return lay
    for lay in drawn:
        line = near_shape(lay, plane)
        if line is None or water is None or kiln is None or lay.has("from_source") or lay.has("to_spot"):
            continue
        if water.distance(line.boundary) <= NEAR_END_M and kiln.distance(line.boundary) <= NEAR_END_M:
            return lay
    return None


def loose_lays(site: Site, plane: Plane) -> tuple[Note, ...]:
    """A note for each hose lay drawn that joins no water source to a kiln spot."""
    links = site.records("links")
    pairs = [(source, spot) for source in site.of_kind("water_source") for spot in site.of_kind("kiln_spot")]
    return tuple(
        Note(
            lay.id,
            "loose_lay",
            reason("water.loose_lay", lay=lay.name, near=metres(NEAR_END_M)),
        )
        for lay in site.of_kind("hose_lay")
        if not any(drawn_lay(source, spot, (lay,), links, plane) for source, spot in pairs)
    )


def _typed_profile(lay: Feature | None) -> tuple[tuple[float, float], ...] | None:
    return lay.curve("profile") if lay is not None else None


def _profile(route: Route) -> tuple[tuple[float, float], ...] | None:
    """Heights above the water along a route; None where the ground is not known all the way."""
    start = route.height_m[0]
    if any(math.isnan(height) for height in route.height_m):
        return None
    return tuple((d, h - start) for d, h in zip(route.distance_m, route.height_m, strict=True))


def _lift(
    source: Feature, spot: Feature, water: BaseGeometry, kiln: Point | None, terrain: Terrain | None
) -> tuple[float | None, float | None]:
    """How far the kiln stands above the water, and the error of that [m]."""
    low, high = _heights_m(water, kiln, terrain)
    if terrain is not None and not math.isnan(high - low):
        return high - low, COARSE_ERROR_M if terrain.coarse else TERRAIN_ERROR_M
    low_typed, high_typed = source_of(source).elevation_m, spot.number("elevation_m")
    if low_typed is None or high_typed is None:
        return None, None
    measured = all(f.values.get("elevation_m_basis") == "measured" for f in (source, spot))
    return high_typed - low_typed, MEASURED_ERROR_M if measured else PHONE_ERROR_M


def _heights_m(water: BaseGeometry, kiln: Point | None, terrain: Terrain | None) -> tuple[float, float]:
    """Heights of the water and of the kiln by the raster [m]; NaN where it has none."""
    if terrain is None or kiln is None:
        return math.nan, math.nan
    return water_level_m(water, terrain), float(terrain.elevation(kiln.x, kiln.y))


def water_level_m(water: BaseGeometry, terrain: Terrain) -> float:
    """Height of the water of a source on the plane [m], the same for every kiln; NaN where not known.

    A raster often has a hole where the water is: then the lowest known place of the shore.
    """
    middle = water.centroid if water.covers(water.centroid) else water.representative_point()
    level = float(terrain.elevation(middle.x, middle.y))
    if not math.isnan(level) or not water.area:
        return level
    shore = shapely.get_coordinates(shapely.segmentize(water.boundary, terrain.grid.cell_m))
    heights = terrain.elevation(shore[:, 0], shore[:, 1])
    return float(np.nanmin(heights)) if np.isfinite(heights).any() else math.nan


def _why_none(way: Way, known: bool) -> Reason:
    if not known:
        return reason("water.no_height")
    return reason("water.no_way_by_machine" if way == "haul" else "water.no_way_over_ground")
