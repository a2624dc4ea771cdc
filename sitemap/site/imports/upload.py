"""A site file somebody opens: ours, as text or with its files in a zip."""

from __future__ import annotations

from sitemap.errors import BadFile, BadSiteFile
from sitemap.reasons import reason
from sitemap.site.bundle import read_bundle
from sitemap.site.file import MOST_PARTS, parse_site
from sitemap.site.imports.geojson import is_foreign
from sitemap.site.model import Site


def read_upload(name: str, content: bytes) -> tuple[Site, dict[str, bytes]]:
    """The site of a file, and the files that came with it by sha256.

    Raises BadSiteFile where it is none of ours or has faults; BadFile for a map of another program.
    """
    if name.lower().endswith(".zip"):
        return read_bundle(content)
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise BadFile(reason("files.not_utf8", name=name)) from error
    try:
        return parse_site(text, name), {}
    except BadSiteFile:
        if text.count("[") + text.count("{") > MOST_PARTS or not is_foreign(text):
            raise
    raise BadFile(reason("files.foreign", name=name))
