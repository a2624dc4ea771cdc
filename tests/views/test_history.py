"""Named copies, the history in plain words, the way back to any point, and deleted sites that come back."""

from __future__ import annotations

import re

import pytest

from sitemap.site.merging import NOTHING, Change
from sitemap.site.model import Feature, Site
from sitemap.views import changed
from tests.views.conftest import Visit, store

FEATURE = ("feature:p1",)
SITE = (
    Site((Feature.of("p1", None, {"kind": "pile", "name": "P1", "height_m": 2}),))
    .with_member("units", "metric")
    .with_item("kilns", {"id": "k1", "name": "K1"})
)


@pytest.mark.parametrize(
    ("change", "words"),
    [
        (Change((*FEATURE, "properties", "height_m"), 2, 2.5), "P1 (heap), height: 2 m → 2.5 m"),
        (Change((*FEATURE, "properties", "height_m"), NOTHING, 2.5), "P1 (heap), height: blank → 2.5 m"),
        (Change((*FEATURE, "properties", "height_m_low"), 1, NOTHING), "P1 (heap), height lowest: 1 m → blank"),
        (Change((*FEATURE, "geometry"), {"type": "Point"}, {"type": "Point"}), "P1 (heap) moved"),
        (Change((*FEATURE, "geometry"), None, {"type": "Point"}), "P1 (heap) placed"),
        (Change(FEATURE, NOTHING, {"properties": {"kind": "pile", "name": "New"}}), "New (heap) added"),
        (Change(("feature:x",), {"properties": {"kind": "pile", "name": "Old"}}, NOTHING), "Old (heap) taken away"),
        (
            Change(("member:equipment", "kilns", "k1", "length_m"), 2, 3),
            "Kiln K1, length at the top, inside: 2 m → 3 m",
        ),
        (Change(("member:equipment", "kilns", "k1", "holds_water"), None, "drips"), "holds water: blank → drips"),
        (Change(("member:crew", "adults"), 2, 3), "Crew, adults on site: 2 → 3"),
        (Change(("member:log", 2, "buckets"), 3, NOTHING), "Log, row 3, buckets of char: 3 → blank"),
        (Change(("member:name",), "A", "B"), "Name of the site: A → B"),
        (Change(("member:looked",), NOTHING, [{"kind": "stream"}]), "Looked, none found added"),
        (Change(("top:own",), 1, [1, 2]), "Own: 1 → 1, 2"),
    ],
)
def test_law_a_change_is_told_in_plain_words(change: Change, words: str) -> None:
    assert str(changed.told(change, SITE)).endswith(words)


def test_law_when_a_fact_was_seen_is_no_change_of_its_own() -> None:
    assert changed.told(Change((*FEATURE, "properties", "seen", "ground", "on"), NOTHING, "2026-11-20"), SITE) is None


def test_law_copies_history_and_deleted_sites_on_their_page() -> None:
    tab = Visit()
    link, name = tab.link, tab.site.name
    tab.app.segmented_control(key="site.units").set_value("metric").run()
    tab.choose("p1")
    for text in ("2.5", "3"):
        tab.app.text_input(key="f.p1.height_m").set_value(text).run()
    tab.go("history")
    assert "P1 (heap), height: 2.5 m → 3 m" in tab.words
    assert re.search(r"P1: height · the site stands here", tab.words.replace("*", ""))

    tab.app.text_input(key=f"draft.copy.name.{link}").set_value("Before the **trial**").run()
    tab.app.button(key="copy.keep").click().run()
    assert (tab.link, {each.name for each in store().sites()}) == (link, {name, "Before the **trial**"})

    points = tab.app.selectbox(key="history.at")
    number = store().history(link)[1].number
    points.set_value(number).run()
    tab.app.button(key="history.restore").click().run()
    assert tab.site.get("p1").number("height_m") == 2.5
    assert len(store().history(link)) == 4
    tab.app.button(key="undo").click().run()
    assert tab.site.get("p1").number("height_m") == 3.0
    assert "taken back" in tab.words
    tab.app.selectbox(key="history.at").set_value(0).run()
    tab.app.button(key="history.copy").click().run()
    assert sum("As it was begun" in each.name for each in store().sites()) == 1

    tab.app.button(key="site.delete").click().run()
    assert tab.link != link
    assert f"{name} is deleted. It stays on this computer" in tab.words
    (gone,) = store().sites(away=True)
    assert (gone.link, gone.away is not None) == (link, True)
    other = Visit(link)  # somebody has it open still: it is told, and nothing typed there is lost
    assert "This site was deleted in another tab" in other.words
    other.app.text_input(key="site.name").set_value("Typed all the same").run()
    assert store().open(link).site.name == "Typed all the same"
    other.app.button(key="away.back").click().run()
    assert "was deleted in another tab" not in other.words
    assert store().sites(away=True) == ()
    store().put_away(link)
    tab.app.run()
    tab.app.button(key="history.away.back").click().run()
    assert store().sites(away=True) == ()
    assert len(store().history(link)) == 5
