"""From flow to verdict: rate against what keeps glowing char hot, time limits, words, and what the words do."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from sitemap.errors import not_negative, positive
from sitemap.hydraulics.friction import Numbers
from sitemap.ranges import Array
from sitemap.reasons import Reason

Word = Literal["enough, proved", "enough on paper", "tight", "short", "not known"]
SourceWord = Word | Literal["holds enough"]  # of a source: litres, leave and season, of which no bucket says anything
Line = Literal["quench", "attack"]
Effect = Literal["passes", "conditional", "ruled out"]

WATER_ON_MIN = 30.0  # [min] water on within, from the call: common practice, no source
COLD_MIN = 60.0  # [min] raked and no steam by: common practice, no source
HOLD_L_MIN_M2 = (0.7, 1.4, 2.2)  # [L/min per m² glowing] low, likely, high, as in the table of the quench (D)
BEST_FIRST: tuple[Word, ...] = ("enough, proved", "enough on paper", "tight", "not known", "short")
A_DAY_MIN = 1440.0  # [min] a time is not shown longer than this
MOST_L = 1e6  # [L] stands for water without end: the char never goes out


def quench_growth(flow_l_min: Numbers, hold_l_min: Numbers) -> Array:
    """How much more water a slow quench takes: 1/(1 − q_hold/q); infinite at or below q_hold.

    Parameters
    ----------
    flow_l_min : scalar or (n,), what arrives [L/min]; NaN where nothing does
    hold_l_min : scalar or (n,), what the glowing char boils off by itself [L/min], not below 0

    Returns
    -------
    same shape [no unit], 1 or more

    References
    ----------
    Balance of the water that arrives and the water the glow boils off (D).

    >>> float(quench_growth(20.0, 5.0))
    1.3333333333333333
    """
    q, hold = np.broadcast_arrays(
        np.asarray(flow_l_min, float), np.asarray(not_negative("Holding flow", hold_l_min), float)
    )
    grown = np.full(q.shape, np.inf)
    fast = q > hold  # False for NaN
    grown[fast] = 1.0 / (1.0 - hold[fast] / q[fast])
    return grown


def minutes_to_quench(litres: Numbers, flow_l_min: Numbers, hold_l_min: Numbers, first_min: Numbers = 0.0) -> Array:
    """Time from the call for water until the quench is done: first water + litres·growth/flow.

    Parameters
    ----------
    litres : scalar or (n,), quench volume at an ample flow [L]
    flow_l_min, hold_l_min : as for `quench_growth` [L/min]
    first_min : until the first water is there (filling the hose, first load) [min]

    Returns
    -------
    same shape [min]; infinite where the char is never put out

    >>> float(minutes_to_quench(600.0, 20.0, 5.0))
    40.0
    """
    grown = quench_growth(flow_l_min, hold_l_min)
    with np.errstate(divide="ignore"):
        return np.where(np.isfinite(grown), first_min + litres * grown / np.asarray(flow_l_min, float), np.inf)


def needed_flow_l_min(litres: Numbers, hold_l_min: Numbers, fill_l: Numbers = 0.0) -> Array:
    """Smallest flow that puts the kiln out in time.

    Water must be on within 30 min and the quench done within 60 min of the call. With V to fill the hose:
    V/q + L/(q − q_hold) ≤ 60 and V/q ≤ 30, so q is the larger root of 60q² − (60·q_hold + V + L)·q + V·q_hold = 0,
    and at least V/30.

    Parameters
    ----------
    litres : scalar or (n,), quench volume [L], above 0
    hold_l_min : scalar or (n,) [L/min], not below 0
    fill_l : scalar or array, water that fills the hose [L]; NaN stays NaN

    Returns
    -------
    broadcast shape [L/min]

    >>> float(needed_flow_l_min(600.0, 5.0))
    15.0
    """
    volume, hold = positive("Quench volume", litres, "L"), not_negative("Holding flow", hold_l_min, "L/min")
    fill = np.asarray(fill_l, dtype=float)
    b = COLD_MIN * hold + fill + volume
    root = (b + np.sqrt(b**2 - 4 * COLD_MIN * fill * hold)) / (2 * COLD_MIN)
    return np.maximum(root, fill / WATER_ON_MIN)


def word_of(
    passes: NDArray[np.bool_], at_worst_lift: bool, at_best_lift: bool, tight_because: Sequence[Reason] = ()
) -> Word:
    """The word for a figure on paper.

    Parameters
    ----------
    passes : (n,) True where the check is met; element 0 at the likely inputs, the rest draws
    at_worst_lift, at_best_lift : whether it is met at the ends of the lift's ± (others likely)
    tight_because : what allows *tight* at best

    Returns
    -------
    "enough on paper", "tight" (met, but not in nine draws of ten, or it flips inside the lift's ±) or "short"
    """
    if not passes[0]:
        return "tight" if at_best_lift else "short"
    if not at_worst_lift or tight_because or float(np.mean(passes[1:])) < 0.9:
        return "tight"
    return "enough on paper"


def at_best(word: Word, best: Word) -> Word:
    """The word, or the worse of the two where it is not allowed to be better."""
    return max(word, best, key=BEST_FIRST.index)


def effect_of(word: Word, line: Line) -> Effect:
    """What a water verdict does to a kiln spot.

    >>> effect_of("short", "quench"), effect_of("short", "attack"), effect_of("enough, proved", "quench")
    ('ruled out', 'conditional', 'passes')
    """
    if word == "enough, proved":
        return "passes"
    return "ruled out" if word == "short" and line == "quench" else "conditional"
