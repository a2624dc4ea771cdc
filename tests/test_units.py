"""Units against published factors and a reference library; there and back again; numbers as people read them."""

from __future__ import annotations

import math

import pytest
import scipy.constants as constants
from hypothesis import given
from hypothesis import strategies as st

from sitemap.site.equipment import EQUIPMENT, RECORDS, SECTIONS
from sitemap.site.kinds import KINDS
from sitemap.units import SYSTEMS, UNITS, from_display, range_text, rounded, text, to_display, unit_label

#  One of the US unit in the stored unit. NIST Special Publication 811, Appendix B.8, prints seven figures (more where
#  the factor is exact). Evidence S: seen in a second text that lists them (the unit tests of a public unit library);
#  M: from memory. NIST's acre of 4046.873 m² rests on the survey foot, ours on the international one: 4 ppm apart.
PUBLISHED = [
    ("m", 0.3048, "S", 1e-12),
    ("cm", 2.54, "S", 1e-12),
    ("mm", 25.4, "S", 1e-12),
    ("km", 1.609344, "M", 1e-12),
    ("m2", 0.09290304, "S", 1e-12),
    ("ha", 0.4046873, "S", 5e-6),
    ("m3", 0.7645549, "S", 1e-7),
    ("l", 3.785412, "S", 1e-7),
    ("l_min", 3.785412, "S", 1e-7),
    ("l_h", 3.785412, "S", 1e-7),
    ("kg", 0.4535924, "S", 1e-7),
    ("kg_h", 0.4535924, "S", 1e-7),
    ("t", 0.9071847, "M", 1e-7),
    ("t_h", 0.9071847, "M", 1e-7),
    ("kg_m3", 16.01846, "M", 4e-7),
    ("kpa", 6.894757, "S", 1e-7),
    ("km_h", 1.609344, "M", 1e-12),
    ("m_s", 0.44704, "S", 1e-12),
]


@pytest.mark.parametrize(("unit", "factor", "evidence", "tolerance"), PUBLISHED)
def test_published_factors(unit: str, factor: float, evidence: str, tolerance: float) -> None:
    """Tolerance: the last figure NIST prints; exact factors to rounding."""
    assert from_display(1.0, unit, "us") == pytest.approx(factor, rel=tolerance)
    assert to_display(factor, unit, "us") == pytest.approx(1.0, rel=tolerance)


def test_published_short_tons_to_the_acre() -> None:
    """1 US short ton per acre is 2.2417 t/ha (common conversion tables of agriculture; from memory)."""
    assert from_display(1.0, "t_ha", "us") == pytest.approx(2.2417, rel=5e-5)


@pytest.mark.parametrize(("celsius", "fahrenheit"), [(-40, -40), (0, 32), (37, 98.6), (100, 212)])
def test_published_fixed_points_of_temperature(celsius: float, fahrenheit: float) -> None:
    """NIST SP 811, B.8: t/°C = (t/°F − 32)/1.8; −40 is the same on both scales."""
    assert to_display(celsius, "c", "us") == pytest.approx(fahrenheit)
    assert from_display(fahrenheit, "c", "us") == pytest.approx(celsius)


@pytest.mark.parametrize(
    ("unit", "stored"),
    [
        ("m", constants.foot),
        ("cm", constants.inch * 100),
        ("mm", constants.inch * 1000),
        ("km", constants.mile / 1000),
        ("m2", constants.foot**2),
        ("ha", constants.acre / constants.hectare),
        ("m3", constants.yard**3),
        ("l", constants.gallon_US / constants.liter),
        ("l_min", constants.gallon_US / constants.liter),
        ("kg", constants.pound),
        ("t", constants.short_ton / 1000),
        ("t_ha", constants.short_ton / 1000 / (constants.acre / constants.hectare)),
        ("kg_m3", constants.pound / constants.foot**3),
        ("kpa", constants.psi / 1000),
        ("km_h", constants.mph / constants.kmh),
        ("m_s", constants.mph),
    ],
)
def test_agrees_with_scipy_constants(unit: str, stored: float) -> None:
    assert from_display(1.0, unit, "us") == pytest.approx(stored, rel=1e-12)


@given(st.sampled_from(sorted(UNITS)), st.sampled_from(SYSTEMS), st.floats(-1e9, 1e9))
def test_law_there_and_back(unit: str, system: str, value: float) -> None:
    assert from_display(to_display(value, unit, system), unit, system) == pytest.approx(value, rel=1e-12, abs=1e-9)


def test_published_a_wind_is_shown_in_kilometres_an_hour() -> None:
    """1 km/h is 1/3.6 m/s (NIST SP 811, appendix B: 2.777 778 E-01)."""
    assert to_display(1.0, "m_s", "metric") == pytest.approx(1 / 0.2777778, rel=1e-6)


@pytest.mark.parametrize("unit", sorted(set(UNITS) - {"fraction", "m_s"}))
def test_law_metric_shows_what_is_stored(unit: str) -> None:
    assert to_display(12.5, unit, "metric") == 12.5


@pytest.mark.parametrize("system", SYSTEMS)
def test_law_a_share_is_shown_in_per_cent_and_a_plain_number_as_it_is(system: str) -> None:
    assert to_display(0.15, "fraction", system) == pytest.approx(15)
    assert text(0.15, "fraction", system) == "15%"
    assert (to_display(3.0, "", system), from_display(3.0, "", system), unit_label("", system)) == (3.0, 3.0, "")


def test_law_every_unit_of_the_schema_is_known() -> None:
    schemas = [*KINDS.values(), *EQUIPMENT.values(), *SECTIONS.values(), *RECORDS.values()]
    attributes = [a for schema in schemas for outer in schema.attributes for a in (outer, *outer.item)]
    assert {a.unit for a in attributes if a.unit} <= set(UNITS)
    for attribute in attributes:
        if attribute.unit not in ("", "count", "fraction"):  # a share or a ratio says so in its name
            words = {"l": "litres", "s": "seconds"}.get(attribute.unit, "")
            assert f"_{attribute.unit}_" in attribute.name + "_" or (
                words and attribute.name.endswith(words.strip("_"))
            )


@pytest.mark.parametrize(
    ("value", "shown"),
    [
        (0.0, "0"), (-0.0, "0"), (7.0, "7"), (0.004567, "0.00457"), (12345.6, "12,300"), (999.9, "1,000"),
        (9.999, "10"), (0.9996, "1"), (-12.34, "-12.3"), (1e6, "1,000,000"), (100.0, "100"), (1e-9, "0.000000001"),
    ],
)  # fmt: skip
def test_law_three_figures_without_exponent(value: float, shown: str) -> None:
    assert rounded(value) == shown


@given(st.floats(-1e12, 1e12).filter(lambda value: abs(value) > 1e-9), st.integers(1, 8))
def test_law_rounding_stays_within_half_a_figure(value: float, digits: int) -> None:
    shown = float(rounded(value, digits).replace(",", ""))
    assert abs(shown - value) <= 0.5000001 * 10.0 ** (math.floor(math.log10(abs(value))) - digits + 1)


@pytest.mark.parametrize("value", [math.nan, math.inf, -math.inf])
def test_refuses_to_show_what_is_no_number(value: float) -> None:
    with pytest.raises(ValueError, match="finite"):
        text(value, "m", "us")


def test_law_unknown_is_said() -> None:
    assert text(None, "m", "us") == "not known"


@pytest.mark.parametrize(
    ("low", "likely", "high", "unit", "system", "shown"),
    [
        (8.4, 12.0, 17.0, "t", "metric", "12 t (8.4–17)"),
        (3.0, 3.0, 3.0, "h", "us", "3 h"),
        (0.1, 0.12, 0.2, "fraction", "us", "12% (10–20)"),
        (0.0, 30.48, 60.96, "m", "us", "100 ft (0–200)"),
    ],
)
def test_law_a_range_stands_beside_its_likely_value(
    low: float, likely: float, high: float, unit: str, system: str, shown: str
) -> None:
    assert range_text(low, likely, high, unit, system) == shown
