"""Reads heaps and taped lines of a Site, once each: below here nothing reads a text and nothing knows a Feature."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import partial
from typing import Any

from sitemap.errors import BadShape, BadValue
from sitemap.geodesy import measure
from sitemap.geodesy.plane import Plane
from sitemap.ranges import Measured, Numbers
from sitemap.reasons import Term
from sitemap.site.model import Entry, Feature
from sitemap.slash import moisture
from sitemap.slash.footprint import sides_of
from sitemap.slash.records import Counted, Heap, MeterReading, OnMap, Sorting, Tallied, Transect, Wood
from sitemap.slash.wood import wood_key

GONE = ("burned", "cold")
# What sets the mass of a heap: typed but not usable, it must not be replaced by what a blank would mean.
_SETS_MASS = ("shape", "section", "packing", "packing_ratio", "soil", "soil_fraction", "density_kg_m3")
_SIZES = ("length_m", "width_m", "height_m", "length_b_m", "width_b_m", "height_b_m")
_AREAS = ("Polygon", "MultiPolygon")
_LINES = ("LineString", "MultiLineString")


def heap_of(feature: Feature) -> Heap:
    """The record of a pile or windrow, made at the first asking and kept with it."""
    return feature.once(_heap)


def transect_of(feature: Feature, plane: Plane | None) -> Transect:
    """The record of a taped line, with its length on the map."""
    flat = on_plane(feature, plane, _LINES)
    return feature.once(_transect) if flat is None else replace(feature.once(_transect), drawn_m=measure.length_m(flat))


def _heap(heap: Feature) -> Heap:
    pile = heap.kind == "pile"
    counted = heap.choice("moisture_basis")
    return Heap(
        id=heap.id,
        name=heap.name,
        kind=heap.kind,
        gone=heap.choice("status") in GONE,
        sizes=frozenset(name for name in _SIZES if (pile or not name.endswith("_b_m")) and heap.has(name)),
        length=heap.measured("length_m"),
        width=heap.measured("width_m"),
        height=heap.measured("height_m"),
        length_b=heap.number("length_b_m") if pile else None,
        width_b=heap.number("width_b_m") if pile else None,
        height_b=heap.number("height_b_m") if pile else None,
        shape=heap.choice("shape") if pile else None,
        section=None if pile else heap.choice("section"),
        packing=heap.choice("packing"),
        packing_ratio=heap.measured("packing_ratio"),
        soil=heap.choice("soil"),
        soil_fraction=heap.measured("soil_fraction"),
        wood=_wood(heap, heap.records("wood_mix")),
        rotten_fraction=heap.number("rotten_fraction"),
        dry_t_weighed=heap.number("dry_t_weighed"),
        mass_green_t=heap.number("mass_green_t"),
        moisture=heap.measured("moisture_pct"),
        moisture_basis=counted,
        readings=_meter_readings(heap, counted),
        sorting=_sorting(heap, heap.measured("char_stock_fraction")),
        unsound=_unsound(heap),
    )


def _transect(line: Feature) -> Transect:
    char = line.number("char_stock_fraction")
    pieces = [(piece.number("diameter_cm"), piece) for piece in line.records("pieces")]
    counts = [(each.integer("count"), each) for each in line.records("classes")]
    return Transect(
        id=line.id,
        name=line.name,
        length_m=line.number("length_m"),
        taped=line.choice("taped"),
        slope_pct=line.number("slope_pct"),
        area_ha=line.number("area_ha"),
        wood=_wood(line, ()),
        sorting=_sorting(line, None if char is None else Measured(char, None, None, "estimated")),
        pieces=tuple(
            Tallied(thick, piece.flag("rotten") or False, piece.text("wood"))
            for thick, piece in pieces
            if thick is not None
        ),
        counts=tuple(
            Counted(wood_key(each.text("size_class") or ""), count, each.number("length_m") or 0.0)
            for count, each in counts
            if count
        ),
        sound=all(_sound(line, key, wanted) for key, wanted in (("pieces", "diameter_cm"), ("classes", "count"))),
        entered=line.has("pieces") or line.has("classes"),
    )


def _sound(line: Feature, key: str, wanted: str) -> bool:
    """Whether every piece or count typed can be used: a tally that cannot be read is not an empty one."""
    if line.has(key) and line.attribute(key).read(line.raw(key)) is None:
        return False
    return all(record.number(wanted) is not None for record in line.records(key) if record.has(wanted))


def _wood(entry: Entry, mix: tuple[Entry, ...]) -> Wood:
    parts = tuple((part.text("wood") or "", part.number("share") or 0.0) for part in mix)
    return Wood(entry.measured("density_kg_m3"), parts, entry.text("wood"))


def _sorting(entry: Entry, char_stock: Measured | None) -> Sorting:
    return Sorting(char_stock, entry.number("oversize_fraction"), entry.number("fines_fraction"))


def meter_reading(reading: Entry, counted: str | None) -> MeterReading | None:
    """One record of "readings", or None without a moisture; what it leaves open is as the heap's is counted."""
    moisture_pct = reading.number("moisture_pct")
    if moisture_pct is None:
        return None
    basis = reading.choice("basis") if reading.has("basis") else counted
    return MeterReading(moisture_pct, basis, reading.choice("where") == "core", reading.number("wood_c"))


def wettest(heap: Feature) -> float | None:
    """The wettest said of a heap, by its latest readings, as water per dry wood [kg/kg]; None where nothing was said.

    heap : a pile or windrow. A share of which nothing is said to count of what weight is taken of the wet weight: that
    is the wetter wood.
    """
    counted, typed = heap.choice("moisture_basis"), heap.number("moisture_pct")
    said = [] if typed is None else [_careful(partial(moisture.as_dry_basis, typed), counted)]
    for read in _meter_readings(heap, counted):
        said.append(_careful(partial(moisture.as_read, read.moisture_pct, wood_c=read.wood_c), read.basis))
    return max(said, default=None)


def _careful(read: Callable[..., Numbers], basis: str | None) -> float:
    try:
        return float(read(basis="dry" if basis == "dry" else "wet"))
    except BadValue:
        return moisture.WETTEST_DRY_BASIS


def latest_readings(heap: Feature) -> tuple[Entry, ...]:
    """The readings of a heap of the latest day, and those without a day: they may be of it too."""
    records = heap.records("readings")
    said = [(each.date("date"), each) for each in records if each.number("moisture_pct") is not None]
    latest = max((date for date, _ in said if date is not None), default=None)
    return tuple(each for date, each in said if date in (latest, None))


def _meter_readings(heap: Feature, counted: str | None) -> tuple[MeterReading, ...]:
    found = (meter_reading(each, counted) for each in latest_readings(heap))
    return tuple(read for read in found if read is not None)


def _unsound(heap: Feature) -> tuple[str, ...]:
    known = {attribute.name for attribute in heap.attributes}
    typed = [(heap.attribute(name), heap.raw(name)) for name in _SETS_MASS if name in known and heap.has(name)]
    return tuple(
        Term(attribute.label[0].lower() + attribute.label[1:])
        for attribute, value in typed
        if attribute.fault(value) is not None
    )


def on_map(heap: Feature, plane: Plane | None) -> OnMap | None:
    """What the drawn outline of a pile or line of a windrow tells, or None."""
    if heap.geometry is None or heap.geometry.get("type") == "Point":
        return None
    flat = on_plane(heap, plane, _LINES if heap.kind == "windrow" else _AREAS)
    if flat is None:
        return None
    if heap.kind == "windrow":
        return OnMap(measure.length_m(flat))
    return OnMap(*sides_of(flat), measure.area_m2(flat))


def on_plane(feature: Feature, plane: Plane | None, types: tuple[str, ...] = _AREAS) -> Any:
    """The shape of a feature on the plane [m], or None: no plane, no usable shape, or not of these types."""
    if plane is None or feature.shape is None or feature.shape.geom_type not in types:
        return None
    try:
        flat = plane.forward(feature.shape)
    except BadShape:
        return None
    return flat if flat.is_valid and not flat.is_empty else None
