"""What was read of the weather on a day, and what the officer allowed on it: it holds for that day and no other."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from typing import Any

from sitemap.site.model import Site

MEMBER = "weather_read"  # of the site: the readings of the day `on`, in stored units
HEIGHT, QUIET = "height", "quiet"  # in it: of the winds; hours from lighting without a front or strong wind
BY = "by"  # in it: who read it
SAW = "saw"  # in it: the mark of forecast and log as they were kept then; without it there was none
CURED_BY = "cured_by"  # in it: name of the officer in charge who allows burning among cured grass on that day


def read_on(site: Site, on: dt.date | None) -> Mapping[str, Any]:
    """The readings of a day, in stored units; nothing of another: an old reading must not look like a fresh one."""
    held = site.member.get(MEMBER)
    of_day = isinstance(held, Mapping) and on is not None and held.get("on") == on.isoformat()
    return held if of_day and isinstance(held, Mapping) else {}


def cured_allowed_by(site: Site, on: dt.date | None) -> str | None:
    """Who in charge allows burning among cured grass on a day; None where nobody does."""
    name = read_on(site, on).get(CURED_BY)
    return name.strip() or None if isinstance(name, str) else None
