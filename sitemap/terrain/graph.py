"""The ground as a graph of steps between cells, each direction with its own cost, for a machine, a person or a hose.

What is dear about a graph are its steps. A way to what is near needs those round its ends alone, so a graph gives parts
of itself (`Graph.between`) in which the ways are the very same; none is made before it is asked for.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property, lru_cache
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import Point
from shapely.geometry.base import BaseGeometry

from sitemap.terrain.grid import Grid, Mask
from sitemap.terrain.steps import Ground, Trip
from sitemap.terrain.surface import Floats, gradient
from sitemap.terrain.terrain import Terrain
from sitemap.terrain.travel import TravelCost

SMALL_CELLS = 100_000  # of a usual site: several sites, and what was tried on each, are remembered
SNAP_M = 10.0  # [m] a place on closed ground (a pond, a building) is reached at the nearest open cell within this
BLOCK = 16  # [cells] a part begins and ends with a block: what moves a little finds the part made before
MOST = 0.6  # of all the cells in a part: then the whole is as good, and serves the other starts too

Bounds = tuple[float, float, float, float]  # smallest x and y, largest x and y [m]
Window = tuple[int, int, int, int]  # first row, last + 1, first column, last + 1


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
    """Steps on a terrain for one travel cost and trip; compared by identity, had from `build_graph` and `between`.

    whole : the graph this is a part of; None for that of the whole terrain
    window : the rows and columns of the terrain it is a part of
    """

    terrain: Terrain
    obstacles: Obstacles
    travel_cost: TravelCost
    trip: Trip
    whole: Graph | None = None
    window: Window | None = None

    @cached_property
    def ground(self) -> Ground:
        """What the steps are reckoned from."""
        if self.whole is not None and self.window is not None:
            return self.whole.ground.part(*self.window)
        terrain, cost = self.terrain, self.travel_cost
        heights = terrain.elevation_m if terrain.level else terrain.averaged(cost.width_m)
        sloping = np.isfinite(cost.side_slope_pct) and not terrain.level
        return Ground(
            terrain.grid,
            terrain.level,
            heights,
            _open_cells(terrain, self.obstacles, cost),
            gradient(heights, terrain.grid.cell_m) if sloping else None,
            terrain.grid.burn(self.obstacles.tracks),
            cost,
            self.trip,
        )

    @property
    def grid(self) -> Grid:
        """Where the cells lie."""
        return self.ground.grid

    @property
    def heights(self) -> Floats:
        """(rows, columns) [m], the terrain's, averaged over what goes there stands on."""
        return self.ground.heights

    @property
    def open(self) -> Mask:
        """(rows, columns) where it may be."""
        return self.ground.open

    @cached_property
    def steps(self) -> Any:
        """scipy.sparse.csr_array (cells, cells), costs."""
        return self.ground.steps()

    def between(self, start: BaseGeometry, place: BaseGeometry, limit: float) -> Graph:
        """The part of a whole graph in which every way from one place to another of at most so much cost lies; the
        whole, where that is most of it. Remembered.

        Parameters
        ----------
        start, place : on the plane [m]
        limit : greatest cost [s, or m for a hose]
        """
        grid, slope = self.terrain.grid, np.array(self.travel_cost.quickest_slope)
        longest = limit / self._cost(slope, np.sqrt(1 + slope**2))  # as the crow flies
        if start.is_empty or place.is_empty or not math.isfinite(longest):
            return self
        window = _window(grid, _between(start.bounds, place.bounds, longest), max(SNAP_M, 3 * grid.cell_m))
        return self if window is None else _part(self, window)

    def cells_at(self, place: BaseGeometry) -> tuple[NDArray[np.int64], float]:
        """The open cells a place is reached at, and how far off it they are [m].

        A point in an open cell is that cell; a shape is every open cell on it or at its rim; a place on closed ground
        is the nearest open cells within 10 m or three cells. Nothing open there: no cells.
        """
        if place.is_empty:
            return np.zeros(0, dtype=np.int64), math.inf
        if self.whole is not None:  # the nearest may lie outside this part
            cells, offset = self.whole.cells_at(place)
            here = self.grid.cell_of(*self.whole.grid.centre_of(cells))
            return here[here >= 0], offset
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
        return self._cost(np.array(0.0), np.array(length_m))

    def _cost(self, slope: Floats, length_m: Floats) -> float:
        """Cost of a stretch there, with that of the way back where the trip has one, at this slope for each."""
        out = float(self.travel_cost.cost(slope, length_m, True))
        return out if self.trip == "one_way" else out + float(self.travel_cost.cost(slope, length_m, False))


def build_graph(terrain: Terrain, obstacles: Obstacles, travel_cost: TravelCost, trip: Trip) -> Graph:
    """The graph of a terrain for one way of going; remembered, as its steps are the dear part (0.5 s for a million
    cells).

    Parameters
    ----------
    terrain : heights; cells of unknown height are closed
    obstacles : shapes on the plane
    travel_cost : Machine, Walker or Hose
    trip : "one_way" (loaded); "loaded_out": out loaded and back empty by the same way, as water to a kiln;
        "loaded_back": out empty, back loaded, as from a kiln to the heaps it burns. A round trip is one graph: each
        step costs what it costs out plus what it costs back.

    Returns
    -------
    Graph
    """
    made = _small_graph if terrain.grid.size <= SMALL_CELLS else _large_graph
    return made(terrain, obstacles, travel_cost, trip)  # type: ignore[arg-type]


#  A graph takes 200 bytes a cell: so many small ones take no more memory than so few large ones.
_small_graph = lru_cache(maxsize=15)(Graph)
_large_graph = lru_cache(maxsize=6)(Graph)


def _between(start: Bounds, place: Bounds, longest: float) -> Bounds:
    """What holds every way so long: along an axis, out from one place and on to the other is at most all of it."""
    axes = [(start[axis], start[axis + 2], place[axis], place[axis + 2]) for axis in (0, 1)]
    lows = [(max(one, other - longest) + other - longest) / 2 for one, _, other, _ in axes]
    highs = [(min(one, other + longest) + other + longest) / 2 for _, one, _, other in axes]
    return lows[0], lows[1], highs[0], highs[1]


def _window(grid: Grid, bounds: Bounds, around_m: float) -> Window | None:
    """The rows and columns that hold bounds and what lies around them; None where that is most of all."""
    low_x, low_y, high_x, high_y = (side + way * around_m for side, way in zip(bounds, (-1, -1, 1, 1), strict=True))
    rows = _blocks((grid.y0_m - high_y) / grid.cell_m, (grid.y0_m - low_y) / grid.cell_m, grid.rows)
    columns = _blocks((low_x - grid.x0_m) / grid.cell_m, (high_x - grid.x0_m) / grid.cell_m, grid.columns)
    size = (rows[1] - rows[0]) * (columns[1] - columns[0])
    return None if not 0 < size <= MOST * grid.size else (*rows, *columns)


def _blocks(first: float, last: float, most: int) -> tuple[int, int]:
    low, high = math.floor((first - 1) / BLOCK) * BLOCK, math.ceil((last + 1) / BLOCK) * BLOCK
    return min(max(low, 0), most), max(0, min(high, most))


def _part(whole: Graph, window: Window) -> Graph:
    top, bottom, left, right = window
    made = _small_part if (bottom - top) * (right - left) <= SMALL_CELLS // 4 else _large_part
    return made(whole, window)


def _made_part(whole: Graph, window: Window) -> Graph:
    return Graph(whole.terrain, whole.obstacles, whole.travel_cost, whole.trip, whole, window)


_small_part = lru_cache(maxsize=40)(_made_part)
_large_part = lru_cache(maxsize=6)(_made_part)


def _open_cells(terrain: Terrain, obstacles: Obstacles, travel_cost: TravelCost) -> Mask:
    grid = terrain.grid
    closed = grid.burn([shape.buffer(travel_cost.width_m / 2) for shape in obstacles.closed])
    # a track is burned a little wide, so that the cells it opens hang together across the water
    ford = grid.burn([track.buffer(grid.cell_m / 2) for track in obstacles.tracks])
    return np.isfinite(terrain.elevation_m) & ~closed & ~(grid.burn(obstacles.wet) & ~ford)
