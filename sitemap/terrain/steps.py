"""The steps from cell to cell: which are allowed, and what each costs, in both directions.

Each cell is joined to 16 others, its 8 neighbours and the 8 a knight's move away. A step is allowed only where every
cell it passes over is open, so no wall one cell thick is jumped or squeezed through at a corner.

On ground more than twice as steep as the side slope allowed, few of the 16 directions are left, sometimes one: a
machine is then given less ground than it has, never more. A drawn track helps.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Any, Literal

import numpy as np
from numpy.typing import NDArray

from sitemap.terrain.grid import Grid, Mask
from sitemap.terrain.surface import Floats
from sitemap.terrain.travel import TravelCost

Trip = Literal["one_way", "loaded_out", "loaded_back"]

# (rows down, columns right) of half the steps; the other half are the same the other way
HALF_STEPS = ((0, 1), (1, 1), (1, 0), (1, -1), (1, 2), (2, 1), (2, -1), (1, -2))
STRIP_CELLS = 32_768  # reckoned at once: what is at hand of so many fits the processor's own memory


@dataclass(frozen=True, eq=False)
class Ground:
    """What the steps are reckoned from.

    grid : where the cells lie
    level : no raster, all heights alike
    heights : (rows, columns) [m], averaged over what goes there stands on
    open : (rows, columns) where it may be
    slopes : rise per metre to the east and to the north, (rows, columns) each; None where no side slope is too steep
    on_track : (rows, columns) where a track is cut level across the slope
    """

    grid: Grid
    level: bool
    heights: Floats
    open: Mask
    slopes: tuple[Floats, Floats] | None
    on_track: Mask
    travel_cost: TravelCost
    trip: Trip

    def part(self, top: int, bottom: int, left: int, right: int) -> Ground:
        """The same ground in some rows and columns, each from the first to before the last."""
        at = slice(top, bottom), slice(left, right)
        return replace(
            self,
            grid=self.grid.part(top, bottom, left, right),
            heights=self.heights[at],
            open=self.open[at],
            slopes=self.slopes and (self.slopes[0][at], self.slopes[1][at]),
            on_track=self.on_track[at],
        )

    def steps(self) -> Any:
        """Costs of every step that is allowed, scipy.sparse.csr_array (cells, cells); reckoned strip by strip: the
        numbers of a strip stay near the processor.
        """
        from scipy.sparse import csr_array

        strip = max(1, STRIP_CELLS // self.grid.columns)
        tops = range(0, self.grid.rows, strip)
        parts = [self._steps_from(top, min(top + strip, self.grid.rows)) for top in tops]
        costs, ends, counts = (np.concatenate(part) for part in zip(*parts, strict=True))
        starts = np.concatenate([[0], np.cumsum(counts)]).astype(np.int32)
        return csr_array((costs, ends, starts), shape=(self.grid.size, self.grid.size))

    def _steps_from(self, top: int, bottom: int) -> tuple[Floats, NDArray[np.int32], NDArray[np.int64]]:
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
