"""One heap taken through all formulas: gross volume, earth, packing, density, sorting, moisture. A heap is a row.

Its sizes are typed or off the map; its shape has an error of its own.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cached_property, lru_cache

import numpy as np

from sitemap.errors import BadValue
from sitemap.ranges import Array, Drawn, Measured, draw_cv, fixed
from sitemap.reasons import Term, reason
from sitemap.slash import calibrate, footprint, moisture, packing
from sitemap.slash.fuel import fuel_of
from sitemap.slash.inputs import (
    Input,
    density_input,
    drawn,
    drivers_of,
    earth_input,
    made,
    moisture_of,
    packing_input,
    rotten_density,
    sorting_of,
    spread,
    weakest,
)
from sitemap.slash.kept import keep, kept
from sitemap.slash.records import Calibrated, Heap, OnMap
from sitemap.slash.result import Dryness, Figures, Said, SlashItem
from sitemap.slash.volume import SHAPES, heap_volume, windrow_volume

SMALLEST_M = 0.01  # [m] a size smaller than this is a slip, not a size
BLANK_SHAPE, BLANK_SECTION = "dome", "round"
HALF_ROUND = ("tapered_ridge", "rounded_ridge")
_SAME_AS = {"length_b_m": "length_m", "width_b_m": "width_m", "height_b_m": "height_m"}
Sizes = Mapping[str, Input | None]


@dataclass(frozen=True, eq=False)
class Row:
    """A heap that counts, in drawn numbers.

    gross_m3 : None without a size, where a weight stands for it
    packing, earth, density : None of them multiplies a weight
    weighed : its dry mass, where it was taken apart and weighed [t]
    shares : char stock, oversize, fines [fraction], with the input that varies them
    water : moisture [fraction, dry basis], None where not known
    """

    heap: Heap
    gross_m3: Array | None
    sizes: tuple[Input, ...]
    packing: Input
    earth: Input
    density: Input
    weighed: Input | None
    sorting: Input
    shares: tuple[Array, Array, Array]
    water: Array | None
    fuel: str
    dryness: Dryness | None

    @property
    def inputs(self) -> tuple[Input, ...]:
        """What multiplies its dry mass."""
        if self.weighed is not None:
            return (self.weighed,)
        return (*self.sizes, self.packing, self.earth, self.density)

    @property
    def wood_m3(self) -> Array:
        """Volume of its wood [m³]."""
        if self.weighed is not None or self.gross_m3 is None:
            return np.asarray(1000 * self.dry_t / self.density.values)
        return np.asarray(packing.wood_volume(self.gross_m3, self.packing.values, self.earth.values))

    @property
    def dry_t(self) -> Array:
        """Dry mass [t]."""
        if self.weighed is not None:
            return self.weighed.values
        return np.asarray(packing.dry_mass(self.wood_m3, self.density.values))


def row_of(heap: Heap, on_map: OnMap | None, calibrated: Calibrated, said: Said) -> Row | None:
    """A heap in drawn numbers; None where it has no size, is burned, or says what cannot be.

    Parameters
    ----------
    on_map : what its outline or line tells, None where it has none
    calibrated : packing ratio and its spread by look, of heaps weighed on the site
    said : takes what was assumed and what is left open
    """
    if heap.gone:
        said.assume("burned", reason("slash.burned"), heap.about)
        return None
    weighed = weighed_dry(heap, said)
    if weighed is None and heap.unsound:
        said.leave_open("unsound", reason("slash.heap_unsound", what=heap.unsound), heap.about)
        return None
    # A weight stands for itself: what was assumed of packing and earth no longer decides anything, and is not said.
    aside = said if weighed is None else Said()
    gross, sizes = gross_of(heap, on_map, aside)
    density = rotten_density(density_input(heap.wood, heap.about, aside), heap.rotten_fraction)
    packed, earth = packing_input(heap, calibrated, aside), earth_input(heap, aside)
    if gross is None and weighed is None:
        return None
    sorting, parts = sorting_of(heap, said)
    water = moisture_of(heap, said)
    fuel, dryness = fuel_of(heap, water, said)
    return Row(heap, gross, sizes, packed, earth, density, weighed, sorting, parts, water, fuel, dryness)


@dataclass(frozen=True)
class OfHeap:
    """The figures of one heap, drawn when somebody looks at them: two thousand draws each are too many to keep."""

    heap: Heap
    on_map: OnMap | None
    calibrated: Calibrated

    def __hash__(self) -> int:
        return self._hash

    @cached_property
    def _hash(self) -> int:  # asked by every memory of every sum
        return hash((self.heap, self.on_map, self.calibrated))

    def made(self) -> Figures:
        """Its figures."""
        return _figures(self)

    def char_stock_t(self) -> Array:
        """The draws of its char stock [t]."""
        return kept(self, self._char_stock_t)

    def _char_stock_t(self) -> Array:
        row = row_of(self.heap, self.on_map, self.calibrated, Said())
        assert row is not None, "an item is made of a row that counts"
        return row.dry_t * row.shares[0]


def item_of(
    row: Row,
    on_map: OnMap | None,
    calibrated: Calibrated,
    large_m3: tuple[float, float] | None,
    dry_t: Array,
    large_t: float,
) -> SlashItem:
    """A row and its drawn mass [t] as the item that is shown, with how large it may be."""
    heap = row.heap
    basis = weakest(each.basis for each in row.inputs)
    made_by = OfHeap(heap, on_map, calibrated)
    likely_t = float(keep(made_by, dry_t * row.shares[0])[0])
    return SlashItem(heap.id, heap.name, heap.kind, basis, made_by, row.fuel, row.dryness, large_m3, large_t, likely_t)


@lru_cache(maxsize=512)  # about 0.2 MB each
def _figures(of: OfHeap) -> Figures:
    row = row_of(of.heap, of.on_map, of.calibrated, Said())
    assert row is not None, "an item is made of a row that counts"
    dry_t = row.dry_t
    char, oversize, fines = row.shares
    return Figures(
        gross_m3=None if row.gross_m3 is None else Drawn(row.gross_m3),
        wood_m3=Drawn(row.wood_m3),
        dry_t=Drawn(dry_t),
        green_t=None if row.water is None else Drawn(np.asarray(moisture.green_mass(dry_t, row.water))),
        char_stock_dry_t=Drawn(dry_t * char),
        oversize_dry_t=Drawn(dry_t * oversize),
        fines_dry_t=Drawn(dry_t * fines),
        drivers=drivers_of((*row.inputs, row.sorting)),
    )


def weighed_dry(heap: Heap, said: Said) -> Input | None:
    """Dry mass of a heap that was taken apart and weighed [t]: dry, or green with its moisture."""
    values, green = heap.dry_t_weighed, heap.mass_green_t
    if values is None and green is not None:
        water = moisture_of(heap, Said())
        if water is None:
            said.leave_open("weighed_moisture", reason("slash.weighed_without_moisture"), heap.about)
            return None
        return _weighed(heap, green / (1 + water))
    return None if values is None else _weighed(heap, fixed(values))


def _weighed(heap: Heap, dry_t: Array) -> Input:
    scale = draw_cv(1.0, spread("weighed"), about=heap.id, quantity="weighed")
    return made("weighed", dry_t * scale, heap.id, "measured")


def calibrated_packing(heaps: tuple[tuple[Heap, OnMap | None], ...], said: Said) -> Calibrated:
    """Packing ratio and its spread by look, from the heaps that were weighed and have a size, burned or not."""
    found: dict[str, list[tuple[float, ...]]] = {}
    names: dict[str, list[tuple[str, str]]] = {}
    for heap, on_map in heaps:
        if heap.packing_ratio is not None or (heap.dry_t_weighed is None and heap.mass_green_t is None):
            continue
        weighed, (gross, _) = weighed_dry(heap, Said()), gross_of(heap, on_map, Said())
        if weighed is None or gross is None:
            continue
        density = rotten_density(density_input(heap.wood, heap.about, Said()), heap.rotten_fraction)
        likely = weighed.values[0], gross[0], density.values[0], earth_input(heap, Said()).values[0]
        try:
            alone = calibrate.packing_from_weighed(*likely)
        except BadValue as bad:
            said.leave_open("bad_weight", reason("slash.weight_not_used", why=bad.reason), heap.about)
            continue
        look = heap.packing or packing.BLANK_PACKING
        found.setdefault(look, []).append((alone, *likely))
        names.setdefault(look, []).append(heap.about)
    return tuple(_calibrated(look, figures, names[look], said) for look, figures in found.items())


def _calibrated(
    look: str, figures: list[tuple[float, ...]], names: list[tuple[str, str]], said: Said
) -> tuple[str, float, float]:
    each, *columns = np.transpose(figures)
    if len(each) > 1 and np.std(np.log(each), ddof=1) > 2 * np.hypot(spread("dimensions"), spread("shape")):
        told = reason("slash.weights_differ", least=float(each.min()), most=float(each.max()))
        said.leave_open("weights_differ", told, *names)
    cv = calibrate.packing_spread(each, spread("packing_weighed"), spread("packing"))
    return look, calibrate.packing_from_weighed(*columns), cv


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
