"""Is the wood of a heap dry enough to char? By its latest readings, else by the moisture typed; blank is not known."""

from __future__ import annotations

from typing import Literal

import numpy as np

from sitemap import tables
from sitemap.errors import BadValue
from sitemap.ranges import Array
from sitemap.reasons import Quantity, Range, Reason, percent, reason, together
from sitemap.slash import dryness, moisture
from sitemap.slash.records import Heap
from sitemap.slash.result import Dryness, Said

Fuel = Literal["ready", "drying", "wet", "not known"]
Point = tuple[float, bool]  # a reading [% of the wet weight], and whether it is of the core


def fuel_of(heap: Heap, water: Array | None, said: Said) -> tuple[Fuel, Dryness | None]:
    """Verdict on the wood of one heap, and what its readings tell.

    water : its moisture in drawn numbers [fraction, dry basis], None where not known

    Ready: at least two readings, or a moisture said to be measured, leave at most one piece in ten above the limit.
    A heap judged by one reading, by frozen wood, or by a moisture not measured, is drying at best.
    """
    rows = tables.load("fuel_moisture")
    limit = float(rows["limit"]["value"])
    try:
        points = _points(heap)
    except BadValue:
        return "not known", None  # said where the moisture is read
    _say_what_a_meter_cannot(heap, points, said)
    judged = judged_by(points)
    if len(judged) > 1:
        found = dryness_of(judged, 100 * limit, float(rows["ready_below"]["value"]))
        fuel = _fuel(found.likely)
        if fuel != "ready":
            top, wet = percent(100 * limit), percent(100 * found.likely)
            told = reason("slash.may_be_wet", count=found.count, limit=top, share=wet)
            if found.above:
                told = reason("slash.too_wet", above=found.above, count=found.count, limit=top, share=wet)
            said.leave_open("too_wet", told, heap.about)
        return "drying" if fuel == "ready" and _frozen(heap) else fuel, found
    typed = heap.moisture
    if water is None or (typed is not None and typed.basis == "assumed"):
        return "not known", None
    fuel = _fuel(float(np.mean(water[1:] > moisture.dry_basis(limit))))
    if fuel == "ready" and (typed is None or typed.basis != "measured"):
        fuel = "drying"
    if fuel != "ready":
        said.leave_open("too_wet", reason("slash.not_proved_dry", limit=percent(100 * limit)), heap.about)
    return fuel, None


def judged_by(points: list[Point]) -> list[Point]:
    """The readings a heap is judged by: once the core was read, a skin counts only where it is wetter than every core.

    The wettest core decides: the skin dries first and says nothing of it.

    >>> judged_by([(18.0, True), (9.0, False), (17.0, True)])
    [(18.0, True), (17.0, True)]
    """
    cores = [pct for pct, core in points if core]
    return [(pct, core) for pct, core in points if core or not cores or pct > max(cores)]


def dryness_of(points: list[Point], limit_pct: float, ready_below: float) -> Dryness:
    """What readings tell of a heap.

    points : two at least; limit_pct : [% of the wet weight]; ready_below : share of the pieces that may be above it
    """
    readings = [pct for pct, _ in points]
    low, high = dryness.share_range(readings, limit_pct)
    return Dryness(
        count=len(points),
        cores=sum(core for _, core in points),
        above=sum(pct > limit_pct for pct in readings),
        mean_pct=float(np.mean(readings)),
        limit_pct=limit_pct,
        low=low,
        likely=dryness.share_too_wet(readings, limit_pct),
        high=high,
        more=dryness.more_to_prove(readings, limit_pct, ready_below),
    )


def told_of(found: Dryness) -> Reason:
    """What the readings of a heap say, and whether more of them would prove it dry."""
    low, likely, high = (float(round(100 * end)) for end in (found.low, found.likely, found.high))
    share = Range(low, likely, high, "pct", 3)
    mean, limit = percent(found.mean_pct), percent(found.limit_pct)
    read = reason("slash.share_wet", count=found.count, cores=found.cores, mean=mean, share=share, limit=limit)
    if found.more == 0:
        return together(read, reason("slash.dry_proved"))
    if found.more is None:
        return together(read, reason("slash.dry_wait"))
    return together(read, reason("slash.dry_more", more=found.more))


def _points(heap: Heap) -> list[Point]:
    read = [(moisture.as_read(each.moisture_pct, each.basis, each.wood_c), each.core) for each in heap.readings]
    return [(100 * float(moisture.wet_basis(dry)), core) for dry, core in read]


def _say_what_a_meter_cannot(heap: Heap, points: list[Point], said: Said) -> None:
    """Above fibre saturation, in frozen wood and in wood whose temperature nobody said a meter is a guess."""
    rows = tables.load("fuel_moisture")
    soaked = float(rows["fibre_saturation"]["value"])
    if any(pct / 100 > float(moisture.wet_basis(soaked)) for pct, _ in points):
        said.assume("above_saturation", reason("slash.above_saturation", limit=percent(100 * soaked)), heap.about)
    if _frozen(heap):
        said.leave_open("frozen_wood", reason("slash.frozen_wood"), heap.about)
    if any(each.wood_c is None for each in heap.readings):
        blank = Quantity(float(rows["blank_temperature"]["value"]), "c", 2)
        said.assume("wood_temperature", reason("slash.wood_temperature", blank=blank), heap.about)


def _frozen(heap: Heap) -> bool:
    return any(each.wood_c is not None and each.wood_c < 0 for each in heap.readings)


def _fuel(share: float) -> Fuel:
    rows = tables.load("fuel_moisture")
    if share <= rows["ready_below"]["value"]:
        return "ready"
    return "wet" if share >= rows["wet_from"]["value"] else "drying"
