"""Map pictures out of packs and services: the surroundings of a site are cut out and kept with it, and work offline.

A pack is a file with the picture in tiles: MBTiles, PMTiles, GeoPackage. A service is an address on the net, asked
only when somebody says so: tiles by column, row and zoom (XYZ), or a description of such (WMTS). Whatever it comes
from, what is kept is a GeoTIFF of the window, at most 4096 pixels a side.
"""

from __future__ import annotations

import math
import re
import warnings
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from html import unescape
from io import BytesIO
from typing import Any

import numpy as np
from numpy.typing import NDArray

from sitemap.errors import BadFile
from sitemap.reasons import Reason, reason
from sitemap.site.address import checked
from sitemap.site.address_relay import relayed
from sitemap.terrain.relief import MERCATOR_LIMIT_DEG, MERCATOR_RADIUS_M, as_rgb

PACKS = ("mbtiles", "pmtiles", "gpkg")
TILE_PX = 256
LARGEST_ZOOM = 20
MOST_PX = 4096  # a side: more is slow to draw on a phone
MOST_TILES = 400  # of one fetch: kind to whoever serves them, and enough for a few hectares and the way in
TILE_BYTES = 20_000  # of an aerial tile, about (ours): to say a size before anything is asked for
_STRIP_PX = TILE_PX  # read at once, so that progress can be told
_HALF_M = math.pi * MERCATOR_RADIUS_M  # half a side of the web map's square [m]
_TIMEOUT_S = "20"
_ASKED: Mapping[str, str] = {
    "GDAL_HTTP_TIMEOUT": _TIMEOUT_S,
    "GDAL_HTTP_CONNECTTIMEOUT": _TIMEOUT_S,
    "GDAL_HTTP_MAX_RETRY": "1",
    "GDAL_HTTP_RETRY_DELAY": "0.5",  # s; by itself it waits half a minute
    "GDAL_HTTP_PROXY": "",  # it asks this machine alone
    "GDAL_ENABLE_WMS_CACHE": "NO",  # nothing of it stays but what is kept with the site
    "GDAL_DISABLE_READDIR_ON_OPEN": "EMPTY_DIR",
    "CPL_VSIL_CURL_USE_HEAD": "NO",
}

Progress = Callable[[float], object]


@dataclass(frozen=True)
class Window:
    """A part of the Earth: its edges [deg], west below east."""

    west: float
    south: float
    east: float
    north: float

    def mercator(self) -> tuple[float, float, float, float]:
        """Its edges on the web map [m]: left, bottom, right, top. Raises BadFile beyond 85° of latitude."""
        if max(abs(self.south), abs(self.north)) > MERCATOR_LIMIT_DEG:
            raise BadFile(reason("terrain.map_ends"))
        left, right = (MERCATOR_RADIUS_M * math.radians(lon) for lon in (self.west, self.east))
        bottom, top = (MERCATOR_RADIUS_M * math.asinh(math.tan(math.radians(lat))) for lat in (self.south, self.north))
        return left, bottom, right, top


@dataclass(frozen=True)
class Cut:
    """A picture cut out of a larger one: GeoTIFF, and whom it is owed to, as its maker says it."""

    content: bytes
    credit: str


def tiles_of(window: Window, zoom: int) -> int:
    """How many tiles of a zoom show a window, count.

    Tile columns and rows as the web map numbers them: 2^zoom a side of the square of 2 π 6,378,137 m (OGC Two
    Dimensional Tile Matrix Set 17-083r4, WebMercatorQuad, M).

    >>> tiles_of(Window(-180, -85, 180, 85), 1)
    4
    """
    left, bottom, right, top = window.mercator()
    side = 2 * _HALF_M / float(2**zoom)
    columns = math.ceil((right + _HALF_M) / side) - math.floor((left + _HALF_M) / side)
    rows = math.ceil((_HALF_M - bottom) / side) - math.floor((_HALF_M - top) / side)
    return max(1, columns) * max(1, rows)


def fitting_zoom(window: Window, largest: int = LARGEST_ZOOM) -> int:
    """The largest zoom whose tiles of a window are neither too many nor too large a picture."""
    left, bottom, right, top = window.mercator()
    longest = max(right - left, top - bottom)
    for zoom in range(largest, 0, -1):
        pixels = longest / (2 * _HALF_M) * TILE_PX * 2**zoom
        if pixels <= MOST_PX and tiles_of(window, zoom) <= MOST_TILES:
            return zoom
    return 0


def cut_of(content: bytes, name: str, window: Window) -> Cut:
    """The window out of a pack. name : of the file, whose ending says what it is

    Raises BadFile where it cannot be read, holds no picture, or does not show the window.
    """
    ending = name.rsplit(".", 1)[-1].lower()
    if ending == "pmtiles":
        return _from_pmtiles(content, window)
    from rasterio.io import MemoryFile

    with _told(), MemoryFile(content, ext=f".{ending}") as memory, memory.open() as first:
        if first.count:
            return _cut(first, window)
        if not first.subdatasets:
            raise BadFile(reason("terrain.pack_without_picture"))
        import rasterio

        with rasterio.open(first.subdatasets[0]) as raster:
            return _cut(raster, window)


def fetched(address: str, window: Window, zoom: int, progress: Progress) -> Cut:
    """The window from a service on the net; nothing is asked of it before.

    Parameters
    ----------
    address : with {z}, {x}, {y} (tiles), or of a WMTS description; http or https
    window : what is wanted
    zoom : of the tiles
    progress : told how much is there, 0 to 1; what it raises ends the fetch

    Raises
    ------
    BadFile : no such address, no answer, another host, an answer that is no picture, more tiles than MOST_TILES
    """
    import rasterio

    if tiles_of(window, zoom) > MOST_TILES:
        raise BadFile(reason("terrain.too_many_tiles", tiles=tiles_of(window, zoom), most=MOST_TILES))
    with relayed(_service(address)) as relay:
        source = source_of(_service(address), relay.here)
        try:
            with _told(reason("terrain.no_answer")), rasterio.Env(**_ASKED), rasterio.open(source) as raster:
                return _cut(raster, window, 2 * _HALF_M / (TILE_PX * 2**zoom), progress)
        except BadFile as error:
            raise relay.fault or error from error


def _service(typed: str) -> str:
    """The address of a service as it was typed. Raises BadFile for one that is neither tiles nor a description."""
    address, sample = typed.strip(), typed.strip()
    for each in "zxy":
        sample = sample.replace(f"{{{each}}}", "0")
    tiles = all(f"{{{each}}}" in address for each in "zxy")
    if not re.match(r"https?://[^\s/{}]+/", address) or "{" in (sample if tiles else address):
        raise BadFile(reason("terrain.no_address", tiles="{z}, {x}, {y}"))
    checked(sample)
    return address


def source_of(address: str, here: str) -> str:
    """A service as the reading library takes it. here : what stands for its scheme and host, see `relayed`"""
    path = here + address[len("/".join(address.split("/", 3)[:3])) :]
    if "{" in path:
        server = path.replace("&", "&amp;").replace("<", "&lt;")
        for each in "zxy":
            server = server.replace(f"{{{each}}}", f"${{{each}}}")
        return (
            f"<GDAL_WMS><Service name='TMS'><ServerUrl>{server}</ServerUrl></Service><DataWindow>"
            f"<UpperLeftX>{-_HALF_M}</UpperLeftX><UpperLeftY>{_HALF_M}</UpperLeftY><LowerRightX>{_HALF_M}</LowerRightX>"
            f"<LowerRightY>{-_HALF_M}</LowerRightY><TileLevel>{LARGEST_ZOOM}</TileLevel><TileCountX>1</TileCountX>"
            "<TileCountY>1</TileCountY><YOrigin>top</YOrigin></DataWindow><Projection>EPSG:3857</Projection>"
            f"<BlockSizeX>{TILE_PX}</BlockSizeX><BlockSizeY>{TILE_PX}</BlockSizeY><BandsCount>4</BandsCount>"
            f"<Timeout>{_TIMEOUT_S}</Timeout><ZeroBlockHttpCodes>204,404</ZeroBlockHttpCodes></GDAL_WMS>"
        )
    return f"WMTS:{path}"


def _cut(raster: Any, window: Window, pixel: float | None = None, progress: Progress | None = None) -> Cut:
    """pixel : side of a pixel wanted [units of the raster], None: its own"""
    from rasterio.warp import transform_bounds
    from rasterio.windows import Window as Part
    from rasterio.windows import from_bounds

    if raster.crs is None or raster.transform.is_identity:
        raise BadFile(reason("terrain.picture_without_place"))
    edges = transform_bounds("EPSG:4326", raster.crs, window.west, window.south, window.east, window.north)
    asked = from_bounds(*edges, transform=raster.transform)
    left, top = max(0.0, math.floor(asked.col_off)), max(0.0, math.floor(asked.row_off))
    right = min(raster.width, math.ceil(asked.col_off + asked.width))
    bottom = min(raster.height, math.ceil(asked.row_off + asked.height))
    if right <= left or bottom <= top:
        raise BadFile(reason("terrain.picture_elsewhere"))
    shrink = max(1.0, max(right - left, bottom - top) / MOST_PX, (pixel or 0.0) / abs(raster.transform.a))
    width, height = max(1, round((right - left) / shrink)), max(1, round((bottom - top) / shrink))
    bands = list(range(1, min(raster.count, 3) + 1)) if raster.count != 2 else [1]
    colours = np.zeros((len(bands), height, width), dtype=raster.dtypes[0])
    seen = np.zeros((height, width), dtype=np.uint8)
    for row in range(0, height, _STRIP_PX):
        rows = min(_STRIP_PX, height - row)
        part = Part(left, top + row * (bottom - top) / height, right - left, rows * (bottom - top) / height)
        shape = (rows, width)
        colours[:, row : row + rows] = raster.read(bands, window=part, out_shape=(len(bands), *shape))
        seen[row : row + rows] = raster.dataset_mask(window=part, out_shape=shape)
        if progress is not None:
            progress((row + rows) / height)
    if not seen.any():
        raise BadFile(reason("terrain.picture_elsewhere"))
    whole = Part(left, top, right - left, bottom - top)
    transform = raster.window_transform(whole) * raster.transform.scale((right - left) / width, (bottom - top) / height)
    credit = str(raster.tags().get("attribution", ""))
    return Cut(_geotiff(as_rgb(colours, raster, seen), seen, transform, raster.crs), plain_credit(credit))


def _geotiff(colours: NDArray[np.uint8], seen: NDArray[np.uint8], transform: Any, crs: Any) -> bytes:
    import rasterio
    from rasterio.io import MemoryFile

    _, height, width = colours.shape
    with rasterio.Env(GDAL_TIFF_INTERNAL_MASK=True), MemoryFile() as memory:
        with memory.open(
            driver="GTiff",
            width=width,
            height=height,
            count=3,
            dtype="uint8",
            crs=crs,
            transform=transform,
            compress="JPEG",
            photometric="YCBCR",
            tiled=True,
            blockxsize=256,
            blockysize=256,
        ) as file:
            file.write(colours)
            file.write_mask(seen)
        return bytes(memory.read())


def _from_pmtiles(content: bytes, window: Window) -> Cut:
    from PIL import Image
    from pmtiles.reader import MemorySource, Reader
    from rasterio.crs import CRS
    from rasterio.transform import from_origin

    try:
        reader: Any = Reader(MemorySource(content))  # type: ignore[no-untyped-call]
        header, said = reader.header(), reader.metadata()
        zoom = fitting_zoom(window, min(int(header["max_zoom"]), LARGEST_ZOOM))
        zoom = max(zoom, int(header["min_zoom"]))
        side = 2 * _HALF_M / 2**zoom
        left, bottom, right, top = window.mercator()
        columns = range(math.floor((left + _HALF_M) / side), math.ceil((right + _HALF_M) / side))
        rows = range(math.floor((_HALF_M - top) / side), math.ceil((_HALF_M - bottom) / side))
        if len(columns) * len(rows) > MOST_TILES:
            raise BadFile(reason("terrain.too_many_tiles", tiles=len(columns) * len(rows), most=MOST_TILES))
        found = {(x, y): reader.get(zoom, x % 2**zoom, y) for x in columns for y in rows}
        tiles = {at: Image.open(BytesIO(tile)).convert("RGBA") for at, tile in found.items() if tile}
    except BadFile:
        raise
    except Exception as error:  # the reader raises whatever a damaged file leads it to
        raise BadFile(reason("terrain.pack_without_picture")) from error
    if not tiles:
        raise BadFile(reason("terrain.picture_elsewhere"))
    size = max(tile.width for tile in tiles.values())
    whole = Image.new("RGBA", (size * len(columns), size * len(rows)))
    for (x, y), tile in tiles.items():
        whole.paste(tile.resize((size, size)), ((x - columns.start) * size, (y - rows.start) * size))
    pixels = np.moveaxis(np.asarray(whole), -1, 0)
    corner = from_origin(columns.start * side - _HALF_M, _HALF_M - rows.start * side, side / size, side / size)
    made = _geotiff(pixels[:3], pixels[3], corner, CRS.from_epsg(3857))
    return Cut(made, plain_credit(str(said.get("attribution", ""))))


def plain_credit(said: str) -> str:
    """What a maker asks to be printed, without the markup it is often written in.

    >>> plain_credit('&copy; <a href="https://example.org">A survey</a>')
    '© A survey'
    """
    return " ".join(unescape(re.sub(r"<[^>]*>", "", said)).split())[:200]


@contextmanager
def _told(otherwise: Reason | None = None) -> Iterator[None]:
    """Whatever the reading library says of a source, in one sentence of ours."""
    from rasterio.errors import NotGeoreferencedWarning, RasterioError

    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore", NotGeoreferencedWarning)
            yield
    except (RasterioError, OSError, ValueError) as error:  # an empty file is a ValueError to the library
        if isinstance(error, BadFile):
            raise
        raise BadFile(otherwise or reason("terrain.pack_without_picture")) from error
