"""The weather check of the log page: what is not typed is not known, and one bad reading decides."""

from __future__ import annotations

from pathlib import Path

import pytest

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
    log.app.text_input(key="weather.gust_m_s").set_value("5").run()
    assert "Weather: not known" in log.words
    assert "is below the mean wind, 8 mph" in log.words
    log.app.text_input(key="weather.gust_m_s").set_value("25").run()
    assert "Weather: outside limits" in log.words
    assert "Gust outside limits" in log.words


def test_law_readings_are_kept_for_their_day_and_no_other(log: Visit):
    log.app.text_input(key="weather.gust_m_s").set_value("12").run()
    log.go("slash").go("log")
    assert log.app.text_input(key="weather.gust_m_s").value == "12"
    assert log.site.member["weather_read"]["gust_m_s"] == pytest.approx(12 * 0.44704)  # mph, NIST SP 811 (P)
    old = {**log.site.member["weather_read"], "on": "2020-01-01"}
    link = store().create(log.site.with_member("weather_read", old)).link
    assert Visit(link).go("log").app.text_input(key="weather.gust_m_s").value == ""
