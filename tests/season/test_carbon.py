"""Carbon, indicative: the formulas by hand and by published factors, and that it is off unless asked for."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sitemap import tables
from sitemap.errors import BadValue
from sitemap.season.carbon import methane_co2e, stored_co2e
from sitemap.season.carbon_of_site import lasting_of
from sitemap.summary import summary_text
from tests.safety.dangerous.safe_site import SafeSite


def test_published_factors_a_tonne_of_char() -> None:
    """IPCC 2019 Refinement, vol. 4, ch. 2, appendix 4 (S): 2.513, 2.259 and 1.835 t CO2e a tonne at F_C 0.77 (M)."""
    published = [2.513, 2.259, 1.835]
    assert [float(stored_co2e(1.0, 0.77, lasting_of(hot))) for hot in (650.0, 450.0, None)] == pytest.approx(
        published, abs=1e-3
    )
    assert lasting_of(349.0) == 0.0


def test_published_worked_example_by_hand() -> None:
    """2 t of dry char of 76 % C and 30 g CH4 a kilogram (Cornelissen et al. 2016, PLOS ONE e0154617, P), methane 27
    (IPCC AR6 table 7.15, S). Stored: 2·0.76·0.65 = 0.988 t C, times 44/12 = 3.6227 t. Methane: 2000 kg · 0.030 = 60 kg,
    times 27 = 1.62 t. Left: 2.0027 t."""
    rows = tables.load("carbon")
    stored = stored_co2e(2.0, rows["carbon_fraction"]["value"], rows["lasting_350"]["value"])
    methane = methane_co2e(2.0, rows["methane"]["value"], rows["warming"]["value"])
    assert stored == pytest.approx(3.62267, abs=1e-5)
    assert methane == pytest.approx(1.62)
    assert stored - methane == pytest.approx(2.00267, abs=1e-5)


@given(st.floats(0, 1e3), st.floats(0, 1), st.floats(0, 0.9))
def test_law_more_char_stores_more_and_never_more_than_its_carbon(char, fraction, lasting) -> None:
    stored = float(stored_co2e(char, fraction, lasting))
    assert 0 <= stored <= char * fraction * 44 / 12
    assert stored <= float(stored_co2e(char * 2, fraction, lasting))


@pytest.mark.parametrize(("char", "fraction", "lasting"), [(-1.0, 0.7, 0.6), (1.0, 1.2, 0.6), (1.0, 0.7, -0.1)])
def test_refuses_what_cannot_be(char, fraction, lasting) -> None:
    with pytest.raises(BadValue):
        stored_co2e(char, fraction, lasting)
    with pytest.raises(BadValue):
        methane_co2e(abs(char), -1.0, 27.0)


def test_law_it_is_off_unless_asked_for_and_methane_stands_against_it() -> None:
    assert SafeSite().assessed().carbon is None
    assert "CO2e" not in summary_text(SafeSite().assessed())
    row = {"date": "2026-05-18", "kiln": "K1", "buckets": 100}
    a = SafeSite().say("season", carbon=True).top(log=[row]).assessed()
    found = a.carbon
    assert found is not None
    assert found.planned is not None
    assert found.so_far is not None
    assert found.so_far.char_t.likely == pytest.approx(0.3)  # 100 buckets of 20 L at 150 kg/m3
    for each in (found.planned, found.so_far):
        assert each.left_t.likely == pytest.approx(each.stored_t.likely - each.methane_t.likely)
        assert each.methane_t.likely == pytest.approx(each.char_t.likely * 0.81)
    assert "CO2e" in summary_text(a)
    wet = SafeSite().say("season", carbon=True).top(log=[{**row, "moisture_pct": 60}]).assessed().carbon
    assert wet is not None
    assert wet.wet
    assert wet.so_far.left_t.likely < 0  # type: ignore[union-attr]  # 500 g at 27: 13.5 t a tonne of char
