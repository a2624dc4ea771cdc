"""Weather files as people have them: day and hour apart, highest and lowest of a day, clocks of twelve hours."""

from __future__ import annotations

import datetime as dt
import json

import pytest

from sitemap.errors import BadValue
from sitemap.season.days import record_of
from sitemap.season.forecast_reading import guess, read_text
from sitemap.season.hours import WeatherHour, hours_of


def read(text: str, zone: str = "America/Denver") -> tuple[WeatherHour, ...]:
    raw = read_text(text)
    return hours_of(raw, guess(raw), zone)


@pytest.mark.parametrize(
    "text",
    [
        "Date,Time,Temp (C),RH %\n2026-05-01,14:00,18,40",
        "date;hour;temperature_c;humidity\n01.05.2026;14;18;40",
        "year,month,day,hour,temp_c,rh\n2026,5,1,14,18,40",
        "timestamp,temp_c,rh\n05/01/2026 02:00 PM,18,40\n05/13/2026 02:00 PM,18,40",
        "time,temp_c,rh\n2026050114,18,40",
        "valid,tmp (F),relh\n2026-05-01 14:00,64.4,40",
    ],
)
def test_law_a_time_is_found_however_it_is_spread_over_columns(text: str) -> None:
    hour = read(text)[0]
    assert hour.time.replace(tzinfo=None) == dt.datetime(2026, 5, 1, 14)
    assert (hour.temperature_c, hour.humidity_pct) == (pytest.approx(18.0), 40.0)


def test_law_hours_counted_from_one_end_with_the_midnight_of_the_next_day() -> None:
    found = read("date,hour,temp_c,rh\n" + "".join(f"2026-05-01,{n},18,40\n" for n in range(1, 25)))
    assert found[-1].time.replace(tzinfo=None) == dt.datetime(2026, 5, 2)
    assert len(found) == 24


def test_law_days_with_a_highest_and_a_lowest_give_their_mean_and_it_is_shown() -> None:
    raw = read_text(
        "date,tmax (°F),tmin (°F),rh_max,rh_min,precip (in)\n2026-05-01,80,40,90,30,0.5\n2026-05-02,,40,90,30,0"
    )
    named = {column.quantity: (column.name, column.unit) for column in guess(raw)}
    assert named["temperature"] == ("mean of tmax (°F) and tmin (°F)", "°F")
    hours = hours_of(raw, guess(raw), "America/Denver")
    assert hours[0].temperature_c == pytest.approx((60 - 32) / 1.8)
    assert hours[0].humidity_pct == 60.0
    assert hours[0].rain_mm == pytest.approx(12.7)
    assert [row["date"] for row in record_of(hours, "America/Denver").rows] == ["2026-05-01"]


def test_law_arrays_of_days_are_read_as_those_of_hours() -> None:
    daily = {
        "time": ["2026-05-01", "2026-05-02"],
        "temperature_2m_mean": [10, 12],
        "relative_humidity_2m_mean": [60, 70],
    }
    units = {"temperature_2m_mean": "°C", "relative_humidity_2m_mean": "%", "precipitation_sum": "mm"}
    text = json.dumps(
        {"timezone": "Europe/Oslo", "daily": {**daily, "precipitation_sum": [0, 4]}, "daily_units": units}
    )
    assert read_text(text).form == "JSON with arrays of days"
    rows = record_of(read(text), "Europe/Oslo").rows
    assert [(row["temperature_c"], row["humidity_pct"], row["rain_mm"]) for row in rows] == [(10, 60, 0), (12, 70, 4)]


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("date,temp_c,rh\n2026-05-01,10,50\n2026-05-01,11,50", "stands in it twice"),
        ("time,temp_c,rh\n2026-05-01 10:00Z,10,50\n2026-05-01 11:00,11,50", "write all of them alike"),
        ("date,temp_c,rh\n05/06/2026,10,50", "day and month cannot be told apart"),
        ("time,temp_c,rh\n2026-03-08 02:30,10,50", "does not exist by the clock"),
    ],
)
def test_refuses_days_twice_and_clocks_mixed_in_one_sentence(text: str, says: str) -> None:
    with pytest.raises(BadValue) as refused:
        read(text)
    assert says in str(refused.value)
