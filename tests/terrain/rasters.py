"""Small rasters and terrains made by hand for the tests of the ground and of siting."""

from __future__ import annotations

from typing import Any

import numpy as np
from rasterio.io import MemoryFile
from rasterio.transform import Affine

from sitemap.geodesy.plane import Plane
from sitemap.terrain.grid import Grid
from sitemap.terrain.terrain import Terrain

PLANE = Plane(-121.3, 45.2)


def terrain(heights: Any, cell_m: float = 1.0, x0_m: float = 0.0, y0_m: float | None = None) -> Terrain:
    """Terrain of heights written north up; its lower left corner is the origin unless told otherwise."""
    z = np.asarray(heights, dtype=np.float32)
    top = z.shape[0] * cell_m if y0_m is None else y0_m
    return Terrain(Grid(x0_m, top, cell_m, *z.shape), z, cell_m)


def geotiff(heights: Any, transform: Affine, crs: Any, **profile: Any) -> bytes:
    """A GeoTIFF in memory, (rows, columns) or (bands, rows, columns); `units` and `palette` those of its first band."""
    z = np.asarray(heights)
    z = z[None] if z.ndim == 2 else z
    units, palette = profile.pop("units", None), profile.pop("palette", None)
    with MemoryFile() as memory:
        with memory.open(
            driver="GTiff",
            count=z.shape[0],
            height=z.shape[1],
            width=z.shape[2],
            dtype=z.dtype,
            transform=transform,
            crs=crs,
            **profile,
        ) as file:
            file.write(z)
            if palette:
                file.write_colormap(1, palette)
            if units:
                file.units = (units,)
        return bytes(memory.read())


def on_plane(heights: Any, cell_m: float = 1.0, **profile: Any) -> bytes:
    """A GeoTIFF in the test plane's own system, centred on it."""
    rows, columns = np.asarray(heights).shape[-2:]
    transform = Affine(cell_m, 0, -columns * cell_m / 2, 0, -cell_m, rows * cell_m / 2)
    return geotiff(heights, transform, PLANE.definition, **profile)


def hill(rows: int = 80, columns: int = 100, seed: int = 7) -> np.ndarray:
    """Gently rolling ground, drawn from a seed, heights about 500 m."""
    draw = np.random.default_rng(seed)
    y, x = np.mgrid[:rows, :columns]
    z = np.full((rows, columns), 500.0)
    for _ in range(6):
        reach = draw.uniform(15, 40)
        z += draw.uniform(-4, 4) * np.exp(
            -((x - draw.uniform(0, columns)) ** 2 + (y - draw.uniform(0, rows)) ** 2) / reach**2
        )
    return z.astype(np.float32)
