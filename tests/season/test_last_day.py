"""The last burn day: never before the days are worked, and a week holds no more than its working days."""

from __future__ import annotations

import datetime as dt

import numpy as np
import pytest

from sitemap.season.last_day import last_burn_day

MONDAY = dt.date(2026, 12, 7)


def test_agrees_with_numpy_on_weeks_of_five_days():
    """NumPy's business days, Monday to Friday, from a Monday on."""
    for days in range(1, 40):
        other = np.busday_offset(MONDAY.isoformat(), days - 1, weekmask="1111100")
        assert last_burn_day(MONDAY, days, 5).isoformat() == str(other)


@pytest.mark.parametrize("per_week", range(1, 8))
def test_law_fewer_working_days_never_end_earlier(per_week: int):
    ends = [last_burn_day(MONDAY, days, per_week) for days in range(1, 20)]
    assert ends == sorted(ends)
    assert all(end >= last_burn_day(MONDAY, days, 7) for days, end in enumerate(ends, start=1))
