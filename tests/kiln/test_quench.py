"""Quench water against IAPWS-95 water, the Eurocode's steel, published char heat, and laws."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad

from sitemap import tables
from sitemap.errors import BadValue
from sitemap.kiln import quench

ATMOSPHERE = 101_325.0  # [Pa]


def water_enthalpy(celsius: float) -> float:
    """IAPWS-95 by CoolProp [kJ/kg]."""
    from CoolProp.CoolProp import PropsSI  # dear to load: only where it is asked

    return PropsSI("H", "T", celsius + 273.15, "P", ATMOSPHERE, "Water") / 1000


def test_agrees_with_coolprop_from_cold_water_to_steam() -> None:
    """Water 15 °C → steam 100 °C takes 2612.5 kJ/kg, 2256.47 of it to evaporate (IAPWS-95 by CoolProp, D)."""
    from CoolProp.CoolProp import PropsSI

    steam = PropsSI("H", "P", ATMOSPHERE, "Q", 1, "Water") / 1000
    boiling = PropsSI("H", "P", ATMOSPHERE, "Q", 0, "Water") / 1000
    assert steam - boiling == pytest.approx(quench.EVAPORATION_HEAT, abs=0.2)
    for cold in (1, 15, 30):
        litres = quench.boiled_water(100.0, 600.0, 0.0, 500.0, float(cold))
        assert litres == pytest.approx(100 * 807.2 / (steam - water_enthalpy(cold)), rel=5e-4)


@pytest.mark.parametrize(("hot", "heat"), [(500.0, 638.5), (600.0, 807.2), (700.0, 979.4)])
def test_published_char_heat(hot: float, heat: float) -> None:
    """Ragland et al. 1991 as quoted by Basu, table 3.7 (S), integrated to 100 °C (D); to the last figure printed."""
    assert quench.char_heat(hot, 100.0) == pytest.approx(heat, abs=0.06)
    assert quench.char_heat(hot, 100.0) == pytest.approx(
        quad(lambda t: 1.39 + 0.00036 * (t + 273.15), 100, hot)[0], rel=1e-9
    )


def test_agrees_with_another_measurement_of_softwood_char() -> None:
    """Gupta, Yang and Roy 2003, Fuel 82:919, as quoted by Basu, table 3.7 (S; the signs were lost in the text seen).

    cp = −3.8e-6·T² + 5.98e-3·T − 0.795 kJ/kg K between 40 and 413 °C. Another char and method: within 25 %.
    """
    other = quad(lambda T: -3.8e-6 * T**2 + 5.98e-3 * T - 0.795, 373.15, 673.15)[0]
    assert quench.char_heat(400.0, 100.0) == pytest.approx(other, rel=0.25)


def test_published_steel_heat_of_the_eurocode() -> None:
    """EN 1993-1-2 clause 3.4.1.2 (S): its branches meet at 600 °C, where the next reads 666 + 13002/(738 − t).

    20 → 500 °C 264.7 kJ/kg; 500 → 100 °C, all boiled, 0.087 L a kg (integral of EN 1993-1-2, D).
    """
    at_the_branch = 1000 * (quench.steel_heat(600.0, 20.0) - quench.steel_heat(599.9, 20.0)) / 0.1
    assert at_the_branch == pytest.approx(666 + 13002 / 138, abs=0.5)
    assert quench.steel_heat(500.0, 20.0) == pytest.approx(264.7, abs=0.05)
    assert quench.boiled_water(0.0, 600.0, 1.0, 500.0, 15.0) == pytest.approx(0.087, abs=5e-4)


def test_agrees_with_integration_of_steel() -> None:
    """The specific heat of EN 1993-1-2 clause 3.4.1.2 (S), integrated by SciPy."""
    specific = quad(lambda t: 425 + 0.773 * t - 1.69e-3 * t**2 + 2.22e-6 * t**3, 100, 500)[0]
    assert quench.steel_heat(500.0, 100.0) == pytest.approx(specific / 1000, rel=1e-9)


def test_published_floor_of_a_cubic_metre() -> None:
    """Heat balance (D): 25–80 L per m³ of char, 46 at 150 kg/m³ and 600 °C."""
    assert quench.boiled_water(150.0, 600.0, 0.0, 500.0, 15.0) == pytest.approx(46, abs=0.5)
    assert quench.boiled_water(110.0, 500.0, 0.0, 500.0, 15.0) >= 25
    assert quench.boiled_water(210.0, 700.0, 0.0, 500.0, 15.0) <= 80


def test_published_hollows_of_loose_char() -> None:
    """Volumes by densities (D): voids between pieces 530–580, all pores 870–920 L/m³."""
    rows = tables.load("quench")
    solid, piece = rows["char_solid_density"]["value"], rows["char_piece_density"]["value"]
    assert 530 <= quench.pore_water(1.0, 150.0, piece) <= 580
    assert 870 <= quench.pore_water(1.0, 180.0, solid) <= quench.pore_water(1.0, 120.0, solid) <= 920


def test_published_methods_lie_between_floor_and_ceiling() -> None:
    """Field records 226–275 L/m³ (C) raked and sprayed; a machine-loaded box 1,136 L (P)."""
    rows = tables.load("quench")
    assert rows["raked_and_sprayed"]["value"] >= 226
    assert 80 < rows["raked_and_sprayed"]["low"] < rows["unraked_or_machine_bin"]["low"] < rows["flooded"]["low"]
    assert rows["flooded"]["high"] <= 1000


def test_published_holding_flow_follows_from_the_loss() -> None:
    """Loss × 31 MJ/kg (M) = flow × 2612.5 kJ/kg (CoolProp): 0.7–2.2 L/min m², to a tenth (D)."""
    hold, loss = tables.load("quench")["hold"], tables.load("quench")["glowing_loss"]
    for end in ("low", "value", "high"):
        assert hold[end] == pytest.approx(loss[end] / 1000 * 31_000 / 2612.5 * 60, abs=0.1)


@given(st.floats(1, 1000), st.floats(150, 900), st.floats(0, 2000), st.floats(150, 600))
def test_law_the_floor_adds_up_and_grows_with_heat(char: float, char_c: float, steel: float, steel_c: float) -> None:
    both = quench.boiled_water(char, char_c, steel, steel_c, 15.0)
    apart = quench.boiled_water(char, char_c, 0.0, 100.0, 15.0) + quench.boiled_water(0.0, 100.0, steel, steel_c, 15.0)
    assert both == pytest.approx(apart)
    assert quench.boiled_water(char, char_c + 50, steel, steel_c, 15.0) > both
    assert quench.boiled_water(char, 100.0, steel, 100.0, 15.0) == pytest.approx(0)


@given(st.floats(0.1, 10), st.floats(0, 50))
def test_law_working_figure_is_never_under_the_floor_and_a_leak_adds(volume: float, leak: float) -> None:
    assert quench.working_water(volume, 275.0, 9999.0, 0.0, 60.0) == pytest.approx(9999)
    dry = quench.working_water(volume, 275.0, 0.0, 0.0, 60.0)
    assert quench.working_water(volume, 275.0, 0.0, leak, 60.0) - dry == pytest.approx(60 * leak, abs=1e-6)


def test_published_reserve() -> None:
    """House rule: one working quench, at least 400 L."""
    assert list(quench.reserve(np.array([100.0, 900.0]), 400.0)) == [400, 900]


def test_refuses_temperatures_and_flows_outside_the_sources() -> None:
    with pytest.raises(BadValue, match=r"Temperature of the steel .*600 °C; it is 700 °C"):
        quench.steel_heat(700.0, 100.0)
    with pytest.raises(BadValue, match="Temperature of the char"):
        quench.char_heat(2000.0, 100.0)
    with pytest.raises(BadValue, match="pieces"):
        quench.pore_water(1.0, 400.0, 335.0)
