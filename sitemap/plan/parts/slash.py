"""Slash: how much, with its range and what each figure rests on."""

from __future__ import annotations

import math

from sitemap.assessment import Assessment
from sitemap.plan.largest import printed
from sitemap.plan.model import Block, Facts, Items, Paragraph, Section, Table
from sitemap.plan.phrases import Words
from sitemap.ranges import Drawn
from sitemap.reasons import Term
from sitemap.slash.result import Driver
from sitemap.summary import counted, said
from sitemap.units import text, unit_label
from sitemap.wording import capital, without_unit

_RANGE = "Likely, with the range in brackets: one time in ten it is less, one time in ten more."


def slash(a: Assessment, words: Words) -> Section:
    """Heap by heap, the sums, and what widens the range."""
    found, units = a.slash, a.source.units
    if not found.counted:
        nothing = Paragraph(
            words.own("How much slash there is is not known: nothing that was entered can be reckoned.")
        )
        return Section("slash", words.own("Slash"), (nothing,))
    rows: list[tuple[str, ...]] = [
        (
            words.shown(item.name),
            _bare(item.gross_m3, "m3", units),
            _bare(item.dry_t, "t", units),
            _bare(item.char_stock_dry_t, "t", units),
            _bare(item.oversize_dry_t, "t", units),
            _bare(item.fines_dry_t, "t", units),
            words.shown(Term(item.basis)),
        )
        for item in printed(a)
    ]
    others = len(found.items) - len(rows)
    if others:
        rows.append((words.own("{count} smaller ones, in the table beside", count=others), *("",) * 6))
    sums = (found.dry_t, found.char_stock_dry_t, found.oversize_dry_t, found.fines_dry_t)
    rows.append((words.own("All"), "", *(_bare(total, "t", units) for total in sums), ""))
    space, tonnes = words.figure(unit_label("m3", units)), words.figure(unit_label("t", units))
    parts = [f"{part}, {tonnes}" for part in words.row("Dry wood", "Char stock", "Too thick", "Fines, dirt")]
    heads = (words.own("Heap"), f"{words.own('As it lies')}, {space}", *parts, words.own("Rests on"))
    burn = a.burn
    loose, dry = said(burn.char_m3, "m3", units), said(burn.char_t, "t", units)
    buckets, bags = counted(burn.buckets), counted(burn.bags)
    pairs = (
        ("Logged area", text(found.logged_area_ha, "ha", units)),
        ("Dry wood per area", said(found.dry_t_per_ha, "t_ha", units)),
        ("Green weight", said(found.green_t, "t", units)),
        ("Kiln batches; days", f"{counted(burn.batches)}; {counted(burn.days)}"),
        ("Char", words.own("{loose} loose, {dry} dry", loose=words.figure(loose), dry=words.figure(dry))),
        ("Buckets or bulk bags", words.own("{buckets} buckets or {bags} bags", buckets=buckets, bags=bags)),
        ("Quench water, in all", said(burn.quench_l, "l", units)),
    )
    facts = Facts(tuple((words.own(label), words.figure(told)) for label, told in pairs))
    blocks: list[Block] = [
        Table("", heads, tuple(rows), (20, 16, 16, 16, 14, 14, 13), small=True),
        Paragraph(words.own(_RANGE), "small"),
        facts,
    ]
    if found.drivers:
        blocks.append(Paragraph(words.own("What widens the range most"), "strong"))
        blocks.append(Items(tuple(_driver(a, words, place) for place in range(len(found.drivers))), small=True))
        blocks.append(Paragraph(_by_hand(found.char_stock_dry_t, found.drivers, words), "small"))
    return Section("slash", words.own("Slash"), tuple(blocks))


def _bare(quantity: Drawn | None, unit: str, units: str) -> str:
    """A quantity with its range, its unit left to the head of the column."""
    return "–" if quantity is None else without_unit(said(quantity, unit, units), unit, units)


def _by_hand(char_stock: Drawn, drivers: tuple[Driver, ...], words: Words) -> str:
    """How the range of the sum follows from what widens it, nearly."""
    low, likely, high = char_stock.triple()
    together = math.sqrt(sum(driver.half_range**2 for driver in drivers))
    return words.own(
        "By hand, nearly: the root of the sum of the squares of these halves is ± {together}. Half the range of the "
        "char stock, as drawn, is ± {drawn} of its likely value.",
        together=f"{together:.0%}",
        drawn=f"{(high - low) / 2 / likely if likely else 0.0:.0%}",
    )


def _driver(a: Assessment, words: Words, place: int) -> str:
    driver = a.slash.drivers[place]
    feature = a.source.get(driver.about)
    return words.own(
        "{what}, {whose}: {basis}; {share} of the spread, ± {half} by itself.",
        what=capital(words.tell(driver.what)),
        whose=feature.name if feature is not None else words("decision.all_heaps"),
        basis=Term(driver.basis),
        share=f"{driver.share:.0%}",
        half=f"{driver.half_range:.0%}",
    )
