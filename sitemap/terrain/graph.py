"""The ground as a graph of steps between cells, each direction with its own cost, for a machine, a person or a hose.

Each cell is joined to 16 others, its 8 neighbours and the 8 a knight's move away. A step is allowed only where every
cell it passes over is open, so no wall one cell thick is jumped or squeezed through at a corner.

On ground more than twice as steep as the side slope allowed, few of the 16 directions are left, sometimes one: a
machine is then given less ground than it has, never more. A drawn track helps.
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
from shapely.geometry import Point
from shapely.geometry.base import BaseGeometry

from sitemap.terrain.grid import Grid, Mask
from sitemap.terrain.surface import Floats, gradient
from sitemap.terrain.terrain import Terrain
from sitemap.terrain.travel import TravelCost

Trip = Literal["one_way", "loaded_out", "loaded_back"]

# (rows down, columns right) of half the steps; the other half are the same the other way
HALF_STEPS = ((0, 1), (1, 1), (1, 0), (1, -1), (1, 2), (2, 1), (2, -1), (1, -2))
STRIP_CELLS = 32_768  # reckoned at once: what is at hand of so many fits the processor's own memory
SMALL_CELLS = 100_000  # of a usual site: several sites, and what was tried on each, are remembered
SNAP_M = 10.0  # [m] a place on closed ground (a pond, a building) is reached at the nearest open cell within this


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
    """Costs of every step on a terrain for one travel cost and trip; compared by identity, made once by `build_graph`.

    heights : (rows, columns) [m], the terrain's, averaged over what goes there stands on
    open : (rows, columns) where it may be
    steps : scipy.sparse.csr_array (cells, cells), costs
    """

    terrain: Terrain
    obstacles: Obstacles
    travel_cost: TravelCost
    trip: Trip
    heights: Floats
    open: Mask
    steps: Any

    @property
    def grid(self) -> Grid:
        """Where the cells lie."""
        return self.terrain.grid

    def cells_at(self, place: BaseGeometry) -> tuple[NDArray[np.int64], float]:
        """The open cells a place is reached at, and how far off it they are [m].

        A point in an open cell is that cell; a shape is every open cell on it or at its rim; a place on closed ground
        is the nearest open cells within 10 m or three cells. Nothing open there: no cells.
        """
        if place.is_empty:
            return np.zeros(0, dtype=np.int64), math.inf
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
        out = float(self.travel_cost.cost(level, length, True))
        return out if self.trip == "one_way" else out + float(self.travel_cost.cost(level, length, False))


def build_graph(terrain: Terrain, obstacles: Obstacles, travel_cost: TravelCost, trip: Trip) -> Graph:
    """The graph of a terrain for one way of going; remembered, as it is the dear part (0.5 s for a million cells).

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


def fresh_graph(terrain: Terrain, obstacles: Obstacles, travel_cost: TravelCost, trip: Trip) -> Graph:
    """As `build_graph`, made anew."""
    from scipy.sparse import csr_array

    grid = terrain.grid
    heights = terrain.elevation_m if terrain.level else terrain.averaged(travel_cost.width_m)
    open_cells = _open_cells(terrain, obstacles, travel_cost)
    sloping = np.isfinite(travel_cost.side_slope_pct) and not terrain.level
    slopes = gradient(heights, grid.cell_m) if sloping else None
    ground = _Ground(grid, terrain.level, heights, open_cells, slopes, grid.burn(obstacles.tracks), travel_cost, trip)
    strip = max(1, STRIP_CELLS // grid.columns)
    tops = range(0, grid.rows, strip)
    parts = [ground.steps_from(top, min(top + strip, grid.rows)) for top in tops]
    costs, ends, counts = (np.concatenate(part) for part in zip(*parts, strict=True))
    starts = np.concatenate([[0], np.cumsum(counts)]).astype(np.int32)
    steps = csr_array((costs, ends, starts), shape=(grid.size, grid.size))
    return Graph(terrain, obstacles, travel_cost, trip, heights, open_cells, steps)


#  A graph takes 200 bytes a cell: so many small ones take no more memory than so few large ones.
_small_graph = lru_cache(maxsize=15)(fresh_graph)
_large_graph = lru_cache(maxsize=6)(fresh_graph)


@dataclass(frozen=True, eq=False)
class _Ground:
    """What the steps are reckoned from, strip by strip: the numbers of a strip stay near the processor."""

    grid: Grid
    level: bool
    heights: Floats
    open: Mask
    slopes: tuple[Floats, Floats] | None
    on_track: Mask
    travel_cost: TravelCost
    trip: Trip

    def steps_from(self, top: int, bottom: int) -> tuple[Floats, NDArray[np.int32], NDArray[np.int64]]:
        """Of the cells of some rows: cost of each step that is allowed, the cell it ends in, and how many each has."""
        columns = self.grid.columns
        weights = np.full((bottom - top, columns, 2 * len(HALF_STEPS)), np.inf, dtype=np.float32)
        offsets = []
        for number, (down, right) in enumerate(HALF_STEPS):
            offsets += [down * columns + right, -down * columns - right]
            first, last = max(0, top - down), min(bottom, self.grid.rows - down)  # rows it starts or ends from here
            if first >= last:
                continue
            allowed, there, back = self._half_step(down, right, first, last)
            near, far = (max(0, -right), columns - max(0, right)), (max(0, right), columns - max(0, -right))
            own, others = top - first if first < top else 0, min(last, bottom - down) - first
            weights[first + own - top : last - top, slice(*near), 2 * number] = np.where(allowed, there, np.inf)[own:]
            if others > 0:
                back = np.where(allowed, back, np.inf)[:others]
                weights[first + down - top : first + down - top + others, slice(*far), 2 * number + 1] = back
        kept = np.isfinite(weights).reshape(-1, 2 * len(HALF_STEPS))
        cells = np.arange(top * columns, bottom * columns, dtype=np.int32)[:, None]
        ends = (cells + np.array(offsets, dtype=np.int32))[kept]
        return weights.reshape(kept.shape)[kept].astype(float), ends, kept.sum(axis=1)

    def _half_step(self, down: int, right: int, first: int, last: int) -> tuple[Mask, Floats, Floats]:
        """Where one of the half steps is allowed that start in some rows, and what it costs there and back."""
        heights, cell_m = self.heights, self.grid.cell_m
        near, far, between = _windows(self.grid.columns, down, right, first, last)
        allowed = self.open[near] & self.open[far]
        for cell in between:
            allowed = allowed & self.open[cell]
        run = math.hypot(down, right) * cell_m
        if self.slopes is not None:
            east, north = right * cell_m / run, -down * cell_m / run
            across = [np.abs(self.slopes[1][at] * east - self.slopes[0][at] * north) * 100 for at in (near, far)]
            cut_level = self.on_track[near] & self.on_track[far]
            allowed = allowed & (((across[0] + across[1]) / 2 <= self.travel_cost.side_slope_pct) | cut_level)
        # on level ground every step in a direction costs the same
        through = [heights[:1, :1]] * 2 if self.level else [heights[near], heights[far]]
        if len(between) == 2 and abs(down) + abs(right) == 3:  # a long step follows the ground half way, too
            half_way = heights[:1, :1] if self.level else (heights[between[0]] + heights[between[1]]) / 2
            through.insert(1, half_way)
        return allowed, *_both_ways(through, run, self.travel_cost, self.trip)


def _open_cells(terrain: Terrain, obstacles: Obstacles, travel_cost: TravelCost) -> Mask:
    grid = terrain.grid
    closed = grid.burn([shape.buffer(travel_cost.width_m / 2) for shape in obstacles.closed])
    # a track is burned a little wide, so that the cells it opens hang together across the water
    ford = grid.burn([track.buffer(grid.cell_m / 2) for track in obstacles.tracks])
    return np.isfinite(terrain.elevation_m) & ~closed & ~(grid.burn(obstacles.wet) & ~ford)


def _windows(columns: int, down: int, right: int, top: int, bottom: int) -> tuple[Any, Any, list[Any]]:
    """Slices of the cells of some rows a step starts from, of those it ends in, and of those it passes over between."""
    first, last = max(0, -right), columns - max(0, right)

    def moved(by_down: int, by_right: int) -> Any:
        return slice(top + by_down, bottom + by_down), slice(first + by_right, last + by_right)

    sign = 1 if right > 0 else -1
    passed = {
        (1, 1): [(0, sign), (1, 0)],
        (1, 2): [(0, sign), (1, sign)],
        (2, 1): [(1, 0), (1, sign)],
    }.get((down, abs(right)), [])
    return moved(0, 0), moved(down, right), [moved(*cell) for cell in passed]


def _both_ways(through: list[Floats], run: float, travel_cost: TravelCost, trip: Trip) -> tuple[Floats, Floats]:
    """Cost of a step there and of the same step back, over the heights it passes."""
    there: Floats = np.zeros(through[0].shape, dtype=np.float32)
    back = there
    part = run / (len(through) - 1)
    for low, high in pairwise(through):
        slope = (high - low) / part
        length = part * np.sqrt(1 + slope**2)
        up_loaded, down_loaded = travel_cost.cost(slope, length, True), travel_cost.cost(-slope, length, True)
        if trip != "one_way":
            up_empty, down_empty = travel_cost.cost(slope, length, False), travel_cost.cost(-slope, length, False)
            out, home = up_loaded + down_empty, down_loaded + up_empty
            up_loaded, down_loaded = (out, home) if trip == "loaded_out" else (home, out)
        there, back = there + up_loaded, back + down_loaded
    return there, back
