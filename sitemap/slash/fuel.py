"""Is the wood of a heap dry enough to char? By its latest readings, else by the moisture typed; blank is not known."""

from __future__ import annotations

from typing import Literal

import numpy as np

from sitemap import tables
from sitemap.errors import BadValue
from sitemap.reasons import percent, reason
from sitemap.slash import moisture
from sitemap.slash.inputs import latest_readings, moisture_of
from sitemap.slash.records import Heap
from sitemap.slash.result import Said

Fuel = Literal["ready", "drying", "wet", "not known"]


def fuel_of(heap: Heap, said: Said) -> tuple[Fuel, float | None]:
    """Verdict on the wood of one heap, and the share of its pieces still too wet where readings tell it.

    Ready: at least two readings, or a moisture said to be measured, leave at most one piece in ten above the limit.
    A heap judged by one reading, or by a moisture not measured, is drying at best.
    """
    rows = tables.load("fuel_moisture")
    limit = float(rows["limit"]["value"])
    try:
        readings = [100 * float(moisture.wet_basis(value)) for value in latest_readings(heap)]
    except BadValue:
        return "not known", None  # said where the moisture is read
    if len(readings) > 1:
        share = moisture.share_too_wet(readings, 100 * limit)
        above = sum(reading > 100 * limit for reading in readings)
        fuel = _fuel(share)
        if fuel != "ready":
            top, wet, count = percent(100 * limit), percent(100 * share), len(readings)
            told = reason("slash.may_be_wet", count=count, limit=top, share=wet)
            if above:
                told = reason("slash.too_wet", above=above, count=count, limit=top, share=wet)
            said.leave_open("too_wet", told, heap.about)
        return fuel, share
    typed, water = heap.moisture, moisture_of(heap, Said())
    if water is None or (typed is not None and typed.basis == "assumed"):
        return "not known", None
    fuel = _fuel(float(np.mean(water[1:] > moisture.dry_basis(limit))))
    if fuel == "ready" and (typed is None or typed.basis != "measured"):
        fuel = "drying"
    if fuel != "ready":
        said.leave_open("too_wet", reason("slash.not_proved_dry", limit=percent(100 * limit)), heap.about)
    return fuel, None


def _fuel(share: float) -> Fuel:
    rows = tables.load("fuel_moisture")
    if share <= rows["ready_below"]["value"]:
        return "ready"
    return "wet" if share >= rows["wet_from"]["value"] else "drying"
