"""The weather of months from days or hours of a record: means of the air, and days with rain."""

from __future__ import annotations

import calendar
from collections import defaultdict
from collections.abc import Iterable
from statistics import fmean

from sitemap.season.hours import WeatherHour

RAIN_DAY_MM = 1.0  # [mm] a day with less is none with rain; common practice, no source
LEAST_DAYS = 5  # of a month, that its means say something; judgement


def months_from(hours: Iterable[WeatherHour]) -> list[dict[str, float]]:
    """Rows for the weather of the months, of each month that has five days at least.

    hours : of a record, hours or days; several years are taken together

    Returns
    -------
    rows as the site keeps them: month, temperature_c, humidity_pct, and rain_days [days in the whole month] where rain
    was recorded; a month without temperature or humidity is left out
    """
    by_month: dict[int, list[WeatherHour]] = defaultdict(list)
    for hour in hours:
        by_month[hour.time.month].append(hour)
    rows = []
    for month, found in sorted(by_month.items()):
        days = {hour.time.date() for hour in found}
        warm = [hour.temperature_c for hour in found if hour.temperature_c is not None]
        humid = [hour.humidity_pct for hour in found if hour.humidity_pct is not None]
        if len(days) < LEAST_DAYS or not warm or not humid:
            continue
        row = {"month": month, "temperature_c": round(fmean(warm), 1), "humidity_pct": round(fmean(humid), 1)}
        rain: dict[object, float] = defaultdict(float)
        for hour in found:
            if hour.rain_mm is not None:
                rain[hour.time.date()] += hour.rain_mm
        if rain:
            share = sum(fallen >= RAIN_DAY_MM for fallen in rain.values()) / len(rain)
            length = calendar.monthrange(2026, month)[1]
            row["rain_days"] = round(share * length, 1)
        rows.append(row)
    return rows
