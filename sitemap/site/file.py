"""The site file: GeoJSON (RFC 7946), WGS 84 longitude and latitude, with the facts of the site in one member `site`.

What cannot be read as a site is a fault: every fault found is one sentence of `BadSiteFile`, and nothing is kept.
What can be read but is unfinished or unsound is kept as it is, for `check` to judge.
"""

from __future__ import annotations

import json
import math
import re
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

from sitemap.errors import BadSiteFile
from sitemap.reasons import Reason, Term, reason
from sitemap.site.frozen import FrozenDict, thaw
from sitemap.site.model import FORMAT, Feature, Site
from sitemap.units import SYSTEMS, unit_system

_OURS = ("type", "features", "site")
_GEOMETRIES = (
    "Point",
    "MultiPoint",
    "LineString",
    "MultiLineString",
    "Polygon",
    "MultiPolygon",
    "GeometryCollection",
)
_WGS84 = re.compile(r"(^|\W)(CRS84h?|4326|4979|WGS[ _-]?84)\W*$", re.IGNORECASE)
_UNITS = tuple(f'"site": {{"units": "{system}"}}' for system in SYSTEMS)  # what to write at the top of it
MOST_PARTS = 8_000_000  # lists and objects of a site file: 100,000 heaps with readings have some three million
MOST_FAULTS = 200  # said of one file
LARGEST_BYTES = 150_000_000  # of a site file: 100,000 heaps with readings take 100 MB; more would hold up all others
_DEEPEST = 100  # lists and objects inside one another: far more than any site needs, far less than Python can walk


def read_site(path: str | Path) -> Site:
    """Read a site file.

    Raises
    ------
    BadSiteFile : with one sentence for each fault
    """
    path = Path(path)
    try:
        if path.stat().st_size > LARGEST_BYTES:
            raise BadSiteFile(too_large(path.name, path.stat().st_size))
        text = path.read_bytes().decode("utf-8-sig")
    except OSError as error:
        raise BadSiteFile(cannot_open(path, error)) from error
    except UnicodeDecodeError as error:
        raise BadSiteFile(reason("files.not_utf8", name=path.name)) from error
    return parse_site(text, path.name)


def cannot_open(path: Path, error: OSError) -> Reason:
    """What to say of a file that the disk does not give."""
    return reason("files.cannot_open", path=str(path), why=str(error.strerror or error))


def too_large(name: str, size: int) -> Reason:
    """What to say of a file that is no site file by its size alone [bytes]."""
    return reason("files.site_too_large", name=name, size=f"{size / 1e6:,.0f}", most=LARGEST_BYTES // 1_000_000)


def parse_site(text: str, name: str = "The site file") -> Site:
    """Read a site from the text of a site file. Raises BadSiteFile with one sentence for each fault."""
    if len(text) > LARGEST_BYTES:
        raise BadSiteFile(too_large(name, len(text)))
    parts = text.count("[") + text.count("{")
    if parts > MOST_PARTS:
        raise BadSiteFile(reason("files.too_many_parts", name=name, parts=f"{parts:,}", most=f"{MOST_PARTS:,}"))
    twice: list[Reason] = []

    def members(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
        made = dict(pairs)
        if len(made) < len(pairs):
            names = [key for key, _ in pairs]
            twice.extend(reason("files.name_twice", name=_sound(key)) for key in made if names.count(key) > 1)
        return made

    try:
        raw = json.loads(text, parse_int=_whole, object_pairs_hook=members)
    except RecursionError as error:
        raise BadSiteFile(reason("files.too_deep", name=name)) from error
    except json.JSONDecodeError as error:
        if not text.strip():
            raise BadSiteFile(reason("files.no_json_empty", name=name)) from error
        said = error.msg.lower().removesuffix(" at")
        raise BadSiteFile(
            reason("files.no_json", name=name, why=said, line=error.lineno, column=error.colno)
        ) from error
    if not isinstance(raw, dict) or raw.get("type") != "FeatureCollection":
        raise BadSiteFile(reason("files.no_collection", name=name))
    faults = [*twice, *_unreadable(raw)]
    if not any(fault is _TOO_DEEP for fault in faults):
        faults += _faults(raw)
    if len(faults) > MOST_FAULTS:
        faults[MOST_FAULTS:] = [reason("files.more_faults", count=f"{len(faults) - MOST_FAULTS:,}")]
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
        "site": _member_json(site),
        "features": [feature_json(feature) for feature in site.features],
    }


def _member_json(site: Site) -> FrozenDict:
    """The `site` member; a site that never said its units says what is shown, so that the file can be read again."""
    said = site.member if unit_system(site.member.get("units")) else site.member.put(units=site.units)
    return FrozenDict({"format": FORMAT, **said})


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
    ids = {str(entry["id"]) for entry in raw["features"] if _has_id(entry)}
    features = []
    for number, entry in enumerate(raw["features"], start=1):
        own = str(entry["id"]) if _has_id(entry) else _free_id(_kind_of(entry), number, ids)
        ids.add(own)
        features.append(feature_of(entry, own))
    member = FrozenDict({"format": FORMAT, **raw["site"]}).put(format=FORMAT)  # an older format is lifted
    members = {key: value for key, value in raw.items() if key not in _OURS}
    return Site(tuple(features), _lifted(member), FrozenDict(members))


def _has_id(entry: Mapping[str, Any]) -> bool:
    return entry.get("id") not in (None, "")


def _kind_of(entry: dict[str, Any]) -> str:
    kind = (entry.get("properties") or {}).get("kind")
    return kind if isinstance(kind, str) and kind else "feature"


def _free_id(kind: str, number: int, taken: set[str]) -> str:
    while f"{kind}-{number}" in taken:
        number += 1
    return f"{kind}-{number}"


def _lifted(member: FrozenDict) -> FrozenDict:
    """Give equipment without an id one, so that it can be referred to."""
    lists = member.get("equipment")
    if not isinstance(lists, FrozenDict):
        return member
    named = {kind: _named(kind, items) for kind, items in lists.items() if isinstance(items, tuple)}
    return member.put(equipment=FrozenDict({**lists, **named}))


def _named(kind: str, items: tuple[Any, ...]) -> tuple[Any, ...]:
    taken = {str(item["id"]) for item in items if isinstance(item, FrozenDict) and _has_id(item)}
    named = []
    for number, item in enumerate(items, start=1):
        if isinstance(item, FrozenDict) and not _has_id(item):
            item = item.put(id=_free_id(kind.removesuffix("s"), number, taken))
            taken.add(item["id"])
        named.append(item)
    return tuple(named)


_TOO_DEEP = reason("files.deep_part", most=_DEEPEST)


def _whole(text: str) -> int | float:
    """A whole number, or infinity where it is too large for a float, to be refused with its place."""
    return int(text) if math.isfinite(number := float(text)) else number


def _unreadable(raw: dict[str, Any]) -> Iterator[Reason]:
    """Values JSON or UTF-8 cannot hold, wherever they stand."""
    waiting: list[tuple[tuple[str | int, ...], Any]] = [((), raw)]
    while waiting:
        path, value = waiting.pop()
        if isinstance(value, float):
            if not math.isfinite(value):
                yield reason("files.nan" if math.isnan(value) else "files.infinite", where=_way(path))
        elif isinstance(value, str):
            if not _is_text(value):
                yield reason("files.half_a_character", where=_way(path))
        elif isinstance(value, dict | list):
            if len(path) >= _DEEPEST:
                yield _TOO_DEEP
                return
            steps = value.items() if isinstance(value, dict) else enumerate(value, start=1)
            inner = [((*path, step), item) for step, item in steps if not _is_sound(item)]
            if isinstance(value, dict) and not all(map(_is_text, value)):
                yield reason("files.half_a_character_in_a_name", where=_way(path) or Term("The site file"))
            waiting += reversed(inner)


def _is_sound(value: Any) -> bool:
    """A single value that can be kept: asked of every value of a site, so without a way to it."""
    if isinstance(value, str):
        return _is_text(value)
    if isinstance(value, float):
        return math.isfinite(value)
    return value is None or isinstance(value, int)


def _way(path: tuple[str | int, ...]) -> str:
    return _sound(" → ".join(str(step) for step in path))


def _sound(text: str) -> str:
    """A text that can be shown, also where it holds half a character."""
    return text.encode("utf-8", "replace").decode()


def _is_text(text: str) -> bool:
    return text.isascii() or not any("\ud800" <= character <= "\udfff" for character in text)


def _faults(raw: dict[str, Any]) -> Iterator[Reason]:
    yield from _crs_fault(raw.get("crs"))
    yield from _member_faults(raw.get("site"))
    features = raw.get("features")
    if not isinstance(features, list):
        yield reason("files.no_features")
        return
    seen: set[str] = set()
    for number, entry in enumerate(features, start=1):
        if not isinstance(entry, dict) or entry.get("type") != "Feature":
            yield reason("files.no_feature", number=number)
            continue
        yield from _feature_faults(entry, number, seen)


def _member_faults(member: Any) -> Iterator[Reason]:
    if member is None:
        yield reason("files.no_member", units=_UNITS)
        return
    if not isinstance(member, dict):
        yield reason("files.member_no_object", units=_UNITS)
        return
    version = member.get("format")
    if version is not None and (isinstance(version, bool) or not isinstance(version, int)):
        yield reason("files.format_no_number", shown=repr(version), format=FORMAT)
    elif version is not None and version > FORMAT:
        yield reason("files.format_newer", version=version, format=FORMAT)
        return  # how a newer one says its units is not ours to know
    units = member.get("units")
    if unit_system(units) is None:
        if units is None:
            yield reason("files.no_units", units=_UNITS)
        else:
            yield reason("files.strange_units", shown=repr(units), units=_UNITS)


def _feature_faults(entry: dict[str, Any], number: int, seen: set[str]) -> Iterator[Reason]:
    own = entry.get("id")
    properties = entry.get("properties")
    name = properties.get("name") if isinstance(properties, dict) else None
    label = str(own if _has_id(entry) else number) + (f" ({name})" if isinstance(name, str) else "")
    where = reason("files.feature", label=_sound(label))
    if properties is not None and not isinstance(properties, dict):
        yield reason("files.properties", where=where)
    if _has_id(entry):
        if isinstance(own, bool) or not isinstance(own, str | int | float):
            yield reason("files.id_no_text", where=where)
        elif str(own) in seen:
            yield reason("files.id_twice", where=where, shown=repr(own))
        else:
            seen.add(str(own))
    geometry = entry.get("geometry")
    if geometry is None:
        return
    if not isinstance(geometry, dict) or geometry.get("type") not in _GEOMETRIES:
        yield reason("files.no_geometry", where=where)
        return
    yield from _coordinate_faults(geometry, where)


def _coordinate_faults(geometry: dict[str, Any], where: Reason) -> Iterator[Reason]:
    for part in _parts(geometry):
        for pair in _pairs(part.get("coordinates")):
            if not all(isinstance(v, int | float) and not isinstance(v, bool) for v in pair):
                yield reason("files.coordinate_no_number", where=where)
                return
            lon, lat = pair[0], pair[1]
            if not math.isfinite(lon + lat):
                continue  # said already, with its place in the file
            if abs(lat) > 90 and abs(lon) <= 90 and abs(lat) <= 180:
                yield reason("files.swapped", where=where, lat=f"{lat:g}")
                return
            if abs(lat) > 90 or abs(lon) > 180:
                yield reason("files.out_of_range", where=where, lon=f"{lon:g}", lat=f"{lat:g}")
                return


def _parts(geometry: Any) -> Iterator[dict[str, Any]]:
    if not isinstance(geometry, dict):
        return
    if geometry.get("type") != "GeometryCollection":
        yield geometry
    elif isinstance(geometry.get("geometries"), list):
        for part in geometry["geometries"]:
            yield from _parts(part)


def _pairs(coordinates: Any) -> Any:
    if not isinstance(coordinates, list) or not coordinates:
        return
    if isinstance(coordinates[0], list):
        for part in coordinates:
            yield from _pairs(part)
    elif len(coordinates) >= 2:
        yield coordinates


def _crs_fault(crs: Any) -> Iterator[Reason]:
    if crs is None:
        return
    properties = crs.get("properties") if isinstance(crs, dict) else None
    name = str(properties.get("name", crs) if isinstance(properties, dict) else crs)
    if not _WGS84.search(name):
        yield reason("files.not_wgs84", system=_sound(name))
