"""Is it dry? The share of the pieces still too wet, judged from a few readings, and how many more would settle it."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from sitemap.errors import BadValue, not_negative, positive, within
from sitemap.ranges import Array
from sitemap.reasons import reason
from sitemap.roots import root_between
from sitemap.slash.moisture import METER_POINTS

_MIDPOINTS = 500
MOST_READINGS = 30  # nobody reads more pieces of one heap; common practice, no source


def share_too_wet(readings_pct: Sequence[float], limit_pct: float) -> float:
    """Share of the pieces still above a limit, all on the basis of the limit.

    The chance that the next piece reads above the limit, Student's t with n − 1 degrees of freedom about the mean and
    s·√(1 + 1/n); s never below the meter's own ± 2 points. Right where pieces scatter evenly about their mean.

    Parameters
    ----------
    readings_pct : (n,), two at least [%]
    limit_pct : scalar [%]

    Returns
    -------
    the chance, 0 to 1 [share]

    Raises
    ------
    BadValue : fewer than two readings

    References
    ----------
    Prediction of one further value (D).

    >>> share_too_wet([18.0, 22.0], 20.0)
    0.5
    """
    count, mean, spread = _moments(readings_pct)
    positive("The moisture limit", limit_pct, "%")
    return _next_above(count, mean, spread, limit_pct)


def share_range(readings_pct: Sequence[float], limit_pct: float) -> tuple[float, float]:
    """Between which shares the pieces above a limit lie, eight times out of ten.

    Parameters
    ----------
    readings_pct : (n,), two at least [%]
    limit_pct : scalar [%]

    Returns
    -------
    low, high, 0 to 1 [share]

    Raises
    ------
    BadValue : fewer than two readings

    Notes
    -----
    √n·(limit − mean)/s follows the non-central t distribution with the non-centrality √n·z, z the place of the limit in
    standard deviations. So √n·z is spread like t·√(χ²/(n − 1)) plus a standard normal number, and its 10th and 90th
    percentile bound the share: the tolerance limit of a normal sample, read the other way round.

    References
    ----------
    One-sided tolerance limits by the non-central t distribution, NASA TM-108424 (S); by midpoints of χ² (D).

    >>> [round(end, 2) for end in share_range([18.0, 22.0], 20.0)]
    [0.18, 0.82]
    """
    from scipy.special import gammaincinv, ndtr

    count, mean, spread = _moments(readings_pct)
    positive("The moisture limit", limit_pct, "%")
    t, half = math.sqrt(count) * (limit_pct - mean) / spread, (count - 1) / 2
    midpoints = (np.arange(_MIDPOINTS) + 0.5) / _MIDPOINTS
    centres = t * np.sqrt(gammaincinv(half, midpoints) / half)
    ends = np.full(2, centres.min() - 10), np.full(2, centres.max() + 10)

    def margin(place: Array, chance: Array) -> Array:
        return np.asarray(ndtr(place[:, None] - centres).mean(axis=1) - chance)

    low, high = ndtr(-root_between(margin, *ends, np.array([0.9, 0.1])) / math.sqrt(count))
    return float(low), float(high)


def more_to_prove(readings_pct: Sequence[float], limit_pct: float, share: float) -> int | None:
    """How many more readings, scattered as those so far, would prove the heap dry.

    Parameters
    ----------
    readings_pct : (n,), two at least [%]
    limit_pct : scalar [%]
    share : of the pieces that may be above the limit, 0 to 1 [share]

    Returns
    -------
    0 where they prove it already; None where 30 in all would not: it has to dry first

    Raises
    ------
    BadValue : fewer than two readings

    References
    ----------
    `share_too_wet`, its readings counted on (D).

    >>> more_to_prove([16.0, 17.0, 16.0], 20.0, 0.1), more_to_prove([22.0, 25.0], 20.0, 0.1)
    (1, None)
    """
    count, mean, spread = _moments(readings_pct)
    within("The share of pieces", share, 0, 1)
    for more in range(max(MOST_READINGS - count, 0) + 1):
        if _next_above(count + more, mean, spread, limit_pct) <= share:
            return more
    return None


def _moments(readings_pct: Sequence[float]) -> tuple[int, float, float]:
    """Count, mean and spread; the spread never below the meter's own."""
    if len(readings_pct) < 2:
        raise BadValue(reason("slash.few_readings", count=len(readings_pct)))
    readings = not_negative("A moisture reading", np.asarray(readings_pct, dtype=float), "%")
    return len(readings), float(np.mean(readings)), max(float(np.std(readings, ddof=1)), METER_POINTS)


def _next_above(count: int, mean: float, spread: float, limit: float) -> float:
    from scipy.special import stdtr

    return float(1 - stdtr(count - 1, (limit - mean) / (spread * math.sqrt(1 + 1 / count))))
