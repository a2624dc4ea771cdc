"""Putting the char out: how much water, how fast, and what is lost while it is late.

The floor is the water that boils away whole; the ceiling fills every pore; what a crew needs lies between and depends
on the method. Boiling is taken at 100 °C: at 2,000 m it is 93 °C, which moves the floor by less than 2 %.
Figures: `tables/quench.toml`.
"""

from __future__ import annotations

import numpy as np

from sitemap.errors import not_negative, positive, within
from sitemap.ranges import Numbers

BOILING_C = 100.0
KELVIN = 273.15
WATER_HEAT = 4.186  # [kJ/kg K] mean of 15 to 100 °C, within 0.15 % (IAPWS-95; evidence D)
EVAPORATION_HEAT = 2256.47  # [kJ/kg] at 100 °C (IAPWS-95; evidence D)


def char_heat(from_c: Numbers, to_c: Numbers) -> Numbers:
    """Heat given off by dry char as it cools.

    Parameters
    ----------
    from_c, to_c : temperatures, scalar or (n,) [°C], 0–1447

    Returns
    -------
    heat, same shape [kJ/kg]

    Raises
    ------
    BadValue : outside those limits

    Notes
    -----
    Integral of cp = 1.39 + 0.00036·T, T in K. The source gives it for 420–1720 K; below 147 °C it is extrapolated.

    References
    ----------
    Ragland, Aerts and Baker 1991, Bioresource Technology 37:161, as quoted by Basu, table 3.7 (evidence S).

    Examples
    --------
    >>> round(char_heat(600.0, 100.0), 1)
    807.2
    """
    within("Temperature of the char", from_c, 0, 1447, "°C")
    within("Temperature of the cooled char", to_c, 0, 1447, "°C")
    hot, cold = from_c + KELVIN, to_c + KELVIN
    return 1.39 * (hot - cold) + 0.00018 * (hot**2 - cold**2)


def steel_heat(from_c: Numbers, to_c: Numbers) -> Numbers:
    """Heat given off by carbon steel as it cools.

    Parameters
    ----------
    from_c, to_c : temperatures, scalar or (n,) [°C], 15–600

    Returns
    -------
    heat, same shape [kJ/kg]

    Raises
    ------
    BadValue : outside those limits

    Notes
    -----
    Integral of the specific heat 425 + 0.773·t − 1.69e-3·t² + 2.22e-6·t³ J/kg K. The source begins at 20 °C; the 5 K
    below it are extrapolated.

    References
    ----------
    EN 1993-1-2 clause 3.4.1.2 (evidence S).

    Examples
    --------
    >>> round(steel_heat(500.0, 20.0), 1)
    264.7
    """
    within("Temperature of the steel", from_c, 15, 600, "°C")
    within("Temperature of the cooled steel", to_c, 15, 600, "°C")

    def to_zero(t: Numbers) -> Numbers:
        # nested, for the fourth power of a whole number of 32 bits is none
        return t * (0.425 + t * (0.773e-3 / 2 + t * (-1.69e-6 / 3 + t * (2.22e-9 / 4))))

    return to_zero(from_c) - to_zero(to_c)


def boiled_water(char_kg: Numbers, char_c: Numbers, steel_kg: Numbers, steel_c: Numbers, water_c: Numbers) -> Numbers:
    """The floor: water that, all of it boiled away, brings char and steel down to 100 °C.

    Parameters
    ----------
    char_kg, steel_kg : scalar or (n,) [kg]
    char_c, steel_c : temperatures at the start, scalar or (n,) [°C], 100–1447 and 100–600
    water_c : scalar or (n,) [°C], 0–99

    Returns
    -------
    water, same shape [L]

    Raises
    ------
    BadValue : outside those limits

    Notes
    -----
    (m_c·h_c + m_s·h_s) / (4.186·(100 − t) + 2256.47). No crew reaches it: part of any water runs off unboiled.

    References
    ----------
    Heat balance (evidence D); water by IAPWS-95 (evidence D).

    Examples
    --------
    A cubic metre of char at 150 kg/m³ and 600 °C, no steel:

    >>> round(boiled_water(150.0, 600.0, 0.0, 500.0, 15.0))
    46
    """
    not_negative("Char", char_kg, "kg")
    not_negative("Steel", steel_kg, "kg")
    within("Temperature of the char", char_c, BOILING_C, 1447, "°C")
    within("Temperature of the steel", steel_c, BOILING_C, 600, "°C")
    within("Temperature of the water", water_c, 0, 99, "°C")
    heat = char_kg * char_heat(char_c, BOILING_C) + steel_kg * steel_heat(steel_c, BOILING_C)
    return heat / (WATER_HEAT * (BOILING_C - water_c) + EVAPORATION_HEAT)


def pore_water(char_volume: Numbers, char_density: Numbers, filled_density: Numbers) -> Numbers:
    """The ceiling: water that fills the hollows of loose char.

    Parameters
    ----------
    char_volume : loose char, scalar or (n,) [m³]
    char_density : loose and dry, scalar or (n,) [kg/m³]
    filled_density : density of what stays dry, scalar or (n,) [kg/m³]: of the solid itself, and every pore fills; of a
        piece, and only the voids between pieces do

    Returns
    -------
    water, same shape [L]

    Raises
    ------
    BadValue : outside those limits, or loose char denser than its pieces

    Notes
    -----
    1000·V·(1 − ρ_loose/ρ).

    References
    ----------
    Arithmetic (evidence D); the density of the solid: row char_solid_density of the table.

    Examples
    --------
    >>> round(float(pore_water(1.0, 150.0, 1500.0)))
    900
    """
    not_negative("Volume of char", char_volume, "m³")
    positive("Density of loose char", char_density, "kg/m³")
    not_negative("Density of the pieces above that of loose char", np.asarray(filled_density) - char_density, "kg/m³")
    water: Numbers = 1000 * char_volume * (1 - np.asarray(char_density) / filled_density)
    return water


def working_water(
    char_volume: Numbers, litres_per_m3: Numbers, floor_l: Numbers, leak_l_min: Numbers, minutes: Numbers
) -> Numbers:
    """The working figure: what the method asks, never under the floor, and what leaks away meanwhile.

    Parameters
    ----------
    char_volume : loose char, scalar or (n,) [m³]
    litres_per_m3 : of the method, scalar or (n,) [L/m³]
    floor_l : `boiled_water`, scalar or (n,) [L]
    leak_l_min : of a bin the water must stand in, scalar or (n,) [L/min]; 0 where char is tipped out
    minutes : how long it must stand, scalar or (n,) [min]

    Returns
    -------
    water, same shape [L]

    Raises
    ------
    BadValue : a negative value

    References
    ----------
    Field records and judgement (evidence D and C), rows of the methods in the table.

    Examples
    --------
    >>> float(working_water(1.0, 275.0, 60.0, 0.0, 30.0))
    275.0
    """
    not_negative("Volume of char", char_volume, "m³")
    not_negative("Water of the method", litres_per_m3, "L/m³")
    not_negative("Least water", floor_l, "L")
    not_negative("Leak", leak_l_min, "L/min")
    not_negative("Time", minutes, "min")
    water: Numbers = np.maximum(char_volume * litres_per_m3, floor_l) + leak_l_min * minutes
    return water


def rake_minutes(char_volume: Numbers, rate_each: Numbers, people: Numbers) -> Numbers:
    """Time to rake out, turn and wet the char of one kiln.

    Parameters
    ----------
    char_volume : loose char, scalar or (n,) [m³]
    rate_each : of one person, scalar or (n,) [m³/h], above 0
    people : who rake at it, scalar or (n,) [count], above 0

    Returns
    -------
    time, same shape [min]

    Raises
    ------
    BadValue : outside those limits

    References
    ----------
    Common practice, no source (evidence C), row raking of the table.

    Examples
    --------
    Half a cubic metre by two people at 1 m³/h each:

    >>> rake_minutes(0.5, 1.0, 2)
    15.0
    """
    not_negative("Volume of char", char_volume, "m³")
    positive("Char raked an hour", rate_each, "m³/h")
    positive("People who rake", people)
    return char_volume / (rate_each * people) * 60


def reserve(quench_l: Numbers, least_l: Numbers) -> Numbers:
    """Escape water: one working quench, and never less than a set amount.

    Parameters
    ----------
    quench_l : working quench of one kiln, scalar or (n,) [L]
    least_l : scalar or (n,) [L]

    Returns
    -------
    water, same shape [L]

    Raises
    ------
    BadValue : a negative value

    References
    ----------
    Our judgement (evidence C), row least_reserve of the table.

    Examples
    --------
    >>> float(reserve(250.0, 400.0))
    400.0
    """
    not_negative("Working quench", quench_l, "L")
    not_negative("Least reserve", least_l, "L")
    water: Numbers = np.maximum(quench_l, least_l)
    return water
