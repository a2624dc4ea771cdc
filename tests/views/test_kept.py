"""Nothing somebody typed is lost: refresh, another page, undo, units, a second tab, hostile names, bad files."""

from __future__ import annotations

import datetime as dt
import json
from collections.abc import Callable, Iterable
from typing import Any

import pytest

from sitemap.site.model import Entry, Site
from sitemap.site.stamps import SEEN
from tests.views.conftest import ROOT, Visit, store

Open = Callable[..., Visit]
HARM = "**P** `1` <img src=x onerror=alert(1)> $x$ [a](b) :red[c] ~~d~~ {{7*7}} \u202e # end"


@pytest.fixture
def tab(visit: Open) -> Visit:
    """A first visit, in metric units, with pile p1 in the panel."""
    first = visit()
    first.app.segmented_control(key="site.units").set_value("metric")
    return first.choose("p1")


def height(tab: Visit) -> Any:
    return tab.app.text_input(key="f.p1.height_m")


def test_law_an_edit_outlives_a_refresh_and_a_second_tab_sees_it(visit: Open, tab: Visit) -> None:
    height(tab).set_value("2.345").run()
    again = visit(tab.link).choose("p1")
    assert height(again).value == "2.345"
    height(again).set_value("3.0").run()
    tab.app.run()
    assert height(tab).value == "3"
    assert tab.site.get("p1").number("height_m") == 3.0


def test_law_leaving_a_page_and_coming_back_changes_nothing(tab: Visit) -> None:
    height(tab).set_value("2.345").run()
    before = tab.site
    for page in ("slash", "kilns", "water", "map"):
        tab.go(page)
    assert tab.site == before
    tab.choose("p1")
    assert height(tab).value == "2.345"


def test_law_undo_shows_the_old_value_and_redo_the_new(tab: Visit) -> None:
    old = height(tab).value
    height(tab).set_value("2.345").run()
    tab.app.text_input(key="name.p1").set_value("Heap by the oak").run()
    tab.app.button(key="undo").click().run()
    assert tab.app.text_input(key="name.p1").value == "P1"
    tab.app.button(key="undo").click().run()
    assert height(tab).value == old
    tab.app.button(key="redo").click().run()
    assert height(tab).value == "2.345"
    height(tab).set_value("").run()
    assert tab.site.get("p1").number("height_m") is None
    tab.app.button(key="undo").click().run()
    assert height(tab).value == "2.345"


def test_law_units_change_what_is_shown_and_never_what_is_kept(tab: Visit) -> None:
    """One foot is 0.3048 m (NIST SP 811, P)."""
    height(tab).set_value("2.3456789").run()
    kept = [feature.values for feature in tab.site.features]
    for system, shown in (("us", 2.3456789 / 0.3048), ("metric", 2.3456789), ("us", 2.3456789 / 0.3048)):
        tab.app.segmented_control(key="site.units").set_value(system).run()
        assert float(height(tab).value) == pytest.approx(shown, rel=1e-3)
        assert [feature.values for feature in tab.site.features] == kept
        for page in ("kilns", "water", "rules", "map"):
            tab.go(page)
        tab.choose("p1")
    height(tab).set_value("10.0").run()
    assert tab.site.get("p1").number("height_m") == pytest.approx(3.048, rel=1e-9)


@pytest.mark.usefixtures("own_side_open")
def test_law_a_hostile_name_is_only_a_name(tab: Visit) -> None:
    tab.app.text_input(key="name.p1").set_value(HARM).run()
    assert tab.site.get("p1").name == HARM.strip()
    tab.app.text_input(key="site.name").set_value(HARM).run()
    for page in ("map", "slash", "kilns", "water"):
        assert not tab.go(page).app.exception
        for each in tab.app.get("html"):
            assert "<img" not in each.proto.body
        for each in tab.app.markdown:
            assert "<img src" not in each.value.replace("\\<", "")


def test_law_range_and_basis_are_kept_beside_the_number(tab: Visit) -> None:
    app = tab.app
    app.segmented_control(key="f.p1.height_m_basis").set_value("assumed").run()
    assert tab.site.get("p1").raw("height_m_basis") == "assumed"
    app.segmented_control(key="f.p1.height_m_basis").set_value("measured").run()
    app.text_input(key="f.p1.height_m.height_m_low").set_value("1.25").run()
    app.text_input(key="f.p1.height_m.height_m_high").set_value("9.5").run()
    measured = tab.site.get("p1").measured("height_m")
    assert (measured.low, measured.high, measured.basis) == (1.25, 9.5, "measured")
    app.button(key="undo").click().run()
    assert tab.site.get("p1").measured("height_m").high != 9.5


def test_law_a_pump_curve_is_typed_as_pairs(tab: Visit) -> None:
    """One US gallon is 3.785411784 L, one foot 0.3048 m (NIST SP 811, P)."""
    app, pump = tab.go("water").app, tab.site.equipment("pumps")[0].id
    key = f"e.pumps.{pump}.curve"

    def curve() -> Any:
        return tab.site.item("pumps", pump).curve("curve")

    app.text_input(key=key).set_value("0, 40; 150, 30; 300, 0").run()
    assert curve() == ((0, 40), (150, 30), (300, 0))
    app.text_input(key=key).set_value("0, forty").run()
    assert "write pairs like" in tab.words  # beside the field; what was typed stays, and counts as blank
    assert (curve(), app.text_input(key=key).value) == (None, "0, forty")
    app.text_input(key=key).set_value("0, 40; 150, 30; 300, 0").run()
    app.segmented_control(key="site.units").set_value("us").run()
    assert "US gal/min" in app.text_input(key=key).label
    assert curve() == ((0, 40), (150, 30), (300, 0))
    app.text_input(key=key).set_value("0, 131; 79, 0").run()
    assert curve()[0] == pytest.approx((0, 131 * 0.3048))
    assert curve()[1] == pytest.approx((79 * 3.785411784, 0))


def typed(rows: Iterable[Entry]) -> list[dict[str, Any]]:
    """Rows without the place where a kiln burned, which nobody types."""
    return [{name: value for name, value in row.values.items() if name != SEEN} for row in rows]


def test_law_rows_are_added_changed_and_taken_away(tab: Visit) -> None:
    app, before = tab.go("log").app, tab.site

    def log() -> list[dict[str, Any]]:
        return typed(tab.site.records("log"))

    app.selectbox(key="r.log.0.kiln").set_value("K1").run()
    app.text_input(key="r.log.0.buckets").set_value("12").run()
    app.text_input(key="r.log.1.water_l").set_value("1234.5678").run()
    assert log() == [{"kiln": "K1", "buckets": 12.0}, {"water_l": 1234.5678}]
    app.segmented_control(key="site.units").set_value("us").run()
    app.text_input(key="r.log.1.text").set_value(HARM).run()
    assert log()[1] == {"water_l": 1234.5678, "text": HARM.strip()}  # untouched cells keep every digit
    app.button(key="r.log.0.drop").click().run()
    assert log() == [{"water_l": 1234.5678, "text": HARM.strip()}]
    assert app.text_input(key="r.log.0.text").value == HARM.strip()
    app.text_input(key="r.log.0.text").set_value("").run()
    app.text_input(key="r.log.0.water_l").set_value("").run()
    assert log() == []
    for _ in range(8):
        app.button(key="undo").click().run()
    assert tab.site == before


def test_law_cells_of_one_row_typed_at_once_both_count(tab: Visit) -> None:
    """Two changes in one message of the browser: the second builds on the first, not on the page as it was drawn."""
    app = tab.go("log").app
    app.selectbox(key="r.log.0.kiln").set_value("K1")
    app.text_input(key="r.log.0.buckets").set_value("12")
    app.run()
    assert typed(tab.site.records("log")) == [{"kiln": "K1", "buckets": 12.0}]


def test_law_a_kind_in_a_table_is_chosen_by_its_name(tab: Visit) -> None:
    app = tab.go("rules").app
    shown = app.selectbox(key="r.looked.0.kind")
    assert {"Stream", "Buried line", "Wetland"} <= set(shown.options)
    shown.set_value("wetland").run()
    assert tab.site.records("looked")[0].text("kind") == "wetland"


def test_refuses_a_link_nobody_kept(visit: Open) -> None:
    tab = visit("nosuchlink00")
    assert "No site is kept under the link" in tab.words
    assert "(invented)" in tab.site.name


BAD_FILES = (
    b"", b"\xff\xfe\x00", b"{", b"[1, 2]", b'{"type": "FeatureCollection", "features": [{"id": NaN}]}', b"PK\x03\x04",
)  # fmt: skip


@pytest.mark.usefixtures("own_side_open")
@pytest.mark.parametrize("name", ["site.geojson", "site.zip"])
def test_refuses_a_bad_file_and_keeps_the_open_site(tab: Visit, name: str) -> None:
    height(tab).set_value("2.345").run()
    before, link = tab.site, tab.link
    for content in BAD_FILES:
        assert "The site is unchanged." not in tab.words
        tab.app.get("file_uploader")[-1].set_value((name, content, "application/octet-stream")).run()
        assert not tab.app.exception
        assert "The site is unchanged." in tab.words, content
        assert (tab.site, tab.link) == (before, link)
        tab.app.get("file_uploader")[-1].set_value(None).run()


@pytest.mark.usefixtures("own_side_open")
def test_law_a_site_file_goes_round(tab: Visit) -> None:
    sample = (ROOT / "sample_sites" / "juniper_bench.geojson").read_text(encoding="utf-8")
    file = json.loads(sample)
    file["site"]["name"] = "Another place"
    link = tab.link
    uploader = next(each for each in tab.app.get("file_uploader") if "Site file" in each.label)
    uploader.set_value(("other.geojson", json.dumps(file).encode(), "application/geo+json")).run()
    assert tab.site.name == "Another place"
    assert tab.link != link
    assert isinstance(store().open(link).site, Site)


def test_law_name_and_units_stand_beside_every_page():
    """On another page the same input is a new one; it must not begin empty."""
    visit = Visit()
    for page in ("slash", "log", "slash", "words"):
        visit.go(page)
        assert visit.app.text_input(key="site.name").value == visit.site.name
        assert visit.app.button_group(key="site.units").value == visit.site.units


def test_law_a_number_is_read_as_people_write_it(tab: Visit) -> None:
    """Decimal comma and units: international foot and inch (NIST SP 811, P)."""
    for typed, kept in (
        ("1,5", 1.5), ("12 ft", 3.6576), ("1.5", 1.5), (" 2 m ", 2.0), ("6'6\"", 1.9812), ("250 cm", 2.5), ("", None),
    ):  # fmt: skip
        height(tab).set_value(typed).run()
        read = tab.site.get("p1").number("height_m")
        assert read == (kept if kept is None else pytest.approx(kept, rel=1e-9)), typed
        assert height(tab).value == typed  # not written anew under the hand that may type on


def test_refuses_a_number_beside_its_field_and_keeps_what_was_typed(tab: Visit) -> None:
    old = tab.site.get("p1").number("height_m")
    for typed, said in (
        ("about 3", "“about 3” is not a number"),
        ("-5", "Height must be above 0 m; it is −5 m"),
        ("3 kg", "“3 kg” is not in a unit that fits here"),
        ("1,234", "the comma may be a decimal mark or part thousands"),
    ):
        assert said not in tab.words
        height(tab).set_value(typed).run()
        assert tab.site.get("p1").number("height_m") is None
        assert said in tab.words
        assert "height_m" not in tab.words
        for page in ("slash", "map"):
            tab.go(page)
        tab.choose("p1")
        assert height(tab).value == typed
        tab.app.button(key="undo").click().run()
        assert tab.site.get("p1").number("height_m") == old


def test_law_a_date_is_read_as_people_write_it_and_refused_where_it_may_be_two_or_none(tab: Visit) -> None:
    app = tab.go("kilns").app

    def date(typed: str) -> dt.date | None:
        app.text_input(key="s.season.date").set_value(typed).run()
        return tab.site.section("season").date("date")

    for typed in ("2027-05-20", "20 May 2027", "Thu 20 May 2027", "20.5.2027", "5/20/2027"):
        assert date(typed) == dt.date(2027, 5, 20), typed
        assert "Write it like" not in tab.words
        assert "Thu" in tab.words.split()  # 20 May 2027 is a Thursday in any almanac
        assert date("") is None
        assert "Thu" not in tab.words.split()
    for typed in ("5/6/2027", "next week", "31 Feb 2027", "2027"):
        assert date(typed) is None
        assert "Write it like 5 Dec 2026 or 2026-12-05." in tab.words
        assert app.text_input(key="s.season.date").value == typed
        assert date("20 May 2027") == dt.date(2027, 5, 20)
        assert "Write it like" not in tab.words
    assert tab.go("when").app.text_input(key="s.season.date").value == "20 May 2027"


def test_law_what_the_field_of_a_place_showed_before_a_move_is_not_taken_for_typed(tab: Visit) -> None:
    """Found by hand: with the focus in the field, a browser sent what had stood there before the heap was dragged, and
    the heap was back where it came from."""
    field = tab.app.text_input(key="where.p1")
    before, there = str(field.value), "44.0512, -121.3012"
    field.set_value(there).run()
    moved = tab.site.get("p1").geometry
    tab.app.text_input(key="where.p1").set_value(before).run()
    assert tab.site.get("p1").geometry == moved
    assert "P1 was moved since, and stays where it is: Undo takes it back." in tab.words
    assert str(tab.app.text_input(key="where.p1").value).startswith("44.0512")
    tab.app.text_input(key="where.p1").set_value(before.replace(", ", " / ")).run()
    assert tab.site.get("p1").geometry != moved, "another place, or the same written anew, is taken"
