"""What must decide nothing: the order of the things in a file, their names, its units, the dust of a rounding.

Held on random sites: each kiln keeps its word and every bar with its verdict.
"""

from __future__ import annotations

import datetime as dt
import json
from collections.abc import Callable
from pathlib import Path
from random import Random
from typing import Any

import pytest

from sitemap.assessment import assess
from sitemap.site.file import parse_site
from tests.random_sites import PLACES, RandomSite

TODAY = dt.date(2026, 10, 15)
SITES = (2, 7, 14, 25, 36)


def decided(whole: dict[str, Any]) -> dict[str, tuple[str, set[tuple[str, str, str]]]]:
    """Spot → its word, and check, verdict and word of each bar."""
    site = parse_site(json.dumps(whole))
    found = assess(site, None, on=site.section("season").date("date") or TODAY, today=TODAY)
    return {
        each.spot: (each.word, {(bar.check, bar.verdict, bar.word) for bar in each.because}) for each in found.decisions
    }


def turned_round(whole: dict[str, Any]) -> None:
    whole["features"].reverse()


def other_units(whole: dict[str, Any]) -> None:
    whole["site"]["units"] = "us" if whole["site"]["units"] == "metric" else "metric"


def other_names(whole: dict[str, Any]) -> None:
    for number, feature in enumerate(whole["features"]):
        feature["properties"]["name"] = f"Ö {number}"


def dusted(whole: dict[str, Any]) -> None:
    for feature in whole["features"]:
        feature["properties"] = with_dust(feature["properties"])
    whole["site"]["equipment"] = with_dust(whole["site"]["equipment"])


def with_dust(value: Any) -> Any:
    """Every number that has decimals a millionth of a millionth larger."""
    if isinstance(value, dict):
        return {key: with_dust(each) for key, each in value.items()}
    if isinstance(value, list):
        return [with_dust(each) for each in value]
    return value * (1 + 1e-12) if isinstance(value, float) else value


@pytest.mark.parametrize("number", SITES)
def test_law_what_says_nothing_of_the_ground_decides_nothing(number: int, tmp_path: Path) -> None:
    made = RandomSite(Random(number), PLACES[number % len(PLACES)]).whole(tmp_path, f"s{number}", raster=False)
    before = decided(made)
    assert before
    changes: tuple[Callable[[dict[str, Any]], None], ...] = (turned_round, other_units, other_names, dusted)
    for change in changes:
        whole = json.loads(json.dumps(made))
        change(whole)
        assert decided(whole) == before, change.__name__
