"""Two tabs on one site: what both changed is said with both values, and undo takes back what its button names."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from sitemap.site.model import Feature
from sitemap.site.store import Store
from sitemap.views.holding import Holding
from tests.site.builders import site_of, thing
from tests.views.conftest import Visit, fresh_data


@pytest.fixture(scope="module")
def tabs(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Callable[[], tuple[Visit, Visit]]]:
    """Two tabs that show the same site with pile p1 in the panel; the same two for every test."""
    with fresh_data(tmp_path_factory.mktemp("two")):
        first = Visit()
        first.app.segmented_control(key="site.units").set_value("metric").run()
        second = Visit(first.link)

        def shown() -> tuple[Visit, Visit]:
            for tab in (first, second):
                tab.app.run()
                if tab.app.selectbox(key="panel.choice").value != "p1":
                    tab.choose("p1")
            return first, second

        yield shown


@pytest.fixture(autouse=True)
def own_data() -> None:
    """The two tabs keep their data for all tests here."""


Tabs = Callable[[], tuple[Visit, Visit]]


def typed(tab: Visit, text: str, key: str = "f.p1.height_m") -> None:
    tab.app.text_input(key=key).set_value(text).run()


def press(tab: Visit, start: str) -> None:
    plain = {button.label.replace("\u00a0", " "): button for button in tab.app.button}
    next(button for label, button in plain.items() if label.startswith(start)).click().run()
    assert not tab.app.exception


def height(tab: Visit) -> float | None:
    return tab.site.get("p1").number("height_m")


@pytest.mark.parametrize(("choose", "stands"), [("Keep 3.5 m", 3.5), ("Take 3 m", 3.0)])
def test_law_one_field_typed_in_two_tabs_is_said_and_both_values_are_offered(
    tabs: Tabs, choose: str, stands: float
) -> None:
    first, second = tabs()
    typed(first, "2.5")
    first, second = tabs()
    typed(first, "3")
    typed(second, "3.5")
    assert "P1 (heap), height: you changed 2.5 m to 3.5 m; another tab had made it 3 m." in second.words
    assert "another tab had made" not in first.words
    press(second, choose.replace(".", "\\."))
    assert height(second) == stands
    assert "another tab had made" not in second.words
    assert float(second.app.text_input(key="f.p1.height_m").value) == stands


def test_law_different_fields_of_one_thing_are_both_kept_without_a_question(tabs: Tabs) -> None:
    first, second = tabs()
    typed(first, "4")
    typed(second, "Heap by the oak", "name.p1")
    assert (height(second), second.site.get("p1").name) == (4.0, "Heap by the oak")
    assert "another tab" not in second.words
    press(second, "Undo")


@pytest.mark.parametrize(("choose", "there"), [("Leave it away", False), ("Keep mine", True)])
def test_law_what_another_tab_deleted_is_said_when_it_is_changed_here(tabs: Tabs, choose: str, there: bool) -> None:
    first, second = tabs()
    press(first, "Delete")
    assert first.site.get("p1") is None
    typed(second, "1.5")
    assert "taken away in another tab, while you changed it here" in second.words
    press(second, choose)
    assert (second.site.get("p1") is not None) is there
    while second.site.get("p1") is None or height(second) == 1.5:
        press(second, "Undo")


def test_law_what_was_changed_elsewhere_and_is_deleted_here_is_said(tabs: Tabs) -> None:
    first, second = tabs()
    typed(first, "5")
    press(second, "Delete")
    assert "changed in another tab, while you took it away here" in second.words
    assert second.site.get("p1") is None
    press(second, "Keep it, as changed")
    assert height(second) == 5.0


def test_law_undo_takes_back_what_its_button_names_or_says_why_not(tabs: Tabs) -> None:
    first, second = tabs()
    typed(second, "6")
    typed(first, "Named in the first tab", "name.p1")
    press(second, "Undo")
    assert height(second) != 6.0
    assert second.site.get("p1").name == "Named in the first tab"
    typed(second, "7")
    first, second = tabs()
    typed(first, "8")
    press(second, "Undo")
    assert "is not taken back: what it changed was changed again since" in second.words
    assert height(second) == 8.0


def test_law_a_callback_speaks_of_the_site_as_its_page_shows_it(tmp_path: Path) -> None:
    """A row by its number is the row somebody saw; a thing another tab added is there, so that ids stay apart."""
    kept = Store(tmp_path).create(site_of(thing("pile-1"), site={"log": [{"kiln": "K1"}]}))
    tab = Holding(kept, shown=kept)
    other = kept.site.put(Feature.of("pile-2", None, {"kind": "pile"})).with_member(
        "log", [{"kiln": "K0"}, {"kiln": "K1"}]
    )
    fresh = Store(tmp_path).save(kept.link, kept.site, other, "In another tab")
    seen = tab.as_shown(fresh)
    assert seen.site.records("log")[0].text("kiln") == "K1"
    assert seen.site.new_id("pile") == "pile-3"
    assert tab.as_shown(kept) is kept
    after = seen.site.with_member("log", [{"kiln": "K1", "buckets": 3}])
    tab.keep(lambda: Store(tmp_path), seen, after, "Buckets")
    assert [dict(row) for row in tab.kept.site.member["log"]] == [{"kiln": "K0"}, {"kiln": "K1", "buckets": 3}]
    assert tab.as_shown(tab.kept).site.member["log"] == after.member["log"]
    assert tab.clashes == []
