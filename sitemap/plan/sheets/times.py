"""The latest times of one batch, in the order they come, as the card and the day sheet show them."""

from __future__ import annotations

import datetime as dt

from sitemap.kiln.values import Clock
from sitemap.plan.phrases import Words

KEYS = ("light_by", "last_thick", "last_wood", "water_on", "out", "check_1", "call_by")  # words of `shared`


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
