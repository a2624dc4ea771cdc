"""The lie of the land: heights on the local plane, read once from an elevation raster or taken as level."""

from __future__ import annotations

import hashlib
import math
from dataclasses import dataclass
from functools import cached_property, lru_cache
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray
from shapely.geometry import LineString

from sitemap.errors import BadFile, BadShape, positive
from sitemap.ground.grid import MAX_CELLS, Grid, grid_over
from sitemap.ground.plane import Plane
from sitemap.ground.rasterfile import opened_raster
from sitemap.ground.surface import Floats, along, aspect_deg, bilinear, gradient, slope_pct, surface_steps
from sitemap.notes import Note

FOOT_M = 0.3048  # [m], international foot, exact; the survey foot differs by 2 parts in a million
COARSE_CELL_M = 5.0  # [m] coarser cells do not show a bank, a ditch or a kiln pad (house rule)
FARTHEST_M = 5_000.0  # [m] without a window the ground is read this far from the plane's centre
LOWEST_M, HIGHEST_M = -500.0, 9_000.0  # [m] no dry ground on Earth lies outside (lowest -430, highest 8,849; M)
ABSURD_SLOPE_PCT = 100.0  # [%] ground this steep over a tenth of a site is not worked with small machines (ours)


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
            raise BadShape(
                f"Heights of {self.elevation_m.shape} cells do not fit a grid of {self.grid.shape}. Read them again."
            )
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

    def elevation(self, x: Any, y: Any) -> Floats:
        """Height [m] at places on the plane [m], scalars or arrays: between the cells by distance, NaN outside and in
        holes.
        """
        row = (self.grid.y0_m - np.asarray(y, dtype=float)) / self.grid.cell_m - 0.5
        column = (np.asarray(x, dtype=float) - self.grid.x0_m) / self.grid.cell_m - 0.5
        return bilinear(self.elevation_m, row, column)

    def slope_at(self, x: Any, y: Any) -> Floats:
        """Slope [%] of the cell at places [m]; NaN outside and where not known."""
        return self._at(self.slope_pct, x, y)

    def aspect_at(self, x: Any, y: Any) -> Floats:
        """Direction the cell at places [m] faces, clockwise from north [deg]; NaN where level or not known."""
        return aspect_deg(*(self._at(part, x, y) for part in self.gradient))

    def pad_slope(self, radius_m: float) -> Floats:
        """Mean slope [%] of the disc of radius_m round every cell, (rows, columns); NaN where any of it is not known.

        Raises BadValue for a radius that is not above zero.
        """
        return _pad_slope(self, float(positive("The radius of a pad", radius_m, "m")))

    def pad_slope_at(self, x: Any, y: Any, radius_m: float) -> Floats:
        """Mean slope [%] of the disc of radius_m round places [m]: the value of their cell in `pad_slope`."""
        return self._at(self.pad_slope(radius_m), x, y)

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

    def surface_length(self, line: LineString) -> float:
        """Length of a line over the ground [m]; where the height is not known it counts as level."""
        distance, height = self.profile(line)
        return float(np.sum(surface_steps(distance, height)))

    def coarsened(self, factor: int) -> Terrain:
        """The terrain in blocks of factor × factor cells, each the mean of its known cells."""
        return self if factor == 1 else _coarsened(self, factor)

    def _at(self, values: Floats, x: Any, y: Any) -> Floats:
        cell = self.grid.cell_of(x, y)
        return np.where(cell < 0, np.nan, values.ravel()[cell])


def level_terrain(bounds: tuple[float, float, float, float], cell_m: float = 2.0) -> Terrain:
    """Level ground over bounds [m], for a site without an elevation raster: routes still go round what is drawn.

    Raises BadValue for bounds without extent.
    """
    grid = grid_over(bounds, cell_m)
    note = Note("site", "terrain_level", "There is no elevation raster: the ground is taken as level.")
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


@lru_cache(maxsize=8)
def _pad_slope(terrain: Terrain, radius_m: float) -> Floats:
    from scipy.ndimage import convolve

    reach = int(radius_m / terrain.grid.cell_m)
    offset = np.arange(-reach, reach + 1) * terrain.grid.cell_m
    disc = (np.hypot(*np.meshgrid(offset, offset)) <= radius_m).astype(np.float32)
    slope = terrain.slope_pct.astype(np.float32)
    mean = convolve(np.nan_to_num(slope), disc / disc.sum(), mode="nearest")
    unknown = convolve(np.isnan(slope).astype(np.float32), disc, mode="nearest") > 0.5
    return np.where(unknown, np.nan, mean)


def read_terrain(
    source: str | Path | bytes,
    plane: Plane,
    window: tuple[float, float, float, float] | None = None,
    unit: str | None = None,
    max_cells: int = MAX_CELLS,
) -> Terrain:
    """Read an elevation raster, clipped to a window and resampled once, bilinearly, onto the local plane.

    Parameters
    ----------
    source : path of the raster, or its bytes; any coordinate system, resolution and nodata value
    plane : the site's plane
    window : ground wanted (min x, min y, max x, max y) on the plane [m]; without one, what the raster covers within
        5 km of the plane's centre
    unit : "m" or "ft" when the file's heights are in another unit than it says; None believes the file, and takes
        metres where it is silent
    max_cells : the cell grows where the window would hold more

    Returns
    -------
    Terrain, its cells as in the raster but never coarser than 5 m nor more than max_cells; `notes` tell what a person
    should know (holes, coarse or enlarged cells, absurd slopes)

    Raises
    ------
    BadFile : not a raster, no coordinate system, one cell, does not cover the site
    """
    if unit not in (None, "m", "ft"):
        raise BadFile(f"Heights of a raster are in m or ft; the unit given is {unit}. Choose one of them.")
    with opened_raster(source, "elevation raster") as raster:
        return _read(raster, plane, window, unit, max_cells)


def _read(
    raster: Any, plane: Plane, window: tuple[float, float, float, float] | None, unit: str | None, max_cells: int
) -> Terrain:
    if raster.crs is None:
        raise BadFile(
            "The elevation raster has no coordinate system, so its place is not known. Export it again with one."
        )
    if raster.width < 2 or raster.height < 2:
        raise BadFile(
            f"The elevation raster has {raster.width} × {raster.height} cells; a slope needs at least 2 × 2. "
            "Use a larger piece of it."
        )
    covered = _extent(raster, plane)
    wanted = window or (-FARTHEST_M, -FARTHEST_M, FARTHEST_M, FARTHEST_M)
    low_x, low_y = max(wanted[0], covered[0]), max(wanted[1], covered[1])
    high_x, high_y = min(wanted[2], covered[2]), min(wanted[3], covered[3])
    if not (low_x < high_x and low_y < high_y):
        raise BadFile("The elevation raster does not cover the site. Use the sheet the site lies on.")
    source_cell = _cell_on_plane(raster, plane, ((low_x + high_x) / 2, (low_y + high_y) / 2))
    wanted_cell = min(source_cell, COARSE_CELL_M, high_x - low_x, high_y - low_y)
    grid = grid_over((low_x, low_y, high_x, high_y), wanted_cell, max_cells)
    heights = _warped(raster, plane, grid, raster.nodata, "bilinear")
    if raster.nodata is None:  # a void that is not declared would bleed into the cells beside it
        lowest = float(np.nanmin(_warped(raster, plane, grid, None, "nearest"), initial=np.inf))
        if lowest * raster.scales[0] + raster.offsets[0] < LOWEST_M:
            heights = _warped(raster, plane, grid, lowest, "bilinear")
    heights = (heights * raster.scales[0] + raster.offsets[0]).astype(np.float32)
    heights *= np.float32(_metres(raster, unit))
    heights[(heights < LOWEST_M) | (heights > HIGHEST_M)] = np.nan
    if np.isnan(heights).all():
        raise BadFile(
            "The elevation raster has no heights where the site lies. Use the sheet the site lies on, or one without "
            "a hole there."
        )
    terrain = Terrain(grid, heights, source_cell)
    notes = _reading_notes(terrain, wanted_cell)
    missing = 1 - (high_x - low_x) * (high_y - low_y) / ((wanted[2] - wanted[0]) * (wanted[3] - wanted[1]))
    if window is not None and missing > 0.01:
        text = f"The elevation raster does not cover {100 * missing:.0f} % of the site's surroundings: not known there."
        notes = (Note("site", "terrain_partly", text), *notes)
    return Terrain(grid, heights, source_cell, notes=notes)


def _warped(raster: Any, plane: Plane, grid: Grid, void: float | None, resampling: str) -> NDArray[np.float32]:
    import rasterio
    from rasterio.warp import Resampling, reproject

    heights = np.full(grid.shape, np.nan, dtype=np.float32)
    reproject(
        rasterio.band(raster, 1),  # read by the warper where it is needed, never whole
        heights,
        src_nodata=void,
        dst_transform=grid.transform,
        dst_crs=plane.definition,
        dst_nodata=np.nan,
        resampling=Resampling[resampling],
    )
    return heights


def _extent(raster: Any, plane: Plane) -> tuple[float, float, float, float]:
    """Bounds of a raster on the plane [m], along its edges: they are curved there."""
    from rasterio.warp import transform

    side = np.linspace(0, 1, 21)
    column = np.concatenate([side, side, np.zeros(21), np.ones(21)]) * raster.width
    row = np.concatenate([np.zeros(21), np.ones(21), side, side]) * raster.height
    x, y = transform(raster.crs, plane.definition, *_place(raster.transform, column, row))
    x, y = np.asarray(x), np.asarray(y)
    fine = np.isfinite(x) & np.isfinite(y)
    if not fine.any():
        raise BadFile("The elevation raster lies nowhere near the site. Use the sheet the site lies on.")
    return float(x[fine].min()), float(y[fine].min()), float(x[fine].max()), float(y[fine].max())


def _cell_on_plane(raster: Any, plane: Plane, middle: tuple[float, float]) -> float:
    """Side [m] of the square as large on the plane as a cell of the raster there."""
    from rasterio.warp import transform

    there = transform(plane.definition, raster.crs, [middle[0]], [middle[1]])
    column, row = _place(~raster.transform, np.asarray(there[0]), np.asarray(there[1]))
    corners = _place(raster.transform, column + np.array([0, 1, 0]), row + np.array([0, 0, 1]))
    x, y = transform(raster.crs, plane.definition, *corners)
    area = abs((x[1] - x[0]) * (y[2] - y[0]) - (x[2] - x[0]) * (y[1] - y[0]))
    return math.sqrt(area)


def _place(transform: Any, column: Floats, row: Floats) -> tuple[Floats, Floats]:
    """An affine transform applied to arrays (its operator for that changed name between releases)."""
    return (
        transform.a * column + transform.b * row + transform.c,
        transform.d * column + transform.e * row + transform.f,
    )


def _metres(raster: Any, unit: str | None) -> float:
    """Metres in the unit of the heights: as told, else as the band or the coordinate system says, else 1."""
    if unit is not None:
        return FOOT_M if unit == "ft" else 1.0
    said = (raster.units[0] or "").strip().lower()
    if said:
        return FOOT_M if any(foot in said for foot in ("ft", "foot", "feet")) else 1.0
    from pyproj import CRS

    for axis in CRS.from_user_input(raster.crs.to_wkt()).axis_info:
        if axis.direction == "up":
            return float(axis.unit_conversion_factor)
    return 1.0


def _reading_notes(terrain: Terrain, wanted_cell: float) -> tuple[Note, ...]:
    notes = []
    cell = terrain.grid.cell_m
    if cell > wanted_cell * 1.001:
        text = f"The ground is read in cells of {cell:.3g} m, not {wanted_cell:.3g} m, to keep the site quick."
        notes.append(Note("site", "terrain_resampled", text))
    if terrain.coarse:
        text = (
            f"The cells of the elevation raster are {terrain.source_cell_m:.3g} m wide: too coarse for a kiln pad or "
            "a hose, measure on the ground."
        )
        notes.append(Note("site", "terrain_coarse", text))
    holes = int(np.isnan(terrain.elevation_m).sum())
    if holes:
        share = 100 * holes / terrain.grid.size
        text = (
            f"{holes:,} of {terrain.grid.size:,} cells ({share:.2g} %) have no height: no slope, route or reach is "
            "known there."
        )
        notes.append(Note("site", "terrain_holes", text))
    slope = terrain.slope_pct[np.isfinite(terrain.slope_pct)]
    if slope.size and np.percentile(slope, 90) > ABSURD_SLOPE_PCT:
        text = (
            f"A tenth of the ground is steeper than {np.percentile(slope, 90):.0f} %: check the unit of the heights; "
            "feet read as metres make slopes three times too steep."
        )
        notes.append(Note("site", "terrain_steep", text))
    return tuple(notes)
