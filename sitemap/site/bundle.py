"""A site with its elevation, image and photos in one zip: `site.geojson` and `files/<sha256>`.

Names inside the zip are never used as paths; a file counts only when its content has the sha256 its name says.
"""

from __future__ import annotations

import hashlib
import io
import lzma
import struct
import zipfile
import zlib
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

from sitemap.errors import BadFile, BadSiteFile, PitsteadError
from sitemap.reasons import reason
from sitemap.site.file import LARGEST_BYTES as SITE_FILE_BYTES
from sitemap.site.file import parse_site, site_text, too_large
from sitemap.site.frozen import FrozenDict
from sitemap.site.model import Site

LARGEST_BYTES = 600_000_000  # unpacked, all together: a guard against a zip that unpacks without end
_SITE, _FILES = "site.geojson", "files/"
_UNREADABLE = (
    *(zipfile.BadZipFile, zipfile.LargeZipFile, zlib.error, lzma.LZMAError, struct.error),  # damaged
    *(OSError, EOFError, RuntimeError, ValueError, OverflowError),  # cut short, locked, or no zip
)
_EPOCH = (1980, 1, 1, 0, 0, 0)  # the same site gives the same bytes


def carried_on(site: Site, content: bytes) -> bytes:
    """The zip of a site that was read from a zip, with the files of that."""
    _, files = read_bundle(content)

    def content_of(digest: str) -> bytes:
        if digest not in files:
            raise BadFile(reason("files.not_in_the_zip", digest=digest))
        return files[digest]

    return packed(site, content_of)


def digests(site: Site) -> tuple[str, ...]:
    """sha256 of every file the site names."""
    return tuple(sorted(set(_walk(site.member.get("files")))))


def _walk(value: Any) -> Iterator[str]:
    if isinstance(value, FrozenDict):
        if isinstance(value.get("sha256"), str):
            yield value["sha256"]
        for inner in value.values():
            yield from _walk(inner)
    elif isinstance(value, tuple):
        for inner in value:
            yield from _walk(inner)


def write_bundle(site: Site, path_of: Callable[[str], Path]) -> bytes:
    """The zip of a site. Files that are not kept here are left out; the site file still names them."""
    return packed(site, lambda digest: path_of(digest).read_bytes())


def packed(site: Site, content_of: Callable[[str], bytes]) -> bytes:
    """The zip of a site from the content of its files; one whose content raises BadFile is left out."""
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as bundle:
        bundle.writestr(zipfile.ZipInfo(_SITE, _EPOCH), site_text(site), zipfile.ZIP_DEFLATED)
        for digest in digests(site):
            try:
                content = content_of(digest)
            except BadFile:
                continue
            bundle.writestr(zipfile.ZipInfo(_FILES + digest, _EPOCH), content, zipfile.ZIP_DEFLATED)
    return out.getvalue()


def read_bundle(content: bytes) -> tuple[Site, dict[str, bytes]]:
    """The site of a zip and its files by sha256.

    Raises BadSiteFile where it is no such zip, or its site file has faults.
    """
    try:
        with zipfile.ZipFile(io.BytesIO(content)) as bundle:
            if sum(entry.file_size for entry in bundle.infolist()) > LARGEST_BYTES:
                raise BadSiteFile(reason("files.zip_unpacks_to_too_much", most=LARGEST_BYTES // 1_000_000))
            if bundle.getinfo(_SITE).file_size > SITE_FILE_BYTES:
                raise BadSiteFile(too_large(_SITE, bundle.getinfo(_SITE).file_size))
            site = parse_site(bundle.read(_SITE).decode("utf-8-sig"), _SITE)
            wanted = {digest: bundle.read(_FILES + digest) for digest in digests(site) if _has(bundle, digest)}
    except PitsteadError:
        raise
    except KeyError as error:
        raise BadSiteFile(reason("files.zip_without_site", name=_SITE)) from error
    except _UNREADABLE as error:
        raise BadSiteFile(reason("files.no_zip")) from error
    return site, {digest: data for digest, data in wanted.items() if hashlib.sha256(data).hexdigest() == digest}


def _has(bundle: zipfile.ZipFile, digest: str) -> bool:
    return _FILES + digest in bundle.namelist()
