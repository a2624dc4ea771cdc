"""From the gross volume of a heap to its wood: earth off first, then the packing ratio, then the density.

Steps of Hardy 1996 (US Forest Service PNW-GTR-364). The packing ratio is the weakest figure of the chain: without
ratios from the site the method overstated wood by half against lidar (Trofymow 2015), so weigh a heap (`calibrate`).
"""

from __future__ import annotations

from sitemap import tables
from sitemap.errors import BadValue, not_negative, positive, within
from sitemap.ranges import Numbers
from sitemap.reasons import Term, reason
from sitemap.tables import Row

BLANK_PACKING = "tops"
BLANK_EARTH = "none"
# Equal round poles laid as close as can be fill π/(2√3) = 0.907 of the space (D); no heap comes near it.
HIGHEST_PACKING = 0.9
HIGHEST_EARTH = 0.9


def packing_of(sketch: str) -> Row:
    """The row of the packing table for one of the four sketches.

    Parameters
    ----------
    sketch : "loose_brush", "tops", "machine_heap" or "stacked_poles"

    Returns
    -------
    the row: value, low, high [fraction], source, evidence

    Raises
    ------
    BadValue : outside those limits

    >>> packing_of("stacked_poles")["value"]
    0.3
    """
    return _row("packing", "The look of a heap", sketch)


def earth_of(look: str) -> Row:
    """The row of the earth table: "none", "some" or "much". Raises BadValue.

    >>> earth_of("much")["value"]
    0.15
    """
    return _row("earth", "The earth in a heap", look)


def wood_volume(gross_m3: Numbers, packing_ratio: Numbers, earth_fraction: Numbers) -> Numbers:
    """Volume of wood in a heap, V_wood = V_gross·(1 − earth)·packing.

    Parameters
    ----------
    gross_m3 : scalar or (n,) [m³], 0 or more
    packing_ratio : scalar or (n,), wood over gross volume, above 0 to 0.9 [fraction]
    earth_fraction : scalar or (n,), earth over gross volume, 0 to 0.9, which comes off first (M) [fraction]

    Returns
    -------
    the volume, same shape [m³]

    Raises
    ------
    BadValue : a packing of 3 is no share

    References
    ----------
    Hardy 1996 for the steps (P).

    >>> wood_volume(100.0, 0.25, 0.2)
    20.0
    """
    not_negative("The gross volume", gross_m3, "m³")
    positive("The wood share of a heap (packing ratio)", packing_ratio)
    within("The wood share of a heap (packing ratio)", packing_ratio, 0, HIGHEST_PACKING)
    within("The earth in a heap", earth_fraction, 0, HIGHEST_EARTH)
    return gross_m3 * (1 - earth_fraction) * packing_ratio


def dry_mass(wood_m3: Numbers, density_kg_m3: Numbers) -> Numbers:
    """Oven-dry mass of wood, m = V·ρ.

    Parameters
    ----------
    wood_m3 : scalar or (n,) [m³], 0 or more
    density_kg_m3 : scalar or (n,), basic density [kg/m³], above 0

    Returns
    -------
    the mass, same shape [t]

    Raises
    ------
    BadValue : outside those limits

    References
    ----------
    Hardy 1996 for the steps (P).

    >>> dry_mass(20.0, 400.0)
    8.0
    """
    not_negative("The wood volume", wood_m3, "m³")
    positive("The density of the wood", density_kg_m3, "kg/m³")
    return wood_m3 * density_kg_m3 / 1000


def sorted_shares(
    char_stock: Numbers, oversize_to_fines: tuple[float, float] | None = None
) -> tuple[Numbers, Numbers, Numbers]:
    """Shares of the dry mass: char stock, too thick for the kiln, fines. They add up to 1 in every draw.

    Parameters
    ----------
    char_stock : scalar or (n,) [fraction], 0 to 1
    oversize_to_fines : the proportion in which the rest is split, any two numbers [any unit] of which one is above 0
        (blank: as the table's, one to one)

    Returns
    -------
    three shares, same shape [fraction]

    Raises
    ------
    BadValue : outside those limits

    References
    ----------
    70 / 15 / 15 %, common practice (C).

    >>> tuple(round(share, 6) for share in sorted_shares(0.7))
    (0.7, 0.15, 0.15)
    """
    within("The share of char stock", char_stock, 0, 1)
    rows = tables.load("sorting")
    thick, fine = oversize_to_fines or (rows["oversize"]["value"], rows["fines"]["value"])
    not_negative("The share too thick for the kiln", thick)
    not_negative("The share of fines", fine)
    rest = 1 - char_stock
    oversize = rest * (thick / (thick + fine) if thick + fine > 0 else 0.5)
    return char_stock, oversize, rest - oversize


def _row(table: str, name: str, key: str) -> Row:
    rows = tables.load(table)
    if key not in rows:
        raise BadValue(reason("slash.one_of", what=Term(name), choices=tuple(rows), entered=key))
    return rows[key]
