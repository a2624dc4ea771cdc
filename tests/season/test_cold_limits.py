"""When char counts as cold, to the minute: two looks, two hours after the water and on a later day (C)."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import pytest

from sitemap.season.cold import Look, Since, cold_after
from sitemap.season.cold_of_site import burned_of
from tests.site.builders import site_of, thing

DAY = dt.date(2026, 5, 20)
FIRE = Since(DAY, dt.datetime(2026, 5, 20, 16))
HALF_DATED = Since(DAY)


def look(day: int | None, at: str | None = None, found: str | None = "cold", who: str = "Ann") -> Look:
    on = None if day is None else dt.date(2026, 5, day)
    return Look(on, None if at is None else dt.time.fromisoformat(at), who, found)


@pytest.mark.parametrize(
    ("fire", "looks", "proved"),
    [
        (FIRE, [look(20, "18:00"), look(21, "08:00")], True),
        (FIRE, [look(20, "17:59"), look(21, "08:00")], False),
        (FIRE, [look(20, "18:00"), look(20, "23:00")], False),
        (FIRE, [look(20), look(21, "08:00")], False),
        (FIRE, [look(21), look(22)], True),
        (FIRE, [look(21), look(21)], False),
        (FIRE, [look(21, "08:00"), look(21, "10:00")], True),
        (FIRE, [look(21, "08:00"), look(21, "09:59")], False),
        (FIRE, [look(21, "08:00"), look(21)], False),
        (FIRE, [look(20, "23:00"), look(21, "00:59")], False),
        (FIRE, [look(20, "23:00"), look(21, "01:00")], True),
        (FIRE, [look(20, "23:00"), look(21)], True),
        (FIRE, [look(20, "18:00", who=""), look(21, "08:00")], False),
        (FIRE, [look(20, "18:00"), look(None)], False),
        (HALF_DATED, [look(20, "23:59"), look(21)], False),
        (HALF_DATED, [look(21), look(22)], True),
        (HALF_DATED, [look(21, "08:00"), look(21, "10:00")], True),
        (FIRE, [look(21)], False),
        (FIRE, [], False),
    ],
)
def test_law_two_looks_that_count_prove_it(fire: Since, looks: list[Look], proved: bool) -> None:
    assert cold_after(fire, looks, None).proved == proved
    assert cold_after(fire, looks[::-1], None).proved == proved


@pytest.mark.parametrize(("today", "proved"), [(21, True), (20, False), (22, True)])
def test_law_a_look_still_to_come_has_not_been_made(today: int, proved: bool) -> None:
    looks = [look(20, "18:00"), look(21, "08:00")]
    assert cold_after(FIRE, looks, dt.date(2026, 5, today)).proved == proved


@pytest.mark.parametrize(
    ("warm", "since", "still_proved"),
    [
        (look(21, "12:00", "warm"), dt.datetime(2026, 5, 21, 12), False),
        (look(21, "12:00", None), dt.datetime(2026, 5, 21, 12), False),
        (look(20, "15:59", "warm"), FIRE.moment, True),
        (look(20, "16:00", "warm"), FIRE.moment, True),
        (look(20, "16:01", "warm"), dt.datetime(2026, 5, 20, 16, 1), False),
        (look(19, None, "warm"), FIRE.moment, True),
        (look(20, None, "warm"), None, False),
    ],
)
def test_law_a_warm_place_begins_every_check_anew(warm: Look, since: dt.datetime | None, still_proved: bool) -> None:
    """What was found before the fire says nothing of it; what was found with the water itself begins where it began."""
    after = [look(22, "08:00"), look(23, "08:00")]
    found = cold_after(FIRE, [look(20, "18:00"), warm, *after], None)
    assert (found.since.moment, found.proved) == (since, True)
    assert cold_after(FIRE, [look(20, "18:00"), look(21, "08:00"), warm], None).proved == still_proved


def test_law_a_warm_place_nobody_dated_leaves_nothing_cold() -> None:
    found = cold_after(FIRE, [look(22, "08:00"), look(23, "08:00"), look(None, None, "warm")], None)
    assert (found.proved, found.counted, found.warm) == (False, (), look(None, None, "warm"))


def test_law_looks_are_due_two_hours_after_the_water_and_on_their_days() -> None:
    found = cold_after(FIRE, [], None)
    assert [(due.what, (due.on - DAY).days, due.at) for due in found.dues] == [
        ("first", 0, dt.time(18)),
        ("next_morning", 1, None),
        ("day_3", 3, None),
        ("day_7", 7, None),
        ("day_14", 14, None),
    ]
    assert [due.what for due in found.open(dt.date(2026, 5, 23))] == ["first", "next_morning", "day_3"]
    late = cold_after(replace(FIRE, moment=dt.datetime(2026, 5, 20, 23)), [], None)
    assert (late.dues[0].on, late.dues[0].at) == (dt.date(2026, 5, 21), dt.time(1))
    done = cold_after(FIRE, [look(20, "18:00"), look(21, "08:00")], None)
    assert [due.what for due in done.open(dt.date(2026, 5, 23))] == ["day_3"]


@pytest.mark.parametrize(
    ("day", "today", "before", "there"),
    [
        ("2026-05-20", 20, 21, True),
        ("2026-05-20", 20, 20, False),
        ("2026-05-21", 20, 20, True),
        ("2026-05-19", 20, 20, True),
        (None, 20, 20, True),
        ("2026-05-20", None, 20, False),
        ("2026-05-20", 20, None, True),
    ],
)
def test_law_what_burns_on_the_day_itself_is_left_out_and_nothing_else(
    day: str | None, today: int | None, before: int | None, there: bool
) -> None:
    row = {"kiln": "K1", "buckets": 3, **({} if day is None else {"date": day})}
    site = site_of(thing("k1", "kiln_spot", name="K1"), site={"log": [row]})
    days = (None if each is None else dt.date(2026, 5, each) for each in (today, before))
    assert bool(burned_of(site, *days)) == there
