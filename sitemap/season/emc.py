"""Equilibrium moisture: what wood tends to in air of a temperature and humidity. It is what slash tends to, not what it
is."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from sitemap.errors import within
from sitemap.ranges import Array


def equilibrium_moisture(temperature_c: ArrayLike, humidity_pct: ArrayLike) -> Array:
    """Moisture wood tends to.

    Parameters
    ----------
    temperature_c : of the air [°C], −60 to 60; below −1.1 counted as −1.1, where the equation ends
    humidity_pct : of the air [%], 0 to 100; counted as 5 to 95, where it ends

    Returns
    -------
    moisture [fraction, dry basis], same shape

    Raises
    ------
    BadValue : outside those limits

    References
    ----------
    Wood Handbook 2021, eq. 4-5 (S).

    >>> round(100 * float(equilibrium_moisture(21.1, 50.0)), 1)
    9.2
    """
    t = np.maximum(within("Temperature", np.asarray(temperature_c, dtype=float), -60, 60, "°C"), -1.1)
    h = np.clip(within("Humidity", np.asarray(humidity_pct, dtype=float), 0, 100, "%"), 5.0, 95.0) / 100
    w = 349 + 1.29 * t + 0.0135 * t**2
    k = 0.805 + 0.000736 * t - 0.00000273 * t**2
    k1 = 6.27 - 0.00938 * t - 0.000303 * t**2
    k2 = 1.91 + 0.0407 * t - 0.000293 * t**2
    kh = k * h
    bound = (k1 * kh + 2 * k1 * k2 * kh**2) / (1 + k1 * kh + k1 * k2 * kh**2)
    return np.asarray(18 / w * (kh / (1 - kh) + bound))
