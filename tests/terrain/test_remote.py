"""Elevation from a server on this machine that gives parts of a file: only the window of the site is fetched."""

from __future__ import annotations

import numpy as np
import pyproj
import pytest
import rasterio
from rasterio.io import MemoryFile
from rasterio.transform import from_bounds

from sitemap.errors import BadFile
from sitemap.site import address_parts
from sitemap.site.address import asked
from sitemap.site.imports.remote import SURROUND_M
from sitemap.site.model import Site
from sitemap.site.on_plane import plane_of_site
from sitemap.terrain import remote
from sitemap.terrain.of_site import terrain_of
from sitemap.terrain.remote import window_at, window_read
from tests.loopback import server
from tests.site.builders import point, site_of, thing

CELL_M, SIDE = 4.0, 1536
WEST, NORTH = 630_000.0, 4_880_000.0
MIDDLE = (WEST + 3000.0, NORTH - 3000.0)
LONLAT = pyproj.Transformer.from_crs("EPSG:32610", "EPSG:4326", always_xy=True).transform(*MIDDLE)
SITE = site_of(thing("g", "gate", point(*LONLAT), name="Gate"))


@pytest.fixture(scope="module")
def heights() -> np.ndarray:
    return np.random.default_rng(15).normal(1000, 5, (SIDE, SIDE)).astype(np.float32)


@pytest.fixture(scope="module")
def files(heights: np.ndarray) -> dict[str, bytes]:
    """Cloud-optimised GeoTIFFs as GDAL's own driver writes them."""
    bounds = (WEST, NORTH - SIDE * CELL_M, WEST + SIDE * CELL_M, NORTH)
    profile = {"driver": "COG", "width": SIDE, "height": SIDE, "crs": "EPSG:32610", "blocksize": 256}
    profile |= {"transform": from_bounds(*bounds, SIDE, SIDE), "compress": "deflate"}
    made = {}
    with MemoryFile() as memory:
        with memory.open(**profile, count=1, dtype="float32", nodata=-9999) as raster:
            raster.write(heights, 1)
        made["dem.tif"] = bytes(memory.read())
    with MemoryFile() as memory:
        with memory.open(**profile, count=3, dtype="uint8") as raster:
            raster.write(np.zeros((3, SIDE, SIDE), dtype=np.uint8))
        made["air.tif"] = bytes(memory.read())
    degrees = {"driver": "COG", "width": 360, "height": 180, "crs": "EPSG:4326", "count": 1, "dtype": "float32"}
    with MemoryFile() as memory:
        with memory.open(**degrees, transform=from_bounds(-180, -90, 180, 90, 360, 180)) as raster:
            raster.write(np.zeros((180, 360), dtype=np.float32), 1)
        made["world.tif"] = bytes(memory.read())
    return made | {"cut.tif": made["dem.tif"][:30_000], "no.tif": b"II*\x00" + bytes(200)}


def test_agrees_with_the_raster_and_fetches_only_the_window(files: dict[str, bytes], heights: np.ndarray) -> None:
    """Each cell of the window as it was written; what is said before agrees with what the server gave."""
    with server(files) as served:
        at = asked(f"{served.here}dem.tif")
        window = window_at(at, SITE)
        before = served.given
        assert before < 100_000
        came: list[int] = []
        content = window_read(at, SITE, came.append)
        assert came[-1] == served.given - before
        assert served.given - before == pytest.approx(window.about_bytes, rel=0.1, abs=60_000)
        assert served.given < len(files["dem.tif"]) / 4
        assert {line.split()[1] for line in served.asked} == {"/dem.tif"}  # and nothing beside it
    with MemoryFile(content) as memory, memory.open() as raster:
        assert (raster.width, raster.height) == (window.columns, window.rows)
        left, top = (
            round(each) for each in ((raster.bounds.left - WEST) / CELL_M, (NORTH - raster.bounds.top) / CELL_M)
        )
        assert np.array_equal(raster.read(1), heights[top : top + raster.height, left : left + raster.width])
        assert raster.nodata == -9999
        assert raster.crs == rasterio.crs.CRS.from_epsg(32610)
    assert 2 * SURROUND_M <= window.columns * CELL_M < 2 * SURROUND_M * 1.05  # the zone's north is turned a little
    terrain = terrain_of(SITE, content)
    plane = plane_of_site(SITE)
    assert plane is not None
    assert float(terrain.elevation(*plane.xy(*LONLAT))) == pytest.approx(1000, abs=20)


def test_law_a_large_window_is_read_coarser_and_says_so(
    files: dict[str, bytes], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(remote, "MOST_CELLS", 20_000)
    with server(files) as served:
        at = asked(f"{served.here}dem.tif")
        window = window_at(at, SITE)
        content = window_read(at, SITE)
    assert window.shrunk > 1
    assert window.columns * window.rows <= 20_000 * 1.05
    with MemoryFile(content) as memory, memory.open() as raster:
        assert raster.res[0] == pytest.approx(window.shrunk * CELL_M, rel=0.02)
        assert raster.read(1).mean() == pytest.approx(1000, abs=2)


def test_law_a_server_without_parts_gives_the_whole(files: dict[str, bytes]) -> None:
    with server(files, ranges=False) as served:
        at = asked(f"{served.here}dem.tif")
        assert window_at(at, SITE).about_bytes == len(files["dem.tif"])
        with MemoryFile(window_read(at, SITE)) as memory, memory.open() as raster:
            assert raster.width < SIDE


@pytest.mark.parametrize(
    ("name", "site", "told"),
    [
        ("air.tif", SITE, "a picture of 3 bands"),
        ("no.tif", SITE, "cannot be read as a raster"),
        ("dem.tif", site_of(thing("g", "gate", point(10, 10))), "does not cover"),
        ("dem.tif", site_of(), "nowhere yet"),
        ("world.tif", site_of(thing("g", "gate", point(179.999, 10))), "lies across longitude 180°"),
    ],
)
def test_refuses_what_is_no_ground_of_this_site(files: dict[str, bytes], name: str, site: Site, told: str) -> None:
    with server(files) as served, pytest.raises(BadFile, match=told) as refused:
        window_at(asked(served.here + name), site)
    assert "\n" not in str(refused.value)


def test_refuses_a_file_cut_short(files: dict[str, bytes]) -> None:
    with server(files) as served:
        at = asked(f"{served.here}cut.tif")
        with pytest.raises(BadFile, match="cannot be read as a raster, or the network broke off"):
            window_read(at, SITE)


def test_refuses_to_be_sent_on_while_it_reads(files: dict[str, bytes]) -> None:
    """GDAL would follow a server anywhere; it asks this program alone, which asks the host that was typed."""
    moved: dict[str, str] = {}
    with server(files) as other, server(files, moved=moved) as served:
        at = asked(f"{served.here}dem.tif")
        moved["dem.tif"] = other.here.replace("127.0.0.1", "localhost") + "dem.tif"
        with pytest.raises(BadFile, match="sends on to http://localhost"):
            window_at(at, SITE)
        assert other.asked == []


def test_refuses_more_than_is_reasonable(files: dict[str, bytes], monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(address_parts, "MOST_BYTES", 200_000)
    with server(files) as served, pytest.raises(BadFile, match="would be fetched"):
        window_read(asked(f"{served.here}dem.tif"), SITE)
    assert served.given < 250_000


def test_refuses_another_file(files: dict[str, bytes]) -> None:
    with server({"a.fgb": b"fgb\x03fgb\x00" + files["no.tif"]}) as served:
        at = asked(f"{served.here}a.fgb")
        with pytest.raises(BadFile, match="no GeoTIFF"):
            window_at(at, SITE)
