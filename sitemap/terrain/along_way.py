"""What lies along the way to every cell of a field at once: its length, highest and lowest ground, steepest step.

A spot and an area read these same numbers, so that they cannot disagree.
"""

from __future__ import annotations

from functools import lru_cache
from typing import Any

import numpy as np
from numpy.typing import NDArray

from sitemap.terrain.routes import Field
from sitemap.terrain.surface import Floats
from sitemap.terrain.travel import Hose


@lru_cache(maxsize=16)
def way_lengths(reached: Field) -> Floats:
    """Length over the ground of the way found to every cell [m], (rows, columns); inf where there is none.

    For a hose it is the cost itself.
    """
    if isinstance(reached.graph.travel_cost, Hose):
        return reached.costs
    run, rise = _steps(reached)
    return _seen(reached, _along(reached.before, np.hypot(run, rise), np.add) + reached.offset_m, np.inf)


@lru_cache(maxsize=16)
def way_extremes(reached: Field) -> tuple[Floats, Floats]:
    """Lowest and highest ground on the way to every cell [m], (rows, columns) twice; NaN where there is none."""
    heights = reached.graph.heights.ravel()
    lowest, highest = (_along(reached.before, heights, extreme) for extreme in (np.minimum, np.maximum))
    return _seen(reached, lowest, np.nan), _seen(reached, highest, np.nan)


@lru_cache(maxsize=16)
def way_steepest_pct(reached: Field) -> Floats:
    """Steepest step on the way to every cell, up or down [%], (rows, columns); NaN where there is no way."""
    run, rise = _steps(reached)
    slope = 100 * np.abs(rise) / np.where(run > 0, run, 1.0)
    return _seen(reached, _along(reached.before, slope, np.maximum), np.nan)


def _steps(reached: Field) -> tuple[Floats, Floats]:
    """Run and rise [m] of the last step to every cell; nothing at the start."""
    grid, heights = reached.graph.grid, reached.graph.heights.ravel()
    cell = np.arange(grid.size)
    before = np.where(reached.before < 0, cell, reached.before)
    down, right = (
        there - here for there, here in zip(divmod(cell, grid.columns), divmod(before, grid.columns), strict=True)
    )
    return grid.cell_m * np.hypot(down, right), np.where(before == cell, 0.0, heights[cell] - heights[before])


def _along(before: NDArray[np.int32], own: Floats, combine: Any) -> Floats:
    """Combine the own values of all cells from each cell back to the start, in as many rounds as the longest way has
    binary digits: each round joins two stretches of doubled length.
    """
    ahead = np.where(before < 0, np.arange(before.size, dtype=np.int32), before)
    total = own
    while True:
        total = combine(total, total[ahead])
        further = ahead[ahead]
        if np.array_equal(further, ahead):
            return np.asarray(total)
        ahead = further


def _seen(reached: Field, values: Floats, otherwise: float) -> Floats:
    shaped = values.reshape(reached.costs.shape)
    return np.where(np.isfinite(reached.costs), shaped, otherwise)
