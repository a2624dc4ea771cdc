"""What the air of a site makes of wood, day by day: by the days that were recorded, by its months for all others."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

from sitemap.reasons import Reason, reason
from sitemap.season.days import DayAir, days_of, month_means
from sitemap.season.drying import target, wetted
from sitemap.site.model import Site

_DAYS_IN_MONTH = 30.4


@dataclass(frozen=True)
class Month:
    """The air of one month: means, and days with rain."""

    temperature_c: float
    humidity_pct: float
    rain_days: float

    @property
    def rain_share(self) -> float:
        """Share of its days with rain."""
        return min(self.rain_days / _DAYS_IN_MONTH, 1.0)

    def tends(self, covered: bool) -> float:
        """What wood tends to [fraction, dry basis]. covered : a cover stops the rain, and nothing else"""
        return float(target(self.temperature_c, self.humidity_pct, 0.0 if covered else self.rain_share))


@dataclass(frozen=True, eq=False)
class Climate:
    """The air of a site.

    days : as recorded; months : as typed; of a month nobody typed the means of its recorded days stand in
    """

    days: Mapping[dt.date, DayAir]
    months: Mapping[int, Month]

    def tends(self, day: dt.date, covered: bool) -> float:
        """What wood tends to on a day [fraction, dry basis].

        A recorded day counts as it was; whether it rained, where the record does not say, is taken from its month. A
        month nobody typed is as damp as the dampest that is known, and so are days beyond a record without any month.
        """
        if (day, covered) not in self._known:
            self._known[day, covered] = self._tends(day, covered)
        return self._known[day, covered]

    @cached_property
    def _known(self) -> dict[tuple[dt.date, bool], float]:
        """What was worked out already: the heaps of a site share their days."""
        return {}

    def _tends(self, day: dt.date, covered: bool) -> float:
        air, month = self.days.get(day), self.months.get(day.month)
        if air is not None:
            unknown = 1.0 if month is None else month.rain_share
            share = unknown if air.rain is None else float(air.rain)
            return float(wetted(air.tends, 0.0 if covered else share))
        if month is not None:
            return month.tends(covered)
        if self.months:
            return max(each.tends(covered) for each in self.months.values())
        return max(self._tends(each, covered) for each in self.days)

    def recorded(self, first: dt.date) -> tuple[dt.date, ...]:
        """The recorded days from a day on, in order."""
        return tuple(sorted(day for day in self.days if first <= day))


def told_of(recorded: Sequence[dt.date]) -> Reason:
    """Which days a course runs through as they were, and which by the months. recorded : in order"""
    if not recorded:
        return reason("season.by_months")
    first, last, count = recorded[0], recorded[-1], len(recorded)
    lacking = (last - first).days + 1 - count
    if lacking:
        return reason("season.by_days_with_gaps", count=count, first=first, last=last, lacking=lacking)
    return reason("season.by_days", count=count, first=first, last=last)


def runs_of(days: Sequence[dt.date]) -> tuple[tuple[dt.date, dt.date], ...]:
    """Days in order, as stretches without a gap: the first of each and the day after its last."""
    runs: list[tuple[dt.date, dt.date]] = []
    for day in days:
        begin = runs.pop()[0] if runs and runs[-1][1] == day else day
        runs.append((begin, day + dt.timedelta(days=1)))
    return tuple(runs)


def climate_of(site: Site) -> Climate | None:
    """The air of a site; None where neither a month nor a day of it is whole."""
    days = days_of(site)
    means = {
        month: Month(warm, humid, _DAYS_IN_MONTH * (1.0 if share is None else share))
        for month, (warm, humid, share) in month_means(days).items()
    }
    months = {**means, **months_of(site)}
    return Climate(days, months) if days or months else None


def months_of(site: Site) -> Mapping[int, Month]:
    """The typed months by number, those that lack temperature or humidity left out; empty where none is whole. Of a
    month typed twice the dampest row counts."""
    found: dict[int, Month] = {}
    for each in site.records("climate"):
        month, warm, humid = each.integer("month"), each.number("temperature_c"), each.number("humidity_pct")
        if month is not None and warm is not None and humid is not None:
            rain = each.number("rain_days")
            air = Month(warm, humid, _DAYS_IN_MONTH if rain is None else rain)
            found[month] = max(found.get(month, air), air, key=lambda each: each.tends(False))
    return found
