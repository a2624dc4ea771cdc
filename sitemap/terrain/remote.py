"""Elevation from an address: of a cloud-optimised GeoTIFF only the window of the site is read, its size said first."""

from __future__ import annotations

import math
import warnings
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from typing import Any

import numpy as np

from sitemap.errors import BadFile
from sitemap.notes import Note
from sitemap.reasons import reason
from sitemap.site.address import Remote, asked, fetched
from sitemap.site.address_parts import RemoteFile, handed_on
from sitemap.site.imports.remote import NETWORK, surroundings
from sitemap.site.model import Site
from sitemap.terrain.of_site import notes_of

MOST_CELLS = 16_000_000  # of a window: 4,000 × 4,000; a larger one is read coarser
_BLOCKS = "TIFF"


@dataclass(frozen=True)
class Window:
    """The part of a raster that lies round a site.

    columns, rows : cells that would be kept; shrunk : cells of the raster to one of them along a side
    about_bytes : what is fetched for it
    """

    columns: int
    rows: int
    shrunk: int
    about_bytes: int


def looked_at(typed: str, site: Site) -> tuple[Remote, Window | None]:
    """What lies at an address, and of a raster how much of it belongs to the site. Raises BadFile as `asked` and
    `window_at` do, and where the site is nowhere yet."""
    surroundings(site)
    remote = asked(typed)
    return remote, window_at(remote, site) if remote.form == ".tif" else None


def elevation_at(
    remote: Remote, site: Site, progress: Callable[[int], None] = lambda _: None
) -> tuple[bytes, tuple[Note, ...]]:
    """The window round a site as `window_read` gives it, and what a person should know of it."""
    content = window_read(remote, site, progress)
    return content, notes_of(site, content)


def window_at(remote: Remote, site: Site) -> Window:
    """How much of a raster at an address belongs to a site; only its head is read for that.

    Where the server gives no parts of a file, the whole of it, as far as it says how much that is.

    Raises BadFile: no raster of heights, no coordinate system, not round the site, no network.
    """
    if not remote.in_parts:
        return Window(0, 0, 1, remote.size or 0)
    with _open(remote) as raster:
        part, shrunk = _part(raster, site)
        columns, rows = (math.ceil(side / shrunk) for side in (part.width, part.height))
        coarse = columns * rows * np.dtype(raster.dtypes[0]).itemsize
        return Window(columns, rows, shrunk, _bytes_of(raster, part) if shrunk == 1 else coarse)


def window_read(remote: Remote, site: Site, progress: Callable[[int], None] = lambda _: None) -> bytes:
    """The window round a site as a GeoTIFF of its own, in the raster's own system and unit.

    progress : told how many bytes came so far, in another thread where it is read in parts. Raises BadFile.
    """
    from rasterio.io import MemoryFile
    from rasterio.transform import from_bounds
    from rasterio.windows import bounds

    with _open(remote, progress) as raster:
        part, shrunk = _part(raster, site)
        rows, columns = (math.ceil(side / shrunk) for side in (part.height, part.width))
        profile = {
            "driver": "GTiff",
            "dtype": raster.dtypes[0],
            "count": 1,
            "height": rows,
            "width": columns,
            "crs": raster.crs,
            "nodata": raster.nodata,
            "transform": from_bounds(*bounds(part, raster.transform), columns, rows),
            "compress": "deflate",
        }
        heights = raster.read(1, window=part, out_shape=(rows, columns))
        with MemoryFile() as memory:
            with memory.open(**profile) as made:
                made.write(heights, 1)
                made.scales, made.offsets = raster.scales[:1], raster.offsets[:1]
                if raster.units[0]:
                    made.units = raster.units[:1]
            return bytes(memory.read())


@contextmanager
def _open(remote: Remote, progress: Callable[[int], None] = lambda _: None) -> Iterator[Any]:
    """The raster at an address, read in parts or fetched whole; what goes wrong with it is one sentence."""
    import rasterio
    from rasterio.errors import NotGeoreferencedWarning, RasterioError, WindowError
    from rasterio.io import MemoryFile

    if remote.form != ".tif":
        raise BadFile(reason("terrain.no_geotiff", name=remote.name))
    file = RemoteFile(remote, progress)
    try:
        with warnings.catch_warnings(), rasterio.Env(**NETWORK):
            warnings.simplefilter("ignore", NotGeoreferencedWarning)  # refused below, in our own words
            if remote.in_parts:
                with handed_on(file) as here, rasterio.open(f"/vsicurl/{here}") as raster:
                    yield _judged(remote, raster)
            else:
                with MemoryFile(fetched(remote, progress)) as memory, memory.open() as raster:
                    yield _judged(remote, raster)
    except (RasterioError, WindowError, OSError) as error:
        if file.fault is not None:
            raise file.fault from error
        why = str(error).splitlines()[0][:120] if str(error) else type(error).__name__
        raise BadFile(reason("terrain.broke_off", why=why, name=remote.name)) from error


def _judged(remote: Remote, raster: Any) -> Any:
    if raster.crs is None:
        raise BadFile(reason("terrain.no_coordinate_system"))
    if raster.count > 1 and set(raster.dtypes) == {"uint8"}:
        raise BadFile(reason("terrain.a_picture", count=raster.count, name=remote.name))
    return raster


def _part(raster: Any, site: Site) -> tuple[Any, int]:
    """The window of a raster round a site, and how many of its cells along a side are read as one."""
    from rasterio.warp import transform_bounds
    from rasterio.windows import Window as Part
    from rasterio.windows import from_bounds

    plane, bounds = surroundings(site)
    there = transform_bounds(plane.definition, raster.crs, *bounds)
    if there[2] < there[0]:
        raise BadFile(reason("address.antimeridian"))
    wanted = from_bounds(*there, transform=raster.transform)
    left, top = max(0, math.floor(wanted.col_off)), max(0, math.floor(wanted.row_off))
    right = min(raster.width, math.ceil(wanted.col_off + wanted.width))
    bottom = min(raster.height, math.ceil(wanted.row_off + wanted.height))
    if right - left < 2 or bottom - top < 2:
        raise BadFile(reason("terrain.does_not_cover"))
    part = Part(left, top, right - left, bottom - top)
    return part, max(1, math.ceil(math.sqrt(part.width * part.height / MOST_CELLS)))


def _bytes_of(raster: Any, part: Any) -> int:
    """What the blocks hold that a window touches; as many bytes as cells where the file does not tell."""
    down, across = raster.block_shapes[0]
    columns = range(int(part.col_off) // across, math.ceil((part.col_off + part.width) / across))
    rows = range(int(part.row_off) // down, math.ceil((part.row_off + part.height) / down))
    sizes = [raster.get_tag_item(f"BLOCK_SIZE_{x}_{y}", _BLOCKS, bidx=1) for x in columns for y in rows]
    return sum(int(size or 0) for size in sizes) or int(part.width * part.height)
