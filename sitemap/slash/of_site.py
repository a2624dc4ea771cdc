"""The slash of a Site: heaps, windrows and scattered slash added up, with ranges and what they rest on."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
import shapely

from sitemap.geodesy import measure
from sitemap.geodesy.plane import Plane
from sitemap.ranges import Array, Drawn, fixed
from sitemap.site.model import Feature
from sitemap.slash.heaps import calibrated_packing, heap_item, on_plane
from sitemap.slash.inputs import Calibrated, Input, name_of
from sitemap.slash.result import Driver, Said, Slash, SlashItem
from sitemap.slash.scattered import area_stood_for, scattered, scattered_item

OVERLAP_M2 = 1.0  # two outlines that share an edge drawn twice overlap by less
NO_MOISTURE = "moisture not known, green weight left open"
SMALL_SHARE = 0.02  # a driver below it is not worth a line, and 2,000 draws tell it no better


@lru_cache(maxsize=16)
def slash_of(
    heaps: tuple[Feature, ...],
    transects: tuple[Feature, ...],
    logged_areas: tuple[Feature, ...],
    plane: Plane | None,
    system: str = "metric",
    piece_limit_cm: float | None = None,
) -> Slash:
    """How much slash there is, in all and by heap.

    Parameters: heaps, features of kind pile and windrow; transects; logged_areas; plane, the site's own, or None for
    a site without a place; system, units of the sentences, "metric" or "us"; piece_limit_cm, thickest piece any kiln of
    the site takes, None for the usual one. Nothing is refused: what cannot be used is left out and named in `unknowns`.
    Returns a Slash: dry and green tonnes, t/ha of the logged area, char stock, oversize and fines, each with range.
    """
    said = Said(system)
    logged_ha = logged_area_ha(logged_areas, plane, said)
    calibrated = calibrated_packing(heaps, plane, said)
    found: list[tuple[SlashItem, tuple[Input, ...]]] = []
    for heap in heaps:
        alone = _heap_alone(heap, plane, calibrated, system)
        said.add(alone.said)
        if alone.item is not None:
            found.append((alone.item, alone.inputs))
    items = [item for item, _ in found]
    wet = [item for item in items if item.green_t is None]
    if wet:
        said.leave_open("no_moisture", NO_MOISTURE, *((item.id, item.name) for item in wet))
    lying = scattered(transects, plane, said, piece_limit_cm)
    area_ha = None if lying is None else area_stood_for(transects, logged_ha, said)
    if lying is not None and area_ha is not None:
        found.append((scattered_item(lying, area_ha, _mean_moisture(items, transects, said)), lying.inputs))
        items.append(found[-1][0])
    if not items:
        said.leave_open("no_slash", "no heap, windrow or line that can be counted, how much there is stays open")
    dry_t, char_t, oversize_t, fines_t = (
        _sum(items, name) for name in ("dry_t", "char_stock_dry_t", "oversize_dry_t", "fines_dry_t")
    )
    green_known = bool(items) and all(item.green_t is not None for item in items)
    if items and logged_ha is None:
        said.leave_open("no_logged_area", "no logged area drawn, slash per area left open: draw it")
    return Slash(
        dry_t=Drawn(dry_t),
        green_t=Drawn(_sum(items, "green_t")) if green_known else None,
        dry_t_per_ha=Drawn(dry_t / logged_ha) if items and logged_ha else None,
        char_stock_dry_t=Drawn(char_t),
        oversize_dry_t=Drawn(oversize_t),
        fines_dry_t=Drawn(fines_t),
        logged_area_ha=logged_ha,
        scattered_dry_t_per_ha=None if lying is None else Drawn(lying.t_ha),
        items=tuple(items),
        drivers=_drivers(char_t, found),
        assumed=said.assumed,
        unknowns=said.unknowns,
    )


def logged_area_ha(logged_areas: tuple[Feature, ...], plane: Plane | None, said: Said) -> float | None:
    """Area of all logged areas together [ha], ground drawn twice counted once; None where none can be used."""
    flat: list[tuple[Feature, shapely.geometry.base.BaseGeometry]] = []
    for area in logged_areas:
        outline = on_plane(area, plane, ("Polygon", "MultiPolygon"))
        if outline is not None:
            flat.append((area, outline))
        elif area.geometry is not None:
            said.leave_open(
                "bad_shape", "the outline cannot be used, left out of the area: draw it again", name_of(area)
            )
    if not flat:
        return None
    outlines = [outline for _, outline in flat]
    for index, (area, outline) in enumerate(flat):
        for other in (flat[later] for later in shapely.STRtree(outlines).query(outline, "intersects") if later > index):
            if outline.intersection(other[1]).area > OVERLAP_M2:
                text = "the logged areas overlap, the ground they share is counted once: draw them side by side"
                said.leave_open("overlap", text, name_of(area), name_of(other[0]))
    return float(measure.area_ha(shapely.union_all(outlines))) or None


@dataclass(frozen=True, eq=False)
class _Heap:
    item: SlashItem | None
    inputs: tuple[Input, ...]
    said: Said


# One edit touches one heap: the others are remembered, about 0.4 MB each. The results of `slash_of` share them: made
# anew, 500 heaps would take 60 MB more with every result it holds.
@lru_cache(maxsize=1024)
def _heap_alone(heap: Feature, plane: Plane | None, calibrated: Calibrated, system: str) -> _Heap:
    said = Said(system)
    made = heap_item(heap, plane, calibrated, said)
    return _Heap(None, (), said) if made is None else _Heap(*made, said)


def _sum(items: list[SlashItem], name: str) -> Array:
    return sum((getattr(item, name).values for item in items), fixed(0.0))


def _mean_moisture(items: list[SlashItem], transects: tuple[Feature, ...], said: Said) -> Array | None:
    """Moisture of the heaps together, to stand for slash that lies scattered beside them."""
    names = [name_of(line) for line in transects]
    if not items or any(item.green_t is None for item in items):
        said.leave_open("no_moisture", NO_MOISTURE, *names)
        return None
    said.assume("scattered_moisture", "moisture of the scattered slash taken as that of the heaps", *names)
    return np.asarray(_sum(items, "green_t") / _sum(items, "dry_t") - 1)


def _drivers(total: Array, counted: list[tuple[SlashItem, tuple[Input, ...]]]) -> tuple[Driver, ...]:
    """Each unknown behind the char stock: what the range loses when that one alone is known, and what it alone gives.

    Every item is a product of its inputs, so an input is pinned at its likely value by dividing it out; a shape nobody
    named is pinned to what a named one leaves open. One entry an error stream: what heaps share is pinned in all of
    them at once.
    """
    streams: dict[tuple[str, str], tuple[Input, Array, Array]] = {}
    for item, inputs in counted:
        char = item.char_stock_dry_t.values
        for each in inputs:
            if each.factor[0] <= 0:
                continue  # nothing of it goes in a kiln
            swing = each.factor / each.factor[0]
            asked = char if each.asked is None else char * each.asked / each.asked[0]
            held = np.divide(asked, swing, out=char.copy(), where=swing > 0)
            first, pinned, alone = streams.get((each.about, each.stream), (each, total, fixed(total[0])))
            streams[each.about, each.stream] = first, pinned - char + held, alone + char[0] * (swing - 1)
    whole = _reach(total)
    if whole == 0:
        return ()
    found = []
    too_little = SMALL_SHARE / 4 * float(np.var(total))  # of a thousand heaps few make a difference: spare the rest
    for each, pinned, alone in streams.values():
        if np.var(alone) < too_little:
            continue
        share = 1 - (_reach(pinned) / whole) ** 2
        if share >= SMALL_SHARE:
            found.append(each.driver(share, _reach(alone) / 2 / total[0]))
    return tuple(sorted(found, key=lambda driver: -driver.share))


def _reach(figure: Array) -> float:
    """From low to high."""
    low, high = np.percentile(figure[1:], (10, 90))
    return float(high - low)
