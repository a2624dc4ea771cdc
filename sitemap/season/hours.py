"""The hours of a forecast or record by the clock: each at its moment, none doubled unseen, gaps named."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from sitemap.errors import BadValue
from sitemap.reasons import reason
from sitemap.season.daylight import zone as zone_of
from sitemap.season.forecast_reading import Column, Raw, clock_said, stored
from sitemap.site.attributes import FIRST_YEAR, LAST_YEAR

_DATES = ("%d.%m.%Y", "%d/%m/%Y", "%m/%d/%Y", "%d-%m-%Y", "%m-%d-%Y", "%Y/%m/%d", "%Y-%m-%d", "%d %b %Y", "%m/%d/%y")
_CLOCKS = ("", " %H:%M", " %H:%M:%S", " %I:%M %p", " %I:%M:%S %p", " %I %p", " %I%p", " %I:%M%p", " %H")
_FORMS = (*(date + clock for date in _DATES for clock in _CLOCKS), "%Y%m%d%H%M")


@dataclass(frozen=True)
class WeatherHour:
    """The weather of one hour, None where it is not known.

    time : its beginning, with time zone
    wind_m_s, gust_m_s : at the height the forecast is for; humidity_pct, temperature_c, rain_mm
    wind_from_deg : where the wind comes from, clockwise from north; cloud_pct : share of the sky covered
    """

    time: dt.datetime
    wind_m_s: float | None = None
    gust_m_s: float | None = None
    humidity_pct: float | None = None
    temperature_c: float | None = None
    rain_mm: float | None = None
    wind_from_deg: float | None = None
    cloud_pct: float | None = None


_NAME = {"wind": "wind_m_s", "gust": "gust_m_s", "humidity": "humidity_pct", "temperature": "temperature_c"} | {
    "rain": "rain_mm",
    "wind_from": "wind_from_deg",
    "cloud": "cloud_pct",
}


def hours_of(raw: Raw, columns: Sequence[Column], zone: str | None) -> tuple[WeatherHour, ...]:
    """The hours, in order.

    Parameters
    ----------
    raw : as it came; columns : what each is taken for
    zone : name of the time zone of its clock, where it says none itself

    Returns
    -------
    the hours; a row without a time is left out

    Raises
    ------
    BadValue : no column of times, a time that cannot be read or that the clock skips, times with and without a zone
        mixed, a doubled hour, a unit that is not known, no zone at all
    """
    at = {column.quantity: column for column in columns}
    if "time" not in at:
        raise BadValue(reason("season.no_time_column"))
    place = {name: number for number, name in enumerate(raw.columns)}
    rows = [row for row in raw.rows if row[place[at["time"].name]]]
    times = moments([row[place[at["time"].name]] for row in rows], clock_said(raw, columns) or zone, raw.offset_s)
    found = []
    for time, row in zip(times, rows, strict=True):
        said = {
            _NAME[quantity]: stored(quantity, row[place[column.name]], column.unit)
            for quantity, column in at.items()
            if quantity != "time"
        }
        found.append(WeatherHour(time, **said))
    found.sort(key=lambda hour: hour.time)
    for one, other in pairwise(found):
        if one.time == other.time:
            raise BadValue(reason("season.hour_doubled", time=one.time))
    return tuple(found)


def moments(texts: Sequence[str], zone: str | None, offset_s: int | None) -> list[dt.datetime]:
    """Times as written, with their zone.

    Parameters
    ----------
    texts : as written
    zone : name of the zone of the clock they are by, where they carry no offset
    offset_s : or how far that clock is ahead of universal time [s]; it is used where both are known

    Returns
    -------
    the times, in the order of the texts

    Raises
    ------
    BadValue : as `hours_of`

    References
    ----------
    ISO 8601 by the standard library (D); zones by their published rules (P).

    Notes
    -----
    Where the clock is put back, the hour that comes twice is read as first and second in the order of the rows.

    >>> [f"{when:%H:%M %z}" for when in moments(["2026-11-01 01:00"] * 2, "America/Denver", None)]
    ['01:00 -0600', '01:00 -0700']
    """
    read = _read(texts)
    bare = [each for each in read if each.tzinfo is None]
    if bare and len(bare) < len(read):
        raise BadValue(reason("season.zones_mixed"))
    if not bare:
        return read
    if offset_s is not None:
        clock = dt.timezone(dt.timedelta(seconds=offset_s))
        return [each.replace(tzinfo=clock) for each in read]
    if zone is None:
        raise BadValue(reason("season.no_zone"))
    here = zone_of(zone)
    seen: set[dt.datetime] = set()
    found = []
    for each in read:
        moment = each.replace(tzinfo=here, fold=int(each in seen))
        if moment.astimezone(dt.UTC).astimezone(here).replace(tzinfo=None, fold=0) != each:
            raise BadValue(reason("season.hour_skipped", time=each, zone=zone))
        seen.add(each)
        found.append(moment)
    return found


def _read(texts: Sequence[str]) -> list[dt.datetime]:
    """Times as written, none of them in a year beyond those of a site: a clock of its zone could not be set by it."""
    found = _written(texts)
    for text, time in zip(texts, found, strict=True):
        if not FIRST_YEAR <= time.year <= LAST_YEAR:
            raise BadValue(reason("season.time_unread", time=text))
    return found


def _written(texts: Sequence[str]) -> list[dt.datetime]:
    """Times in ISO form or all in one form of the list; days and months must be told apart."""
    try:
        return [_iso(text.strip()) for text in texts]
    except ValueError:
        pass
    fitting = [read for form in _FORMS if (read := _in_form(texts, form)) is not None]
    if not fitting:
        strange = next((text for text in texts if not _readable(text)), texts[0])
        raise BadValue(reason("season.time_unread", time=strange))
    if any(other != fitting[0] for other in fitting):
        raise BadValue(reason("season.day_or_month", time=texts[0]))
    return fitting[0]


def _iso(text: str) -> dt.datetime:
    if text.isdecimal() and len(text) == 10:
        if text.startswith("20"):  # year, month, day and hour: as seconds it would be after 2033
            return dt.datetime.strptime(text, "%Y%m%d%H")
        return dt.datetime.fromtimestamp(int(text), dt.UTC)  # seconds since 1970
    if text.isdecimal() and len(text) == 13:
        return dt.datetime.fromtimestamp(int(text) // 1000, dt.UTC)  # thousandths of them
    return dt.datetime.fromisoformat(text)


def _readable(text: str) -> bool:
    """Whether a time can be read by itself."""
    try:
        _iso(text.strip())
    except ValueError:
        return any(_in_form([text], form) is not None for form in _FORMS)
    return True


def _in_form(texts: Sequence[str], form: str) -> list[dt.datetime] | None:
    try:
        return [dt.datetime.strptime(text.strip(), form) for text in texts]
    except ValueError:
        return None
