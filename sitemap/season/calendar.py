"""The calendar: batches laid on real dates, day after day, until all is burned or the permit ends.

Dates and whole numbers in, dates and whole numbers out; what a day holds is asked of whoever knows light and people.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType
from typing import Literal

from sitemap.errors import BadValue, not_negative
from sitemap.kiln.clock import LATER_CHECKS
from sitemap.reasons import reason

HORIZON_DAYS = 200  # [d] further off nothing is laid: the season is another one by then
Shut = Literal["", "closed", "no work"]
Fits = Callable[[dt.date, tuple[str, ...]], Mapping[str, int]]


@dataclass(frozen=True)
class Job:
    """What one kiln burns at one place.

    key : of the place
    kiln : the kiln that does it; one that is moved does its jobs one after the other, in the order given
    batches : whole ones, 0 or more
    ready : the first day its wood is dry, None where that sets no day
    """

    key: str
    kiln: str
    batches: int
    ready: dt.date | None = None


@dataclass(frozen=True)
class Open:
    """Which days may be burned on.

    first, last : the first and the last day; last None where nothing ends it
    weekdays : worked on, Monday 0
    closed : first and last day of each time without burning, and why
    """

    first: dt.date
    last: dt.date | None
    weekdays: frozenset[int] = frozenset(range(7))
    closed: tuple[tuple[dt.date, dt.date, str], ...] = ()

    def lawful(self, day: dt.date) -> bool:
        """Whether a fire of the day before may still burn: within the permit, on no day without burning."""
        ended = self.last is not None and day > self.last
        return not ended and not any(first <= day <= last for first, last, _ in self.closed)

    def shut(self, day: dt.date) -> tuple[Shut, str]:
        """Why a day is not burned on, "" where it is; and what somebody wrote beside it."""
        for first, last, why in self.closed:
            if first <= day <= last:
                return "closed", why
        return ("", "") if day.weekday() in self.weekdays else ("no work", "")


@dataclass(frozen=True)
class CalendarDay:
    """One day.

    batches : (key of the place, batches) burned on it
    check : keys of the places burned the day before, whose char is looked at in the morning
    shut, why : why it is not burned on, "" where it may be
    """

    date: dt.date
    batches: tuple[tuple[str, int], ...]
    check: tuple[str, ...]
    shut: Shut = ""
    why: str = ""


@dataclass(frozen=True)
class Laid:
    """Batches on dates.

    days : from the first day to the morning after the last burn, or to the last day allowed
    left : batches that found no day, by place; none are left out
    """

    days: tuple[CalendarDay, ...]
    left: Mapping[str, int]

    @property
    def burn_days(self) -> tuple[CalendarDay, ...]:
        """The days something is burned on."""
        return tuple(day for day in self.days if day.batches)

    @property
    def places(self) -> frozenset[str]:
        """The places something is burned at."""
        return frozenset(key for day in self.days for key, _ in day.batches)

    @property
    def last_burn_day(self) -> dt.date | None:
        """The last of them, None where nothing is burned."""
        return self.burn_days[-1].date if self.burn_days else None

    @property
    def looks_again(self) -> frozenset[dt.date]:
        """The days of the looks after that of the next morning, at everything that is burned; also past the last day.

        >>> day = CalendarDay(dt.date(2026, 12, 4), (("k", 1),), ())
        >>> sorted(f"{each:%d}" for each in Laid((day,), {}).looks_again)
        ['07', '11', '18']
        """
        later = [days for what, days in LATER_CHECKS if what != "next_morning"]
        return frozenset(day.date + dt.timedelta(days=n) for day in self.burn_days for n in later)

    @property
    def all_burned(self) -> bool:
        """Whether every batch found its day."""
        return not any(self.left.values())


def lay(jobs: Sequence[Job], when: Open, fits: Fits) -> Laid:
    """Batches laid on dates, as early as they can be.

    Parameters
    ----------
    jobs : in order
    when : which days may be burned on
    fits : asked with a date and the keys of the places that have work and dry wood, how many batches each can burn

    Returns
    -------
    Laid

    Raises
    ------
    BadValue : batches below 0, or a last day before the first

    Notes
    -----
    A kiln that is moved burns at one place a day: it is moved cold, the morning after its last batch there.

    >>> day = dt.date(2026, 12, 4)  # a Friday
    >>> laid = lay([Job("K1", "ring", 3)], Open(day, None, frozenset(range(5))), lambda _, keys: dict.fromkeys(keys, 2))
    >>> [(each.date.day, each.batches) for each in laid.days if each.batches]
    [(4, (('K1', 2),)), (7, (('K1', 1),))]
    """
    for job in jobs:
        not_negative("Batches", job.batches)
    if when.last is not None and when.last < when.first:
        raise BadValue(reason("season.window_backwards", first=when.first, last=when.last))
    left = {job.key: job.batches for job in jobs}
    end = when.first + dt.timedelta(days=HORIZON_DAYS)
    end = end if when.last is None else min(when.last, end)
    days: list[CalendarDay] = []
    day = when.first
    burned: tuple[str, ...] = ()
    while day <= end and any(left.values()):
        shut, why = when.shut(day)
        today = () if shut else _burn(day, jobs, left, fits)
        days.append(CalendarDay(day, today, burned, shut, why))
        day, burned = day + dt.timedelta(days=1), tuple(key for key, _ in today)
    if burned:
        days.append(CalendarDay(day, (), burned, *when.shut(day)))
    return Laid(tuple(days), MappingProxyType(left))


def _burn(day: dt.date, jobs: Iterable[Job], left: dict[str, int], fits: Fits) -> tuple[tuple[str, int], ...]:
    """The batches of one day, taken off what is left."""
    at: dict[str, str] = {}  # kiln → where it works this day
    for job in jobs:
        if left[job.key] and (job.ready is None or job.ready <= day):
            at.setdefault(job.kiln, job.key)
    room = fits(day, tuple(at.values())) if at else {}
    today = tuple((key, min(left[key], room.get(key, 0))) for key in at.values())
    for key, count in today:
        left[key] -= count
    return tuple((key, count) for key, count in today if count)
