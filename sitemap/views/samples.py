"""The sample sites that come with the program."""

from __future__ import annotations

from pathlib import Path

from sitemap.site.file import read_site
from sitemap.site.model import Site
from sitemap.site.store import Store

FIRST = "juniper_bench"  # open at the first visit
_FOLDER = Path(__file__).resolve().parents[2] / "sample_sites"


def names() -> dict[str, str]:
    """Sample key → name of the site."""
    return {path.stem: read_site(path).name for path in sorted(_FOLDER.glob("*.geojson"))}


def sample(key: str) -> Site:
    """A sample as its file says it."""
    return read_site(_FOLDER / f"{key}.geojson")


def with_files(key: str, store: Store) -> Site:
    """A sample whose elevation and pictures are kept in a store."""
    site = sample(key)
    for entry in site.files.values():
        path = _FOLDER / Path(str(entry.get("name", ""))).name
        if path.is_file():
            store.keep_file(path.read_bytes())
    return site
