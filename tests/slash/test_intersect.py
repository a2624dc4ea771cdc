"""Line intersect against published constants and a simulation of pieces strewn at random."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from sitemap.errors import BadValue
from sitemap.slash import intersect
from tests.properties import examples

STEADY = examples(60)
thickness = st.lists(st.floats(0.5, 60), min_size=1, max_size=30)


def test_published_constant():
    """Van Wagner 1968 (S): V = π²Σd²/(8L); with d in cm and L in m 1.2337006 Σd²/L m³/ha (D, printed to 1e-7)."""
    assert intersect.volume_per_ha([1.0], 1.0) == pytest.approx(1.2337006, abs=5e-8)


@pytest.mark.parametrize(("slope", "expected"), [(10, 1.005), (20, 1.020), (40, 1.077)])
def test_published_slope_factor(slope, expected):
    """Slope length factor √(1 + s²) (D, printed to 0.001)."""
    assert intersect.slope_factor(slope) == pytest.approx(expected, abs=5e-4)


@pytest.mark.parametrize(
    ("name", "count", "feet", "short_tons_acre"),
    [("pencil", 100, 6.0, 1.5888), ("thumb", 20, 6.0, 6.0823), ("wrist", 5, 12.0, 6.0504)],
)
def test_published_size_classes(name, count, feet, short_tons_acre):
    """Brown 1974 (S; wrist M), 11.64·n·d²·s·a·c/L by pocket calculator, level line, four decimals."""
    found = intersect.class_mass_per_ha(name, count, feet * 0.3048)
    assert found / 2.2417 == pytest.approx(short_tons_acre, rel=1e-4)


@pytest.mark.parametrize(("density", "short_tons_acre"), [(400.0, 2.8867), (300.0, 2.1651)])
def test_published_thick_pieces(density, short_tons_acre):
    """Brown 1974 (S), 11.64·Σd²·s·a/L: one piece of 20 cm (7.874 in) on 100 ft, s 0.40 and 0.30, by calculator.

    His constant and Van Wagner's π²/8 are one law but for the rounding of 11.64, 0.1 %.
    """
    found = intersect.mass_per_ha([20.0], density, 30.48)
    assert found / 2.2417 == pytest.approx(short_tons_acre, rel=2e-3)


def strewn(rng, samples, pieces, side_m, line_m):
    """Squares of side_m strewn with straight pieces in all directions, a line of line_m through the middle of each.

        side
    +----------+      a piece crosses where its ends lie on both sides
    |  /   --  |      of the line and the crossing lies on the line
    |=====line |
    |   \\   |  |
    +----------+
    """
    length = rng.uniform(0.5, 4.0, (samples, pieces))
    diameter = rng.lognormal(np.log(6.0), 0.6, (samples, pieces))  # [cm]
    x, y = rng.uniform(-side_m / 2, side_m / 2, (2, samples, pieces))
    angle = rng.uniform(0, np.pi, (samples, pieces))
    reach = length / 2 * np.sin(angle)
    crossing = x - y / np.tan(angle)
    crossed = (np.abs(y) < reach) & (np.abs(crossing) < line_m / 2)
    true_m3_ha = np.sum(np.pi / 4 * (diameter / 100) ** 2 * length, axis=1) / side_m**2 * 10_000
    return diameter, crossed, true_m3_ha


def test_agrees_with_simulation_of_strewn_pieces():
    """Unbiased within its own error, and the error told from the pieces is the scatter seen (seed 20261125).

    The line of 30 m stays 4 m inside the square, so that no piece is lost over the edge. 600 samples: the mean is
    good to 1/√600 = 4 % of the scatter, the scatter itself to 1/√1200 = 3 %, and a mean of square roots to 5 %.
    """
    diameter, crossed, true = strewn(np.random.default_rng(20261125), 600, 500, 38.0, 30.0)
    found = np.array([intersect.volume_per_ha(d[c], 30.0) for d, c in zip(diameter, crossed, strict=True)])
    told = np.array([intersect.error_of_pieces(d[c]) for d, c in zip(diameter, crossed, strict=True)])
    off = found - true
    assert abs(np.mean(off)) < 3 * np.std(off) / np.sqrt(len(off))
    assert np.sqrt(np.mean((told * found) ** 2)) == pytest.approx(np.std(off), rel=0.12)


def test_agrees_with_scatter_of_several_lines():
    """Six lines on strewn ground: the error told from their variance is the scatter of such means (seeded)."""
    diameter, crossed, true = strewn(np.random.default_rng(7), 600, 500, 38.0, 30.0)
    found = np.array([intersect.volume_per_ha(d[c], 30.0) for d, c in zip(diameter, crossed, strict=True)])
    sets = found.reshape(100, 6)
    means, errors = zip(*(intersect.several_lines(row, [30.0] * 6) for row in sets), strict=True)
    told = np.sqrt(np.mean(np.square(np.multiply(means, errors))))
    assert told == pytest.approx(np.std(means), rel=0.2)
    assert abs(np.mean(means) - np.mean(true)) < 3 * np.std(found - true) / np.sqrt(600)


def test_agrees_with_textbook_mean_of_equal_lines():
    """Equal lengths: the plain mean and the standard error of a mean, numpy."""
    values = [3.0, 8.0, 5.0, 12.0, 7.0]
    mean, error = intersect.several_lines(values, [20.0] * 5)
    assert mean == pytest.approx(np.mean(values))
    assert error * mean == pytest.approx(np.std(values, ddof=1) / np.sqrt(5))


def test_law_few_lines_tell_no_scatter():
    assert intersect.several_lines([3.0, 9.0, 6.0], [10.0, 10.0, 10.0]) == (6.0, None)
    assert intersect.several_lines([4.0, 10.0], [30.0, 10.0])[0] == pytest.approx(5.5)


@STEADY
@given(thickness, st.floats(5, 200), st.floats(1.1, 5))
def test_law_volume(diameters, length, factor):
    """Falls with the line's length, grows with the square of thickness, adds up over pieces; order does not count."""
    plain = intersect.volume_per_ha(diameters, length)
    assert intersect.volume_per_ha(diameters, factor * length) == pytest.approx(plain / factor)
    assert intersect.volume_per_ha([factor * d for d in diameters], length) == pytest.approx(factor**2 * plain)
    assert intersect.volume_per_ha(diameters[::-1] + diameters, length) == pytest.approx(2 * plain)
    assert intersect.mass_per_ha(diameters, 400.0, length) == pytest.approx(0.4 * plain)


@STEADY
@given(thickness)
def test_law_error_of_pieces(diameters):
    """At least 1/√n, at most 1; four times the pieces halve it."""
    error = intersect.error_of_pieces(diameters)
    assert 1 / np.sqrt(len(diameters)) - 1e-9 <= error <= 1 + 1e-9
    assert intersect.error_of_pieces(diameters * 4) == pytest.approx(error / 2)


def test_law_slope_tape_only():
    assert intersect.level_length(100.0, "horizontal", 60.0) == 100.0
    assert intersect.level_length(100.0, "slope", 0.0) == 100.0
    assert intersect.level_length(100.0, "slope", 75.0) == pytest.approx(80.0)  # 3-4-5: rise 0.75 on level 1 is 1.25


def test_law_no_piece_is_no_volume():
    assert intersect.volume_per_ha([], 30.0) == 0.0


def test_refuses():
    with pytest.raises(BadValue, match="thickness of a piece must be above 0 cm"):
        intersect.volume_per_ha([4.0, -1.0], 30.0)
    with pytest.raises(BadValue, match="length of the line must be above 0 m"):
        intersect.volume_per_ha([4.0], 0.0)
    with pytest.raises(BadValue, match="Choose slope or horizontal"):
        intersect.level_length(30.0, "by eye")
    with pytest.raises(BadValue, match=r"pencil, thumb, wrist.*it is 'log'"):
        intersect.size_class("log")
    with pytest.raises(BadValue, match="type each thickness"):
        intersect.class_mass_per_ha("thigh_sound", 3, 30.0)
    with pytest.raises(BadValue, match="tape a longer line"):
        intersect.error_of_pieces([])
    with pytest.raises(BadValue, match="Tape at least one line"):
        intersect.several_lines([], [])
