"""A sample is as good to try things on in any year."""

from __future__ import annotations

import datetime as dt
from functools import cache

import pytest

from sitemap.assessment import assess
from sitemap.site.file import read_site
from sitemap.terrain.of_site import terrain_of
from sitemap.views.samples import sample
from tests.views.conftest import ROOT, SAMPLES

FOLDER = ROOT / "sample_sites"


@cache
def before(name: str) -> tuple[str, ...]:
    """What a sample is in doubt about on its own burn date."""
    whole = read_site(FOLDER / f"{name}.geojson")
    found = assess(whole, terrain_of(whole, str(FOLDER / f"{name}.tif")), on=whole.section("season").date("date"))
    return tuple(each.about for each in found.doubts)


@pytest.mark.parametrize("name", SAMPLES)
@pytest.mark.parametrize("today", [dt.date(2026, 12, 1), dt.date(2027, 3, 1), dt.date(2041, 7, 9)])
def test_law_the_burn_of_a_sample_lies_ahead_and_its_facts_are_as_old_as_ever(name: str, today: dt.date) -> None:
    whole, opened = read_site(FOLDER / f"{name}.geojson"), sample(name, today)
    was, now = (site.section("season").date("date") for site in (whole, opened))
    assert was is not None
    assert now is not None
    assert now >= today
    assert now.weekday() == was.weekday()
    moved = now - was
    assert moved.days == 0 or (now - today).days < 7
    terrain = terrain_of(whole, str(FOLDER / f"{name}.tif"))
    after = assess(opened, terrain, on=now, today=today)
    assert tuple(each.about for each in after.doubts) == before(name)
    timed = any(run.clocks for run in after.kilns)  # none in the dark of a northern winter
    assert timed != any(bar.check == "weather" for each in after.decisions for bar in each.because)
