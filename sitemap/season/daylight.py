"""Sunrise and sunset of one place and day."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from astral import Observer, sun

from sitemap.errors import BadValue, within
from sitemap.reasons import reason

_HALF_DAY = dt.timedelta(hours=12.5)  # no sunrise lies further from noon; half an hour for the equation of time


@dataclass(frozen=True)
class Daylight:
    """The light of one day.

    date : the day, by the clock of the place
    kind : "normal", "no_sunset" (the sun stays up) or "no_sunrise" (it stays down)
    sunrise, sunset : with time zone, None unless kind is "normal"; a midsummer sunset may fall after midnight
    utc_offset : of the place at noon that day
    noon : when the sun stands highest, by the clock of the place
    """

    date: dt.date
    kind: Literal["normal", "no_sunset", "no_sunrise"]
    sunrise: dt.datetime | None
    sunset: dt.datetime | None
    utc_offset: dt.timedelta
    noon: dt.datetime

    @property
    def zone_fits(self) -> bool:
        """Whether the time zone can be that of the place: no land has its noon before 10:00 or after 16:00."""
        return 10 <= self.noon.hour < 16

    @property
    def utc_offset_text(self) -> str:
        """As people write it, UTC−07:00."""
        minutes = round(self.utc_offset.total_seconds() / 60)
        hours, rest = divmod(abs(minutes), 60)
        return f"UTC{'−' if minutes < 0 else '+'}{hours:02d}:{rest:02d}"


def zone(name: str) -> ZoneInfo:
    """The time zone of that name.

    Raises
    ------
    BadValue : a name the time zone database lacks
    """
    try:
        return ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError, OSError):
        raise BadValue(reason("season.no_such_zone", zone=f"'{name}'")) from None


def daylight(lon: float, lat: float, date: dt.date, timezone: str) -> Daylight:
    """Sunrise before and sunset after the solar noon of a day.

    Parameters
    ----------
    lon, lat : WGS 84 [deg], −180–180 and −90–90
    date : the day
    timezone : name in the time zone database; nothing gives it from the place, so it is asked

    Returns
    -------
    Daylight

    Raises
    ------
    BadValue : a place outside those limits, a time zone that is not known

    Notes
    -----
    Upper edge of the sun on a level, open horizon at sea level, with usual refraction: within two minutes of the NREL
    algorithm up to 60° (evidence S, D); near the polar circle the sun skims and minutes mean little. A ridge brings
    dusk earlier than any table.

    Examples
    --------
    >>> day = daylight(-105.179, 39.742, dt.date(2015, 1, 2), "America/Denver")
    >>> day.kind, f"{day.sunset:%H:%M}", day.utc_offset_text
    ('normal', '16:47', 'UTC−07:00')
    """
    within("Longitude", lon, -180, 180, "°")
    within("Latitude", lat, -90, 90, "°")
    place, here = Observer(lat, lon), zone(timezone)
    clock_noon = dt.datetime.combine(date, dt.time(12), here)
    offset = clock_noon.utcoffset() or dt.timedelta(0)
    noon = min(
        (sun.noon(place, date + dt.timedelta(days=step)) for step in (-1, 0, 1)),
        key=lambda moment: abs(moment - clock_noon),
    )
    highest = noon.astimezone(here)
    rises = [moment for moment in _around(sun.sunrise, place, date) if noon - _HALF_DAY < moment <= noon]
    sets = [moment for moment in _around(sun.sunset, place, date) if noon <= moment < noon + _HALF_DAY]
    if rises and sets:
        return Daylight(date, "normal", max(rises).astimezone(here), min(sets).astimezone(here), offset, highest)
    stays_up = sun.elevation(place, noon) > 0
    return Daylight(date, "no_sunset" if stays_up else "no_sunrise", None, None, offset, highest)


def _around(event: Callable[..., dt.datetime], place: Observer, date: dt.date) -> list[dt.datetime]:
    """The event on the three days of universal time that touch a day of the place, where the sun crosses at all."""
    moments = []
    for step in (-1, 0, 1):
        try:
            moments.append(event(place, date + dt.timedelta(days=step)))
        except ValueError:
            continue
    return moments
