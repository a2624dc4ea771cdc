"""What a meter read stands on paper: whoever signs for dry wood can see on what day, where and how it was read."""

from __future__ import annotations

import datetime as dt
from typing import Any

from sitemap.assessment import Assessment, assess
from sitemap.plan.model import Table
from sitemap.plan.parts.readings import readings
from sitemap.plan.phrases import words_for
from tests.site.builders import site_of, thing

DAY = dt.date(2026, 12, 5)


def told(*read: dict[str, Any], language: str = "en") -> list[tuple[str, ...]]:
    """The rows of a site with one heap."""
    heap = thing("p", "pile", name="P1", length_m=3, width_m=3, height_m=1, readings=list(read))
    a: Assessment = assess(site_of(heap), on=DAY, today=DAY)
    blocks = readings(a, words_for(a.source, language)).blocks
    return [row for block in blocks if isinstance(block, Table) for row in block.rows]


def test_law_every_reading_stands_on_paper_with_its_day_and_how_it_was_read() -> None:
    core = {"basis": "dry", "date": "2026-12-04", "where": "core", "wood_c": 10}
    rows = told(
        {"moisture_pct": 17, **core},
        {"moisture_pct": 19.5, **core},
        {"moisture_pct": 31, "basis": "wet", "date": "2026-11-02", "where": "skin"},
        {"where": "core"},
    )
    assert [row[:4] for row in rows] == [
        ("P1", "Fri 4 Dec 2026", "17%, 19.5%", "counted of dry weight; read at a freshly split face; wood at 10 °C"),
        ("P1", "Mon 2 Nov 2026", "31%", "counted of wet weight; read at the outside"),
        ("P1", "not known", "not known", "read at a freshly split face"),
    ]
    assert rows[0][4].startswith("2 readings, 2 of the core")
    assert [row[4] for row in rows[1:]] == ["", ""]
    assert "una cara recién partida" in told({"moisture_pct": 17, **core}, language="es")[0][3]


def test_law_without_readings_there_is_no_heading_for_them() -> None:
    assert told() == []
