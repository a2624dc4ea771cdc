"""What batches burned teach of those to come: normal on logarithms, prior and readings weighed by what they know."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from sitemap.errors import positive
from sitemap.ranges import Array

Z90 = 1.2815515655446004  # of the normal distribution at 90 %
LEAST_SPREAD = 0.02  # of the logarithm: nothing is known better than to 2 %; judgement
SCATTER = 0.20  # from batch to batch, of the logarithm; judgement


@dataclass(frozen=True)
class Belief:
    """What is believed of a number: mean and standard deviation of its logarithm."""

    mean: float
    spread: float

    @property
    def triple(self) -> tuple[float, float, float]:
        """Its 10th, 50th and 90th percentile."""
        return tuple(math.exp(self.mean + z * self.spread) for z in (-Z90, 0.0, Z90))  # type: ignore[return-value]


def belief_of(low: float, likely: float, high: float) -> Belief:
    """The belief a range stands for: likely its middle, low and high the 10th and 90th percentile.

    Parameters
    ----------
    low, likely, high : all above 0 [unit of the number]

    Returns
    -------
    the belief

    Raises
    ------
    BadValue : a number not above 0

    References
    ----------
    Lognormal by its middle and percentiles (D).

    >>> [round(end, 1) for end in belief_of(5.0, 7.0, 9.8).triple]
    [5.0, 7.0, 9.8]
    """
    positive("The low end", low)
    positive("The likely value", likely)
    positive("The high end", high)
    return Belief(math.log(likely), max(math.log(high / low) / (2 * Z90), LEAST_SPREAD))


def taught(belief: Belief, observed: Sequence[float], scatter: float = SCATTER) -> Belief:
    """The belief after what was seen.

    Parameters
    ----------
    belief : before
    observed : of batches burned, each above 0 [unit of the number]
    scatter : standard deviation of the logarithm from batch to batch, above 0

    Returns
    -------
    the belief in the mean of batches to come; the same where nothing was seen

    Raises
    ------
    BadValue : a value or scatter not above 0

    References
    ----------
    Normal prior, normal errors of known spread: the conjugate posterior (D).

    >>> taught(Belief(0.0, 0.2), [math.e], 0.2)
    Belief(mean=0.5, spread=0.1414213562373095)
    """
    positive("The scatter", scatter)
    for value in observed:
        positive("What was seen", value)
    if not observed:
        return belief
    prior, own = belief.spread**-2, scatter**-2
    total = prior + len(observed) * own
    mean = (prior * belief.mean + own * sum(map(math.log, observed))) / total
    return Belief(mean, total**-0.5)


def carried(values: Array, before: Belief, after: Belief) -> Array:
    """Draws of one belief carried over to another, each keeping its place.

    values : (n,), above 0
    """
    return np.asarray(np.exp(after.mean + (np.log(values) - before.mean) * after.spread / before.spread))


def taught_together(one: Belief, other: Belief, product: Sequence[float], scatter: float) -> tuple[Belief, Belief]:
    """Two beliefs after their product was seen: wood of a heap and yield, by the char it gave.

    Parameters
    ----------
    one, other : before, not knowing of each other
    product : of both, each seen once, above 0 [unit of the product]
    scatter : standard deviation of the logarithm of what is seen, above 0

    Returns
    -------
    both after; the less certain takes the larger part of what was off; the same where nothing was seen

    Raises
    ------
    BadValue : a product or scatter not above 0

    References
    ----------
    Normal priors of the logarithms, a normal error of their sum: the conjugate posterior, its margins (D).

    >>> taught_together(Belief(0.0, 0.3), Belief(0.0, 0.3), [math.e], 0.3)[0].mean
    0.3333333333333333
    """
    positive("The scatter", scatter)
    for value in product:
        positive("What was seen", value)
    if not product:
        return one, other
    error = scatter**2 / len(product)
    off = sum(map(math.log, product)) / len(product) - one.mean - other.mean
    total = one.spread**2 + other.spread**2 + error
    first, second = (
        Belief(each.mean + each.spread**2 / total * off, each.spread * math.sqrt(1 - each.spread**2 / total))
        for each in (one, other)
    )
    return first, second


def taught_pace(belief: Belief, trips: Sequence[tuple[float, float, float]], scatter: float = SCATTER) -> Belief:
    """The pace of trips, as a share of the speeds reckoned with, after some were timed.

    Parameters
    ----------
    belief : before, of the share
    trips : (minutes of a round trip as timed, minutes of it at the kiln and the water, minutes on the way at pace 1)
    scatter : standard deviation of the logarithm of a timed trip, above 0

    Returns
    -------
    the belief after, by the mean and spread of the posterior of the logarithm; the same where nothing was timed

    Raises
    ------
    BadValue : a time not above 0

    Notes
    -----
    Minutes on the way go with one over the pace and the others do not: the posterior is no normal one, and is summed
    up on a grid of 801 shares within six spreads.

    References
    ----------
    Bayes' rule on a grid (D).

    >>> taught_pace(Belief(0.0, 0.2), [])
    Belief(mean=0.0, spread=0.2)
    """
    positive("The scatter", scatter)
    for timed, _, way in trips:
        positive("Minutes of a trip", timed, "min")
        positive("Minutes on the way", way, "min")
    if not trips:
        return belief
    grid = belief.mean + belief.spread * np.linspace(-6, 6, 801)
    weight = -0.5 * ((grid - belief.mean) / belief.spread) ** 2
    for timed, still, way in trips:
        weight = weight - 0.5 * ((math.log(timed) - np.log(still + way * np.exp(-grid))) / scatter) ** 2
    share = np.exp(weight - weight.max())
    share = share / share.sum()
    mean = float((share * grid).sum())
    return Belief(mean, max(float(np.sqrt((share * (grid - mean) ** 2).sum())), LEAST_SPREAD))
