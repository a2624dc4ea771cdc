"""The sample sites that come with the program.

A sample is opened as if its burn were still to come: once its day has passed, all its dates move on by the same whole
weeks. Else what somebody tries on it would be seen "after the burn", and nothing could be lit.
"""

from __future__ import annotations

import datetime as dt
import math
import re
from functools import cache
from pathlib import Path

from sitemap.site.file import parse_site, read_site, site_text
from sitemap.site.model import Site
from sitemap.site.store import Store

FIRST = "juniper_bench"  # open at the first visit
_DATE = re.compile(r"\b\d{4}-\d{2}-\d{2}\b")
_FOLDER = Path(__file__).resolve().parents[2] / "sample_sites"


@cache
def names() -> dict[str, str]:
    """Sample key → name of the site; they come with the program and stay as they are while it runs."""
    return {path.stem: read_site(path).name for path in sorted(_FOLDER.glob("*.geojson"))}


def sample(key: str, today: dt.date) -> Site:
    """A sample, its burn within a week where its own day has passed."""
    site = read_site(_FOLDER / f"{key}.geojson")
    burn = site.section("season").date("date")
    if burn is None or burn >= today:
        return site
    return parse_site(_DATE.sub(lambda found: _moved(found[0], burn, today), site_text(site)))


def _moved(date: str, burn: dt.date, today: dt.date) -> str:
    """A date moved on with the burn; what was seen before the burn was seen by today at the latest."""
    was = dt.date.fromisoformat(date)
    now = was + dt.timedelta(weeks=math.ceil((today - burn).days / 7))
    return min(now, today).isoformat() if was < burn else now.isoformat()


def with_files(key: str, today: dt.date, store: Store) -> Site:
    """A sample whose elevation and pictures are kept in a store."""
    site = sample(key, today)
    for entry in site.files.values():
        path = _FOLDER / Path(str(entry.get("name", ""))).name
        if path.is_file():
            store.keep_file(path.read_bytes())
    return site
