"""Which heap goes to which kiln spot."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from sitemap.kiln.values import Stock
from sitemap.notes import Note
from sitemap.ranges import Array, fixed, in_blocks
from sitemap.reasons import KilnName, Reason, reason

_LEFT = "heap_without_kiln"


@dataclass(frozen=True)
class Place:
    """A kiln spot that can burn.

    xy_m : on the local plane [m], or None where it has no place
    serves : ids of the heaps it was given; empty: the heaps nearest to it
    rate_kg_h : what its kilns burn an hour, likely [kg dry/h]
    """

    id: str
    name: str
    xy_m: tuple[float, float] | None
    serves: tuple[str, ...]
    rate_kg_h: float


@dataclass(frozen=True)
class Share:
    """Part of a heap burned at one place; fraction 0–1."""

    stock: Stock
    fraction: float


def amount_t(heaps: Sequence[Share]) -> Array:
    """Char stock of shares of heaps together in drawn numbers [t dry]."""
    return sum(map(_block_t, in_blocks(heaps, lambda share: share.stock.id)), start=fixed(0.0))


@lru_cache(maxsize=2048)  # 16 kB each
def _block_t(block: tuple[Share, ...]) -> Array:
    return sum((share.stock.char_stock_dry_t.values * share.fraction for share in block), start=fixed(0.0))


def shares(
    places: Sequence[Place], stock: Sequence[Stock], served_elsewhere: frozenset[str] = frozenset()
) -> tuple[Mapping[str, tuple[Share, ...]], tuple[Note, ...], tuple[Note, ...]]:
    """Give every heap to the places that serve it, else to the nearest; what lies scattered to all.

    Parameters
    ----------
    places : kiln spots with a kiln that can be reckoned
    stock : heaps, each with its char stock
    served_elsewhere : ids of heaps given to spots whose kiln cannot be reckoned; they wait for it

    Returns
    -------
    (id of the place → its shares of heaps, in file order; what was assumed; what is not known)

    Notes
    -----
    A heap given to several places is shared by what they burn an hour. Scattered slash lies about every kiln: unless
    some serve one of its lines it goes to those that are through with their heaps first, so that all end together.
    """
    given: dict[str, list[Share]] = {place.id: [] for place in places}
    serving: dict[str, list[Place]] = {}
    for place in places:
        for served in dict.fromkeys(place.serves):
            serving.setdefault(served, []).append(place)
    assumed: list[Note] = []
    unknowns: list[Note] = []
    nearest_to = _nearest_to(stock, places)
    for number, heap in enumerate(stock):
        names = (heap.id, *heap.lines)
        called = [serving[name] for name in names if name in serving]
        takers = [place for place in places if any(place in those for those in called)] if called else []
        if not takers and not served_elsewhere.isdisjoint(names):
            unknowns.append(Note(heap.id, _LEFT, reason("kiln.heap_waits", heap=heap.name)))
            continue
        if not takers and heap.lines and len(places) > 1:
            assumed.append(Note(heap.id, "shared_by_all", reason("kiln.heap_shared", heap=heap.name)))
            for place, fraction in _ending_together(heap, places, given):
                given[place.id].append(Share(heap, fraction))
            continue
        if not takers:
            nearest = nearest_to[number]
            if nearest is None:
                unknowns.append(Note(heap.id, _LEFT, _left(heap, bool(places))))
                continue
            assumed.append(_goes_to(heap.id, heap.name, nearest.name))
            takers = [nearest]
        total = sum(place.rate_kg_h for place in takers)
        for place in takers:
            given[place.id].append(Share(heap, place.rate_kg_h / total))
    return {key: tuple(parts) for key, parts in given.items()}, tuple(assumed), tuple(unknowns)


def _ending_together(
    scattered: Stock, places: Sequence[Place], given: Mapping[str, Sequence[Share]]
) -> Iterator[tuple[Place, float]]:
    """Each place that takes of it, with its fraction: hours of work are filled up from the least, like water."""
    amount = scattered.char_stock_dry_t.likely
    loads = {p.id: sum(s.stock.char_stock_dry_t.likely * s.fraction for s in given[p.id]) for p in places}
    ordered = sorted(places, key=lambda place: loads[place.id] / place.rate_kg_h)
    takers: list[Place] = []
    ends = 0.0
    for place in ordered:
        if takers and loads[place.id] / place.rate_kg_h >= ends:
            break
        takers.append(place)
        ends = (amount + sum(loads[p.id] for p in takers)) / sum(p.rate_kg_h for p in takers)
    for place in takers:
        part = place.rate_kg_h / sum(p.rate_kg_h for p in takers)
        yield place, (ends * place.rate_kg_h - loads[place.id]) / amount if amount > 0 else part


def _left(heap: Stock, placed: bool) -> Reason:
    return reason("kiln.heap_not_placed" if placed else "kiln.heap_without_kiln", heap=heap.name)


@lru_cache(maxsize=32_768)  # half a kilobyte each
def _goes_to(heap: str, name: str, kiln: str) -> Note:
    return Note(heap, "nearest_kiln", reason("kiln.heap_to_nearest", heap=name, kiln=KilnName(kiln)))


def _nearest_to(stock: Sequence[Stock], places: Sequence[Place]) -> list[Place | None]:
    """The place nearest to each heap; the only one also to a heap that has no place itself."""
    if len(places) == 1:
        return [places[0]] * len(stock)
    placed = [place for place in places if place.xy_m is not None]
    if not placed or not stock:
        return [None] * len(stock)
    heaps = np.array([heap.xy_m or (np.nan, np.nan) for heap in stock])
    away_m = np.stack([np.hypot(*(heaps - place.xy_m).T) for place in placed])
    found = zip(heaps[:, 0].tolist(), np.argmin(away_m, axis=0).tolist(), strict=True)
    return [None if math.isnan(x) else placed[number] for x, number in found]
