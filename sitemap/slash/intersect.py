"""Scattered slash by line intersect: pieces that cross a taped line, measured one by one or counted by class.

How to tally (S): lay the line before you look. Measure a piece where the line crosses it. A piece end counts only
if the line crosses the piece's axis; where the axis ends exactly on the line take every second such piece. A bent
piece counts at each crossing. A piece lying along the line does not count at all. Measure every piece above 7.6 cm;
thinner ones may be counted by class on a shorter stretch, but a piece is either measured or counted, never both.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import ArrayLike

from sitemap import tables
from sitemap.errors import BadValue, not_negative, positive
from sitemap.ranges import Numbers
from sitemap.reasons import Term, reason
from sitemap.tables import Row

FEW_LINES = 4  # from so many lines up their own scatter tells the error better than the pieces do

_TIME_LAGS = {"1h": "pencil", "10h": "thumb", "100h": "wrist", "1000h": "thigh_sound"}
_CM2_PER_M_TO_M3_PER_HA = np.pi**2 / 8  # (0.01 m)²/m · 10,000 m²/ha = 1, so π²/8 alone stays
_SHORT_TON_PER_ACRE = 2.2417  # [t/ha]
_FOOT = 0.3048  # [m]


def slope_factor(slope_pct: Numbers) -> Numbers:
    """How much longer a line is along the slope than level, √(1 + s²).

    Parameters
    ----------
    slope_pct : scalar or (n,) [%], 0 or more

    Returns
    -------
    same shape [m per level m]

    Raises
    ------
    BadValue : outside those limits

    References
    ----------
    Plain geometry (D).

    >>> round(float(slope_factor(40.0)), 3)
    1.077
    """
    slope = np.asarray(not_negative("The slope of a line", slope_pct, "%")) / 100
    return np.sqrt(1 + slope**2)


def level_length(length_m: Numbers, taped: str, slope_pct: Numbers = 0.0) -> Numbers:
    """Level length of a taped line: as taped where taped level, divided by the slope factor where along the slope.

    Parameters
    ----------
    length_m : scalar or (n,) [m], above 0
    taped : "slope" or "horizontal"
    slope_pct : same shape [%]

    Returns
    -------
    same shape [m]

    Raises
    ------
    BadValue : outside those limits

    References
    ----------
    Van Wagner 1968; Brown 1974 (S).

    >>> round(float(level_length(107.7, "slope", 40.0)), 1)
    100.0
    """
    positive("The length of a line", length_m, "m")
    if taped not in ("slope", "horizontal"):
        raise BadValue(reason("slash.taped_how", taped=taped))
    return length_m / slope_factor(slope_pct) if taped == "slope" else length_m


def volume_per_ha(diameters_cm: ArrayLike, level_length_m: float) -> float:
    """Volume of the pieces by their crossings, V = π²·Σd²/(8·L).

    Parameters
    ----------
    diameters_cm : (n,) [cm], above 0, may be empty
    level_length_m : scalar [m], above 0

    Returns
    -------
    the volume [m³/ha]

    Raises
    ------
    BadValue : outside those limits

    Notes
    -----
    Pieces lie in all directions and nearly flat.

    References
    ----------
    Van Wagner 1968, Forest Science 14:20-26 (S).

    >>> round(volume_per_ha([10.0], 1.0), 5)  # d in cm, L in m: 1.2337006 Σd²/L
    123.37006
    """
    diameters = positive("The thickness of a piece", np.asarray(diameters_cm, dtype=float), "cm")
    positive("The length of the line", level_length_m, "m")
    return float(_CM2_PER_M_TO_M3_PER_HA * np.sum(diameters**2) / level_length_m)


def mass_per_ha(diameters_cm: ArrayLike, densities_kg_m3: ArrayLike, level_length_m: float) -> float:
    """Dry mass of the pieces by their crossings, each with its own density, W = π²·Σ(ρ·d²)/(8·L).

    Parameters
    ----------
    diameters_cm : (n,) [cm]
    densities_kg_m3 : scalar or (n,) [kg/m³]
    level_length_m : scalar [m]

    Returns
    -------
    the mass [t/ha]

    Raises
    ------
    BadValue : outside those limits

    References
    ----------
    Van Wagner 1968 (S) (kg/m³ × m³/ha = kg/ha).

    >>> round(mass_per_ha([10.0], 400.0, 100.0), 5)
    0.49348
    """
    diameters = positive("The thickness of a piece", np.asarray(diameters_cm, dtype=float), "cm")
    densities = positive("The density of the wood", np.asarray(densities_kg_m3, dtype=float), "kg/m³")
    positive("The length of the line", level_length_m, "m")
    return float(_CM2_PER_M_TO_M3_PER_HA * np.sum(densities * diameters**2) / level_length_m / 1000)


def error_of_pieces(diameters_cm: ArrayLike, weights: ArrayLike = 1.0) -> float:
    """Relative standard error of one sample from its pieces alone, √Σx²/Σx with x = weight·d².

    Pieces fall on the line by chance, each carrying x: the sum has the variance Σx². With equal weights this is
    √Σd⁴/Σd².

    Parameters
    ----------
    diameters_cm : (n,) [cm], one at least
    weights : scalar or (n,), a density for mass [any unit]

    Returns
    -------
    a share of the estimate [share]

    Raises
    ------
    BadValue : no pieces

    References
    ----------
    Derived and simulated (D): (simulation 19.4 % against 19.7 %).

    >>> error_of_pieces([5.0, 5.0, 5.0, 5.0])
    0.5
    """
    diameters = positive("The thickness of a piece", np.asarray(diameters_cm, dtype=float), "cm")
    if diameters.size == 0:
        raise BadValue(reason("slash.no_piece"))
    carried = positive("The weight of a piece", np.asarray(weights, dtype=float)) * diameters**2
    return float(np.sqrt(np.sum(carried**2)) / np.sum(carried))


def several_lines(per_ha: ArrayLike, level_lengths_m: ArrayLike) -> tuple[float, float | None]:
    """Several lines taken together: their mean by length, and its relative standard error from their own scatter.

    mean = ΣLᵢ·yᵢ/ΣLᵢ; error² = n/(n − 1)·Σ(Lᵢ·(yᵢ − mean))²/(ΣLᵢ)². Fewer than four lines tell too little of
    scatter: the error is then None, and that of the pieces (`error_of_pieces`, all lines as one) stands in.

    Parameters
    ----------
    per_ha : (n,), 0 or more [any unit, per ha]
    level_lengths_m : (n,) [m], above 0

    Returns
    -------
    (mean in the same unit, relative standard error or None)

    Raises
    ------
    BadValue : no lines

    References
    ----------
    Ratio estimate (D).

    >>> several_lines([10.0, 14.0, 10.0, 14.0], [20.0, 20.0, 20.0, 20.0])[0]
    12.0
    """
    values = not_negative("The slash on a line", np.asarray(per_ha, dtype=float), "per ha")
    lengths = positive("The length of a line", np.asarray(level_lengths_m, dtype=float), "m")
    count = len(values)
    if count == 0 or len(lengths) != count:
        raise BadValue(reason("slash.lines_and_lengths", lines=count, lengths=len(lengths)))
    mean = float(np.sum(lengths * values) / np.sum(lengths))
    if count < FEW_LINES or mean == 0:
        return mean, None
    variance = count / (count - 1) * np.sum((lengths * (values - mean)) ** 2) / np.sum(lengths) ** 2
    return mean, float(np.sqrt(variance)) / mean


def size_class(name: str) -> Row:
    """The row of one thickness class: "pencil", "thumb", "wrist", "thigh_sound" or "thigh_rotten". Raises BadValue.

    They also answer to their time lag in hours, "1_h", "10_h", "100_h", "1000_h" (P), as some tally sheets say.
    """
    rows = tables.load("size_classes")
    name = _TIME_LAGS.get(name.replace("_", ""), name)
    if name not in rows:
        raise BadValue(reason("slash.no_such_class", choices=tuple(rows), entered=name))
    return rows[name]


def class_mass_per_ha(name: str, count: Numbers, level_length_m: Numbers) -> Numbers:
    """Dry mass of pieces counted by class, short tons per acre = 11.64·n·d²·s·a/L, d in inches, L in feet.

    The slope factor is in the level length. Pieces above 7.6 cm are measured, not counted: `mass_per_ha`.

    Parameters
    ----------
    name : key of a class
    count : scalar or (n,), 0 or more [count]
    level_length_m : same shape [m], above 0

    Returns
    -------
    same shape [t/ha]

    Raises
    ------
    BadValue : outside those limits

    References
    ----------
    Brown 1974, INT-16 (S) (wrist class M); composite constants for forest floors, those for fresh slash were not seen.

    >>> round(class_mass_per_ha("thumb", 50, 15.24), 2)  # 11.64·50·0.289·0.48·1.13/50 short tons per acre
    4.09
    """
    row = size_class(name)
    if row.get("d2_in2") is None:
        raise BadValue(reason("slash.measure_the_class", size_class=Term(row["name"])))
    not_negative("The count of pieces", count)
    positive("The length counted", level_length_m, "m")
    return _brown(count * row["d2_in2"], row, level_length_m)


def error_of_counts(masses: Sequence[float], counts: Sequence[int], class_error: float) -> float:
    """Relative standard error of counted classes together: chance of the counts and the error of the class constants.

    error² = Σmᵢ²·(1/nᵢ + e²)/(Σmᵢ)².

    Parameters
    ----------
    masses : (k,), above 0 [any unit]
    counts : (k,), above 0 [count]
    class_error : [share]

    Returns
    -------
    the error [share]

    Raises
    ------
    BadValue : outside those limits

    References
    ----------
    Counts fall by chance (Poisson) (D); e judgement.

    >>> error_of_counts([2.0], [25], 0.0)
    0.2
    """
    mass = positive("The mass of a class", np.asarray(masses, dtype=float))
    number = positive("The count of a class", np.asarray(counts, dtype=float))
    not_negative("The error of the class constants", class_error)
    return float(np.sqrt(np.sum(mass**2 * (1 / number + class_error**2))) / np.sum(mass))


def _brown(sum_d2_in2: Numbers, row: Row, level_length_m: Numbers) -> Numbers:
    mass: Numbers = 11.64 * sum_d2_in2 * row["s"] * row["a"] / (level_length_m / _FOOT) * _SHORT_TON_PER_ACRE
    return mass
