"""What another map program wrote as GeoJSON (RFC 7946), as things that may be kept.

Properties named like an attribute of the kind are taken for it; what else is said goes into the note. A shape of
several parts becomes several things. Heights are not taken.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from typing import Any

from sitemap.errors import BadFile
from sitemap.reasons import reason
from sitemap.site.frozen import FrozenDict
from sitemap.site.grid import NAME, PLACE, CellNote
from sitemap.site.imports.brought import Brought, Candidate, kinds_for
from sitemap.site.imports.guess import kind_of, source_of
from sitemap.site.kinds import AREA, KINDS, LINE, POINT
from sitemap.site.model import Feature

MOST_FEATURES = 2000
_NAMES = ("name", "label", "title", "no", "nr", "number", "id")
_BY_SHAPE = {
    POINT: ("pile", "nothing in its name: taken as a pile"),
    LINE: ("track", "a line"),
    AREA: ("logged_area", "an outline"),
}
_DEPTHS = {POINT: 0, LINE: 1, AREA: 2}


def read_geojson(name: str, text: str) -> Brought:
    """Everything of a GeoJSON text that has a shape: points, lines, outlines.

    Raises BadFile for what is no GeoJSON, holds too much, or nothing with a shape.
    """
    try:
        raw = json.loads(text)
    except (json.JSONDecodeError, RecursionError) as error:
        raise BadFile(f"{name} is damaged: it does not end where it should. Export it again as GeoJSON.") from error
    features = raw.get("features") if isinstance(raw, dict) and raw.get("type") == "FeatureCollection" else [raw]
    if not isinstance(features, list) or not all(isinstance(each, dict) and "type" in each for each in features):
        raise BadFile(f"{name} is no GeoJSON. Export what you drew as GeoJSON in WGS 84.")
    if len(features) > MOST_FEATURES:
        raise BadFile(
            f"{name} must not hold more than {MOST_FEATURES} things; it holds {len(features)}. Take those of this site."
        )
    made: list[Candidate] = []
    notes: list[CellNote] = []
    for row, feature in enumerate(features, 1):
        found = feature.get("properties") if feature["type"] == "Feature" else {}
        said = found if isinstance(found, dict) else {}
        geometry = feature.get("geometry") if feature["type"] == "Feature" else feature
        for shape in _parts(geometry):
            if _on_earth(shape["coordinates"], _DEPTHS[shape["type"]]):
                made.append(_candidate(row, said, shape))
            else:
                why = reason("site.not_in_degrees", name=_name(said) or str(row))
                notes.append(CellNote(row, PLACE, _name(said), "bad_place", why))
    if not made and not notes:
        raise BadFile(f"{name} holds no point, line or outline. Choose the file with what you drew.")
    return Brought(name, tuple(made), tuple(notes))


def is_foreign(text: str) -> bool:
    """Is it GeoJSON of another program, without the facts that make it a site of ours?"""
    try:
        raw = json.loads(text)
    except (json.JSONDecodeError, RecursionError):
        return False
    return isinstance(raw, dict) and raw.get("type") in {"FeatureCollection", "Feature", *_DEPTHS} and "site" not in raw


def _parts(geometry: Any) -> Iterator[dict[str, Any]]:
    if not isinstance(geometry, dict):
        return
    kind = str(geometry.get("type"))
    if kind == "GeometryCollection":
        for part in geometry.get("geometries") or ():
            yield from _parts(part)
    elif kind.startswith("Multi") and isinstance(geometry.get("coordinates"), list):
        for part in geometry["coordinates"]:
            yield from _parts({"type": kind.removeprefix("Multi"), "coordinates": part})
    elif kind in _DEPTHS:
        yield {"type": kind, "coordinates": _flat(geometry.get("coordinates"), _DEPTHS[kind])}


def _flat(coordinates: Any, depth: int) -> Any:
    """Coordinates without heights; None where they are no coordinates of that depth."""
    if not isinstance(coordinates, list) or not coordinates:
        return None
    return coordinates[:2] if depth == 0 else [_flat(each, depth - 1) for each in coordinates]


def _on_earth(coordinates: Any, depth: int) -> bool:
    if not isinstance(coordinates, list):
        return False
    if depth:
        return len(coordinates) > (depth == 1) and all(_on_earth(each, depth - 1) for each in coordinates)
    numbers = [each for each in coordinates if isinstance(each, int | float) and not isinstance(each, bool)]
    return len(numbers) == 2 == len(coordinates) and abs(numbers[0]) <= 180 and abs(numbers[1]) <= 90


def _name(said: dict[str, Any]) -> str:
    by_word = {str(key).casefold(): value for key, value in reversed(said.items())}
    return next((str(by_word[word]) for word in _NAMES if by_word.get(word) not in (None, "")), "")


def _candidate(row: int, said: dict[str, Any], shape: dict[str, Any]) -> Candidate:
    name, fits = _name(said), kinds_for(shape["type"])
    guess = (str(said["kind"]), "the property kind") if said.get("kind") in KINDS else kind_of(name)
    if guess is None or guess[0] not in fits:
        guess = _BY_SHAPE[shape["type"]]
    kind, why = guess
    known = {a.name for a in KINDS[kind].attributes}
    own = {key: value for key, value in said.items() if key in known or key.endswith(("_low", "_high", "_basis"))}
    other = [f"{key}: {value}" for key, value in said.items() if _worth(key, value, name) and key not in own]
    values: dict[str, Any] = {"kind": kind, NAME: name or None, **own}
    if other:
        values["note"] = "; ".join([*([str(own["note"])] if own.get("note") else []), *other])
    if kind == "water_source" and not own.get("source"):
        values["source"] = source_of(name)
    kept = {key: value for key, value in values.items() if value is not None}
    return Candidate(row, Feature.of("", shape, FrozenDict(kept)), fits, why)


def _worth(key: str, value: Any, name: str) -> bool:
    return key != "kind" and isinstance(value, str | int | float) and str(value) not in ("", name)
