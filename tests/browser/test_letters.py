"""Letters typed and not confirmed are never lost: page loaded anew, left or stepped back from, server gone.

The tests work on one page, each on its site begun anew.
"""

from __future__ import annotations

import json

import pytest
from playwright.sync_api import Locator, expect

from sitemap.site.model import Feature, Site
from sitemap.site.store import Store
from tests.browser.app_page import go, settled, slow_down, symbol, until
from tests.browser.conftest import Address, OpenPage, Visit, map_of
from tests.site.builders import site_of, thing

WORDS = "Talked with the neighbour at the upper gate: no smoke towards the stable before noon. " * 5
SITE = site_of(
    thing("p1", "pile", {"type": "Point", "coordinates": [-119.9998, 44.0002]}, name="P1", length_m=6.0, width_m=4.0),
    site={"name": "Bench"},
)
NONE_WAITS = "() => !Object.keys(localStorage).some(key => key.startsWith('pitstead.letters.'))"


class Bench:
    """A page on a small site, and what the store holds of it."""

    def __init__(self, page: Visit, address: Address, path: str = "") -> None:
        self.page, self.store = page, Store(address.data)
        self.link = self.store.create(SITE).link
        page.goto(f"{address}/{path}?site={self.link}")
        settled(page)

    def begin(self) -> None:
        """The site as it was at first, on the map, with nothing chosen and nothing waiting."""
        self.taken()
        self.store.save(self.link, self.site, SITE, "Begun anew")
        if self.page.locator(".ps-head h3").inner_text() == "Map":
            go(self.page, "Slash")
        go(self.page, "Map")
        back = self.page.get_by_text("Back to the whole site")
        if back.count():
            back.click()
            back.wait_for(state="detached")
            settled(self.page)

    @property
    def site(self) -> Site:
        return self.store.open(self.link).site

    @property
    def heap(self) -> Feature:
        found = self.site.get("p1")
        assert found
        return found

    def field(self, label: str) -> Locator:
        return self.page.get_by_role("textbox", name=label).first

    def choose_heap(self) -> None:
        symbol(map_of(self.page), "p1").click()
        self.field("Length (").wait_for()
        settled(self.page)

    def taken(self) -> None:
        """Wait until the browser has heard that everything typed is kept."""
        until(self.page, NONE_WAITS)

    def notice(self, words: str) -> Locator:
        return self.page.get_by_role("alert").filter(has_text=words)


@pytest.fixture
def bench(keep_page: OpenPage, app_url: Address, standing: dict[bool, Bench]) -> Bench:
    """The app on a small site."""
    if False in standing:
        standing[False].begin()
    else:
        standing[False] = Bench(keep_page(), app_url)
    return standing[False]


def test_law_what_is_typed_without_enter_is_kept_when_the_hand_rests(bench: Bench) -> None:
    page = bench.page
    bench.choose_heap()
    faster = slow_down(page, 4)
    name = bench.field("Name")
    name.press("End")
    name.press_sequentially(" by the ", delay=15)
    bench.taken()  # what was typed so far, with a space at its end that the site does not keep
    name.press_sequentially("upper gate and the old loading ramp", delay=15)
    faster()  # while the last answers are on their way
    expect(name).to_have_value("P1 by the upper gate and the old loading ramp")
    bench.taken()
    expect(name).to_be_focused()
    assert bench.heap.name == "P1 by the upper gate and the old loading ramp"
    page.reload()
    bench.choose_heap()
    expect(name).to_have_value("P1 by the upper gate and the old loading ramp")


def test_law_what_is_typed_outlives_a_page_loaded_anew_or_left_at_once(bench: Bench) -> None:
    page = bench.page
    bench.choose_heap()
    bench.field("Length (").fill("7.25")
    page.reload()
    map_of(page)
    expect(bench.notice("7.25")).to_contain_text("back as soon as its field is in sight")
    bench.choose_heap()
    bench.taken()
    expect(bench.field("Length (")).to_have_value("7.25")
    assert bench.heap.number("length_m") == 7.25
    go(page, "Slash")
    go(page, "Map")
    settled(page)
    bench.field("Width (").fill("5.5")
    page.go_back()
    expect(page.locator(".ps-head h3")).to_have_text("Slash")
    bench.taken()
    assert bench.heap.number("width_m") == 5.5
    assert bench.heap.number("length_m") == 7.25


def test_law_the_same_letters_taken_twice_are_not_put_back(bench: Bench) -> None:
    """Found at a slow computer: *Place* cleared a second time came back empty with the heap, whose place was kept. What
    was taken read as before, and so the browser was not told."""
    page = bench.page
    for _ in range(2):
        bench.choose_heap()
        place = bench.field("Place")
        place.press("ControlOrMeta+a")
        place.press("Delete")
        place.press("Enter")
        page.get_by_text("P1 keeps its place").wait_for()
        settled(page)
        bench.taken()
        back = page.get_by_role("button", name="Back to the whole site")
        back.click()
        back.wait_for(state="detached")
        settled(page)
    bench.choose_heap()
    expect(bench.field("Place")).to_have_value("44.000200, -119.999800")


def test_law_half_a_word_in_a_choice_is_said_until_one_is_chosen_and_never_chosen_by_itself(bench: Bench) -> None:
    """It may begin another: “pine” alone is a wood as well."""
    bench.choose_heap()
    wood = bench.page.get_by_role("combobox", name="Wood").first
    wood.click()
    bench.page.keyboard.type("larchwood")
    bench.page.keyboard.press("Tab")
    said = bench.notice("Typed and not chosen: Wood: “larchwood”")
    said.wait_for()
    bench.page.reload()
    said.wait_for()
    assert not bench.heap.has("wood")
    bench.choose_heap()
    wood.click()
    bench.page.keyboard.type("larchwood")
    bench.page.keyboard.press("Enter")
    expect(said).to_be_hidden()
    bench.taken()
    assert bench.heap.values["wood"] == "larchwood"


def test_law_free_words_stay_until_they_are_kept(bench: Bench) -> None:
    page = bench.page
    words, part = bench.field("Write or paste here"), page.get_by_role("radio", name="Free words")
    go(page, "Walk and survey")
    part.click()
    words.fill(WORDS)
    go(page, "Slash")
    go(page, "Walk and survey")
    part.click()
    expect(words).to_have_value(WORDS)
    page.reload()
    expect(bench.notice("Talked with")).to_contain_text("back as soon as its field is in sight")
    part.click()
    expect(words).to_have_value(WORDS)
    page.get_by_role("button", name="Keep as a note").click()
    bench.taken()
    expect(words).to_have_value("")
    go(page, "Copies and history")  # a field that begins with something, and that a press keeps
    copy = bench.field("Name of the copy")
    copy.fill("Before the trial")
    page.reload()
    expect(copy).to_have_value("Before the trial")
    settled(page)
    page.get_by_role("button", name="Keep the copy").click()
    bench.taken()
    (note,) = bench.site.member["notes"]
    assert note["text"] == WORDS.strip()


def test_law_letters_older_than_a_change_are_offered_and_overwrite_nothing(bench: Bench) -> None:
    page = bench.page
    entry = {"site": bench.link, "page": "/", "tab": "gone", "at": 0, "closed": True, "draft": False}
    for key, label, text, was in (
        ("f-p1-length_m", "Length (m)", "9.5", "8"),
        ("f-p1-width_m", "Width (m)", "3.5", "4"),
        ("f-p1-height_m", "Height (ft)", "2.5", ""),  # typed when the site was in other units
    ):
        value = json.dumps({**entry, "key": key, "label": label, "text": text, "was": was})
        page.evaluate("([k, v]) => localStorage.setItem(k, v)", [f"pitstead.letters.{bench.link}/{key}", value])
    bench.choose_heap()
    expect(bench.notice("9.5")).to_contain_text("Changed since: Length (m) “6”")
    expect(bench.notice("2.5")).to_contain_text("Height (ft)")
    expect(bench.field("Width (")).to_have_value("3.5")  # nobody had changed that one
    bench.notice("2.5").get_by_role("button", name="Leave it as it is").click()
    assert bench.heap.number("length_m") == 6.0
    bench.notice("9.5").get_by_role("button", name="Put mine in").click()
    bench.taken()
    heap = bench.heap
    assert (heap.number("length_m"), heap.number("width_m"), heap.number("height_m")) == (9.5, 3.5, None)
    expect(page.get_by_role("alert").filter(has_text="Typed")).to_have_count(0)
