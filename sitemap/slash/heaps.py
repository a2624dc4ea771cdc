"""The gross volume of a pile or windrow in drawn numbers: its sizes, typed or off the map, and its shape."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import replace

import numpy as np

from sitemap.errors import BadValue
from sitemap.ranges import Array, Measured, draw_cv
from sitemap.reasons import Term, reason
from sitemap.slash import footprint
from sitemap.slash.inputs import Input, drawn, made, spread
from sitemap.slash.records import Heap, OnMap
from sitemap.slash.result import Said
from sitemap.slash.volume import SHAPES, heap_volume, windrow_volume

SMALLEST_M = 0.01  # [m] a size smaller than this is a slip, not a size
BLANK_SHAPE, BLANK_SECTION = "dome", "round"
HALF_ROUND = ("tapered_ridge", "rounded_ridge")
_SAME_AS = {"length_b_m": "length_m", "width_b_m": "width_m", "height_b_m": "height_m"}
Sizes = Mapping[str, Input | None]


def gross_of(heap: Heap, on_map: OnMap | None, said: Said) -> tuple[Array | None, tuple[Input, ...]]:
    """Gross volume [m³] in drawn numbers and the inputs behind it; None without the sizes it takes.

    on_map : what its outline or line tells, None where it has none
    """
    return _windrow(heap, on_map, said) if heap.kind == "windrow" else _pile(heap, on_map, said)


def _pile(heap: Heap, outline: OnMap | None, said: Said) -> tuple[Array | None, tuple[Input, ...]]:
    heap = _half_round(heap, said) if heap.shape in HALF_ROUND else heap
    sides = {} if outline is None else {"length_m": outline.length_m, "width_m": outline.width_m}
    typed = {"length_m": heap.length, "width_m": heap.width, "height_m": heap.height}
    sizes = {name: _size(heap, name, size, sides.get(name)) for name, size in typed.items()}
    if not _complete(heap, sizes, said):
        return None, ()
    from_map = [name for name in sides if typed[name] is None]
    if from_map:
        said.assume("size_from_outline", reason("slash.size_from_outline"), heap.about)
    if heap.shape is None:
        said.assume("shape", reason("slash.shape_not_given"), heap.about)
    form = heap.shape or BLANK_SHAPE
    needed = {name: _other_end(heap, name, sizes, said) for name in SHAPES[form].needed}
    if form == "rounded_ridge":
        ends_m = (needed["width_m"] + needed["width_b_m"]) / 2
        if needed["length_m"][0] < ends_m[0]:
            said.leave_open("too_short", reason("slash.too_short"), heap.about)
        needed["length_m"] = np.maximum(needed["length_m"], ends_m)
    if outline is not None and not from_map:
        _compare_outline(heap, form, needed, outline.area_m2, said)
    return _with_shape(heap, np.asarray(heap_volume(form, **needed)), sizes, heap.shape is None)


def _half_round(heap: Heap, said: Said) -> Heap:
    """A ridge of which only the heights or only the widths were taped: its section is half a circle."""
    if not heap.sizes & {"width_m", "width_b_m"} and heap.height and heap.height_b is not None:
        said.assume("half_round", reason("slash.half_round_by_height"), heap.about)
        width = Measured(2 * heap.height.likely, None, None, "assumed")
        return replace(heap, width=width, width_b=2 * heap.height_b)
    if not heap.sizes & {"height_m", "height_b_m"} and heap.width and heap.width_b is not None:
        said.assume("half_round", reason("slash.half_round_by_width"), heap.about)
        height = Measured(0.5 * heap.width.likely, None, None, "assumed")
        return replace(heap, height=height, height_b=0.5 * heap.width_b)
    return heap


def _windrow(heap: Heap, line: OnMap | None, said: Said) -> tuple[Array | None, tuple[Input, ...]]:
    if line is not None and heap.length is not None:
        said.assume("typed_length", reason("slash.typed_length"), heap.about)
    sizes = {
        "length_m": _size(heap, "length_m", heap.length, None if line is None else line.length_m, spread("dimensions")),
        "width_m": _size(heap, "width_m", heap.width),
        "height_m": _size(heap, "height_m", heap.height),
    }
    if not _complete(heap, sizes, said):
        return None, ()
    if heap.section is None:
        said.assume("shape", reason("slash.section_not_given"), heap.about)
    values = {name: size.values for name, size in sizes.items() if size is not None}
    solid_m3 = np.asarray(windrow_volume(heap.section or BLANK_SECTION, **values))
    return _with_shape(heap, solid_m3, sizes, heap.section is None)


def _with_shape(heap: Heap, solid_m3: Array, sizes: Sizes, blank: bool) -> tuple[Array, tuple[Input, ...]]:
    named = draw_cv(1.0, spread("shape"), about=heap.id, quantity="shape")
    shape = made("shape", named, heap.id, "estimated")
    if blank:
        wide = draw_cv(1.0, spread("shape_blank"), about=heap.id, quantity="shape")
        shape = replace(made("shape", wide, heap.id, "assumed"), asked=named)
    return solid_m3 * shape.values, (*(size for size in sizes.values() if size is not None), shape)


def _size(
    heap: Heap, name: str, typed: Measured | None, from_map: float | None = None, map_cv: float | None = None
) -> Input | None:
    """One size: typed with its range, else off the map. Three sizes of 1/√3 of the spread make the whole of it."""
    quantity = name.removesuffix("_m")
    if typed is not None:
        values = drawn(typed, spread("dimensions") / math.sqrt(3), heap.id, quantity)
        return made(quantity, values, heap.id, typed.basis)
    if not from_map:
        return None
    cv = (map_cv or spread("drawn_dimensions")) / math.sqrt(3)
    return made(quantity, draw_cv(from_map, cv, about=heap.id, quantity=quantity), heap.id, "estimated")


def _other_end(heap: Heap, name: str, sizes: Sizes, said: Said) -> Array:
    """A size as drawn numbers; end B shares the error of end A, for one hand measured both."""
    first = sizes[_SAME_AS.get(name, name)]
    if first is None:
        raise BadValue(reason("slash.lacks_a_size", name=heap.name, size=name))
    if name not in _SAME_AS:
        return first.values
    typed = {"length_b_m": heap.length_b, "width_b_m": heap.width_b, "height_b_m": heap.height_b}[name]
    if typed is None:
        said.assume("other_end", reason("slash.other_end_not_measured"), heap.about)
        return first.values
    return np.asarray(typed * first.values / first.values[0])


def _complete(heap: Heap, sizes: Sizes, said: Said) -> bool:
    missing = [name.removesuffix("_m") for name, size in sizes.items() if size is None or size.values[0] < SMALLEST_M]
    if missing:
        said.leave_open("no_size", reason("slash.no_size", missing=tuple(map(Term, missing))), heap.about)
        return False
    width, height = sizes["width_m"], sizes["height_m"]
    if width is not None and height is not None and height.values[0] > width.values[0]:
        said.leave_open("higher_than_wide", reason("slash.higher_than_wide"), heap.about)
    return True


def _compare_outline(heap: Heap, form: str, needed: Mapping[str, Array], area_m2: float, said: Said) -> None:
    far = needed.get("width_b_m")
    typed = footprint.typed_footprint(
        form, needed["length_m"][0], needed["width_m"][0], None if far is None else far[0]
    )
    found = footprint.compare(area_m2, float(typed))
    if found is not None:
        said.leave_open("footprint_differs", found, heap.about)
