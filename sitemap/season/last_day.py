"""The day the last kiln burns, when the crew works so many days a week."""

from __future__ import annotations

import datetime as dt

ASSUMED_PER_WEEK = 5  # working days a week where nobody said (C)


def last_burn_day(first: dt.date, burn_days: int, per_week: int) -> dt.date:
    """The date of the last burn day.

    Parameters
    ----------
    first : the first burn day, which is a working day
    burn_days : how many days something burns, the first counted in; 0 and 1 end on the first
    per_week : working days a week, 1 to 7; they stand together, and the first is the first of its week

    Returns
    -------
    the date; no day is lost to weather: it is the earliest there can be

    >>> last_burn_day(dt.date(2026, 12, 7), 6, 5), last_burn_day(dt.date(2026, 12, 7), 6, 7)
    (datetime.date(2026, 12, 14), datetime.date(2026, 12, 12))
    """
    before = max(burn_days, 1) - 1
    return first + dt.timedelta(days=before + before // per_week * (7 - per_week))
