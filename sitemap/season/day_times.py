"""The light and the crew's hours of any day of a site."""

from __future__ import annotations

import datetime as dt
from functools import lru_cache

from sitemap.errors import PitsteadError
from sitemap.geodesy.plane import Plane
from sitemap.kiln.clock import permit_hour
from sitemap.kiln.reading import out_by, working_hours
from sitemap.kiln.values import DayTimes
from sitemap.notes import Note
from sitemap.reasons import reason
from sitemap.season.daylight import Daylight, daylight
from sitemap.site.model import Site


def day_times(site: Site, light: Daylight) -> DayTimes:
    """Light and hours of one day: the crew's own, and that of the permit."""
    season, zone = site.section("season"), dt.timezone(light.utc_offset)
    hours = working_hours(light.date, zone, season.text("day_starts"), season.text("day_ends"))
    until = out_by(site.section("permit"), light.date, zone)
    return DayTimes(light.kind, light.sunrise, light.sunset, *hours, until)


light_of = lru_cache(maxsize=1024)(daylight)  # a calendar asks for the same months at every edit


def permit_hour_of(site: Site, light: Daylight | None) -> dt.time | None:
    """The hour at which the permit ends a day, where nothing ends it before; None without light."""
    return None if light is None else permit_hour(day_times(site, light))


def daylight_of(site: Site, plane: Plane | None, on: dt.date | None) -> tuple[Daylight | None, tuple[Note, ...]]:
    """The light of the burn date, or None, and what is not known or odd about it."""
    if on is None:
        return None, (Note("site", "no_date", reason("day.no_date")),)
    if plane is None:
        return None, ()
    if site.timezone is None:
        return None, (Note("site", "no_timezone", reason("day.no_timezone")),)
    try:
        light = light_of(plane.lon0, plane.lat0, on, site.timezone)
    except PitsteadError:
        return None, ()  # check has named the time zone
    far = reason("day.timezone_far", zone=site.timezone, noon=light.noon.timetz().replace(tzinfo=None))
    return light, () if light.zone_fits else (Note("site", "timezone_far", far),)
