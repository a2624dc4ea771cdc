"""Drying: published equilibrium moistures, the definition of the lag, a published trial, an independent posterior."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from sitemap.errors import BadValue
from sitemap.season.drying import Read, after, band, first_below, lag_hours, target
from sitemap.season.emc import equilibrium_moisture
from sitemap.slash.moisture import wet_basis


@pytest.mark.parametrize(
    ("temperature_c", "humidity_pct", "emc_pct"),
    [
        (21.1, 5, 1.3),
        (21.1, 30, 6.2),
        (21.1, 50, 9.2),
        (21.1, 85, 17.9),
        (21.1, 95, 23.9),
        (-1.1, 75, 14.9),
        (37.8, 50, 8.7),
        (-1.1, 80, 16.5),  # from here on from memory
        (4.4, 50, 9.5),
        (15.6, 30, 6.2),
        (21.1, 20, 4.5),
        (21.1, 80, 16.0),
        (21.1, 90, 20.5),
    ],
)
def test_published_equilibrium_moisture(temperature_c, humidity_pct, emc_pct) -> None:
    """Wood Handbook 2021, table 4-2 (S)."""
    assert 100 * equilibrium_moisture(temperature_c, humidity_pct) == pytest.approx(emc_pct, abs=0.07)


def test_published_one_lag_is_63_2_per_cent_of_the_way() -> None:
    """Definition of the time-lag (P): 1 − 1/e."""
    assert (1.0 - after(1.0, 0.2, 100.0, 100.0)) / 0.8 == pytest.approx(0.632, abs=5e-4)
    assert [lag_hours(cm) for cm in (0.5, 2.5, 7.6, 7.7)] == [1, 10, 100, 1000]


@pytest.mark.parametrize(
    ("times", "wet_pct"),
    [(1.0, 23.8), (1.35, 29.2), (3.0, 40.5), (10.0, 48.9)],
    ids=["free", "bundle", "middle", "bottom"],
)
def test_published_trial_of_seventy_days(times, wet_pct) -> None:
    """Loblolly pine, 70 days at 74.1 °F and 71.7 %: outside and bottom of small bundles, middle and bottom of a large
    pile, % of the wet weight (P, abstract of the trial). The start, 1.1 of the dry weight, is assumed."""
    dried = after(1.1, equilibrium_moisture(23.4, 71.7), 70 * 24, times * 1000)
    assert 100 * wet_basis(dried) == pytest.approx(wet_pct, abs=1.0)


DAYS = 120
AIM = np.full(DAYS, 0.15)


def test_agrees_with_an_independent_numerical_integral() -> None:
    """Mean-free check: the posterior of start and lag on a fine grid of both, quantiles by counting."""
    lags, start, spread = np.full(DAYS, 1000.0), (1.0, 0.3), 0.35
    readings = [Read(30, 0.70, 0.05), Read(60, 0.45, 0.04)]
    found = band(AIM, lags, start, readings, spread)
    m0 = np.linspace(-0.5, 2.5, 601)[:, None]
    z = np.linspace(-4, 4, 401)[None, :]
    rate = np.exp(-24 / (1000 * np.exp(spread * z)))
    density = np.exp(-0.5 * ((m0 - start[0]) / start[1]) ** 2 - 0.5 * z**2)
    for read in readings:
        value = 0.15 + (m0 - 0.15) * rate ** (read.day + 1)
        density = density * np.exp(-0.5 * ((read.value - value) / read.spread) ** 2)
    value = (0.15 + (m0 - 0.15) * rate**DAYS).ravel()
    order = np.argsort(value)
    reached = np.cumsum(density.ravel()[order]) / density.sum()
    for chance, curve in ((0.1, found.low), (0.5, found.likely), (0.9, found.high)):
        assert curve[-1] == pytest.approx(value[order][np.searchsorted(reached, chance)], abs=0.012)


def ready(start: float = 1.0, times: float = 1.0, rain: float = 0.0, humidity: float = 60.0, days: int = 400) -> int:
    aims = np.full(days, float(target(20.0, humidity, rain)))
    found = band(aims, np.full(days, 1000.0 * times), (start, 0.2), [], 0.35)
    return days if (day := first_below(found.likely, 0.25)) is None else day


@given(st.floats(0, 0.5), st.floats(1, 3), st.floats(0, 1), st.floats(0, 30))
def test_law_wetter_is_never_earlier(more, times, rain, damper) -> None:
    base = ready()
    assert ready(start=1.0 + more) >= base
    assert ready(times=times) >= base
    assert ready(rain=rain) >= base
    assert ready(humidity=60.0 + damper) >= base


def test_law_a_reading_pulls_the_forecast_to_itself_and_narrows_it() -> None:
    lags = np.full(DAYS, 1000.0)
    prior = band(AIM, lags, (1.0, 0.3), [], 0.35)
    wet = band(AIM, lags, (1.0, 0.3), [Read(50, float(prior.likely[50]) + 0.2, 0.03)], 0.35)
    assert wet.likely[50] > prior.likely[50]
    assert wet.high[50] - wet.low[50] < prior.high[50] - prior.low[50]
    np.testing.assert_allclose(wet.before, prior.likely)
    none = band(AIM, lags, (1.0, 0.3), [Read(50, 5.0, 1e6)], 0.35)  # a reading that knows nothing
    np.testing.assert_allclose(none.likely, prior.likely, atol=1e-6)


def test_law_a_cover_stops_the_rain_and_dries_nothing() -> None:
    assert float(target(15, 70, 0.0)) == float(equilibrium_moisture(15, 70))
    assert target(15, 70, 0.5) > target(15, 70, 0.0)


def test_refuses_air_that_cannot_be() -> None:
    for temperature_c, humidity_pct in ((90, 50), (20, 120)):
        with pytest.raises(BadValue):
            equilibrium_moisture(temperature_c, humidity_pct)


def test_agrees_with_a_covariance_matrix_of_all_days() -> None:
    """One lag, so all is normal: the filter with wood that strays, against the whole covariance solved at once."""
    keep, stray, start, spread = np.exp(-24 / 1000.0), 0.08, 1.0, 0.3
    readings = [Read(20, 0.9, 0.03), Read(60, 0.5, 0.03)]
    found = band(AIM, np.full(DAYS, 1000.0), (start, spread), readings, 1e-9, stray)
    days = np.arange(DAYS)
    mean = 0.15 + (start - 0.15) * keep ** (days + 1)
    own = spread**2 * keep ** (2 * (days + 1)) + stray**2 * (1 - keep ** (2 * (days + 1)))
    joint = own[np.minimum.outer(days, days)] * keep ** np.abs(np.subtract.outer(days, days))
    at = [read.day for read in readings]
    seen = joint[np.ix_(at, at)] + np.diag([read.spread**2 for read in readings])
    miss = np.array([read.value for read in readings]) - mean[at]
    late = slice(61, DAYS)
    expected = mean[late] + joint[late][:, at] @ np.linalg.solve(seen, miss)
    np.testing.assert_allclose(found.likely[late], expected, atol=2e-3)


def test_law_the_longer_ago_the_last_reading_the_more_a_new_one_counts() -> None:
    lags = np.full(400, 3000.0)
    aims = np.full(400, 0.15)

    def pulled(gap: int) -> float:
        first = Read(50, 0.6, 0.02)
        course = band(aims, lags, (1.0, 0.3), [first], 0.35, 0.08).likely[50 + gap]
        again = band(aims, lags, (1.0, 0.3), [first, Read(50 + gap, course + 0.1, 0.03)], 0.35, 0.08)
        return float(again.likely[50 + gap] - course)

    assert pulled(5) < pulled(60) < pulled(300) <= 0.1
