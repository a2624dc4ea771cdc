"""A zip of map files: Shapefiles, a KMZ, or any other that could be brought by itself.

What it unpacks to is bounded while it is unpacked, whatever it says of itself. Names inside are never used as paths.
"""

from __future__ import annotations

import io
import lzma
import struct
import zipfile
import zlib
from collections.abc import Mapping
from pathlib import PurePosixPath

from sitemap.errors import BadFile
from sitemap.reasons import reason

MOST_UNPACKED_BYTES = 200_000_000
MOST_MEMBERS = 500
PARTS = (".shp", ".shx", ".dbf", ".prj", ".cpg")  # of one Shapefile
_SINGLE = (".kml", ".gpkg", ".fgb", ".geojson", ".json", ".gpx", ".csv")
_AT_ONCE = 1 << 20
_UNREADABLE = (
    *(zipfile.BadZipFile, zipfile.LargeZipFile, zlib.error, lzma.LZMAError, struct.error),
    *(OSError, EOFError, RuntimeError, ValueError, OverflowError, NotImplementedError),
)


def unpacked(name: str, data: bytes) -> dict[str, Mapping[str, bytes]]:
    """The map files of a zip: name of each → ending → content; a Shapefile has several endings.

    Raises BadFile for what is no zip, a workbook, a site of ours, unpacks to too much, or holds no map file.
    """
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as opened:
            members = [each for each in opened.infolist() if not each.is_dir()]
            _judge(name, members)
            wanted = [each for each in members if _ending(each) in (*PARTS, *_SINGLE) and not _hidden(each)]
            left = MOST_UNPACKED_BYTES
            content: dict[str, bytes] = {}
            for member in wanted:
                content[member.filename] = _read(name, opened, member, left)
                left -= len(content[member.filename])
    except BadFile:
        raise
    except _UNREADABLE as error:
        raise BadFile(reason("files.damaged_archive", name=name)) from error
    return _grouped(name, content)


def _judge(name: str, members: list[zipfile.ZipInfo]) -> None:
    names = {each.filename for each in members}
    if "[Content_Types].xml" in names or "mimetype" in names:
        raise BadFile(reason("files.workbook", name=name))
    if "site.geojson" in names:
        raise BadFile(reason("files.own_site", name=name))
    if len(members) > MOST_MEMBERS:
        raise BadFile(reason("files.too_many_files", most=MOST_MEMBERS, count=len(members), name=name))


def _read(name: str, opened: zipfile.ZipFile, member: zipfile.ZipInfo, left: int) -> bytes:
    made = io.BytesIO()
    with opened.open(member) as stream:
        while piece := stream.read(_AT_ONCE):
            made.write(piece)
            if made.tell() > left:
                raise BadFile(reason("files.unpacks_to_too_much", most=MOST_UNPACKED_BYTES // 1000000, name=name))
    return made.getvalue()


def _grouped(name: str, content: dict[str, bytes]) -> dict[str, Mapping[str, bytes]]:
    found: dict[str, dict[str, bytes]] = {}
    for path, data in content.items():
        inside = PurePosixPath(path)
        ending = inside.suffix.lower()
        if ending in PARTS:
            found.setdefault(str(inside.with_suffix("")).casefold() + ".shp", {})[ending] = data
        else:
            found[path] = {ending: data}
    whole = {path: _main_first(parts) for path, parts in found.items() if not path.endswith(".shp") or ".shp" in parts}
    if not whole:
        raise BadFile(reason("files.nothing_packed", name=name))
    return whole


def _main_first(parts: dict[str, bytes]) -> Mapping[str, bytes]:
    return dict(sorted(parts.items(), key=lambda part: part[0] != ".shp"))


def _ending(member: zipfile.ZipInfo) -> str:
    return PurePosixPath(member.filename).suffix.lower()


def _hidden(member: zipfile.ZipInfo) -> bool:
    return member.filename.startswith("__MACOSX/") or PurePosixPath(member.filename).name.startswith(".")
