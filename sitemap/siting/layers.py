"""What the ground says for or against a kiln, cell by cell: slope, fuel above, machine, water, ways out."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations

import numpy as np
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from sitemap.reasons import Reason, percent, reason, together
from sitemap.safety.stand import CAUTION_PAD_PCT, UPSLOPE_FUEL_PCT
from sitemap.siting.reach import OUT, TIGHT, Reach, without_relay
from sitemap.terrain.routes import Field
from sitemap.terrain.surface import Floats
from sitemap.terrain.terrain import Terrain

FUEL_REACH_M = 30.0  # [m] fuel this far up the slope counts (ours, no source)
FUEL_NEAREST_M = 5.0  # [m] a slope is not judged over less than this
APART_DEG = 60.0  # [deg] two ways out leave in directions at least this far apart (ours, no source)
LEAVING_STEPS = 8  # cells along the way over which the direction of leaving is judged


@dataclass(frozen=True)
class Objection:
    """Why a kiln may not stand somewhere (bars), or why it is not known whether it may.

    what : stable word; why : told last; about : id of the feature it comes from, or ""
    """

    what: str
    bars: bool
    why: Reason
    about: str = ""


@dataclass(frozen=True, eq=False)
class Layer:
    """One thing judged on every cell.

    codes : (rows, columns) 0 where nothing speaks against it, else 1 + number of the reason
    reasons : what the codes stand for
    """

    codes: NDArray[np.uint8 | np.int32]
    reasons: tuple[Objection, ...]


def slope_layer(terrain: Terrain, pad_radius_m: float) -> Layer:
    """Ground too steep for a pad, by the mean slope of the disc a kiln and its crew stand on.

    Not known where the height is not known, without a raster, and where its cells are too coarse to tell.
    Raises BadValue for a radius that is not above zero.
    """
    slope = terrain.pad_slope(pad_radius_m)
    reasons = (
        Objection("slope", True, reason("siting.steep", limit=percent(CAUTION_PAD_PCT))),
        Objection("slope", False, reason("siting.slope_not_known")),
        Objection("slope", False, reason("siting.coarse_for_a_pad")),
    )
    with np.errstate(invalid="ignore"):
        codes = np.where(slope > CAUTION_PAD_PCT, 1, np.where(np.isnan(slope) | terrain.level, 2, 3 * terrain.coarse))
    return Layer(codes.astype(np.uint8), reasons)


def fuel_layer(terrain: Terrain, fuel: Sequence[BaseGeometry]) -> Layer:
    """Ground below continuous fuel on a steep slope: within 30 m uphill, more than 20 % above. Conditional at best.

    fuel : standing timber, slash and other shapes of continuous fuel on the plane [m]
    """
    grid, z = terrain.grid, terrain.elevation_m
    burning = grid.burn(fuel)
    below = np.zeros(grid.shape, dtype=bool)
    nearest = max(FUEL_NEAREST_M, grid.cell_m)
    for down, right in _offsets(nearest, FUEL_REACH_M, grid.cell_m) if burning.any() else ():
        here, there = _shifted(grid.shape, down, right)
        distance = math.hypot(down, right) * grid.cell_m
        below[here] |= burning[there] & (z[there] - z[here] > UPSLOPE_FUEL_PCT / 100 * distance)
    why = reason("siting.fuel_above", limit=percent(UPSLOPE_FUEL_PCT))
    return Layer(below.astype(np.uint8), (Objection("fuel above", False, why),))


def access_layer(reached: Field) -> Layer:
    """Ground the machine cannot get to from where the field starts (a gate, a heap, the water)."""
    why = reason("siting.machine_cannot")
    return Layer((~np.isfinite(reached.costs)).astype(np.uint8), (Objection("machine", True, why),))


def water_layer(reaches: Sequence[Reach]) -> Layer:
    """Ground no water arrives at by any source and way; tight or not known where that is the best of them.

    The reason tells what stops each. reaches : at least one.
    """
    state = np.max([reach.state for reach in reaches], axis=0)
    limits = np.stack([reach.limit.ravel() for reach in reaches])
    out = state.ravel() == OUT
    which = np.zeros(np.count_nonzero(out), dtype=np.int64)
    for limit in limits[:, out]:  # which cells are stopped alike; numbered anew each time: the numbers stay small
        which = np.unique(which * (int(limit.max(initial=0)) + 1) + limit, return_inverse=True)[1]
    examples = np.flatnonzero(out)[np.unique(which, return_index=True)[1]]
    tight = reason("siting.water_tight", without=without_relay(any(reach.relayed for reach in reaches)))
    if any(reach.coarse for reach in reaches):
        tight = reason("siting.coarse_for_water")
    reasons = [Objection("water", False, tight)]
    for cell in examples:
        said = [reach.at(*(float(part) for part in reach.grid.centre_of(cell))) for reach in reaches]
        unknown = any(one.reached is None for one in said)
        reasons.append(Objection("water", not unknown, together(*dict.fromkeys(one.why for one in said))))
    codes = np.where(state == TIGHT, 1, 0).ravel()
    codes[out] = 2 + which
    return Layer(codes.reshape(state.shape).astype(np.int32), tuple(reasons))  # many sources: more than 255 reasons


def water_not_known(terrain: Terrain) -> Layer:
    """All ground, where no source has water whose way could be reckoned."""
    why = reason("siting.water_not_known")
    return Layer(np.ones(terrain.grid.shape, dtype=np.uint8), (Objection("water", False, why),))


def ways_out_layer(terrain: Terrain, exits: Sequence[Field]) -> Layer:
    """Ground without two ways out on foot that leave in different directions.

    exits : one field for each way out, walked from its far end or its line

    One way or none bars; two that leave within 60° of each other may be cut by one fire: not known.
    """
    reasons = (
        Objection("ways out", True, reason("siting.not_two_ways_out")),
        Objection("ways out", False, reason("siting.ways_out_alike")),
        Objection("ways out", False, reason("siting.ways_out_not_drawn")),
    )
    shape = terrain.grid.shape
    if len(exits) < 2:
        return Layer(np.full(shape, 3, dtype=np.uint8), reasons)
    there = np.array([np.isfinite(one.costs) for one in exits])
    headings = [_leaving(one) for one in exits]
    apart = np.zeros(shape, dtype=bool)
    for (first, at_first), (second, at_second) in combinations(zip(headings, there, strict=True), 2):
        cosine = first[0] * second[0] + first[1] * second[1]
        apart |= at_first & at_second & (cosine <= math.cos(math.radians(APART_DEG)) + 1e-9)
    codes = np.where(there.sum(axis=0) < 2, 1, np.where(apart, 0, 2))
    return Layer(codes.astype(np.uint8), reasons)


def _leaving(exit_field: Field) -> tuple[Floats, Floats]:
    """Direction in which the way to an exit leaves each cell, unit vectors; nothing at the exit itself."""
    grid = exit_field.graph.grid
    cell = np.arange(grid.size)
    ahead = np.where(exit_field.before < 0, cell, exit_field.before)
    for _ in range(LEAVING_STEPS.bit_length() - 1):  # doubled each round
        ahead = ahead[ahead]
    (x, y), (x_ahead, y_ahead) = grid.centre_of(cell), grid.centre_of(ahead)
    east, north = x_ahead - x, y_ahead - y
    length = np.hypot(east, north)
    unit = np.where(length > 0, length, 1.0)
    return (east / unit).reshape(grid.shape), (north / unit).reshape(grid.shape)


def _offsets(nearest_m: float, farthest_m: float, cell_m: float) -> list[tuple[int, int]]:
    """(rows down, columns right) in 16 directions at distances from nearest to farthest, each once."""
    angles = np.arange(16) * (2 * math.pi / 16)
    distances = np.arange(nearest_m, farthest_m + 1e-9, max(cell_m, 3.0))
    down = np.round(np.outer(np.sin(angles), distances) / cell_m).astype(int)
    right = np.round(np.outer(np.cos(angles), distances) / cell_m).astype(int)
    return sorted(set(zip(down.ravel().tolist(), right.ravel().tolist(), strict=True)) - {(0, 0)})


def _shifted(shape: tuple[int, int], down: int, right: int) -> tuple[tuple[slice, slice], tuple[slice, slice]]:
    """Slices of the cells that have a cell at an offset, and of those cells."""
    rows, columns = shape
    here = (slice(max(0, -down), rows - max(0, down)), slice(max(0, -right), columns - max(0, right)))
    there = (slice(max(0, down), rows - max(0, -down)), slice(max(0, right), columns - max(0, -right)))
    return here, there
