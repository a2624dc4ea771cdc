"""Weather limits and wind heights."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from sitemap.errors import BadValue
from sitemap.safety.weather import Hour, limit_verdict, weather_verdict, wind_at_height_m_s
from sitemap.telling import sentence

GOOD = Hour("10:00", 3.0, 5.0, 60.0, 8.0)
FINE = {"outlook_quiet_h": 60.0, "burn_ban": False}


def test_published_wind_at_ten_metres() -> None:
    """10 m wind = 1.15 × 20 ft wind: Turner & Lawson 1978, BC-X-177 (S)."""
    assert wind_at_height_m_s(1.0, 6.096, 10.0) == pytest.approx(1.15, abs=1e-9)


@given(st.floats(0, 30), st.floats(1, 30), st.floats(1, 30))
def test_law_wind_goes_there_and_back(wind: float, low: float, high: float) -> None:
    there = wind_at_height_m_s(wind, low, high)
    assert wind_at_height_m_s(there, high, low) == pytest.approx(wind, abs=1e-9)
    assert (there >= wind - 1e-9) == (high >= low) or wind == pytest.approx(there)


def test_law_eye_level_reads_less_than_twenty_feet() -> None:
    assert np.all(wind_at_height_m_s(np.array([1.0, 5.0]), 1.7) > np.array([1.0, 5.0]))


@pytest.mark.parametrize(
    ("quantity", "value", "word"),
    [
        ("wind_m_s", 12 * 0.44704, "inside limits"),  # 12 mph is the limit entered
        ("wind_m_s", 12.1 * 0.44704, "near a limit"),
        ("wind_m_s", 15.1 * 0.44704, "outside limits"),
        ("wind_m_s", 1.0, "near a limit"),  # calm: smoke stays
        ("gust_m_s", 18.1 * 0.44704, "near a limit"),
        ("gust_m_s", 20.1 * 0.44704, "outside limits"),
        ("humidity_pct", 40.0, "inside limits"),
        ("humidity_pct", 39.0, "near a limit"),
        ("humidity_pct", 34.0, "outside limits"),
        ("humidity_pct", 100.0, "inside limits"),  # damp days are the best
        ("temperature_c", -10.0, "inside limits"),
        ("temperature_c", 24.5, "near a limit"),
        ("temperature_c", 30.0, "outside limits"),
        ("temperature_c", None, "not known"),
    ],
)
def test_law_limits(quantity, value, word) -> None:
    assert limit_verdict(quantity, value) == word


def test_law_one_good_hour_is_a_trap() -> None:
    bad = Hour("15:00", 3.0, 12.0, 60.0, 8.0)
    found = weather_verdict([GOOD, bad], "wet", **FINE)
    assert found.verdict == "outside limits"
    assert [sentence(why) for why in found.reasons] == ["Gust outside limits at 15:00."]


def test_law_all_inside() -> None:
    assert weather_verdict([GOOD], "snow", **FINE).verdict == "inside limits"
    assert weather_verdict([GOOD], "snow", **FINE).reasons == ()


@pytest.mark.parametrize(
    ("surroundings", "changes", "word"),
    [
        ("cured", {}, "outside limits"),
        ("cured", {"officer_allows_cured": True}, "near a limit"),
        ("drying", {}, "near a limit"),
        (None, {}, "not known"),
        ("wet", {"burn_ban": True}, "outside limits"),
        ("wet", {"burn_ban": None}, "not known"),
        ("wet", {"outlook_quiet_h": 12.0}, "outside limits"),
        ("wet", {"outlook_quiet_h": None}, "not known"),
    ],
)
def test_law_surroundings_ban_and_outlook_outrank_the_hour(surroundings, changes, word) -> None:
    assert weather_verdict([GOOD], surroundings, **{**FINE, **changes}).verdict == word


def test_law_no_hours_is_not_known() -> None:
    assert weather_verdict([], "wet", **FINE).verdict == "not known"
    assert weather_verdict([Hour("10:00")], "wet", **FINE).verdict == "not known"


def test_refuses_a_gust_below_the_mean() -> None:
    """A gust is the peak of the same wind: WMO No. 8, the maximum 3 s mean of the 10 min (from memory, M)."""
    found = weather_verdict([Hour("noon", 5.0, 4.0, 60.0, 8.0)], "wet", **FINE)
    assert found.verdict == "not known"
    assert [sentence(why) for why in found.reasons] == [
        "The gust at noon, 14 km/h, is below the mean wind, 18 km/h: read both again, at one height."
    ]
    assert weather_verdict([Hour("noon", 5.0, 5.0, 60.0, 8.0)], "wet", **FINE).verdict == "inside limits"


def test_refuses_winds_of_no_height() -> None:
    assert weather_verdict([GOOD], "wet", **FINE, height_known=False).verdict == "not known"


def test_refuses_a_wind_measured_on_the_ground() -> None:
    with pytest.raises(BadValue, match=r"measured at must lie between 1 m and 30 m; it is 0.1 m"):
        wind_at_height_m_s(3.0, 0.1)
