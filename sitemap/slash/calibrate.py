"""One or two heaps taken apart and weighed, or burned and counted, set the packing of the rest.

The packing ratio of a site's own slash replaces the sketch's: its error falls from 30 to about 10 %, that of a heap
from 37 to 24 % (derived here from judged errors, D).
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from sitemap.errors import BadValue, positive, within
from sitemap.ranges import Numbers
from sitemap.reasons import reason
from sitemap.slash.packing import HIGHEST_EARTH, HIGHEST_PACKING


def packing_from_weighed(
    dry_t: ArrayLike, gross_m3: ArrayLike, density_kg_m3: ArrayLike, earth_fraction: ArrayLike = 0.0
) -> float:
    """Packing ratio of the site from heaps weighed, all together: Σm / Σ(V·(1 − earth)·ρ).

    Parameters
    ----------
    dry_t : scalar or (n,), oven-dry mass [t]
    gross_m3 : scalar or (n,) [m³]
    density_kg_m3 : scalar or (n,) [kg/m³], all above 0
    earth_fraction : scalar or (n,), 0 to 0.9 [fraction]

    Returns
    -------
    the packing ratio [fraction]

    Raises
    ------
    BadValue : also where the ratio comes out above 0.9: then a size or a weight is wrong

    References
    ----------
    The mass of a heap solved for its packing (Hardy 1996 steps) (D).

    >>> packing_from_weighed(8.0, 100.0, 400.0, 0.2)
    0.25
    """
    positive("The weighed dry mass", dry_t, "t")
    positive("The gross volume", gross_m3, "m³")
    positive("The density of the wood", density_kg_m3, "kg/m³")
    within("The earth in a heap", earth_fraction, 0, HIGHEST_EARTH)
    clean = np.asarray(gross_m3, dtype=float) * (1 - np.asarray(earth_fraction, dtype=float))
    solid_t = clean * np.asarray(density_kg_m3, dtype=float) / 1000
    ratio = float(np.sum(dry_t) / np.sum(solid_t))
    if ratio > HIGHEST_PACKING:
        raise BadValue(reason("slash.too_much_wood", ratio=ratio, limit=HIGHEST_PACKING))
    return ratio


def packing_spread(ratios: ArrayLike, usual: float, widest: float) -> float:
    """Coefficient of variation of the packing that weighed heaps hand on to the rest.

    The usual one where they agree; the standard error of their mean, from the scatter of their logarithms, where that
    is more; never more than that of a sketch.

    Parameters
    ----------
    ratios : (n,), packing ratio of each weighed heap alone, above 0 [fraction]
    usual, widest : the least and the most it may be [share]

    Returns
    -------
    the coefficient [share]

    Raises
    ------
    BadValue : outside those limits

    References
    ----------
    Standard error of a mean (D).

    >>> packing_spread([0.12, 0.13], 0.10, 0.30), packing_spread([0.05, 0.30], 0.10, 0.30)
    (0.1, 0.3)
    """
    logs = np.log(positive("The packing ratio", np.asarray(ratios, dtype=float)))
    scatter = float(np.std(logs, ddof=1)) / np.sqrt(len(logs)) if len(logs) > 1 else 0.0
    return float(np.clip(scatter, usual, widest))


def dry_mass_from_char(char_m3: Numbers, char_kg_m3: Numbers, char_yield: Numbers) -> Numbers:
    """Dry mass of the wood a heap held, from the char counted when it was burned, m = V·ρ_char/yield.

    Parameters
    ----------
    char_m3 : scalar or (n,), loose char by buckets [m³]
    char_kg_m3 : scalar or (n,), loose and dry [kg/m³], 150 usual, 110 to 210
    char_yield : scalar or (n,), dry char per dry wood [fraction], 0.20 usual, 0.14 to 0.25, at most 0.5

    Returns
    -------
    same shape [t]

    Raises
    ------
    BadValue : outside those limits

    Notes
    -----
    Only the wood that went in the kiln is counted.

    References
    ----------
    Conservation of mass; yield and density of table kiln_burning (D).

    >>> round(dry_mass_from_char(2.0, 150.0, 0.2), 6)
    1.5
    """
    positive("The volume of char", char_m3, "m³")
    positive("The density of loose char", char_kg_m3, "kg/m³")
    positive("The char yield", char_yield)
    within("The char yield", char_yield, 0, 0.5)
    return char_m3 * char_kg_m3 / char_yield / 1000
