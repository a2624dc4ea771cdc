"""What a map can be drawn on without the internet: shaded relief, contours, the user's own picture of the ground."""

from __future__ import annotations

import math
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray
from shapely.geometry import MultiLineString

from sitemap.errors import BadFile, positive, within
from sitemap.geodesy.plane import Plane
from sitemap.reasons import reason
from sitemap.terrain.affine_fit import Fit, fitted
from sitemap.terrain.elevation import FARTHEST_M
from sitemap.terrain.rasterfile import opened_raster
from sitemap.terrain.surface import Floats
from sitemap.terrain.terrain import Terrain

MERCATOR_RADIUS_M = 6_378_137.0  # [m] sphere of the web map's projection (EPSG:3857)
MERCATOR_LIMIT_DEG = 85.05  # [deg] beyond this the web map's square ends
LIGHTENED = 150.0  # of 255: relief is a ground to draw on, its shadows must not hide what lies on it
MAX_PIXELS = 4_000_000  # of a backdrop: more is slow to load on a phone
CONTOURS_WANTED = 15  # lines over the height of a site that can still be told apart on a page (ours)

Points = tuple[tuple[float, float, float, float], ...]  # column and row in a picture [pixels], lon and lat there [deg]


@dataclass(frozen=True)
class Backdrop:
    """A picture to lay under a web map, already in the map's projection.

    png : the picture, transparent where nothing is known
    west, south, east, north : its edges [deg]; longitudes run on past ±180 rather than jump
    """

    png: bytes
    west: float
    south: float
    east: float
    north: float


@dataclass(frozen=True)
class Contour:
    """Lines of one height on the plane [m]; every fifth is an index contour."""

    height_m: float
    lines: MultiLineString
    index: bool


def hillshade(east: Floats, north: Floats, azimuth_deg: float = 315.0, altitude_deg: float = 45.0) -> Floats:
    """Brightness of ground lit by a low sun, 0 (dark) to 255.

    Parameters
    ----------
    east, north : rise per metre, scalars or arrays [m/m]
    azimuth_deg : direction the light comes from, clockwise from north [deg]
    altitude_deg : height of the light above the horizon, 0 to 90 [deg]

    Returns
    -------
    as east, 0 to 255; NaN where the gradient is not known

    Raises
    ------
    BadValue : a light below the horizon or beyond straight overhead

    Notes
    -----
    255 (cos Z cos S + sin Z sin S cos(A - a)), not below 0: Z the light's angle from straight up, S the slope, A the
    light's azimuth, a the aspect; the Lambertian case of Horn 1981, in the form general map manuals print (P). No
    shadow is cast.

    >>> round(float(hillshade(np.array(0.0), np.array(0.0))), 1)  # level ground
    180.3
    """
    within("The height of the light", altitude_deg, 0, 90, "°")
    azimuth, altitude = math.radians(azimuth_deg), math.radians(altitude_deg)
    toward_light = np.asarray(east) * math.sin(azimuth) + np.asarray(north) * math.cos(azimuth)
    lit = (math.sin(altitude) - math.cos(altitude) * toward_light) / np.sqrt(1 + np.hypot(east, north) ** 2)
    return np.asarray(255 * np.clip(lit, 0, None))


def contour_interval(lowest_m: float, highest_m: float) -> float:
    """A readable step between contours [m]: 1, 2 or 5 times a power of ten, about fifteen over the range.

    Parameters
    ----------
    lowest_m, highest_m : ends of the range of heights [m]

    Returns
    -------
    step [m]

    >>> contour_interval(400, 460), contour_interval(10, 13)
    (5.0, 0.2)
    """
    wanted = max((highest_m - lowest_m) / CONTOURS_WANTED, 0.1)
    tens = 10.0 ** math.floor(math.log10(wanted))
    return next(round(step * tens, 6) for step in (1, 2, 5, 10) if step * tens >= wanted * 0.999)


def contours(terrain: Terrain, interval_m: float | None = None) -> tuple[Contour, ...]:
    """Contour lines on the plane, lowest first; none on level ground, none through holes.

    Raises BadValue for an interval that is not above zero.
    """
    import contourpy

    known = terrain.elevation_m[np.isfinite(terrain.elevation_m)]
    if known.size == 0 or known.min() == known.max():
        return ()
    step = interval_m if interval_m is not None else contour_interval(float(known.min()), float(known.max()))
    positive("The interval of contours", step, "m")
    x, y = terrain.grid.centre_of(np.arange(terrain.grid.columns))[0], terrain.grid.centres()[1][:, 0]
    generator = contourpy.contour_generator(x, y, np.ma.masked_invalid(terrain.elevation_m))
    drawn = []
    for number in range(math.ceil(known.min() / step), math.floor(known.max() / step) + 1):
        lines: list[Any] = [line for line in generator.lines(number * step) if len(line) > 1]
        if lines:
            drawn.append(Contour(number * step, MultiLineString(lines), number % 5 == 0))
    return tuple(drawn)


def relief_backdrop(terrain: Terrain, plane: Plane) -> Backdrop:
    """Shaded relief as a backdrop for the web map, transparent where the height is not known.

    Raises BadFile beyond 85° of latitude, where the web map ends.
    """
    shade = hillshade(*terrain.gradient)
    grey = (LIGHTENED + (1 - LIGHTENED / 255) * np.nan_to_num(shade)).round().astype(np.uint8)
    picture = np.stack([grey, grey, grey, np.where(np.isnan(shade), 0, 255).astype(np.uint8)])
    return _on_web_map(picture, terrain.grid.transform, plane.definition, plane)


def read_picture(source: str | Path | bytes, plane: Plane, points: Points = ()) -> Backdrop:
    """The user's own picture of the ground (an orthophoto, a drone picture, a scanned map) as a backdrop.

    source : path or bytes of a raster with one (grey or palette), three (colour) or four (transparency) bands
    points : seen in the picture and on the ground, for one that does not say itself where it lies

    Raises BadFile for a file that is no picture, has no place, lies elsewhere than the site, or beyond 85° latitude;
    BadValue for points by which it cannot be laid.
    """
    with opened_raster(source, "picture of the ground") as raster:
        return _read_picture(raster, plane, points)


def laid(plane: Plane, points: Points) -> Fit:
    """How a picture lies on the plane by points seen in both. Raises BadValue where they do not do."""
    pixels = np.array([(column, row) for column, row, _, _ in points], dtype=float).reshape(-1, 2)
    places = np.array([plane.xy(lon, lat) for _, _, lon, lat in points], dtype=float).reshape(-1, 2)
    return fitted(pixels, places)


def _read_picture(raster: Any, plane: Plane, points: Points) -> Backdrop:
    from affine import Affine

    if not points and (raster.crs is None or raster.transform.is_identity):
        raise BadFile(reason("terrain.picture_without_place"))
    if "complex" in raster.dtypes[0]:
        raise BadFile(reason("terrain.picture_without_colours"))
    shrink = max(1.0, math.sqrt(raster.width * raster.height / MAX_PIXELS))
    height, width = max(1, int(raster.height / shrink)), max(1, int(raster.width / shrink))
    bands = min(raster.count, 3) if raster.count != 2 else 1
    colours = raster.read(list(range(1, bands + 1)), out_shape=(bands, height, width))
    seen = raster.dataset_mask(out_shape=(height, width))
    t, crs = (laid(plane, points), plane.definition) if points else (raster.transform, raster.crs)
    across, down = raster.width / width, raster.height / height
    transform = Affine(t.a * across, t.b * down, t.c, t.d * across, t.e * down, t.f)
    return _on_web_map(np.concatenate([as_rgb(colours, raster, seen), seen[None]]), transform, crs, plane)


def as_rgb(colours: NDArray[Any], raster: Any, seen: NDArray[np.uint8]) -> NDArray[np.uint8]:
    """Three bands of bytes: a palette looked up, one band repeated, deeper pictures stretched to their own range."""
    from rasterio.enums import ColorInterp

    if raster.colorinterp[0] == ColorInterp.palette:
        palette = raster.colormap(1)
        table = np.zeros((1 + max(palette), 3), dtype=np.uint8)
        for value, colour in palette.items():
            table[value] = colour[:3]
        return np.moveaxis(table[colours[0]], -1, 0)
    if colours.dtype != np.uint8:
        colours = colours.astype(float)
        known = colours[:, seen > 0]
        known = known[np.isfinite(known)]
        low, high = np.percentile(known, [1, 99]) if known.size else (0.0, 1.0)
        colours = (255 * np.clip(np.nan_to_num((colours - low) / max(high - low, 1e-9)), 0, 1)).astype(np.uint8)
    return np.repeat(colours[:1], 3, axis=0) if len(colours) < 3 else colours


def _on_web_map(picture: NDArray[np.uint8], transform: Any, crs: Any, plane: Plane) -> Backdrop:
    """Warp a picture (4 bands) to the web map's projection, its middle meridian the site's, so that 180° is no edge."""
    from rasterio.io import MemoryFile
    from rasterio.warp import Resampling, calculate_default_transform, reproject, transform_bounds

    bands, rows, columns = picture.shape
    radius = MERCATOR_RADIUS_M
    mercator = (
        f"+proj=merc +a={radius} +b={radius} +lat_ts=0 +lon_0={plane.lon0!r} +k=1 +units=m +nadgrids=@null +no_defs"
    )
    edges = _edges(transform, rows, columns)
    if abs(plane.lat0) > MERCATOR_LIMIT_DEG:
        raise BadFile(reason("terrain.map_ends"))
    reach = np.array(transform_bounds(crs, plane.definition, *edges))
    if not np.isfinite(reach).all() or (reach[:2] > FARTHEST_M).any() or (reach[2:] < -FARTHEST_M).any():
        raise BadFile(reason("terrain.picture_elsewhere"))
    target, width, height = calculate_default_transform(crs, mercator, columns, rows, *edges)
    warped = np.zeros((bands, height, width), dtype=np.uint8)
    reproject(
        picture,
        warped,
        src_transform=transform,
        src_crs=crs,
        dst_transform=target,
        dst_crs=mercator,
        resampling=Resampling.bilinear,
    )
    with MemoryFile() as memory:
        with memory.open(
            driver="PNG", width=width, height=height, count=bands, dtype="uint8", transform=target
        ) as file:
            file.write(warped)
        png = memory.read()
    west, north = target.c, target.f
    east, south = west + target.a * width, north + target.e * height
    lons = [plane.lon0 + math.degrees(side / radius) for side in (west, east)]
    lats = [math.degrees(math.atan(math.sinh(side / radius))) for side in (south, north)]
    return Backdrop(png, lons[0], lats[0], lons[1], lats[1])


def _edges(transform: Any, rows: int, columns: int) -> tuple[float, float, float, float]:
    xs = [transform.c + transform.a * column + transform.b * row for column in (0, columns) for row in (0, rows)]
    ys = [transform.f + transform.d * column + transform.e * row for column in (0, columns) for row in (0, rows)]
    return min(xs), min(ys), max(xs), max(ys)
