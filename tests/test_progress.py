"""A long calculation tells how far it is and can be ended; what is worked out is the same either way."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import pytest

from sitemap.assessment import assess
from sitemap.progress import told_to
from sitemap.report import report_text
from sitemap.site.file import parse_site

ON = dt.date(2026, 11, 28)
SAMPLE = (Path(__file__).parents[1] / "sample_sites" / "birch_shore.geojson").read_text(encoding="utf-8")


class EnoughError(Exception):
    """Nobody waits any more."""


def test_law_what_is_ended_halfway_and_begun_anew_comes_to_the_same() -> None:
    """Ended at every step in turn: what the rooms remember of it must never be half done."""
    told: list[tuple[str, float]] = []
    seen: set[str] = set()
    text = SAMPLE.replace('"height_m": ', '"height_m": 0.0137e2, "was_m": ')  # no other test has worked it out before
    site, steps = parse_site(text), 0
    while True:

        def listener(what: str, share: float, at: int = steps) -> None:
            told.append((what, share))
            if len(told) > at:
                raise EnoughError

        told.clear()
        with told_to(listener):
            try:
                ended = report_text(assess(site, None, on=ON))
                break
            except EnoughError:
                steps += 1
                seen |= {what for what, _ in told}
    assert seen == {"reading", "heaps", "stock", "wood"}
    assert all(0 <= share < 1 for _, share in told)
    assert steps == len(told)
    assert ended == report_text(assess(parse_site(text), None, on=ON))


def test_law_nobody_is_told_of_what_is_worked_out_outside() -> None:
    def listener(what: str, share: float) -> None:
        pytest.fail(f"told of {what} {share}")

    with told_to(listener):
        pass
    assess(parse_site(SAMPLE), None, on=ON)
