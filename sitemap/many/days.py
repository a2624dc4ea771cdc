"""What burns on which day, over all sites."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass

from sitemap.many.row import SiteRow


@dataclass(frozen=True)
class Burning:
    """One site on one day.

    site : its row; gear : names of what it takes along
    """

    day: dt.date
    site: SiteRow
    gear: tuple[str, ...]


def burning(rows: Iterable[SiteRow], first: dt.date, days: int) -> tuple[Burning, ...]:
    """Every site that burns on one of so many days from the first on, by day, then in the order given.

    >>> burning((), dt.date(2026, 12, 1), 7)
    ()
    """
    last = first + dt.timedelta(days=days - 1)
    found = [
        Burning(day, row, tuple(dict.fromkeys(name for _, name in row.gear)))
        for row in rows
        for day in row.burn_days
        if first <= day <= last
    ]
    return tuple(sorted(found, key=lambda each: each.day))
