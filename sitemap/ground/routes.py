"""Ways over the ground: the least cost from a place to everywhere, for a machine, a person or a hose.

The ground is a graph: each cell is joined to 16 others (its 8 neighbours and the 8 a knight's move away), each
direction with its own cost. On level ground such a way is at most 2.8 % too long, 1.3 % on average, never too short.
A step is allowed only where every cell it passes over is open, so no wall one cell thick is jumped or squeezed
through at a corner.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise
from typing import Any, Literal

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import LineString, Point
from shapely.geometry.base import BaseGeometry

from sitemap.errors import BadShape
from sitemap.ground.grid import Grid, Mask
from sitemap.ground.surface import Floats, gradient, surface_steps
from sitemap.ground.terrain import Terrain
from sitemap.ground.travel import Hose, Mover

Trip = Literal["one_way", "loaded_out", "loaded_back"]

# (rows down, columns right) of half the steps; the other half are the same the other way
HALF_STEPS = ((0, 1), (1, 1), (1, 0), (1, -1), (1, 2), (2, 1), (2, -1), (1, -2))
SNAP_M = 10.0  # [m] a place on closed ground (a pond, a building) is reached at the nearest open cell within this
STRETCH_M = 10.0  # [m] the steepest stretch is looked for over this length: shorter is roughness


@dataclass(frozen=True)
class Obstacles:
    """What a way must heed, shapes on the plane [m].

    closed : never entered (buildings, no-go areas, ponds)
    wet : crossed only where a track does (streams, wet ground)
    tracks : where wet ground is crossed, and where the side slope does not count: a track is cut level across
    roads : crossed, and said so
    """

    closed: tuple[BaseGeometry, ...] = ()
    wet: tuple[BaseGeometry, ...] = ()
    tracks: tuple[BaseGeometry, ...] = ()
    roads: tuple[BaseGeometry, ...] = ()


@dataclass(frozen=True, eq=False)
class Graph:
    """Costs of every step on a terrain for one mover and trip; compared by identity, made once by `build_graph`."""

    terrain: Terrain
    obstacles: Obstacles
    mover: Mover
    trip: Trip
    open: Mask
    steps: Any  # scipy.sparse.csr_array (cells, cells)

    @property
    def grid(self) -> Grid:
        """Where the cells lie."""
        return self.terrain.grid

    def cells_at(self, place: BaseGeometry) -> tuple[NDArray[np.int64], float]:
        """The open cells a place is reached at, and how far off it they are [m].

        A point in an open cell is that cell; a shape is every open cell on it or at its rim; a place on closed ground
        is the nearest open cells within 10 m or three cells. Nothing open there: no cells.
        """
        grid, reach = self.grid, max(SNAP_M, 3 * self.grid.cell_m)
        low_x, low_y, high_x, high_y = place.bounds
        row = np.array([grid.y0_m - high_y - reach, grid.y0_m - low_y + reach + grid.cell_m]) / grid.cell_m
        column = np.array([low_x - reach - grid.x0_m, high_x + reach + grid.cell_m - grid.x0_m]) / grid.cell_m
        top, bottom = np.clip(np.floor(row), 0, grid.rows).astype(int)
        left, right = np.clip(np.floor(column), 0, grid.columns).astype(int)
        window = np.zeros(grid.shape, dtype=bool)
        window[top:bottom, left:right] = self.open[top:bottom, left:right]
        cells = np.flatnonzero(window)
        if cells.size == 0:
            return cells, math.inf
        if isinstance(place, Point):
            own = int(grid.cell_of(place.x, place.y))
            if own >= 0 and self.open.flat[own]:
                return np.array([own]), 0.0
        shapely.prepare(place)
        distance = shapely.distance(place, shapely.points(*grid.centre_of(cells)))
        nearest = float(distance.min())
        if nearest > reach:
            return cells[:0], math.inf
        rim = 0.75 * grid.cell_m  # a cell the shape touches has its centre within this
        return cells[distance <= nearest + rim], 0.0 if nearest <= rim else nearest

    def level_cost(self, length_m: float) -> float:
        """Cost of so many level metres on this trip [s, or m for a hose]."""
        length, level = np.array(length_m), np.array(0.0)
        out = float(self.mover.cost(level, length, True))
        return out if self.trip == "one_way" else out + float(self.mover.cost(level, length, False))


@dataclass(frozen=True, eq=False)
class Field:
    """Least cost from a place to every cell, made by `field`.

    costs : (rows, columns) [s, or m for a hose], inf where it cannot be reached
    before : (cells,) the cell before each on its way from the start; below 0 at the start and where not reached
    """

    graph: Graph
    start: BaseGeometry
    costs: Floats
    before: NDArray[np.int32]

    def cost_at(self, x: Any, y: Any) -> Floats:
        """Cost to the cell of places [m], scalars or arrays; inf outside and where it cannot be reached."""
        cell = self.graph.grid.cell_of(x, y)
        return np.where(cell < 0, np.inf, self.costs.ravel()[cell])

    def cost_to(self, place: BaseGeometry) -> float:
        """Cost to a shape, where it is cheapest; with the last metres to a place on closed ground."""
        cells, offset = self.graph.cells_at(place)
        return float(self.costs.ravel()[cells].min()) + self.graph.level_cost(offset) if cells.size else math.inf


@dataclass(frozen=True)
class Route:
    """One way over the ground.

    line : on the plane [m]
    found : sought by the program; False for one the crew drew
    length_m : over the ground; of a found hose lay the length the reach area is made with
    cost : of the trip it was sought for [s, or m for a hose]; None for a drawn one
    distance_m, height_m : its profile, level distance from the start and height [m] (NaN where not known)
    steepest_up_pct, steepest_down_pct : steepest stretch of 10 m in each direction, from the start [%], both positive,
        NaN where no height is known
    steepest_xy : the middle of the steeper of the two [m]
    unknown_m : level length on which the height is not known
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
    steepest_xy: tuple[float, float]
    unknown_m: float
    road_crossings: tuple[tuple[float, float], ...] = ()


@lru_cache(maxsize=4)
def build_graph(terrain: Terrain, obstacles: Obstacles, mover: Mover, trip: Trip) -> Graph:
    """The graph of a terrain for one mover; remembered, as it is the dear part (0.5 s for a million cells).

    Parameters
    ----------
    terrain : heights; cells of unknown height are closed
    obstacles : shapes on the plane
    mover : Machine, Walker or Hose
    trip : "one_way" (loaded); "loaded_out": out loaded and back empty by the same way, as water to a kiln;
        "loaded_back": out empty, back loaded, as from a kiln to the heaps it burns. A round trip is one graph: each
        step costs what it costs out plus what it costs back.

    Returns
    -------
    Graph
    """
    from scipy.sparse import csr_array

    grid = terrain.grid
    heights = terrain.averaged(mover.width_m)
    open_cells = _open_cells(terrain, obstacles, mover)
    slopes = gradient(heights, grid.cell_m) if np.isfinite(mover.side_slope_pct) else None
    on_track = grid.burn(obstacles.tracks)
    weights = np.full((grid.rows, grid.columns, 2 * len(HALF_STEPS)), np.inf, dtype=np.float32)
    offsets = []
    for number, (down, right) in enumerate(HALF_STEPS):
        near, far, between = _windows(grid.shape, down, right)
        allowed = open_cells[near] & open_cells[far]
        for cell in between:
            allowed = allowed & open_cells[cell]
        run = math.hypot(down, right) * grid.cell_m
        if slopes is not None:
            east, north = right * grid.cell_m / run, -down * grid.cell_m / run
            across = [np.abs(slopes[1][at] * east - slopes[0][at] * north) * 100 for at in (near, far)]
            cut_level = on_track[near] & on_track[far]
            allowed = allowed & (((across[0] + across[1]) / 2 <= mover.side_slope_pct) | cut_level)
        through = [heights[near], heights[far]]
        if len(between) == 2 and abs(down) + abs(right) == 3:  # a long step follows the ground half way, too
            through.insert(1, (heights[between[0]] + heights[between[1]]) / 2)
        there, back = _both_ways(through, run, mover, trip)
        weights[(*near, 2 * number)] = np.where(allowed, there, np.inf)
        weights[(*far, 2 * number + 1)] = np.where(allowed, back, np.inf)
        offsets += [down * grid.columns + right, -down * grid.columns - right]
    kept = np.isfinite(weights).reshape(grid.size, -1)
    starts = np.concatenate([[0], np.cumsum(kept.sum(axis=1))]).astype(np.int32)
    ends = (np.arange(grid.size, dtype=np.int32)[:, None] + np.array(offsets, dtype=np.int32))[kept]
    steps = csr_array((weights.reshape(kept.shape)[kept].astype(float), ends, starts), shape=(grid.size, grid.size))
    return Graph(terrain, obstacles, mover, trip, open_cells, steps)


@lru_cache(maxsize=16)
def field(graph: Graph, start: BaseGeometry, limit: float = math.inf) -> Field:
    """Least cost from a place to every cell: one pass, however many places are then read from it.

    Parameters
    ----------
    graph : of a terrain and mover
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
        return Field(graph, start, np.full(graph.grid.shape, np.inf), nothing)
    costs, before, _ = dijkstra(
        graph.steps, directed=True, indices=cells, return_predecessors=True, limit=limit, min_only=True
    )
    return Field(graph, start, costs.reshape(graph.grid.shape) + graph.level_cost(offset), before)


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
    return _described(graph.terrain, LineString(points), graph.obstacles, cost, isinstance(graph.mover, Hose))


def drawn_route(terrain: Terrain, line: LineString, obstacles: Obstacles) -> Route:
    """A way the crew drew, described as a found one is: it always wins over what the program would find.

    Raises BadShape for a line without length.
    """
    if line.is_empty or line.length == 0:
        raise BadShape("A way without length leads nowhere. Draw it with two points that differ.")
    return _described(terrain, line, obstacles, None, False)


def trip_cost(route: Route, mover: Mover, trip: Trip) -> float:
    """Cost of a trip along a route as drawn [s, or m for a hose]; inf where a stretch of it is beyond the mover.

    Heights not known count as level.
    """
    run, rise = np.diff(route.distance_m), np.nan_to_num(np.diff(route.height_m))
    slope, length = rise / run, np.hypot(run, rise)
    out = mover.cost(slope, length, trip != "loaded_back")
    back = 0.0 if trip == "one_way" else mover.cost(-slope, length, trip == "loaded_back")
    return float(np.sum(out + back))


def _open_cells(terrain: Terrain, obstacles: Obstacles, mover: Mover) -> Mask:
    grid = terrain.grid
    closed = grid.burn([shape.buffer(mover.width_m / 2) for shape in obstacles.closed])
    # a track is burned a little wide, so that the cells it opens hang together across the water
    ford = grid.burn([track.buffer(grid.cell_m / 2) for track in obstacles.tracks])
    return np.isfinite(terrain.elevation_m) & ~closed & ~(grid.burn(obstacles.wet) & ~ford)


def _windows(shape: tuple[int, int], down: int, right: int) -> tuple[Any, Any, list[Any]]:
    """Slices of all cells a step starts from, of those it ends in, and of those it passes over between."""
    rows, columns = shape
    first, last = max(0, -right), columns - max(0, right)

    def moved(by_down: int, by_right: int) -> Any:
        return slice(by_down, rows - down + by_down), slice(first + by_right, last + by_right)

    sign = 1 if right > 0 else -1
    passed = {
        (1, 1): [(0, sign), (1, 0)],
        (1, 2): [(0, sign), (1, sign)],
        (2, 1): [(1, 0), (1, sign)],
    }.get((down, abs(right)), [])
    return moved(0, 0), moved(down, right), [moved(*cell) for cell in passed]


def _both_ways(through: list[Floats], run: float, mover: Mover, trip: Trip) -> tuple[Floats, Floats]:
    """Cost of a step there and of the same step back, over the heights it passes."""
    there: Floats = np.zeros(through[0].shape, dtype=np.float32)
    back = there
    part = run / (len(through) - 1)
    for low, high in pairwise(through):
        slope = (high - low) / part
        length = part * np.sqrt(1 + slope**2)
        up_loaded, down_loaded = mover.cost(slope, length, True), mover.cost(-slope, length, True)
        if trip != "one_way":
            up_empty, down_empty = mover.cost(slope, length, False), mover.cost(-slope, length, False)
            out, home = up_loaded + down_empty, down_loaded + up_empty
            up_loaded, down_loaded = (out, home) if trip == "loaded_out" else (home, out)
        there, back = there + up_loaded, back + down_loaded
    return there, back


def _nearest_on(place: BaseGeometry, point: tuple[float, float]) -> tuple[float, float]:
    nearest = shapely.get_coordinates(shapely.shortest_line(place, Point(point)))[0]
    return float(nearest[0]), float(nearest[1])


def _described(terrain: Terrain, line: LineString, obstacles: Obstacles, cost: float | None, hose: bool) -> Route:
    line = LineString(shapely.get_coordinates(shapely.remove_repeated_points(line)))
    if line.length == 0:  # start and end in one place
        x, y = line.coords[0]
        line = LineString([(x, y), (x + 1e-6, y)])
    distance, height = terrain.profile(line)
    up, down, middle = _steepest(distance, height)
    step = np.diff(distance)
    at = line.interpolate(middle)
    crossings = shapely.get_coordinates(
        [shapely.intersection(line, road if road.area == 0 else road.boundary) for road in obstacles.roads]
    )
    return Route(
        line=line,
        found=cost is not None,
        length_m=cost if hose and cost is not None else float(np.sum(surface_steps(distance, height))),
        cost=cost,
        distance_m=tuple(distance.tolist()),
        height_m=tuple(height.tolist()),
        steepest_up_pct=up,
        steepest_down_pct=down,
        steepest_xy=(float(at.x), float(at.y)),
        unknown_m=float(step[np.isnan(np.diff(height))].sum()),
        road_crossings=tuple((float(x), float(y)) for x, y in crossings),
    )


def _steepest(distance: Floats, height: Floats) -> tuple[float, float, float]:
    """Steepest 10 m up and down [%], and the middle of the steeper [m]; on known stretches only."""
    known = ~np.isnan(height)
    stretch = min(STRETCH_M, float(distance[-1]))
    begin = distance[distance <= distance[-1] - stretch + 1e-9]
    if known.sum() < 2:
        return math.nan, math.nan, 0.0
    heights = [np.interp(at, distance[known], height[known]) for at in (begin, begin + stretch)]
    slope = 100 * (heights[1] - heights[0]) / stretch
    worst = begin[int(np.argmax(np.abs(slope)))] + stretch / 2
    return max(0.0, float(slope.max())), max(0.0, float(-slope.min())), float(worst)
