"""What wetter wood does to a batch: it takes longer, gives less char and takes more water.

Nothing is gained by wood drier than the rates and yields are of. Figures: `tables/kiln_burning.toml`.
"""

from __future__ import annotations

import numpy as np

from sitemap.errors import not_negative, within
from sitemap.kiln.burning import CHAR_HEATING_VALUE, EVAPORATION_OF_FEED_WATER
from sitemap.ranges import Numbers


def extra_water(moisture: Numbers, wet_from: Numbers) -> Numbers:
    """Water in the wood above what the rates and yields are of.

    Parameters
    ----------
    moisture : water per dry wood, scalar or (n,) [kg/kg], 0–3
    wet_from : the same of the wood the rates are of, scalar or (n,) [kg/kg], 0–3

    Returns
    -------
    water, same shape [kg/kg dry wood], not below 0

    Raises
    ------
    BadValue : outside those limits

    References
    ----------
    Common practice, no source (evidence C), row wet_from of the table.

    Examples
    --------
    >>> float(extra_water(0.5, 0.2)), float(extra_water(0.1, 0.2))
    (0.3, 0.0)
    """
    within("Moisture, dry basis", moisture, 0, 3)
    within("Moisture the rates are of, dry basis", wet_from, 0, 3)
    extra: Numbers = np.maximum(np.asarray(moisture) - wet_from, 0.0)
    return extra


def grown(amount: Numbers, extra: Numbers, share: Numbers) -> Numbers:
    """A time or a quench, grown by the water in the wood.

    Parameters
    ----------
    amount : at usual moisture, scalar or (n,) [any unit]
    extra : `extra_water`, scalar or (n,) [kg/kg dry wood]
    share : share of the amount more for every kg of it, scalar or (n,) [per kg/kg]

    Returns
    -------
    amount, same shape [unit of the amount]

    Raises
    ------
    BadValue : a negative value

    References
    ----------
    Common practice, no source (evidence C), rows wet_slower and wet_more_water of the table.

    Examples
    --------
    >>> grown(10.0, 0.3, 1.0)
    13.0
    """
    not_negative("Extra water", extra)
    not_negative("Share", share)
    return amount * (1 + extra * share)


def yield_left(char_yield: Numbers, extra: Numbers) -> Numbers:
    """Char yield where part of the char burns to boil off the extra water.

    Parameters
    ----------
    char_yield : dry char per dry wood at usual moisture, scalar or (n,) [kg/kg], 0–0.5
    extra : `extra_water`, scalar or (n,) [kg/kg dry wood]

    Returns
    -------
    char yield, same shape [kg/kg], at least a fifth of what it was

    Raises
    ------
    BadValue : outside those limits

    Notes
    -----
    y − 2.6/30·extra: 2.6 MJ warm and boil a kg of water, a kg of char gives 30 MJ. Where so much is lost that less than
    a fifth were left the wood does not burn by itself; no figure is better than that.

    References
    ----------
    Energy balance (evidence D) on heating values from memory (evidence M).

    Examples
    --------
    >>> round(float(yield_left(0.20, 0.3)), 3)
    0.174
    """
    within("Char yield", char_yield, 0, 0.5)
    not_negative("Extra water", extra)
    left: Numbers = np.maximum(
        np.asarray(char_yield) - EVAPORATION_OF_FEED_WATER / CHAR_HEATING_VALUE * extra, np.asarray(char_yield) / 5
    )
    return left
