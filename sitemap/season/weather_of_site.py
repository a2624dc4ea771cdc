"""The weather of a site's burn date: the forecast as kept, against the limits of the site and of its permit.

What is not known of it bars: before the burn date the forecast must say that every hour is inside the limits, on the
burn date somebody must have read the weather and signed, with the forecast as it is kept, and what the log says of
earlier burns, before their eyes. So nothing taken out of them frees a kiln before somebody has signed anew.
"""

from __future__ import annotations

import datetime as dt
import hashlib
import json
import math
from collections.abc import Iterable, Iterator
from contextlib import suppress

from sitemap import tables
from sitemap.errors import PitsteadError
from sitemap.kiln.values import KilnRun
from sitemap.reasons import Quantity, Reason, Term, reason, together
from sitemap.safety.limits_of_site import HEIGHTS_M, limits_of, named_by_permit
from sitemap.safety.permission import Check, checked
from sitemap.safety.weather import (
    EYE_LEVEL_M,
    INSIDE,
    LABELS,
    NOT_KNOWN,
    OUTLOOK,
    OUTSIDE,
    READ_AT,
    TWENTY_FEET_M,
    limit_verdict,
    wind_at_height_m_s,
)
from sitemap.season.daylight import zone as zone_of
from sitemap.season.hours import WeatherHour, moments
from sitemap.season.window import Span, Window, window_of
from sitemap.site.frozen import thaw
from sitemap.site.model import Entry, Site
from sitemap.site.seen import Day
from sitemap.site.weather_read import BY, HEIGHT, QUIET, SAW, read_on

_NUMBERS = ("wind_m_s", "gust_m_s", "humidity_pct", "temperature_c", "rain_mm", "wind_from_deg", "cloud_pct")


def window_of_site(site: Site, runs: Iterable[KilnRun], day: Day) -> Window | None:
    """The forecast of the burn date, judged; None where no forecast is kept or no clock of the day is known.

    site : as entered; runs : what is burned, with the clocks of the day; day : of the burn, and of the look at it
    """
    span, hours = span_of(runs), kept_hours(site)
    if span is None or not hours:
        return None
    said = site.section("forecast")
    height = said.choice("wind_at")
    return window_of(
        hours,
        span,
        limits_of(site.section("permit"), TWENTY_FEET_M),
        height_m=None if height is None else HEIGHTS_M[height],
        issued=_issued(said, site.timezone),
        front_free_h=said.number("front_free_h"),
        needed=_midnight(day.today, span.lit) if _to_come(day) else None,
    )


def _to_come(day: Day) -> bool:
    """Whether the burn date is looked at from a day before it."""
    return day.on is not None and day.today is not None and day.today < day.on


def _midnight(date: dt.date | None, like: dt.datetime) -> dt.datetime | None:
    return None if date is None else dt.datetime.combine(date, dt.time(), like.tzinfo)


def morning_mark(site: Site, on: dt.date | None) -> str | None:
    """The mark of what whoever reads the weather of a day finds kept beside it, which the signed reading bears: the
    forecast, what burned before that day, and the looks for cold. None where nothing of all that is kept.

    site : as entered; on : the day
    """
    hours, said = kept_hours(site), site.section("forecast")
    forecast = [[each.time.isoformat(), *(getattr(each, name) for name in _NUMBERS)] for each in hours]
    of_it = [said.text("issued"), said.choice("wind_at"), said.number("front_free_h")] if hours else []
    burned = [thaw(entry.values) for entry in site.records("log") if entry.date("date") != on]
    looks = [thaw(entry.values) for entry in site.records("cold")]
    if not (hours or burned or looks):
        return None
    return hashlib.sha256(json.dumps([of_it, forecast, burned, looks], sort_keys=True).encode()).hexdigest()[:16]


def span_of(runs: Iterable[KilnRun]) -> Span | None:
    """From the first lighting of the day to the last first cold check; None without a clock."""
    clocks = [clock for run in runs for clock in run.clocks]
    if not clocks:
        return None
    checks = [check.when for clock in clocks for check in clock.checks if check.what == "first"]
    return Span(min(clock.light_by for clock in clocks), max(checks))


def kept_hours(site: Site) -> tuple[WeatherHour, ...]:
    """The hours of the forecast as kept, in order; one whose time cannot be read is left out."""
    found = []
    for entry in site.records("forecast_hours"):
        time = _moment(entry.text("time"), site.timezone)
        if time is not None:
            found.append(WeatherHour(time, **{name: entry.number(name) for name in _NUMBERS}))
    return tuple(sorted(found, key=lambda hour: hour.time))


def burn_hours(site: Site, window: Window | None) -> tuple[WeatherHour, ...]:
    """The hours of the forecast from lighting to the first cold check; none without a window."""
    if window is None:
        return ()
    return tuple(hour for hour in kept_hours(site) if window.span.lit <= hour.time < window.span.cold_check)


def told_of(site: Site, window: Window | None) -> Reason:
    """What the forecast says of the burn date, as a matter of the morning; window : None where there is none, or no
    clock for it."""
    if window is None:
        return reason("season.no_span") if kept_hours(site) else reason("season.no_forecast")
    if window.word == INSIDE:
        return reason("season.forecast_inside", issued=window.issued)
    return reason("season.forecast_says", word=Term(window.word), why=together(*window.reasons))


def weather_check(site: Site, window: Window | None, day: Day) -> tuple[Check, ...]:
    """Whether the weather from lighting to the first cold check is known to stay inside the limits.

    site : as entered; window : its forecast, judged; day : of the burn, and on which it is looked at

    What is bad stands, of a forecast also where it is stale, until a better is read; so does what was entered and
    cannot be judged (hours that nobody can read, gusts below the wind, winds of no known height; hours or figures of
    the burn that are missing, unless it is an old one): it may be bad. What is not known bars too, see `_not_known`.
    """
    read = None if _to_come(day) else _readings(site, day.on)  # a reading of a day to come has not been made
    if read is not None:
        return (read,)
    if window is not None and window.word == OUTSIDE:
        return (checked("weather", "weather outside limits", "site", told_of(site, window)),)
    entered = site.records("forecast_hours")
    unread = [each.text("time") or "" for each in entered if _moment(each.text("time"), site.timezone) is None]
    if unread:
        why = reason("season.hours_unread", time=unread[0], count=len(unread))
        return (_open(why, reason("action.enter_again")),)
    if any(
        (each.number("gust_m_s") or 0.0) < (each.number("wind_m_s") or 0.0) for each in entered if each.has("gust_m_s")
    ):
        return (_open(reason("season.gust_below_wind"), reason("action.enter_again")),)
    winds = any(each.has("wind_m_s") or each.has("gust_m_s") for each in entered)
    if winds and site.section("forecast").choice("wind_at") is None:
        return (_open(reason("safety.weather_no_height"), reason("action.choose_height")),)
    if window is not None and window.burn and not (window.issued is not None and window.stale):
        holes = [why for why in window.reasons if _is_hole(why)]
        if holes:
            told = reason("season.forecast_says", word=Term("not known"), why=together(*holes))
            return (_open(told, reason("action.other_forecast")),)
    return tuple(_not_known(site, window, day))


def _not_known(site: Site, window: Window | None, day: Day) -> Iterator[Check]:
    """What bars where nothing bad is said: before the burn date a forecast that does not carry every hour; on it a
    reading that is not there, not whole or not signed, or was made beside another forecast or log."""
    if _to_come(day):
        if window is None or window.word == NOT_KNOWN:
            no_clock = window is None and kept_hours(site)
            first = reason("action.clock_first") if no_clock else reason("action.other_forecast")
            yield _open(told_of(site, window), first)
        return
    read = read_on(site, day.on)
    lacking = [Term(label) for name, label in LABELS.items() if _finite(read.get(name)) is None]
    lacking += [] if _finite(read.get(QUIET)) is not None else [Term("hours without a front")]
    lacking += [] if read.get(HEIGHT) in READ_AT else [Term("height of the winds")]
    by = read.get(BY)
    if not read:
        yield _open(reason("season.weather_not_read"), reason("action.read_weather"))
    elif lacking:
        yield _open(reason("season.weather_half_read", what=tuple(lacking)), reason("action.read_weather"))
    elif not (isinstance(by, str) and by.strip()):
        yield _open(reason("season.weather_unsigned"), reason("action.read_weather"))
    elif read.get(SAW) != morning_mark(site, day.on):
        yield _open(reason("season.morning_changed", name=by.strip()), reason("action.read_beside"))


def _open(why: Reason, action: Reason) -> Check:
    return checked("weather", "not known", "site", why, action)


def _is_hole(why: Reason) -> bool:
    """Whether a forecast says nothing of an hour or of a figure of the burn, or is dated after it."""
    missing = why.code == "season.limit" and why.fact("word") == "not known"
    return missing or why.code in ("season.hours_missing", "season.issued_after", "season.issued_to_come")


def _readings(site: Site, on: dt.date | None) -> Check | None:
    """What somebody read on the burn date, where that is outside the limits, ours or the permit's, or cannot be true;
    else None. A wind of no known height counts as read at the eye: at 20 ft it is stronger."""
    read, permit = read_on(site, on), named_by_permit(site.section("permit"))
    values = {name: value for name in (*LABELS, QUIET) if (value := _finite(read.get(name))) is not None}
    height_m = next((m for label, m in READ_AT.items() if read.get(HEIGHT) == label), EYE_LEVEL_M)
    for name, label in LABELS.items():
        value = values.get(name)
        if value is not None and name.endswith("_m_s"):
            value = float(wind_at_height_m_s(max(value, 0.0), height_m))
        if limit_verdict(name, value, permit.get(name)) == OUTSIDE:
            why = reason("season.read_outside", what=Term(label), on=on)
            return checked("weather", "weather outside limits", "site", why)
    needed_h = float(tables.load("weather_limits")[OUTLOOK]["inside_low"])
    if values.get(QUIET, needed_h) < needed_h:
        after, needed = Quantity(values[QUIET], "h"), Quantity(needed_h, "h")
        why = reason("safety.weather_front", after=after, needed=needed)
        return checked("weather", "weather outside limits", "site", why)
    if values.get("gust_m_s", math.inf) < values.get("wind_m_s", 0.0):
        return _open(reason("season.read_gust_below", on=on), reason("action.enter_again"))
    return None


def _finite(value: object) -> float | None:
    number = isinstance(value, int | float) and not isinstance(value, bool) and math.isfinite(value)
    return float(value) if number and isinstance(value, int | float) else None


def _issued(said: Entry, zone: str | None) -> dt.datetime | None:
    return _moment(said.text("issued"), zone)


def _moment(text: str | None, zone: str | None) -> dt.datetime | None:
    """A moment by the clock of the site, in whatever zone it was written; None where it cannot be read."""
    if text is None:
        return None
    try:
        found = moments([text], zone, None)[0]
    except PitsteadError:
        return None
    with suppress(PitsteadError):  # check has named the time zone
        return found if zone is None else found.astimezone(zone_of(zone))
    return found
