"""The weather window at its very limits: what stands on a limit is still inside it, what is a hair beyond is not."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import pytest

from sitemap.safety.limits_of_site import Limit, limits_of, named_by_permit
from sitemap.safety.weather import INSIDE, NEAR, NOT_KNOWN, OUTSIDE, TWENTY_FEET_M, Hour, limit_verdict, weather_verdict
from sitemap.season.hours import WeatherHour
from sitemap.season.weather_of_site import weather_check
from sitemap.season.window import judge, window_of, word_of
from sitemap.site.frozen import FrozenDict
from sitemap.site.model import Site
from sitemap.site.seen import Day
from tests.safety.dangerous.safe_site import SafeSite
from tests.season.test_window import GOOD, LIT, SPAN, forecast, hours, judged, limits

MINUTE = dt.timedelta(minutes=1)
MPH = 0.44704  # [m/s], exact (NIST SP 811)
#  FIELD, weather: wind 3–12 mph inside and to 15 near, gusts to 18 and 20 mph, humidity from 40 and 35 %, air to 75 and
#  85 °F (23.9 and 29.4 °C as written there).
LIMITS = [
    ("wind_m_s", 3 * MPH, NEAR, INSIDE),
    ("wind_m_s", 12 * MPH, INSIDE, NEAR),
    ("wind_m_s", 15 * MPH, NEAR, OUTSIDE),
    ("gust_m_s", 18 * MPH, INSIDE, NEAR),
    ("gust_m_s", 20 * MPH, NEAR, OUTSIDE),
    ("humidity_pct", 40.0, NEAR, INSIDE),
    ("humidity_pct", 35.0, OUTSIDE, NEAR),
    ("temperature_c", 23.9, INSIDE, NEAR),
    ("temperature_c", 29.4, NEAR, OUTSIDE),
]
KEYS = {"wind_m_s": "wind", "gust_m_s": "gust", "humidity_pct": "humidity", "temperature_c": "temperature"}


@pytest.mark.parametrize(("quantity", "limit", "below", "above"), LIMITS)
def test_law_each_limit_of_wind_and_air_holds_on_both_sides(
    quantity: str, limit: float, below: str, above: str
) -> None:
    factor = 3.6 if quantity.endswith("m_s") else 1.0
    (by_hour,) = (each for each in limits() if each.key == KEYS[quantity])
    for value, word in ((limit * (1 - 1e-9), below), (limit * (1 + 1e-9), above)):
        assert limit_verdict(quantity, value) == word
        assert word_of(by_hour, value * factor) == word
    better = INSIDE if INSIDE in (below, above) else NEAR
    assert limit_verdict(quantity, limit) == better  # on the limit itself it still holds
    whole = replace(by_hour, low=by_hour.low and round(by_hour.low, 6), high=by_hour.high and round(by_hour.high, 6))
    assert word_of(replace(whole, stop=round(whole.stop, 6)), round(limit * factor, 6)) == better


@pytest.mark.parametrize(
    ("permit", "value", "word"),
    [
        (50.0, 50.0, INSIDE),
        (50.0, 49.9, OUTSIDE),
        (30.0, 36.0, NEAR),
        (30.0, 34.9, OUTSIDE),
        (float("nan"), 50.0, NOT_KNOWN),
    ],
)
def test_law_a_permits_humidity_bars_below_it_and_loosens_nothing(permit: float, value: float, word: str) -> None:
    assert limit_verdict("humidity_pct", value, permit) == word


@pytest.mark.parametrize(
    ("permit", "value", "word"), [(4.0, 4.0, INSIDE), (4.0, 4.01, OUTSIDE), (9.0, 6.0, NEAR), (9.0, 6.8, OUTSIDE)]
)
def test_law_a_permits_wind_bars_above_it_and_loosens_nothing(permit: float, value: float, word: str) -> None:
    assert limit_verdict("wind_m_s", value, permit) == word


@pytest.mark.parametrize("missing", [None, float("nan"), float("inf")])
def test_law_what_is_no_number_is_not_known(missing: float | None) -> None:
    assert limit_verdict("wind_m_s", missing) == NOT_KNOWN


@pytest.mark.parametrize(
    ("permit", "strictest", "whose"),
    [(None, 20.0, "ours"), (25.0, 20.0, "ours"), (20.0, 20.0, "ours"), (15.0, 15.0, "permit")],
)
def test_law_the_stricter_limit_says_whose_it_is(permit: float | None, strictest: float, whose: str) -> None:
    most = Limit("wind", "km_h", 5.0, 18.0, 20.0, permit)
    assert (most.strictest, most.whose, most.inside) == (strictest, whose, (5.0, min(18.0, strictest)))
    turned = None if permit is None else 40.0 - permit
    least = Limit("humidity", "pct", 22.0, None, 20.0, turned, below=True)
    assert (least.strictest, least.whose, least.inside) == (40 - strictest, whose, (max(22.0, 40 - strictest), None))


def test_law_a_permits_wind_is_carried_from_where_it_is_meant() -> None:
    """10 m is 1.15 × 20 ft (Turner & Lawson 1978; S); where nobody said, 10 m is meant, the stricter reading."""

    def of(**permit: object) -> dict[str, float]:
        return named_by_permit(Site(member=FrozenDict({"permit": permit})).section("permit"))

    assert of(wind_km_h=36, wind_at="20_ft") == {"wind_m_s": pytest.approx(10.0)}
    assert of(wind_km_h=36, wind_at="10_m") == {"wind_m_s": pytest.approx(10.0 / 1.15)} == of(wind_km_h=36)
    assert of(gust_km_h=36, humidity_pct=50) == {"gust_m_s": pytest.approx(10.0 / 1.15), "humidity_pct": 50.0}
    assert of() == {}
    at_eye = limits_of(Site(()).section("permit"))[0].strictest
    assert at_eye < limits()[0].strictest


@pytest.mark.parametrize(
    ("more", "word"),
    [
        ({"issued": LIT - dt.timedelta(hours=12)}, INSIDE),
        ({"issued": LIT - dt.timedelta(hours=12) - MINUTE}, NOT_KNOWN),
        ({"issued": LIT}, INSIDE),
        ({"issued": LIT + MINUTE}, NOT_KNOWN),
        ({"front_free_h": 48.0}, INSIDE),
        ({"front_free_h": 47.9}, OUTSIDE),
        ({"needed": LIT - dt.timedelta(hours=20), "issued": LIT - dt.timedelta(hours=32)}, INSIDE),
        ({"needed": LIT - dt.timedelta(hours=20), "issued": LIT - dt.timedelta(hours=32) - MINUTE}, NOT_KNOWN),
        ({"needed": LIT - dt.timedelta(hours=30), "issued": LIT - dt.timedelta(hours=6) - MINUTE}, INSIDE),
        ({"needed": LIT - dt.timedelta(hours=30), "issued": LIT - dt.timedelta(hours=6)}, NOT_KNOWN),
    ],
)
def test_law_each_limit_in_time_holds_to_the_minute(more: dict[str, object], word: str) -> None:
    """Ours: a forecast serves for 12 h, is of the day it was asked for, and says 48 h without a front."""
    assert judged(hours(), **more).word == word
    assert judged(hours(), **more).stale == (word == NOT_KNOWN and more["issued"] < LIT - dt.timedelta(hours=10))


@pytest.mark.parametrize(("first", "gap_h", "word"), [(10, 6, INSIDE), (10, 7, NOT_KNOWN), (2, 2, NOT_KNOWN)])
def test_law_after_the_burn_six_hours_between_are_enough_and_during_it_one(first: int, gap_h: int, word: str) -> None:
    left = [hour for n, hour in enumerate(hours()) if not first < n < first + gap_h]
    assert judged(left).word == word


@pytest.mark.parametrize(("last", "word"), [(48, INSIDE), (43, INSIDE), (42, NOT_KNOWN)])
def test_law_the_outlook_reaches_to_six_hours_before_its_end(last: int, word: str) -> None:
    """Lit at 09:30, quiet until 09:30 two days later: 04:00 is near enough to that, 03:00 is not."""
    assert judged(hours(last + 1)).word == word


@pytest.mark.parametrize(("place", "word"), [(48, OUTSIDE), (49, INSIDE), (0, OUTSIDE)])
def test_law_wind_counts_from_the_hour_of_lighting_to_the_end_of_the_quiet(place: int, word: str) -> None:
    assert judged(hours(**{f"h{place}": replace(GOOD, gust_m_s=20.0)})).word == word


def test_law_the_hour_of_the_cold_check_belongs_to_the_quiet_after() -> None:
    span = replace(SPAN, cold_check=LIT.replace(hour=17, minute=0))
    damp = hours(h8=replace(GOOD, humidity_pct=20.0))
    found = window_of(damp, span, limits(), height_m=TWENTY_FEET_M, issued=LIT, front_free_h=48.0)
    assert (found.word, len(found.burn)) == (INSIDE, 8)
    blind = hours(h8=replace(GOOD, wind_m_s=None))
    assert window_of(blind, span, limits(), height_m=TWENTY_FEET_M, issued=LIT, front_free_h=48.0).word == NOT_KNOWN


def test_law_of_a_missing_stretch_the_first_hour_and_the_count_are_told() -> None:
    found = judged([hour for n, hour in enumerate(hours()) if n not in (3, 4, 7)])
    (why,) = (each for each in found.reasons if each.code == "season.hours_missing")
    assert (why.fact("first"), why.fact("count")) == (LIT.replace(hour=12, minute=0), 3)


@pytest.mark.parametrize(("gust", "word"), [(3.0, INSIDE), (2.999, NOT_KNOWN)])
def test_law_a_gust_is_never_below_its_wind(gust: float, word: str) -> None:
    hour = WeatherHour(LIT, 3.0, gust, 55.0, 12.0)
    assert judge(hour, limits(), TWENTY_FEET_M).words["gust"] == word
    found = weather_verdict([Hour("9", 3.0, gust, 55.0, 12.0)], "green", outlook_quiet_h=48.0, burn_ban=False)
    assert found.verdict == word


@pytest.mark.parametrize(
    ("said", "word", "reasons"),
    [
        ({}, INSIDE, 0),
        ({"outlook_quiet_h": 47.9}, OUTSIDE, 1),
        ({"outlook_quiet_h": None}, NOT_KNOWN, 1),
        ({"burn_ban": True, "outlook_quiet_h": None}, OUTSIDE, 2),
        ({"burn_ban": None}, NOT_KNOWN, 1),
        ({"surroundings": "snow"}, INSIDE, 0),
        ({"surroundings": "wet"}, INSIDE, 0),
        ({"surroundings": "drying"}, NEAR, 1),
        ({"surroundings": "cured"}, OUTSIDE, 1),
        ({"surroundings": "cured", "officer_allows_cured": True}, NEAR, 1),
        ({"surroundings": None}, NOT_KNOWN, 1),
        ({"height_known": False}, NOT_KNOWN, 1),
        ({"permit": {"wind_m_s": 2.9}}, OUTSIDE, 1),
        ({"hours": []}, NOT_KNOWN, 1),
    ],
)
def test_law_each_thing_that_is_wrong_is_said_once_and_the_worst_decides(
    said: dict[str, object], word: str, reasons: int
) -> None:
    hour = Hour("9", 3.0, 5.0, 55.0, 12.0)
    usual = {"hours": [hour], "surroundings": "green", "outlook_quiet_h": 48.0, "burn_ban": False}
    found = weather_verdict(**(usual | said))
    assert (found.verdict, len(found.reasons)) == (word, reasons)


@pytest.mark.parametrize(
    ("issued", "asked"),
    [("2026-05-20 05:00", True), (None, True), ("2026-05-17 05:00", False)],
)
def test_law_of_a_forecast_with_holes_another_is_asked_for_unless_it_is_an_old_one(
    issued: str | None, asked: bool
) -> None:
    """Where nobody said when it was made it may be of today."""
    site = forecast(SafeSite())
    site.member["forecast"]["issued"] = issued
    del site.member["forecast_hours"][8]
    a = site.assessed()
    actions = {check.action.code for check in weather_check(a.source, a.weather, Day(a.on, a.on)) if check.action}
    assert ("action.other_forecast" in actions) == asked
