"""What somebody signs under stands on the decision sheet whole, with its day and who said it."""

from __future__ import annotations

import datetime as dt
import shutil
import subprocess
from typing import Any

import pytest

from sitemap.assessment import Assessment, assess
from sitemap.plan.contents import plan_of
from sitemap.plan.map import map_svg
from sitemap.plan.model import every_word
from sitemap.plan.pdf import pdf_of
from tests.plan.builders import sample

CONDITIONS = "; ".join(f"condition {number} of the permit, as the officer wrote it down" for number in range(1, 9))
WAY_IN = "from the public road at the old mill by the track to the upper landing, " * 3
READ = {"wind_m_s": 1.8, "gust_m_s": 3.2, "humidity_pct": 62.0, "temperature_c": 7.0, "quiet": 72.0}


def made(read: dict[str, Any] | None = None, **permit: Any) -> Assessment:
    """The sample on its burn date, looked at that day."""
    a = sample()
    site = a.source.with_member("permit", {**a.source.member["permit"], **permit})
    site = site.with_member("crew", {**site.member["crew"], "directions": WAY_IN.strip()})
    site = site.with_member("weather_read", read)
    return assess(site, a.terrain, on=a.on, today=a.on)


def words_of(a: Assessment) -> str:
    """All that the fullest decision sheet says."""
    return "\n".join(every_word(plan_of(a, ["decision"]).sheets[0].blocks))


@pytest.mark.skipif(shutil.which("pdftotext") is None, reason="needs a reader of PDF to see the words")
def test_agrees_with_poppler_that_long_conditions_and_a_long_way_in_stand_to_their_last_letter() -> None:
    a = made(conditions=CONDITIONS)
    maps = {size: map_svg(a, size) for size in ("small", "smaller")}
    page = pdf_of(plan_of(a, ["decision"]), maps, a.on, "letter")
    read = subprocess.run(["pdftotext", "-raw", "-", "-"], input=page, capture_output=True, check=True).stdout.decode()
    assert read.count("\f") == 1
    said = " ".join(read.split())
    assert CONDITIONS in said
    assert WAY_IN.strip() in said


def test_law_the_weather_that_was_read_is_signed_under_with_its_name_and_day() -> None:
    """1.8 m/s are 4 mph, 3.2 m/s are 7 mph, 7 °C are 45 °F, eye level of 1.7 m is 5.6 ft (by the definitions of mile,
    degree and foot)."""
    on = sample().on
    assert on is not None
    said = words_of(made({**READ, "height": "eye level", "by": "The owner", "on": on.isoformat()}))
    assert "The owner: wind 4 mph, gust 7.2 mph at 5.6 ft; humidity 62%, 45 °F; hours without a front: 72 h" in said
    nameless = words_of(made({**READ, "on": on.isoformat()}))
    assert "not known: wind 4 mph, gust 7.2 mph at not known" in nameless
    for day in (on - dt.timedelta(days=1), on + dt.timedelta(days=1)):
        assert "4 mph, gust" not in words_of(made({**READ, "by": "The owner", "on": day.isoformat()}))
    assert "Weather read" not in words_of(made())


def test_law_who_saw_that_conditions_are_met_stands_beside_them_while_it_counts() -> None:
    on = sample().on
    assert on is not None
    fresh = made(conditions=CONDITIONS, conditions_met=True, met_by="The owner", met_on=on.isoformat())
    assert "; each is met: The owner, " in words_of(fresh)
    met = {"conditions_met": True, "met_by": "The owner", "met_on": on.isoformat()}
    assert "at each kiln; each is met: " in words_of(made(conditions="Two adults at each kiln.", **met))
    for open_still in (
        {"conditions_met": None},
        {"met_by": None},
        {"met_on": "2020-01-01"},
        {"met_on": (on + dt.timedelta(days=1)).isoformat()},
    ):
        said = met | open_still
        assert "; each is met: " not in words_of(made(conditions=CONDITIONS, **said))


def test_law_the_hour_by_which_the_permit_wants_the_fires_out_is_signed_under() -> None:
    on = sample().on
    assert on is not None
    assert "out by 15:30 every day" in words_of(made(to_time="15:30"))
    assert "out by 15:30 on the last day" in words_of(made(to_time="15:30", to_time_last_day=True))
    assert "at what hour is not entered: read it" in words_of(made(to=on.isoformat()))
    assert "at what hour" not in words_of(made())  # the last day of it is another
