"""The pictures of the season: what is drawn is what was laid, judged and read; and grey tells it apart."""

from __future__ import annotations

import itertools
import re
import xml.etree.ElementTree as ET

import pytest

from sitemap.plan.charts import chart
from sitemap.plan.charts.calendar import parts_of
from sitemap.plan.contents import plan_of
from sitemap.plan.html import html_of
from sitemap.plan.phrases import Words
from sitemap.plan.sheets.smoke import orders
from tests.plan.builders import sample
from tests.safety.dangerous.safe_site import SafeSite
from tests.safety.dangerous.safe_values import point
from tests.season.test_calendar_of_site import closed, many
from tests.season.test_drying_of_site import site as dried
from tests.season.test_window import forecast

WORDS = Words("en", "metric")
SVG = "{http://www.w3.org/2000/svg}"


def texts(svg: str | None) -> list[str]:
    assert svg is not None
    return [node.text or "" for node in ET.fromstring(svg).iter(SVG + "text")]


def white(svg: str | None) -> list[str]:
    """What is written in white: the batches."""
    assert svg is not None
    return [node.text or "" for node in ET.fromstring(svg).iter(SVG + "text") if node.get("fill") == "#ffffff"]


def test_law_every_batch_laid_is_drawn_once_and_nothing_else() -> None:
    a = closed(many(), "2026-05-22", "2026-05-22").assessed()
    assert a.calendar is not None
    drawn = [told for n in range(len(parts_of(a.calendar))) for told in white(chart(a, f"calendar-{n}", WORDS))[:-1]]
    laid = [f"{count}" for day in a.calendar.laid.burn_days for _, count in day.batches]
    assert sorted(drawn) == sorted(laid)  # the last of each picture is its legend


def test_law_a_batch_of_a_kiln_that_may_not_be_lit_is_not_black() -> None:
    """Dates in print read as leave to burn. Of the sample K1 may be lit, K2 and K3 may not."""
    a = sample()
    drawn, legend = chart(a, "calendar-0", WORDS), WORDS("calendar.mark_barred")
    (part,) = parts_of(a.calendar)[:1]
    (k1,) = (each.spot for each in a.decisions if each.may_be_lit)
    count = {lit: sum(len([k for k, _ in d.batches if (k == k1) is lit]) for d in part.days) for lit in (True, False)}
    assert count[False] > 1
    assert len(white(drawn)) == count[True] + 1  # and the legend's
    assert len([told for told in texts(drawn) if told.endswith("?") and told[0].isdigit()]) == count[False] + 1
    assert legend in texts(drawn)
    assert legend not in texts(chart(many().assessed(), "calendar-0", WORDS))


def test_law_pictures_follow_each_other_and_leave_out_weeks_without_work() -> None:
    late = dried().say("permit", to="2026-12-31").put("p1", thickest_cm=12).put("p2", thickest_cm=12).assessed()
    assert late.calendar is not None
    parts = parts_of(late.calendar)
    burned = {day.date for day in late.calendar.laid.burn_days}
    assert burned <= {day.date for part in parts for day in part.days}
    assert all(part.kilns for part in parts)
    assert all(one.monday < other.monday for one, other in itertools.pairwise(parts))


def test_law_a_strip_says_each_hour_and_black_is_outside() -> None:
    made = forecast(SafeSite())
    for row in made.member["forecast_hours"]:
        row["humidity_pct"] = 20
    a = made.assessed()
    assert a.weather is not None
    drawn = chart(a, "strip-0", WORDS)
    assert white(drawn) == ["20"] * len(a.weather.burn)
    assert [f"{hour.time:%H}" for hour in a.weather.burn] == texts(drawn)[: len(a.weather.burn)]
    assert chart(SafeSite().assessed(), "strip-0", WORDS) is None


def test_law_a_heap_is_drawn_with_its_readings_limit_permit_and_the_day_it_is_ready() -> None:
    a = dried().assessed()
    found, drawn = a.drying[0], chart(a, "drying-0", WORDS)
    assert drawn is not None
    assert found.ready is not None
    said = " ".join(texts(drawn))
    assert f"likely dry {found.ready.day} {found.ready:%b}" in said
    assert "permit to Wed 30 Sep 2026" in said
    assert "nine pieces of ten dry enough at or below" in said
    circles = list(ET.fromstring(drawn).iter(SVG + "circle"))
    assert len(circles) == len(found.reads) + 1  # and the legend's
    assert chart(a, "drying-9", WORDS) is None


def test_law_a_compass_points_at_each_place() -> None:
    a = SafeSite().add("smoke_place", point(-800, 0), "school", what="school").assessed()
    said = texts(chart(a, "winds-0", WORDS))
    kilns = len(a.smoke)
    assert [said.count(told) for told in ("N", "E", "S", "W", "1", "2")] == [kilns] * 6
    assert {orders(a, place, WORDS)[2] for place in a.smoke[0].places} == {"not known"}  # without a forecast


@pytest.mark.parametrize("language", ["en", "es"])
def test_law_grey_tells_everything_apart(language: str) -> None:
    """No colour at all in these pictures: every fill and line is a grey."""
    a = forecast(dried()).assessed()
    for key in ("calendar-0", "drying-0", "strip-0", "winds-0"):
        drawn = chart(a, key, Words(language, "us"))
        assert drawn is not None
        for colour in re.findall(r"#([0-9a-f]{6})", drawn):
            assert len({colour[:2], colour[2:4], colour[4:]}) == 1, key


def test_law_the_pictures_stand_in_the_papers() -> None:
    a = forecast(dried()).assessed()
    plan = plan_of(a, ["calendar"])
    html = html_of(plan, {"calendar-0": chart(a, "calendar-0", WORDS)})
    assert html.count('<svg class="map chart"') == 1
    assert "map-drying" not in html  # without its drawing nothing is said
