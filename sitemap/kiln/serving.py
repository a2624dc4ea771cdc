"""Which heap goes to which kiln spot."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from sitemap.kiln.values import Stock
from sitemap.notes import Note, kiln_called


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
    A heap given to several places is shared by what they burn an hour, so that they end together. Scattered slash lies
    about every kiln: it is shared so by all, unless some serve one of its lines.
    """
    given: dict[str, list[Share]] = {place.id: [] for place in places}
    assumed: list[Note] = []
    unknowns: list[Note] = []
    for heap in stock:
        names = {heap.id, *heap.lines}
        takers = [place for place in places if names.intersection(place.serves)]
        if not takers and names & served_elsewhere:
            unknowns.append(_left(heap, "is given to a kiln that is not known"))
            continue
        if not takers and heap.lines and len(places) > 1:
            text = f"{heap.name} is given to no kiln: shared by all of them, by what each burns an hour."
            assumed.append(Note(heap.id, "shared_by_all", text))
            takers = list(places)
        if not takers:
            nearest = _nearest(heap, places)
            if nearest is None:
                why = "has no place on the map, nor a kiln that names it" if places else "has no kiln to burn it"
                unknowns.append(_left(heap, why))
                continue
            text = f"{heap.name} is given to no kiln: taken to {kiln_called(nearest.name)}, the nearest."
            assumed.append(Note(heap.id, "nearest_kiln", text))
            takers = [nearest]
        total = sum(place.rate_kg_h for place in takers)
        for place in takers:
            given[place.id].append(Share(heap, place.rate_kg_h / total))
    return {key: tuple(parts) for key, parts in given.items()}, tuple(assumed), tuple(unknowns)


def _left(heap: Stock, why: str) -> Note:
    return Note(heap.id, "heap_without_kiln", f"{heap.name} {why}: it is left out of the batches.")


def _nearest(heap: Stock, places: Sequence[Place]) -> Place | None:
    if len(places) == 1:
        return places[0]
    placed = [place for place in places if place.xy_m is not None]
    if heap.xy_m is None or not placed:
        return None
    here = heap.xy_m
    return min(placed, key=lambda place: math.dist(here, place.xy_m or here))
