"""Is the wood of a heap dry enough to char? By its latest readings, else by the moisture typed; blank is not known."""

from __future__ import annotations

from typing import Literal

import numpy as np

from sitemap import tables
from sitemap.errors import BadValue
from sitemap.site.model import Feature
from sitemap.slash import moisture
from sitemap.slash.inputs import latest_readings, moisture_of, name_of
from sitemap.slash.result import Said

Fuel = Literal["ready", "drying", "wet", "not known"]


def fuel_of(heap: Feature, said: Said) -> tuple[Fuel, float | None]:
    """Verdict on the wood of one heap, and the share of its pieces still too wet where readings tell it.

    Ready: at least two readings, or a moisture said to be measured, leave at most one piece in ten above the limit.
    A heap judged by one reading, or by a moisture not measured, is drying at best.
    """
    rows = tables.load("fuel_moisture")
    limit = float(rows["limit"]["value"])
    try:
        readings = [100 * moisture.wet_basis(value) for value in latest_readings(heap)]
    except BadValue:
        return "not known", None  # said where the moisture is read
    if len(readings) > 1:
        share = moisture.share_too_wet(readings, 100 * limit)
        above = sum(reading > 100 * limit for reading in readings)
        fuel = _fuel(share)
        if fuel != "ready":
            text = (
                f"{above or 'none'} of {len(readings)} readings above {100 * limit:.0f} % of the wet weight, "
                f"{'and' if above else 'yet'} about {100 * share:.0f} % of the pieces "
                f"{'are too wet by them' if above else 'may be: take more readings'}"
            )
            said.leave_open("too_wet", text, name_of(heap))
        return fuel, share
    typed, water = heap.measured("moisture_pct"), moisture_of(heap, Said())
    if water is None or (typed is not None and typed.basis == "assumed"):
        return "not known", None
    fuel = _fuel(float(np.mean(water[1:] > moisture.dry_basis(limit))))
    if fuel == "ready" and (typed is None or typed.basis != "measured"):
        fuel = "drying"
    if fuel != "ready":
        text = f"not proved dry to {100 * limit:.0f} % of the wet weight: take two readings or more"
        said.leave_open("too_wet", text, name_of(heap))
    return fuel, None


def _fuel(share: float) -> Fuel:
    rows = tables.load("fuel_moisture")
    if share <= rows["ready_below"]["value"]:
        return "ready"
    return "wet" if share >= rows["wet_from"]["value"] else "drying"
