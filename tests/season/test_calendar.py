"""The calendar: against brute force on small cases, against the standard library's calendar, and its laws."""

from __future__ import annotations

import calendar as standard
import datetime as dt
from collections.abc import Mapping
from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sitemap.errors import BadValue
from sitemap.season.calendar import HORIZON_DAYS, CalendarDay, Job, Laid, Open, lay
from sitemap.season.weeks import weeks_of
from sitemap.season.workdays import WEEKDAYS, weekdays

FRIDAY = dt.date(2026, 12, 4)
ALL_WEEK = frozenset(range(7))


def days(count: int) -> dt.timedelta:
    return dt.timedelta(days=count)


def laid(jobs: list[Job], room: Mapping[str, int], when: Open) -> Laid:
    return lay(jobs, when, lambda _, keys: {key: room[key] for key in keys})


def brute_last(jobs: list[Job], room: Mapping[str, int], when: Open, most: int) -> int | None:
    """The fewest days after the first on whose last all is burned, by trying every way to share the days out."""
    open_days = [n for n in range(most) if not when.shut(when.first + days(n))[0]]
    for end in range(most):
        mine = [n for n in open_days if n <= end]
        choices = [range(room[job.key] + 1) for job in jobs for n in mine]
        for tried in product(*choices):
            rows = [tried[place * len(mine) : (place + 1) * len(mine)] for place in range(len(jobs))]
            done = all(sum(row) >= job.batches for row, job in zip(rows, jobs, strict=True))
            dry = all(
                not burned or job.ready is None or job.ready <= when.first + days(n)
                for row, job in zip(rows, jobs, strict=True)
                for n, burned in zip(mine, row, strict=True)
            )
            if done and dry:
                return end
    return None


@given(
    st.lists(st.tuples(st.integers(0, 4), st.integers(1, 2), st.integers(0, 2)), min_size=1, max_size=2),
    st.sets(st.integers(0, 6), min_size=4, max_size=7),
)
def test_agrees_with_brute_force_on_small_cases(rows, weekdays_worked) -> None:
    jobs = [Job(f"K{n}", f"K{n}", count, FRIDAY + days(wait)) for n, (count, _, wait) in enumerate(rows)]
    room = {f"K{n}": each for n, (_, each, _) in enumerate(rows)}
    when = Open(FRIDAY, FRIDAY + days(4), frozenset(weekdays_worked))
    found, best = laid(jobs, room, when), brute_last(jobs, room, when, 5)
    last = found.last_burn_day
    if not any(job.batches for job in jobs):
        assert last is None
        assert best == 0
    elif best is None:
        assert not found.all_burned
    else:
        assert found.all_burned
        assert last == FRIDAY + days(best)


JOBS = st.lists(st.integers(0, 12), min_size=1, max_size=3)


@given(JOBS, st.integers(1, 3), st.integers(0, 30))
def test_law_every_batch_is_burned_once_or_left(counts, each, last) -> None:
    jobs = [Job(f"K{n}", f"K{n}", count) for n, count in enumerate(counts)]
    found = laid(jobs, {job.key: each for job in jobs}, Open(FRIDAY, FRIDAY + days(last), frozenset({0, 2, 4})))
    for job in jobs:
        burned = sum(dict(day.batches).get(job.key, 0) for day in found.days)
        assert burned + found.left[job.key] == job.batches
    assert all(not day.shut and FRIDAY <= day.date <= FRIDAY + days(last) for day in found.burn_days)


@given(JOBS, st.integers(1, 3), st.integers(0, 3), st.integers(0, 5))
def test_law_wetter_or_darker_or_more_closed_is_never_earlier(counts, each, wait, shut) -> None:
    """A later ready day, fewer batches a day, or a closed time: never an earlier end, never less left."""

    def run(ready: int, room: int, closed: int) -> Laid:
        jobs = [Job(f"K{n}", f"K{n}", count, FRIDAY + days(ready)) for n, count in enumerate(counts)]
        times = ((FRIDAY, FRIDAY + days(closed - 1), "ban"),) if closed else ()
        return laid(jobs, {job.key: room for job in jobs}, Open(FRIDAY, FRIDAY + days(9), ALL_WEEK, times))

    base = run(0, each, 0)
    for harder in (run(wait, each, 0), run(0, max(each - 1, 0), 0), run(0, each, shut)):
        assert sum(harder.left.values()) >= sum(base.left.values())
        if harder.all_burned and harder.last_burn_day:
            assert base.last_burn_day is not None
            assert harder.last_burn_day >= base.last_burn_day


def test_law_a_kiln_that_is_moved_burns_at_one_place_a_day() -> None:
    found = laid([Job("K1", "ring", 1), Job("K2", "ring", 1)], {"K1": 2, "K2": 2}, Open(FRIDAY, None))
    assert [day.batches for day in found.burn_days] == [(("K1", 1),), (("K2", 1),)]


def test_law_the_morning_after_a_burn_is_a_check_also_on_a_day_off() -> None:
    found = laid([Job("K1", "K1", 1)], {"K1": 1}, Open(FRIDAY, FRIDAY, frozenset({4})))
    assert [(day.date, day.check, day.shut) for day in found.days[1:]] == [(FRIDAY + days(1), ("K1",), "no work")]


def test_law_nothing_is_laid_beyond_the_horizon() -> None:
    found = laid([Job("K1", "K1", 10_000)], {"K1": 1}, Open(FRIDAY, None))
    assert found.left["K1"] == 10_000 - HORIZON_DAYS - 1


def test_refuses_a_window_that_ends_before_it_begins() -> None:
    with pytest.raises(BadValue, match="lies before the first"):
        laid([Job("K1", "K1", 1)], {"K1": 1}, Open(FRIDAY, FRIDAY - days(1)))


@pytest.mark.parametrize(
    ("typed", "expected"),
    [
        ("Mon–Fri", {0, 1, 2, 3, 4}),
        ("sat, sun", {5, 6}),
        ("Fri - Mon", {4, 5, 6, 0}),
        ("Tuesday and Thursday", {1, 3}),
        ("lun a mié; sábado", {0, 1, 2, 5}),
    ],
)
def test_agrees_with_the_standard_calendar_on_days(typed, expected) -> None:
    assert weekdays(typed, None, FRIDAY)[0] == expected
    assert list(WEEKDAYS) == list(standard.day_name)


def test_law_the_burn_date_is_worked_on_where_no_day_is_named() -> None:
    for per_week in (None, *range(1, 8)):
        for step in range(7):
            found, _ = weekdays(None, per_week, FRIDAY + days(step))
            assert (FRIDAY + days(step)).weekday() in found
            assert len(found) == (per_week or 5)


def test_refuses_a_word_that_is_no_day() -> None:
    with pytest.raises(BadValue, match="cannot be read"):
        weekdays("Mon, someday", None, FRIDAY)


@pytest.mark.parametrize(("year", "month"), [(2026, 12), (2027, 2), (2026, 2)])
def test_agrees_with_the_standard_calendar_on_rows_of_weeks(year: int, month: int) -> None:
    """`calendar.Calendar` of the standard library, Monday first; what it has of other months is empty here."""
    rows = [
        [day if day.month == month else None for day in week]
        for week in standard.Calendar().monthdatescalendar(year, month)
    ]
    days = [CalendarDay(day, (), ()) for week in rows for day in week if day is not None]
    assert [[each and each.date for each in week] for week in weeks_of(days)] == rows


@pytest.mark.parametrize(
    ("day", "lawful"), [(FRIDAY, True), (FRIDAY + days(1), False), (FRIDAY + days(3), True), (FRIDAY + days(4), False)]
)
def test_law_a_fire_may_burn_on_into_a_day_of_rest_but_not_into_a_ban_nor_beyond_the_permit(day, lawful) -> None:
    ban = ((FRIDAY + days(1), FRIDAY + days(2), "ban"),)
    assert Open(FRIDAY, FRIDAY + days(3), frozenset({4}), ban).lawful(day) is lawful
