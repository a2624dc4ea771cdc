"""The weather of single days as a record has it: what drying runs through where they are known."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from statistics import fmean, median

from sitemap.errors import PitsteadError
from sitemap.season.daylight import zone as zone_of
from sitemap.season.emc import equilibrium_moisture
from sitemap.season.hours import WeatherHour
from sitemap.season.months import LEAST_DAYS, RAIN_DAY_MM
from sitemap.site.model import Site

_DAY_H, _LEAST_H = 24.0, 18.0  # [h] hours of a day a record must tell of, else the day is a gap; judgement
_RAIN_KNOWN = 0.75  # share of a day's rows that must tell of rain before "no rain" is believed; judgement
_BOUNDS = {"temperature_c": (-60.0, 60.0), "humidity_pct": (0.0, 100.0), "rain_mm": (0.0, 2000.0)}


@dataclass(frozen=True)
class DayAir:
    """The air of one day.

    tends : equilibrium moisture, the mean of its hours where those are known [fraction, dry basis]
    rain : whether it rained on it, None where that is not known
    """

    temperature_c: float
    humidity_pct: float
    tends: float
    rain: bool | None


@dataclass(frozen=True)
class Record:
    """Days out of a record, as the site keeps them.

    rows : one for each day it tells of; gaps : days between the first and the last it does not
    left_out : values no air has, taken as not known
    """

    rows: tuple[Mapping[str, object], ...]
    gaps: int
    left_out: int


def record_of(hours: Sequence[WeatherHour], zone: str | None) -> Record:
    """The days of a record of days or hours.

    hours : in order; zone : of the site, by whose clock a day begins; days of a record of days keep their dates
    """
    step_h = _step_h(hours)
    by_day: dict[dt.date, list[WeatherHour]] = {}
    left_out = 0
    for hour in hours:
        sound, wrong = _sound(hour)
        left_out += wrong
        by_day.setdefault(_date(hour.time, zone, step_h), []).append(sound)
    rows = [row for on, own in sorted(by_day.items()) if (row := _row(on, own, step_h)) is not None]
    dates = [dt.date.fromisoformat(str(row["date"])) for row in rows]
    gaps = sum((other - one).days - 1 for one, other in pairwise(dates))
    return Record(tuple(rows), gaps, left_out)


def days_of(site: Site) -> Mapping[dt.date, DayAir]:
    """The days of the site's record; one without temperature or humidity is left out, of a day twice the drier."""
    found: dict[dt.date, DayAir] = {}
    for each in site.records("weather_days"):
        on, warm, humid = each.date("date"), each.number("temperature_c"), each.number("humidity_pct")
        if on is None or warm is None or humid is None:
            continue
        said, rain = each.number("tends_pct"), each.number("rain_mm")
        tends = float(equilibrium_moisture(warm, humid)) if said is None else said / 100
        air = DayAir(warm, humid, tends, None if rain is None else rain >= RAIN_DAY_MM)
        other = found.get(on)
        found[on] = air if other is None else max(air, other, key=lambda each: (each.rain is not False, each.tends))
    return found


def month_means(days: Mapping[dt.date, DayAir]) -> Mapping[int, tuple[float, float, float | None]]:
    """Means of the months of which five days at least are recorded: temperature, humidity, share of days with rain."""
    found = {}
    for month in sorted({day.month for day in days}):
        own = [air for day, air in days.items() if day.month == month]
        if len(own) >= LEAST_DAYS:
            told = [air.rain for air in own if air.rain is not None]
            share = fmean(told) if told else None
            found[month] = fmean(air.temperature_c for air in own), fmean(air.humidity_pct for air in own), share
    return found


def _step_h(hours: Sequence[WeatherHour]) -> float:
    """The usual step of a record [h]; a day where there is but one row."""
    steps = [(other.time - one.time).total_seconds() / 3600 for one, other in pairwise(hours)]
    return min(median(steps), _DAY_H) if steps else _DAY_H


def _date(time: dt.datetime, zone: str | None, step_h: float) -> dt.date:
    if step_h < _DAY_H - 1 and zone is not None:
        try:
            return time.astimezone(zone_of(zone)).date()
        except PitsteadError:
            pass  # check has named the time zone
    return time.date()


def _sound(hour: WeatherHour) -> tuple[WeatherHour, int]:
    """The hour without values that no air has, and how many these were."""
    values = {name: getattr(hour, name) for name in _BOUNDS}
    wrong = [name for name, value in values.items() if value is not None and not _within(value, *_BOUNDS[name])]
    kept = {name: None if name in wrong else value for name, value in values.items()}
    return WeatherHour(hour.time, **kept), len(wrong)


def _within(value: float, low: float, high: float) -> bool:
    return low <= value <= high


def _row(on: dt.date, own: Iterable[WeatherHour], step_h: float) -> Mapping[str, object] | None:
    """What is kept of one day; None where too little of it is told."""
    hours = list(own)
    pairs = [
        (hour.temperature_c, hour.humidity_pct)
        for hour in hours
        if hour.temperature_c is not None and hour.humidity_pct is not None
    ]
    if len(pairs) * step_h < _LEAST_H:
        return None
    row: dict[str, object] = {
        "date": on.isoformat(),
        "temperature_c": round(fmean(warm for warm, _ in pairs), 2),
        "humidity_pct": round(fmean(humid for _, humid in pairs), 2),
    }
    if len(pairs) > 1:
        row["tends_pct"] = round(100 * fmean(float(equilibrium_moisture(*pair)) for pair in pairs), 2)
    fallen = [hour.rain_mm for hour in hours if hour.rain_mm is not None]
    if fallen and (sum(fallen) >= RAIN_DAY_MM or len(fallen) >= _RAIN_KNOWN * len(hours)):
        row["rain_mm"] = round(sum(fallen), 2)
    return row
