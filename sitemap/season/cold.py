"""Is it cold? What was looked at since the fire, what counts, and which look is due next. Times by the site's clock.

Char takes fire again from inside. What was not looked at, not signed or not dated is not cold.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass

from sitemap import tables
from sitemap.kiln.clock import LATER_CHECKS


@dataclass(frozen=True)
class Look:
    """Somebody looked. What they did not note may have been warm.

    on, at : day and time; None where not said
    who : name, empty where not said
    found : "cold", "warm", or None where not said
    """

    on: dt.date | None
    at: dt.time | None
    who: str
    found: str | None

    @property
    def moment(self) -> dt.datetime | None:
        """Day and time, or None."""
        return None if self.on is None or self.at is None else dt.datetime.combine(self.on, self.at)


@dataclass(frozen=True)
class Since:
    """From when on looks count: the water of a batch, or a warm place found after it.

    on : the day of the water; moment : day and time, or None where not said
    """

    on: dt.date
    moment: dt.datetime | None = None


@dataclass(frozen=True)
class Due:
    """One look. what : "first", "next_morning", "day_3", "day_7" or "day_14"; on : its day; at : its time where it has
    one; done : the look that did it, or None."""

    what: str
    on: dt.date
    at: dt.time | None
    done: Look | None


@dataclass(frozen=True)
class Cold:
    """What the looks say.

    proved : two looks that count found it cold, the last on a later day
    since : from when on they count; counted : those that do
    warm : the warm place found last, or None
    dues : every look that is asked for
    """

    proved: bool
    since: Since
    counted: tuple[Look, ...]
    warm: Look | None
    dues: tuple[Due, ...]

    def open(self, today: dt.date) -> tuple[Due, ...]:
        """Looks due on a day or before it that nobody did."""
        return tuple(due for due in self.dues if due.done is None and due.on <= today)


def cold_after(fire: Since, looks: Iterable[Look], today: dt.date | None) -> Cold:
    """Whether what burned is cold.

    Parameters
    ----------
    fire : the water of its last batch
    looks : at that place, in any order
    today : a look dated later has not been made; None: every look has

    Returns
    -------
    Cold; a warm place begins every check again, also one nobody dated

    References
    ----------
    Two cold checks, two hours after the water and on a later day: common practice, no source (C).

    >>> day = dt.date(2026, 5, 20)
    >>> evening = Look(day, dt.time(18), "Ann", "cold")
    >>> morning = Look(dt.date(2026, 5, 21), dt.time(8), "Ann", "cold")
    >>> fire = Since(day, dt.datetime(2026, 5, 20, 16))
    >>> [cold_after(fire, seen, None).proved for seen in ([], [evening], [evening, morning])]
    [False, False, True]
    """
    made = tuple(looks)
    warm = [each for each in made if each.found != "cold" and not _before(each, fire)]
    undated = next((each for each in warm if each.on is None), None)
    last = undated or max(warm, key=lambda each: (each.on, each.at or dt.time.max), default=None)
    since = fire if last is None or last.on is None else Since(last.on, last.moment)
    counted = () if undated else tuple(each for each in made if _counts(each, since, today))
    counted = tuple(sorted(counted, key=lambda each: (each.on, each.at or dt.time.min)))
    return Cold(_proved(counted, since), since, counted, last, _dues(counted, since))


def _before(look: Look, fire: Since) -> bool:
    """Surely made before the fire."""
    if look.moment is not None and fire.moment is not None:
        return look.moment < fire.moment
    return look.on is not None and look.on < fire.on


def _counts(look: Look, since: Since, today: dt.date | None) -> bool:
    """Found cold, signed, dated, and surely late enough."""
    if look.found != "cold" or not look.who or look.on is None or (today is not None and look.on > today):
        return False
    if look.moment is not None and since.moment is not None:
        return look.moment - since.moment >= _apart()
    return look.on > since.on


def _proved(counted: tuple[Look, ...], since: Since) -> bool:
    if len(counted) < int(tables.load("cold")["least_checks"]["value"]):
        return False
    first, last = counted[0], counted[-1]
    assert first.on is not None
    assert last.on is not None
    if last.on <= since.on:
        return False
    if first.on < last.on:
        return first.moment is None or last.moment is None or last.moment - first.moment >= _apart()
    return first.moment is not None and last.moment is not None and last.moment - first.moment >= _apart()


def _dues(counted: tuple[Look, ...], since: Since) -> tuple[Due, ...]:
    first = None if since.moment is None else since.moment + _apart()
    begin = since.on if first is None else first.date()
    found = [Due("first", begin, None if first is None else first.time(), next(iter(counted), None))]
    for what, days in LATER_CHECKS:
        on = since.on + dt.timedelta(days=days)
        done = next((each for each in counted if each.on is not None and each.on >= on), None)
        found.append(Due(what, on, None, done))
    return tuple(found)


def _apart() -> dt.timedelta:
    return dt.timedelta(minutes=tables.value("cold", "apart"))
