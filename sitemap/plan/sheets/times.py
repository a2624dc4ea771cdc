"""The latest times of one batch, in the order they come, as the card and the day sheet show them."""

from __future__ import annotations

import datetime as dt

from sitemap.assessment import Assessment, SpotReport
from sitemap.kiln.values import Clock
from sitemap.plan.phrases import Words

KEYS = ("light_by", "last_thick", "last_wood", "water_on", "out", "check_1", "call_by")  # words of `shared`


def batches(a: Assessment) -> tuple[tuple[int, Clock, SpotReport], ...]:
    """Every batch of the day with its number, in the order its water begins."""
    found = [(clock, spot) for spot in a.spots for clock in a.clock_of(spot.id)]
    found.sort(key=lambda each: each[0].water_on)
    return tuple((number, *each) for number, each in enumerate(found, start=1))


def moments(words: Words, on: dt.date | None, clock: Clock) -> tuple[str, ...]:
    """Light by, last thick wood in, last wood in, water on, out, cold check 1, call by."""
    first = next((check.when for check in clock.checks if check.what == "first"), None)
    when = (
        clock.light_by,
        clock.last_thick,
        clock.stop_feeding,
        clock.water_on,
        clock.no_steam_by,
        first,
        clock.call_by,
    )
    return tuple(words.moment(each, on) for each in when)
