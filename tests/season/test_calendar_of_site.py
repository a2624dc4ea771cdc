"""The calendar of a whole site, the safe site of the table of dangers: invented, both kilns may be lit."""

from __future__ import annotations

import datetime as dt

import pytest

from sitemap.season.calendar_of_site import Calendar
from sitemap.telling import sentence
from tests.safety.dangerous.safe_site import SafeSite


def calendar(site: SafeSite) -> Calendar:
    found = site.assessed().calendar
    assert found is not None
    return found


def laid(site: SafeSite) -> tuple[int, dt.date]:
    """Batches left, and the last burn day."""
    found = calendar(site).laid
    return sum(found.left.values()), found.last_burn_day or dt.date.max


def many() -> SafeSite:
    """The safe site with heaps so large that they take weeks."""
    return SafeSite().put("p1", dry_t_weighed=12.0).put("p2", dry_t_weighed=12.0)


def test_law_the_last_burn_day_stands_against_the_last_day_of_the_permit() -> None:
    found = calendar(many())
    assert found.permit_ends == dt.date(2026, 6, 15)
    assert found.last_burn_day is not None
    assert found.last_burn_day <= found.permit_ends
    assert "permit ends on Mon 15 Jun 2026" in sentence(found.told)
    short = calendar(many().say("permit", to="2026-05-22"))
    assert short.word == "does not fit"
    assert "left when the permit ends on Fri 22 May 2026" in sentence(short.told)


def closed(site: SafeSite, first: str, last: str) -> SafeSite:
    site.member["closed"] = [{"from": first, "to": last, "why": "ban"}]
    return site


@pytest.mark.parametrize(
    "harder",
    [
        lambda s: s.say("season", days_per_week=2),
        lambda s: s.say("season", day_starts="11:00", day_ends="17:30"),
        lambda s: s.say("crew", adults=5),
        lambda s: s.say("crew", feeders=1),
        lambda s: s.put("p1", dry_t_weighed=20.0),
        lambda s: s.put("p1", readings=[{"moisture_pct": 60, "basis": "dry", "date": "2026-05-15"}]),
        lambda s: s.say("season", date="2026-05-25"),
        lambda s: closed(s, "2026-05-21", "2026-05-31"),
    ],
    ids=["fewer days", "shorter days", "fewer people", "fewer feeders", "more slash", "wetter", "later", "a ban"],
)
def test_law_nothing_harder_ends_earlier_or_leaves_less(harder) -> None:
    left, last = laid(many())
    left_then, last_then = laid(harder(many()))
    assert left_then >= left
    assert last_then >= last


def test_law_a_shorter_day_never_holds_more() -> None:
    """The same work, begun at midsummer and in midwinter on one plane: fewer hours of light, never more in a day."""
    most = {}
    for month in (6, 12):
        site = many().say("season", date=f"2026-{month:02d}-21").say("permit", **{"from": None, "to": None})
        most[month] = max(sum(dict(day.batches).values()) for day in calendar(site).laid.burn_days)
    assert most[12] <= most[6]


def test_law_too_few_hands_leave_a_kiln_waiting() -> None:
    both, few = calendar(many()).laid.burn_days[0], calendar(many().say("crew", adults=5)).laid.burn_days[0]
    assert len(both.batches) == 2
    assert len(few.batches) == 1


def test_law_without_a_date_or_an_end_nothing_is_promised() -> None:
    assert SafeSite().say("season", date=None).assessed().calendar is None
    assert SafeSite().say("permit", to="2026-05-01").assessed().calendar is None
    open_end = calendar(many().say("permit", to=None))
    assert open_end.word == "not known"
    assert calendar(many().say("permit", to=None, none_needed=True)).word == "fits the dates"


def test_refuses_working_days_it_cannot_read() -> None:
    found = calendar(many().say("season", work_days="someday"))
    assert "cannot be read" in found.notes[0].told()
    assert calendar(many().say("season", work_days="Wed")).laid.burn_days[1].date == dt.date(2026, 5, 27)


def test_refuses_a_permit_that_ends_before_it_begins_in_a_sentence() -> None:
    made = SafeSite().say("permit", **{"from": "2026-06-15", "to": "2026-05-01"}).assessed()
    assert made.calendar is None
    said = [note.told("metric") for note in made.unknowns]
    assert any("permit ends on Fri 1 May 2026, before it begins on Mon 15 Jun 2026" in each for each in said)
    assert not any(decision.may_be_lit for decision in made.decisions)
