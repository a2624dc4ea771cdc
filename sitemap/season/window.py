"""The weather window: every hour from lighting to the first cold check against every limit; one good hour is a trap."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from itertools import pairwise
from types import MappingProxyType

from sitemap import tables
from sitemap.reasons import Quantity, Reason, Term, reason
from sitemap.safety.limits_of_site import Limit
from sitemap.safety.weather import INSIDE, NEAR, NOT_KNOWN, ORDER, OUTLOOK, OUTSIDE, TWENTY_FEET_M, wind_at_height_m_s
from sitemap.season.hours import WeatherHour

STALE_H = 12.0  # [h] a forecast older than this when it is needed is read again; judgement
_HOUR = dt.timedelta(hours=1)
_STEP = dt.timedelta(hours=6)  # the longest step of a forecast beyond its first days
_KM_H = 3.6  # [km/h per m/s]
_LABELS = {"wind": "wind", "gust": "gust", "humidity": "humidity", "temperature": "temperature"}


@dataclass(frozen=True)
class Span:
    """From the first lighting of the day to the last first cold check."""

    lit: dt.datetime
    cold_check: dt.datetime


@dataclass(frozen=True)
class Judged:
    """One hour against the limits.

    values : by the key of the limit, in its unit, winds at 20 ft
    words : inside limits, near a limit, outside limits or not known, by the same keys
    """

    time: dt.datetime
    values: Mapping[str, float] = field(hash=False)
    words: Mapping[str, str] = field(hash=False)

    @property
    def word(self) -> str:
        """The worst of them."""
        return max(self.words.values(), key=ORDER.index)


@dataclass(frozen=True)
class Window:
    """The weather of a burn.

    word : inside limits only where every hour is
    reasons : what is not inside limits, the worst first
    hours : of the burn and of the quiet time after, judged; burn : those of the burn
    issued, stale : when the forecast was made, and whether that is too long before lighting
    """

    word: str
    reasons: tuple[Reason, ...]
    hours: tuple[Judged, ...]
    burn: tuple[Judged, ...]
    span: Span
    issued: dt.datetime | None
    stale: bool


def judge(hour: WeatherHour, limits: Sequence[Limit], height_m: float | None) -> Judged:
    """One hour against the limits.

    hour : of the forecast; limits : at 20 ft; height_m : its winds are for [m], None where nobody said
    """
    values: dict[str, float] = {}
    for key, wind in (("wind", hour.wind_m_s), ("gust", hour.gust_m_s)):
        if wind is not None and height_m is not None:
            values[key] = _KM_H * float(wind_at_height_m_s(wind, height_m, TWENTY_FEET_M))
    air = {"humidity": hour.humidity_pct, "temperature": hour.temperature_c}
    values |= {key: value for key, value in air.items() if value is not None}
    words = {limit.key: word_of(limit, values.get(limit.key)) for limit in limits}
    if "gust" in values and values["gust"] < values.get("wind", 0.0):
        words["gust"] = NOT_KNOWN  # a gust is the peak of the same wind: one of the two is wrong
    return Judged(hour.time, MappingProxyType(values), MappingProxyType(words))


def word_of(limit: Limit, value: float | None) -> str:
    """Where a value lies against one limit, ours or the permit's, the stricter.

    value : in the unit of the limit, None for not known
    """
    if value is None:
        return NOT_KNOWN
    if value < limit.strictest if limit.below else value > limit.strictest:
        return OUTSIDE
    low, high = limit.inside
    inside = (low is None or value >= low) and (high is None or value <= high)
    return INSIDE if inside else NEAR


def window_of(
    hours: Sequence[WeatherHour],
    span: Span,
    limits: Sequence[Limit],
    *,
    height_m: float | None,
    issued: dt.datetime | None,
    front_free_h: float | None = None,
    needed: dt.datetime | None = None,
) -> Window:
    """The weather of a burn.

    Parameters
    ----------
    hours : of the forecast, in order
    span : from lighting to the first cold check
    limits : at 20 ft, `safety.limits_of_site.limits_of`
    height_m : the winds of the forecast are for [m], None where nobody said
    issued : when the forecast was made, None where nobody said
    front_free_h : hours from lighting without a front, by its text [h], None where nobody said
    needed : when it must not be stale: where a day to come is looked at, the beginning of today; left out: at lighting

    Returns
    -------
    Window; a gap in the hours of the burn is not known, and so are 48 h after without hours or a word of fronts
    """
    quiet_h = float(tables.load("weather_limits")[OUTLOOK]["inside_low"])
    ends = span.lit + dt.timedelta(hours=quiet_h)
    judged = tuple(judge(hour, limits, height_m) for hour in hours if _floor(span.lit) <= hour.time <= ends)
    burn = tuple(each for each in judged if each.time < span.cold_check)
    after = tuple(each for each in judged if each.time >= span.cold_check)
    found: list[tuple[str, Reason]] = []
    missing = _missing(burn, span)
    if missing:
        found.append((NOT_KNOWN, reason("season.hours_missing", first=missing[0], count=len(missing))))
    if height_m is None:
        found.append((NOT_KNOWN, reason("safety.weather_no_height")))
    found += _of_limits(burn, limits)
    found += _of_outlook(after, span, ends, quiet_h, front_free_h)
    needed = span.lit if needed is None else needed
    stale = issued is None or needed - issued > dt.timedelta(hours=STALE_H)
    if issued is None:
        found.append((NOT_KNOWN, reason("season.issued_not_known")))
    elif issued > span.lit:
        found.append((NOT_KNOWN, reason("season.issued_after", issued=issued, lit=span.lit)))
    elif needed < span.lit and issued >= needed + dt.timedelta(days=1):
        found.append((NOT_KNOWN, reason("season.issued_to_come", issued=issued)))
    elif stale:
        found.append(
            (NOT_KNOWN, reason("season.forecast_stale", issued=issued, hours=Quantity(STALE_H, "h"), needed=needed))
        )
    found.sort(key=lambda pair: -ORDER.index(pair[0]))
    word = found[0][0] if found else INSIDE
    return Window(word, tuple(why for _, why in found), judged, burn, span, issued, stale)


def _floor(time: dt.datetime) -> dt.datetime:
    return time.replace(minute=0, second=0, microsecond=0)


def _missing(burn: Sequence[Judged], span: Span) -> list[dt.datetime]:
    """The hours of the burn of which the forecast says nothing; hours are counted in universal time."""
    have = {_floor(each.time).astimezone(dt.UTC) for each in burn}
    at, found = _floor(span.lit).astimezone(dt.UTC), []
    while at < span.cold_check:
        if at not in have:
            found.append(at.astimezone(span.lit.tzinfo))
        at += _HOUR
    return found


def _of_limits(burn: Sequence[Judged], limits: Sequence[Limit]) -> list[tuple[str, Reason]]:
    found = []
    for limit in limits:
        for word in (OUTSIDE, NOT_KNOWN, NEAR):
            times = [each.time for each in burn if each.words[limit.key] == word]
            if times:
                label, first = Term(_LABELS[limit.key]), times[0]
                why = reason("season.limit", quantity=label, word=Term(word), count=len(times), first=_clock(first))
                found.append((word, why))
    return found


def _of_outlook(
    after: Sequence[Judged], span: Span, ends: dt.datetime, quiet_h: float, front_free_h: float | None
) -> list[tuple[str, Reason]]:
    """What is not quiet, or not known to be, from the cold check to 48 h after lighting."""
    needed, found = Quantity(quiet_h, "h"), []
    times = [span.cold_check, *(each.time for each in after), ends]
    gap = max((other - one for one, other in pairwise(times)), default=_STEP)
    strong = [each for each in after if OUTSIDE in (each.words["wind"], each.words["gust"])]
    if strong:
        found.append((OUTSIDE, reason("season.strong_wind_after", when=strong[0].time)))
    blind = any(NOT_KNOWN in (each.words["wind"], each.words["gust"]) for each in after)
    if gap > _STEP or blind:
        found.append((NOT_KNOWN, reason("season.outlook_short", hours=needed)))
    if front_free_h is None:
        found.append((NOT_KNOWN, reason("season.front_not_known", hours=needed)))
    elif front_free_h < quiet_h:
        found.append((OUTSIDE, reason("safety.weather_front", after=Quantity(front_free_h, "h"), needed=needed)))
    return found


def _clock(time: dt.datetime) -> dt.time:
    return time.timetz().replace(tzinfo=None)
