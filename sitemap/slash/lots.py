"""Sums over many heaps in one pass: heaps alike in packing, earth, density and sorting are one lot of gross volume.

Volumes add up before they become tonnes, so the formulas run once a lot and not once a heap; only what is each heap's
own (sizes, shape, a weight) is drawn heap by heap, in blocks. A block is remembered: an edit of one heap makes its
block anew and no other, also where a heap comes or goes, for a block ends at an id and not at a count.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from functools import lru_cache

import numpy as np

from sitemap.progress import counted
from sitemap.ranges import Array, fixed, in_blocks
from sitemap.slash import moisture, packing
from sitemap.slash.heaps import Row, item_of, row_of
from sitemap.slash.inputs import Input
from sitemap.slash.records import Calibrated, Heap, OnMap
from sitemap.slash.result import Driver, Said, SlashItem

SMALL_SHARE = 0.02  # a driver below it is not worth a line, and 2,000 draws tell it no better
Entered = tuple[Heap, OnMap | None]


@dataclass
class Stream:
    """One error, in all heaps that share it.

    pinned : what the char stock [t] changes by where it alone is known; alone : by where nothing else varies
    """

    first: Input
    pinned: Array
    alone: Array


@dataclass
class Sums:
    """Dry masses of many heaps in drawn numbers [t]; green with their water, None where it is not known of all."""

    dry_t: Array = field(default_factory=lambda: fixed(0.0))
    char_t: Array = field(default_factory=lambda: fixed(0.0))
    oversize_t: Array = field(default_factory=lambda: fixed(0.0))
    fines_t: Array = field(default_factory=lambda: fixed(0.0))
    green_t: Array | None = field(default_factory=lambda: fixed(0.0))
    streams: dict[tuple[str, str], Stream] = field(default_factory=dict)

    def add(self, other: Sums) -> None:
        """Take other heaps in."""
        self.dry_t = self.dry_t + other.dry_t
        self.char_t = self.char_t + other.char_t
        self.oversize_t = self.oversize_t + other.oversize_t
        self.fines_t = self.fines_t + other.fines_t
        both = self.green_t is not None and other.green_t is not None
        self.green_t = self.green_t + other.green_t if both else None  # type: ignore[operator]
        for key, stream in other.streams.items():
            self.put(key, stream.first, stream.pinned, stream.alone)

    def put(self, key: tuple[str, str], first: Input, pinned: Array, alone: Array) -> None:
        """Take one more part of an error in."""
        old = self.streams.get(key)
        if old is None:
            self.streams[key] = Stream(first, pinned, alone)
        else:
            self.streams[key] = Stream(old.first, old.pinned + pinned, old.alone + alone)


@dataclass(frozen=True, eq=False)
class Own:
    """An error of one heap alone: which, and the variance [t²] it gives the char stock."""

    of: Entered
    stream: str
    variance: float


@dataclass(frozen=True, eq=False)
class Block:
    """Some heaps added up; never written to once made."""

    items: tuple[SlashItem, ...]
    dry_unknown: tuple[tuple[str, str], ...]
    own: tuple[Own, ...]
    sums: Sums
    said: Said


@dataclass
class _Lot:
    first: Row
    gross_m3: Array
    char_t: float = 0.0


def blocks(heaps: Sequence[Entered], calibrated: Calibrated) -> Iterator[Block]:
    """All heaps in blocks, in file order."""
    for part in counted("heaps", tuple(in_blocks(heaps, lambda heap: heap[0].id))):
        yield _block(part, calibrated)


@lru_cache(maxsize=2048)  # about 0.2 MB each
def _block(heaps: tuple[Entered, ...], calibrated: Calibrated) -> Block:
    said, sums, rows, own, dry = Said(), Sums(), [], [], []
    lots: dict[tuple[int, ...], _Lot] = {}
    for heap, on_map in heaps:
        row = row_of(heap, on_map, calibrated, said)
        if row is None:
            continue
        rows.append((row, on_map, row.dry_t))
        if row.water is None:
            dry.append(heap.about)
            sums.green_t = None
        if sums.green_t is not None and row.water is not None:
            sums.green_t = sums.green_t + moisture.green_mass(rows[-1][2], row.water)
        char_t = _put(lots, row)
        own += [
            Own((heap, on_map), each.stream, char_t**2 * _variance(each.factor))
            for each in row.inputs
            if each.about == heap.id and each.factor[0] > 0
        ]
    for lot in lots.values():
        _close(lot, sums)
    heaped = [row.gross_m3 for row, _, _ in rows if row.gross_m3 is not None]
    large_m3, large_t = iter(_likely_and_high(heaped)), _likely_and_high([dry_t for _, _, dry_t in rows])
    items = tuple(
        item_of(row, on_map, calibrated, None if row.gross_m3 is None else next(large_m3), dry_t, large)
        for (row, on_map, dry_t), (_, large) in zip(rows, large_t, strict=True)
    )
    return Block(items, tuple(dry), tuple(own), sums, said)


def _likely_and_high(figures: Sequence[Array]) -> list[tuple[float, float]]:
    """Of each drawn figure the likely value and the 90th percentile, as `Drawn` has them; in one pass."""
    if not figures:
        return []
    drawn = np.stack(figures)
    high = np.maximum(np.percentile(drawn[:, 1:], 90, axis=1), drawn[:, 0])
    return [(float(likely), float(most)) for likely, most in zip(drawn[:, 0], high, strict=True)]


def _variance(factor: Array) -> float:
    """Variance of a factor over its likely value [1]."""
    away = factor / factor[0] - 1
    return float(away.dot(away) / away.size - (np.add.reduce(away) / away.size) ** 2)


def _put(lots: dict[tuple[int, ...], _Lot], row: Row) -> float:
    """Put a row to its lot; gives its likely char stock [t]."""
    if row.weighed is not None or row.gross_m3 is None:
        lots[(id(row),)] = _Lot(row, row.dry_t, char := float(row.dry_t[0] * row.shares[0][0]))
        return char
    key = (id(row.packing.values), id(row.earth.values), id(row.density.values), id(row.shares))
    lot = lots.get(key)
    if lot is None:
        lot = lots[key] = _Lot(row, row.gross_m3)
    else:
        lot.gross_m3 = lot.gross_m3 + row.gross_m3
    wood_m3 = row.gross_m3[0] * row.packing.values[0] * (1 - row.earth.values[0])
    char = float(wood_m3 * row.density.values[0] / 1000 * row.shares[0][0])
    lot.char_t += char
    return char


def _close(lot: _Lot, sums: Sums) -> None:
    """Tonnes of a lot, and the errors its heaps share."""
    row = lot.first
    dry_t = lot.gross_m3
    if row.weighed is None:
        wood_m3 = packing.wood_volume(lot.gross_m3, row.packing.values, row.earth.values)
        dry_t = np.asarray(packing.dry_mass(wood_m3, row.density.values))
    char, oversize, fines = row.shares
    char_t = dry_t * char
    sums.dry_t = sums.dry_t + dry_t
    sums.char_t = sums.char_t + char_t
    sums.oversize_t = sums.oversize_t + dry_t * oversize
    sums.fines_t = sums.fines_t + dry_t * fines
    for each in (*row.inputs, row.sorting):
        if each.about != row.heap.id:
            put_stream(sums, each, char_t)


def put_stream(sums: Sums, each: Input, char_t: Array) -> None:
    """What one input does to a char stock [t] that it multiplies."""
    if each.factor[0] <= 0:
        return  # nothing of it goes in a kiln
    swing, pinned = _pinned(each, char_t)
    sums.put((each.about, each.stream), each, pinned, char_t[0] * (swing - 1))


def _pinned(each: Input, char_t: Array) -> tuple[Array, Array]:
    """The input over its likely value, and what the char stock [t] changes by where that is known.

    Every item is a product of its inputs, so an input is pinned at its likely value by dividing it out; a shape nobody
    named is pinned to what a named one leaves open.
    """
    swing = each.factor / each.factor[0]
    asked = char_t if each.asked is None else char_t * each.asked / each.asked[0]
    return swing, np.divide(asked, swing, out=char_t.copy(), where=swing > 0) - char_t


def drivers_of_all(sums: Sums, own: Sequence[Own], calibrated: Calibrated) -> tuple[Driver, ...]:
    """Each unknown behind the char stock: what the range loses when that one alone is known, and what it alone gives.

    What heaps share is pinned in all of them at once.
    """
    total = sums.char_t
    whole = _reach(total)
    if whole == 0:
        return ()
    too_little = SMALL_SHARE / 4 * float(np.var(total))  # of a thousand heaps few make a difference: spare the rest
    streams = [each for each in sums.streams.values() if np.var(each.alone) >= too_little]
    telling = [each for each in own if each.variance >= too_little]
    rows = {of: row_of(*of, calibrated, Said()) for of in {each.of for each in telling}}
    streams += [_own_stream(each, rows[each.of]) for each in telling]
    found = []
    for each in streams:
        share = 1 - (_reach(total + each.pinned) / whole) ** 2
        if share >= SMALL_SHARE:
            found.append(each.first.driver(share, _reach(each.alone) / 2 / total[0]))
    return tuple(sorted(found, key=lambda driver: -driver.share))


def _own_stream(own: Own, row: Row | None) -> Stream:
    assert row is not None, "an error of its own stands in a row that counts"
    each = next(each for each in row.inputs if each.stream == own.stream and each.about == row.heap.id)
    char_t = row.dry_t * row.shares[0]
    swing, pinned = _pinned(each, char_t)
    return Stream(each, pinned, char_t[0] * (swing - 1))


def _reach(figure: Array) -> float:
    """From low to high."""
    low, high = np.percentile(figure[1:], (10, 90))
    return float(high - low)
