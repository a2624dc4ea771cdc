"""A heap burned and its char counted: what wood share that tells of, with an honest range.

Weighing is better. The yield of char from wood is known to a quarter only, so that counting char narrows the wood share
of the other heaps little, but it corrects a sketch that is far off.
"""

from __future__ import annotations

import numpy as np

from sitemap import tables
from sitemap.errors import positive, within
from sitemap.ranges import Drawn, draw
from sitemap.slash.calibrate import dry_mass_from_char
from sitemap.slash.packing import HIGHEST_EARTH, HIGHEST_PACKING

_WEIGHED_BUCKET = 0.05  # [share] a bucket of dry char weighed on the site, either way (C)


def packing_from_char(
    char_m3: float,
    gross_m3: float,
    density_kg_m3: float,
    earth_fraction: float = 0.0,
    kiln_fraction: float = 1.0,
    char_kg_m3: float | None = None,
) -> Drawn:
    """Wood share of a heap (packing ratio) by the char it gave, m_char/(yield·share in the kiln)/(V·(1 − earth)·ρ).

    Parameters
    ----------
    char_m3 : loose char by buckets [m³]
    gross_m3 : of the heap [m³]
    density_kg_m3 : of its dry wood [kg/m³], all above 0
    earth_fraction : 0 to 0.9 [fraction]
    kiln_fraction : of the heap that went in the kiln, above 0 to 1 [fraction]
    char_kg_m3 : of a bucket weighed dry [kg/m³], or None for 150 (110 to 210)

    Returns
    -------
    the ratio with its range [fraction]

    Raises
    ------
    BadValue : outside those limits

    References
    ----------
    The mass of a heap solved for its packing (Hardy 1996 steps) (D).

    >>> round(packing_from_char(2.0, 25.0, 400.0).likely, 6)  # 1.5 t of wood in 25 m³
    0.15
    """
    positive("The volume of char", char_m3, "m³")
    positive("The gross volume", gross_m3, "m³")
    positive("The density of the wood", density_kg_m3, "kg/m³")
    within("The earth in a heap", earth_fraction, 0, HIGHEST_EARTH)
    positive("The share of the heap that went in the kiln", kiln_fraction)
    within("The share of the heap that went in the kiln", kiln_fraction, 0, 1)
    low, usual, high = _spread("char_density")
    if char_kg_m3 is not None:
        usual = positive("The density of loose char", char_kg_m3, "kg/m³")
        low, high = usual * (1 - _WEIGHED_BUCKET), usual * (1 + _WEIGHED_BUCKET)
    char_density = draw(usual, low, high, about="site", quantity="char_density")
    least, usual_yield, most = _spread("char_yield")
    char_yield = draw(usual_yield, least, most, about="site", quantity="char_yield", ceiling=0.5)
    dry_t = dry_mass_from_char(char_m3, char_density, char_yield) / kiln_fraction
    ratio = 1000 * np.asarray(dry_t) / (gross_m3 * (1 - earth_fraction) * density_kg_m3)
    within("The wood share that follows from the char", float(ratio[0]), 0, HIGHEST_PACKING)
    return Drawn(ratio)


def _spread(figure: str) -> tuple[float, float, float]:
    """Low, likely and high of one figure of the kilns, the same the kiln room reckons with."""
    row = tables.load("kiln_burning")[figure]
    return float(row["low"]), float(row["value"]), float(row["high"])
