"""Opening a raster file a person brought: whatever is wrong with it becomes one sentence."""

from __future__ import annotations

import math
import warnings
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from sitemap.errors import BadFile
from sitemap.reasons import Term, reason

MAX_POINTS = 400_000_000  # of a raster: 20,000 × 20,000; more is no clip of a few hectares, and would hold all up
_BLOCKS = "TIFF"  # where the reading library tells on which byte each part of a GeoTIFF begins, and how long it is


@contextmanager
def opened_raster(source: str | Path | bytes, name: str) -> Iterator[Any]:
    """An open raster from a path or its bytes, closed afterwards.

    name : what to call it, "elevation raster". Raises BadFile where it cannot be opened or, inside the block, read;
    where it says that it is larger than MAX_POINTS, before anything of it is unpacked; and where a part is not there.
    """
    import rasterio
    from rasterio.errors import NotGeoreferencedWarning, RasterioError
    from rasterio.io import MemoryFile

    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore", NotGeoreferencedWarning)  # refused below, in our own words
            if isinstance(source, bytes):
                if not source:  # of which the library would make a new file
                    raise BadFile(reason("terrain.unreadable", name=Term(name)))
                with MemoryFile(source) as memory, memory.open() as raster:
                    yield _sound(raster, len(source), name)
            else:
                with rasterio.open(source) as raster:
                    yield _sound(raster, Path(source).stat().st_size, name)
    except (RasterioError, OSError) as error:
        raise BadFile(reason("terrain.unreadable", name=Term(name))) from error


def _sound(raster: Any, size: int, name: str) -> Any:
    if raster.width * raster.height > MAX_POINTS:
        raise BadFile(reason("terrain.too_large", name=Term(name), columns=raster.width, rows=raster.height))
    if raster.driver == "GTiff" and any(_missing(raster, band, size) for band in raster.indexes):
        raise BadFile(reason("terrain.cut_short", name=Term(name)))
    return raster


def _missing(raster: Any, band: int, size: int) -> bool:
    """Whether a part of a band lies beyond the end of the file, or nowhere while nothing says what stands for it.

    Read as they come such parts are zeros: ground at the level of the sea.
    """
    rows, columns = raster.block_shapes[band - 1]
    for down in range(math.ceil(raster.height / rows)):
        for across in range(math.ceil(raster.width / columns)):
            begins, length = (
                raster.get_tag_item(f"BLOCK_{what}_{across}_{down}", _BLOCKS, bidx=band) for what in ("OFFSET", "SIZE")
            )
            if begins is None:
                if raster.nodata is None:
                    return True
            elif int(begins) + int(length or 0) > size:
                return True
    return False
