"""Files of map programs that GDAL reads: GeoPackage, Shapefile, FlatGeobuf, KML; any coordinate system.

Nothing is fetched: links in a KML stay links. What is read is bounded before it is read.
"""

from __future__ import annotations

import math
import tempfile
import warnings
from collections.abc import Iterator, Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
import shapely
from shapely.geometry import mapping
from shapely.geometry.base import BaseGeometry

from sitemap.errors import BadFile
from sitemap.geodesy.systems import carried
from sitemap.reasons import reason
from sitemap.site.grid import CellNote
from sitemap.site.imports.brought import Brought
from sitemap.site.imports.gridded import system_named
from sitemap.site.imports.rows import MOST_THINGS, Row, asked, datum_note, no_degrees, things_of
from sitemap.site.model import Site

MOST_LAYERS = 50
MOST_CORNERS = 2_000_000  # of all shapes together; a site is drawn with some thousand
_MOST_SAID = 3  # warnings of the reader that are passed on
_KML_USUAL = ("timestamp", "begin", "end", "altitudeMode", "tessellate", "extrude", "visibility", "drawOrder", "icon")
_IDS = ("fid", "globalid", "uuid", "objectid", "osm_id", "gid")
_WGS84 = "OGC:CRS84"


def read_layers(
    name: str,
    files: Mapping[str, bytes],
    site: Site,
    kind: str | None = None,
    unit: str | None = None,
    system: str | None = None,
) -> Brought:
    """Everything of a map file that has a shape, of all its layers; kind and unit as `things_of` has them.

    name : of the file, for sentences
    files : ending → content: one file, or the parts of one Shapefile (".shp", ".dbf", …), whose index is made anew
        where it lacks
    system : of numbers that are no degrees where the file names none

    Raises BadFile for what cannot be read, holds too much, or nothing with a shape.
    """
    import pyogrio

    with tempfile.TemporaryDirectory() as folder:
        main = Path(folder) / f"{_stem(name)}{next(iter(files))}"
        for ending, content in {**_letters(files), **files}.items():
            main.with_suffix(ending).write_bytes(content)
        try:
            pyogrio.set_gdal_config_options({"SHAPE_RESTORE_SHX": ".shp" in files and ".shx" not in files})
            rows, notes = rows_of(name, str(main), system=system)
        except BadFile:
            raise
        except Exception as error:  # what the reader raises names the place of our copy
            said = str(error).splitlines()[0].replace(str(main.parent / "x")[:-1], "")[:120]
            raise BadFile(reason("files.layers_unreadable", why=said, name=name)) from error
    brought = things_of(name, rows, site, kind, unit)
    if ".shp" in files and ".dbf" not in files:
        notes = (CellNote(0, "", "", "no_dbf", reason("site.shapes_alone")), *notes)
    return replace(brought, notes=(*notes, *brought.notes), asks_system=any(each.what == "asks" for each in notes))


def _letters(files: Mapping[str, bytes]) -> dict[str, bytes]:
    """The part of a Shapefile that says which letters its table is in, where it lacks: the reader would take them for
    old Western ones, and today's programs write UTF-8."""
    table = files.get(".dbf", b"")
    try:
        table[int.from_bytes(table[8:10], "little") :].rstrip(b"\x1a").decode("utf-8")
    except UnicodeDecodeError:
        return {}
    return {".cpg": b"UTF-8"} if table and ".cpg" not in files else {}


def rows_of(
    name: str,
    source: str,
    around: tuple[float, float, float, float] | None = None,
    most: int = MOST_THINGS,
    system: str | None = None,
) -> tuple[list[Row], tuple[CellNote, ...]]:
    """The features of all layers of a source GDAL can open, and what is to be said of them as a whole.

    around : west, south, east, north [deg]: only what touches this is read
    most : features at most; system : as `read_layers` has it

    Raises BadFile.
    """
    import pyogrio

    rows: list[Row] = []
    notes: list[CellNote] = []
    with warnings.catch_warnings(record=True) as said:
        warnings.simplefilter("always")
        layers = [str(layer) for layer, shape in pyogrio.list_layers(source) if shape is not None]
        if not layers:
            raise BadFile(reason("files.no_layer", name=name))
        if len(layers) > MOST_LAYERS:
            raise BadFile(reason("files.too_many_layers", most=MOST_LAYERS, count=len(layers), name=name))
        for layer in layers:
            more, datum = _layer(name, source, layer, around, most - len(rows), system)
            rows += [replace(row, number=row.number + len(rows)) for row in more]
            notes += [note for note in datum if note.text not in {each.text for each in notes}]
    told = dict.fromkeys(str(each.message).splitlines()[0][:160] for each in said if str(each.message))
    notes += [CellNote(0, "", "", "reader", reason("site.reader_says", text=text)) for text in [*told][:_MOST_SAID]]
    return rows, tuple(notes)


def _layer(
    name: str,
    source: str,
    layer: str,
    around: tuple[float, float, float, float] | None,
    most: int,
    system: str | None,
) -> tuple[list[Row], tuple[CellNote, ...]]:
    from pyogrio import raw

    info = _info(source, layer)
    mask = None if around is None else _bounds_in(around, info["crs"])
    meta, fids, shapes, columns = raw.read(
        source, layer=layer, bbox=mask, return_fids=True, datetime_as_string=True, max_features=most + 1
    )
    if shapes is None:
        return [], ()
    if len(shapes) > most:
        raise BadFile(reason("files.too_many", most=MOST_THINGS, name=name))
    kml = "KML" in info["driver"]
    flat = [None if kml and _is_nowhere(shape) else shape for shape in map(_shape, shapes)]
    if int(shapely.get_num_coordinates(np.array(flat, dtype=object)).sum()) > MOST_CORNERS:
        raise BadFile(reason("files.too_many_corners", most=f"{MOST_CORNERS:,}", name=name))
    lacks = not meta["crs"] and no_degrees(flat)
    named = system_named(system) if lacks and system else None
    made = carried(flat, str(meta["crs"] or named or _WGS84))
    # The numbers of a GeoPackage stay with their features; elsewhere they count the rows, which is better than a print
    # of the shape only where that is cut at the surroundings of the site, which move.
    kept = info["driver"] == "GPKG"
    rows = []
    for at, said in enumerate(_records(list(meta["fields"]), columns, len(flat))):
        picture = bool(said.pop("icon", None)) and info["driver"].endswith("KML") and _is_frame(flat[at])
        own = str(said.pop("id") or "") if kml else _own_id(said)
        own = str(fids[at]) if kept or (around is not None and not own) else own
        if kml:
            said = {key: value for key, value in said.items() if key not in _KML_USUAL}
        shape = None if picture else made.shapes[at]
        geometry = None if shape is None else mapping(shape)
        fault = reason("site.a_picture") if picture else None if flat[at] is None else reason("site.no_place_there")
        rows.append(Row(at + 1, said, geometry, own, layer, made.off_m, None if shape is not None else fault))
    lost = info["features"] - len(shapes) if around is None else 0
    cut = (CellNote(0, "", "", "cut", reason("site.rows_lost", layer=layer, count=lost)),) if lost > 0 else ()
    silent = () if meta["crs"] or lacks else (CellNote(0, "", "", "no_system", reason("site.no_system")),)
    silent = (asked(system),) if lacks and named is None else silent
    off = (datum_note(made.system, made.off_m),) if made.off_m or math.isnan(made.off_m) else ()
    return rows, (*cut, *silent, *off)


def _own_id(said: Mapping[str, Any]) -> str:
    """The number or name a row has in its table; empty where it has none."""
    by_word = {key.casefold(): value for key, value in said.items()}
    return next((str(by_word[word]) for word in _IDS if by_word.get(word) not in (None, "")), "")


def _info(source: str, layer: str) -> dict[str, Any]:
    import pyogrio

    found = pyogrio.read_info(source, layer=layer)
    return {"driver": str(found["driver"]), "crs": found["crs"], "features": int(found["features"])}


def _bounds_in(around: tuple[float, float, float, float], said: Any) -> tuple[float, float, float, float]:
    """A box of longitude and latitude as a box of another system that holds it whole."""
    import pyproj

    carry = pyproj.Transformer.from_crs(_WGS84, str(said or _WGS84), always_xy=True)
    west, south, east, north = carry.transform_bounds(*around)
    return float(west), float(south), float(east), float(north)


def _shape(stored: bytes | None) -> BaseGeometry | None:
    if stored is None:
        return None
    made = shapely.from_wkb(stored, on_invalid="ignore")
    return None if made is None or made.is_empty else made


def _is_nowhere(shape: BaseGeometry | None) -> bool:
    """Whether a point is what the reader of KML makes of coordinates that are not there: 0, 0."""
    return isinstance(shape, shapely.Point) and (shape.x, shape.y) == (0.0, 0.0)


def _is_frame(shape: BaseGeometry | None) -> bool:
    return shape is not None and shape.geom_type == "Polygon"


def _records(fields: list[Any], columns: list[Any], count: int) -> Iterator[dict[str, Any]]:
    listed = [column.tolist() for column in columns]
    for at in range(count):
        yield {str(key): _value(column[at]) for key, column in zip(fields, listed, strict=True)}


def _value(value: Any) -> Any:
    """A value as JSON has it; None where nothing was said."""
    if isinstance(value, float):
        return None if math.isnan(value) else int(value) if value.is_integer() and abs(value) < 1e15 else value
    if isinstance(value, bytes | bytearray | memoryview):
        return None
    return value if isinstance(value, str | int | bool | list | dict | None) else str(value)


def _stem(name: str) -> str:
    plain = "".join(each if each.isalnum() or each in " -_" else "_" for each in Path(name).stem)
    return plain[:60] or "layer"
