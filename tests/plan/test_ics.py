"""The calendar file, read back by the library and held against RFC 5545."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import pytest
from icalendar import Calendar

from sitemap.errors import BadFile
from sitemap.plan.exports import export_bytes
from sitemap.plan.ics import STEPS
from tests.plan.builders import assessed, one_kiln, sample


def read(content: bytes) -> list:
    return Calendar.from_ical(content).walk("VEVENT")


def test_agrees_with_the_clock_read_back_by_the_library():
    a = sample()
    events = read(export_bytes(a, ".ics"))
    lit = [decision.spot for decision in a.decisions if decision.may_be_lit]
    clocks = [clock for spot in lit for clock in a.clock_of(spot)]
    assert clocks
    starts = {event.decoded("dtstart") for event in events}
    for clock in clocks:
        for moment in [getattr(clock, step) for step in STEPS] + [c.when for c in clocks[-1].checks]:
            assert moment.astimezone(dt.UTC).replace(second=0, microsecond=0) in starts
    assert a.calendar is not None
    planned = [day for day in a.calendar.laid.days if day.date != a.on]
    burned = {day.date for day in planned if any(key in lit for key, _ in day.batches)}
    looked = {day.date for day in planned if any(key in lit for key in day.check)}
    assert burned | looked <= starts  # whole days
    of_the_day = len(clocks) * len(STEPS) + len(lit) * len(clocks[-1].checks)
    assert len(events) == of_the_day + len(burned) + len(looked) + 1
    assert a.source.section("permit").date("to") in starts  # the whole day


def test_law_nothing_of_a_kiln_that_may_not_be_lit():
    a = sample()
    said = " ".join(str(event["summary"]) for event in read(export_bytes(a, ".ics")))
    for decision in a.decisions:
        assert (decision.name in said) == decision.may_be_lit
    assert not all(decision.may_be_lit for decision in a.decisions)


def test_published_lines_and_properties_of_rfc_5545():
    """RFC 5545: lines end in CRLF and hold 75 octets at most (3.1); UID and DTSTAMP stand in each event (3.6.1); the
    calendar has PRODID and VERSION 2.0 (3.6). From memory."""
    content = export_bytes(sample("birch_shore"), ".ics")
    assert content.count(b"\n") == content.count(b"\r\n")
    assert all(len(line) <= 75 for line in content.split(b"\r\n"))
    calendar = Calendar.from_ical(content)
    assert calendar["version"] == "2.0"
    assert calendar["prodid"]
    events = read(content)
    assert all("uid" in event and "dtstamp" in event for event in events)
    assert len({event["uid"] for event in events}) == len(events)
    assert content == export_bytes(sample("birch_shore"), ".ics")


def test_law_the_last_day_of_the_permit_is_told_without_any_kiln_to_light():
    a = assessed(one_kiln(permit={"to": "2026-06-30"}, language="es"))
    (event,) = read(export_bytes(a, ".ics"))
    assert event.decoded("dtstart") == dt.date(2026, 6, 30)
    assert event["summary"] == "Último día del permiso de quema"


def test_refuses_a_calendar_of_nothing(tmp_path: Path):
    with pytest.raises(BadFile, match="nothing for a calendar"):
        export_bytes(assessed(one_kiln()), ".ics")
