"""Whole hoses, pressure along a lay, filling and couplings; and the laws of a line."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from sitemap.errors import BadValue
from sitemap.hydraulics import laying, nozzle, pump, supply
from sitemap.hydraulics.profile import check_profile, fill_l, misfits, pressure_along, primes
from sitemap.hydraulics.steady_flow import HoseLine, HoseRun, steady_flow_l_min
from sitemap.telling import tell
from tests.properties import examples

PIECES = (
    laying.Piece(20.0, 50.8, kind="wide"),
    laying.Piece(20.0, 50.8, kind="wide"),
    laying.Piece(15.0, 38.1, kind="narrow"),
    laying.Piece(15.0, 38.1, kind="narrow"),
)


def test_published_whole_lengths():
    """Hose is added up to whole lengths (P); slack 10 % (C): 18 m → 20, 19 m → 40, 50 m → 55, 65 m → out of hose."""
    routes = np.array([0.0, 18.0, 19.0, 50.0, 63.0, 65.0, np.nan])
    laid = sum(length for _, length in laying.laid_by_run(routes, PIECES))
    assert laid[:5].tolist() == [0.0, 20.0, 40.0, 55.0, 70.0]
    assert np.isnan(laid[5:]).all()


def test_law_hoses_of_one_size_make_one_run_and_the_first_is_laid_first():
    """30 m and 10 % of slack (C) are 33: both wide lengths of 20 m; 50 m are 55: a narrow one of 15 m behind them."""
    (wide, wides), (narrow, narrows) = laying.laid_by_run(np.array([30.0, 50.0]), PIECES)
    assert (wide.kind, narrow.kind) == ("wide", "narrow")
    assert (wides.tolist(), narrows.tolist()) == ([40.0, 40.0], [0.0, 15.0])


def test_law_a_run_between_two_others_is_no_longer_than_its_hoses():
    """Two of 20 m, one of 15 m, two of 20 m: 80 m and 10 % of slack (C) are 88, which 95 m of hose reach."""
    pieces = [
        laying.Piece(length, bore) for length, bore in ((20, 50.8), (20, 50.8), (15, 38.1), (20, 25.4), (20, 25.4))
    ]
    laid = [length.tolist() for _, length in laying.laid_by_run(np.array([45.0, 60.0, 80.0]), pieces)]
    assert laid == [[40.0, 40.0, 40.0], [15.0, 15.0, 15.0], [0.0, 20.0, 40.0]]


LINE = {
    "length": st.floats(5, 400),
    "lift": st.floats(-20, 40),
    "bore": st.floats(19, 64),
    "more": st.floats(1.05, 2.5),
}


@examples(60)
@given(**LINE)
def test_law_more_lift_less_longer_less_wider_more(length, lift, bore, more):
    driver, factor = pump.plate_pump(60.0, 500.0), nozzle.bore_factor(10.0)

    def flow(metres=length, height=lift, d=bore):
        return float(steady_flow_l_min(HoseLine(driver, [HoseRun(d, metres)], factor), height))

    here = flow()
    assert here > 0
    assert flow(height=lift + more) < here
    assert flow(metres=length * more) < here
    assert flow(d=bore * more) > here


@given(st.floats(0, 30), st.floats(10, 300))
def test_law_above_shut_off_nothing(above, length):
    driver = pump.plate_pump(40.0, 300.0)
    flow = steady_flow_l_min(
        HoseLine(driver, [HoseRun(38.1, length)], nozzle.bore_factor(10.0)), driver.most_head_m + above
    )
    assert np.isnan(flow)


def test_law_arrays_and_numbers_take_the_same_way():
    driver, factor = pump.curve_pump(((0.0, 60.0), (100.0, 50.0), (200.0, 30.0), (260.0, 0.0))), nozzle.bore_factor(9.0)
    lengths, lifts = np.array([30.0, 90.0, 200.0, 90.0]), np.array([0.0, 20.0, -5.0, 70.0])
    wear = np.array([1.0, 0.9, 0.95, 1.0])
    together = steady_flow_l_min(HoseLine(driver, [HoseRun(38.1, lengths)], factor, supply_share=wear), lifts)
    alone = [
        float(steady_flow_l_min(HoseLine(driver, [HoseRun(38.1, a)], factor, supply_share=c), b))
        for a, b, c in zip(lengths, lifts, wear, strict=True)
    ]
    np.testing.assert_allclose(together, alone, rtol=1e-9)
    assert np.isnan(together[-1])
    assert np.isnan(steady_flow_l_min(HoseLine(driver, [HoseRun(38.1, np.nan)], factor), 0.0))


def test_law_pressure_starts_at_the_supply_and_ends_at_the_nozzle():
    driver, factor = pump.plate_pump(60.0, 500.0), nozzle.bore_factor(10.0)
    hoses = [HoseRun(50.8, 60.0), HoseRun(38.1, 40.0)]
    flow = float(steady_flow_l_min(HoseLine(driver, hoses, factor), 12.0))
    found = pressure_along(HoseLine(driver, hoses, 1.0), flow, ((0.0, 0.0), (50.0, 5.0), (95.0, 12.0)))
    assert found.pressure_kpa[0] == pytest.approx(9.789 * float(driver.head_m(flow)))
    assert found.pressure_kpa[-1] == pytest.approx(float(nozzle.outlet_pressure_kpa(factor, flow)), rel=1e-6)
    assert found.shut_kpa == pytest.approx(9.789 * 60.0)  # 60 m at the pump, which stands lowest
    assert found.fault() is None


def test_law_a_hump_draws_the_pressure_below_zero():
    """Gravity line over a hump 3 m above the water: it may run as a siphon, and is refused as a fault."""
    hoses = [HoseRun(38.1, 100.0)]
    flow = float(steady_flow_l_min(HoseLine(supply.gravity(), hoses, nozzle.bore_factor(20.0)), -10.0))
    profile = ((0.0, 0.0), (40.0, 3.0), (100.0, -10.0))
    found = pressure_along(HoseLine(supply.gravity(), hoses, 1.0), flow, profile)
    assert found.lowest_kpa < 0
    assert found.lowest_at_m == pytest.approx(40.0)
    assert "40 m along" in tell(found.fault())
    assert not primes(0.0, profile)
    assert primes(20.0, profile)


def test_published_fill_of_a_mixed_lay():
    """NWCG hose contents (P): 100 ft of 1.5 in 9.2 and of 1 in 4.1 US gal, together 13.3."""
    litres = fill_l([HoseRun(38.1, 30.48), HoseRun(25.4, 30.48)])
    assert litres / 3.785411784 == pytest.approx(13.3, abs=0.1)


def test_law_couplings():
    assert misfits((("pump", 38.1), ("hose", 38.0), ("nozzle", 38.1))) == ()
    unlike = [tell(found) for found in misfits((("pump", 50.8), ("hose", None), ("nozzle", 25.4)))]
    assert len(unlike) == 1
    assert "pump (50.8 mm)" in unlike[0]
    assert "nozzle (25.4 mm)" in unlike[0]


@pytest.mark.parametrize(
    ("profile", "words"),
    [
        (((5.0, 0.0), (50.0, 3.0)), ("start at its water source", "5 m")),
        (((0.0, 0.0),), ("at least 2", "has 1")),
        (((0.0, 0.0), (30.0, 2.0), (20.0, 3.0)), ("rise", "20 m", "30 m")),
        (((0.0, 0.0), (30.0, float("nan"))), ("not a number",)),
    ],
)
def test_refuses_a_lay_that_is_none(profile, words):
    with pytest.raises(BadValue) as caught:
        check_profile(profile)
    assert all(word in str(caught.value) for word in words)


def test_refuses_a_hose_without_bore_or_length():
    with pytest.raises(BadValue, match="Bore must be above 0 mm"):
        steady_flow_l_min(HoseLine(pump.plate_pump(30.0, 300.0), [HoseRun(0.0, 30.0)], 5.0), 0.0)
    with pytest.raises(BadValue, match="Hose length must be above 0 m"):
        laying.laid_by_run(10.0, [PIECES[0], laying.Piece(-1.0, 38.1)])
    with pytest.raises(BadValue, match="Slack"):
        laying.laid_by_run(10.0, PIECES, slack=2.0)
