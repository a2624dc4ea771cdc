"""A raster that is damaged or absurdly large is refused in a sentence, never read with heights that are not there."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import numpy as np
import pytest
import rasterio
from affine import Affine

from sitemap.errors import BadFile
from sitemap.geodesy.plane import Plane
from sitemap.terrain.elevation import read_terrain
from sitemap.terrain.rasterfile import MAX_POINTS
from sitemap.terrain.relief import read_picture

PLANE = Plane(16.0, 48.0)
LOWEST_M = 1300.0


def written(path: Path, size: int = 96, **how: Any) -> bytes:
    """A tilted plane of heights above 1,300 m about the plane's centre."""
    down, across = np.mgrid[0:size, 0:size]
    heights = (LOWEST_M + down + 0.37 * across).astype("float32")
    place = Affine(1.0, 0.0, -size / 2, 0.0, -1.0, size / 2)
    profile = {"driver": "GTiff", "height": size, "width": size, "count": 1, "dtype": "float32", "transform": place}
    with rasterio.open(path, "w", crs=PLANE.definition, **profile, **how) as raster:
        raster.write(heights, 1)
    return path.read_bytes()


@pytest.mark.parametrize("nodata", [None, -9999.0])
@pytest.mark.parametrize(
    "how",
    [
        {},
        {"compress": "deflate"},
        {"compress": "lzw", "predictor": 3},
        {"tiled": True, "blockxsize": 32, "blockysize": 32},
        {"tiled": True, "blockxsize": 32, "blockysize": 32, "compress": "deflate"},
        {"interleave": "pixel", "blockysize": 1},
    ],
    ids=str,
)
def test_law_a_raster_cut_anywhere_is_refused(tmp_path: Path, how: dict[str, Any], nodata: float | None) -> None:
    whole = written(tmp_path / "whole.tif", nodata=nodata, **how)
    assert float(np.nanmin(read_terrain(whole, PLANE).elevation_m)) >= LOWEST_M - 1
    for part in range(1, 25):
        with pytest.raises(BadFile, match=r"cannot be read|is cut short"):
            read_terrain(whole[: len(whole) * part // 25], PLANE)


def test_law_parts_left_out_are_no_ground_at_the_level_of_the_sea(tmp_path: Path) -> None:
    """A sparse file: parts nobody wrote are void where the file says what void is, and else the file is refused."""
    how = {"tiled": True, "blockxsize": 32, "blockysize": 32, "sparse_ok": True}
    profile = {"driver": "GTiff", "height": 96, "width": 96, "count": 1, "dtype": "float32"}
    place = Affine(1.0, 0.0, -48.0, 0.0, -1.0, 48.0)
    for nodata in (-9999.0, None):
        path = tmp_path / f"{nodata}.tif"
        with rasterio.open(path, "w", crs=PLANE.definition, transform=place, nodata=nodata, **profile, **how) as raster:
            raster.write(np.full((32, 96), LOWEST_M, dtype="float32"), 1, window=rasterio.windows.Window(0, 0, 96, 32))
        if nodata is None:
            with pytest.raises(BadFile, match="is cut short or lacks a part"):
                read_terrain(path, PLANE)
        else:
            heights = read_terrain(path, PLANE).elevation_m
            assert float(np.nanmin(heights)) == LOWEST_M
            assert 0.5 < float(np.isnan(heights).mean()) < 0.8


@pytest.mark.parametrize("read", [read_terrain, read_picture])
def test_refuses_by_what_its_header_says(tmp_path: Path, read: Any) -> None:
    """A file of a few kilobytes may say that it has 40 thousand million points."""
    path = tmp_path / "huge.tif"
    how = {"tiled": True, "blockxsize": 4096, "blockysize": 4096, "compress": "deflate", "sparse_ok": True}
    with rasterio.open(
        path,
        "w",
        driver="GTiff",
        height=200_000,
        width=200_000,
        count=1,
        dtype="uint8",
        crs=PLANE.definition,
        transform=Affine(0.01, 0.0, -1000.0, 0.0, -0.01, 1000.0),
        **how,
    ):
        pass
    assert path.stat().st_size < 100_000
    assert MAX_POINTS < 200_000**2
    with pytest.raises(BadFile, match="says that it has 200,000 × 200,000 points"):
        read(path, PLANE)
