"""The kept sites of a person, a row each, worked out one after the other in a process of their own."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

from sitemap.assessment import assess
from sitemap.errors import PitsteadError
from sitemap.many.row import SiteRow, row_of
from sitemap.site.model import Site
from sitemap.terrain.of_site import terrain_of
from sitemap.terrain.terrain import Terrain


@dataclass(frozen=True)
class KeptSite:
    """One of them. link : in the store; raster : the file of its elevation, None where it has none here"""

    link: str
    site: Site
    raster: Path | None


def rows_of(kept: Sequence[KeptSite], today: dt.date, progress: Callable[[float, str], None]) -> tuple[SiteRow, ...]:
    """The row of each, in their order.

    today : the day somebody looks; progress : is told the share done and the name of the site at hand
    """
    rows = []
    for number, each in enumerate(kept):
        progress(number / len(kept), each.site.name)
        on = each.site.section("season").date("date")
        rows.append(row_of(assess(each.site, _ground(each), on=on, today=today), each.link))
    return tuple(rows)


def _ground(each: KeptSite) -> Terrain | None:
    entry = each.site.files.get("terrain")
    if each.raster is None or entry is None:
        return None
    try:
        return terrain_of(each.site, each.raster, entry.get("unit"))
    except PitsteadError:
        return None  # said where the site is open; without it nothing gets better
