"""Map pictures out of packs and from a service: the surroundings are cut out, each pixel where it belongs."""

from __future__ import annotations

import sqlite3
import threading
from collections.abc import Iterator
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from io import BytesIO
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import rasterio
from PIL import Image
from pmtiles.tile import Compression, TileType, zxy_to_tileid
from pmtiles.writer import Writer
from pyproj import Transformer
from rasterio.transform import from_origin
from rasterio.warp import transform

from sitemap.errors import BadFile
from sitemap.geodesy.plane import Plane
from sitemap.terrain.pack import Cut, Window, cut_of, fetched, fitting_zoom, tiles_of
from sitemap.terrain.relief import read_picture
from tests.loopback import server

WINDOW = Window(13.715, 61.858, 13.725, 61.863)
ZOOM = 16
MARK = (13.7214, 61.8607)  # lon, lat of the one red tile
TO_WEB = Transformer.from_crs("EPSG:4326", "EPSG:3857", always_xy=True)
HALF_M = 20_037_508.342789244  # half a side of the tiled square (OGC 17-083r4, WebMercatorQuad, M)


def tile_at(lon: float, lat: float) -> tuple[int, int]:
    """Column and row of the tile that shows a place (projected by pyproj)."""
    x, y = TO_WEB.transform(lon, lat)
    side = 2 * HALF_M / 2**ZOOM
    return int((x + HALF_M) // side), int((HALF_M - y) // side)


RED = tile_at(*MARK)
NEAR = [(RED[0] + x, RED[1] + y) for x in range(-4, 5) for y in range(-4, 5)]


def tile(at: tuple[int, int]) -> bytes:
    made = BytesIO()
    Image.new("RGB", (256, 256), (200, 0, 0) if at == RED else (0, 120, 60)).save(made, "PNG")
    return made.getvalue()


def mbtiles(folder: Path) -> bytes:
    path = folder / "pack.mbtiles"
    with sqlite3.connect(path) as base:
        base.executescript(
            "create table metadata (name text, value text);"
            "create table tiles (zoom_level int, tile_column int, tile_row int, tile_data blob)"
        )
        said = {"name": "t", "format": "png", "minzoom": ZOOM, "maxzoom": ZOOM, "type": "baselayer"}
        said["attribution"] = '&copy; <a href="https://example.org/x">A survey</a>'
        base.executemany("insert into metadata values (?, ?)", [(name, str(value)) for name, value in said.items()])
        rows = [(ZOOM, x, 2**ZOOM - 1 - y, tile((x, y))) for x, y in NEAR]
        base.executemany("insert into tiles values (?, ?, ?, ?)", rows)
    base.close()
    return path.read_bytes()


def pmtiles(folder: Path) -> bytes:
    path = folder / "pack.pmtiles"
    with path.open("wb") as file:
        writer = Writer(file)  # type: ignore[no-untyped-call]
        for number, at in sorted((zxy_to_tileid(ZOOM, *at), at) for at in NEAR):
            writer.write_tile(number, tile(at))  # type: ignore[no-untyped-call]
        edges = dict.fromkeys(("min_lon_e7", "min_lat_e7", "max_lon_e7", "max_lat_e7"), 0)
        centre = dict.fromkeys(("center_zoom", "center_lon_e7", "center_lat_e7"), 0)
        form = {"tile_type": TileType.PNG, "tile_compression": Compression.NONE}
        writer.finalize({**form, **edges, **centre}, {"attribution": "© A survey"})  # type: ignore[no-untyped-call]
    return path.read_bytes()


def geopackage(folder: Path) -> bytes:
    """Written by GDAL, in degrees' own plane: UTM 33 N."""
    path = folder / "pack.gpkg"
    (x,), (y,) = transform("EPSG:4326", "EPSG:32633", [MARK[0]], [MARK[1]])
    pixels = np.zeros((3, 600, 600), dtype=np.uint8)
    pixels[1] = 120
    pixels[:, 280:320, 280:320] = np.array([200, 0, 0])[:, None, None]
    grid = {"width": 600, "height": 600, "count": 3, "dtype": "uint8", "crs": "EPSG:32633"}
    corner = from_origin(x - 300 * 2.0, y + 300 * 2.0, 2.0, 2.0)
    with rasterio.open(path, "w", driver="GPKG", transform=corner, **grid) as file:
        file.write(pixels)
    return path.read_bytes()


def colour(cut: Cut, lon: float, lat: float) -> tuple[int, ...]:
    """What the picture shows at a place, once laid under the map."""
    ground = read_picture(cut.content, Plane(13.72, 61.86))
    pixels = np.asarray(Image.open(BytesIO(ground.png)).convert("RGB"))
    (_, top), (_, bottom), (_, y) = (TO_WEB.transform(0, each) for each in (ground.north, ground.south, lat))
    row = int((top - y) / (top - bottom) * pixels.shape[0])
    column = int((lon - ground.west) / (ground.east - ground.west) * pixels.shape[1])
    return tuple(int(each) for each in pixels[row, column])


def shows_the_mark(cut: Cut) -> None:
    red, green = colour(cut, *MARK), colour(cut, 13.7155, 61.8588)
    assert red[0] > 180
    assert red[1] < 30
    assert green[0] < 30
    assert green[1] > 100


@pytest.mark.parametrize("maker", [mbtiles, pmtiles, geopackage])
def test_agrees_with_gdal_and_the_tile_scheme_where_a_pack_lies(maker: Any, tmp_path: Path) -> None:
    content = maker(tmp_path)
    cut = cut_of(content, f"pack.{maker.__name__.replace('geopackage', 'gpkg')}", WINDOW)
    shows_the_mark(cut)
    assert cut.credit == ("" if maker is geopackage else "© A survey")
    with pytest.raises(BadFile, match="does not show the site"):
        cut_of(content, f"pack.{maker.__name__.replace('geopackage', 'gpkg')}", Window(20, 50, 20.01, 50.01))


@pytest.mark.parametrize("ending", ["mbtiles", "pmtiles", "gpkg"])
def test_refuses_a_damaged_pack(ending: str, tmp_path: Path) -> None:
    whole = mbtiles(tmp_path)
    for content in (b"", b"not a pack", whole[: len(whole) // 3], whole[::-1]):
        with pytest.raises(BadFile, match="map pack cannot be read"):
            cut_of(content, f"x.{ending}", WINDOW)


class _Tiles(BaseHTTPRequestHandler):
    asked: list[str]

    def do_GET(self) -> None:
        self.asked.append(self.path)
        _, _, x, y = self.path.removesuffix(".png").split("/")
        content = tile((int(x), int(y)))
        self.send_response(200)
        self.send_header("Content-Length", str(len(content)))
        self.end_headers()
        self.wfile.write(content)

    def log_message(self, *said: Any) -> None:
        """Quiet."""


@pytest.fixture
def service() -> Iterator[tuple[str, list[str]]]:
    """An address of tiles on this machine, and what was asked of it."""
    asked: list[str] = []
    server = ThreadingHTTPServer(("127.0.0.1", 0), type("Tiles", (_Tiles,), {"asked": asked}))
    threading.Thread(target=server.serve_forever, daemon=True).start()
    yield f"http://127.0.0.1:{server.server_port}/{{z}}/{{x}}/{{y}}.png", asked
    server.shutdown()
    server.server_close()


def test_a_service_is_asked_for_the_window_and_nothing_else(service: tuple[str, list[str]]) -> None:
    address, asked = service
    shares: list[float] = []
    cut = fetched(address, WINDOW, ZOOM, shares.append)
    shows_the_mark(cut)
    assert len(asked) == len(set(asked)) == tiles_of(WINDOW, ZOOM)
    assert shares == sorted(shares)
    assert shares[-1] == 1.0


def capabilities(tiles: str) -> bytes:
    """A description of the service as the standard has it (OGC 07-057r7, M): one layer in the web map's square."""
    levels = "".join(
        f"<TileMatrix><ows:Identifier>{zoom}</ows:Identifier>"
        f"<ScaleDenominator>{2 * HALF_M / 256 / 2**zoom / 0.00028}</ScaleDenominator>"
        f"<TopLeftCorner>{-HALF_M} {HALF_M}</TopLeftCorner><TileWidth>256</TileWidth><TileHeight>256</TileHeight>"
        f"<MatrixWidth>{2**zoom}</MatrixWidth><MatrixHeight>{2**zoom}</MatrixHeight></TileMatrix>"
        for zoom in range(ZOOM + 1)
    )
    return (
        '<Capabilities xmlns="http://www.opengis.net/wmts/1.0" xmlns:ows="http://www.opengis.net/ows/1.1" '
        'version="1.0.0"><Contents><Layer><ows:Identifier>ground</ows:Identifier><Style isDefault="true">'
        "<ows:Identifier>default</ows:Identifier></Style><Format>image/png</Format><TileMatrixSetLink><TileMatrixSet>"
        f'web</TileMatrixSet></TileMatrixSetLink><ResourceURL format="image/png" resourceType="tile" template="{tiles}'
        '{TileMatrix}/{TileCol}/{TileRow}.png"/></Layer><TileMatrixSet><ows:Identifier>web</ows:Identifier>'
        f"<ows:SupportedCRS>urn:ogc:def:crs:EPSG::3857</ows:SupportedCRS>{levels}</TileMatrixSet></Contents>"
        "</Capabilities>"
    ).encode()


def pieces() -> dict[str, bytes]:
    return {f"{ZOOM}/{x}/{y}.png": tile((x, y)) for x, y in NEAR}


def test_law_a_described_service_is_read_from_its_own_host_alone() -> None:
    files = pieces()
    with server(files) as elsewhere, server(files) as served:
        files["own.xml"], files["other.xml"] = capabilities(served.here), capabilities(elsewhere.here)
        shows_the_mark(fetched(f"{served.here}own.xml", WINDOW, ZOOM, lambda _: None))
        with pytest.raises(BadFile, match=r"names 127\.0\.0\.1:\d+ for its tiles, which was not asked for"):
            fetched(f"{served.here}other.xml", WINDOW, ZOOM, lambda _: None)
        assert elsewhere.asked == []


def test_law_tiles_are_not_followed_to_another_host() -> None:
    files = pieces()
    with server(files) as elsewhere:
        there = elsewhere.here.replace("127.0.0.1", "localhost")
        with server(files, moved={name: there + name for name in files}) as served:
            with pytest.raises(BadFile, match=r"127\.0\.0\.1 sends on to http://localhost"):
                fetched(f"{served.here}{{z}}/{{x}}/{{y}}.png", WINDOW, ZOOM, lambda _: None)
            assert served.asked
        assert elsewhere.asked == []


def test_a_fetch_can_be_stopped(service: tuple[str, list[str]]) -> None:
    address, asked = service

    def stop(share: float) -> None:
        raise KeyboardInterrupt(share)

    with pytest.raises(KeyboardInterrupt):
        fetched(address, WINDOW, ZOOM + 1, stop)
    assert 0 < len(asked) < tiles_of(WINDOW, ZOOM + 1)


@pytest.mark.parametrize(
    "address",
    ["", "tiles", "ftp://a.test/{z}/{x}/{y}", "http://a.test/{x}", "file:///etc/x", "http://{s}.a.test/{z}/{x}/{y}"],
)
def test_refuses_what_is_no_address(address: str) -> None:
    with pytest.raises(BadFile, match="no address of a map picture"):
        fetched(address, WINDOW, ZOOM, lambda _: None)


def test_says_that_nothing_came() -> None:
    for address in ("http://127.0.0.1:1/{z}/{x}/{y}.png", "http://127.0.0.1:1/wmts.xml"):
        with pytest.raises(BadFile, match=r"127\.0\.0\.1 cannot be reached"):
            fetched(address, WINDOW, ZOOM, lambda _: None)
    with pytest.raises(BadFile, match="more than the 400"):
        fetched("http://127.0.0.1:1/{z}/{x}/{y}.png", Window(10, 50, 11, 51), 16, lambda _: None)


def test_law_more_detail_is_never_fewer_tiles_and_what_fits_fits() -> None:
    counts = [tiles_of(WINDOW, zoom) for zoom in range(1, 21)]
    assert counts == sorted(counts)
    assert tiles_of(Window(-180, -85, 180, 85), 3) == 64
    zoom = fitting_zoom(WINDOW)
    assert tiles_of(WINDOW, zoom) <= 400 < tiles_of(WINDOW, zoom + 2)
