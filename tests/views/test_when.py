"""The page When: readings, calendar, and a forecast that is shown before it is kept."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Callable
from pathlib import Path

import pytest

from tests.safety.dangerous.people import dry
from tests.safety.dangerous.safe_site import SafeSite
from tests.views.conftest import Visit, store

HOURS = "time,wind_speed_10m (mph),wind_gusts_10m (mph),humidity %,temp (°F)\n" + "".join(
    f"2026-12-{5 + n // 24:02d} {n % 24:02d}:00,7,12,55,45\n" for n in range(72)
)


@pytest.fixture
def when(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Visit:
    """The page When with the first sample open, its forecast taken out: its burn date is 5 December 2026."""
    monkeypatch.setenv("PITSTEAD_DATA", str(tmp_path))
    monkeypatch.setenv("PITSTEAD_RAISE", "1")
    opened = Visit().site
    bare = opened.with_member("forecast", None).with_member("forecast_hours", None)
    return Visit(store().create(bare).link).go("when")


def test_law_a_forecast_is_shown_before_it_is_kept_and_judged_after(when: Visit) -> None:
    assert "Forecast: not known" in when.words
    assert (
        "K1, K2, K3 Good wind, clockwise ESE to NNE Nearest" in when.words
    )  # alike in one row; by the table of points: E is 90°, ESE 112.5°, NNE 22.5°, NE 45°
    assert "quench all the same what still glows" in when.words  # water is never held back for smoke (FIELD 9, 14)
    assert "again on day 3, 7 and 14; the last ones on 5 Jan, 9 Jan, 10 Jan, 16 Jan" in when.words
    when.app.text_area(key="when.paste").set_value(HOURS).run()
    assert "72 rows, 05 Dec 2026 00:00 to 07 Dec 2026 23:00" in when.words
    assert not when.site.records("forecast_hours")
    when.app.button(key="when.keep").click().run()
    assert len(when.site.records("forecast_hours")) == 72
    assert when.site.section("forecast").choice("wind_at") == "10_m"
    assert "Forecast: not known" in when.words  # when it was made, and its fronts, nobody said
    made = min(dt.date.today(), dt.date(2026, 12, 5))  # on the day it is looked at, or on that of the burn
    when.app.text_input(key="s.forecast.issued").set_value(f"{made} 00:30").run()
    when.app.text_input(key="s.forecast.front_free_h").set_value("72").run()
    assert "Forecast: inside limits" in when.words
    when.app.button(key="undo").click().run()
    assert "Forecast: not known" in when.words


def test_law_what_was_typed_of_a_forecast_before_its_hours_came_stays_and_of_the_next_is_asked_again(
    when: Visit,
) -> None:
    """Fields are filled from above: when it was made, its height, then the hours. A front that one forecast did not
    see says nothing of the next."""
    example = when.app.text_area(key="when.paste").placeholder
    assert "wind (mph)" in example, "as the forecasts of a site in these units have it"
    hours = HOURS.replace("wind_speed_10m", "wind").replace("wind_gusts_10m", "gust")
    made = f"{min(dt.date.today(), dt.date(2026, 12, 5))} 00:30"
    when.app.text_input(key="s.forecast.issued").set_value(made).run()
    when.app.text_area(key="when.paste").set_value(hours).run()
    assert "At which height its winds are" in when.words
    when.app.selectbox(key="s.forecast.wind_at").set_value("10_m").run()
    assert "At which height its winds are" not in when.words, "it was chosen"
    when.app.button(key="when.keep").click().run()
    assert "These hours are the forecast of the site." in when.words
    when.app.text_input(key="s.forecast.front_free_h").set_value("72").run()
    assert "Forecast: inside limits" in when.words
    when.app.text_area(key="when.paste").set_value(hours.replace(",7,", ",6,")).run()
    when.app.button(key="when.keep").click().run()
    assert not when.site.section("forecast").has("issued")
    assert not when.site.section("forecast").has("front_free_h")


def test_refuses_a_forecast_it_cannot_read_in_a_sentence(when: Visit) -> None:
    when.app.text_area(key="when.paste").set_value("wind\n3").run()
    assert "one column only" in when.words
    assert not when.site.records("forecast_hours")


def test_law_a_column_chosen_by_hand_brings_the_unit_of_its_head(when: Visit) -> None:
    """And where a wind comes from is shown beside it, before it is kept."""
    when.app.text_area(key="when.paste").set_value("time,up here (mph),wind from\n2026-12-05 08:00,9,270").run()
    when.app.selectbox(key="when.column.wind").set_value("up here (mph)").run()
    assert not [each for each in when.app.selectbox if each.key == "when.unit.wind"]
    assert "Wind from" in when.words
    assert "270°" in when.words


def test_law_what_would_help_is_worked_out_when_asked(when: Visit) -> None:
    assert "Last burn day Sat 2 Jan 2027" in when.words
    assert "Work seven days a week" not in when.words
    when.app.button(key="when.helps.go").click().run()
    assert "Work seven days a week" in when.words


def test_law_a_record_of_days_becomes_the_weather_of_its_months_and_heaps_are_foreseen(when: Visit) -> None:
    assert "is not foreseen: that takes the weather" in when.words
    days = "time,temp (°F),humidity %,rain (mm)\n" + "".join(f"2025-11-{n:02d},45,70,0\n" for n in range(1, 31))
    when.app.text_area(key="when.days.paste").set_value(days).run()
    when.app.button(key="when.months").click().run()
    assert [each.integer("month") for each in when.site.records("climate")] == [11]
    assert "P1 is likely dry" in when.words


def test_law_days_brought_are_what_the_slash_dries_through(when: Visit) -> None:
    rows = "".join(f"2026-11-{n:02d},45,70,{8 * (n == 4)}\n" for n in range(1, 31) if n not in (9, 10))
    when.app.text_area(key="when.days.paste").set_value("date,temp (°F),humidity %,rain (mm)\n" + rows).run()
    assert "2 days between its first and last" in when.words
    when.app.button(key="when.days.keep").click().run()
    days = when.site.records("weather_days")
    assert [each.number("rain_mm") for each in days[:5]] == [0, 0, 0, 8, 0]
    assert "28 days recorded" in when.words
    assert "by the months" in when.words
    when.app.button(key="when.days.drop").click().run()
    assert not when.site.records("weather_days")


def test_law_the_weeks_on_a_phone_say_what_their_words_mean(when: Visit) -> None:
    """The wall calendar of a narrow screen has no picture beside it: each word of its cells is explained under it."""
    weeks = _weeks(when)
    said = weeks.split("<caption>")[1].split("</caption>")[0]
    assert {word for word in ("look", "again") if f"<i>{word}</i>" in weeks} == {"look", "again"}
    assert all(f"{word}: " in said for word in ("look", "again", "striped"))


def test_law_no_kiln_that_may_not_be_lit_is_printed_bold_in_the_weeks_on_a_phone(when: Visit) -> None:
    """Dates in print read as leave to burn. Without its forecast no kiln of the sample may be lit, with it K1 may."""
    assert "<b>" not in _weeks(when)
    assert "?: may not be lit" in _weeks(when)
    sample = _weeks(Visit().go("when"))
    assert set(re.findall("<b>(.*?)</b>", sample)) == {"K1"}
    assert "K2 ?" in sample


def test_law_a_round_with_the_meter_is_typed_once_and_its_figures_heap_by_heap(when: Visit) -> None:
    """Day, face, way of counting and warmth are those of the last reading; the figures are what was typed, nothing else
    is made up, and what is no figure adds nothing."""
    heap = when.site.of_kind("pile")[0]
    read = {"moisture_pct": 16, "basis": "dry", "date": "2026-12-04", "where": "core", "wood_c": 10, "place": "top"}
    bare = when.site.put(*(each.with_values(readings=None) for each in when.site.of_kind("pile", "windrow")))
    tab = Visit(store().create(bare.put(heap.with_values(readings=[read]))).link).go("when")
    other = tab.site.of_kind("pile")[1]
    tab.app.selectbox(key="when.heap").set_value(other.id).run()
    field, go = f"draft.readings.{other.id}.0", f"readings.{other.id}.go"
    tab.app.text_input(key=field).set_value("12 damp 13").run()
    tab.app.button(key=go).click().run()
    assert "damp" in tab.words
    assert not tab.site.get(other.id).records("readings")
    tab.app.text_input(key=field).set_value("12,5 14").run()
    tab.app.button(key=go).click().run()
    shared = {"basis": "dry", "date": "2026-12-04", "where": "core", "wood_c": 10}
    kept = [dict(each.values) for each in tab.site.get(other.id).records("readings")]
    assert kept == [{"moisture_pct": 12.5, **shared}, {"moisture_pct": 14, **shared}]


def _weeks(tab: Visit) -> str:
    """The wall calendar of a narrow screen."""
    return next(each.proto.body for each in tab.app.get("html") if "ps-cal" in each.proto.body)


def test_law_a_heap_is_dry_here_only_where_the_decision_takes_it_for_dry(visit: Callable[[str], Visit]) -> None:
    """Of two heaps read alike, one was read in winter: it stands in its own line, beside the bar of its kiln."""
    old = SafeSite().put("p1", readings=[dry(14, date="2026-03-01")] * 6)
    words = visit(store().create(old.site()).link).go("when").words
    assert "P1: moisture not known It was seen on Sun 1 Mar 2026" in words
    assert "P2: dry by readings" in words
    assert "P1, P2: dry by readings" in visit(store().create(SafeSite().site()).link).go("when").words
