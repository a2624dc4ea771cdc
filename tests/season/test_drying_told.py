"""What is told of a heap that dries: dry now, by when, likely, too late or not at all, and when to turn it."""

from __future__ import annotations

import datetime as dt

import pytest

from sitemap.season.drying_of_site import _told

TODAY = dt.date(2026, 6, 15)


def day(number: int | None) -> dt.date | None:
    return None if number is None else dt.date(2026, 6, number)


@pytest.mark.parametrize(
    ("ready", "late", "turn_by", "ends", "code"),
    [
        (14, 15, None, None, "dry_now"),
        (14, 15, None, 10, "dry_now"),
        (14, 16, None, None, "dry_by"),
        (20, 25, None, 20, "dry_by"),
        (20, 25, None, 19, "dry_too_late"),
        (20, None, None, 25, "dry_likely"),
        (20, None, None, None, "dry_likely"),
        (20, None, None, 19, "dry_too_late"),
        (None, None, None, 25, "not_dry"),
        (None, None, 16, 25, "turn_by"),
        (20, 25, 16, 18, "turn_by"),
    ],
)
def test_law_each_case_is_told_by_its_own_sentence(
    ready: int | None, late: int | None, turn_by: int | None, ends: int | None, code: str
) -> None:
    found = _told("P1", day(ready), day(late), day(turn_by), day(ends), TODAY)
    assert found.code == f"season.{code}"
    if code in ("dry_by", "dry_likely"):
        assert found.fact("ready") == max(day(ready) or TODAY, TODAY)  # nobody is told of a day that has passed
