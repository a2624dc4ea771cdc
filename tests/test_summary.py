"""The summary in words: counts as people count, and the figures of the report beside it."""

from __future__ import annotations

import datetime as dt
import json
import re
from types import SimpleNamespace

import numpy as np
import pytest

from sitemap.assessment import assess
from sitemap.opened import opened
from sitemap.ranges import N_DRAWS, Drawn
from sitemap.report import report_text
from sitemap.summary import counted, held, said, summary_text
from tests.many.test_many import SAMPLES


def drawn(low: float, likely: float, high: float) -> Drawn:
    """A result with these ends: a tenth of the draws on each of them, and some more."""
    ends = np.repeat([low, likely, high], [N_DRAWS // 5, N_DRAWS - 2 * (N_DRAWS // 5), N_DRAWS // 5])
    return Drawn(np.concatenate([[likely], ends]))


@pytest.mark.parametrize(
    ("ends", "told"),
    [
        ((4.0, 5.0, 6.0), "5 (4–6)"),
        ((4.6, 5.0, 5.4), "5"),
        ((98.0, 100.0, 104.0), "100 (98–100)"),
        ((98.0, 101.0, 118.0), "100 (98–120)"),
        ((1234.0, 1236.0, 1238.0), "1,240 (1,230–1,240)"),
        ((1236.0, 1236.0, 1236.0), "1,236"),
        ((136.0, 137.0, 144.0), "140"),
    ],
)
def test_law_a_count_is_told_by_tens_above_a_hundred_where_it_is_not_certain(
    ends: tuple[float, float, float], told: str
) -> None:
    assert counted(drawn(*ends)) == told


def test_law_what_is_not_known_is_said_so_and_a_source_never_holds_more_than_is_there() -> None:
    assert counted(None) == said(None, "t", "us") == "not known"
    assert said(drawn(8.4, 12.0, 17.0), "t", "metric") == "12 t (8.4–17)"
    source = SimpleNamespace(endless=False, litres_there=1239.0)
    assert held(source, "metric") == "1,230 L"  # type: ignore[arg-type]
    assert held(SimpleNamespace(endless=False, litres_there=None), "us") == "not known"  # type: ignore[arg-type]
    assert held(SimpleNamespace(endless=True), "us") == "does not run out"  # type: ignore[arg-type]


@pytest.mark.parametrize("name", ["farm_dam", "juniper_bench"])
def test_agrees_with_the_report(name: str) -> None:
    """Each likely figure of the head is that of the report to the two digits shown; water rounds up."""
    site = opened(SAMPLES / f"{name}.geojson")
    on = site.site.section("season").date("date")
    a = assess(site.site, site.terrain, on=on, today=dt.date(2026, 11, 1))
    text, report = summary_text(a), json.loads(report_text(a))
    factor = {
        "t": 1,
        "m³": 1,
        "L": 1,
        "US short tons": 1 / 0.90718474,
        "yd³": 1 / 0.764554857984,
        "US gal": 1 / 3.785411784,
    }
    for label, room, key, within in (
        ("Slash, dry", "slash", "dry_t", 0.05),
        ("  char stock", "slash", "char_stock_dry_t", 0.05),
        ("Char", "burn", "char_m3", 0.05),
        ("Quench water", "burn", "quench_l", 0.1),
        ("Reserve besides", "burn", "reserve_l", 0.1),
    ):
        (line,) = (line for line in text.splitlines() if line.startswith(label.ljust(20)))
        figure, unit = re.match(r"([\d,.]+) ([^(]+)", line[20:]).groups()  # type: ignore[union-attr]
        found = report[room][key]
        likely = found["likely"] if isinstance(found, dict) else found[1] if isinstance(found, list) else found
        assert float(figure.replace(",", "")) == pytest.approx(likely * factor[unit.strip()], rel=within), line
    for decision in report["decisions"]:
        assert f"Kiln spot {decision['name']}: {decision['word']}" in text
    assert text.splitlines()[0] == f"{a.site.name}, on {on.isoformat() if on else ''}"
