"""Square cells on the local plane: where a cell lies, which cells a shape covers, which shape a set of cells has."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

import numpy as np
import shapely
from numpy.typing import ArrayLike, NDArray
from shapely.geometry.base import BaseGeometry

from sitemap.errors import BadValue
from sitemap.reasons import as_typed, reason

MAX_CELLS = (
    1_000_000  # beyond this a pass over the ground is no longer quick (measured here, D); the cell grows instead
)

Mask = NDArray[np.bool_]


@dataclass(frozen=True)
class Grid:
    """Square cells, rows running north to south and columns west to east.

    x0_m, y0_m : upper-left (north-west) corner on the plane [m]
    cell_m : side of a cell [m]
    rows, columns : how many
    """

    x0_m: float
    y0_m: float
    cell_m: float
    rows: int
    columns: int

    @property
    def shape(self) -> tuple[int, int]:
        """(rows, columns)."""
        return self.rows, self.columns

    @property
    def size(self) -> int:
        """Number of cells."""
        return self.rows * self.columns

    @property
    def bounds(self) -> tuple[float, float, float, float]:
        """(min x, min y, max x, max y) [m]."""
        return (
            self.x0_m,
            self.y0_m - self.rows * self.cell_m,
            self.x0_m + self.columns * self.cell_m,
            self.y0_m,
        )

    def cell_of(self, x: ArrayLike, y: ArrayLike) -> NDArray[np.int64]:
        """Flat number (row × columns + column) of the cell a place [m] lies in, -1 outside; scalars or arrays."""
        column = np.floor((np.asarray(x, dtype=float) - self.x0_m) / self.cell_m)
        row = np.floor((self.y0_m - np.asarray(y, dtype=float)) / self.cell_m)
        inside = (row >= 0) & (row < self.rows) & (column >= 0) & (column < self.columns)
        return np.where(inside, row * self.columns + column, -1).astype(np.int64)

    def centre_of(self, cell: ArrayLike) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
        """Place [m] of the centre of cells given by their flat number."""
        row, column = np.divmod(np.asarray(cell), self.columns)
        return self.x0_m + (column + 0.5) * self.cell_m, self.y0_m - (row + 0.5) * self.cell_m

    def centres(self) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
        """Places [m] of all centres, two arrays (rows, columns)."""
        x, y = self.centre_of(np.arange(self.size))
        return x.reshape(self.shape), y.reshape(self.shape)

    def coarser(self, factor: int) -> Grid:
        """The same ground in blocks of factor × factor cells; the last row and column may stick out."""
        rows, columns = -(-self.rows // factor), -(-self.columns // factor)
        return Grid(self.x0_m, self.y0_m, self.cell_m * factor, rows, columns)

    def part(self, top: int, bottom: int, left: int, right: int) -> Grid:
        """The same cells in some rows and columns, each from the first to before the last."""
        x0_m, y0_m = self.x0_m + left * self.cell_m, self.y0_m - top * self.cell_m
        return Grid(x0_m, y0_m, self.cell_m, bottom - top, right - left)

    def burn(self, shapes: Iterable[BaseGeometry | None], by_middle: bool = False) -> Mask:
        """Every cell that a shape [m] touches, however little: a barrier drawn this way has no gap.

        by_middle : only the cells whose middle lies in a shape

        Missing and empty shapes are passed over. Returns (rows, columns).
        """
        present = [shape for shape in shapes if shape is not None and not shape.is_empty]
        if not present:
            return np.zeros(self.shape, dtype=bool)
        from rasterio.features import rasterize

        touched = not by_middle
        burned = rasterize(present, self.shape, transform=self.transform, all_touched=touched, dtype="uint8")
        return np.asarray(burned, dtype=bool)

    def outline(self, mask: Mask) -> shapely.MultiPolygon:
        """The area [m] made of the cells that are true in mask (rows, columns): exactly their squares, joined where
        they share a side.
        """
        return self.regions(mask.astype(np.int32)).get(1, shapely.MultiPolygon())

    def regions(self, labels: NDArray[np.int32]) -> dict[int, shapely.MultiPolygon]:
        """The area [m] of each number in labels (rows, columns), as `outline` draws it."""
        from rasterio.features import shapes

        parts: dict[int, list[BaseGeometry]] = {}
        for outline, label in shapes(labels, transform=self.transform):
            parts.setdefault(int(label), []).append(shapely.geometry.shape(outline))
        return {label: shapely.MultiPolygon(polygons) for label, polygons in parts.items()}

    @property
    def transform(self) -> Any:
        """The same as an affine transform (column, row) → (x, y), for a library that warps or burns rasters."""
        from affine import Affine

        return Affine(self.cell_m, 0.0, self.x0_m, 0.0, -self.cell_m, self.y0_m)


def grid_over(bounds: tuple[float, float, float, float], cell_m: float, max_cells: int = MAX_CELLS) -> Grid:
    """The grid that covers bounds (min x, min y, max x, max y) [m] with cells of cell_m, or larger ones where there
    would be more than max_cells.

    Parameters
    ----------
    bounds : smallest x and y, largest x and y [m]
    cell_m : side of a cell, above 0 [m]
    max_cells : so many at most [count]

    Returns
    -------
    the grid

    Raises
    ------
    BadValue : bounds without extent, or a cell that is not above zero

    >>> grid_over((0, 0, 100, 50), 1.0)
    Grid(x0_m=0.0, y0_m=50.0, cell_m=1.0, rows=50, columns=100)
    >>> grid_over((0, 0, 100, 100), 1.0, max_cells=2500).cell_m
    2.0
    """
    low_x, low_y, high_x, high_y = (float(side) for side in bounds)
    width, height = high_x - low_x, high_y - low_y
    if not (np.isfinite([width, height, cell_m]).all() and width > 0 and height > 0 and cell_m > 0):
        sizes = {"width": as_typed(width, "m"), "height": as_typed(height, "m"), "cell": as_typed(cell_m, "m")}
        raise BadValue(reason("terrain.no_window", **sizes))
    cell = max(float(cell_m), math.sqrt(width * height / max_cells))
    while math.ceil(height / cell - 1e-9) * math.ceil(width / cell - 1e-9) > max_cells:
        cell *= 1.001  # rounding up to whole cells may exceed the limit by a row or a column
    return Grid(low_x, high_y, cell, math.ceil(height / cell - 1e-9), math.ceil(width / cell - 1e-9))
