"""The slash of a Site: heaps, windrows and scattered slash added up, with ranges and what they rest on."""

from __future__ import annotations

from functools import lru_cache

import numpy as np
import shapely

from sitemap.geodesy import measure
from sitemap.geodesy.plane import Plane
from sitemap.progress import counted
from sitemap.ranges import Array, Drawn
from sitemap.reasons import reason
from sitemap.site.model import Feature
from sitemap.slash.heaps import calibrated_packing
from sitemap.slash.lots import Own, Sums, blocks, drivers_of_all, put_stream
from sitemap.slash.reading import heap_of, on_map, on_plane, transect_of
from sitemap.slash.records import Transect
from sitemap.slash.result import Said, Slash, SlashItem
from sitemap.slash.scattered import Scattered, area_stood_for, scattered, scattered_item

OVERLAP_M2 = 1.0  # two outlines that share an edge drawn twice overlap by less


@lru_cache(maxsize=16)
def slash_of(
    heaps: tuple[Feature, ...],
    transects: tuple[Feature, ...],
    logged_areas: tuple[Feature, ...],
    plane: Plane | None,
    piece_limit_cm: float | None = None,
) -> Slash:
    """How much slash there is, in all and by heap.

    Parameters: heaps, features of kind pile and windrow; transects; logged_areas; plane, the site's own, or None for
    a site without a place; piece_limit_cm, thickest piece any kiln of the site takes, None for the usual one. Nothing
    is refused: what cannot be used is left out and named in `unknowns`.
    Returns a Slash: dry and green tonnes, t/ha of the logged area, char stock, oversize and fines, each with range.
    """
    said, sums = Said(), Sums()
    logged_ha = logged_area_ha(logged_areas, plane, said)
    entered = tuple((heap_of(heap), on_map(heap, plane)) for heap in counted("reading", heaps))
    calibrated = calibrated_packing(entered, said)
    items: list[SlashItem] = []
    own: list[Own] = []
    wet: list[tuple[str, str]] = []
    for block in blocks(entered, calibrated):
        said.add(block.said)
        sums.add(block.sums)
        items += block.items
        own += block.own
        wet += block.dry_unknown
    if wet:
        said.leave_open("no_moisture", reason("slash.no_moisture"), *wet)
    lines = tuple(transect_of(line, plane) for line in transects)
    lying = scattered(lines, said, piece_limit_cm)
    area_ha = None if lying is None else area_stood_for(lines, logged_ha, said)
    if lying is not None and area_ha is not None:
        items.append(_add(lying, area_ha, _mean_moisture(sums, bool(items), lines, said), sums))
    if not items:
        said.leave_open("no_slash", reason("slash.no_slash"))
    elif logged_ha is None:
        said.leave_open("no_logged_area", reason("slash.no_logged_area"))
    return Slash(
        dry_t=Drawn(sums.dry_t),
        green_t=Drawn(sums.green_t) if items and sums.green_t is not None else None,
        dry_t_per_ha=Drawn(sums.dry_t / logged_ha) if items and logged_ha else None,
        char_stock_dry_t=Drawn(sums.char_t),
        oversize_dry_t=Drawn(sums.oversize_t),
        fines_dry_t=Drawn(sums.fines_t),
        logged_area_ha=logged_ha,
        items=tuple(items),
        drivers=drivers_of_all(sums, own, calibrated),
        assumed=said.assumed,
        unknowns=said.unknowns,
    )


def _add(lying: Scattered, area_ha: float, water: Array | None, sums: Sums) -> SlashItem:
    """Scattered slash over its area [ha], with its moisture [dry basis] where known, taken into the sums."""
    item = scattered_item(lying, area_ha, water)
    char_t = item.source.made().char_stock_dry_t.values
    green = None if item.green_t is None else item.green_t.values
    sums.add(Sums(item.dry_t.values, char_t, item.oversize_dry_t.values, item.fines_dry_t.values, green))
    for each in lying.inputs:
        put_stream(sums, each, char_t)
    return item


def logged_area_ha(logged_areas: tuple[Feature, ...], plane: Plane | None, said: Said) -> float | None:
    """Area of all logged areas together [ha], ground drawn twice counted once; None where none can be used."""
    flat: list[tuple[Feature, shapely.geometry.base.BaseGeometry]] = []
    for area in logged_areas:
        outline = on_plane(area, plane)
        if outline is not None:
            flat.append((area, outline))
        elif area.geometry is not None:
            said.leave_open("bad_shape", reason("slash.area_shape"), (area.id, area.name))
    if not flat:
        return None
    outlines = [outline for _, outline in flat]
    for index, (area, outline) in enumerate(flat):
        for other in (flat[later] for later in shapely.STRtree(outlines).query(outline, "intersects") if later > index):
            if outline.intersection(other[1]).area > OVERLAP_M2:
                both = (area.id, area.name), (other[0].id, other[0].name)
                said.leave_open("overlap", reason("slash.areas_overlap"), *both)
    return float(measure.area_ha(shapely.union_all(outlines))) or None


def _mean_moisture(sums: Sums, heaps: bool, lines: tuple[Transect, ...], said: Said) -> Array | None:
    """Moisture of the heaps together [dry basis], to stand for slash that lies scattered beside them."""
    names = [line.about for line in lines]
    if not heaps or sums.green_t is None:
        said.leave_open("no_moisture", reason("slash.no_moisture"), *names)
        return None
    said.assume("scattered_moisture", reason("slash.scattered_moisture"), *names)
    return np.asarray(sums.green_t / sums.dry_t - 1)
