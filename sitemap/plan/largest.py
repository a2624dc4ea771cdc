"""Of thousands of heaps the papers print the largest and the sums; a table file beside them lists every one."""

from __future__ import annotations

import csv
import io

from sitemap.assessment import Assessment
from sitemap.slash.result import SlashItem
from sitemap.units import reported

MOST = 60  # so many are printed one by one
_LARGEST = 40
_COLUMNS = ("gross_m3", "wood_m3", "dry_t", "green_t", "char_stock_dry_t", "oversize_dry_t", "fines_dry_t")


def printed(a: Assessment) -> tuple[SlashItem, ...]:
    """The heaps that are printed one by one, in file order: all, or the largest of many; scattered slash always."""
    items = a.slash.items
    if len(items) <= MOST:
        return items
    large = sorted((item.large_t for item in items if item.large_t is not None), reverse=True)
    least = large[min(_LARGEST, len(large)) - 1] if large else 0.0
    return tuple(item for item in items if item.large_t is None or item.large_t >= least)[: 2 * MOST]


def heaps_table(a: Assessment) -> bytes | None:
    """Every heap with its figures, low, likely and high each, as a table (CSV, UTF-8); None where all are printed."""
    if len(a.slash.items) <= MOST:
        return None
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    ends = ("low", "likely", "high")
    writer.writerow(["id", "name", "kind", "rests_on", *(f"{name}_{end}" for name in _COLUMNS for end in ends)])
    for item in a.slash.items:
        quantities = [getattr(item, name) for name in _COLUMNS]
        shown = [
            each for drawn in quantities for each in (("",) * 3 if drawn is None else map(reported, drawn.triple()))
        ]
        writer.writerow([_plain(item.id), _plain(item.name), item.kind, item.basis, *shown])
    return out.getvalue().encode("utf-8-sig")


def _plain(text: str) -> str:
    """A text a spreadsheet does not take for a formula."""
    return f"'{text}" if text[:1] in tuple("=+-@\t\r") else text
