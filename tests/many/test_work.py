"""One site of many: what was remembered of it goes with it."""

import datetime as dt
from pathlib import Path

from sitemap.many.work import Task, done
from sitemap.slash.of_site import slash_of
from sitemap.terrain.routes import field

SAMPLE = Path(__file__).parents[2] / "sample_sites" / "farm_dam.geojson"


def test_law_nothing_of_a_site_is_remembered_after_it() -> None:
    assert done(Task(SAMPLE, None, dt.date(2026, 11, 25))).row is not None
    assert (slash_of.cache_info().currsize, field.cache_info().currsize) == (0, 0)
