"""Heat formulas against published figures, worked values and each other."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from sitemap.errors import BadValue
from sitemap.safety import heat

kilowatts = st.floats(50, 10_000)
heights = st.floats(0.5, 40)


def test_published_flame_height() -> None:
    """Q 1690 kW, D 1.6 m → 2.96 m: worked example in a fire engineering text (S). Printed to 1 cm."""
    assert heat.flame_height_m(1690.0, 1.6) == pytest.approx(2.96, abs=0.005)


def test_published_axis_rise() -> None:
    """Ta 288 K, Qc 700 kW, z 2 m, z0 −0.25 m, g 9.8 → 507.462 K: test value of an open library's tests (D)."""
    assert heat.axis_rise_k(700.0, 2.25, 288.0, 9.8) == pytest.approx(507.462, abs=0.001)


def test_published_axis_coefficient() -> None:
    """The leading coefficient is 25.0 at 293 K (Karlsson & Quintiere, S). Printed to three digits."""
    assert heat.axis_rise_k(1.0, 1.0) == pytest.approx(25.0, abs=0.05)


def test_published_mccaffrey() -> None:
    """Q 1000 kW, T 293 K, z 1…9 m: test values of an open library's tests (D), printed to 1 mK."""
    expected = [852.514, 527.425, 351.617, 221.328, 152.588, 112.603, 87.091, 69.714, 57.288]
    assert heat.mccaffrey_rise_k(1000.0, np.arange(1.0, 10.0)) == pytest.approx(expected, abs=0.001)


def test_published_point_source() -> None:
    """Q 750 kW, R 2.5 m, χ 0.3 → 2.864789 kW/m²: test value of an open library's tests (D), turned round."""
    assert heat.radiant_distance_m(750.0, 2.864789) == pytest.approx(2.5, abs=1e-6)


def test_published_refuge() -> None:
    """8 × height of the vegetation × factor (NWCG, P): brush of 6 ft on the level needs 48 ft."""
    assert heat.refuge_distance_m(6 * 0.3048) / 0.3048 == pytest.approx(48.0)


def test_agrees_with_the_other_plume_formula() -> None:
    """Two correlations for the same plume, well above the flame, stay within 40 % of each other."""
    z = np.array([8.0, 12.0, 20.0])
    ratio = heat.plume_rise_k(1000.0, z, 1.5) / heat.mccaffrey_rise_k(1000.0, z)
    assert np.all((ratio > 0.6) & (ratio < 1.4))


@given(kilowatts, heights, st.floats(0.1, 1.0))
def test_law_plume_cools_with_height(Q: float, z: float, step: float) -> None:
    assert heat.mccaffrey_rise_k(Q, z + step) <= heat.mccaffrey_rise_k(Q, z) + 1e-9
    lower, upper = heat.plume_rise_k(Q, z, 1.5), heat.plume_rise_k(Q, z + step, 1.5)
    assert np.isnan(lower) or upper < lower


def test_law_a_quarter_of_the_heat_is_twice_as_far() -> None:
    assert heat.radiant_distance_m(800.0, 1.0) == pytest.approx(2 * heat.radiant_distance_m(800.0, 4.0))


def test_law_no_coherent_flame_is_zero_and_no_rise_is_claimed_inside_the_flame() -> None:
    assert heat.flame_height_m(1.0, 5.0) == 0.0
    assert np.isnan(heat.plume_rise_k(1690.0, 2.9, 1.6))
    assert np.isfinite(heat.plume_rise_k(1690.0, 3.0, 1.6))


def test_law_arrays_and_single_numbers_agree() -> None:
    single = [float(heat.plume_rise_k(q, 9.0, 1.5)) for q in (300.0, 900.0)]
    assert heat.plume_rise_k(np.array([300.0, 900.0]), 9.0, 1.5) == pytest.approx(single)


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: heat.flame_height_m(-1.0, 1.0), ("heat release", "kW", "−1")),
        (lambda: heat.flame_height_m(1.0, 0.0), ("diameter", "m", "0")),
        (lambda: heat.radiant_distance_m(1.0, 0.0), ("limit of radiant heat", "kW/m²", "0")),
        (lambda: heat.mccaffrey_rise_k(1.0, 1.0, 20.0), ("air", "K", "20")),
        (lambda: heat.refuge_distance_m(1.0, 12.0), ("factor", "10", "12")),
        (lambda: heat.axis_rise_k(1.0, 1.0, 199.0), ("air", "K", "200", "350", "199")),
        (lambda: heat.axis_rise_k(1.0, 1.0, 351.0), ("air", "K", "200", "350", "351")),
        (lambda: heat.axis_rise_k(1.0, float("nan")), ("virtual origin", "not known")),
    ],
)
def test_refuses_numbers_out_of_range(call, words) -> None:
    with pytest.raises(BadValue) as caught:
        call()
    assert all(word in str(caught.value) for word in words)
