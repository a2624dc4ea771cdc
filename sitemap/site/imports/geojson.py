"""What another map program wrote as GeoJSON (RFC 7946), as things that may be kept.

Places are in WGS 84, or in the coordinate system the file names (a member `crs`, as GeoJSON had it before RFC 7946).
"""

from __future__ import annotations

import json
import math
from collections.abc import Iterator
from dataclasses import replace
from typing import Any

import shapely
from shapely.geometry import mapping
from shapely.geometry import shape as shapely_shape

from sitemap.errors import BadFile
from sitemap.geodesy.systems import carried, in_degrees
from sitemap.reasons import reason
from sitemap.site.grid import CellNote
from sitemap.site.imports.brought import Brought
from sitemap.site.imports.gridded import system_named
from sitemap.site.imports.rows import Row, asked, datum_note, fault_of, no_degrees, parts_of, things_of
from sitemap.site.model import Site

_SHAPES = ("Point", "LineString", "Polygon", "MultiPoint", "MultiLineString", "MultiPolygon", "GeometryCollection")
MOST_FEATURES = 2000


def read_geojson(
    name: str, text: str, site: Site, kind: str | None = None, unit: str | None = None, system: str | None = None
) -> Brought:
    """Everything of a GeoJSON text that has a shape: points, lines, outlines; kind and unit as `things_of` has them.

    Also a list of features, or one in each line (RFC 8142).
    system : of numbers that are no degrees where the file names none

    Raises BadFile for what is no GeoJSON, holds too much, or nothing with a shape.
    """
    raw = _loaded(name, text)
    whole = raw if isinstance(raw, dict) else {}
    features = whole.get("features") if whole.get("type") == "FeatureCollection" else raw if raw != whole else [raw]
    if not isinstance(features, list) or not all(isinstance(each, dict) and "type" in each for each in features):
        raise BadFile(reason("files.no_geojson", name=name))
    if len(features) > MOST_FEATURES:
        raise BadFile(reason("files.too_many_features", most=MOST_FEATURES, count=len(features), name=name))
    layer = whole.get("name")
    rows = [
        _row(number, feature, layer if isinstance(layer, str) else "") for number, feature in enumerate(features, 1)
    ]
    said = _system(whole.get("crs"))
    notes: tuple[CellNote, ...] = ()
    asks = False
    if not said and no_degrees(shape for row in rows for shape in _usable(row.geometry)):
        said = (system_named(system) if system else None) or ""
        asks = not said
        notes = (asked(system),) if asks else ()
    if said and not in_degrees(said):
        rows, notes = _in_degrees(rows, said)
    brought = things_of(name, rows, site, kind, unit)
    return replace(brought, notes=(*notes, *brought.notes), asks_system=asks)


def is_foreign(text: str) -> bool:
    """Is it GeoJSON of another program, without the facts that make it a site of ours?"""
    try:
        raw = json.loads(text)
    except (ValueError, RecursionError):
        return False
    return isinstance(raw, dict) and raw.get("type") in {"FeatureCollection", "Feature", *_SHAPES} and "site" not in raw


def _loaded(name: str, text: str) -> Any:
    """The JSON of a text, or the list of what stands in its lines. Raises BadFile."""
    try:
        return json.loads(text)
    except (json.JSONDecodeError, RecursionError) as error:
        try:
            return [json.loads(line) for each in text.splitlines() if (line := each.strip("\x1e \t"))]
        except (json.JSONDecodeError, RecursionError):
            raise BadFile(reason("files.cut_short", name=name)) from error


def _row(number: int, feature: dict[str, Any], layer: str) -> Row:
    if feature["type"] != "Feature":
        return Row(number, {}, feature, layer=layer)
    said, own = feature.get("properties"), feature.get("id")
    known = str(own) if isinstance(own, str | int) and own != "" else ""
    return Row(number, said if isinstance(said, dict) else {}, feature.get("geometry"), known, layer)


def _system(crs: Any) -> str:
    """The coordinate system a file names, or nothing."""
    if crs is None:
        return ""
    properties = crs.get("properties") if isinstance(crs, dict) else None
    named = properties.get("name") if isinstance(properties, dict) else None
    if not isinstance(named, str) or not named:
        raise BadFile(reason("files.system_unreadable"))
    return named


def _in_degrees(rows: list[Row], said: str) -> tuple[list[Row], tuple[CellNote, ...]]:
    """The rows carried to WGS 84 from the system the file names, part by part, and what is to be said of it."""
    whole = [tuple(_usable(row.geometry)) for row in rows]
    made = carried([shape for shapes in whole for shape in shapes], said)
    ready = iter(made.shapes)
    rows = [
        replace(row, geometry=_together([next(ready) for _ in shapes]), off_m=made.off_m)
        for row, shapes in zip(rows, whole, strict=True)
    ]
    return rows, (datum_note(made.system, made.off_m),) if made.off_m or math.isnan(made.off_m) else ()


def _usable(geometry: Any) -> Iterator[shapely.Geometry | None]:
    for part in parts_of(geometry):
        fault = fault_of(part)
        yield (
            shapely_shape(part)
            if fault is None or fault.code in ("site.beyond_degrees", "site.turned_degrees")
            else None
        )


def _together(shapes: list[Any]) -> dict[str, Any]:
    parts = [{"type": "Point", "coordinates": None} if each is None else mapping(each) for each in shapes]
    return {"type": "GeometryCollection", "geometries": parts}
