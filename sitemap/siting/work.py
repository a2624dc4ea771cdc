"""What it costs to bring slash and water to a place: coarse over the whole ground, true for one place."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
import shapely
from shapely.geometry import LineString, Point
from shapely.geometry.base import BaseGeometry

from sitemap.reasons import Reason, reason
from sitemap.terrain.graph import Obstacles, build_graph
from sitemap.terrain.grid import Grid
from sitemap.terrain.routes import field, fresh_field, path_to
from sitemap.terrain.steps import Trip
from sitemap.terrain.surface import Floats
from sitemap.terrain.terrain import Terrain
from sitemap.terrain.travel import Machine

Progress = Callable[[float, Reason], None]


@dataclass(frozen=True)
class Heap:
    """Slash to be carried to a kiln. shape : heap or windrow on the plane [m]; dry_t : char stock in it [t]."""

    id: str
    name: str
    shape: BaseGeometry
    dry_t: float


@dataclass(frozen=True)
class Rates:
    """What work costs; the defaults are slow (ours, no source).

    load_dry_t : dry wood in one load of the machine [t]
    load_h : to load and tip it [h]
    water_l_per_t : quench water for a dry tonne burned [L/t]
    water_load_l, water_load_h : water in one load [L], to fill and tip it [h]
    move_h, move_km_h : to take a kiln down and set it up [h], and its speed on the way [km/h]
    """

    load_dry_t: float = 0.15
    load_h: float = 3 / 60
    water_l_per_t: float = 600.0
    water_load_l: float = 100.0
    water_load_h: float = 2 / 60
    move_h: float = 1.0
    move_km_h: float = 1.0


SLOW = Rates()


@dataclass(frozen=True)
class Haul:
    """One heap carried to one spot. route_m : over the ground; line : the way, on the plane [m]."""

    heap_id: str
    dry_t: float
    trips: int
    hours: float
    route_m: float
    line: LineString


@dataclass(frozen=True)
class WaterHaul:
    """Where quench water is hauled from, and where it need not be. shapes : on the plane [m]."""

    sources: tuple[BaseGeometry, ...]
    hose_area: BaseGeometry | None = None


@dataclass(frozen=True)
class Work:
    """The work of carrying slash to a place and water to it.

    terrain : heights; None takes straight distances
    obstacles, machine : what the machine must heed, and what it can
    rates : what work costs
    water : where it is hauled from; None leaves it out
    """

    heaps: tuple[Heap, ...]
    terrain: Terrain | None
    obstacles: Obstacles
    machine: Machine
    rates: Rates = SLOW
    water: WaterHaul | None = None

    def coarse_hours(self, grid: Grid, factor: int, progress: Progress) -> Floats:
        """Hours of each heap at each block of factor × factor cells of grid, water for it included, (heaps, blocks)."""
        coarse = grid.coarser(factor)
        x, y = coarse.centre_of(np.arange(coarse.size))
        if self.terrain is None:
            points = shapely.points(x, y)

            def seconds_from(shape: BaseGeometry) -> Floats:
                return np.asarray(self._level_seconds(shapely.distance(shape, points)))
        else:
            graph = build_graph(self.terrain.coarsened(factor), self.obstacles, self.machine, "loaded_out")

            def seconds_from(shape: BaseGeometry) -> Floats:
                return fresh_field(graph, shape).costs.ravel()

        water = np.zeros(coarse.size)
        if self.water is not None:
            fields = [seconds_from(source) for source in self.water.sources]
            water = np.asarray(self._water_hours(np.min(fields, axis=0) if fields else np.full(coarse.size, np.inf)))
            if self.water.hose_area is not None:
                water = np.where(coarse.burn([self.water.hose_area]).ravel(), 0.0, water)
        rows = []
        for number, heap in enumerate(self.heaps):
            progress(0.3 * number / len(self.heaps), reason("siting.looking_for_ways", name=heap.name))
            trips = heap.dry_t / self.rates.load_dry_t
            rows.append(trips * (seconds_from(heap.shape) / 3600 + self.rates.load_h) + heap.dry_t * water)
        return np.array(rows).reshape(len(self.heaps), coarse.size)

    def groups(self, factor: int) -> tuple[int, ...]:
        """For each heap, the first heap that hangs together with it over blocks of factor × factor cells; itself where
        it is cut off. Slopes are not heeded, only what is closed.
        """
        if self.terrain is None:
            return (0,) * len(self.heaps)
        from scipy.ndimage import label

        trip: Trip = "loaded_back" if factor == 1 else "loaded_out"  # the graphs that are needed later
        graph = build_graph(self.terrain.coarsened(factor), self.obstacles, self.machine, trip)
        parts = label(graph.open)[0].ravel()  # cells that share a side: what a way can pass from one to the other
        cells = [graph.cells_at(heap.shape)[0] for heap in self.heaps]
        heap_parts = [int(parts[at[0]]) if at.size else -1 - number for number, at in enumerate(cells)]
        return tuple(heap_parts.index(part) for part in heap_parts)

    def hauls_to(self, spot: Point) -> list[Haul | None]:
        """Every heap carried to a spot, from one pass; None where the machine cannot."""
        if self.terrain is None:
            lines = [shapely.shortest_line(heap.shape, spot) for heap in self.heaps]
            return [
                self._haul(heap, self._level_seconds(line.length), line.length, line)
                for heap, line in zip(self.heaps, lines, strict=True)
            ]
        reached = fresh_field(build_graph(self.terrain, self.obstacles, self.machine, "loaded_back"), spot)
        hauls: list[Haul | None] = []
        for heap in self.heaps:
            way = path_to(reached, heap.shape)
            hauls.append(None if way is None else self._haul(heap, way.cost or 0.0, way.length_m, way.line))
        return hauls

    def _haul(self, heap: Heap, seconds: float, route_m: float, line: LineString) -> Haul:
        trips = heap.dry_t / self.rates.load_dry_t
        hours = trips * (seconds / 3600 + self.rates.load_h)
        return Haul(heap.id, heap.dry_t, math.ceil(trips - 1e-9), hours, route_m, line)

    def water_h_per_t(self, spot: Point) -> float:
        """Hours to haul the water for a dry tonne; 0 in reach of the hose or where water is left out."""
        if self.water is None or (self.water.hose_area is not None and self.water.hose_area.covers(spot)):
            return 0.0
        if self.terrain is None:
            seconds = [self._level_seconds(source.distance(spot)) for source in self.water.sources]
        else:
            graph = build_graph(self.terrain, self.obstacles, self.machine, "loaded_out")
            seconds = [field(graph, source).cost_to(spot) for source in self.water.sources]
        return self._water_hours(min(seconds, default=math.inf))

    def _water_hours(self, seconds: Floats | float) -> float:
        loads = self.rates.water_l_per_t / self.rates.water_load_l
        return loads * (seconds / 3600 + self.rates.water_load_h)  # type: ignore[return-value]

    def _level_seconds(self, length_m: Floats | float) -> float:
        level = np.zeros(())
        per_m = sum(float(self.machine.cost(level, np.ones(()), loaded)) for loaded in (True, False))
        return length_m * per_m  # type: ignore[return-value]
