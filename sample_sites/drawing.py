"""Draws an invented site in metres about a centre, and writes its site file and the raster of its invented ground."""

from __future__ import annotations

import datetime as dt
import hashlib
import json
import math
from collections.abc import Callable, Sequence
from itertools import pairwise
from pathlib import Path
from typing import Any

import numpy as np
import shapely

from sample_sites.records import looked_for_all
from sitemap.geodesy.plane import Plane
from sitemap.season.weather_of_site import morning_mark
from sitemap.site.file import parse_site, site_json
from sitemap.site.frozen import thaw
from sitemap.site.seen import all_confirmed, stamped
from sitemap.site.weather_read import MEMBER, SAW

Height = Callable[[Any, Any], Any]
Corners = Sequence[tuple[float, float]]
ROUND_IT_M = 250.0  # [m] of ground round what is drawn: the 150 m an assessment keeps, and its steps of 100 m
CELL_M = 2.0
STEP_M = 0.01  # [m] heights are kept in whole centimetres, which a 16-bit raster holds in little room
ROUGH_M, ROUGH_CELLS = 0.12, 6  # hummocks of so many metres, about so many cells across
NOWHERE = -32768  # no such height


class Drawing:
    """Collects features drawn in metres east and north of a centre.

    lon, lat : of the centre [deg], whole hundredths, so that the drawing lies on the plane the site is measured on
    height : elevation [m] at places on that plane
    """

    def __init__(self, lon: float, lat: float, height: Height) -> None:
        self.plane = Plane(lon, lat)
        self.height = height
        self.features: list[dict[str, Any]] = []

    def point(self, kind: str, key: str, name: str, x: float, y: float, **values: Any) -> None:
        """A point; the elevation of kiln spots and water is read off the invented ground."""
        if kind in ("kiln_spot", "water_source"):
            values.setdefault("elevation_m", round(float(self.height(x, y)), 1))
        self._add(kind, key, name, "Point", self._lonlat(x, y), values)

    def line(self, kind: str, key: str, name: str, corners: Corners, **values: Any) -> None:
        """A line through corners."""
        self._add(kind, key, name, "LineString", [self._lonlat(x, y) for x, y in corners], values)

    def area(self, kind: str, key: str, name: str, corners: Corners, **values: Any) -> None:
        """An area with these corners, counter-clockwise."""
        self._add(kind, key, name, "Polygon", [[self._lonlat(x, y) for x, y in [*corners, corners[0]]]], values)

    def reach(self) -> tuple[float, float, float, float]:
        """Ground the raster covers (min x, min y, max x, max y) [m], in whole cells."""
        shapes = [self.on_plane(each["geometry"]) for each in self.features]
        x0, y0, x1, y1 = (float(end) for end in shapely.total_bounds(shapes))
        low = [math.floor((end - ROUND_IT_M) / CELL_M) * CELL_M for end in (x0, y0)]
        high = [math.ceil((end + ROUND_IT_M) / CELL_M) * CELL_M for end in (x1, y1)]
        return low[0], low[1], high[0], high[1]

    def on_plane(self, geometry: dict[str, Any]) -> Any:
        """A geometry of the file back on the plane [m]."""
        return self.plane.forward(shapely.from_geojson(json.dumps(geometry)))

    def _lonlat(self, x: float, y: float) -> list[float]:
        lon, lat = self.plane.lonlat(x, y)
        return [round(float(lon), 7), round(float(lat), 7)]

    def _add(self, kind: str, key: str, name: str, form: str, places: list[Any], values: dict[str, Any]) -> None:
        properties = {"kind": kind, "name": name, **values}
        geometry = {"type": form, "coordinates": places}
        self.features.append({"type": "Feature", "id": key, "geometry": geometry, "properties": properties})


def oval(x: float, y: float, half_length_m: float, half_width_m: float, corners: int = 12) -> list[tuple[float, float]]:
    """Corners of an ellipse about a place, its length from west to east."""
    turns = [2 * math.pi * number / corners for number in range(corners)]
    return [(x + half_length_m * math.cos(turn), y + half_width_m * math.sin(turn)) for turn in turns]


def rectangle(x: float, y: float, length_m: float, width_m: float) -> list[tuple[float, float]]:
    """Corners of a rectangle about a place, its length from west to east."""
    a, b = length_m / 2, width_m / 2
    return [(x - a, y - b), (x + a, y - b), (x + a, y + b), (x - a, y + b)]


def bench(ground: Any, level_m: float, x: Any, y: Any, at: tuple[float, float], half: tuple[float, float]) -> Any:
    """Ground with a level bench cut and filled into it: flat about `at`, blending out at `half` [m] from it."""
    away = ((x - at[0]) / half[0]) ** 2 + ((y - at[1]) / half[1]) ** 2
    flat = np.exp(-(away**3))
    return ground * (1 - flat) + level_m * flat


def track_cut(
    ground: Any, x: Any, y: Any, stations: Sequence[tuple[float, float, float]], half_width_m: float = 6.0
) -> Any:
    """Ground with a track cut into it along stations (x, y, height) [m], its sides blending out."""
    nearest, level = np.full(np.shape(x), np.inf), np.zeros(np.shape(x))
    for (x0, y0, z0), (x1, y1, z1) in pairwise(stations):
        along = ((x - x0) * (x1 - x0) + (y - y0) * (y1 - y0)) / ((x1 - x0) ** 2 + (y1 - y0) ** 2)
        along = np.clip(along, 0, 1)
        away = np.hypot(x - x0 - along * (x1 - x0), y - y0 - along * (y1 - y0))
        level = np.where(away < nearest, z0 + along * (z1 - z0), level)
        nearest = np.minimum(nearest, away)
    flat = np.exp(-((nearest / half_width_m) ** 4))
    return ground * (1 - flat) + level * flat


def write(folder: Path, key: str, drawing: Drawing, member: dict[str, Any], ban_asked: str) -> None:
    """Write the elevation and the site file of one sample; the same bytes every time.

    member : keys of the `site` member; what is on the map was seen when the site was walked
    ban_asked : the day on which somebody heard that no fire ban is in force, and looked how green it is around
    """
    raster = folder / f"{key}.tif"
    _write_elevation(raster, drawing, seed=key)
    digest = hashlib.sha256(raster.read_bytes()).hexdigest()
    site = {
        "format": 2,
        **member,
        "looked": looked_for_all(member["looked"]),
        "invented": "This site, its people and its figures are invented.",
        "files": {"terrain": {"name": raster.name, "sha256": digest, "unit": "m"}},
    }
    whole = {"type": "FeatureCollection", "site": site, "features": drawing.features}
    known = parse_site(json.dumps(whole))
    known = all_confirmed(known, dt.date.fromisoformat(member["season"]["date_walked"]))
    told = known.with_member("season", known.section("season").values.put(ban="none"))
    known = stamped(known.with_member("season", None), told, dt.date.fromisoformat(ban_asked))
    beside = morning_mark(known, known.section("season").date("date"))
    if beside is not None:  # whoever read the weather had forecast and log before their eyes
        known = known.with_member(MEMBER, {**known.member[MEMBER], SAW: beside})
    text = json.dumps(thaw(site_json(known)), ensure_ascii=False, indent=1)
    (folder / f"{key}.geojson").write_bytes((text + "\n").encode())


def _dry(drawing: Drawing, x: Any, y: Any) -> Any:
    """0 on open water, which has no hummocks, growing to 1 on the ground 10 m from it."""
    water = [each for each in drawing.features if each["properties"]["kind"] == "water_source"]
    ponds = [each["geometry"] for each in water if each["geometry"]["type"] == "Polygon"]
    away = [shapely.distance(drawing.on_plane(pond), shapely.points(x, y)) for pond in ponds]
    return np.clip(np.minimum.reduce(away) / 10, 0, 1) if away else 1.0


def _write_elevation(path: Path, drawing: Drawing, seed: str) -> None:
    import rasterio
    from rasterio.transform import from_origin
    from scipy.ndimage import gaussian_filter

    x0, y0, x1, y1 = drawing.reach()
    columns, rows = round((x1 - x0) / CELL_M), round((y1 - y0) / CELL_M)
    x, y = np.meshgrid(x0 + CELL_M * (np.arange(columns) + 0.5), y1 - CELL_M * (np.arange(rows) + 0.5))
    number = int.from_bytes(hashlib.sha256(seed.encode()).digest()[:4], "big")
    rough = gaussian_filter(np.random.default_rng(number).standard_normal(x.shape), ROUGH_CELLS)
    ground = drawing.height(x, y) + ROUGH_M * rough / rough.std() * _dry(drawing, x, y)
    base = round(float(ground.mean()))
    lon, lat = drawing.plane.lon0, drawing.plane.lat0
    with rasterio.open(
        path,
        "w",
        driver="GTiff",
        width=columns,
        height=rows,
        count=1,
        dtype="int16",
        crs=f"+proj=tmerc +lat_0={lat} +lon_0={lon} +k_0=0.9999994 +datum=WGS84 +units=m +type=crs",
        transform=from_origin(x0, y1, CELL_M, CELL_M),
        nodata=NOWHERE,
        compress="lzw",
        predictor=2,
    ) as out:
        out.write(np.round((ground - base) / STEP_M).astype("int16"), 1)
        out.scales, out.offsets = (STEP_M,), (base,)
