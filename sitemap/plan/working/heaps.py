"""Tonnes of each heap, step by step."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from sitemap.assessment import Assessment
from sitemap.plan.largest import printed
from sitemap.plan.working.step import Step, Value, share_of
from sitemap.ranges import Drawn
from sitemap.slash.heaps import OfHeap, Row, row_of
from sitemap.slash.inputs import Input
from sitemap.slash.result import Said, SlashItem


def heap_steps(a: Assessment) -> Iterator[tuple[str, tuple[Step, ...]]]:
    """Name of each heap that is printed, or of the scattered slash, and its steps."""
    for item in printed(a):
        row = None
        if isinstance(item.source, OfHeap):
            row = row_of(item.source.heap, item.source.on_map, item.source.calibrated, Said())
        steps = () if row is None else tuple(_mass(row, item))
        yield item.name, (*steps, *_parts(row, item))


def _mass(row: Row, item: SlashItem) -> Iterator[Step]:
    """From the sizes to the dry mass; a heap that was weighed is its weight."""
    if row.weighed is not None or row.gross_m3 is None:
        return
    sizes = {size.quantity: size for size in row.sizes}
    length, width, height = (float(sizes[name].values[0]) for name in ("length", "width", "height"))
    gross = float(row.gross_m3[0])
    letters = (("l", "length"), ("w", "width"), ("h", "height"))
    inputs = tuple(
        Value(letter, float(sizes[name].values[0]), "m", basis=sizes[name].basis, ends=_ends(sizes[name]))
        for letter, name in letters
    )
    c = gross / (length * width * height)
    shape = Value("c", c, basis=sizes["shape"].basis, ends=_ends(sizes["shape"], c))
    volume = Value("V", gross, "m3") if item.gross_m3 is None else Value.of("V", item.gross_m3, "m3")
    yield Step("As it lies", "gross", (shape, *inputs), volume, item.gross_m3)
    shares = (
        Value("earth", float(row.earth.values[0]), basis=row.earth.basis, ends=_ends(row.earth)),
        Value("packing", float(row.packing.values[0]), basis=row.packing.basis, ends=_ends(row.packing)),
    )
    wood = Value("a", float(row.wood_m3[0]), "m3") if item.wood_m3 is None else Value.of("a", item.wood_m3, "m3")
    yield Step("Wood", "wood", (volume, *shares), wood, item.wood_m3)
    density = Value("b", float(row.density.values[0]), "kg_m3", basis=row.density.basis, ends=_ends(row.density))
    yield Step("Dry wood", "product", (wood, density), _tonnes(item.dry_t.likely), item.dry_t)


def _parts(row: Row | None, item: SlashItem) -> Iterator[Step]:
    dry = Value.of("a", item.dry_t, "t", basis="weighed" if row is not None and row.weighed is not None else "")
    parts = (
        ("Char stock", item.char_stock_dry_t),
        ("Too thick", item.oversize_dry_t),
        ("Fines, dirt", item.fines_dry_t),
    )
    for name, part in parts:
        basis = "" if row is None else row.sorting.basis
        yield Step(
            name,
            "product",
            (dry, Value.of("b", share_of(part, item.dry_t), basis=basis)),
            _tonnes(part.likely),
            part,
        )


def _ends(drawn: Input, likely: float | None = None) -> tuple[float, float] | None:
    """Between which its draws lie, eight of ten; likely : what the first of them stands for, where that is another."""
    share = 1.0 if likely is None else likely / float(drawn.values[0])
    ends = Drawn(share * np.asarray(drawn.values)).triple() if np.ndim(drawn.values) else None
    return None if ends is None else (ends[0], ends[2])


def _tonnes(number: float) -> Value:
    return Value("t", number, "t")
