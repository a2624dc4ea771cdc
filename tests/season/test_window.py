"""The weather window: an hour, a day, a site; every hour from lighting to the first cold check must be inside."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from functools import cache
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sitemap.kiln.values import KilnRun
from sitemap.safety.limits_of_site import limits_of
from sitemap.safety.weather import INSIDE, NEAR, NOT_KNOWN, ORDER, OUTSIDE, TWENTY_FEET_M, limit_verdict
from sitemap.season.hours import WeatherHour
from sitemap.season.weather_of_site import told_of, weather_check, window_of_site
from sitemap.season.window import Span, Window, window_of
from sitemap.site.frozen import FrozenDict
from sitemap.site.model import Site
from sitemap.site.seen import Day
from sitemap.telling import sentence
from tests.safety.dangerous.safe_site import SafeSite

LIT = dt.datetime(2026, 5, 20, 9, 30, tzinfo=dt.UTC)
SPAN = Span(LIT, LIT + dt.timedelta(hours=8))
ISSUED = LIT - dt.timedelta(hours=3)
GOOD = WeatherHour(LIT, 3.0, 5.0, 55.0, 12.0)


def limits(**permit: object):
    return limits_of(Site(member=FrozenDict({"permit": permit})).section("permit"), TWENTY_FEET_M)


def hours(count: int = 60, **other: WeatherHour) -> list[WeatherHour]:
    """So many good hours from 09:00; `h3` is the fourth instead."""
    first = LIT.replace(minute=0)
    return [replace(other.get(f"h{n}", GOOD), time=first + dt.timedelta(hours=n)) for n in range(count)]


def judged(found: list[WeatherHour], **more: object) -> Window:
    said: dict[str, object] = {"height_m": TWENTY_FEET_M, "issued": ISSUED, "front_free_h": 72.0}
    return window_of(found, SPAN, limits(), **(said | more))  # type: ignore[arg-type]


def test_law_a_day_is_inside_only_if_every_hour_is() -> None:
    assert judged(hours()).word == INSIDE
    for place in range(9):  # 09:00 to 17:00; the cold check is at 17:30
        for bad, word in (
            (replace(GOOD, humidity_pct=30.0), OUTSIDE),
            (replace(GOOD, humidity_pct=37.0), NEAR),
            (replace(GOOD, gust_m_s=None), NOT_KNOWN),
        ):
            assert judged(hours(**{f"h{place}": bad})).word == word
    assert judged(hours(h9=replace(GOOD, humidity_pct=30.0))).word == INSIDE  # after the check only wind counts
    assert judged(hours(h9=replace(GOOD, gust_m_s=20.0))).word == OUTSIDE


@given(st.floats(0, 25), st.floats(0, 100), st.floats(-20, 45))
def test_agrees_with_the_limits_of_the_table(wind: float, humidity: float, warm: float) -> None:
    """One hour by the table of limits itself (`safety.weather.limit_verdict`), winds at 20 ft."""
    hour = WeatherHour(LIT, wind, wind, humidity, warm)
    expected = {
        "wind": limit_verdict("wind_m_s", wind),
        "gust": limit_verdict("gust_m_s", wind),
        "humidity": limit_verdict("humidity_pct", humidity),
        "temperature": limit_verdict("temperature_c", warm),
    }
    assert judged([hour]).burn[0].words == expected


def test_law_the_stricter_of_ours_and_the_permits_holds() -> None:
    found = window_of(hours(), SPAN, limits(humidity_pct=60), height_m=TWENTY_FEET_M, issued=ISSUED, front_free_h=72.0)
    assert found.word == OUTSIDE
    loose = window_of(hours(), SPAN, limits(humidity_pct=10), height_m=TWENTY_FEET_M, issued=ISSUED, front_free_h=72.0)
    assert loose.word == INSIDE


@pytest.mark.parametrize(
    ("more", "says"),
    [
        ({"issued": None}, "made is not known"),
        ({"issued": LIT - dt.timedelta(hours=13)}, "read a new one"),
        ({"issued": LIT + dt.timedelta(hours=1)}, "after lighting"),
        ({"height_m": None}, "height"),
        ({"front_free_h": None}, "front"),
    ],
)
def test_law_what_is_not_said_is_not_known(more: dict[str, object], says: str) -> None:
    found = judged(hours(), **more)
    assert found.word == NOT_KNOWN
    assert says in " ".join(sentence(why) for why in found.reasons)


def test_law_a_gap_and_a_short_outlook_are_not_known() -> None:
    gap = [hour for n, hour in enumerate(hours()) if n != 4]
    assert "lacks 1 hour" in sentence(judged(gap).reasons[0])
    assert judged(hours(20)).word == NOT_KNOWN
    thin = [hour for n, hour in enumerate(hours(60)) if n < 12 or n % 6 == 0]  # a step of six hours, later on
    assert judged(thin).word == INSIDE


@given(st.integers(0, 59), st.sampled_from(["wind_m_s", "gust_m_s", "humidity_pct", "temperature_c"]))
def test_law_less_knowledge_never_helps(place: int, name: str) -> None:
    blank = replace(GOOD, **{name: None})
    assert ORDER.index(judged(hours(**{f"h{place}": blank})).word) >= ORDER.index(judged(hours()).word)


def test_law_a_wind_at_eye_level_is_more_at_twenty_feet() -> None:
    at_eye = judged(hours(h3=replace(GOOD, wind_m_s=4.0, gust_m_s=7.0)), height_m=1.7)
    assert at_eye.word == OUTSIDE


def forecast(site: SafeSite, humidity_pct: float = 55.0, issued: str = "2026-05-20 05:00") -> SafeSite:
    start = dt.datetime(2026, 5, 20, 5)
    rows = [
        {"time": f"{start + dt.timedelta(hours=n):%Y-%m-%d %H:%M}", "wind_m_s": 3, "gust_m_s": 5}
        | {"humidity_pct": humidity_pct, "temperature_c": 12}
        for n in range(60)
    ]
    site.member["forecast"] = {"issued": issued, "wind_at": "20_ft", "front_free_h": 72}
    site.member["forecast_hours"] = rows
    return site


def test_law_a_forecast_outside_limits_bars_every_kiln_however_old_it_is() -> None:
    assert all(each.may_be_lit for each in forecast(SafeSite()).signed().assessed().decisions)
    for issued in ("2026-05-20 05:00", "2026-05-17 05:00"):
        bad = forecast(SafeSite(), humidity_pct=25.0, issued=issued).signed().assessed()
        assert [each.first.check for each in bad.decisions if each.first] == ["weather", "weather"]


BEFORE = dt.date(2026, 5, 19)  # the burn date is looked at on its eve, the forecast of that evening before the eyes
EVE = "2026-05-19 20:00"


def test_law_on_the_eve_a_forecast_that_carries_every_hour_is_enough_and_nothing_less_is() -> None:
    def words(site: SafeSite, today: dt.date = BEFORE) -> set[str]:
        return {each.word for each in site.assessed(today).decisions}

    assert words(forecast(SafeSite(), issued=EVE)) == {"may be lit"}
    assert words(forecast(SafeSite(), issued=EVE).signed(), dt.date(2026, 5, 20)) == {"may be lit"}
    assert words(forecast(SafeSite(), issued=EVE), dt.date(2026, 5, 20)) == {"not yet"}  # on its morning nobody looked
    for less in (
        SafeSite(),
        forecast(SafeSite(), issued="2026-05-18 11:00"),  # stale twelve hours before the day it is looked at
        forecast(SafeSite(), issued="2026-05-20 05:00"),  # still to come
        forecast(SafeSite(), issued="by the radio"),
        forecast(SafeSite(), issued=EVE, humidity_pct=25.0),
    ):
        assert words(less) == {"not yet"}


TAKEN = ("forecast", "forecast_hours", "weather_read")


@given(st.data())
def test_law_nothing_taken_from_what_is_known_of_the_weather_ever_helps(data: st.DataObject) -> None:
    """Hours, figures or all of a forecast, or of the readings: where they barred, or were not known, less bars too."""
    day = Day(dt.date(2026, 5, 20), data.draw(st.sampled_from([BEFORE, None])))
    site = forecast(SafeSite(), issued=EVE)
    member = site.member
    if data.draw(st.booleans()):
        hour = member["forecast_hours"][data.draw(st.integers(0, 59))]
        hour |= data.draw(st.sampled_from([{"gust_m_s": 20}, {"humidity_pct": 20}, {"temperature_c": 40}]))
    site.signed()
    if data.draw(st.booleans()):
        site.weather(**data.draw(st.sampled_from([{"gust_m_s": 20}, {"humidity_pct": 20}, {"quiet": 5}])))
    barred = bars(site.site(), day)
    for _ in range(data.draw(st.integers(1, 3))):
        where = data.draw(st.sampled_from(TAKEN))
        held = member.get(where)
        if not held or data.draw(st.booleans()):
            member.pop(where, None)
        elif isinstance(held, list):
            first = data.draw(st.integers(0, len(held) - 1))
            del held[first : first + data.draw(st.integers(1, 60))]
        else:
            del held[data.draw(st.sampled_from(sorted(held)))]
    assert bars(site.site(), day) >= barred


@cache
def runs() -> tuple[KilnRun, ...]:
    return SafeSite().assessed().kilns


def bars(site: Site, day: Day) -> bool:
    return bool(weather_check(site, window_of_site(site, runs(), day), day))


def test_law_a_forecast_by_another_clock_is_shown_by_that_of_the_site() -> None:
    """The same moments in universal time: the same hours, said as the crew's watch has them."""
    here = forecast(SafeSite())
    zone = ZoneInfo(here.member["timezone"])
    plain = here.assessed().weather
    for row in here.member["forecast_hours"]:
        row["time"] = dt.datetime.fromisoformat(row["time"]).replace(tzinfo=zone).astimezone(dt.UTC).isoformat()
    other = here.assessed().weather
    assert plain is not None
    assert other is not None
    assert other.word == plain.word
    assert [f"{each.time:%d %H}" for each in other.burn] == [f"{each.time:%d %H}" for each in plain.burn]


def test_law_the_morning_is_told_what_the_forecast_says() -> None:
    assert "no forecast is kept" in " ".join(sentence(each) for each in SafeSite().assessed().on_the_day).lower()
    no_clock = forecast(SafeSite())
    no_clock.member["equipment"]["kilns"].clear()
    told = sentence(told_of(no_clock.assessed().source, no_clock.assessed().weather))
    assert told == "No batch has its hours, so which weather it meets is not known."  # a forecast is kept all the same
    assert told in [sentence(each) for each in no_clock.assessed().on_the_day]
    inside = forecast(SafeSite()).assessed()
    assert inside.weather is not None
    assert "every hour inside limits" in sentence(told_of(inside.source, inside.weather))
    stale = forecast(SafeSite(), issued="2026-05-18 05:00").assessed()
    assert stale.weather is not None
    assert stale.weather.stale
    assert "forecast not known" in sentence(told_of(stale.source, stale.weather)).lower()
