"""Sums over many heaps in one pass: heaps alike in packing, earth, density and sorting are one lot of gross volume.

Volumes add up before they become tonnes, so the formulas run once a lot and not once a heap; only what is each heap's
own (sizes, shape, a weight) is drawn heap by heap, in blocks. A block is remembered: an edit of one heap makes its
block anew and no other, also where a heap comes or goes, for a block ends at an id and not at a count.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from functools import lru_cache
from typing import NamedTuple

import numpy as np

from sitemap.progress import counted
from sitemap.ranges import N_DRAWS, Array, fixed, in_blocks
from sitemap.slash import moisture
from sitemap.slash.heaps import Row, item_of, row_of
from sitemap.slash.inputs import Input, weaker
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
            self.streams[key] = Stream(weaker(old.first, first), old.pinned + pinned, old.alone + alone)


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


class _Mass(NamedTuple):
    """Of one heap the dry mass in drawn numbers [t], and what `SlashItem` says of how large it may be."""

    dry_t: Array
    large_m3: tuple[float, float] | None
    large_t: float


def blocks(heaps: Sequence[Entered], calibrated: Calibrated) -> Iterator[Block]:
    """All heaps in blocks, in file order."""
    for part in counted("heaps", tuple(in_blocks(heaps, lambda heap: heap[0].id))):
        yield _block(part, calibrated)


@lru_cache(maxsize=2048)  # about 0.2 MB each
def _block(heaps: tuple[Entered, ...], calibrated: Calibrated) -> Block:
    said, sums = Said(), Sums()
    read = [(of, row) for of in heaps if (row := row_of(*of, calibrated, said)) is not None]
    lots: dict[tuple[int | str, ...], list[Row]] = {}
    for _, row in read:
        lots.setdefault(_alike(row), []).append(row)
    masses = {id(row): mass for lot in lots.values() for row, mass in zip(lot, _add(lot, sums), strict=True)}
    items, own = [], []
    for of, row in read:
        mass = masses[id(row)]
        sums.green_t = _with_green(sums.green_t, row, mass.dry_t)
        items.append(item_of(row, of[1], calibrated, mass.large_m3, mass.dry_t, mass.large_t))
        char_t = mass.dry_t[0] * row.shares[0][0]
        own += [
            Own(of, each.stream, char_t**2 * _variance(each.factor))
            for each in row.inputs
            if each.about == row.heap.id and each.factor[0] > 0
        ]
    dry_unknown = tuple(row.heap.about for _, row in read if row.water is None)
    return Block(tuple(items), dry_unknown, tuple(own), sums, said)


def _alike(row: Row) -> tuple[int | str, ...]:
    """What tells its lot: inputs that are shared are the same arrays, known as well; a weight stands by itself."""
    if row.weighed is not None:
        return (id(row),)
    inputs = (row.packing, row.earth, row.density)
    return (*(id(each.values) for each in inputs), *(each.basis for each in inputs), id(row.shares))


def _add(lot: Sequence[Row], sums: Sums) -> list[_Mass]:
    """Take a lot into the sums, and the errors its heaps share; gives the mass of each heap."""
    first = lot[0]
    sizes_m3 = [row.gross_m3 for row in lot if row.gross_m3 is not None]
    larges_m3: Sequence[tuple[float, float] | None] = [None]
    if sizes_m3:
        gross_m3 = np.stack(sizes_m3)
        larges_m3 = _likely_and_high(gross_m3)
    if first.weighed is None:
        each_t = replace(first, gross_m3=gross_m3).dry_t
        dry_t = replace(first, gross_m3=np.add.reduce(gross_m3)).dry_t
    else:
        dry_t = first.dry_t
        each_t = dry_t[None]
    char, oversize, fines = first.shares
    char_t = dry_t * char
    sums.dry_t = sums.dry_t + dry_t
    sums.char_t = sums.char_t + char_t
    sums.oversize_t = sums.oversize_t + dry_t * oversize
    sums.fines_t = sums.fines_t + dry_t * fines
    for each in (*first.inputs, first.sorting):
        if each.about != first.heap.id:
            put_stream(sums, each, char_t)
    larges_t = (most for _, most in _likely_and_high(each_t))
    return [_Mass(*each) for each in zip(each_t, larges_m3, larges_t, strict=True)]


def _with_green(green_t: Array | None, row: Row, dry_t: Array) -> Array | None:
    """Green mass [t] with one more heap in it; None once the moisture of one is not known."""
    if green_t is None or row.water is None:
        return None
    return np.asarray(green_t + moisture.green_mass(dry_t, row.water))


def _likely_and_high(drawn: Array) -> list[tuple[float, float]]:
    """Of figures (n, N_DRAWS + 1) the likely value and the 90th percentile, as `Drawn` has them; in one pass."""
    at, beyond = divmod(0.9 * (N_DRAWS - 1), 1)  # between two draws, as `np.percentile` has it in more time
    ordered = np.partition(drawn[:, 1:], int(at), axis=1)
    under, over = ordered[:, int(at)], np.minimum.reduce(ordered[:, int(at) + 1 :], axis=1)
    high = np.maximum(under + (over - under) * beyond, drawn[:, 0])
    return list(zip(drawn[:, 0].tolist(), high.tolist(), strict=True))


def _variance(factor: Array) -> float:
    """Variance of a factor over its likely value [1]."""
    mean = np.add.reduce(factor) / factor.size
    return float((factor.dot(factor) / factor.size - mean**2) / factor[0] ** 2)


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
