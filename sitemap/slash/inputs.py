"""Reads what was said of heaps and lines into drawn numbers, with what a blank means and where each comes from.

An error that all heaps share (packing of one sketch, density of one species, sorting) is drawn from a stream of the
site and does not average out; errors of size and shape are each heap's own.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from statistics import NormalDist

import numpy as np

from sitemap import tables
from sitemap.errors import BadValue
from sitemap.ranges import Array, draw, draw_cv
from sitemap.site.model import Feature, Measured
from sitemap.slash import moisture, packing, wood
from sitemap.slash.result import Driver, Said
from sitemap.units import restated, text

Calibrated = tuple[tuple[str, float, float], ...]  # (look, packing ratio, its variation) of heaps weighed
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


def spread(name: str) -> float:
    """A coefficient of variation of the table of spreads [share]."""
    return float(tables.load("slash_spread")[name]["value"])


def name_of(feature: Feature) -> tuple[str, str]:
    """(id, name) as notes want it."""
    return feature.id, feature.name


def drawn(typed: Measured, cv: float, about: str, stream: str, ceiling: float | None = None) -> Array:
    """Draws of a typed number: its own range where one was typed, on a blank side the usual spread."""
    reach = float(np.exp(Z90 * np.sqrt(np.log1p(cv**2))))
    low = typed.likely / reach if typed.low is None else typed.low
    high = typed.likely * reach if typed.high is None else typed.high
    if low > 0:  # a typed end further off than this says "not known", and its tail would run off the numbers
        low, high = max(low, typed.likely / WIDEST), min(high, typed.likely * WIDEST)
    return draw(typed.likely, low, high, about=about, quantity=stream, floor=0.0, ceiling=ceiling)


def packing_input(heap: Feature, calibrated: Calibrated, said: Said) -> Input:
    """Packing ratio: typed, else by weighed heaps of the same look, else by the sketch, else as tops."""
    typed = heap.measured("packing_ratio")
    if typed is not None:
        own = typed.basis == "measured"
        about, stream = (heap.id, "packing") if own else ("site", "packing:typed")
        cv = spread("packing_weighed" if own else "packing")
        return made("packing", drawn(typed, cv, about, stream, packing.HIGHEST_PACKING), about, typed.basis, stream)
    sketch = heap.choice("packing")
    row = packing.packing_of(sketch or packing.BLANK_PACKING)
    stream = f"packing:{row.key}"
    if sketch is None:
        told = f"look of the heap not given, wood share taken as in {row['name']}, {row['value']:g} ± 40 %"
        said.assume("packing", told, name_of(heap))
    weighed = next(((ratio, cv) for look, ratio, cv in calibrated if look == row.key), None)
    if weighed is not None:
        ratio, cv = weighed
        told = f"wood share {ratio:.3g} as in the heaps of the same look ({row['name']}) that were weighed"
        said.assume("packing_weighed", told, name_of(heap))
        values = draw_cv(ratio, cv, about="site", quantity=stream, ceiling=packing.HIGHEST_PACKING)
        return made("packing", values, "site", "estimated" if sketch else "assumed", stream)
    values = draw(row["value"], row["low"], row["high"], about="site", quantity=stream)
    return made("packing", values, "site", "estimated" if sketch else "assumed", stream)


def earth_input(heap: Feature, said: Said) -> Input:
    """Earth share of the gross volume: typed, else none / some / much, else none."""
    typed = heap.measured("soil_fraction")
    if typed is not None:
        values = drawn(typed, spread("earth"), heap.id, "earth", packing.HIGHEST_EARTH)
        return made("earth", values, heap.id, typed.basis, factor=1 - values)
    look = heap.choice("soil")
    row = packing.earth_of(look or packing.BLANK_EARTH)
    if look is None:
        told = f"earth in the heap not given, taken as {100 * row['value']:g} % of its volume"
        said.assume("earth", told, name_of(heap))
    stream = f"earth:{row.key}"
    values = draw(row["value"], row["low"], row["high"], about="site", quantity=stream)
    return made("earth", values, "site", "estimated" if look else "assumed", stream, 1 - values)


def species_density(name: str) -> Array:
    """Drawn density of one row of the table [kg/m³]; its error is common to the site. Raises BadValue."""
    row = wood.density_of(name)
    value, half = float(row["value"]), float(row["spread"])
    return draw(value, value * (1 - half), value * (1 + half), about="site", quantity=f"density:{row.key}")


def density_input(feature: Feature, said: Said) -> Input:
    """Density of the sound wood: typed, else by mixture, else by species or group, else mixed wood."""
    typed = feature.measured("density_kg_m3")
    if typed is not None:
        cv = spread("density_measured" if typed.basis == "measured" else "density")
        values = drawn(typed, cv, "site", "density:typed")
        return made("density", values, "site", typed.basis, "density:typed")
    mix = feature.records("wood_mix") if feature.kind != "transect" else ()
    parts = [(part.text("wood") or "", part.number("share") or 0.0) for part in mix]
    if parts:
        try:
            values = wood.mixture_density([species_density(name) for name, _ in parts], [share for _, share in parts])
            stream = "density:" + "+".join(sorted(wood.density_of(name).key for name, _ in parts))
            return made("density", values, "site", "estimated", stream)
        except BadValue as bad:
            said.leave_open("bad_mixture", clause(bad, said), name_of(feature))
    name = feature.text("wood")
    if name is not None:
        try:
            return made("density", species_density(name), "site", "estimated", f"density:{wood.density_of(name).key}")
        except BadValue as bad:
            said.leave_open("unknown_wood", clause(bad, said), name_of(feature))
    blank = wood.density_of(wood.BLANK)
    heavy = text(blank["value"], "kg_m3", said.system, 2)
    told = f"wood not given or not known, taken as mixed, {heavy} ± {100 * blank['spread']:g} %"
    said.assume("density", told, name_of(feature))
    return made("density", species_density(wood.BLANK), "site", "assumed", f"density:{wood.BLANK}")


def shares(
    typed: tuple[Measured | None, float | None, float | None], features: tuple[tuple[str, str], ...], said: Said
) -> tuple[Input, tuple[Array, Array, Array]]:
    """Char stock, oversize and fines as shares that add up to 1 in every draw; blanks share what is left 70:15:15.

    typed : char stock (with its range), oversize, fines; None where blank
    """
    rows = tables.load("sorting")
    usual = [float(rows[key]["value"]) for key in ("char_stock", "oversize", "fines")]
    given = [typed[0].likely if typed[0] else None, typed[1], typed[2]]
    sum_given = sum(share for share in given if share is not None)
    blanks = sum(use for use, share in zip(usual, given, strict=True) if share is None)
    scale = sum_given if sum_given > 1 or not blanks else 1.0
    if blanks == 0 and sum_given == 0:
        given, scale, blanks = [None] * 3, 1.0, 1.0
    if abs(scale - 1) > 0.01:
        told = f"the sorted shares add up to {100 * sum_given:.0f} % and are scaled to 100 %: correct them"
        said.leave_open("shares", told, *features)
    left = max(1 - sum_given / scale, 0.0)
    likely = [left * use / blanks if share is None else share / scale for use, share in zip(usual, given, strict=True)]
    usual_low, usual_high = (float(rows["char_stock"][end]) / usual[0] for end in ("low", "high"))
    char = likely[0]
    if typed[0] is None or given[0] is None:
        high = min(char * usual_high, 1.0)
        values = draw(char, char * usual_low, high, about="site", quantity="sorting", floor=0.0, ceiling=1.0)
        basis = "assumed"
        said.assume("sorting", f"share of char stock not given, taken as {100 * char:.0f} %", *features)
    else:
        ends = [None if end is None else end / scale for end in (typed[0].low, typed[0].high)]
        measured = Measured(char, ends[0], ends[1], typed[0].basis)
        values, basis = drawn(measured, spread("sorting"), "site", "sorting", 1.0), typed[0].basis
    rest = (likely[1], likely[2]) if likely[1] + likely[2] > 0 else None
    return made("char_stock", values, "site", basis, "sorting"), packing.sorted_shares(values, rest)


def sorting_of(heap: Feature, said: Said) -> tuple[Input, tuple[Array, Array, Array]]:
    """Sorting of one heap."""
    typed = heap.measured("char_stock_fraction"), heap.number("oversize_fraction"), heap.number("fines_fraction")
    return shares(typed, (name_of(heap),), said)


def moisture_of(heap: Feature, said: Said) -> Array | None:
    """Drawn moisture [fraction, dry basis]: typed, else the latest readings; None where not known or no basis."""
    typed = heap.measured("moisture_pct")
    try:
        if typed is not None:
            basis = heap.choice("moisture_basis")
            moisture.as_dry_basis(typed.likely, basis)
            top = 100 * (moisture.WETTEST_DRY_BASIS if basis == "dry" else moisture.WETTEST_WET_BASIS)
            return np.asarray(moisture.as_dry_basis(drawn(typed, spread("moisture"), heap.id, "moisture", top), basis))
        values = latest_readings(heap)
    except BadValue as bad:
        said.leave_open("moisture", clause(bad, said), name_of(heap))
        return None
    if not values:
        return None
    scatter = float(np.std(values, ddof=1)) if len(values) > 1 else 0.0
    half = Z90 * max(scatter, moisture.METER_POINTS / 100) / np.sqrt(len(values))
    mean = float(np.mean(values))
    ends = max(mean - half, 0.0), mean + half
    return draw(mean, *ends, about=heap.id, quantity="moisture", floor=0.0, ceiling=moisture.WETTEST_DRY_BASIS)


def latest_readings(heap: Feature) -> list[float]:
    """The moisture readings of the latest day [fraction, dry basis]; what one leaves open is as the heap's is counted.

    Raises BadValue for one without a basis where the heap has none either.
    """
    readings = [r for r in heap.records("readings") if r.number("moisture_pct") is not None]
    latest = max((str(r.date("date") or "") for r in readings), default="")
    counted = heap.choice("moisture_basis")
    return [
        float(moisture.as_dry_basis(r.number("moisture_pct"), r.choice("basis") if r.has("basis") else counted))
        for r in readings
        if str(r.date("date") or "") == latest
    ]


def rotten_density(density: Input, rotten_fraction: float | None) -> Input:
    """The same density with a share of rotten wood in it."""
    if not rotten_fraction:
        return density
    values = wood.with_rotten(density.values, rotten_fraction, species_density(wood.ROTTEN))
    return made("density", values, density.about, density.basis, f"{density.stream}+rotten")


def clause(bad: BadValue, said: Said) -> str:
    """What was refused as the rest of a sentence, in the units of the site."""
    found = restated(str(bad).rstrip("."), said.system)
    found = re.sub(r"\. ([A-Z])", lambda start: f"; {start[1].lower()}", found)
    return found[0].lower() + found[1:]
