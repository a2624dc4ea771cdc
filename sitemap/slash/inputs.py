"""What was said of heaps and lines as drawn numbers, with what a blank means and where each comes from.

An error that all heaps share (packing of one sketch, density of one species, sorting) is drawn from a stream of the
site and does not average out; errors of size and shape are each heap's own.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache
from statistics import NormalDist

import numpy as np

from sitemap import tables
from sitemap.errors import BadValue
from sitemap.ranges import Array, Measured, draw, draw_cv
from sitemap.reasons import Quantity, Reason, Term, percent, reason
from sitemap.slash import moisture, packing, wood
from sitemap.slash.records import Calibrated, Heap, Sorting, Wood
from sitemap.slash.result import Driver, Said

BASES = ("measured", "estimated", "assumed")  # from the strongest to the weakest
WIDEST = 50.0
Z90 = NormalDist().inv_cdf(0.9)


@dataclass(frozen=True, eq=False)
class Input:
    """One drawn number behind a mass.

    quantity : key of result.QUANTITIES; values : the number itself
    factor : what it multiplies the mass by, up to a constant (1 − earth for earth)
    about, stream : the name of its error
    asked : the factor once somebody has walked up and answered; None where it would be exact
    """

    quantity: str
    values: Array
    factor: Array
    about: str
    stream: str
    basis: str
    asked: Array | None = None

    def driver(self, share: float, half_range: float) -> Driver:
        """This input as the Driver of a figure."""
        return Driver(
            self.quantity, self.about, self.stream.partition(":")[2], self.basis, float(share), float(half_range)
        )


def made(quantity: str, values: Array, about: str, basis: str, stream: str = "", factor: Array | None = None) -> Input:
    """An Input whose number [any unit] multiplies the mass as it stands, unless another factor is given."""
    return Input(quantity, values, values if factor is None else factor, about, stream or quantity, basis)


def weakest(bases: Iterable[str]) -> str:
    """The weakest of some bases.

    >>> weakest(["measured", "assumed", "estimated"])
    'assumed'
    """
    return max(bases, key=BASES.index)


def weaker(one: Input, other: Input) -> Input:
    """Of two that share an error the one less is known of, so that no order of a file makes it look better known."""
    return max(one, other, key=lambda each: BASES.index(each.basis))


def drivers_of(inputs: Iterable[Input]) -> tuple[Driver, ...]:
    """Share of each input in the variance of their product (logarithms add up), widest first."""
    spreads = []
    for each in inputs:
        if each.factor.min() > 0:
            spreads.append((each, float(np.var(np.log(each.factor[1:])))))
    total = sum(variance for _, variance in spreads) or 1.0
    # sinh(z·σ) is half of the way from the 10th to the 90th percentile of a log-normal number, as a share of its median
    found = [each.driver(variance / total, np.sinh(Z90 * np.sqrt(variance))) for each, variance in spreads]
    return tuple(sorted(found, key=lambda driver: -driver.share))


@lru_cache(maxsize=64)
def spread(name: str) -> float:
    """A coefficient of variation of the table of spreads [share]."""
    return tables.value("slash_spread", name)


def drawn(typed: Measured, cv: float, about: str, stream: str, ceiling: float | None = None) -> Array:
    """Draws of a typed number: its own range where one was typed, on a blank side the usual spread."""
    reach = math.exp(Z90 * math.sqrt(math.log1p(cv**2)))
    low = typed.likely / reach if typed.low is None else typed.low
    high = typed.likely * reach if typed.high is None else typed.high
    if low > 0:  # a typed end further off than this says "not known", and its tail would run off the numbers
        low, high = max(low, typed.likely / WIDEST), min(high, typed.likely * WIDEST)
    return draw(typed.likely, low, high, about=about, quantity=stream, floor=0.0, ceiling=ceiling)


def packing_input(heap: Heap, calibrated: Calibrated, said: Said) -> Input:
    """Packing ratio: typed, else by weighed heaps of the same look, else by the sketch, else as tops."""
    typed = heap.packing_ratio
    if typed is not None:
        own = typed.basis == "measured"
        about, stream = (heap.id, "packing") if own else ("site", "packing:typed")
        cv = spread("packing_weighed" if own else "packing")
        return made("packing", drawn(typed, cv, about, stream, packing.HIGHEST_PACKING), about, typed.basis, stream)
    sketch = heap.packing
    row = packing.packing_of(sketch or packing.BLANK_PACKING)
    stream = f"packing:{row.key}"
    if sketch is None:
        told = reason("slash.look_not_given", look=Term(row["name"]), ratio=float(row["value"]))
        said.assume("packing", told, heap.about)
    weighed = next(((ratio, cv) for look, ratio, cv in calibrated if look == row.key), None)
    if weighed is not None:
        ratio, cv = weighed
        said.assume("packing_weighed", reason("slash.as_weighed", ratio=ratio, look=Term(row["name"])), heap.about)
        values = draw_cv(ratio, cv, about="site", quantity=stream, ceiling=packing.HIGHEST_PACKING)
        return made("packing", values, "site", "estimated" if sketch else "assumed", stream)
    return _packed(row.key, "estimated" if sketch else "assumed")


@lru_cache(maxsize=16)
def _packed(look: str, basis: str) -> Input:
    row, stream = packing.packing_of(look), f"packing:{look}"
    return made(
        "packing", draw(row["value"], row["low"], row["high"], about="site", quantity=stream), "site", basis, stream
    )


def earth_input(heap: Heap, said: Said) -> Input:
    """Earth share of the gross volume: typed, else none / some / much, else none."""
    typed = heap.soil_fraction
    if typed is not None:
        values = drawn(typed, spread("earth"), heap.id, "earth", packing.HIGHEST_EARTH)
        return made("earth", values, heap.id, typed.basis, factor=1 - values)
    look = heap.soil
    row = packing.earth_of(look or packing.BLANK_EARTH)
    if look is None:
        told = reason("slash.earth_not_given", share=percent(100 * row["value"]))
        said.assume("earth", told, heap.about)
    return _earth(row.key, "estimated" if look else "assumed")


@lru_cache(maxsize=16)
def _earth(look: str, basis: str) -> Input:
    row, stream = packing.earth_of(look), f"earth:{look}"
    values = draw(row["value"], row["low"], row["high"], about="site", quantity=stream)
    return made("earth", values, "site", basis, stream, 1 - values)


def species_density(name: str) -> Array:
    """Drawn density of one row of the table [kg/m³]; its error is common to the site. Raises BadValue."""
    row = wood.density_of(name)
    value, half = float(row["value"]), float(row["spread"])
    return draw(value, value * (1 - half), value * (1 + half), about="site", quantity=f"density:{row.key}")


def density_input(said_wood: Wood, about: tuple[str, str], said: Said) -> Input:
    """Density of the sound wood: typed, else by mixture, else by species or group, else mixed wood.

    about : (id, name) of the heap or line
    """
    typed = said_wood.density
    if typed is not None:
        cv = spread("density_measured" if typed.basis == "measured" else "density")
        values = drawn(typed, cv, "site", "density:typed")
        return made("density", values, "site", typed.basis, "density:typed")
    if said_wood.mix:
        names, parts = zip(*said_wood.mix, strict=True)
        try:
            values = np.asarray(wood.mixture_density([species_density(name) for name in names], parts))
            stream = "density:" + "+".join(sorted(wood.density_of(name).key for name in names))
            return made("density", values, "site", "estimated", stream)
        except BadValue as bad:
            said.leave_open("bad_mixture", bad.reason, about)
    if said_wood.name is not None:
        try:
            return _density(said_wood.name, "estimated")
        except BadValue as bad:
            said.leave_open("unknown_wood", bad.reason, about)
    blank = wood.density_of(wood.BLANK)
    heavy = Quantity(float(blank["value"]), "kg_m3", 2)
    told = reason("slash.wood_not_given", density=heavy, spread=percent(100 * blank["spread"]))
    said.assume("density", told, about)
    return _density(wood.BLANK, "assumed")


@lru_cache(maxsize=256)
def _density(name: str, basis: str) -> Input:
    key = wood.density_of(name).key
    return made("density", species_density(key), "site", basis, f"density:{key}")


def shares(
    typed: Sorting, features: tuple[tuple[str, str], ...], said: Said
) -> tuple[Input, tuple[Array, Array, Array]]:
    """Char stock, oversize and fines as shares that add up to 1 in every draw; blanks share what is left 70:15:15.

    features : (id, name) of the heap, or of the lines
    """
    sorting, parts, off, blank = _sorted(typed)
    if off is not None:
        said.leave_open("shares", off, *features)
    if blank is not None:
        said.assume("sorting", blank, *features)
    return sorting, parts


@lru_cache(maxsize=256)  # heaps sorted alike are sorted once
def _sorted(typed: Sorting) -> tuple[Input, tuple[Array, Array, Array], Reason | None, Reason | None]:
    """The same with what is said of it: shares that do not add up, a char stock nobody entered."""
    rows = tables.load("sorting")
    usual = [float(rows[key]["value"]) for key in ("char_stock", "oversize", "fines")]
    char_typed = typed.char_stock
    given = [char_typed.likely if char_typed else None, typed.oversize, typed.fines]
    sum_given = sum(share for share in given if share is not None)
    blanks = sum(use for use, share in zip(usual, given, strict=True) if share is None)
    scale = sum_given if sum_given > 1 or not blanks else 1.0
    if blanks == 0 and sum_given == 0:
        given, scale, blanks = [None] * 3, 1.0, 1.0
    off = reason("slash.shares_off", total=percent(100 * sum_given, 3)) if abs(scale - 1) > 0.01 else None
    left = max(1 - sum_given / scale, 0.0)
    likely = [left * use / blanks if share is None else share / scale for use, share in zip(usual, given, strict=True)]
    char = likely[0]
    rest = (likely[1], likely[2]) if likely[1] + likely[2] > 0 else None
    if char_typed is not None and given[0] is not None:
        ends = [None if end is None else end / scale for end in (char_typed.low, char_typed.high)]
        return *_shares(Measured(char, ends[0], ends[1], char_typed.basis), rest), off, None
    blank = reason("slash.sorting_not_given", share=percent(100 * char))
    usual_low, usual_high = (float(rows["char_stock"][end]) / usual[0] for end in ("low", "high"))
    usually = Measured(char, char * usual_low, min(char * usual_high, 1.0), "assumed")
    return *_shares(usually, rest), off, blank


@lru_cache(maxsize=256)  # its error is common to the site: heaps sorted alike share it
def _shares(char: Measured, rest: tuple[float, float] | None) -> tuple[Input, tuple[Array, Array, Array]]:
    """Drawn char stock [fraction], and with it the other two shares; rest : their proportion, blank as the table's."""
    values = drawn(char, spread("sorting"), "site", "sorting", 1.0)
    stock, oversize, fines = (np.asarray(share) for share in packing.sorted_shares(values, rest))
    return made("char_stock", values, "site", char.basis, "sorting"), (stock, oversize, fines)


def sorting_of(heap: Heap, said: Said) -> tuple[Input, tuple[Array, Array, Array]]:
    """Sorting of one heap."""
    return shares(heap.sorting, (heap.about,), said)


def moisture_of(heap: Heap, said: Said) -> Array | None:
    """Drawn moisture [fraction, dry basis]: typed, else the latest readings; None where not known or no basis."""
    typed = heap.moisture
    try:
        if typed is not None:
            basis = heap.moisture_basis
            moisture.as_dry_basis(typed.likely, basis)
            top = 100 * (moisture.WETTEST_DRY_BASIS if basis == "dry" else moisture.WETTEST_WET_BASIS)
            return np.asarray(moisture.as_dry_basis(drawn(typed, spread("moisture"), heap.id, "moisture", top), basis))
        values = latest_readings(heap)
    except BadValue as bad:
        said.leave_open("moisture", bad.reason, heap.about)
        return None
    if not values:
        return None
    scatter = float(np.std(values, ddof=1)) if len(values) > 1 else 0.0
    half = Z90 * max(scatter, moisture.METER_POINTS / 100) / np.sqrt(len(values))
    mean = float(np.mean(values))
    ends = max(mean - half, 0.0), mean + half
    return draw(mean, *ends, about=heap.id, quantity="moisture", floor=0.0, ceiling=moisture.WETTEST_DRY_BASIS)


def latest_readings(heap: Heap) -> list[float]:
    """The moisture readings of the latest day [fraction, dry basis].

    Raises BadValue for one without a basis where the heap has none either.
    """
    return [moisture.as_read(each.moisture_pct, each.basis, each.wood_c) for each in heap.readings]


def rotten_density(density: Input, rotten_fraction: float | None) -> Input:
    """The same density with a share of rotten wood in it."""
    if not rotten_fraction:
        return density
    values = np.asarray(wood.with_rotten(density.values, rotten_fraction, species_density(wood.ROTTEN)))
    return made("density", values, density.about, density.basis, f"{density.stream}+rotten")
