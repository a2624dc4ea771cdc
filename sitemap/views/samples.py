"""The sample sites that come with the program.

A sample is opened as if its burn were still to come: once its day has passed, all its dates move on by the same whole
weeks, and what was seen before the burn was seen by today. Else what somebody tries on it would be seen "after the
burn", and nothing could be lit. For the same reason it has a forecast of today, invented like all of it: its readings.
"""

from __future__ import annotations

import datetime as dt
import math
import re
from functools import cache
from pathlib import Path

from sitemap.safety.weather import LABELS
from sitemap.season.weather_of_site import morning_mark
from sitemap.site.file import parse_site, read_site, site_text
from sitemap.site.model import Site
from sitemap.site.store import Store
from sitemap.site.weather_read import MEMBER, QUIET, SAW, read_on

FIRST = "juniper_bench"  # open at the first visit
_DATE = re.compile(r"\b\d{4}-\d{2}-\d{2}\b")
_FOLDER = Path(__file__).resolve().parents[2] / "sample_sites"


@cache
def names() -> dict[str, str]:
    """Sample key → name of the site; they come with the program and stay as they are while it runs."""
    return {path.stem: read_site(path).name for path in sorted(_FOLDER.glob("*.geojson"))}


def sample(key: str, today: dt.date) -> Site:
    """A sample, its burn within a week where its own day has passed, with a forecast of today."""
    site = read_site(_FOLDER / f"{key}.geojson")
    burn = site.section("season").date("date")
    if burn is None:
        return site
    site = parse_site(_DATE.sub(lambda found: _moved(found[0], burn, today), site_text(site)))
    return _with_forecast(site, dt.date.fromisoformat(_moved(burn.isoformat(), burn, today)), today)


def _with_forecast(site: Site, burn: dt.date, today: dt.date) -> Site:
    """The sample with its readings as the forecast of every hour of the burn and of the two days after it."""
    read = read_on(site, burn)
    said = {name: read[name] for name in LABELS if name in read}
    start = dt.datetime.combine(burn, dt.time())
    hours = [{"time": (start + dt.timedelta(hours=n)).isoformat(timespec="minutes"), **said} for n in range(72)]
    kept = {"issued": f"{today} 05:00", "wind_at": "20_ft", "front_free_h": read.get(QUIET), "source": "Invented"}
    site = site.with_member("forecast", kept).with_member("forecast_hours", hours)
    return site.with_member(MEMBER, {**read, SAW: morning_mark(site, burn)})


def _moved(date: str, burn: dt.date, today: dt.date) -> str:
    """A date moved on with the burn; what was seen before the burn was seen by today at the latest."""
    was = dt.date.fromisoformat(date)
    now = was + dt.timedelta(weeks=max(math.ceil((today - burn).days / 7), 0))
    return min(now, today).isoformat() if was < burn else now.isoformat()


def with_files(key: str, today: dt.date, store: Store) -> Site:
    """A sample whose elevation and pictures are kept in a store."""
    site = sample(key, today)
    for entry in site.files.values():
        path = _FOLDER / Path(str(entry.get("name", ""))).name
        if path.is_file():
            store.keep_file(path.read_bytes())
    return site
