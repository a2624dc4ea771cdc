"""One heap taken through all formulas: gross volume, earth, packing, density, sorting, moisture. A heap is a row."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from sitemap.errors import BadValue
from sitemap.ranges import Array, Drawn, draw_cv, fixed
from sitemap.reasons import reason
from sitemap.slash import calibrate, moisture, packing
from sitemap.slash.fuel import fuel_of
from sitemap.slash.heaps import gross_of
from sitemap.slash.inputs import (
    Input,
    density_input,
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
from sitemap.slash.records import Calibrated, Heap, OnMap
from sitemap.slash.result import Dryness, Figures, Said, SlashItem


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

    def made(self) -> Figures:
        """Its figures."""
        return _figures(self)


def item_of(
    row: Row, on_map: OnMap | None, calibrated: Calibrated, large_m3: tuple[float, float] | None, large_t: float
) -> SlashItem:
    """A row as the item that is shown, with how large it may be."""
    heap = row.heap
    basis = weakest(each.basis for each in row.inputs)
    made_by = OfHeap(heap, on_map, calibrated)
    return SlashItem(heap.id, heap.name, heap.kind, basis, made_by, row.fuel, row.dryness, large_m3, large_t)


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
