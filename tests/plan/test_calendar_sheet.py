"""The calendar on paper: every batch the calendar lays stands on its day, in both languages."""

from __future__ import annotations

import pytest

from sitemap.plan.contents import plan_of
from tests.safety.dangerous.safe_site import SafeSite
from tests.season.test_calendar_of_site import closed, many
from tests.season.test_drying_of_site import site as dried


@pytest.mark.parametrize("language", ["en", "es"])
def test_law_every_batch_laid_stands_on_paper(language: str) -> None:
    a = closed(many(), "2026-05-22", "2026-05-22").assessed()
    text = plan_of(a, ["calendar"], language).text
    assert a.calendar is not None
    laid = [(name, count) for day in a.calendar.laid.burn_days for name, count in day.batches]
    assert sum(text.count(f"{key.upper()}\u00a0×\u00a0{count}") for key, count in set(laid)) == len(laid)
    assert "22: ban" in text


def test_law_without_a_date_it_says_what_it_takes() -> None:
    assert "No calendar" in plan_of(SafeSite().say("season", date=None).assessed(), ["calendar"]).text


def test_law_paper_says_when_heaps_are_dry_and_what_the_log_taught() -> None:
    made = dried()
    made.member["log"] = [{"date": "2026-05-19", "kiln": "K1", "lit": "09:00", "water_on": "12:00"}]
    text = plan_of(made.assessed(), ["calendar"]).text
    assert "P1 is likely dry from" in text
    lines = text.splitlines()
    row = lines.index("Hours a batch")
    before, after = lines[row + 1], lines[row + 2]
    assert lines[row - 1 : row + 4] == ["K1", "Hours a batch", before, after, "1"]
    assert float(after.split()[0]) < float(before.split()[0])  # three hours were seen
    assert "Kiln K1: 1 batch burned, hours a batch" in text
