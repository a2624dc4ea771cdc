"""Forecasts read from text: the forms of open services, what is guessed of columns and clock, what is refused.

The forms follow public descriptions (evidence S): arrays of hours with `hourly_units` and `utc_offset_seconds`; the
general forecast JSON with `properties.timeseries`; a list of periods with a unit beside each value. Values invented.
"""

from __future__ import annotations

import datetime as dt
import json
from itertools import pairwise
from zoneinfo import ZoneInfo

import pytest

from sitemap.errors import BadValue
from sitemap.season.forecast_reading import Column, guess, height_guess_m, read_text, stored, unit_fits
from sitemap.season.hours import WeatherHour, hours_of, moments

DENVER = ZoneInfo("America/Denver")
ARRAYS = {
    "utc_offset_seconds": -25200,
    "timezone": "America/Denver",
    "hourly_units": {
        "time": "iso8601",
        "temperature_2m": "°F",
        "relative_humidity_2m": "%",
        "wind_speed_10m": "mp/h",
        "wind_gusts_10m": "km/h",
    },
    "hourly": {
        "time": ["2026-12-05T08:00", "2026-12-05T09:00"],
        "temperature_2m": [41.0, 50.0],
        "relative_humidity_2m": [60, 55],
        "wind_speed_10m": [10.0, 12.0],
        "wind_gusts_10m": [36.0, None],
    },
}
STEPS = {
    "type": "Feature",
    "properties": {
        "meta": {
            "updated_at": "2026-12-05T04:00:00Z",
            "units": {"air_temperature": "celsius", "relative_humidity": "%", "wind_speed": "m/s"},
        },
        "timeseries": [
            {
                "time": "2026-12-05T15:00:00Z",
                "data": {
                    "instant": {"details": {"air_temperature": 5.0, "relative_humidity": 60, "wind_speed": 4.4704}}
                },
            }
        ],
    },
}
PERIODS = {
    "properties": {
        "updateTime": "2026-12-05T04:00:00+00:00",
        "periods": [
            {
                "startTime": "2026-12-05T08:00:00-07:00",
                "temperature": 41,
                "temperatureUnit": "F",
                "relativeHumidity": {"unitCode": "wmoUnit:percent", "value": 60},
                "windSpeed": "5 to 10 mph",
                "windDirection": "NW",
            }
        ],
    }
}
ROWS = "Time;Wind (mph);Gusts km/h;RH %;Temp °F;Rain mm\n2026-12-05 08:00;10;36;60;41;0\n"


def read(text: str, zone: str | None = None) -> tuple[WeatherHour, ...]:
    raw = read_text(text)
    return hours_of(raw, guess(raw), zone)


@pytest.mark.parametrize("text", [json.dumps(ARRAYS), json.dumps(STEPS), json.dumps(PERIODS)])
def test_published_forms_give_the_same_first_hour(text: str) -> None:
    """10 mph is 4.4704 m/s and 41 °F is 5 °C by definition."""
    hour = read(text)[0]
    assert hour.time == dt.datetime(2026, 12, 5, 8, tzinfo=DENVER)
    assert hour.wind_m_s == pytest.approx(4.4704)
    assert hour.temperature_c == pytest.approx(5.0)
    assert hour.humidity_pct == 60


def test_law_what_is_blank_is_not_known_and_each_column_is_shown() -> None:
    raw = read_text(json.dumps(ARRAYS))
    columns = guess(raw)
    assert [column.quantity for column in columns] == ["time", "wind", "gust", "humidity", "temperature"]
    assert height_guess_m(columns) == 10.0
    assert hours_of(raw, columns, None)[1].gust_m_s is None
    assert hours_of(raw, columns, None)[0].gust_m_s == pytest.approx(10.0)


def test_law_rows_of_text_are_read_with_their_units_in_the_heads() -> None:
    hour = read(
        ROWS.replace("Gusts km/h", "Gusts (km/h)").replace("Temp °F", "Temp (°F)").replace("Rain mm", "Rain (mm)"),
        "UTC",
    )[0]
    assert (hour.wind_m_s, hour.gust_m_s) == (pytest.approx(4.4704), pytest.approx(10.0))
    assert hour.temperature_c == pytest.approx(5.0)


def test_law_a_gust_is_no_wind_and_a_dew_point_no_temperature() -> None:
    raw = read_text(
        "time,wind_gusts_10m,wind_speed_10m,dew_point_2m,temperature_2m,wind_direction_10m\n"
        "2026-12-05 08:00,9,5,1,2,270"
    )
    assert {column.quantity: column.name for column in guess(raw)} == {
        "time": "time",
        "wind": "wind_speed_10m",
        "gust": "wind_gusts_10m",
        "temperature": "temperature_2m",
        "wind_from": "wind_direction_10m",
    }


@pytest.mark.parametrize("head", ["wind from", "Wind From", "wind dir", "wind_direction_10m", "wdir", "dir", "bearing"])
@pytest.mark.parametrize("turned", [False, True])
def test_law_where_a_wind_comes_from_is_never_taken_for_its_speed(head: str, turned: bool) -> None:
    """Also where no column says a speed: degrees read as a speed would bar a quiet day, and open a wild one."""
    heads, cells = ["wind (mph)", head], ["9", "270"]
    if turned:
        heads, cells = heads[::-1], cells[::-1]
    hour = read(f"time,{','.join(heads)}\n2026-12-05 08:00,{','.join(cells)}", "UTC")[0]
    assert (hour.wind_m_s, hour.wind_from_deg) == (pytest.approx(4.02336), 270.0)
    alone = guess(read_text(f"time,{head},{head} gust\n2026-12-05 08:00,270,280"))
    assert {column.quantity for column in alone} == {"time", "wind_from"}


def test_law_the_higher_of_two_winds_counts() -> None:
    assert stored("wind", "10-15 mph", "mph") == pytest.approx(15 * 0.44704)


@pytest.mark.parametrize(
    ("head", "rows"),
    [
        ("time (UTC),wind (km/h)", "2026-12-05 15:00,9 mph"),
        ("date,time_utc,wind (km/h)", "2026-12-05,15:00,9 mph"),
        ("time (Europe/Madrid),wind (mph)", "2026-12-05 16:00,9"),
        ("date,time,wind (mph)", "12/15/2026,8 AM,5\n12/05/2026,8 AM,9"),
        ("end time,start time,wind (mph)", "2026-12-05 09:00,2026-12-05 08:00,9"),
        ("timezone,time,wind_120m (mph),wind_speed_10m (mph)", "MST,2026-12-05 08:00,30,9"),
        ("valid,wind (mph)", f"{1000 * 1796482800},9"),
    ],
)
def test_law_what_head_and_cell_say_goes_before_what_is_guessed(head: str, rows: str) -> None:
    """Nine miles an hour at 15:00 of universal time, however it is written; 9 mph is 4.02336 m/s."""
    hour = read(f"{head}\n{rows}", "America/Denver")[0]
    assert hour.time.astimezone(dt.UTC) == dt.datetime(2026, 12, 5, 15, tzinfo=dt.UTC)
    assert hour.wind_m_s == pytest.approx(4.02336)


def test_law_winds_of_two_heights_have_no_height_in_common() -> None:
    heads = "time,wind_speed_10m,wind_gusts_20m\n2026-12-05 08:00,9,12"
    assert height_guess_m(guess(read_text(heads))) is None


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "nothing in it"),
        ("wind\n3", "one column only"),
        ('{"hourly": {', "cannot be read as JSON"),
        ('{"a": 1}', "form that is not known"),
        ("wind (mph),rh\n3,50", "No column of times"),
        ("time,wind\n2026-12-05 08:00,3", r"Wind: its unit \(–\) is not known"),
        ("time,wind (mph)\n2026-12-05 08:00,3\n2026-12-05 08:00,4", "twice"),
        ("time,wind (mph)\n2026-12-05 08:00,3\n2026-12-05T09:00Z,4", "some do not"),
        ("time,wind (mph)\n2026-03-08 02:30,3", "does not exist"),
        ("time,wind (mph)\n04/05/2026 08:00,3", "cannot be told apart"),
        ("time,wind (mph)\nsoon,3", "cannot be read"),
        ('time,wind (mph)\n2026-12-05 08:00,"1.000,5"', "in two ways"),
    ],
)
def test_refuses_what_cannot_be_read_in_one_sentence(text: str, says: str) -> None:
    with pytest.raises(BadValue, match=says):
        read(text, "America/Denver")


def test_refuses_times_by_no_clock_and_asks_for_it() -> None:
    with pytest.raises(BadValue, match="which clock"):
        read("time,wind (mph)\n2026-12-05 08:00,3")


def test_agrees_with_the_zone_database_on_the_day_the_clock_is_put_back() -> None:
    """Denver, 1 November 2026: 01:00 comes twice, an hour apart in universal time."""
    texts = ["2026-11-01 00:00", "2026-11-01 01:00", "2026-11-01 01:00", "2026-11-01 02:00"]
    found = moments(texts, "America/Denver", None)
    steps = [(b.astimezone(dt.UTC) - a.astimezone(dt.UTC)).seconds for a, b in pairwise(found)]
    assert steps == [3600, 3600, 3600]


def test_law_a_unit_belongs_to_its_quantity() -> None:
    assert unit_fits("wind", "Km/h")
    assert not unit_fits("wind", "%")
    assert not Column("wind", "wind", "").unit_known


@pytest.mark.parametrize(
    "text",
    [
        "Datum;Uhrzeit;Wind (km/h);Böen (km/h);Luftfeuchte (%);Temperatur (°C)\n30.11.2026;08:00;7,2;36;60;10,0",
        "Heure;Vent (km/h);Rafales (km/h);Humidité (%);Température (°C)\n30/11/2026 08:00;7,2;36;60;10",
        "Data;Hora;Vento (km/h);Rajada (km/h);Umidade (%);Temperatura (°C)\n30/11/2026;08:00;7,2;36;60;10",
        "For unit 5\nTime,Wind (km/h),Gust (m/s),RH (%),Temp (F)\n2026-11-30 08:00,7.2E+00,1.0E+01,6.0E+01,5.0E+01",
    ],
)
def test_law_heads_of_other_languages_titles_and_powers_of_ten(text: str) -> None:
    raw = read_text(text)
    (hour,) = hours_of(raw, guess(raw), "America/Denver")
    found = (hour.wind_m_s, hour.gust_m_s, hour.humidity_pct, hour.temperature_c)
    assert found == pytest.approx((2.0, 10.0, 60.0, 10.0))
    assert hour.time == dt.datetime(2026, 11, 30, 8, tzinfo=DENVER)


def test_published_knot() -> None:
    """1,852 m an hour (definition, S)."""
    assert stored("wind", "18", "kts") == pytest.approx(18 * 1852 / 3600)


def test_law_a_mixing_height_or_a_bearing_is_no_wind() -> None:
    raw = read_text("Time,Ventilation (m2/s),Windrichtung (°)\n2026-11-30 08:00,4000,270")
    assert [column.quantity for column in guess(raw)] == ["time", "wind_from"]


@pytest.mark.parametrize("value", ["-9999", "-999.0", "9999.9", "999"])
def test_law_nines_that_stand_for_nothing_are_nothing(value: str) -> None:
    assert stored("wind", value, "m/s") is None


@pytest.mark.parametrize(
    ("quantity", "value", "unit"),
    [("wind", "-3", "m/s"), ("humidity", "160", "%"), ("temperature", "95", "°C"), ("wind_from", "400", "°")],
)
def test_refuses_what_no_weather_has(quantity: str, value: str, unit: str) -> None:
    with pytest.raises(BadValue, match="no weather has"):
        stored(quantity, value, unit)


def test_law_99_per_cent_and_a_cold_morning_are_weather() -> None:
    assert stored("humidity", "99", "%") == 99
    assert stored("temperature", "-9.9", "°C") == -9.9


def test_refuses_powers_of_ten_without_a_sign() -> None:
    with pytest.raises(BadValue, match="two ways"):
        stored("wind", "1.2E1", "m/s")


def test_refuses_a_time_by_its_own_words() -> None:
    raw = read_text("Time,Wind (m/s)\n2026-11-30 08:00,3\nMean,3")
    with pytest.raises(BadValue, match="Mean"):
        hours_of(raw, guess(raw), "America/Denver")


def test_law_of_two_columns_of_one_head_both_are_there() -> None:
    raw = read_text("Time,Wind (m/s),Wind (m/s)\n2026-11-30 08:00,3,5")
    assert raw.columns == ("Time", "Wind (m/s)", "Wind (m/s) (3)")
    assert raw.rows == (("2026-11-30 08:00", "3", "5"),)
