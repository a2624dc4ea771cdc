"""The clock of the day: small days by hand, and what must hold for any."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sitemap.errors import BadValue
from sitemap.kiln.clock import Turn, burning_hours, day_plan, permit_hour, window, window_hours
from sitemap.kiln.reading import hour_minute, out_by, working_hours
from sitemap.kiln.values import Clock, DayTimes
from sitemap.site.model import Entry, Site
from sitemap.telling import tell

HERE = dt.timezone(dt.timedelta(hours=-8))
DATE = dt.date(2026, 10, 25)


def at(text: str) -> dt.datetime:
    return dt.datetime.combine(DATE, hour_minute(text), HERE)


AUTUMN = DayTimes("normal", at("7:30"), at("18:00"))  # leaves 08:30–17:00


def shown(clocks: tuple[Clock, ...]) -> list[str]:
    return [f"{clock.light_by:%H:%M}" for clock in clocks]


def test_published_limits_of_the_day() -> None:
    """Texas guidance (P): begin an hour after sunrise, done an hour before sunset."""
    assert window(AUTUMN) == (at("8:30"), at("17:00"))
    assert window_hours(AUTUMN) == pytest.approx(8.5)
    assert burning_hours(AUTUMN) == pytest.approx(7.5)  # an hour from water to no steam


def test_published_clock_by_hand() -> None:
    """A burn of 6 h, thick pieces soak 125 min, the last thin ones 25 min; steam gone by 17:00 (by hand)."""
    (clock,) = day_plan([Turn("K1", 1, 6.0, 125, 25)], AUTUMN, 1)["K1"]
    assert clock.light_by == at("10:00")
    assert clock.last_thick == at("13:55")
    assert clock.stop_feeding == at("15:35")
    assert clock.water_on == at("16:00")
    assert clock.no_steam_by == clock.call_by == at("17:00")
    assert [check.what for check in clock.checks] == ["first", "next_morning", "day_3", "day_7", "day_14"]
    assert clock.checks[0].when == at("18:00")  # two hours after the water: common practice, no source
    assert [(check.when.date() - DATE).days for check in clock.checks[1:]] == [1, 3, 7, 14]


def test_published_two_crews_rake_two_kilns_at_once() -> None:
    """By hand: 3 h burns, 08:30–17:00. One crew: 13:00 and 12:00, again 09:00; two crews: 13:00 twice, 09:00 twice."""
    turns = [Turn("A", 1, 3.0, 60, 20), Turn("B", 1, 3.0, 60, 20)]
    one = day_plan(turns, AUTUMN, 1)
    assert (shown(one["A"]), shown(one["B"])) == (["09:00", "13:00"], ["12:00"])
    two = day_plan(turns, AUTUMN, 2)
    assert (shown(two["A"]), shown(two["B"])) == (["09:00", "13:00"], ["09:00", "13:00"])


def test_law_the_slowest_kiln_is_given_the_last_hour() -> None:
    plan = day_plan([Turn("quick", 1, 2.0, 60, 20), Turn("slow", 1, 7.5, 60, 20)], AUTUMN, 1)
    assert shown(plan["slow"]) == ["08:30"]
    assert plan["quick"][-1].no_steam_by == at("16:00")


def test_law_crew_hours_narrow_the_day() -> None:
    """Work ends 16:00: nobody leaves before the check two hours after the water, so no steam by 15:00."""
    day = DayTimes("normal", AUTUMN.sunrise, AUTUMN.sunset, at("9:00"), at("16:00"))
    assert window(day) == (at("9:00"), at("15:00"))
    (clock,) = day_plan([Turn("K1", 1, 4.0, 60, 20)], day, 1)["K1"]
    assert clock.checks[0].when == at("16:00")


def test_law_no_batch_where_the_day_is_too_short() -> None:
    assert day_plan([Turn("K1", 1, 7.51, 60, 20)], AUTUMN, 1) == {"K1": ()}
    assert len(day_plan([Turn("K1", 1, 7.5, 60, 20)], AUTUMN, 1)["K1"]) == 1
    winter = DayTimes("normal", at("11:00"), at("12:30"))
    assert window(winter) is None
    assert burning_hours(winter) == 0
    assert day_plan([Turn("K1", 1, 1.0, 60, 20)], winter, 1) == {"K1": ()}


def test_law_polar_days() -> None:
    """No sunrise: nothing. No sunset: the crew's hours alone, and nothing without them."""
    hours = {"work_starts": at("8:00"), "work_ends": at("20:00")}
    assert window(DayTimes("no_sunrise", **hours)) is None
    assert window(DayTimes("no_sunset", **hours)) == (at("8:00"), at("19:00"))
    assert window(DayTimes("no_sunset")) is None


def test_law_hours_over_midnight_end_on_the_next_day() -> None:
    """Where the sun stays up a crew may work 20:00 to 06:00: raked by 05:00, 8 h of burning before 04:00."""
    day = DayTimes("no_sunset", None, None, at("20:00"), at("6:00"))
    begin, end = window(day) or (None, None)
    assert (begin, end) == (at("20:00"), at("5:00") + dt.timedelta(days=1))
    (clock,) = day_plan([Turn("K1", 1, 8.0, 60, 20)], day, 1)["K1"]
    assert (clock.light_by, clock.water_on) == (at("20:00"), at("4:00") + dt.timedelta(days=1))
    dusk = DayTimes("normal", AUTUMN.sunrise, AUTUMN.sunset, at("9:00"), at("1:00"))
    assert (window(dusk) or (None, None))[1] == AUTUMN.sunset - dt.timedelta(hours=1)


def test_law_a_clock_change_shifts_no_duration() -> None:
    """Summer time ends in Denver on 1 November 2026, 02:00 (tz database, S): a night burn keeps its real hours."""
    tz = ZoneInfo("America/Denver")
    start = dt.datetime(2026, 10, 31, 20, tzinfo=tz)
    end = dt.datetime(2026, 11, 1, 8, tzinfo=tz)
    day = DayTimes("no_sunset", None, None, start, end)
    assert window_hours(day) == pytest.approx(12)  # 20:00–07:00 by the clock and the hour that comes twice
    (clock,) = day_plan([Turn("K1", 1, 10.0, 60, 20)], day, 1)["K1"]
    assert clock.water_on.astimezone(dt.UTC) - clock.light_by.astimezone(dt.UTC) == dt.timedelta(hours=10)


@given(
    st.lists(st.tuples(st.integers(1, 3), st.floats(0.5, 9), st.floats(0, 200)), min_size=1, max_size=5),
    st.integers(1, 3),
)
def test_law_order_daylight_and_crews_hold_for_any_day(kilns: list[tuple[int, float, float]], crews: int) -> None:
    turns = [
        Turn(str(n), units, hours, min(soak, hours * 60), min(20, hours * 60))
        for n, (units, hours, soak) in enumerate(kilns)
    ]
    plan = day_plan(turns, AUTUMN, crews)
    second = dt.timedelta(seconds=2)
    waters = sorted(clock.water_on for clocks in plan.values() for clock in clocks)
    for clocks in plan.values():
        for clock in clocks:
            assert at("8:30") <= clock.light_by + second
            assert clock.light_by <= clock.last_thick <= clock.stop_feeding <= clock.water_on < clock.no_steam_by
            assert clock.no_steam_by <= at("17:00") + second
    # no more kilns are raked within any hour than there are crews
    for n, first in enumerate(waters):
        assert sum(water < first + dt.timedelta(hours=1) - second for water in waters[n:]) <= crews


@given(st.floats(0.5, 7.4), st.integers(1, 4))
def test_law_more_crews_never_mean_fewer_batches(hours: float, units: int) -> None:
    counts = [len(day_plan([Turn("K", units, hours, 60, 20)], AUTUMN, crews)["K"]) for crews in (1, 2, 3, 4)]
    assert counts == sorted(counts)


def test_refuses_bad_times_and_numbers() -> None:
    for text in ("noon", "25:00", "7.30", ""):
        with pytest.raises(BadValue, match="07:30"):
            hour_minute(text)
    with pytest.raises(BadValue, match="Crews"):
        day_plan([Turn("K1", 1, 3.0, 60, 20)], AUTUMN, 0)
    with pytest.raises(BadValue, match=r"Hours of a batch .*0 h"):
        day_plan([Turn("K1", 1, 0.0, 60, 20)], AUTUMN, 1)


def test_law_hours_that_cannot_be_read_are_said() -> None:
    start, end, unread = working_hours(dt.date(2026, 9, 27), dt.UTC, "7:30", "25:00")
    assert (start, end) == (dt.datetime(2026, 9, 27, 7, 30, tzinfo=dt.UTC), None)
    assert [tell(why) for why in unread] == ["a time of day is written like 07:30; it is '25:00'. Correct it."]
    assert working_hours(dt.date(2026, 9, 27), dt.UTC, None, "") == (None, None, ())


def _permit(**said: object) -> Entry:
    return Site().with_member("permit", said).section("permit")


def test_law_by_the_hour_of_the_permit_no_kiln_steams() -> None:
    """Common practice, no source: "out by 14:00" is raked and no steam by then, whatever light is left."""
    hour = at("14:00")
    turns = [Turn("K1", 2, 3.0, 60, 20)]
    free, bound = (
        [clock.no_steam_by for clock in day_plan(turns, day, 1)["K1"]] for day in (AUTUMN, replace(AUTUMN, out_by=hour))
    )
    assert max(bound) == hour < max(free)
    assert day_plan(turns, replace(AUTUMN, out_by=AUTUMN.sunrise), 1) == {"K1": ()}


@pytest.mark.parametrize(
    ("day", "told"),
    [
        (replace(AUTUMN, out_by=at("14:00")), "14:00"),
        (replace(AUTUMN, out_by=AUTUMN.sunset), None),  # dusk, an hour before, ends the day
        (replace(AUTUMN, out_by=at("14:00"), work_ends=at("14:30")), None),  # so do the crew's hours
        (replace(AUTUMN, out_by=at("14:00"), sunset=None), "14:00"),
        (AUTUMN, None),
    ],
)
def test_law_the_hour_of_the_permit_is_named_only_where_it_ends_the_day(day: DayTimes, told: str | None) -> None:
    """A batch that does not fit before dusk must not be laid to a permit that ends at midnight."""
    found = permit_hour(day)
    assert (found and f"{found:%H:%M}") == told


@pytest.mark.parametrize(
    ("said", "until"),
    [
        ({"to_time": "18:00", "to": "2026-11-30"}, "2026-11-28 18:00"),  # every day, where nobody says otherwise
        ({"to_time": "18:00", "to": "2026-11-30", "to_time_last_day": True}, "2026-11-30 18:00"),
        ({"to_time": "18:00", "to_time_last_day": True}, "2026-11-28 18:00"),  # its last day is not known
        ({"to_time": "at six", "to": "2026-11-30"}, None),
        ({"to": "2026-11-30"}, None),
    ],
)
def test_law_the_hour_of_the_permit_ends_every_day_unless_it_is_said_to_be_for_its_last(
    said: dict[str, object], until: str | None
) -> None:
    found = out_by(_permit(**said), dt.date(2026, 11, 28))
    assert (found and f"{found:%Y-%m-%d %H:%M}") == until
