"""How a heap dries day by day: towards what the air and the rain make of wood, by its time-lag; readings pull it.

Each day takes the moisture a step nearer to its target, by 63.2 % in one lag. The lag is not well known: it runs over a
grid; for each lag the start is normal, and so is what it becomes, for the steps are linear. The wood also strays from
any course that months can tell; so a reading pulls the forecast to itself, the more the longer ago the last one was.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from sitemap import tables
from sitemap.errors import not_negative, positive, within
from sitemap.ranges import Array, Numbers
from sitemap.season.emc import equilibrium_moisture

DAY_H = 24.0
_GRID, _POINTS = 25, 15  # lags tried, and points of each normal: their quantiles are those of the mixture within 1 %


@dataclass(frozen=True)
class Read:
    """A reading on a day.

    day : number of the day, 0 the first; value, spread : [fraction, dry basis], the standard deviation of its error
    """

    day: int
    value: float
    spread: float


@dataclass(frozen=True, eq=False)
class Band:
    """Moisture on each day [fraction, dry basis]: 10th, 50th and 90th percentile; and the 50th before any reading."""

    low: Array
    likely: Array
    high: Array
    before: Array


def lag_hours(thickness_cm: float) -> float:
    """Time-lag of a piece lying free, by its thickness.

    Parameters
    ----------
    thickness_cm : above 0 [cm]

    Returns
    -------
    time-lag [h]

    Raises
    ------
    BadValue : outside 0–300 cm

    References
    ----------
    Time-lag classes (P), table drying.

    >>> lag_hours(2.0), lag_hours(8.0)
    (10.0, 1000.0)
    """
    within("Thickness", positive("Thickness", thickness_cm, "cm"), 0, 300, "cm")
    row = tables.load("drying")["lags"]
    return float(
        next(hours for limit, hours in zip(row["up_to_cm"], row["hours"], strict=True) if thickness_cm <= limit)
    )


def after(start: Numbers, target: Numbers, hours: float, lag_h: Numbers) -> Array:
    """Moisture after some hours, m = target + (start − target)·exp(−hours/lag).

    Parameters
    ----------
    start, target : scalar or (n,) [fraction, dry basis]
    hours : 0 or more [h]
    lag_h : above 0 [h]

    Returns
    -------
    same shape [fraction, dry basis]

    Raises
    ------
    BadValue : a lag not above 0, hours below 0

    References
    ----------
    Definition of the time-lag (P): 63.2 % of the way in one lag.

    >>> round(float(after(1.0, 0.0, 1000.0, 1000.0)), 3)
    0.368
    """
    positive("The time-lag", lag_h, "h")
    not_negative("Hours", hours, "h")
    return np.asarray(target + (np.asarray(start) - target) * np.exp(-hours / np.asarray(lag_h)))


def target(temperature_c: Numbers, humidity_pct: Numbers, rain_share: Numbers) -> Array:
    """What wood tends to on a day: the air's equilibrium, and rain for its share of the days.

    Parameters
    ----------
    temperature_c : of the air, as `equilibrium_moisture` [°C]
    humidity_pct : of the air, as `equilibrium_moisture` [%]
    rain_share : of days with rain on uncovered wood; 0 under a cover, which only stops the rain [0–1]

    Returns
    -------
    moisture [fraction, dry basis]

    Raises
    ------
    BadValue : outside those limits

    References
    ----------
    Equilibrium (S); rain by judgement (C), table drying.
    """
    return wetted(equilibrium_moisture(temperature_c, humidity_pct), rain_share)


def wetted(tends: Numbers, rain_share: Numbers) -> Array:
    """What wood that tends to something in the air tends to with the rain on it.

    Parameters
    ----------
    tends : in the air alone, scalar or (n,) [fraction, dry basis]
    rain_share : of days with rain on uncovered wood [0–1]

    Returns
    -------
    moisture, same shape [fraction, dry basis]

    Raises
    ------
    BadValue : a share outside its limits

    References
    ----------
    Judgement (C), table drying.
    """
    within("The share of days with rain", rain_share, 0, 1)
    rows = tables.load("drying")
    wet = np.asarray(rain_share) * float(rows["wet_hours"]["value"]) / DAY_H
    return np.asarray((1 - wet) * tends + wet * rows["rained_on"]["value"])


def band(
    targets: Array,
    lags_h: Array,
    start: tuple[float, float],
    readings: Sequence[Read],
    lag_spread: float,
    stray: Numbers = 0.0,
) -> Band:
    """How wet the wood is on each day, by what was read until then.

    Parameters
    ----------
    targets, lags_h : (n,) for each day [fraction, dry basis], [h]
    start : moisture before day 0 and its standard deviation [fraction, dry basis]
    readings : of any days
    lag_spread : standard deviation of the logarithm of the lag
    stray : how far the wood comes to lie from the reckoned course in the long run, standard deviation, scalar or (n,)
        for each day [fraction, dry basis]; the more, the more a reading outweighs the course

    Returns
    -------
    Band, (n,) each

    References
    ----------
    Normal start, course and errors under a lag of the grid: Kalman's filter, exact; the lags are weighed by what they
    made of the readings (D).
    """
    lags = _lags(lag_spread)
    keep = np.exp(-DAY_H / (lags[:, None] * lags_h[None, :]))
    unread = _filtered(targets, keep, start, (), stray)
    return Band(*(_filtered(targets, keep, start, readings, stray) if readings else unread), unread[1])


def first_below(curve: Array, limit: float, begin: int = 0) -> int | None:
    """The first day from a day on that a curve is at a limit or below, None where it never is.

    Parameters
    ----------
    curve : day by day, (days,) [fraction, dry basis]
    limit : as the curve [fraction, dry basis]
    begin : number of the first day looked at [count]

    Returns
    -------
    number of the day [count]

    References
    ----------
    Plain comparison (D).
    """
    days = np.flatnonzero(curve[begin:] <= limit)
    return begin + int(days[0]) if len(days) else None


def _lags(spread: float) -> Array:
    """Factors of the lag, equally likely."""
    from scipy.special import ndtri

    return np.asarray(np.exp(spread * ndtri((np.arange(_GRID) + 0.5) / _GRID)))


def _filtered(
    targets: Array, keep: Array, start: tuple[float, float], readings: Sequence[Read], stray: Numbers
) -> tuple[Array, Array, Array]:
    """10th, 50th and 90th percentile day by day; keep : what a day leaves of the way to the target, (lags, days)."""
    shape = keep.shape
    mean, variance, weight = np.full(shape[0], start[0]), np.full(shape[0], start[1] ** 2), np.zeros(shape[0])
    means, variances, weights = np.empty(shape), np.empty(shape), np.empty(shape)
    strays = np.broadcast_to(np.asarray(stray, dtype=float), shape[1:])
    for day, aim in enumerate(targets):
        stays = keep[:, day]
        mean = aim + (mean - aim) * stays
        variance = variance * stays**2 + strays[day] ** 2 * (1 - stays**2)
        for read in (each for each in readings if each.day == day):
            miss, total = read.value - mean, variance + read.spread**2
            weight = weight - 0.5 * (miss**2 / total + np.log(total))
            mean, variance = mean + variance / total * miss, variance * (1 - variance / total)
        means[:, day], variances[:, day], weights[:, day] = mean, variance, weight
    return _quantiles(means, variances, weights)


def _quantiles(means: Array, variances: Array, weights: Array) -> tuple[Array, Array, Array]:
    """10th, 50th and 90th percentile of the mixture on each day; moisture is not below 0."""
    from scipy.special import ndtri

    points = ndtri((np.arange(_POINTS) + 0.5) / _POINTS)
    mean, spread = means.T[:, :, None], np.sqrt(variances).T[:, :, None]
    values = np.maximum(mean + spread * points, 0.0).reshape(means.shape[1], -1)  # a row for each day: quickest sorted
    share = np.repeat(np.exp(weights - weights.max(axis=0)).T, _POINTS, axis=1)
    order = np.argsort(values, axis=1)
    reached = np.cumsum(np.take_along_axis(share, order, axis=1), axis=1) / share.sum(axis=1, keepdims=True)
    picked = [np.argmax(reached >= chance, axis=1) for chance in (0.1, 0.5, 0.9)]
    days = np.arange(len(values))
    low, likely, high = (values[days, order[days, place]] for place in picked)
    return low, likely, high
