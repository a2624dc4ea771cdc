"""One pile or windrow of a Site: from what was said of it to its tonnes."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from sitemap.errors import BadShape, BadValue
from sitemap.geodesy import measure
from sitemap.geodesy.plane import Plane
from sitemap.ranges import Array, Drawn, draw_cv, fixed
from sitemap.site.model import Feature
from sitemap.slash import calibrate, footprint, moisture, packing
from sitemap.slash.fuel import fuel_of
from sitemap.slash.inputs import (
    Calibrated,
    Input,
    clause,
    density_input,
    drawn,
    drivers_of,
    earth_input,
    made,
    moisture_of,
    name_of,
    packing_input,
    rotten_density,
    sorting_of,
    spread,
    weakest,
)
from sitemap.slash.result import Said, SlashItem
from sitemap.slash.volume import SHAPES, heap_volume, windrow_volume

GONE = ("burned", "cold")
SMALLEST_M = 0.01  # [m] a size smaller than this is a slip, not a size
BLANK_SHAPE, BLANK_SECTION = "dome", "round"
# What sets the mass of a heap: typed but not usable, it must not be replaced by what a blank would mean.
_SETS_MASS = ("shape", "section", "packing", "packing_ratio", "soil", "soil_fraction", "density_kg_m3")
HALF_ROUND = ("tapered_ridge", "rounded_ridge")
_SAME_AS = {"length_b_m": "length_m", "width_b_m": "width_m", "height_b_m": "height_m"}


@dataclass(frozen=True, eq=False)
class Read:
    """A heap as read: its gross volume (None without a size) and what stands behind it, in drawn numbers."""

    gross_m3: Array | None
    sizes: tuple[Input, ...]
    packing: Input
    earth: Input
    density: Input


def read_heap(heap: Feature, plane: Plane | None, calibrated: Calibrated, said: Said) -> Read:
    """Read a pile or windrow into drawn numbers, saying what was assumed and what is left open."""
    gross, sizes = _windrow(heap, plane, said) if heap.kind == "windrow" else _pile(heap, plane, said)
    density = rotten_density(density_input(heap, said), heap.number("rotten_fraction"))
    return Read(gross, sizes, packing_input(heap, calibrated, said), earth_input(heap, said), density)


def heap_item(
    heap: Feature, plane: Plane | None, calibrated: Calibrated, said: Said
) -> tuple[SlashItem, tuple[Input, ...]] | None:
    """The tonnes of one pile or windrow, with the inputs behind them; None where it has no size, is burned, or says
    what cannot be.

    calibrated : packing ratio and its spread by look, of heaps weighed on the site
    """
    if heap.choice("status") in GONE:
        said.assume("burned", "burned already, not in the sums", name_of(heap))
        return None
    weighed = weighed_dry(heap, said)
    unsound = _unsound(heap) if weighed is None else ()
    if unsound:
        text = f"{' and '.join(unsound)} cannot be used as entered, left out of the sums: correct it or leave it blank"
        said.leave_open("unsound", text, name_of(heap))
        return None
    # A weight stands for itself: what was assumed of packing and earth no longer decides anything, and is not said.
    read = read_heap(heap, plane, calibrated, said if weighed is None else Said())
    inputs: tuple[Input, ...]
    if weighed is not None:
        dry_t, inputs = weighed.values, (weighed,)
        wood_m3 = 1000 * dry_t / read.density.values
    elif read.gross_m3 is not None:
        wood_m3 = packing.wood_volume(read.gross_m3, read.packing.values, read.earth.values)
        dry_t = packing.dry_mass(wood_m3, read.density.values)
        inputs = (*read.sizes, read.packing, read.earth, read.density)
    else:
        return None
    sorting, (char, oversize, fines) = sorting_of(heap, said)
    water = moisture_of(heap, said)
    fuel, too_wet = fuel_of(heap, said)
    item = SlashItem(
        id=heap.id,
        name=heap.name,
        kind=heap.kind,
        gross_m3=None if read.gross_m3 is None else Drawn(read.gross_m3),
        wood_m3=Drawn(wood_m3),
        dry_t=Drawn(dry_t),
        green_t=None if water is None else Drawn(moisture.green_mass(dry_t, water)),
        char_stock_dry_t=Drawn(dry_t * char),
        oversize_dry_t=Drawn(dry_t * oversize),
        fines_dry_t=Drawn(dry_t * fines),
        basis=weakest(each.basis for each in inputs),
        drivers=drivers_of((*inputs, sorting)),
        fuel=fuel,
        share_too_wet=too_wet,
    )
    return item, (*inputs, sorting)


def _unsound(heap: Feature) -> tuple[str, ...]:
    found = []
    for attribute in heap.attributes:
        value = heap.raw(attribute.name) if attribute.name in _SETS_MASS else None
        if value is not None and attribute.fault(value) is not None:
            found.append(attribute.label[0].lower() + attribute.label[1:])
    return tuple(found)


def weighed_dry(heap: Feature, said: Said) -> Input | None:
    """Dry mass of a heap that was taken apart and weighed: dry, or green with its moisture."""
    values = heap.number("dry_t_weighed")
    green = heap.number("mass_green_t")
    if values is None and green is not None:
        water = moisture_of(heap, Said())
        if water is None:
            text = "weighed green without a known moisture: its size counts instead, measure the moisture"
            said.leave_open("weighed_moisture", text, name_of(heap))
            return None
        return _weighed(heap, green / (1 + water))
    return None if values is None else _weighed(heap, fixed(values))


def calibrated_packing(heaps: tuple[Feature, ...], plane: Plane | None, said: Said) -> Calibrated:
    """Packing ratio and its spread by look, from the heaps that were weighed and have a size, burned or not."""
    found: dict[str, list[tuple[float, ...]]] = {}
    names: dict[str, list[tuple[str, str]]] = {}
    for heap in heaps:
        weighed = weighed_dry(heap, Said())
        if weighed is None or heap.number("packing_ratio") is not None:
            continue
        read = read_heap(heap, plane, (), Said())
        if read.gross_m3 is None:
            continue
        likely = weighed.values[0], read.gross_m3[0], read.density.values[0], read.earth.values[0]
        try:
            alone = calibrate.packing_from_weighed(*likely)
        except BadValue as bad:
            told = f"{clause(bad, said)}; the other heaps do without this weight"
            said.leave_open("bad_weight", told, name_of(heap))
            continue
        look = heap.choice("packing") or packing.BLANK_PACKING
        found.setdefault(look, []).append((alone, *likely))
        names.setdefault(look, []).append(name_of(heap))
    return tuple(_calibrated(look, figures, names[look], said) for look, figures in found.items())


def _calibrated(
    look: str, figures: list[tuple[float, ...]], names: list[tuple[str, str]], said: Said
) -> tuple[str, float, float]:
    each, *columns = np.transpose(figures)
    if len(each) > 1 and np.std(np.log(each), ddof=1) > 2 * np.hypot(spread("dimensions"), spread("shape")):
        told = (
            f"weighed, but their wood shares run from {each.min():.2g} to {each.max():.2g}, further apart than "
            "sizes and sketches explain: check weights, sizes and looks; the other heaps keep a wide range"
        )
        said.leave_open("weights_differ", told, *names)
    cv = calibrate.packing_spread(each, spread("packing_weighed"), spread("packing"))
    return look, calibrate.packing_from_weighed(*columns), cv


def _weighed(heap: Feature, dry_t: Array) -> Input:
    scale = draw_cv(1.0, spread("weighed"), about=heap.id, quantity="weighed")
    return made("weighed", dry_t * scale, heap.id, "measured")


def _pile(heap: Feature, plane: Plane | None, said: Said) -> tuple[Array | None, tuple[Input, ...]]:
    shape = heap.choice("shape")
    heap = _half_round(heap, said) if shape in HALF_ROUND else heap
    outline = on_plane(heap, plane, ("Polygon", "MultiPolygon"))
    sides: dict[str, float] = {}
    if outline is not None:
        sides = dict(zip(("length_m", "width_m"), footprint.sides_of(outline), strict=True))
    sizes = {name: _size(heap, name, sides.get(name)) for name in ("length_m", "width_m", "height_m")}
    if not _complete(heap, sizes, said):
        return None, ()
    from_map = tuple(name for name in sides if not heap.number(name))
    if from_map:
        said.assume("size_from_outline", "length or width not given, taken from the outline drawn", name_of(heap))
    if shape is None:
        said.assume("shape", "shape not given, taken as a dome", name_of(heap))
    form = shape or BLANK_SHAPE
    needed = {name: _other_end(heap, name, sizes, said) for name in SHAPES[form].needed}
    if form == "rounded_ridge":
        ends_m = (needed["width_m"] + needed["width_b_m"]) / 2
        if needed["length_m"][0] < ends_m[0]:
            text = "shorter than its two rounded ends together: counted as if they met, measure the whole length"
            said.leave_open("too_short", text, name_of(heap))
        needed["length_m"] = np.maximum(needed["length_m"], ends_m)
    if outline is not None and not from_map:
        _compare_outline(heap, form, needed, measure.area_m2(outline), said)
    return _with_shape(heap, heap_volume(form, **needed), sizes, shape is None)


def _half_round(heap: Feature, said: Said) -> Feature:
    """A ridge of which only the heights or only the widths were taped: its section is half a circle."""
    pairs = (("width_m", "height_m"), ("width_b_m", "height_b_m"))
    for blank, typed, times, words in ((0, 1, 2.0, "widths not given"), (1, 0, 0.5, "heights not given")):
        known = [heap.number(pair[typed]) for pair in pairs]
        if not any(heap.has(pair[blank]) for pair in pairs) and None not in known:
            said.assume("half_round", f"{words}, its section taken as half a circle", name_of(heap))
            made_up = {pair[blank]: times * (size or 0.0) for pair, size in zip(pairs, known, strict=True)}
            return heap.with_values(**made_up, **{f"{pairs[0][blank]}_basis": "assumed"})
    return heap


def _windrow(heap: Feature, plane: Plane | None, said: Said) -> tuple[Array | None, tuple[Input, ...]]:
    line = on_plane(heap, plane, ("LineString", "MultiLineString"))
    length_drawn = None if line is None else measure.length_m(line)
    if length_drawn is not None and heap.number("length_m") is not None:
        said.assume("typed_length", "the length typed is used, not the length drawn", name_of(heap))
    sizes = {
        "length_m": _size(heap, "length_m", length_drawn, spread("dimensions")),
        "width_m": _size(heap, "width_m"),
        "height_m": _size(heap, "height_m"),
    }
    if not _complete(heap, sizes, said):
        return None, ()
    section = heap.choice("section")
    if section is None:
        said.assume("shape", "section not given, taken as round", name_of(heap))
    values = {name: size.values for name, size in sizes.items() if size is not None}
    return _with_shape(heap, windrow_volume(section or BLANK_SECTION, **values), sizes, section is None)


def _with_shape(
    heap: Feature, solid_m3: Array, sizes: dict[str, Input | None], blank: bool
) -> tuple[Array, tuple[Input, ...]]:
    named = draw_cv(1.0, spread("shape"), about=heap.id, quantity="shape")
    shape = made("shape", named, heap.id, "estimated")
    if blank:
        wide = draw_cv(1.0, spread("shape_blank"), about=heap.id, quantity="shape")
        shape = replace(made("shape", wide, heap.id, "assumed"), asked=named)
    return solid_m3 * shape.values, (*(size for size in sizes.values() if size is not None), shape)


def _size(heap: Feature, name: str, from_map: float | None = None, map_cv: float | None = None) -> Input | None:
    """One size: typed with its range, else off the map. Three sizes of 1/√3 of the spread make the whole of it."""
    quantity = name.removesuffix("_m")
    typed = heap.measured(name)
    if typed is not None:
        values = drawn(typed, spread("dimensions") / np.sqrt(3), heap.id, quantity)
        return made(quantity, values, heap.id, typed.basis)
    if not from_map:
        return None
    cv = (map_cv or spread("drawn_dimensions")) / np.sqrt(3)
    return made(quantity, draw_cv(from_map, cv, about=heap.id, quantity=quantity), heap.id, "estimated")


def _other_end(heap: Feature, name: str, sizes: dict[str, Input | None], said: Said) -> Array:
    """A size as drawn numbers; end B shares the error of end A, for one hand measured both."""
    first = sizes[_SAME_AS.get(name, name)]
    if first is None:
        raise BadValue(f"The heap {heap.name} lacks its {name}. Measure it.")
    if name not in _SAME_AS:
        return first.values
    typed = heap.number(name)
    if typed is None:
        said.assume("other_end", "the other end or the top not measured, taken as large as the first", name_of(heap))
        return first.values
    return np.asarray(typed * first.values / first.values[0])


def _complete(heap: Feature, sizes: dict[str, Input | None], said: Said) -> bool:
    missing = [name.removesuffix("_m") for name, size in sizes.items() if size is None or size.values[0] < SMALLEST_M]
    if missing:
        text = f"{' and '.join(missing)} not known, left out of the sums: measure it"
        said.leave_open("no_size", text, name_of(heap))
        return False
    width, height = sizes["width_m"], sizes["height_m"]
    if width is not None and height is not None and height.values[0] > width.values[0]:
        feet = " or typed in feet" if said.system == "metric" else ""
        text = f"higher than wide, counted as typed: correct them if the two were swapped{feet}"
        said.leave_open("higher_than_wide", text, name_of(heap))
    return True


def _compare_outline(heap: Feature, form: str, needed: dict[str, Array], area_m2: float, said: Said) -> None:
    far = needed.get("width_b_m")
    typed = footprint.typed_footprint(
        form, needed["length_m"][0], needed["width_m"][0], None if far is None else far[0]
    )
    found = footprint.compare(area_m2, float(typed))
    if not found.agrees:
        said.leave_open("footprint_differs", found.text, name_of(heap))


def on_plane(feature: Feature, plane: Plane | None, types: tuple[str, ...]) -> Any:
    """The shape of a feature on the plane [m], or None: no plane, no usable shape, or not of these types."""
    if plane is None or feature.shape is None or feature.shape.geom_type not in types:
        return None
    try:
        flat = plane.forward(feature.shape)
    except BadShape:
        return None
    return flat if flat.is_valid and not flat.is_empty else None
