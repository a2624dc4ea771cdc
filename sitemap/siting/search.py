"""The least work for several spots at once: a search over arrays that swaps one spot at a time until none helps.

Choosing n places out of many so that every heap is served by its cheapest is the p-median problem: no quick way finds
the best for certain. Swapping from several starts (M. B. Teitz and P. Bart 1968, Operations Research 16(5):955-961;
from memory) is held within 1 % of trying everything in the tests.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sitemap.terrain.surface import Floats

STARTS = 12
TRIED_FIRST = 2_000  # so many places, evenly thinned, are searched from every start; the best set then over all of them
SEED = 20_240_229  # any number: the same site gives the same answer


@dataclass(frozen=True)
class Moving:
    """What it costs to carry kilns from spot to spot, where there are more spots than kilns.

    kilns : on hand
    hours_each : to cool, empty, load and set up again, for each move [h]
    hours_per_m : on the way, along the straight line [h/m]
    """

    kilns: int
    hours_each: float
    hours_per_m: float

    def hours(self, places: Floats) -> Floats:
        """Hours of all moves among n spots, the shortest links that join them: (…, n, 2) [m] to (…)."""
        count = places.shape[-2]
        moves = max(0, count - self.kilns)
        if moves == 0:
            return np.zeros(places.shape[:-2])
        links = np.sort(_tree_links(places), axis=-1)[..., :moves]
        return np.asarray(moves * self.hours_each + self.hours_per_m * links.sum(axis=-1))


def best_set(
    hours: Floats, places: Floats, count: int, spacing_m: float, moving: Moving, barred: NDArray[np.bool_] | None = None
) -> tuple[int, ...]:
    """Numbers of the places that make the least work together, or nothing where no such set is found.

    Parameters
    ----------
    hours : (heaps, places) work if that place serves that heap [h], inf where it cannot
    places : (places, 2) [m]
    count : how many to choose
    spacing_m : least distance between two of them [m]
    moving : of kilns between them
    barred : (places,) places not to be chosen
    """
    free = np.ones(len(places), dtype=bool) if barred is None else ~barred
    few = free & (np.arange(len(places)) % max(1, math.ceil(len(places) / TRIED_FIRST)) == 0)
    draw = np.random.default_rng(SEED)
    found: dict[tuple[int, ...], float] = {}
    for start in range(STARTS if count > 1 else 1):
        # the first start is greedy over all places, the others begin at one drawn by chance among the few
        tried = few if start else free
        chosen = [int(draw.choice(np.flatnonzero(few)))] if start and few.any() else []
        while len(chosen) < count:
            step = _best_beside(hours, places, chosen, spacing_m, moving, tried)
            if step is None:
                break
            chosen.append(step[0])
        if len(chosen) == count:
            total = _improve(hours, places, chosen, spacing_m, moving, tried)
            found[tuple(sorted(chosen))] = total
    if not found:
        return ()
    best = list(min(found.items(), key=lambda one: one[1])[0])
    total = _improve(hours, places, best, spacing_m, moving, free)
    return tuple(sorted(best)) if np.isfinite(total) else ()


def improved(
    count: int,
    options: Callable[[int], tuple[Floats, Floats]],
    chosen_hours: Floats,
    chosen: Floats,
    spacing_m: float,
    moving: Moving,
) -> Floats:
    """Spots moved, one after the other, to the best of the places offered near each; two rounds.

    Parameters
    ----------
    count : spots
    options : for the number of a spot, (heaps, places) hours and (places, 2) [m] of places near it
    chosen_hours : (heaps, count) [h]
    chosen : (count, 2) [m]
    spacing_m, moving : as for `best_set`

    Returns
    -------
    (count, 2) [m]
    """
    chosen, chosen_hours = chosen.copy(), chosen_hours.copy()
    for number in [*range(count), *range(count)]:
        hours, places = options(number)
        if len(places) == 0:
            continue
        rest = [other for other in range(count) if other != number]
        total = _totals(hours, places, chosen_hours[:, rest], chosen[rest], spacing_m, moving)
        best = int(np.argmin(total))
        if np.isfinite(total[best]):
            chosen[number], chosen_hours[:, number] = places[best], hours[:, best]
    return chosen


def _improve(
    hours: Floats, places: Floats, chosen: list[int], spacing_m: float, moving: Moving, free: NDArray[np.bool_]
) -> float:
    """Swap spots of a set in place until no swap makes less work; returns its hours."""
    total = np.inf
    while True:
        before = total
        for number in range(len(chosen)):
            rest = chosen[:number] + chosen[number + 1 :]
            step = _best_beside(hours, places, rest, spacing_m, moving, free)
            if step is not None and step[1] < total - 1e-9:
                chosen[number], total = step
        if total >= before:
            return total


def _best_beside(
    hours: Floats, places: Floats, rest: list[int], spacing_m: float, moving: Moving, free: NDArray[np.bool_]
) -> tuple[int, float] | None:
    options = np.flatnonzero(free)
    if options.size == 0:
        return None
    total = _totals(hours[:, options], places[options], hours[:, rest], places[rest], spacing_m, moving)
    best = int(np.argmin(total))
    return int(options[best]), float(total[best])


def _totals(
    hours: Floats, places: Floats, rest_hours: Floats, rest: Floats, spacing_m: float, moving: Moving
) -> Floats:
    """Hours of every set made of the rest and one more place, (places,)."""
    served: Floats = np.asarray(np.minimum(rest_hours.min(axis=1, initial=np.inf)[:, None], hours).sum(axis=0))
    if len(rest) == 0:
        return served
    together = np.concatenate([np.broadcast_to(rest, (len(places), *rest.shape)), places[:, None]], axis=1)
    total = served + moving.hours(together)
    gap = np.hypot(*(places[:, None] - rest).transpose(2, 0, 1)).min(axis=1)
    return np.asarray(np.where(gap >= spacing_m, total, np.inf))


def _tree_links(places: Floats) -> Floats:
    """Lengths of the shortest links that join n places, (…, n, 2) [m] to (…, n - 1): Prim's way, many sets at once."""
    count = places.shape[-2]
    apart = np.hypot(*np.moveaxis(places[..., :, None, :] - places[..., None, :, :], -1, 0))
    nearest = apart[..., 0, :].copy()
    nearest[..., 0] = np.inf
    links = []
    for _ in range(count - 1):
        joined = np.argmin(nearest, axis=-1)[..., None]
        links.append(np.take_along_axis(nearest, joined, axis=-1)[..., 0])
        fresh = np.take_along_axis(apart, joined[..., None], axis=-2)[..., 0, :]
        nearest = np.where(np.isinf(nearest), np.inf, np.minimum(nearest, fresh))
        np.put_along_axis(nearest, joined, np.inf, axis=-1)
    return np.stack(links, axis=-1)
