"""Working days as people write them: "Mon–Fri", "Sat Sun", "Tue, Thu–Sat"."""

from __future__ import annotations

import datetime as dt
import re

from sitemap.errors import BadValue
from sitemap.reasons import reason

_NAMES = {  # English, then Spanish, by their first letters
    name: number
    for names in (("mon", "tue", "wed", "thu", "fri", "sat", "sun"), ("lun", "mar", "mié", "jue", "vie", "sáb", "dom"))
    for number, name in enumerate(names)
} | {"mie": 2, "sab": 5}
WEEKDAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
_DASH = re.compile(r"\s*[-–—]\s*|\s+to\s+|\s+a\s+")


def weekdays(typed: str | None, per_week: int | None, first: dt.date) -> tuple[frozenset[int], bool]:
    """The days of the week worked on, Monday 0.

    Parameters
    ----------
    typed : names of days, or None
    per_week : how many days a week, where no names are typed; five where that is not said either
    first : the burn date, which is worked on

    Returns
    -------
    (the days, whether they were assumed: from Monday on, or from the burn date on where that leaves it out)

    Raises
    ------
    BadValue : a word that names no day

    >>> friday = dt.date(2026, 12, 4)
    >>> sorted(weekdays("Thu–Sat, Mon", None, friday)[0]), sorted(weekdays(None, 2, friday)[0])
    ([0, 3, 4, 5], [4, 5])
    """
    if typed is None or not typed.strip():
        count = per_week or 5
        begins = 0 if first.weekday() < count else first.weekday()
        return frozenset((begins + step) % 7 for step in range(count)), count < 7
    days: set[int] = set()
    for part in re.split(r"[,;/]|\s+and\s+|\s+y\s+", _DASH.sub("–", typed.casefold())):
        for word in part.split():
            begin, _, stop = word.partition("–")
            one, other = _day(begin, typed), _day(stop or begin, typed)
            days.update((one + step) % 7 for step in range((other - one) % 7 + 1))
    return frozenset(days), False


def _day(word: str, typed: str) -> int:
    found = _NAMES.get(word[:3])
    if found is None:
        raise BadValue(reason("season.no_such_weekday", typed=typed))
    return found
