"""The zip of a site with its files: complete, the same bytes each time, and no way to smuggle anything in."""

from __future__ import annotations

import contextlib
import hashlib
import io
import random
import zipfile
from pathlib import Path

import pytest

from sitemap.errors import BadFile, BadSiteFile
from sitemap.opened import opened
from sitemap.site.bundle import digests, read_bundle, write_bundle
from sitemap.site.file import site_text
from sitemap.site.model import Site
from sitemap.site.photos import photos_of
from sitemap.site.store import Store
from tests.site.builders import site_of, thing

ABC, RASTER = b"abc", bytes(range(256)) * 40


def name_of(content: bytes) -> str:
    return hashlib.sha256(content).hexdigest()


def site_with(*contents: bytes) -> Site:
    photos = [{"name": f"../../photo {n}.jpg", "sha256": name_of(content)} for n, content in enumerate(contents)]
    return site_of(thing(), site={"files": {"photos": photos, "terrain": {"sha256": 3}}})


def zipped(site_file: bytes | None, *entries: tuple[str, bytes]) -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as bundle:
        if site_file is not None:
            bundle.writestr("site.geojson", site_file)
        for name, content in entries:
            bundle.writestr(name, content)
    return out.getvalue()


def test_law_a_site_travels_with_its_files(tmp_path: Path) -> None:
    store = Store(tmp_path)
    site = site_with(ABC, RASTER)
    assert digests(site) == tuple(sorted(store.keep_file(content) for content in (ABC, RASTER)))
    packed = write_bundle(site, store.file)
    assert packed == write_bundle(site, store.file)
    assert read_bundle(packed) == (site, {name_of(ABC): ABC, name_of(RASTER): RASTER})
    path = tmp_path / "site.zip"
    path.write_bytes(packed)
    assert opened(path).photos.keys() == {photo.sha256 for photo in photos_of(site)} != set()


def test_law_a_file_that_is_not_kept_here_is_left_out(tmp_path: Path) -> None:
    site = site_with(ABC)
    assert read_bundle(write_bundle(site, Store(tmp_path).file)) == (site, {})


def test_law_only_named_files_with_the_right_content_are_taken() -> None:
    site = site_with(ABC)
    good, strange = ("files/" + name_of(ABC), ABC), ("files/" + name_of(RASTER), RASTER)
    text = site_text(site).encode()
    assert read_bundle(zipped(b"\xef\xbb\xbf" + text, good, strange, ("../evil", b"x"))) == (site, {name_of(ABC): ABC})
    assert read_bundle(zipped(text, (good[0], b"abd"))) == (site, {})


def test_refuses_what_is_no_bundle() -> None:
    for content, says in (
        (b"", "not a zip"),
        (b"PK\x03\x04 and nothing more", "not a zip"),
        (zipped(None, ("other.txt", b"")), "no site.geojson"),
        (zipped(b"{"), "not JSON"),
        (zipped(b"\xff\xfe"), "not a zip"),
    ):
        with pytest.raises(BadSiteFile, match=says):
            read_bundle(content)


def test_refuses_a_zip_that_unpacks_without_end(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("sitemap.site.bundle.LARGEST_BYTES", 1_000_000)
    with pytest.raises(BadSiteFile, match="unpacks to more than 1 MB"):
        read_bundle(zipped(site_text(Site()).encode(), ("files/zeros", bytes(2_000_000))))


def test_law_a_damaged_bundle_is_a_bad_site_file_or_reads(tmp_path: Path) -> None:
    """Any byte may be wrong, the end may be missing."""
    store, dice = Store(tmp_path), random.Random(4)
    for content in (ABC, RASTER):
        store.keep_file(content)
    packed = write_bundle(site_with(ABC, RASTER), store.file)
    for _ in range(1500):
        damaged = bytearray(packed)
        for _ in range(dice.randrange(1, 4)):
            damaged[dice.randrange(len(packed))] = dice.randrange(256)
        with contextlib.suppress(BadSiteFile, BadFile):
            read_bundle(bytes(damaged[: dice.choice([len(packed), len(packed), dice.randrange(len(packed))])]))


def test_refuses_a_site_file_of_hundreds_of_megabytes_before_unpacking_it() -> None:
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED) as bundle, bundle.open("site.geojson", "w") as site:
        for _ in range(160):
            site.write(b"[" + b" " * 999_999)
    assert len(packed.getvalue()) < 500_000
    with pytest.raises(BadSiteFile, match=r"site\.geojson holds 160 MB, and a site file 150 MB"):
        read_bundle(packed.getvalue())
