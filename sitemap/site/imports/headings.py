"""What stands over a column: the attribute meant, and the unit of its numbers."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache, lru_cache
from importlib.resources import files
from types import MappingProxyType

from sitemap.site.cells import STORED, is_unit
from sitemap.site.grid import NAME, PLACE, typable
from sitemap.site.kinds import KINDS
from sitemap.telling import LANGUAGES
from sitemap.telling import word as translated

KIND, LAT, LON, BEARING, PACES, DISTANCE, FROM = "kind", "lat", "lon", "bearing", "paces", "distance", "from"
TURNED = "longitude first"  # of a place in one cell
_AXES = {"x": LON, "y": LAT}
_WORD = re.compile(r"[^\W\d_]+")
_BESIDE = frozenset(
    (
        "and",
        "und",
        "et",
        "gps",
        "wgs",
        "coordinates",
        "coords",
        "koordinaten",
        "coordenadas",
        "position",
        "place",
        "deg",
    )
)
_DATUMS = ("wgs84", "wgs 84", "wgs-84", "gps")
# Words beside the attribute's own name and label; common headings of people's own sheets (C).
_OTHER_WORDS: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {
        NAME: (
            *("number or name", "number", "no", "nr", "#", "id", "name", "label", "point", "heap", "pile"),
            *(f"{what} {said}" for what in ("heap", "pile") for said in ("no", "nr", "#", "id", "number", "name")),
        ),
        PLACE: (
            "place",
            "position",
            "coordinates",
            "coords",
            "location",
            "gps",
            "utm",
            "mgrs",
            "grid reference",
            "latlon",
        ),
        KIND: ("kind", "type"),
        LAT: ("lat", "latitude", "lat dd", "latitude dd", "gps latitude", "decimal latitude"),
        LON: (
            "lon",
            "long",
            "lng",
            "longitude",
            "lon dd",
            "long dd",
            "longitude dd",
            "gps longitude",
            "decimal longitude",
        ),
        BEARING: ("bearing", "azimuth", "brg"),
        PACES: ("paces", "steps"),
        DISTANCE: ("distance", "dist"),
        FROM: ("from", "measured from"),
        "note": ("note", "notes", "remark", "remarks", "comment", "comments", "description"),
        "packing": ("fullness", "look", "packing", "wood share"),
        "soil": ("earth", "dirt", "soil"),
        "wood": ("species", "wood", "timber"),
        "thickest_cm": ("thickest", "thickest piece", "largest piece", "max diameter"),
        "shape": ("shape", "form"),
        "length_m": ("len",),
        "width_m": ("wid",),
        "height_m": ("ht", "hgt"),
    }
)
_WITH_UNIT: Mapping[str, str] = MappingProxyType(
    {"l": "length_m", "w": "width_m", "h": "height_m"}
)  # alone they may be litres or west
DOUBLE: Mapping[str, str] = MappingProxyType({"breite": LAT, "länge": LON, "laenge": LON})  # a size too, in German
_LENGTH = "length_m"
_BRACKETS = re.compile(r"(.*?)\s*[(\[]([^)\]]*)[)\]]\s*")


@dataclass(frozen=True)
class Column:
    """One column of a table: what it holds, and the unit of a number that says none ("" for that of the site)."""

    key: str
    unit: str = ""


def column_of(heading: str, kind: str) -> Column | None:
    """The column a heading means in a table of one kind, or None.

    >>> column_of("Length (ft)", "pile"), column_of("height_m", "pile"), column_of("Colour", "pile")
    (Column(key='length_m', unit='ft'), Column(key='height_m', unit='stored'), None)
    >>> column_of("Lat/Lon", "pile"), column_of("Position (lon, lat)", "pile")
    (Column(key='place', unit=''), Column(key='place', unit='longitude first'))
    """
    said = heading.strip()
    named = KINDS[kind].attribute(said)
    if named is not None and typable(named):
        return Column(said, STORED)
    bracketed = _BRACKETS.fullmatch(said)
    base, unit = (bracketed[1], bracketed[2].strip()) if bracketed else (said, "")
    return _found(said, "", kind) or _found(base, unit, kind) or _found(*_unit_last(base), kind) or _pair(said)


def _unit_last(base: str) -> tuple[str, str]:
    first, _, last = _tidy(base.replace(",", " ")).rpartition(" ")
    return first.removesuffix(" in"), last


def _pair(said: str) -> Column | None:
    """The column of a heading that says both latitude and longitude, or longitude and latitude: the order counts."""
    words = [word for word in _WORD.findall(said.casefold().replace("_", " ")) if word not in _BESIDE]
    if len(words) == 3 and words[1] in ("y", "e"):  # and, in Spanish and Portuguese
        del words[1]
    known = _words("pile")
    axes = [_AXES.get(word) or known.get(word) for word in words]
    return Column(PLACE) if axes == [LAT, LON] else Column(PLACE, TURNED) if axes == [LON, LAT] else None


def _found(base: str, unit: str, kind: str) -> Column | None:
    said = _tidy(base)
    key = _words(kind).get(said) or (_WITH_UNIT.get(said) if unit else None)
    if key == PLACE and unit.casefold() in _DATUMS:
        unit = ""
    if key is None or (said in _WITH_UNIT and not is_unit(unit, "m")):
        return None
    if key == LON and unit and is_unit(unit, "m"):  # Spanish has one word for both, and no longitude is in metres
        key = _LENGTH
    attribute = KINDS[kind].attribute(key)
    stored = attribute.unit if attribute is not None else "m" if key == DISTANCE else ""
    if not unit or (key in (BEARING, LAT, LON) and is_unit(unit, "deg")):
        return Column(key)
    return Column(key, unit) if stored and is_unit(unit, stored) else None


@lru_cache(maxsize=64)
def _words(kind: str) -> Mapping[str, str]:
    """Every word over a column of a kind → its key: what the schema says first, then our own words, then those of other
    languages, labels as the papers have them before words of people's own sheets."""
    words: dict[str, str] = {}
    for attribute in filter(typable, KINDS[kind].attributes):
        for word in (attribute.name, attribute.name.removesuffix(f"_{attribute.unit}"), attribute.label):
            words.setdefault(_tidy(word), attribute.name)
    own = (NAME, PLACE, KIND, LAT, LON, BEARING, PACES, DISTANCE, FROM)
    for key, others in _OTHER_WORDS.items():
        if key in own or KINDS[kind].attribute(key) is not None:
            for other in others:
                words.setdefault(_tidy(other), key)
    for attribute in filter(typable, KINDS[kind].attributes):
        for language in LANGUAGES:
            words.setdefault(_tidy(translated(attribute.label, language)), attribute.name)
    for said in _abroad().values():
        for key, meant in said.items():
            if key in own or KINDS[kind].attribute(key) is not None:
                for other in meant:
                    words.setdefault(_tidy(other), key)
    return words


@cache
def _abroad() -> Mapping[str, Mapping[str, list[str]]]:
    """Language → key → words."""
    return tomllib.loads(files(__package__).joinpath("headings.toml").read_text(encoding="utf-8"))


def _tidy(text: str) -> str:
    return " ".join(text.casefold().replace("_", " ").strip(" .:").split())
