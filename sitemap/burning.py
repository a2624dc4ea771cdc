"""The burns of a site on a day: as reckoned, and as its log tells."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

from sitemap.geodesy.plane import Plane
from sitemap.kiln.of_site import burns_of
from sitemap.kiln.reading import read_crew
from sitemap.kiln.values import Burns, Stock
from sitemap.season.by_log import by_log
from sitemap.season.day_times import day_times
from sitemap.season.daylight import Daylight
from sitemap.site.model import Feature, Site

BUCKET_L = {"metric": 20.0, "us": 18.927}  # [L] what people call a bucket: 20 L, or 5 US gallons


def burning(
    site: Site,
    spots: tuple[Feature, ...],
    stock: tuple[Stock, ...],
    light: Daylight | None,
    plane: Plane | None,
    barred: frozenset[str] = frozenset(),
    today: dt.date | None = None,
) -> Burns:
    """All burns of the site. barred : ids of spots where no kiln may burn; today : the last day the log may tell of"""
    crew = replace(read_crew(site.section("crew")), bucket_l=BUCKET_L[site.units])
    day = None if light is None else day_times(site, light)
    reckoned = burns_of(spots, site.equipment("kilns"), stock, crew, day, plane, barred)
    told = by_log(site, reckoned.kilns, today)
    return burns_of(spots, site.equipment("kilns"), stock, crew, day, plane, barred, told) if told else reckoned
