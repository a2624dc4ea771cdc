"""What would help: each change never makes it worse, and turning is offered where it can still help. Invented sites."""

from __future__ import annotations

import datetime as dt

from sitemap.helps import Help, helps_of
from sitemap.plan.contents import plan_of
from tests.season.test_calendar_of_site import many
from tests.season.test_drying_of_site import site as dried


def by_code(helps: tuple[Help, ...]) -> dict[str, Help]:
    return {each.told.code: each for each in helps}


def test_law_each_help_leaves_no_more_than_before() -> None:
    a = many().say("permit", to="2026-05-27").assessed()
    assert a.calendar is not None
    left = sum(a.calendar.laid.left.values())
    helps = by_code(helps_of(a))
    assert left > 0
    assert all(each.left <= left for each in helps.values())
    assert {"season.help_kiln", "season.help_feeder", "season.help_rakers", "season.help_less"} <= helps.keys()


def test_law_turning_today_burns_earlier_where_the_wood_is_what_is_waited_for() -> None:
    made = dried(90.0)
    a = made.assessed()
    assert a.calendar is not None
    turned = by_code(helps_of(a))["season.help_turn"]
    assert turned.last is not None
    assert turned.last < (a.calendar.last_burn_day or dt.date.max)
    assert "season.help_turn" not in by_code(helps_of(made.put("p1", turned_on="2026-05-01").drop("p2").assessed()))


def test_law_paper_says_what_would_help_where_it_does_not_fit() -> None:
    short = plan_of(many().say("permit", to="2026-05-22").assessed(), ["calendar"]).text
    assert "What would help" in short
    assert "One more kiln" in short
    assert "What would help" not in plan_of(many().assessed(), ["calendar"]).text


def test_agrees_with_the_file_changed_by_hand_also_where_no_batch_fits_the_day() -> None:
    """Hours so short that nothing fits: a kiln and a feeder more are tried all the same, as if typed into the file."""
    short = {"day_starts": "09:00", "day_ends": "17:00"}
    made = many().say("permit", to="2026-05-29")
    made.member["season"] |= short
    a = made.assessed()
    assert a.calendar is not None
    assert a.calendar.last_burn_day is None
    helps = by_code(helps_of(a))
    adults, feeders = a.source.section("crew").integer("adults") or 0, a.kilns[0].feeders
    made.member["equipment"]["kilns"][0]["count"] = 2
    by_hand = made.say("crew", adults=adults + feeders).assessed().calendar
    assert by_hand is not None
    found = helps["season.help_kiln"]
    assert (found.last, found.left) == (by_hand.last_burn_day, sum(by_hand.laid.left.values()))
    assert "season.help_feeder" in helps
    assert helps["season.help_light"].last is not None
