"""Opening a raster file a person brought: whatever is wrong with it becomes one sentence."""

from __future__ import annotations

import warnings
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from sitemap.errors import BadFile
from sitemap.reasons import Term, reason


@contextmanager
def opened_raster(source: str | Path | bytes, name: str) -> Iterator[Any]:
    """An open raster from a path or its bytes, closed afterwards.

    name : what to call it, "elevation raster". Raises BadFile where it cannot be opened or, inside the block, read.
    """
    import rasterio
    from rasterio.errors import NotGeoreferencedWarning, RasterioError
    from rasterio.io import MemoryFile

    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore", NotGeoreferencedWarning)  # refused below, in our own words
            if isinstance(source, bytes):
                with MemoryFile(source) as memory, memory.open() as raster:
                    yield raster
            else:
                with rasterio.open(source) as raster:
                    yield raster
    except (RasterioError, OSError) as error:
        raise BadFile(reason("terrain.unreadable", name=Term(name))) from error
