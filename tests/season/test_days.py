"""The weather of single days in the drying: by hand, by the moisture equation written out, and the laws. Invented."""

from __future__ import annotations

import datetime as dt

import pytest

from sitemap.season.climate import climate_of
from sitemap.season.days import record_of
from sitemap.season.hours import WeatherHour
from sitemap.telling import sentence
from tests.safety.dangerous.safe_site import SafeSite
from tests.season.test_drying_of_site import DRY_AIR, day, of, site

FIRST = dt.date(2026, 4, 15)  # the day of the readings, from which the course of the safe site runs


def emc(t: float, humidity: float) -> float:
    """Wood Handbook 2021, eq. 4-5 (S), written out a second time; share of the dry weight."""
    h, w = humidity / 100, 349 + 1.29 * t + 0.0135 * t * t
    k = 0.805 + 0.000736 * t - 0.00000273 * t * t
    one, two = 6.27 - 0.00938 * t - 0.000303 * t * t, 1.91 + 0.0407 * t - 0.000293 * t * t
    top, bottom = one * k * h + 2 * one * two * (k * h) ** 2, 1 + one * k * h + one * two * (k * h) ** 2
    return 18 / w * (k * h / (1 - k * h) + top / bottom)


def hour(number: int, warm: float | None, humid: float | None, rain: float | None, zone: dt.tzinfo = dt.UTC):
    return WeatherHour(dt.datetime(2026, 6, 1, tzinfo=zone) + dt.timedelta(hours=number), None, None, humid, warm, rain)


def days(*rows: tuple[float, float | None], first: dt.date = FIRST) -> list[dict[str, object]]:
    """Days at 18 °C with humidity and rain."""
    return [
        {"date": (first + dt.timedelta(days=n)).isoformat(), "temperature_c": 18, "humidity_pct": humid}
        | ({} if rain is None else {"rain_mm": rain})
        for n, (humid, rain) in enumerate(rows)
    ]


def recorded(rows: list[dict[str, object]], months: bool = True) -> SafeSite:
    made = site(60.0)
    made.member["weather_days"] = rows
    if not months:
        made.member["climate"] = []
    return made


def test_agrees_a_day_of_hours_tends_to_the_mean_of_its_hours_not_to_that_of_their_mean() -> None:
    """Half a day at 40 %, half at 90 %: the mean of both equilibria lies above that of 65 %."""
    hours = [hour(n, 15.0, 40.0 if n < 12 else 90.0, 0.1) for n in range(24)]
    (row,) = record_of(hours, "UTC").rows
    assert row["tends_pct"] == pytest.approx(50 * (emc(15, 40) + emc(15, 90)), abs=0.01)
    assert row["tends_pct"] > 100 * emc(15, 65) + 0.5
    assert row["rain_mm"] == pytest.approx(2.4)


def test_law_hours_fall_on_the_days_of_the_site_and_days_keep_their_dates() -> None:
    hours = [hour(n, 15.0, 50.0, None) for n in range(48)]
    found = record_of(hours, "Pacific/Auckland")  # twelve hours ahead: half a day, a whole one, half a day
    assert [row["date"] for row in found.rows] == ["2026-06-02"]
    daily = [hour(24 * n, 15.0, 50.0, 0.0) for n in range(3)]
    assert [row["date"] for row in record_of(daily, "America/Denver").rows] == [
        "2026-06-01",
        "2026-06-02",
        "2026-06-03",
    ]


def test_law_gaps_are_gaps_and_values_no_air_has_are_left_out_and_counted() -> None:
    hours = [hour(n, 15.0, 50.0, 0.0) for n in range(96) if not 24 <= n < 40]  # a day of eight hours
    found = record_of(hours, "UTC")
    assert [row["date"][-2:] for row in found.rows] == ["01", "03", "04"]
    assert found.gaps == 1
    broken = record_of([hour(24 * n, -999.0 if n == 1 else 15.0, 50.0, 0.0) for n in range(3)], "UTC")
    assert (broken.left_out, broken.gaps, len(broken.rows)) == (1, 1, 2)
    assert record_of([], "UTC").rows == ()


def test_agrees_with_the_course_by_hand_through_days_as_they_were() -> None:
    """Ten days of 18 °C at 30 and 80 % by turns with rain on the wet ones, then the months: each day takes the way by
    exp(−24/lag) to 0.75 of its equilibrium and a quarter of 35 % where it rained (6 h of 24), the table's judgement."""
    made = recorded(days(*[(30.0, 0.0), (80.0, 12.0)] * 5))
    climate = climate_of(made.site())
    assert climate is not None
    aims = [climate.tends(FIRST + dt.timedelta(days=n), False) for n in range(11)]
    dry, wet = emc(18, 30), 0.75 * emc(18, 80) + 0.25 * 0.35
    assert aims[:10] == pytest.approx([dry, wet] * 5, rel=1e-6)
    share = 3 / 30.4
    assert aims[10] == pytest.approx((1 - share / 4) * emc(18, 45) + share / 4 * 0.35, rel=1e-6)
    assert climate.tends(FIRST + dt.timedelta(days=1), True) == pytest.approx(emc(18, 80), rel=1e-6)  # under a cover


def test_law_it_is_said_which_days_were_recorded_and_which_go_by_the_months() -> None:
    rows = days(*[(40.0, 0.0)] * 20)
    found = of(recorded(rows[:7] + rows[9:]))
    assert (found.recorded[0], found.recorded[-1], len(found.recorded)) == (FIRST, FIRST + dt.timedelta(days=19), 18)
    from sitemap.season.climate import told_of

    assert "18 days from" in sentence(told_of(found.recorded))
    assert "2 between them are lacking" in sentence(told_of(found.recorded))
    assert sentence(told_of(of(site()).recorded)) == "The weather is that of the months."


def test_law_the_range_is_narrower_through_days_as_they_were_and_no_wider_after() -> None:
    """Days just as the months have them: the likely course is the same, and less may stray from it."""
    as_months = [(45.0, 0.0)] * 30
    dry_months = [{**month, "rain_days": 0} for month in DRY_AIR]
    plain, known = site(), recorded(days(*as_months))
    for made in (plain, known):
        made.member["climate"] = dry_months
    by_months, by_days = of(plain).moisture, of(known).moisture
    wide, narrow = (curve.high - curve.low for curve in (by_months, by_days))
    assert by_days.before == pytest.approx(by_months.before, rel=0.02)  # points of the grid
    assert narrow[20] < 0.97 * wide[20]
    assert (narrow <= 1.02 * wide).all()


@pytest.mark.parametrize("months", [True, False])
def test_law_wetter_days_are_never_ready_earlier(months: bool) -> None:
    fine = recorded(days(*[(40.0, 0.0)] * 60), months)
    ready = day(fine)
    for wetter in (
        [(40.0, 8.0)] * 60,
        [(75.0, 0.0)] * 60,
        [(40.0, None)] * 60,
        [(40.0, 0.0)] * 50 + [(90.0, 20.0)] * 10,
    ):
        assert day(recorded(days(*wetter), months)) >= ready
    assert day(recorded(days(*[(40.0, 8.0)] * 60), months).put("p1", covered=True)) <= ready


def test_law_a_month_not_typed_is_that_of_its_recorded_days_and_a_day_twice_is_the_damper() -> None:
    made = recorded(days(*[(40.0, 0.0)] * 30), months=False)
    climate = climate_of(made.site())
    assert climate is not None
    assert climate.tends(dt.date(2027, 4, 20), False) == pytest.approx(emc(18, 40), rel=1e-6)
    twice = recorded([*days((40.0, 0.0)), *days((70.0, 5.0))])
    both = climate_of(twice.site())
    assert both is not None
    assert both.days[FIRST].rain is True
    told = [sentence(note.text) for note in twice.assessed().unknowns]
    assert any("stands 2 times in the weather of days" in each for each in told)
