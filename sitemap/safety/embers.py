"""How far embers may fly: a published upper bound for burning wood piles, shown as a downwind patrol distance.

It is never a safe distance: embers reach further than every setback, and the bound has little validation.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from sitemap.errors import not_negative
from sitemap.ranges import Array

FOOT_M = 0.3048  # [m], exact
MILE_M = 1609.344  # [m], exact
MPH_M_S = 0.44704  # [m/s], exact
LOFT_PER_FLAME = 12.2  # [1] height an ember is lifted to, in flame heights


def ember_distance_m(flame_height_m: ArrayLike, wind_20_ft_m_s: ArrayLike, cover_height_m: ArrayLike = 0.0) -> Array:
    """Greatest distance downwind at which an ember from a burning pile may still start a fire, on level ground.

    Parameters
    ----------
    flame_height_m : height of the steady flame [m], scalar or array, at least 0
    wind_20_ft_m_s : wind 20 ft (6.1 m) above the vegetation; take the gust [m/s], at least 0
    cover_height_m : height of the trees downwind [m]; 0 is open ground, the cautious choice

    Returns
    -------
    distance [m], same shape; NaN where the ember would not rise above the cover: no figure there, which is not zero

    Raises
    ------
    BadValue : any of them below 0

    Notes
    -----
    In feet, miles and mph: z = 12.2 × flame, h = max(cover, 2.2 z^0.337 − 4), distance = 0.000718 U √h (0.362 +
    ½ √(z/h) ln(z/h)). For wood piles in the open, single embers, level ground.

    References
    ----------
    Albini 1979, USDA Forest Service INT-56, and Albini 1981; formula as it stands in public-domain US government
    code (S).

    Examples
    --------
    >>> round(float(ember_distance_m(5 * 0.3048, 10 * 0.44704))), round(float(ember_distance_m(1.524, 4.4704, 9.144)))
    (124, 55)
    """
    flame = np.asarray(not_negative("The flame height", flame_height_m, "m"), dtype=float) / FOOT_M
    U = np.asarray(not_negative("The wind", wind_20_ft_m_s, "m/s"), dtype=float) / MPH_M_S
    cover = np.asarray(not_negative("The height of the cover", cover_height_m, "m"), dtype=float) / FOOT_M
    z = LOFT_PER_FLAME * flame
    h = np.maximum(cover, 2.2 * z**0.337 - 4.0)
    holds = (h > 0) & (z > h)
    ratio = np.where(holds, z, 1.0) / np.where(holds, h, 1.0)
    miles = 0.000718 * U * np.sqrt(np.where(holds, h, 1.0)) * (0.362 + 0.5 * np.sqrt(ratio) * np.log(ratio))
    return np.where(holds, miles * MILE_M, np.nan)


def patrol_distance_m(flame_height_m: float, gust_20_ft_m_s: float, cover_height_m: float = 0.0) -> float | None:
    """Downwind distance to patrol for embers [m], or None where the bound gives no figure.

    Parameters
    ----------
    flame_height_m : [m], at least 0
    gust_20_ft_m_s : the gust 20 ft above the vegetation [m/s], at least 0
    cover_height_m : trees downwind [m]; leave 0, open ground is the cautious choice

    Returns
    -------
    distance [m] or None

    Raises
    ------
    BadValue : any of them below 0

    References
    ----------
    As for `ember_distance_m` (S).
    """
    distance = float(ember_distance_m(flame_height_m, gust_20_ft_m_s, cover_height_m))
    return distance if np.isfinite(distance) else None
