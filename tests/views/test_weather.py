"""The weather check of the log page: what is not typed is not known, and one bad reading decides."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import pytest

from sitemap.assessment import assess
from sitemap.site.model import Site
from sitemap.telling import sentence
from tests.views.conftest import Visit, store


@pytest.fixture
def log(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Visit:
    """The log page with the first sample open."""
    monkeypatch.setenv("PITSTEAD_DATA", str(tmp_path))
    monkeypatch.setenv("PITSTEAD_RAISE", "1")
    return Visit().go("log")


def test_law_nothing_typed_is_not_known(log: Visit):
    assert not log.app.exception
    assert "Weather: not known" in log.words
    assert "Weather: inside limits" not in log.words


def test_law_good_readings_are_inside_and_one_bad_one_decides(log: Visit):
    """The sample is in US units and wet. 8 mph, 12 mph, 55 %, 50 °F, 72 h: inside (our table); 25 mph gusts are not."""
    typed = {"wind_m_s": 8, "gust_m_s": 12, "humidity_pct": 55, "temperature_c": 50, "quiet": 72}
    for name, value in typed.items():
        log.app.text_input(key=f"weather.{name}").set_value(f"{value}")
    log.app.run()
    assert "Weather: not known" in log.words  # at which height is not chosen, ban and surroundings are of another day
    for touch in [each for each in log.app.button if each.key == "weather.today"]:  # none on the sample's own day
        touch.click()
    log.app.button_group(key="weather.height").set_value("20 ft (6 m)").run()
    assert "Weather: inside limits" in log.words
    assert "Who read the weather" in bars(log.site, "weather")
    log.app.text_input(key="weather.by").set_value("Crew lead").run()
    assert "Nobody has put a name" not in log.words
    assert not bars(log.site, "weather")
    log.app.text_input(key="weather.gust_m_s").set_value("5").run()
    assert "Weather: not known" in log.words
    assert "is below the mean wind, 8 mph" in log.words
    log.app.text_input(key="weather.gust_m_s").set_value("25").run()
    assert "Weather: outside limits" in log.words
    assert "Gust outside limits" in log.words


def test_law_page_and_decision_hold_a_reading_against_the_permit_and_the_officers_word(log: Visit):
    """6 mph at 20 ft is within our 12 mph and above the 8 km/h (5 mph) of this permit; cured grass asks for a name."""
    site = log.site
    permit = site.member["permit"].put(wind_km_h=8, wind_at="20_ft")
    season = site.member["season"].put(surroundings="cured", date=dt.date.today().isoformat())
    read = {"on": dt.date.today().isoformat(), "height": "20 ft (6 m)", "wind_m_s": 6 * 0.44704}
    site = site.with_member("permit", permit).with_member("season", season).with_member("weather_read", read)
    seen = Visit(store().create(site).link).go("log")
    assert "Wind outside limits" in seen.words
    assert "Wind read on" in bars(seen.site, "weather")
    assert "cured" in bars(seen.site, "surroundings")
    seen.app.text_input(key="weather.cured_by").set_value("Officer on duty").run()
    assert not bars(seen.site, "surroundings")
    assert "Wind outside limits" in seen.words


def test_law_a_name_stands_for_the_forecast_its_owner_saw(log: Visit):
    """Another forecast than that of the signature: said, and one touch of the same person makes it count again."""
    today = dt.date.today().isoformat()
    read = {"on": today, "height": "20 ft (6 m)", "wind_m_s": 2, "gust_m_s": 3, "humidity_pct": 60, "by": "Crew lead"}
    hours = [{"time": "2020-01-01 10:00", "humidity_pct": 50}]
    site = log.site.with_member("weather_read", read | {"temperature_c": 9, "quiet": 72})
    seen = Visit(store().create(site.with_member("forecast_hours", hours)).link).go("log")
    assert "no longer as Crew lead saw them" in bars(seen.site, "weather")
    seen.app.button(key="weather.beside").click().run()
    assert not bars(seen.site, "weather")


def bars(site: Site, check: str) -> str:
    """What bars the first kiln by one check, today."""
    found = assess(site, None, on=dt.date.today()).decisions[0].because
    return " ".join(sentence(bar.reason) for bar in found if bar.check == check)


def test_law_one_touch_says_that_the_grass_stands_as_high_as_it_was_entered(log: Visit):
    """Typed again as it stands it would be no change, and an old height is not known: a refuge rests on it."""
    today, old = dt.date.today(), dt.date.today() - dt.timedelta(days=60)
    stamp = {name: {"on": today.isoformat()} for name in ("ban", "surroundings")}
    season = log.site.member["season"].put(seen={**stamp, "fuel_height_m": {"on": old.isoformat()}})
    seen = Visit(store().create(log.site.with_member("season", season)).link).go("log")
    assert "60 days before the burn" in bars(seen.site, "refuge")
    seen.app.button(key="weather.today").click().run()
    assert not bars(seen.site, "refuge")


def test_law_readings_are_kept_for_their_day_and_no_other(log: Visit):
    log.app.text_input(key="weather.gust_m_s").set_value("12").run()
    log.go("slash").go("log")
    assert log.app.text_input(key="weather.gust_m_s").value == "12"
    assert log.site.member["weather_read"]["gust_m_s"] == pytest.approx(12 * 0.44704)  # mph, NIST SP 811 (P)
    old = {**log.site.member["weather_read"], "on": "2020-01-01"}
    link = store().create(log.site.with_member("weather_read", old)).link
    assert Visit(link).go("log").app.text_input(key="weather.gust_m_s").value == ""


def test_law_the_page_calls_no_weather_fit_that_bars_a_burn_today(log: Visit):
    """Good readings of this morning, whose reader has not signed for the forecast kept beside them."""
    today = dt.date.today().isoformat()
    read = {"on": today, "height": "20 ft (6 m)", "wind_m_s": 2, "gust_m_s": 3, "humidity_pct": 60, "by": "Crew lead"}
    stamp = {"ban": {"on": today}, "surroundings": {"on": today}}
    season = log.site.member["season"].put(date=today, ban="none", surroundings="wet", seen=stamp)
    site = log.site.with_member("season", season).with_member("weather_read", read | {"temperature_c": 9, "quiet": 72})
    seen = Visit(store().create(site).link).go("log")
    assert "Weather: inside limits" not in seen.words
    seen.app.button(key="weather.beside").click().run()
    assert not bars(seen.site, "weather")
    assert "Weather: inside limits" in seen.words
