"""Slash: how much, with its range and what each figure rests on."""

from __future__ import annotations

from sitemap.assessment import Assessment
from sitemap.plan.model import Block, Facts, Items, Paragraph, Section, Table
from sitemap.ranges import Drawn
from sitemap.summary import counted, said
from sitemap.telling import tell
from sitemap.units import text, unit_label
from sitemap.wording import capital, without_unit


def slash(a: Assessment) -> Section:
    """Heap by heap, the sums, and what widens the range."""
    found, units = a.slash, a.source.units
    if not found.counted:
        nothing = Paragraph("How much slash there is is not known: nothing that was entered can be reckoned.")
        return Section("slash", "Slash", (nothing,))
    rows: list[tuple[str, ...]] = [
        (
            item.name,
            _bare(item.gross_m3, "m3", units),
            _bare(item.dry_t, "t", units),
            _bare(item.char_stock_dry_t, "t", units),
            _bare(item.oversize_dry_t, "t", units),
            _bare(item.fines_dry_t, "t", units),
            item.basis,
        )
        for item in found.items
    ]
    sums = (found.dry_t, found.char_stock_dry_t, found.oversize_dry_t, found.fines_dry_t)
    rows.append(("All", "", *(_bare(total, "t", units) for total in sums), ""))
    space, tonnes = unit_label("m3", units), unit_label("t", units)
    parts = [f"{part}, {tonnes}" for part in ("Dry wood", "Char stock", "Too thick", "Fines, dirt")]
    heads = ("Heap", f"As it lies, {space}", *parts, "Rests on")
    burn = a.burn
    facts = Facts(
        (
            ("Logged area", text(found.logged_area_ha, "ha", units)),
            ("Dry wood per area", said(found.dry_t_per_ha, "t_ha", units)),
            ("Green weight", said(found.green_t, "t", units)),
            ("Kiln batches; days", f"{counted(burn.batches)}; {counted(burn.days)}"),
            ("Char", f"{said(burn.char_m3, 'm3', units)} loose, {said(burn.char_t, 't', units)} dry"),
            ("Buckets or bulk bags", f"{counted(burn.buckets)} buckets or {counted(burn.bags)} bags"),
            ("Quench water, in all", said(burn.quench_l, "l", units)),
        )
    )
    blocks: list[Block] = [
        Table("", heads, tuple(rows), (20, 16, 16, 16, 14, 14, 13), small=True),
        Paragraph("Likely, with the range in brackets: one time in ten it is less, one time in ten more.", "small"),
        facts,
    ]
    if found.drivers:
        blocks.append(Paragraph("What widens the range most", "strong"))
        blocks.append(Items(tuple(_driver(a, place) for place in range(min(3, len(found.drivers)))), small=True))
    return Section("slash", "Slash", tuple(blocks))


def _bare(quantity: Drawn | None, unit: str, units: str) -> str:
    """A quantity with its range, its unit left to the head of the column."""
    return "–" if quantity is None else without_unit(said(quantity, unit, units), unit, units)


def _driver(a: Assessment, place: int) -> str:
    driver = a.slash.drivers[place]
    feature = a.source.get(driver.about)
    whose = feature.name if feature is not None else "all heaps"
    return (
        f"{capital(tell(driver.what))}, {whose}: {driver.basis}; {driver.share:.0%} of the spread, "
        f"± {driver.half_range:.0%} by itself."
    )
