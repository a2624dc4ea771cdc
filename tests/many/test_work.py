"""One site of many: what was remembered of it goes with it."""

import datetime as dt
from pathlib import Path

from sitemap.assessment import assess
from sitemap.many.kept import KeptSite, rows_of
from sitemap.many.row import row_of
from sitemap.many.work import Task, done
from sitemap.opened import opened
from sitemap.slash.of_site import slash_of
from sitemap.terrain.routes import field

SAMPLE = Path(__file__).parents[2] / "sample_sites" / "farm_dam.geojson"


def test_law_nothing_of_a_site_is_remembered_after_it() -> None:
    assert done(Task(SAMPLE, None, dt.date(2026, 11, 25))).row is not None
    assert (slash_of.cache_info().currsize, field.cache_info().currsize) == (0, 0)


def test_law_a_kept_site_is_worked_out_on_its_own_ground() -> None:
    """With the file of its elevation as the command line has it, without as level ground."""
    found = opened(SAMPLE)
    on, today = found.site.section("season").date("date"), dt.date(2026, 11, 25)
    kept = [KeptSite("a", found.site, SAMPLE.with_suffix(".tif")), KeptSite("b", found.site, None)]
    there, level = rows_of(kept, today, lambda *_: None)
    assert there == row_of(assess(found.site, found.terrain, on=on, today=today), "a")
    assert any("counts as level" in each for each in level.missing)
    assert not any("counts as level" in each for each in there.missing)
