"""From feed to char: rates, batches, hours, heat, and what comes out.

All formulas take single numbers or arrays of draws alike. The figures they are fed with are in
`tables/kiln_burning.toml`.
"""

from __future__ import annotations

import numpy as np

from sitemap.errors import not_negative, positive, within
from sitemap.ranges import Numbers

WOOD_HEATING_VALUE = 18.6  # [MJ/kg] lower heating value of dry wood, 20.0 higher less 1.3; evidence M
CHAR_HEATING_VALUE = 30.0  # [MJ/kg] of char that stays behind; evidence M
EVAPORATION_OF_FEED_WATER = 2.6  # [MJ/kg] to warm and boil the water in the wood; evidence M


def feed_rate(open_area: Numbers, rate_per_area: Numbers, handled: Numbers) -> Numbers:
    """Dry wood burned an hour: what the opening burns or what is brought to it, the smaller.

    Parameters
    ----------
    open_area : area of the opening, scalar or (n,) [m²]
    rate_per_area : scalar or (n,) [kg dry/h m²]
    handled : what people or the machine bring, scalar or (n,) [kg dry/h]

    Returns
    -------
    rate, same shape [kg dry/h]

    Raises
    ------
    BadValue : a negative value

    References
    ----------
    60 (34–125) kg/h m² from field records (evidence D), 100 kg/h a person within 10 m (evidence C).

    Examples
    --------
    2 m² burn 120 kg/h; one person brings 100:

    >>> float(feed_rate(2.0, 60.0, 100.0))
    100.0
    """
    not_negative("Open area", open_area, "m²")
    not_negative("Feed rate per area", rate_per_area, "kg/h m²")
    not_negative("Wood brought", handled, "kg/h")
    rate: Numbers = np.minimum(open_area * rate_per_area, handled)
    return rate


def char_volume_per_batch(kiln_volume: Numbers, fill_fraction: Numbers) -> Numbers:
    """Loose char in a full kiln.

    Parameters
    ----------
    kiln_volume : to the rim, scalar or (n,) [m³]
    fill_fraction : char at the end, share of that volume, scalar or (n,) [0–1]

    Returns
    -------
    volume, same shape [m³]

    Raises
    ------
    BadValue : outside those limits

    References
    ----------
    The fill: field records (evidence D), row fill_fraction of the table.

    Examples
    --------
    >>> char_volume_per_batch(2.0, 0.85)
    1.7
    """
    not_negative("Volume of the kiln", kiln_volume, "m³")
    within("Fill of the kiln", fill_fraction, 0, 1)
    return kiln_volume * fill_fraction


def feed_per_batch(char_volume: Numbers, char_density: Numbers, char_yield: Numbers) -> Numbers:
    """Dry wood that ends as so much loose char.

    Parameters
    ----------
    char_volume : scalar or (n,) [m³]
    char_density : loose and dry, scalar or (n,) [kg/m³]
    char_yield : dry char per dry wood, scalar or (n,) [kg/kg], above 0 and at most 0.5

    Returns
    -------
    dry wood, same shape [kg]

    Raises
    ------
    BadValue : outside those limits

    Notes
    -----
    V·ρ/y. Wood carries about 0.5 kg carbon a kg, so no char yield passes 0.5.

    References
    ----------
    Arithmetic (evidence D); density and yield: rows char_density and char_yield of the table.

    Examples
    --------
    1.7 m³ at 150 kg/m³ are 255 kg of char, at 0.20 from 1275 kg of wood:

    >>> feed_per_batch(1.7, 150.0, 0.20)
    1275.0
    """
    not_negative("Volume of char", char_volume, "m³")
    positive("Density of loose char", char_density, "kg/m³")
    positive("Char yield", char_yield)
    within("Char yield", char_yield, 0, 0.5)
    return char_volume * char_density / char_yield


def batches(char_stock_kg: Numbers, feed_per_batch_kg: Numbers) -> Numbers:
    """Whole kiln batches for so much char stock; a part batch counts as one.

    Parameters
    ----------
    char_stock_kg : scalar or (n,) [kg dry]
    feed_per_batch_kg : scalar or (n,) [kg dry], above 0

    Returns
    -------
    batches, same shape [count]

    Raises
    ------
    BadValue : outside those limits

    References
    ----------
    Arithmetic (evidence D).

    Examples
    --------
    >>> float(batches(2600.0, 1275.0))
    3.0
    """
    not_negative("Char stock", char_stock_kg, "kg")
    positive("Feed per batch", feed_per_batch_kg, "kg")
    # A stock of exactly n feeds must stay n batches after rounding in binary.
    whole: Numbers = np.ceil(np.round(np.asarray(char_stock_kg) / feed_per_batch_kg, 9))
    return whole


def soak_minutes(thickness: Numbers, minutes_per_cm: Numbers) -> Numbers:
    """Time from loading a piece until it is charred through.

    Parameters
    ----------
    thickness : diameter of the piece, scalar or (n,) [cm]
    minutes_per_cm : scalar or (n,) [min per cm of radius]

    Returns
    -------
    time, same shape [min]

    Raises
    ------
    BadValue : a negative value

    References
    ----------
    25 min per cm of radius is a rule of operators (evidence C); `charring_minutes` is the check beside it.

    Examples
    --------
    >>> soak_minutes(10.0, 25.0)
    125.0
    """
    not_negative("Thickness", thickness, "cm")
    not_negative("Time per cm of radius", minutes_per_cm, "min/cm")
    return thickness / 2 * minutes_per_cm


def charring_minutes(thickness: Numbers, charring_rate: Numbers) -> Numbers:
    """Time for a char front to reach the heart of a piece from all sides at the design rate for timber in a fire.

    Parameters
    ----------
    thickness : diameter, scalar or (n,) [cm]
    charring_rate : scalar or (n,) [mm/min]

    Returns
    -------
    time, same shape [min]

    Raises
    ------
    BadValue : a negative thickness, a rate not above 0

    References
    ----------
    EN 1995-1-2 table 3.1, 0.65 mm/min for solid softwood (evidence S).

    Notes
    -----
    A standard furnace is hotter and better aired than a bed of char: it bounds the soak from below.

    Examples
    --------
    >>> round(charring_minutes(10.2, 0.65))
    78
    """
    not_negative("Thickness", thickness, "cm")
    positive("Charring rate", charring_rate, "mm/min")
    return thickness * 10 / 2 / charring_rate


def hours_by_opening(usual_feed: Numbers, open_area: Numbers, rate_per_area: Numbers) -> Numbers:
    """Hours from lighting to water that the opening needs to fill the kiln with char.

    Parameters
    ----------
    usual_feed : dry wood of the batch at the usual char density and yield, scalar or (n,) [kg]
    open_area : scalar or (n,) [m²], above 0
    rate_per_area : over the whole time from lighting to water, scalar or (n,) [kg dry/h m²], above 0

    Returns
    -------
    hours, same shape [h]

    Raises
    ------
    BadValue : outside those limits

    Notes
    -----
    usual_feed/(area·rate). Field records time a batch from lighting to water; the rate per area is that time turned
    into wood by the usual density and yield. So start-up and burn-down are in it, and the errors of density and yield
    do not widen it a second time.

    References
    ----------
    Field records of small kilns (evidence D), row feed_per_area of the table.

    Examples
    --------
    1275 kg by 2 m² at 60 kg/h m²:

    >>> hours_by_opening(1275.0, 2.0, 60.0)
    10.625
    """
    not_negative("Usual feed", usual_feed, "kg")
    positive("Open area", open_area, "m²")
    positive("Feed rate per area", rate_per_area, "kg/h m²")
    return usual_feed / (open_area * rate_per_area)


def hours_by_hands(
    start_up: Numbers, feed: Numbers, handled: Numbers, burn_down_minutes: Numbers, soak: Numbers
) -> Numbers:
    """Hours from lighting to water that bringing the wood needs.

    Parameters
    ----------
    start_up : from lighting to full feeding, scalar or (n,) [h]
    feed : dry wood of the batch, scalar or (n,) [kg]
    handled : what people or the machine bring while they feed, scalar or (n,) [kg dry/h], above 0
    burn_down_minutes : from the last thin piece to the water, scalar or (n,) [min]
    soak : from the last thick piece to the water, scalar or (n,) [min]

    Returns
    -------
    hours, same shape [h]

    Raises
    ------
    BadValue : outside those limits

    Notes
    -----
    start + max(feed/handled + burn-down, soak): the thick pieces go in early and thin ones keep the flame over the
    char while they soak, so soaking costs time of its own only where feeding is shorter. A batch takes the longer of
    this and `hours_by_opening`.

    References
    ----------
    Practice of operators (evidence C).

    Examples
    --------
    1000 kg by two people at 100 kg/h each:

    >>> float(hours_by_hands(0.5, 1000.0, 200.0, 30.0, 120.0))
    6.0
    """
    not_negative("Start-up", start_up, "h")
    not_negative("Feed", feed, "kg")
    positive("Wood brought", handled, "kg/h")
    not_negative("Burn-down", burn_down_minutes, "min")
    not_negative("Soak", soak, "min")
    hours: Numbers = start_up + np.maximum(feed / handled + burn_down_minutes / 60, soak / 60)
    return hours


def heat_release(rate: Numbers, char_yield: Numbers, moisture: Numbers) -> Numbers:
    """Mean heat release of the fire.

    Parameters
    ----------
    rate : dry wood burned, scalar or (n,) [kg/h]
    char_yield : scalar or (n,) [kg/kg], 0–0.5
    moisture : water per dry wood, scalar or (n,) [kg/kg], 0–1

    Returns
    -------
    heat, same shape [kW]

    Raises
    ------
    BadValue : outside those limits

    Notes
    -----
    F/3.6 · (18.6 − 30·y − 2.6·M). Feeding comes in pulses: for distances take twice the mean.

    References
    ----------
    Energy balance (evidence D) on heating values from memory (evidence M).

    Examples
    --------
    >>> round(heat_release(100.0, 0.22, 0.20))
    319
    """
    not_negative("Feed rate", rate, "kg/h")
    within("Char yield", char_yield, 0, 0.5)
    within("Moisture, dry basis", moisture, 0, 1)
    per_kg = WOOD_HEATING_VALUE - CHAR_HEATING_VALUE * char_yield - EVAPORATION_OF_FEED_WATER * moisture
    return rate / 3.6 * per_kg
