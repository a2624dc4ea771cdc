"""Which way a figure is rounded: what must be fetched or kept up, what is there or to spare down."""

from __future__ import annotations

import re
from decimal import ROUND_CEILING, ROUND_FLOOR, Context, Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sitemap.maps.verdicts import near_text
from sitemap.reasons import Quantity, needed_and_there
from sitemap.safety.setbacks import Setback
from sitemap.summary import held, said, summary_text
from sitemap.telling import quantity_text, tell
from sitemap.units import Toward, text, to_display
from sitemap.water.values import SourceBudget
from tests.safety.dangerous.safe_site import SafeSite
from tests.safety.dangerous.safe_values import point
from tests.test_samples import sample

WAYS: tuple[tuple[Toward, str], ...] = (("up", ROUND_CEILING), ("down", ROUND_FLOOR))
SAMPLES = ("birch_shore", "farm_dam", "juniper_bench")


def number(shown: str) -> float:
    """The first number of a text."""
    found = re.search(r"[\d,]+(?:\.\d+)?", shown)
    assert found is not None, shown
    return float(found[0].replace(",", ""))


@given(st.decimals("0.02", "900000", places=4), st.integers(2, 3), st.sampled_from(("l", "m")))
def test_agrees_with_decimal_arithmetic(value: Decimal, digits: int, unit: str) -> None:
    """Python's decimal module rounds to significant digits up and down; a thousandth of the last digit is no step."""
    for toward, rounding in WAYS:
        want = float(Context(prec=digits, rounding=rounding).plus(value))
        shown, step = (
            number(text(float(value), unit, "metric", digits, toward)),
            10.0 ** (value.adjusted() - digits + 1),
        )
        near = abs(float(value) - shown) <= 1.1e-3 * step
        assert near or shown == pytest.approx(want, rel=1e-9)


@given(st.floats(0.5, 90_000), st.floats(0.5, 90_000), st.sampled_from(("metric", "us")))
def test_law_what_is_short_never_reads_as_enough(needed_l: float, there_l: float, system: str) -> None:
    needed, there = (number(quantity_text(each, system)) for each in needed_and_there(needed_l, there_l, "l"))
    if needed_l > there_l * 1.001:
        assert needed > there
    assert needed >= to_display(needed_l, "l", system) * (1 - 2e-4)
    assert there <= to_display(there_l, "l", system) * (1 + 2e-4)


@given(st.floats(0.01, 400), st.sampled_from(("metric", "us")))
def test_law_the_map_rounds_what_is_to_spare_down(distance_m: float, system: str) -> None:
    shown = to_display(distance_m, "m", system)
    assert number(near_text(distance_m, system, "down")) <= shown + 1.1e-3
    assert number(near_text(distance_m, system, "up")) >= shown - 1.1e-3


def waters(source: SourceBudget, units: str) -> list[tuple[float, float]]:
    """Figures of a source as shown: what is needed and is there, each beside what was reckoned."""
    found = []
    if source.litres_needed is not None:
        found.append(
            (number(said(source.litres_needed, "l", units)), to_display(source.litres_needed.likely, "l", units))
        )
    if source.litres_there is not None and not source.endless:
        found.append((-number(held(source, units)), -to_display(source.litres_there, "l", units)))
    return found


@pytest.mark.parametrize("name", SAMPLES)
def test_law_on_a_site_water_needed_rounds_up_and_water_there_down(name: str) -> None:
    """Summary and tables, and the sentences that page, paper and JSON share."""
    a = sample(name)
    units = a.source.units
    for source in a.sources:
        for shown, reckoned in waters(source, units):
            assert shown >= reckoned - abs(reckoned) * 2e-4
        if source.litres_needed is not None:
            assert said(source.litres_needed, "l", units) in summary_text(a)
        told = tell(source.reason, units)
        asked = re.search(r"asked for ([\d,.]+)|([\d,.]+) (?:L|US gal) (?:are|is) asked", told)
        if asked and source.litres_needed is not None:
            assert number(asked[0]) >= to_display(source.litres_needed.likely, "l", units) * (1 - 2e-4)


@pytest.mark.parametrize("name", SAMPLES)
def test_law_on_a_site_a_rule_rounds_up(name: str) -> None:
    a = sample(name)
    units = a.source.units
    ruled: list[Setback] = [
        each for spot in a.spots for each in spot.setbacks if each.verdict in ("far enough", "too close")
    ]
    for each in (each for each in ruled if each.required_m):
        assert each.required_m is not None
        up = quantity_text(Quantity(each.required_m, "m", 3, "up"), units)
        assert number(up) >= to_display(each.required_m, "m", units) * (1 - 2e-4)
        assert number(up) <= max(number(part) for part in re.findall(r"[\d,.]*\d", tell(each.reason, units)))


def test_law_a_source_nobody_draws_from_says_so() -> None:
    """Not that what is needed of it is not known."""
    spare = SafeSite().add("water_source", point(300, 300), source="tank", volume_l=500)
    told = summary_text(spare.assessed())
    assert "Needed nothing, no kiln draws from it, available 500 L." in told
    assert "Needed not known" not in told


@given(st.floats(150.0, 3_000), st.sampled_from(("metric", "us")))
def test_law_nobody_says_tenths_of_a_pressure(kpa: float, system: str) -> None:
    """Gauges and hoses are read in whole psi or kPa; only figures that would look alike show more."""
    assert "." not in text(kpa, "kpa", system)
    assert number(text(kpa, "kpa", system)) == pytest.approx(to_display(kpa, "kpa", system), rel=0.025)
    near = Quantity(kpa, "kpa", apart=kpa * 1.001)
    assert quantity_text(near, system) != text(kpa * 1.001, "kpa", system, 4)


@given(st.floats(0.5, 3_000), st.floats(0.5, 3_000), st.sampled_from(("metric", "us")))
def test_law_of_two_distances_the_longer_reads_as_longer(needed_m: float, there_m: float, system: str) -> None:
    """Whole feet and metres from ten up, as the map says them, but never so that far enough reads as too near."""
    needed, there = (number(quantity_text(each, system)) for each in needed_and_there(needed_m, there_m, "m", 3))
    if not 0.999 < needed_m / there_m < 1.001:
        assert (needed > there) == (needed_m > there_m)


@given(st.floats(10.1, 300), st.sampled_from(("metric", "us")))
def test_law_nobody_says_tenths_of_a_long_way(metres: float, system: str) -> None:
    for toward, _ in WAYS:
        assert text(metres, "m", system, toward=toward) == near_text(metres, system, toward)
