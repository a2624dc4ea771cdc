"""Reading an elevation raster: any coordinate system, cells, unit and void, once onto the local plane."""

from __future__ import annotations

import math
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from sitemap.errors import BadFile
from sitemap.geodesy.plane import Plane
from sitemap.notes import Note
from sitemap.reasons import metres, percent, reason
from sitemap.terrain.grid import MAX_CELLS, Grid, grid_over
from sitemap.terrain.rasterfile import opened_raster
from sitemap.terrain.surface import Floats
from sitemap.terrain.terrain import COARSE_CELL_M, Terrain

FOOT_M = 0.3048  # [m], international foot, exact; the survey foot differs by 2 parts in a million
FARTHEST_M = 5_000.0  # [m] without a window the ground is read this far from the plane's centre
_COLOURS = ("red", "green", "blue", "palette")  # what the first band of a picture shows, also of one in 16 bits
_PARTS_M = {
    "mm": 1e-3,
    "cm": 0.01,
    "dm": 0.1,
    "millimetre": 1e-3,
    "centimetre": 0.01,
    "decimetre": 0.1,
    "m": 1.0,
}  # [m], exact
_METRES = ("metre", "meter", "metro", "mètre", "m ")  # how words for it begin: "Meters NAVD88"
_MOST_VOIDS = 4  # values that stand for a void in one raster
LOWEST_M, HIGHEST_M = -500.0, 9_000.0  # [m] no dry ground on Earth lies outside (lowest -430, highest 8,849; M)
VOID_GAP_M = 50.0  # [m] and two cells: a value this far off all others is no height but a void nobody declared (ours)
ABSURD_SLOPE_PCT = 100.0  # [%] ground this steep over a tenth of a site is not worked with small machines (ours)


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
        raise BadFile(reason("terrain.unit_given", unit=unit))
    with opened_raster(source, "elevation raster") as raster:
        return _read(raster, plane, window, unit, max_cells)


def _read(
    raster: Any, plane: Plane, window: tuple[float, float, float, float] | None, unit: str | None, max_cells: int
) -> Terrain:
    if raster.crs is None:
        raise BadFile(reason("terrain.no_coordinate_system"))
    if raster.dtypes[0] == "uint8" or raster.colorinterp[0].name in _COLOURS:
        raise BadFile(reason("terrain.shades"))
    if any(axis.direction == "down" for axis in _axes(raster)):
        raise BadFile(reason("terrain.depths"))
    if raster.width < 2 or raster.height < 2:
        raise BadFile(reason("terrain.too_few_cells", columns=raster.width, rows=raster.height))
    covered = _extent(raster, plane)
    wanted = window or (-FARTHEST_M, -FARTHEST_M, FARTHEST_M, FARTHEST_M)
    low_x, low_y = max(wanted[0], covered[0]), max(wanted[1], covered[1])
    high_x, high_y = min(wanted[2], covered[2]), min(wanted[3], covered[3])
    if not (low_x < high_x and low_y < high_y):
        raise BadFile(reason("terrain.does_not_cover"))
    source_cell = _cell_on_plane(raster, plane, ((low_x + high_x) / 2, (low_y + high_y) / 2))
    wanted_cell = min(source_cell, COARSE_CELL_M, high_x - low_x, high_y - low_y)
    grid = grid_over((low_x, low_y, high_x, high_y), wanted_cell, max_cells)
    shrunk = min(1.0, source_cell / grid.cell_m)
    heights = _warped(raster, plane, grid, raster.nodata, "bilinear", shrunk)
    metres = _metres(raster, unit)
    gap = (VOID_GAP_M + 2 * source_cell) / ((metres or 1.0) * abs(raster.scales[0]))
    if raster.nodata is None or _jumps(heights, gap * grid.cell_m / source_cell):
        # a void that is not declared, or a second one, would bleed into the cells beside it
        seen = _warped(raster, plane, grid, raster.nodata, "nearest", shrunk)
        voids = _undeclared_voids(seen, gap)
        if voids and raster.nodata is None:
            heights = _warped(raster, plane, grid, voids[0], "bilinear", shrunk)
        heights[_beside(np.isin(seen, voids[raster.nodata is None :]), source_cell / grid.cell_m)] = np.nan
    heights = (heights * raster.scales[0] + raster.offsets[0]).astype(np.float32)
    heights *= np.float32(metres or 1.0)
    heights[(heights < LOWEST_M) | (heights > HIGHEST_M)] = np.nan
    if np.isnan(heights).all():
        raise BadFile(reason("terrain.no_heights_here"))
    terrain = Terrain(grid, heights, source_cell)
    notes = _reading_notes(terrain, wanted_cell)
    missing = 1 - (high_x - low_x) * (high_y - low_y) / ((wanted[2] - wanted[0]) * (wanted[3] - wanted[1]))
    if window is not None and missing > 0.01:
        partly = reason("terrain.covers_partly", share=percent(100 * missing))
        notes = (Note("site", "terrain_partly", partly), *notes)
    said = (raster.units[0] or "").strip()
    if metres is None and said:
        notes = (Note("site", "terrain_unit", reason("terrain.unit_strange", unit=said)), *notes)
    elif metres is None and "foot" in raster.crs.linear_units.lower():
        notes = (Note("site", "terrain_unit", reason("terrain.unit_not_said")), *notes)
    return Terrain(grid, heights, source_cell, notes=notes)


def _undeclared_voids(seen: Floats, gap: float) -> tuple[float, ...]:
    """The lowest and highest values that stand apart from all others by more than a gap: no ground does that."""
    values = np.unique(seen[np.isfinite(seen)]).astype(float)
    found: list[float] = []
    while values.size >= 2 and len(found) < _MOST_VOIDS:
        low, high = values[1] - values[0], values[-1] - values[-2]
        if max(low, high) <= gap:
            break
        found.append(float(values[0] if low >= high else values[-1]))
        values = values[1:] if low >= high else values[:-1]
    return tuple(found)


def _jumps(heights: Floats, gap: float) -> bool:
    """Whether heights beside one another differ as they do at the edge of a void, of which a cell may have a share."""
    steps = (np.abs(np.diff(heights, axis=axis)) for axis in (0, 1))
    return any(bool(np.nanmax(step, initial=0.0) > gap / 4) for step in steps)


def _beside(voids: NDArray[np.bool_], cells: float) -> NDArray[np.bool_]:
    """Voids with the cells round them that have a share of one; cells : of the grid to one of the raster."""
    from scipy.ndimage import binary_dilation

    return binary_dilation(voids, np.ones((3, 3)), max(1, math.ceil(cells))) if voids.any() else voids


def _warped(
    raster: Any, plane: Plane, grid: Grid, void: float | None, resampling: str, shrunk: float
) -> NDArray[np.float32]:
    """Heights on the grid.

    shrunk : cells of the grid per cell of the raster along a side, at most 1. Left to itself the warper takes it from
    the outer bounds, finds a turned raster larger than it is and smooths it: slopes go wrong by up to a tenth.
    """
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
        XSCALE=shrunk,
        YSCALE=shrunk,
    )
    return heights


def _extent(raster: Any, plane: Plane) -> tuple[float, float, float, float]:
    """Bounds of a raster on the plane [m], along its edges: they are curved there."""
    from rasterio.warp import transform

    side = np.linspace(0, 1, 21)
    column = np.concatenate([side, side, np.zeros(21), np.ones(21)]) * raster.width
    row = np.concatenate([np.zeros(21), np.ones(21), side, side]) * raster.height
    try:
        x, y = transform(raster.crs, plane.definition, *_place(raster.transform, column, row))
    except Exception as error:  # of the projection library, for places that are none: latitude beyond 90°
        raise BadFile(reason("terrain.nowhere_near")) from error
    x, y = np.asarray(x), np.asarray(y)
    fine = np.isfinite(x) & np.isfinite(y)
    if not fine.any():
        raise BadFile(reason("terrain.nowhere_near"))
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


def _metres(raster: Any, unit: str | None) -> float | None:
    """Metres in the unit of the heights: as told, else as the band or the coordinate system says, else None."""
    if unit is not None:
        return FOOT_M if unit == "ft" else 1.0
    said = (raster.units[0] or "").strip().lower()
    if said:
        if any(foot in said for foot in ("ft", "foot", "feet", "pie", "fuß", "fuss", "pied")):
            return FOOT_M
        if said.startswith(_METRES):
            return 1.0
        return _PARTS_M.get(said) or _PARTS_M.get(said.removesuffix("s").replace("meter", "metre"))
    return next((float(axis.unit_conversion_factor) for axis in _axes(raster) if axis.direction == "up"), None)


def _axes(raster: Any) -> list[Any]:
    from pyproj import CRS

    return list(CRS.from_user_input(raster.crs.to_wkt()).axis_info)


def _reading_notes(terrain: Terrain, wanted_cell: float) -> tuple[Note, ...]:
    notes = []
    cell = terrain.grid.cell_m
    if cell > wanted_cell * 1.001:
        enlarged = reason("terrain.cells_enlarged", cell=metres(cell), wanted=metres(wanted_cell))
        notes.append(Note("site", "terrain_resampled", enlarged))
    if terrain.coarse:
        notes.append(Note("site", "terrain_coarse", reason("terrain.coarse", cell=metres(terrain.source_cell_m))))
    holes = int(np.isnan(terrain.elevation_m).sum())
    if holes:
        share = 100 * holes / terrain.grid.size
        hollow = reason("terrain.holes", holes=holes, cells=terrain.grid.size, share=percent(share))
        notes.append(Note("site", "terrain_holes", hollow))
    lowest, highest = np.nanmin(terrain.elevation_m), np.nanmax(terrain.elevation_m)
    if lowest == highest:
        notes.append(Note("site", "terrain_alike", reason("terrain.all_alike", height=metres(float(lowest)))))
    slope = terrain.slope_pct[np.isfinite(terrain.slope_pct)]
    if slope.size and np.percentile(slope, 90) > ABSURD_SLOPE_PCT:
        steep = reason("terrain.absurdly_steep", slope=percent(float(np.percentile(slope, 90))))
        notes.append(Note("site", "terrain_steep", steep))
    return tuple(notes)
