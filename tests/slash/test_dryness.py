"""Is it dry? Few readings against scipy's own distributions; the core decides; cold wood reads too dry."""

from __future__ import annotations

import numpy as np
import pytest
import scipy  # stats is dear to load: only where it is asked
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import brentq

from sitemap.errors import BadValue
from sitemap.slash import dryness, moisture
from sitemap.slash.fuel import dryness_of, judged_by
from sitemap.slash.of_site import slash_of
from tests.slash.builders import PLANE, pile, whats

READ = st.lists(st.floats(8, 40), min_size=2, max_size=12)


@pytest.mark.parametrize("readings", [(14.0, 19.0, 23.0, 17.0, 25.0, 18.0), (18.0, 22.0), (15.0, 16.0, 21.0)])
def test_agrees_with_scipy_on_the_range_of_the_share(readings) -> None:
    """The non-centrality of scipy's own non-central t that leaves 10 % on either side; spread above the meter's own."""
    count = len(readings)
    t = np.sqrt(count) * (20 - np.mean(readings)) / np.std(readings, ddof=1)
    ends = [brentq(lambda z, c=chance: scipy.stats.nct.cdf(t, count - 1, z) - c, -20, 20) for chance in (0.1, 0.9)]
    expected = sorted(scipy.stats.norm.sf(np.array(ends) / np.sqrt(count)))
    assert dryness.share_range(readings, 20.0) == pytest.approx(expected, abs=2e-4)


@given(READ, st.floats(0, 10))
def test_law_wetter_readings_never_look_drier(readings, more) -> None:
    wetter = [reading + more for reading in readings]
    for judge in (dryness.share_too_wet, lambda r, at: dryness.share_range(r, at)[1]):
        assert judge(wetter, 20.0) >= judge(readings, 20.0) - 1e-9
    dry, wet = (dryness.more_to_prove(each, 20.0, 0.1) for each in (readings, wetter))
    assert wet is None or (dry is not None and dry <= wet)


@given(READ)
def test_law_the_likely_share_lies_in_its_range(readings) -> None:
    low, high = dryness.share_range(readings, 20.0)
    assert low <= high
    assert low - 0.05 <= dryness.share_too_wet(readings, 20.0) <= high + 0.05


def test_law_readings_like_those_so_far_prove_it_when_there_are_enough() -> None:
    found = dryness_of([(17.5, True), (16.0, True), (18.0, True)], 20.0, 0.10)
    assert found.more is not None
    assert found.more > 0
    again = [17.5, 16.0, 18.0, *[float(np.mean([17.5, 16.0, 18.0]))] * found.more]
    spread = max(float(np.std([17.5, 16.0, 18.0], ddof=1)), moisture.METER_POINTS)
    assert spread == moisture.METER_POINTS  # so the readings added scatter no less than those taken
    assert dryness.share_too_wet(again, 20.0) <= 0.10
    assert dryness.share_too_wet(again[:-1], 20.0) > 0.10
    assert dryness.more_to_prove([19.5, 19.8], 20.0, 0.1) is None


def test_published_cold_wood_reads_too_dry() -> None:
    """0.5 point for 5.6 °C, reference 70 °F: Wood Handbook 2021, p. 13-3 (S); 21.1 − 5.6 = 15.5 °C."""
    assert moisture.as_read(18.0, "dry", 15.5) == pytest.approx(0.185, abs=1e-5)
    assert moisture.as_read(18.0, "dry", 26.7) == pytest.approx(0.175, abs=1e-5)
    assert moisture.as_read(18.0, "dry") >= moisture.as_read(18.0, "dry", 1.0)


def test_law_once_the_core_was_read_a_dry_skin_says_nothing() -> None:
    cores = [(19.0, True), (19.5, True)]
    assert judged_by([*cores, (8.0, False), (9.0, False)]) == cores
    assert judged_by([*cores, (31.0, False)]) == [*cores, (31.0, False)]


@pytest.mark.parametrize(
    ("more", "said"),
    [({"wood_c": -5.0}, "frozen_wood"), ({}, "wood_temperature"), ({"moisture_pct": 45.0}, "above_saturation")],
)
def test_refuses_what_a_meter_cannot_tell(more, said) -> None:
    row = {"moisture_pct": 10.0, "basis": "dry", "date": "2026-05-01", "where": "core"}
    found = slash_of((pile("p", readings=[row | more] * 4),), (), (), PLANE)
    assert said in whats((*found.assumed, *found.unknowns))
    assert found.items[0].fuel == ("ready" if said == "wood_temperature" else "drying" if "wood_c" in more else "wet")


def test_refuses_one_reading_and_a_basis_not_said() -> None:
    with pytest.raises(BadValue, match="At least 2"):
        dryness.share_range([18.0], 20.0)
    with pytest.raises(BadValue, match="basis"):
        moisture.as_read(18.0, None, 20.0)


def test_agrees_with_scipy_on_how_many_readings_would_prove_it() -> None:
    """Counted one by one with scipy's own t: a next reading above the limit, by the mean and spread of those so far;
    30 in all and not one more, so that a heap which only 31 would prove has to dry first."""
    told = set()
    for step in range(400):
        mean = 17.0 + step / 200
        spread = max(float(np.std([mean - 1.5, mean + 1.5], ddof=1)), moisture.METER_POINTS)
        enough = [
            n for n in range(2, 40) if scipy.stats.t.sf((20 - mean) / (spread * np.sqrt(1 + 1 / n)), n - 1) <= 0.1
        ]
        expected = enough[0] - 2 if enough and enough[0] <= 30 else None
        assert dryness.more_to_prove([mean - 1.5, mean + 1.5], 20.0, 0.1) == expected
        told.add(enough[0] if enough else None)
    assert {30, 31} <= told
