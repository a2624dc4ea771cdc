"""Map files for the tests, written by GDAL (through geopandas and pyogrio): what other programs would hand over."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Sequence
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import geopandas
from shapely.geometry import LineString, Point, box

DRIVERS = {".gpkg": "GPKG", ".fgb": "FlatGeobuf", ".kml": "KML", ".geojson": "GeoJSON"}
SHAPES = (
    Point(-121.3, 44.05),
    LineString([(-121.302, 44.049), (-121.299, 44.051)]),
    box(-121.302, 44.049, -121.3, 44.052),
)
SAID = {"name": ["P1", "Skid trail", "Unit 4"], "height_m": [2.5, None, None], "seen": ["Monday", None, None]}
FORMATS = (".gpkg", ".fgb", ".kml", ".geojson", ".zip", ".kmz", ".gpx", ".csv")
_PLAIN = {
    ".gpx": '<gpx version="1.1" xmlns="http://www.topografix.com/GPX/1/1"><wpt lat="44.05" lon="-121.3"><name>P1</name>'
    '</wpt><trk><name>Skid trail</name><trkseg><trkpt lat="44.049" lon="-121.302"/><trkpt lat="44.051" lon="-121.299"/>'
    "</trkseg></trk></gpx>",
    ".csv": "Name;Height;Place\nP1;2,5;44.05, -121.3\nP2;2;bearing 120, 35 m from P1\n",
}


@cache
def map_file(ending: str, system: str = "EPSG:4326", rows: Sequence[int] = (0, 1, 2)) -> bytes:
    """The three things in a format and a coordinate system; a Shapefile holds one kind of shape, so one thing.

    ending : ".zip" for a zipped Shapefile, ".kmz", or a key of DRIVERS; rows : which of the things
    """
    if ending in _PLAIN:
        return _PLAIN[ending].encode()
    shapes = [SHAPES[at] for at in rows]
    said = {key: [values[at] for at in rows] for key, values in SAID.items()}
    frame = geopandas.GeoDataFrame(said, geometry=shapes, crs="EPSG:4326").to_crs(system)
    with TemporaryDirectory() as folder:
        if ending == ".zip":
            frame.iloc[:1].to_file(Path(folder) / "drawn.shp")
            return zipped({path.name: path.read_bytes() for path in sorted(Path(folder).iterdir())})
        if ending == ".kmz":
            return zipped({"doc.kml": map_file(".kml", system, tuple(rows))})
        options: dict[str, Any] = {"layer": "drawn"} if ending == ".gpkg" else {}
        if ending == ".kml":
            frame = frame.rename(columns={"name": "Name"})
        path = Path(folder) / f"drawn{ending}"
        frame.to_file(path, driver=DRIVERS[ending], **options)
        return path.read_bytes()


def shapefile(without: str, system: str = "EPSG:4326") -> bytes:
    """The zipped Shapefile without the parts of some endings."""
    with zipfile.ZipFile(io.BytesIO(map_file(".zip", system))) as whole:
        return zipped({name: whole.read(name) for name in whole.namelist() if name[-4:] not in without.split()})


def zipped(members: dict[str, bytes]) -> bytes:
    """An archive of some files."""
    made = io.BytesIO()
    with zipfile.ZipFile(made, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, data in members.items():
            archive.writestr(name, data)
    return made.getvalue()
