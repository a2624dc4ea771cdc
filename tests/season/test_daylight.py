"""Sun times against the NREL algorithm, as printed and as coded elsewhere, and the polar year."""

from __future__ import annotations

import datetime as dt

import pytest
from fluids.optional import spa
from hypothesis import given
from hypothesis import strategies as st

from sitemap.errors import BadValue
from sitemap.season.daylight import daylight, zone
from tests.properties import examples

TOLERANCE_S = 120  # astral's worst against NREL was 79 s (D)
FIXED_MINUS_7 = "Etc/GMT+7"  # the database counts this family westwards


@pytest.mark.parametrize(
    ("date", "rise", "sets"),
    [
        (dt.date(2015, 1, 2), dt.time(7, 21, 55), dt.time(16, 47, 43)),
        (dt.date(2015, 8, 2), dt.time(5, 0, 27), dt.time(19, 13, 58)),
    ],
)
def test_published_nrel_times_at_golden(date: dt.date, rise: dt.time, sets: dt.time) -> None:
    """NREL Solar Position Algorithm at 39.742 N 105.179 W, fixed UTC−7 (S)."""
    day = daylight(-105.179, 39.742, date, FIXED_MINUS_7)
    assert day.kind == "normal"
    assert day.sunrise is not None
    assert day.sunset is not None
    tz = zone(FIXED_MINUS_7)
    assert abs((day.sunrise - dt.datetime.combine(date, rise, tz)).total_seconds()) < TOLERANCE_S
    assert abs((day.sunset - dt.datetime.combine(date, sets, tz)).total_seconds()) < TOLERANCE_S


@pytest.mark.parametrize(
    ("lon", "lat", "timezone", "date", "rise", "sets"),
    [
        (-0.1278, 51.5074, "Europe/London", dt.date(2024, 6, 20), dt.time(4, 43), dt.time(21, 21)),
        (-0.1278, 51.5074, "Europe/London", dt.date(2024, 12, 21), dt.time(8, 3), dt.time(15, 53)),
        (151.2093, -33.8688, "Australia/Sydney", dt.date(2024, 12, 21), dt.time(5, 41), dt.time(20, 5)),
        (151.2093, -33.8688, "Australia/Sydney", dt.date(2024, 6, 21), dt.time(7, 0), dt.time(16, 54)),
        (174.7762, -41.2866, "Pacific/Auckland", dt.date(2024, 12, 21), dt.time(5, 44), dt.time(20, 54)),
        (-21.94, 64.147, "Atlantic/Reykjavik", dt.date(2024, 12, 21), dt.time(11, 22), dt.time(15, 29)),
    ],
)
def test_published_times_of_almanacs(
    lon: float, lat: float, timezone: str, date: dt.date, rise: dt.time, sets: dt.time
) -> None:
    """Sun times of cities as almanacs print them, to the minute (M): north, south, far north."""
    day = daylight(lon, lat, date, timezone)
    assert day.sunrise is not None
    assert day.sunset is not None
    tz = zone(timezone)
    assert abs((day.sunrise - dt.datetime.combine(date, rise, tz)).total_seconds()) < TOLERANCE_S
    assert abs((day.sunset - dt.datetime.combine(date, sets, tz)).total_seconds()) < TOLERANCE_S


def test_published_nrel_report_example() -> None:
    """Reda and Andreas, NREL/TP-560-34302, appendix A.5 (S): 17 October 2003, 39.742476 N 105.1786 W.

    Sunrise 13:12:43 UT, and sunset 00:20:19 UT of that same date: the evening of the 16th by the clock of the place.
    """
    day = daylight(-105.1786, 39.742476, dt.date(2003, 10, 17), "UTC")
    # By the clock of Greenwich the noon nearest to 12:00 UT is that of the same date.
    assert day.sunrise is not None
    assert day.sunset is not None
    assert abs((day.sunrise - dt.datetime(2003, 10, 17, 13, 12, 43, tzinfo=dt.UTC)).total_seconds()) < TOLERANCE_S
    evening = daylight(-105.1786, 39.742476, dt.date(2003, 10, 16), "America/Denver").sunset
    assert evening is not None
    assert evening.date() == dt.date(2003, 10, 16)
    assert abs((evening - dt.datetime(2003, 10, 17, 0, 20, 19, tzinfo=dt.UTC)).total_seconds()) < TOLERANCE_S
    # the next evening is earlier by more than a minute: the two are not mistaken for one another
    assert dt.timedelta(days=1) - (day.sunset - evening) > dt.timedelta(seconds=60)


@examples(40)
@given(st.floats(-60, 60), st.floats(-60, 60), st.integers(0, 3650))
def test_agrees_with_the_nrel_algorithm_in_fluids(lon: float, lat: float, days: int) -> None:
    """fluids carries the NREL algorithm; longitudes whose UT day holds both events, latitudes to 60°."""
    date = dt.date(2020, 1, 1) + dt.timedelta(days=days)
    midnight = dt.datetime.combine(date, dt.time(), dt.UTC)
    _, rise, sets = spa.transit_sunrise_sunset(midnight.timestamp(), lat, lon, 70.0)
    day = daylight(lon, lat, date, "UTC")
    assert day.sunrise is not None
    assert day.sunset is not None

    def apart(ours: dt.datetime, theirs: float) -> float:
        # The same moment, or that of the day before or after when the UT day is cut between them (≤ 3 min a day).
        difference = (ours.timestamp() - theirs + 43_200) % 86_400 - 43_200
        return abs(difference)

    assert apart(day.sunrise, rise) < TOLERANCE_S + 200
    assert apart(day.sunset, sets) < TOLERANCE_S + 200


@pytest.mark.parametrize(
    ("lon", "lat", "stays_up", "stays_down"),
    [
        # Published calendars (S): Tromsø midnight sun 20 May – 22 July, no sun 25 November – 17 January;
        # Longyearbyen 20 April – 21 August, 26 October – 16 February. A few days off either end, as calendars differ.
        (18.96, 69.65, ("05-22", "06-21", "07-20"), ("11-30", "12-21", "01-12")),
        (15.65, 78.22, ("04-22", "06-21", "08-20"), ("10-28", "12-21", "02-13")),
    ],
)
def test_published_polar_year(lon: float, lat: float, stays_up: tuple[str, ...], stays_down: tuple[str, ...]) -> None:
    for text in stays_up:
        day = daylight(lon, lat, dt.date.fromisoformat(f"2024-{text}"), "Europe/Oslo")
        assert (day.kind, day.sunrise, day.sunset) == ("no_sunset", None, None)
    for text in stays_down:
        assert daylight(lon, lat, dt.date.fromisoformat(f"2024-{text}"), "Europe/Oslo").kind == "no_sunrise"
    for text in ("04-05", "09-15"):
        assert daylight(lon, lat, dt.date.fromisoformat(f"2024-{text}"), "Europe/Oslo").kind == "normal"


@pytest.mark.parametrize(
    ("lon", "lat", "name"),
    [(178.4, -18.1, "Pacific/Fiji"), (-157.4, 1.9, "Pacific/Kiritimati"), (-105.2, 39.7, "America/Denver")],
)
def test_law_the_sun_is_up_at_noon_of_the_clock_whatever_the_zone(lon: float, lat: float, name: str) -> None:
    for month in range(1, 13):
        date = dt.date(2026, month, 15)
        day = daylight(lon, lat, date, name)
        assert day.sunrise is not None
        assert day.sunset is not None
        assert day.sunrise.date() == day.sunset.date() == date
        assert day.sunrise < dt.datetime.combine(date, dt.time(12), zone(name)) < day.sunset


def test_law_summer_time_moves_the_clock_not_the_sun() -> None:
    """Denver went to summer time on 8 March 2026: offset −7 h before, −6 h after (tz database, S)."""
    before, after = (daylight(-105.2, 39.7, dt.date(2026, 3, d), "America/Denver") for d in (7, 9))
    assert (before.utc_offset_text, after.utc_offset_text) == ("UTC−07:00", "UTC−06:00")
    assert before.sunrise is not None
    assert after.sunrise is not None
    gap = after.sunrise.astimezone(dt.UTC) - before.sunrise.astimezone(dt.UTC)
    assert abs(gap - dt.timedelta(days=2)) < dt.timedelta(minutes=5)


def test_law_north_and_south_change_places() -> None:
    """The poles: half a year of each."""
    assert daylight(0.0, 90.0, dt.date(2026, 6, 21), "UTC").kind == "no_sunset"
    assert daylight(0.0, -90.0, dt.date(2026, 6, 21), "UTC").kind == "no_sunrise"


def test_refuses_unknown_zone_and_place() -> None:
    for name in ("Denver time", "", "../etc"):
        with pytest.raises(BadValue, match="time zone"):
            daylight(0.0, 50.0, dt.date(2026, 1, 1), name)
    with pytest.raises(BadValue, match=r"Latitude .*90°; it is 95°"):
        daylight(0.0, 95.0, dt.date(2026, 1, 1), "UTC")


@pytest.mark.parametrize(
    ("lon", "lat", "timezone", "fits"),
    [
        # Real pairs at the ends of what clocks do (time zone database, S): Nome, Kashgar on Beijing time, Galicia in
        # summer, the Line Islands at UTC+14. And three slips.
        (-165.4, 64.5, "America/Anchorage", True),
        (75.9, 39.5, "Asia/Shanghai", True),
        (-8.5, 42.9, "Europe/Madrid", True),
        (-157.4, 1.9, "Pacific/Kiritimati", True),
        (-105.2, 39.7, "Australia/Sydney", False),
        (-105.2, 39.7, "UTC", False),
        (105.2, 39.7, "America/Denver", False),
    ],
)
def test_published_clocks_fit_their_places(lon: float, lat: float, timezone: str, fits: bool) -> None:
    assert daylight(lon, lat, dt.date(2026, 7, 1), timezone).zone_fits is fits
