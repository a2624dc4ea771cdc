"""Is the wood a kiln burns proved dry, on this day? By readings of the core, at least two, and none before the rain."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass

from sitemap.reasons import Reason, reason
from sitemap.safety.permission import Check, checked
from sitemap.site.seen import Day, why_not

LEAST_READINGS = 2
_WORSE = ("wood dry", "not known", "wood wet")


@dataclass(frozen=True)
class Reading:
    """One moisture reading.

    on : its date
    core : whether it was taken on a freshly split face
    wet : whether it is above the limit; None where its basis is not known
    too_dry : drier than wood out of doors ever is: a share typed as per cent, or a meter that was not on?
    """

    on: dt.date | None
    core: bool
    wet: bool | None
    too_dry: bool = False


@dataclass(frozen=True)
class HeapWood:
    """The wood of one heap.

    name : of the heap
    fuel : "ready", "drying", "wet" or "not known", by its readings
    readings : those of its latest day
    said_wet : whether the moisture typed for the heap as a whole is above the limit
    """

    name: str
    fuel: str
    readings: tuple[Reading, ...]
    said_wet: bool = False


def wood_check(spot: str, heaps: Iterable[HeapWood], day: Day, last_rain: dt.date | None = None) -> Check:
    """The worst of the heaps of one kiln: wet wood smokes, throws sparks from a starved fire and never chars through.

    Parameters
    ----------
    spot : id of the kiln spot
    heaps : those it burns
    day : the burn date, and the day somebody looks
    last_rain : what was read before it says nothing any more
    """
    alike: dict[tuple[str, tuple[Reading, ...], bool], HeapWood] = {}
    for heap in heaps:
        alike.setdefault((heap.fuel, heap.readings, heap.said_wet), heap)  # the first of those judged alike is named
    found = [heap_check(spot, heap, day, last_rain) for heap in alike.values()]
    if not found:
        return checked("wood", "not known", spot, reason("day.no_heap"))
    return max(found, key=lambda each: _WORSE.index(each.verdict))


def heap_check(about: str, heap: HeapWood, day: Day, last_rain: dt.date | None = None) -> Check:
    """Whether the wood of one heap is proved dry; about : id of the kiln spot or heap that is judged by it."""
    if heap.fuel == "wet":
        return checked("wood", "wood wet", about, reason("day.wood_wet", name=heap.name))
    if any(reading.core and reading.wet for reading in heap.readings):
        return checked("wood", "wood wet", about, reason("day.core_wet", name=heap.name))
    if heap.said_wet:
        return checked("wood", "wood wet", about, reason("day.said_wet", name=heap.name))
    why = _doubt(heap, day, last_rain)
    if why is not None:
        return checked("wood", "not known", about, reason("day.wood_not_known", name=heap.name, why=why))
    if heap.fuel != "ready":
        return checked("wood", "wood wet", about, reason("day.wood_drying", name=heap.name))
    return checked("wood", "wood dry", about, reason("day.wood_dry", name=heap.name))


def _doubt(heap: HeapWood, day: Day, last_rain: dt.date | None) -> Reason | None:
    """Why the readings of a heap prove nothing; None where they do."""
    if len(heap.readings) < LEAST_READINGS:
        return reason("day.few_readings", count=len(heap.readings), least=LEAST_READINGS)
    if any(reading.too_dry for reading in heap.readings):
        return reason("day.too_dry")
    for reading in heap.readings:
        why = why_not(reading.on, "readings", day)
        if why is not None:
            return why
        if last_rain is not None and reading.on is not None and reading.on <= last_rain:
            return reason("day.rained_since", on=reading.on, rain=last_rain)
    return None if any(reading.core and reading.wet is False for reading in heap.readings) else reason("day.no_core")
