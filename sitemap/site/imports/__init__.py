"""Files of the phone, the spreadsheet and the map program brought in. The one boundary: whatever a reader meets, a
person reads one sentence."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace
from pathlib import PurePosixPath

from sitemap.errors import BadFile
from sitemap.letters import WIDE, text_of
from sitemap.reasons import reason
from sitemap.site.imports.archive import PARTS, unpacked
from sitemap.site.imports.brought import Brought, known_again, marked
from sitemap.site.imports.geojson import read_geojson
from sitemap.site.imports.gpx import read_gpx
from sitemap.site.imports.layers import read_layers
from sitemap.site.imports.rows import MOST_THINGS
from sitemap.site.imports.table import read_table
from sitemap.site.model import Site

MOST_BYTES = 20_000_000  # of text
MOST_MAP_BYTES = 200_000_000  # of a map file, which is not read whole
ENDINGS = ("gpx", "csv", "tsv", "txt", "geojson", "json", "gpkg", "fgb", "kml", "kmz", "zip")

_ENCODING = re.compile(r"""(<\?xml[^>]*encoding\s*=\s*["'])[^"']*(["'])""")

_COORDINATES = re.compile(rb"<(?:\w+:)?coordinates>([^<]*)<", re.IGNORECASE)
_GPX = re.compile(rb"<(?:\w+:)?gpx\b", re.IGNORECASE)
_COMMA = re.compile(rb"\s*,\s*")
_NO_TABLES = ("%pdf",)  # what a server or a program gives in place of the file

__all__ = ["ENDINGS", "bring", "bring_text"]


def bring(
    name: str, data: bytes, site: Site, kind: str | None = None, unit: str | None = None, system: str | None = None
) -> Brought:
    """What a file holds that may be kept; kind, unit and system as `read_table` has them.

    Read are GPX, GeoJSON, GeoPackage, FlatGeobuf, KML, KMZ, a zipped Shapefile, CSV or other text; what a file is, is
    told by its content. Each thing knows where it came from, and whether it came in before.

    Raises BadFile, in one sentence, for whatever cannot be read.
    """
    try:
        brought = marked(_read(name, data, site, kind, unit, system))
        return replace(brought, candidates=known_again(site, brought.candidates))
    except BadFile:
        raise
    except Exception as error:  # a reader of somebody else's library may raise anything
        why = str(error).splitlines()[0][:120] if str(error) else type(error).__name__
        raise BadFile(reason("files.unreadable", why=why, name=name)) from error


def bring_text(
    name: str, text: str, site: Site, kind: str | None = None, unit: str | None = None, system: str | None = None
) -> Brought:
    """What pasted text holds: a table, or words. Raises BadFile."""
    if "\x00" in text:
        raise BadFile(reason("files.no_text", name=name))
    return read_table(name, text, site, kind, unit, system)


def _read(name: str, data: bytes, site: Site, kind: str | None, unit: str | None, system: str | None = None) -> Brought:
    data = _narrow(data)
    ending = _map_file(data)
    _not_larger(name, data, MOST_MAP_BYTES if ending else MOST_BYTES)
    if ending == ".zip":
        return _archive(name, unpacked(name, data), site, kind, unit, system)
    if ending:
        return read_layers(name, {ending: data}, site, kind, unit, system)
    if PurePosixPath(name).suffix.lower() in PARTS:
        raise BadFile(reason("files.part_of_shapefile", name=name))
    if _GPX.search(data[:4000]):
        return read_gpx(name, data)
    text = _decoded(name, data)
    if text.lstrip()[:14].lower().startswith(_NO_TABLES):
        raise BadFile(reason("files.no_text", name=name))
    if text.lstrip().startswith("<"):
        raise BadFile(reason("files.other_xml", name=name))
    if text.lstrip().startswith(("{", "[{")):
        return read_geojson(name, text, site, kind, unit, system)
    return bring_text(name, text, site, kind, unit, system)


def _map_file(data: bytes) -> str:
    """The ending GDAL knows a map file by, from its first bytes; empty for text."""
    if data[:2] == b"PK":
        return ".zip"
    if data[:16] == b"SQLite format 3\x00":
        return ".gpkg"
    if data[:3] == b"fgb":
        return ".fgb"
    head = data[:4000].lower()
    if b"<kml" in head and b"<gpx" not in head:
        if b"<!doctype" in head or b"<!entity" in data.lower():
            raise BadFile(reason("files.kml_type"))
        if any(map(_strange, _COORDINATES.findall(data))):
            raise BadFile(reason("files.kml_places"))
        return ".kml"
    return ""


def _strange(coordinates: bytes) -> bool:
    """Whether places of a KML are written so that the reader takes them for others: decimal commas, semicolons."""
    return b";" in coordinates or any(place.count(b",") > 2 for place in _COMMA.sub(b",", coordinates).split())


def _narrow(data: bytes) -> bytes:
    """A map file in letters of two bytes, as some programs write XML, in those of one; others as they are."""
    if data[:2] not in WIDE:
        return data
    head = data[:8000].decode("utf-16", "replace").lower()
    if "<gpx" not in head and "<kml" not in head:
        return data
    return _ENCODING.sub(r"\1UTF-8\2", data.decode("utf-16", "replace"), count=1).encode()


def _not_larger(name: str, data: bytes, most: int) -> None:
    if len(data) > most:
        raise BadFile(reason("files.too_large", most=most // 1000000, name=name))


def _archive(
    name: str,
    files: Mapping[str, Mapping[str, bytes]],
    site: Site,
    kind: str | None,
    unit: str | None,
    system: str | None,
) -> Brought:
    """What all map files of an archive hold, as one; the numbers of the rows go on from one to the next."""
    whole = Brought(name)
    for path, parts in files.items():
        inner = PurePosixPath(path).name
        if ".shp" in parts:
            brought = read_layers(inner, parts, site, kind, unit, system)
        elif _map_file(next(iter(parts.values()))) == ".zip":
            raise BadFile(reason("files.nested", name=name))
        else:
            brought = _read(inner, next(iter(parts.values())), site, kind, unit, system)
        if brought.words:
            continue
        at = max((c.row for c in whole.candidates), default=0)
        whole = Brought(
            name,
            (*whole.candidates, *(replace(c, row=c.row + at) for c in brought.candidates)),
            (*whole.notes, *(replace(note, row=note.row + at if note.row else 0) for note in brought.notes)),
            headings=tuple(dict((*whole.headings, *brought.headings)).items()),
            asks_system=whole.asks_system or brought.asks_system,
        )
        if len(whole.candidates) > MOST_THINGS:
            raise BadFile(reason("files.too_many", most=MOST_THINGS, name=name))
    return whole


def _decoded(name: str, data: bytes) -> str:
    text = text_of(data)
    if text is None:
        raise BadFile(reason("files.no_walk", name=name))
    return text
