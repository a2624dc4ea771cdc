"""Ways over the ground by cost-distance surfaces: the least cost from a place to everywhere, whoever or what goes.

On level ground a way found on the graph is at most 2.8 % too long, 1.3 % on average, never too short.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import LineString, Point
from shapely.geometry.base import BaseGeometry

from sitemap.errors import BadShape
from sitemap.reasons import reason
from sitemap.terrain.graph import Graph, Obstacles, build_graph
from sitemap.terrain.steps import Trip
from sitemap.terrain.surface import Floats, surface_steps
from sitemap.terrain.terrain import Terrain
from sitemap.terrain.travel import Hose

__all__ = [
    "Field",
    "Graph",
    "Obstacles",
    "Route",
    "Trip",
    "build_graph",
    "drawn_route",
    "field",
    "fresh_field",
    "path_from",
    "path_to",
]

NEARER = (0.125, 0.25, 0.5)  # shares of a limit that are tried first
DETOUR = 1.2  # where the straight way, so much longer, is within them
NEAR_M, LONGER = 20.0, (1.25, 2.5, 5.0)  # of a way sought alone: so many times the straight one, or so many metres
ROOM_M = 40.0  # [m] about the side of a part that is there besides
STRETCH_M = 10.0  # [m] the steepest stretch is looked for over this length: shorter is roughness


@dataclass(frozen=True, eq=False)
class Field:
    """A cost-distance surface: least cost from a place to every cell, made by `field`.

    costs : (rows, columns) [s, or m for a hose], inf where it cannot be reached
    offset_m : from the start to the nearest open cells, where it lies on closed ground [m]; counted in the costs
    before : (cells,) the cell before each on its way from the start; below 0 at the start and where not reached
    """

    graph: Graph
    start: BaseGeometry
    offset_m: float
    costs: Floats
    before: NDArray[np.int32]

    def cost_to(self, place: BaseGeometry) -> float:
        """Cost to a shape, where it is cheapest; with the last metres to a place on closed ground."""
        cells, offset = self.graph.cells_at(place)
        return float(self.costs.ravel()[cells].min()) + self.graph.level_cost(offset) if cells.size else math.inf


@dataclass(frozen=True)
class Route:
    """One way over the ground.

    line : on the plane [m]
    found : sought by the program; False for one the crew drew
    length_m : over the ground; of a found one the length the areas of reach are made with, from cell to cell, but never
        below the straight line
    cost : of the trip it was sought for [s, or m for a hose]; None for a drawn one
    distance_m, height_m : its profile, level distance from the start and height [m] (NaN where not known)
    steepest_up_pct, steepest_down_pct : in each direction from the start [%], both positive: the steepest step of a
        found way, the steepest stretch of 10 m of a drawn one; NaN where no height is known
    road_crossings : where it crosses a road [m]
    """

    line: LineString
    found: bool
    length_m: float
    cost: float | None
    distance_m: tuple[float, ...]
    height_m: tuple[float, ...]
    steepest_up_pct: float
    steepest_down_pct: float
    road_crossings: tuple[tuple[float, float], ...] = ()


def fresh_field(graph: Graph, start: BaseGeometry, limit: float = math.inf) -> Field:
    """Least cost from a place to every cell: one pass, however many places are then read from it.

    Parameters
    ----------
    graph : of a terrain and a travel cost
    start : point, line or area on the plane [m]; from an area one starts at any open cell on it or at its rim
    limit : costs beyond it are not sought [s, or m for a hose]: much quicker

    Returns
    -------
    Field; nothing is reached where the start lies deep in closed ground or outside
    """
    from scipy.sparse.csgraph import dijkstra

    cells, offset = graph.cells_at(start)
    if cells.size == 0:
        nothing = np.full(graph.grid.size, -9999, dtype=np.int32)
        return Field(graph, start, offset, np.full(graph.grid.shape, np.inf), nothing)
    costs, before, _ = dijkstra(
        graph.steps, directed=True, indices=cells, return_predecessors=True, limit=limit, min_only=True
    )
    return Field(graph, start, offset, costs.reshape(graph.grid.shape) + graph.level_cost(offset), before)


@lru_cache(maxsize=32)
def field(graph: Graph, start: BaseGeometry, limit: float = math.inf) -> Field:
    """As `fresh_field`, remembered."""
    return fresh_field(graph, start, limit)


def are_few(distances_m: Iterable[float], terrain: Terrain) -> bool:
    """Whether ways so long as the crow flies [m] are sooner sought each on a part of the graph of its own than on the
    whole: those parts are less than half of the terrain together.
    """
    sides = (LONGER[0] * max(distance, NEAR_M) + ROOM_M for distance in distances_m)
    return sum(side**2 for side in sides) < terrain.grid.size * terrain.grid.cell_m**2 / 2


def path_from(
    graph: Graph, start: BaseGeometry, place: BaseGeometry, limit: float, *, alone: bool = False
) -> Route | None:
    """The way from one place to another, as `path_to` finds it; it is sought nearby first, which is quicker.

    Parameters
    ----------
    graph : of a terrain and a travel cost
    start, place : shapes on the plane [m]
    limit : no way is sought beyond it [s, or m for a hose]
    alone : few ways are sought (see `are_few`), each on a part of the graph of its own; else they share the whole
        graph, and what was sought from this start

    Returns
    -------
    Route; None where there is none within the limit
    """
    straight = graph.level_cost(float(start.distance(place)))
    if alone:
        straight = max(straight, graph.level_cost(NEAR_M))
        nearer = [straight * times for times in LONGER if straight * times < limit]
        tried = (field(graph.between(start, place, each), start, each) for each in (*nearer, limit))
    else:
        nearer = [limit * share for share in NEARER if limit * share > DETOUR * straight]
        tried = (field(graph, start, each) for each in (*nearer, limit))
    return next((way for reached in tried if (way := path_to(reached, place))), None)


def path_to(reached: Field, place: BaseGeometry) -> Route | None:
    """The way from a field's start to a place; None where there is none."""
    graph = reached.graph
    cells, offset = graph.cells_at(place)
    costs = reached.costs.ravel()
    if cells.size == 0 or not np.isfinite(costs[cells]).any():
        return None
    cell = int(cells[np.argmin(costs[cells])])
    chain = [cell]
    while reached.before[cell] >= 0:
        cell = int(reached.before[cell])
        chain.append(cell)
    points = list(zip(*(part.tolist() for part in graph.grid.centre_of(chain[::-1])), strict=True))
    if len(points) == 1 or not isinstance(reached.start, Point):
        points.insert(0, _nearest_on(reached.start, points[0]))
    else:
        points[0] = (reached.start.x, reached.start.y)
    points.append(_nearest_on(place, points[-1]))
    cost = float(costs[chain[0]]) + graph.level_cost(offset)
    cells_m = np.column_stack(graph.grid.centre_of(chain[::-1]))
    run = np.hypot(*np.diff(cells_m, axis=0).T)
    rise = np.diff(graph.heights.ravel()[chain[::-1]])
    length = (
        cost if isinstance(graph.travel_cost, Hose) else float(np.hypot(run, rise).sum()) + offset + reached.offset_m
    )
    length = max(length, float(reached.start.distance(place)))  # the middles of two cells may lie nearer than the ends
    slope = 100 * rise / run if run.size else np.zeros(1)
    return _described(
        graph.terrain,
        LineString(points),
        graph.obstacles,
        found=True,
        cost=cost,
        length_m=length,
        steepest_up_pct=max(0.0, float(slope.max())),
        steepest_down_pct=max(0.0, float(-slope.min())),
    )


def drawn_route(terrain: Terrain, line: LineString, obstacles: Obstacles) -> Route:
    """A way the crew drew, described as a found one is: it always wins over what the program would find.

    Raises BadShape for a line without length.
    """
    if line.is_empty or line.length == 0:
        raise BadShape(reason("terrain.way_without_length"))
    distance, height = terrain.profile(line)
    up, down = _steepest(distance, height)
    return _described(
        terrain,
        line,
        obstacles,
        found=False,
        cost=None,
        length_m=float(np.sum(surface_steps(distance, height))),
        steepest_up_pct=up,
        steepest_down_pct=down,
    )


def _nearest_on(place: BaseGeometry, point: tuple[float, float]) -> tuple[float, float]:
    nearest = shapely.get_coordinates(shapely.shortest_line(place, Point(point)))[0]
    return float(nearest[0]), float(nearest[1])


def _described(terrain: Terrain, line: LineString, obstacles: Obstacles, **known: Any) -> Route:
    line = LineString(shapely.get_coordinates(shapely.remove_repeated_points(line)))
    if line.length == 0:  # start and end in one place
        x, y = line.coords[0]
        line = LineString([(x, y), (x + 1e-6, y)])
    distance, height = terrain.profile(line)
    roads = [shapely.make_valid(road) for road in obstacles.roads]
    crossings = shapely.get_coordinates(
        [shapely.intersection(line, road if road.area == 0 else road.boundary) for road in roads]
    )
    return Route(
        line=line,
        distance_m=tuple(distance.tolist()),
        height_m=tuple(height.tolist()),
        road_crossings=tuple((float(x), float(y)) for x, y in crossings),
        **known,
    )


def _steepest(distance: Floats, height: Floats) -> tuple[float, float]:
    """Steepest 10 m up and down [%], on known stretches only."""
    known = ~np.isnan(height)
    stretch = min(STRETCH_M, float(distance[-1]))
    begin = distance[distance <= distance[-1] - stretch + 1e-9]
    if known.sum() < 2:
        return math.nan, math.nan
    heights = [np.interp(at, distance[known], height[known]) for at in (begin, begin + stretch)]
    slope = 100 * (heights[1] - heights[0]) / stretch
    return max(0.0, float(slope.max())), max(0.0, float(-slope.min()))
