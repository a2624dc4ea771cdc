"""Carbon of char: what stays stored for a hundred years, and the methane of making it set against it. Indicative."""

from __future__ import annotations

from sitemap.errors import not_negative, within
from sitemap.ranges import Numbers

CO2_PER_CARBON = 44 / 12  # [kg/kg] molar masses


def stored_co2e(char_dry: Numbers, carbon_fraction: Numbers, lasting: Numbers) -> Numbers:
    """Carbon that stays in char, as carbon dioxide: m·F_C·F_perm·44/12.

    Parameters
    ----------
    char_dry : scalar or (n,), dry char [t]
    carbon_fraction : carbon in it, scalar or (n,) [0–1]
    lasting : share of the carbon left after 100 years, scalar or (n,) [0–1]

    Returns
    -------
    same shape [t CO2e]

    Raises
    ------
    BadValue : outside those limits

    References
    ----------
    IPCC 2019 Refinement, vol. 4, ch. 2, appendix 4 (S): char worked into mineral soil of cropland and grassland, and
    not that of open fires.

    >>> round(stored_co2e(1.0, 0.77, 0.65), 3)
    1.835
    """
    not_negative("Dry char", char_dry, "t")
    within("Carbon in char", carbon_fraction, 0, 1)
    within("Share of the carbon that lasts", lasting, 0, 1)
    return char_dry * carbon_fraction * lasting * CO2_PER_CARBON


def methane_co2e(char_dry: Numbers, methane_g_kg: Numbers, warming: float) -> Numbers:
    """Methane of making char, as carbon dioxide.

    Parameters
    ----------
    char_dry : scalar or (n,), dry char [t]
    methane_g_kg : scalar or (n,) [g methane per kg char]
    warming : of methane against carbon dioxide, by mass [kg/kg]

    Returns
    -------
    same shape [t CO2e]

    Raises
    ------
    BadValue : a value below 0

    References
    ----------
    Arithmetic (D); the factor of Cornelissen et al. 2016 (P), the warming of IPCC AR6 (S).

    >>> round(methane_co2e(1.0, 30.0, 27.0), 3)
    0.81
    """
    not_negative("Dry char", char_dry, "t")
    not_negative("Methane of char", methane_g_kg, "g/kg")
    not_negative("Warming of methane", warming)
    return char_dry * methane_g_kg / 1000 * warming
