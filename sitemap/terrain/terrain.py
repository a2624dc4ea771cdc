"""The lie of the land: heights on the local plane, as a raster gave them or taken as level."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from functools import cached_property, lru_cache

import numpy as np
from numpy.typing import ArrayLike, NDArray
from shapely.geometry import LineString

from sitemap.errors import BadShape, positive
from sitemap.notes import Note
from sitemap.reasons import reason
from sitemap.terrain.grid import Grid, grid_over
from sitemap.terrain.surface import Floats, along, bilinear, gradient, slope_pct

COARSE_CELL_M = 5.0  # [m] coarser cells do not show a bank, a ditch or a kiln pad (house rule)


@dataclass(frozen=True, eq=False)
class Terrain:
    """Heights of the ground on the local plane.

    grid : where the cells lie
    elevation_m : (rows, columns) float32 [m], row 0 the northernmost, NaN where not known
    source_cell_m : side of the cells of the raster read [m]; the grid's may be finer or coarser
    level : no raster: the ground is taken as level
    notes : what was assumed or looked wrong when it was read

    Two terrains are the same when their heights and cells are (`key`), so results are remembered by it.
    """

    grid: Grid
    elevation_m: NDArray[np.float32]
    source_cell_m: float
    level: bool = False
    notes: tuple[Note, ...] = ()

    def __post_init__(self) -> None:
        if self.elevation_m.shape != self.grid.shape:
            have, need = (" × ".join(map(str, shape)) for shape in (self.elevation_m.shape, self.grid.shape))
            raise BadShape(reason("terrain.does_not_fit", heights=have, cells=need))
        heights = np.ascontiguousarray(self.elevation_m, dtype=np.float32)
        heights.flags.writeable = False
        object.__setattr__(self, "elevation_m", heights)

    @cached_property
    def key(self) -> str:
        """sha256 of the heights and the cells they stand on."""
        digest = hashlib.sha256(self.elevation_m.tobytes())
        digest.update(repr((self.grid, self.source_cell_m, self.level)).encode())
        return digest.hexdigest()

    def __hash__(self) -> int:
        return hash(self.key)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Terrain) and self.key == other.key

    @property
    def coarse(self) -> bool:
        """The raster's cells are too coarse to judge a pad or a hose by: measure on the ground."""
        return self.source_cell_m > COARSE_CELL_M

    @cached_property
    def gradient(self) -> tuple[Floats, Floats]:
        """Rise per metre to the east and to the north of every cell [m/m] (Horn 1981)."""
        return gradient(self.elevation_m, self.grid.cell_m)

    @cached_property
    def slope_pct(self) -> Floats:
        """Steepest slope of every cell [%]; NaN where not known."""
        return slope_pct(*self.gradient)

    def elevation(self, x: ArrayLike, y: ArrayLike) -> Floats:
        """Height [m] at places on the plane [m], scalars or arrays: between the cells by distance, NaN outside and in
        holes.
        """
        row = (self.grid.y0_m - np.asarray(y, dtype=float)) / self.grid.cell_m - 0.5
        column = (np.asarray(x, dtype=float) - self.grid.x0_m) / self.grid.cell_m - 0.5
        return bilinear(self.elevation_m, row, column)

    def pad_slope(self, radius_m: float) -> Floats:
        """Mean slope [%] of the disc of radius_m round every cell, (rows, columns); NaN where any of it is not known.

        Raises BadValue for a radius that is not above zero.
        """
        return _pad_slope(self, float(positive("The radius of a pad", radius_m, "m")))

    def pad_slope_at(self, x: float, y: float, radius_m: float) -> float:
        """Mean slope [%] of the disc of radius_m round a place [m]: the value of its cell in `pad_slope`, of which no
        more is worked out than this cell.
        """
        cell = int(self.grid.cell_of(x, y))
        if cell < 0:
            return float("nan")
        disc = _disc(self, float(positive("The radius of a pad", radius_m, "m")))
        offset = np.arange(len(disc)) - len(disc) // 2
        row, column = divmod(cell, self.grid.columns)
        rows = np.clip(row + offset, 0, self.grid.rows - 1)
        columns = np.clip(column + offset, 0, self.grid.columns - 1)
        slope = self.slope_pct[np.ix_(rows, columns)].astype(np.float32)[disc > 0]
        return float(np.float32((slope * (disc / disc.sum())[disc > 0]).sum(dtype=float)))

    def averaged(self, width_m: float) -> Floats:
        """Heights [m] averaged over squares of about width_m, (rows, columns): what a machine that wide stands on.

        Smaller roughness would bar ground it drives over; unknown cells stay unknown and have no say.
        """
        cells = 2 * int(width_m / (2 * self.grid.cell_m)) + 1
        if cells == 1:
            return self.elevation_m
        from scipy.ndimage import uniform_filter

        z = np.pad(self.elevation_m.astype(float), cells // 2, mode="reflect", reflect_type="odd")
        known = ~np.isnan(z)
        middle = float(z[known].mean()) if known.any() else 0.0
        inside = (slice(cells // 2, -(cells // 2)),) * 2
        total = uniform_filter(np.where(known, z - middle, 0.0), cells)[inside]
        share = uniform_filter(known.astype(float), cells)[inside]
        mean = middle + total / np.where(known[inside], share, 1.0)
        return np.where(known[inside], mean, np.nan).astype(np.float32)

    def profile(self, line: LineString, step_m: float | None = None) -> tuple[Floats, Floats]:
        """Heights along a line on the plane.

        Parameters
        ----------
        line : on the plane [m]
        step_m : longest gap between two points [m]; a cell when not given. Corners of the line are always points.

        Returns
        -------
        (n,) twice [m]: level distance from the start, height (NaN where not known)

        Raises
        ------
        BadShape : a line without length. BadValue : a step that is not above zero.
        """
        distance, points = along(line, self.grid.cell_m if step_m is None else step_m)
        return distance, self.elevation(points[:, 0], points[:, 1])

    def coarsened(self, factor: int) -> Terrain:
        """The terrain in blocks of factor × factor cells, each the mean of its known cells."""
        return self if factor == 1 else _coarsened(self, factor)

    def _at(self, values: Floats, x: ArrayLike, y: ArrayLike) -> Floats:
        cell = self.grid.cell_of(x, y)
        return np.where(cell < 0, np.nan, values.ravel()[cell])


def level_terrain(bounds: tuple[float, float, float, float], cell_m: float = 2.0) -> Terrain:
    """Level ground over bounds [m], for a site without an elevation raster: routes still go round what is drawn.

    Parameters
    ----------
    bounds : smallest x and y, largest x and y [m]
    cell_m : side of a cell [m]

    Returns
    -------
    the terrain

    Raises
    ------
    BadValue : bounds without extent
    """
    grid = grid_over(bounds, cell_m)
    note = Note("site", "terrain_level", reason("terrain.level"))
    return Terrain(grid, np.zeros(grid.shape, dtype=np.float32), grid.cell_m, level=True, notes=(note,))


@lru_cache(maxsize=8)
def _coarsened(terrain: Terrain, factor: int) -> Terrain:
    grid = terrain.grid.coarser(factor)
    whole = np.full((grid.rows * factor, grid.columns * factor), np.nan)
    whole[: terrain.grid.rows, : terrain.grid.columns] = terrain.elevation_m
    blocks = whole.reshape(grid.rows, factor, grid.columns, factor)
    known = np.isfinite(blocks).sum(axis=(1, 3))
    total = np.nansum(blocks, axis=(1, 3))
    heights = np.where(known > 0, total / np.maximum(known, 1), np.nan).astype(np.float32)
    return Terrain(grid, heights, terrain.source_cell_m, terrain.level)


def _disc(terrain: Terrain, radius_m: float) -> Floats:
    """1 for the cells round one that a disc about its middle covers, else 0."""
    reach = int(radius_m / terrain.grid.cell_m)
    offset = np.arange(-reach, reach + 1) * terrain.grid.cell_m
    disc: Floats = (np.hypot(*np.meshgrid(offset, offset)) <= radius_m).astype(np.float32)
    return disc


@lru_cache(maxsize=8)
def _pad_slope(terrain: Terrain, radius_m: float) -> Floats:
    from scipy.ndimage import convolve

    disc, slope = _disc(terrain, radius_m), terrain.slope_pct.astype(np.float32)
    mean = convolve(np.nan_to_num(slope), disc / disc.sum(), mode="nearest")
    unknown = convolve(np.isnan(slope).astype(np.float32), disc, mode="nearest") > 0.5
    return np.where(unknown, np.nan, mean)
