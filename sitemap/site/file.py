"""The site file: GeoJSON (RFC 7946), WGS 84 longitude and latitude, with the facts of the site in one member `site`.

What cannot be read as a site is a fault: every fault found is one sentence of `BadSiteFile`, and nothing is kept.
What can be read but is unfinished or unsound is kept as it is, for `check` to judge.
"""

from __future__ import annotations

import json
import math
from pathlib import Path
from typing import Any

from sitemap.errors import BadSiteFile
from sitemap.site.frozen import FrozenDict, thaw
from sitemap.site.model import FORMAT, Feature, Site

_OURS = ("type", "features", "site", "crs", "bbox")
_GEOMETRIES = (
    "Point",
    "MultiPoint",
    "LineString",
    "MultiLineString",
    "Polygon",
    "MultiPolygon",
    "GeometryCollection",
)
_WGS84 = ("CRS84", "4326")


def read_site(path: str | Path) -> Site:
    """Read a site file.

    Raises
    ------
    BadSiteFile : with one sentence for each fault
    """
    path = Path(path)
    try:
        text = path.read_bytes().decode("utf-8-sig")
    except OSError as error:
        raise BadSiteFile(f"The file {path} cannot be opened: {error.strerror or error}.") from error
    except UnicodeDecodeError as error:
        raise BadSiteFile(f"The file {path.name} is not text in UTF-8: save it as GeoJSON in UTF-8.") from error
    return parse_site(text, path.name)


def parse_site(text: str, name: str = "The site file") -> Site:
    """Read a site from the text of a site file. Raises BadSiteFile with one sentence for each fault."""
    try:
        raw = json.loads(text, parse_constant=_refuse_constant, parse_float=_finite)
    except RecursionError as error:
        raise BadSiteFile(f"{name} is nested too deeply to be a site file.") from error
    except json.JSONDecodeError as error:
        raise BadSiteFile(
            f"{name} is not JSON: {error.msg.lower()} at line {error.lineno}, column {error.colno}."
        ) from error
    except ValueError as error:
        raise BadSiteFile(f"{name}: {error}") from error
    if not isinstance(raw, dict) or raw.get("type") != "FeatureCollection":
        raise BadSiteFile(f"{name} is not a GeoJSON FeatureCollection: save the site as one.")
    faults = list(_faults(raw))
    if faults:
        raise BadSiteFile(faults)
    return _site_of(raw)


def site_text(site: Site) -> str:
    """The site as the text of a site file. Reading it again gives an equal Site."""
    return json.dumps(thaw(site_json(site)), ensure_ascii=False, indent=1, allow_nan=False) + "\n"


def site_json(site: Site) -> dict[str, Any]:
    """The site as plain JSON values."""
    return {
        "type": "FeatureCollection",
        **site.members,
        "site": FrozenDict({"format": FORMAT, **site.member}),
        "features": [feature_json(feature) for feature in site.features],
    }


def feature_json(feature: Feature) -> dict[str, Any]:
    """One feature as a GeoJSON feature."""
    return {
        "type": "Feature",
        "id": feature.id,
        **feature.members,
        "geometry": feature.geometry,
        "properties": feature.values,
    }


def feature_of(raw: dict[str, Any], id: str) -> Feature:  # noqa: A002
    """A feature from a GeoJSON feature."""
    members = {k: v for k, v in raw.items() if k not in ("type", "id", "geometry", "properties")}
    return Feature.of(id, raw.get("geometry"), raw.get("properties"), members)


def _site_of(raw: dict[str, Any]) -> Site:
    ids = {str(f["id"]) for f in raw["features"] if f.get("id") is not None}
    features = []
    for number, entry in enumerate(raw["features"], start=1):
        own = entry.get("id")
        if own is None:
            own = _free_id(entry, number, ids)
            ids.add(own)
        features.append(feature_of(entry, str(own)))
    member = FrozenDict({"format": FORMAT, **(raw.get("site") or {})})
    members = {key: value for key, value in raw.items() if key not in _OURS}
    return Site(tuple(features), _lifted(member), FrozenDict(members))


def _free_id(entry: dict[str, Any], number: int, taken: set[str]) -> str:
    kind = (entry.get("properties") or {}).get("kind") or "feature"
    while f"{kind}-{number}" in taken:
        number += 1
    return f"{kind}-{number}"


def _lifted(member: FrozenDict) -> FrozenDict:
    """Give equipment without an id one, so that it can be referred to."""
    lists = member.get("equipment")
    if not isinstance(lists, FrozenDict):
        return member
    named = {
        kind: tuple(
            item.put(id=f"{kind[:-1]}-{number}") if isinstance(item, FrozenDict) and not item.get("id") else item
            for number, item in enumerate(items, start=1)
        )
        for kind, items in lists.items()
        if isinstance(items, tuple)
    }
    return member.put(equipment=FrozenDict({**lists, **named}))


def _faults(raw: dict[str, Any]) -> Any:
    yield from _crs_fault(raw.get("crs"))
    member = raw.get("site", {})
    if member is not None and not isinstance(member, dict):
        yield "The member site must be an object with the facts of the site."
        member = {}
    version = (member or {}).get("format", FORMAT)
    if isinstance(version, bool) or not isinstance(version, int):
        yield f"The format of the site file must be a whole number; it is {version!r}: write {FORMAT}."
    elif version > FORMAT:
        yield (
            f"The site file has format {version}, newer than this program reads ({FORMAT}): "
            "open it with a newer version of the program."
        )
    features = raw.get("features")
    if not isinstance(features, list):
        yield "The site file has no list of features: write an empty list where there are none."
        return
    seen: set[str] = set()
    for number, entry in enumerate(features, start=1):
        if not isinstance(entry, dict) or entry.get("type") != "Feature":
            yield f"Entry {number} of the features is not a GeoJSON Feature: take it out or mend it."
            continue
        yield from _feature_faults(entry, number, seen)


def _feature_faults(entry: dict[str, Any], number: int, seen: set[str]) -> Any:
    own = entry.get("id")
    properties = entry.get("properties")
    if properties is not None and not isinstance(properties, dict):
        yield f"Feature {number}: properties must be an object or null."
        return
    name = (properties or {}).get("name")
    where = f"Feature {own if own is not None else number}" + (f" ({name})" if isinstance(name, str) else "")
    if own is not None:
        if isinstance(own, bool) or not isinstance(own, str | int | float):
            yield f"{where}: the id must be text or a number."
        elif str(own) in seen:
            yield f"{where}: the id {own!r} stands twice; give each feature an id of its own."
        else:
            seen.add(str(own))
    geometry = entry.get("geometry")
    if geometry is None:
        return
    if not isinstance(geometry, dict) or geometry.get("type") not in _GEOMETRIES:
        yield f"{where}: the geometry is not a GeoJSON geometry; use null for a thing not yet placed."
        return
    yield from _coordinate_faults(geometry, where)


def _coordinate_faults(geometry: dict[str, Any], where: str) -> Any:
    parts = geometry.get("geometries", []) if geometry["type"] == "GeometryCollection" else [geometry]
    for part in parts if isinstance(parts, list) else []:
        for pair in _pairs(part.get("coordinates") if isinstance(part, dict) else None):
            if not all(isinstance(v, int | float) and not isinstance(v, bool) for v in pair):
                yield f"{where}: a coordinate is not a number."
                return
            lon, lat = pair[0], pair[1]
            if abs(lat) > 90 and abs(lon) <= 90 and abs(lat) <= 180:
                yield (
                    f"{where}: latitude {lat:g} is out of range; longitude and latitude look swapped "
                    "(GeoJSON puts longitude first)."
                )
                return
            if abs(lat) > 90 or abs(lon) > 180:
                yield (
                    f"{where}: the position {lon:g}, {lat:g} is out of range; longitude must lie between −180 and "
                    "180 and latitude between −90 and 90 degrees."
                )
                return


def _pairs(coordinates: Any) -> Any:
    if not isinstance(coordinates, list) or not coordinates:
        return
    if isinstance(coordinates[0], list):
        for part in coordinates:
            yield from _pairs(part)
    elif len(coordinates) >= 2:
        yield coordinates


def _crs_fault(crs: Any) -> Any:
    if crs is None:
        return
    name = str((crs.get("properties") or {}).get("name", crs) if isinstance(crs, dict) else crs)
    if not any(name.rstrip("'}").endswith(good) for good in _WGS84):
        yield (
            f"The site file is in the coordinate system {name}; a site file is in WGS 84 longitude and latitude: "
            "convert it first."
        )


def _finite(text: str) -> float:
    value = float(text)
    if math.isinf(value):
        raise ValueError(f"{text} is too large to be a number here; correct it.")
    return value


def _refuse_constant(text: str) -> None:
    raise ValueError(f"{text} is not a number JSON knows; leave the value out or write null where it is not known.")
