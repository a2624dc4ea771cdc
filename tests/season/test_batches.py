"""The lines of a log as batches: which belong together, what is added up, and times that cannot be."""

from __future__ import annotations

import datetime as dt
from typing import Any

import pytest

from sitemap.season.batches import Batch, batches_of, burned_by, of_no_kiln, to_come
from sitemap.season.calendar import Open
from sitemap.telling import tell
from tests.site.builders import site_of, thing

DAY = dt.date(2026, 5, 19)


def batches(*rows: dict[str, Any]) -> tuple[Batch, ...]:
    said = [{"date": DAY.isoformat(), "kiln": "K1", **row} for row in rows]
    log = [{key: value for key, value in row.items() if value is not None} for row in said]
    return batches_of(site_of(thing("k1", "kiln_spot", name="K1"), site={"log": log}))


def clock(batch: Batch, name: str) -> str:
    moment = batch.time(name)
    return "" if moment is None else f"{(moment.date() - DAY).days} {moment:%H:%M}"


@pytest.mark.parametrize(
    ("times", "told"),
    [
        (
            {"lit": "08:00", "fed_last": "12:00", "water_on": "13:00", "out": "14:00"},
            ["0 08:00", "0 12:00", "0 13:00", "0 14:00"],
        ),
        ({"lit": "08:00", "fed_last": "08:00", "water_on": "08:00"}, ["0 08:00", "0 08:00", "0 08:00", ""]),
        (
            {"lit": "20:00", "fed_last": "23:30", "water_on": "00:30", "out": "01:30"},
            ["0 20:00", "0 23:30", "1 00:30", "1 01:30"],
        ),
        ({"lit": "08:00", "water_on": "07:59"}, ["0 08:00", "", "1 07:59", ""]),
        ({"out": "14:00"}, ["", "", "", "0 14:00"]),
    ],
)
def test_law_an_hour_before_the_last_is_of_the_next_day(times: dict[str, str], told: list[str]) -> None:
    (batch,) = batches(times)
    assert [clock(batch, name) for name in ("lit", "fed_last", "water_on", "out")] == told


@pytest.mark.parametrize(
    ("lit", "water_on", "hours", "wrong"),
    [
        ("06:00", "22:00", 16.0, False),
        ("06:00", "22:01", None, True),
        ("06:00", "06:00", None, False),
        ("06:00", "06:30", 0.5, False),
        ("06:00", None, None, False),
        ("25:00", "08:00", None, True),
    ],
)
def test_law_a_burn_of_more_than_sixteen_hours_is_a_slip_of_the_pen(
    lit: str, water_on: str | None, hours: float | None, wrong: bool
) -> None:
    (batch,) = batches({"lit": lit, **({} if water_on is None else {"water_on": water_on})})
    assert batch.hours == (None if hours is None else pytest.approx(hours))
    assert bool(batch.wrong) == wrong
    assert not wrong or "K1" in tell(batch.wrong[0])


def line(event: str | None, at: str, **more: Any) -> dict[str, Any]:
    return {"phone": f"{event}{at}", "at": at, **({} if event is None else {"event": event}), **more}


def test_law_lines_of_one_lighting_are_one_batch_in_whatever_order_they_came() -> None:
    lines = [
        line("water_on", "13:00", water_l=300),
        line("lit", "08:00", moisture_pct=20, heaps=["P1", "P2"], water_by="hose"),
        line(None, "10:00", buckets=5, moisture_pct=18),
        line("out", "14:00", water_l=200, buckets=1, heaps=["P2", "P3"], heaps_done=["P2"]),
        line("lit", "15:00", buckets=7),
    ]
    first, second = batches(*lines)
    assert [clock(first, name) for name in ("lit", "fed_last", "water_on", "out")] == [
        "0 08:00",
        "",
        "0 13:00",
        "0 14:00",
    ]
    assert (first.figure("water_l"), first.figure("buckets"), first.figure("moisture_pct")) == (500, 6, 18)
    assert (first.figure("fed_kg"), first.word("water_by"), first.word("cause")) == (None, "hose", None)
    assert (first.heaps, first.done) == (("P1", "P2", "P3"), ("P2",))
    assert (clock(second, "lit"), second.figure("buckets")) == ("0 15:00", 7)
    assert (first.place, first.name, first.spot) == ("k1", "K1", "k1")
    assert batches(*reversed(lines)) == (first, second)


def test_law_the_same_lighting_told_twice_is_one_and_one_without_its_hour_another() -> None:
    assert len(batches(line("lit", "08:00"), {**line("lit", "08:00"), "phone": "b"})) == 1
    assert len(batches(line("lit", "08:00"), line("lit", "09:00"))) == 2
    assert len(batches({"phone": "a", "event": "lit"}, {"phone": "b", "event": "lit"})) == 2
    assert len(batches({"lit": "08:00"}, {"lit": "08:00"})) == 2  # rows typed by hand are each one


@pytest.mark.parametrize(
    ("rows", "sure"),
    [
        ([{"text": "hot"}], True),
        ([{"phone": "a", "text": "hot"}], False),
        ([{"phone": "a", "buckets": 1}], True),
        ([{"phone": "a", "at": "08:00"}], False),
        ([{"phone": "a", "event": "lit"}], True),
        ([{"phone": "a", "text": "hot"}, {"event": "out"}], True),
    ],
)
def test_law_words_alone_of_a_phone_are_no_burn(rows: list[dict[str, Any]], sure: bool) -> None:
    assert {batch.sure for batch in batches(*rows)} == {sure}


@pytest.mark.parametrize(
    ("row", "count"),
    [
        ({"kiln": None, "text": "rain"}, 0),
        ({"kiln": None, "phone": "a"}, 0),
        ({"kiln": None}, 1),
        ({"kiln": None, "date": None}, 0),
        ({"kiln": None, "buckets": 3, "text": "rain"}, 1),
        ({}, 1),
    ],
)
def test_law_words_of_the_day_are_no_batch(row: dict[str, Any], count: int) -> None:
    assert len(batches(row)) == count


def test_law_only_days_that_have_come_have_burned() -> None:
    log = [{"date": f"2026-05-{day}", "kiln": "K1"} for day in (18, 19, 20, 20)] + [{"kiln": "K1", "buckets": 1}]
    site = site_of(thing("k1", "kiln_spot", name="K1"), site={"log": log})
    assert [batch.on.day for batch in burned_by(site, DAY) if batch.on] == [18, 19]
    assert len(burned_by(site, None)) == 4
    (note,) = to_come(site, DAY)
    assert note.text.fact("count") == 2
    assert to_come(site, None) == to_come(site, dt.date(2026, 5, 20)) == ()


def test_law_a_kiln_that_is_not_here_is_named_once_with_its_batches() -> None:
    log = [{"date": "2026-05-19", "kiln": name} for name in ("K1", "k1", "Old", " old ", "Box", "")]
    site = site_of(thing("k1", "kiln_spot", name="K1"), site={"log": log}).with_item(
        "kilns", {"id": "b", "name": "Box"}
    )
    assert [(str(note.text.fact("name")), note.text.fact("count")) for note in of_no_kiln(site)] == [
        ("Old", 1),
        ("old", 1),
    ]


@pytest.mark.parametrize(
    ("day", "lawful", "shut"),
    [
        (17, True, ""),
        (18, False, "closed"),
        (19, False, "closed"),
        (20, True, ""),
        (23, True, "no work"),
        (26, False, "closed"),
        (28, True, ""),
        (29, False, ""),
    ],
)
def test_law_a_day_without_burning_is_its_first_its_last_and_all_between(day: int, lawful: bool, shut: str) -> None:
    """18 May 2026 is a Monday; the permit ends on the 28th."""
    closed = tuple((dt.date(2026, 5, first), dt.date(2026, 5, last), "wind") for first, last in ((18, 19), (26, 26)))
    days = Open(dt.date(2026, 5, 1), dt.date(2026, 5, 28), frozenset((0, 1, 2, 3, 4, 6)), closed)
    when = dt.date(2026, 5, day)
    assert (days.lawful(when), days.shut(when)) == (lawful, (shut, "wind" if shut == "closed" else ""))
    assert Open(dt.date(2026, 5, 1), None).lawful(dt.date(2030, 1, 1))
