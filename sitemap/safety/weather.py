"""Weather limits: whether all hours from lighting to the first cold check stay inside them.

One good hour is a trap, so the worst hour decides. The state of the surroundings outranks every hour. This is about
the day; it never enters the verdict of a kiln spot.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from sitemap import tables
from sitemap.errors import not_negative, within
from sitemap.ranges import Array
from sitemap.reasons import Quantity, Reason, Term, compared, reason

OUTLOOK = "outlook_h"  # row of table weather_limits: quiet hours after lighting
INSIDE, NEAR, NOT_KNOWN, OUTSIDE = "inside limits", "near a limit", "not known", "outside limits"
ORDER = (INSIDE, NEAR, NOT_KNOWN, OUTSIDE)

EYE_LEVEL_M, TWENTY_FEET_M, TEN_METRES_M = 1.7, 6.096, 10.0
# Roughness [m] of open ground for which wind at 10 m is 1.15 × that at 20 ft (Turner & Lawson 1978, S), derived (D).
ROUGHNESS_M = float(np.exp((np.log(TEN_METRES_M) - 1.15 * np.log(TWENTY_FEET_M)) / (1 - 1.15)))

#  At which height somebody may have read a wind, as the page offers it [m].
READ_AT: Mapping[str, float] = {
    "eye level": EYE_LEVEL_M,
    "20 ft (6 m)": TWENTY_FEET_M,
    "10 m (33 ft)": TEN_METRES_M,
}
LABELS: Mapping[str, str] = {
    "wind_m_s": "wind",
    "gust_m_s": "gust",
    "humidity_pct": "humidity",
    "temperature_c": "temperature",
}


@dataclass(frozen=True)
class Hour:
    """Weather of one hour; wind and gust at 20 ft (see `wind_at_height_m_s`). None is not known."""

    name: str
    wind_m_s: float | None = None
    gust_m_s: float | None = None
    humidity_pct: float | None = None
    temperature_c: float | None = None


@dataclass(frozen=True)
class WeatherVerdict:
    """verdict : inside limits, near a limit, not known, outside limits; reasons : the worst first."""

    verdict: str
    reasons: tuple[Reason, ...]


def wind_at_height_m_s(wind_m_s: ArrayLike, from_height_m: ArrayLike, to_height_m: ArrayLike = TWENTY_FEET_M) -> Array:
    """Wind over open ground carried from one height to another.

    Parameters
    ----------
    wind_m_s : wind [m/s], scalar or array, at least 0
    from_height_m, to_height_m : heights above the vegetation [m], 1–30: eye level 1.7, 20 ft 6.1, 10

    Returns
    -------
    wind [m/s], same shape

    Raises
    ------
    BadValue : outside those limits

    Notes
    -----
    Logarithmic profile with the roughness that gives 1.15 between 20 ft and 10 m. Open ground, neutral air. Under trees
    the wind at eye level is a small and changing share of the open wind: it must not be converted.

    References
    ----------
    10 m = 1.15 × 20 ft: Turner & Lawson 1978, Pacific Forest Research Centre BC-X-177 (S); the rest (D).

    Examples
    --------
    >>> round(float(wind_at_height_m_s(11.5, 10.0)), 3), round(float(wind_at_height_m_s(2.0, 1.7)), 2)
    (10.0, 3.26)
    """
    wind = np.asarray(not_negative("The wind", wind_m_s, "m/s"), dtype=float)
    low = np.asarray(within("The height the wind was measured at", from_height_m, 1.0, 30.0, "m"), dtype=float)
    high = np.asarray(within("The height the wind is wanted at", to_height_m, 1.0, 30.0, "m"), dtype=float)
    return np.asarray(wind * np.log(high / ROUGHNESS_M) / np.log(low / ROUGHNESS_M))


def limit_verdict(quantity: str, value: float | None, permit: float | None = None) -> str:
    """Where one number lies against its limits (table `weather_limits`), and against the permit's.

    Parameters
    ----------
    quantity : "wind_m_s", "gust_m_s", "humidity_pct" or "temperature_c"
    value : [unit of its name], None for not known
    permit : the limit the permit names [unit of its name], None where it names none; the stricter holds

    Returns
    -------
    inside limits, near a limit, outside limits or not known

    References
    ----------
    Table weather_limits, each row with its own source and letter (P, S, C).

    Examples
    --------
    >>> limit_verdict("humidity_pct", 38.0), limit_verdict("gust_m_s", None)
    ('near a limit', 'not known')
    """
    if value is None or not np.isfinite(value) or (permit is not None and not np.isfinite(permit)):
        return NOT_KNOWN
    if permit is not None and (value < permit if quantity == "humidity_pct" else value > permit):
        return OUTSIDE
    row = tables.load("weather_limits")[quantity]
    if row["inside_low"] <= value <= row["inside_high"]:
        return INSIDE
    return NEAR if row["near_low"] <= value <= row["near_high"] else OUTSIDE


def weather_verdict(
    hours: Sequence[Hour],
    surroundings: str | None,
    *,
    outlook_quiet_h: float | None = None,
    burn_ban: bool | None = None,
    officer_allows_cured: bool = False,
    height_known: bool = True,
    permit: Mapping[str, float] | None = None,
) -> WeatherVerdict:
    """The verdict over all hours from lighting to the first cold check.

    Parameters
    ----------
    hours : every hour from lighting to the first cold check
    surroundings : "snow", "wet", "green", "drying", "cured" or None (not known)
    outlook_quiet_h : hours after lighting without a front or strong wind in the forecast [h]
    burn_ban : whether a ban is in force; None is not known
    officer_allows_cured : the officer in charge allows burning among cured grass
    height_known : whether somebody said at which height the winds were read or forecast
    permit : the limits the permit names, winds at 20 ft, by quantity [unit of its name]

    Returns
    -------
    the worst of all, with every reason that is not "inside limits"
    """
    found: list[tuple[str, Reason | None]] = []

    def judged(quantity: str, value: float | None) -> str:
        return limit_verdict(quantity, value, (permit or {}).get(quantity))

    if not hours:
        found.append((NOT_KNOWN, reason("safety.weather_no_hour")))
    for quantity, label in LABELS.items():
        for word in (OUTSIDE, NOT_KNOWN, NEAR):
            when = [hour.name for hour in hours if judged(quantity, getattr(hour, quantity)) == word]
            if when:
                why = reason("safety.weather_limit", quantity=Term(label), word=Term(word), hours=tuple(when))
                found.append((word, why))
    if not height_known:
        found.append((NOT_KNOWN, reason("safety.weather_no_height")))
    found += [(NOT_KNOWN, below) for hour in hours if (below := _gust_below_mean(hour)) is not None]
    found.append(_surroundings(surroundings, officer_allows_cured))
    needed_h = float(tables.load("weather_limits")[OUTLOOK]["inside_low"])
    if outlook_quiet_h is None:
        found.append((NOT_KNOWN, reason("safety.weather_no_outlook", hours=Quantity(needed_h, "h"))))
    elif outlook_quiet_h < needed_h:
        after, needed = Quantity(outlook_quiet_h, "h"), Quantity(needed_h, "h")
        found.append((OUTSIDE, reason("safety.weather_front", after=after, needed=needed)))
    if burn_ban is None:
        found.append((NOT_KNOWN, reason("safety.weather_ban_unknown")))
    elif burn_ban:
        found.append((OUTSIDE, reason("safety.weather_ban")))
    worst = max((word for word, _ in found), key=ORDER.index)
    said = sorted((pair for pair in found if pair[0] != INSIDE), key=lambda pair: -ORDER.index(pair[0]))
    return WeatherVerdict(worst, tuple(why for _, why in said if why is not None))


def _gust_below_mean(hour: Hour) -> Reason | None:
    """Why the two winds of an hour cannot both be true; None where they can: a gust is the peak of the same wind."""
    if hour.wind_m_s is None or hour.gust_m_s is None or hour.gust_m_s >= hour.wind_m_s:
        return None
    gust, mean = compared(hour.gust_m_s, hour.wind_m_s, "m_s")
    return reason("safety.weather_gust_below", gust=gust, mean=mean, hour=hour.name)


def _surroundings(state: str | None, officer_allows_cured: bool) -> tuple[str, Reason | None]:
    if state in ("snow", "wet", "green"):
        return INSIDE, None
    if state == "drying":
        return NEAR, reason("safety.weather_drying")
    if state == "cured":
        if officer_allows_cured:
            return NEAR, reason("safety.weather_cured_allowed")
        return OUTSIDE, reason("safety.weather_cured")
    return NOT_KNOWN, reason("safety.weather_around_unknown")
