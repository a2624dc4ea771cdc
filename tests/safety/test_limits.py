"""Limits of wind and air: ours beside the permit's, the stricter holds, both at one height."""

from __future__ import annotations

import pytest

from sitemap.safety.limits_of_site import limits_of
from sitemap.site.model import Site

TWENTY_FEET_M = 6.096


def of(height_m: float = TWENTY_FEET_M, **permit: object):
    return {each.key: each for each in limits_of(Site(()).with_member("permit", permit).section("permit"), height_m)}


def test_published_a_wind_of_the_permit_at_10_m_is_less_at_20_ft():
    """Wind at 10 m = 1.15 × wind at 20 ft (Turner & Lawson 1978, BC-X-177, S)."""
    wind = of(wind_km_h=20, wind_at="10_m")["wind"]
    assert wind.permit == pytest.approx(20 / 1.15, rel=1e-6)
    assert (wind.whose, wind.inside[1]) == ("permit", wind.permit)


def test_law_the_stricter_holds_whoever_set_it():
    ours = of()
    assert all(limit.whose == "ours" for limit in ours.values())
    assert of(humidity_pct=50)["humidity"].inside == (50, None)
    assert of(humidity_pct=20)["humidity"].strictest == ours["humidity"].stop
    assert of(wind_km_h=90, wind_at="20_ft")["wind"].strictest == ours["wind"].stop
    assert of(gust_km_h=10, wind_at="20_ft")["gust"].strictest == pytest.approx(10)


def test_law_a_height_nobody_named_is_never_the_laxer():
    unnamed = of(wind_km_h=15)["wind"].strictest
    assert all(unnamed <= of(wind_km_h=15, wind_at=at)["wind"].strictest for at in ("eye_level", "20_ft", "10_m"))
