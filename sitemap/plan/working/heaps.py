"""Tonnes of each heap, step by step."""

from __future__ import annotations

from collections.abc import Iterator

from sitemap.assessment import Assessment
from sitemap.plan.working.step import Step, Value
from sitemap.slash.result import Said, SlashItem
from sitemap.slash.rows import OfHeap, Row, row_of


def heap_steps(a: Assessment) -> Iterator[tuple[str, tuple[Step, ...]]]:
    """Name of each heap, or of the scattered slash, and its steps."""
    for item in a.slash.items:
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
        Value(letter, float(sizes[name].values[0]), "m", basis=sizes[name].basis) for letter, name in letters
    )
    shape = Value("c", gross / (length * width * height), basis=sizes["shape"].basis)
    yield Step("As it lies", "gross", (shape, *inputs), Value("V", gross, "m3"), item.gross_m3)
    shares = (
        Value("earth", float(row.earth.values[0]), basis=row.earth.basis),
        Value("packing", float(row.packing.values[0]), basis=row.packing.basis),
    )
    wood = Value("wood", float(row.wood_m3[0]), "m3")
    yield Step("Wood", "wood", (Value("V", gross, "m3"), *shares), wood, item.wood_m3)
    density = Value("b", float(row.density.values[0]), "kg_m3", basis=row.density.basis)
    yield Step("Dry wood", "product", (Value("a", wood.number, "m3"), density), _tonnes(item.dry_t.likely), item.dry_t)


def _parts(row: Row | None, item: SlashItem) -> Iterator[Step]:
    dry = Value("a", item.dry_t.likely, "t", basis="weighed" if row is not None and row.weighed is not None else "")
    parts = (
        ("Char stock", item.char_stock_dry_t),
        ("Too thick", item.oversize_dry_t),
        ("Fines, dirt", item.fines_dry_t),
    )
    for name, part in parts:
        share = part.likely / item.dry_t.likely if item.dry_t.likely else 0.0
        basis = row.sorting.basis if row is not None else ""
        yield Step(name, "product", (dry, Value("b", share, basis=basis)), _tonnes(part.likely), part)


def _tonnes(number: float) -> Value:
    return Value("t", number, "t")
