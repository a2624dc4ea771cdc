"""Files of the phone and the spreadsheet brought in. The one boundary: whatever a reader meets, a person reads one
sentence."""

from __future__ import annotations

from sitemap.errors import BadFile
from sitemap.site.imports.brought import Brought
from sitemap.site.imports.geojson import read_geojson
from sitemap.site.imports.gpx import read_gpx
from sitemap.site.imports.table import read_table
from sitemap.site.model import Site

MOST_BYTES = 20_000_000

__all__ = ["bring", "bring_text"]


def bring(name: str, data: bytes, site: Site, kind: str | None = None, unit: str | None = None) -> Brought:
    """What a file holds that may be kept: GPX, GeoJSON, CSV or other text; kind and unit as `read_table` has them.

    Raises BadFile, in one sentence, for whatever cannot be read.
    """
    try:
        if len(data) > MOST_BYTES:
            raise BadFile(f"{name} is larger than {MOST_BYTES // 1_000_000} MB. Export the walk of one day.")
        if b"<gpx" in data[:4000].lower():
            return read_gpx(name, data)
        if data[:2] == b"PK":
            raise BadFile(
                f"{name} is a workbook or an archive. Save the sheet as CSV, or copy its cells and paste them."
            )
        text = _decoded(name, data)
        if text.lstrip().startswith("{"):
            return read_geojson(name, text)
        return bring_text(name, text, site, kind, unit)
    except BadFile:
        raise
    except Exception as error:  # a reader of somebody else's library may raise anything
        reason = str(error).splitlines()[0][:120] if str(error) else type(error).__name__
        raise BadFile(f"{name} cannot be read ({reason}). Export it again as GPX 1.1, GeoJSON or CSV.") from error


def bring_text(name: str, text: str, site: Site, kind: str | None = None, unit: str | None = None) -> Brought:
    """What pasted text holds: a table, or words. Raises BadFile."""
    if "\x00" in text:
        raise BadFile(f"{name} is no text. Export it as CSV.")
    return read_table(name, text, site, kind, unit)


def _decoded(name: str, data: bytes) -> str:
    if data[:2] in (b"\xff\xfe", b"\xfe\xff"):
        return data.decode("utf-16")
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError:
        pass
    if any(byte < 9 for byte in data[:4000]):  # a picture, a program: no text has such bytes
        raise BadFile(f"{name} is no text. Export the walk as GPX, or the sheet as CSV.")
    return data.decode("cp1252", errors="replace")  # what an older spreadsheet writes
