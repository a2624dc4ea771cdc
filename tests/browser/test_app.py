"""The whole way through in a real browser without network: look, draw, drag, read, undo, come back.

The tests work on one page in their order, each on what the ones before left there; the last leave the sample.
"""

from __future__ import annotations

import math
import re

import pytest
from playwright.sync_api import FrameLocator, Page, expect

from tests.browser.app_page import figure, go, open_app, settled, slow_down, symbol, type_number, until, verdict_of
from tests.browser.conftest import Address, OpenPage, Visit, map_of
from tests.browser.hand import Finger, carry, middle


@pytest.fixture
def at_sample(keep_page: OpenPage, app_url: Address, standing: dict[bool, Visit]) -> Visit:
    """The map of a sample, on which the tests before went to work; nothing is chosen."""
    if False in standing:
        page = standing[False]
        back = page.get_by_text("Back to the whole site")
        if back.count():
            back.click()
            expect(back).to_have_count(0)
            settled(page)
    else:
        page = standing[False] = keep_page()
        open_app(page, app_url)
    return page


@pytest.fixture
def phone(keep_page: OpenPage, app_url: Address, standing: dict[bool, Visit]) -> Visit:
    """The same on a phone."""
    if True not in standing:
        standing[True] = keep_page(390, 844, touch=True)
        open_app(standing[True], app_url)
    return standing[True]


def towards(page: Page, frame: object, what: str, target: str, short_px: float = 0.0) -> tuple[float, float]:
    """How far to drag one symbol to come within so many pixels of another."""
    (x, y), (x1, y1) = middle(symbol(frame, what)), middle(symbol(frame, target))
    length = math.hypot(x1 - x, y1 - y)
    share = (length - short_px) / length
    return (x1 - x) * share, (y1 - y) * share


def test_law_a_first_visit_opens_a_sample_with_its_verdicts(at_sample: Visit) -> None:
    page, frame = at_sample, map_of(at_sample)
    page.get_by_text("To begin with").wait_for()
    for kiln in ("K1", "K2", "K3"):
        verdict_of(page, kiln).wait_for()
        expect(symbol(frame, kiln.lower()).locator("svg text").first).to_have_text(kiln)
    assert re.search(r"\?site=[\w-]+", page.url)
    assert (page.outside, page.faults) == ([], [])


def test_law_one_press_of_back_is_one_page_back(at_sample: Visit) -> None:
    page = at_sample
    for title in ("Slash", "Water"):
        go(page, title)
    for title in ("Slash", "Map"):
        page.go_back()
        expect(page.locator(".ps-head h3")).to_have_text(title)
        settled(page)
    page.get_by_test_id("stSidebarNav").get_by_role("link", name="Water").press("Enter")
    expect(page.locator(".ps-head h3", has_text="Water")).to_be_focused()  # by a key: not back at the head of the menu
    settled(page)
    go(page, "Map")


def sizes(page: Page) -> list[str]:
    return [
        page.get_by_role("textbox", name=f"{label} (", exact=False).first.input_value()
        for label in ("Length", "Width", "Height")
    ]


def test_law_a_number_typed_without_enter_outlives_a_change_of_page_and_the_shutting_of_a_fold(
    at_sample: Visit,
) -> None:
    page = at_sample
    symbol(map_of(page), "p1").click()
    name = page.get_by_label("Name", exact=True)
    expect(name).to_have_value("P1")
    settled(page)
    before = sizes(page)
    field = page.get_by_role("textbox", name="Length (", exact=False).first
    field.fill("37.5")  # no Enter, no Tab
    go(page, "Slash")  # one press: made again by the page itself where the framework forgets it
    go(page, "Map")
    settled(page)
    expect(name).to_have_value("P1")
    page.get_by_role("textbox", name="Width (", exact=False).first.click()
    page.get_by_text("Back to the whole site").click()
    expect(name).to_have_count(0)
    settled(page)
    symbol(map_of(page), "p1").click()
    expect(name).to_have_value("P1")
    settled(page)
    expect(field).to_have_value("37.5")  # where the framework lost it on the way, it is put back a moment later
    assert sizes(page) == ["37.5", *before[1:]]
    more, inside = page.locator("summary", has_text=re.compile("More")), page.locator("details[open] input")
    expect(inside).to_have_count(0)  # made when it is opened, not before
    expect(more).to_contain_text("filled)")
    more.click()
    height = page.get_by_role("textbox", name="Elevation above sea level (", exact=False)
    height.fill("321")  # no Enter, no Tab
    more.click()
    expect(height).to_have_count(0)
    settled(page)
    more.click()
    expect(height).to_have_value("321")


def test_law_a_thing_given_another_name_stays_open_for_what_is_typed_next(at_sample: Visit) -> None:
    page = at_sample
    symbol(map_of(page), "p3").click()
    settled(page)
    for name in ("Tops A", "Tops B"):
        page.get_by_label("Name", exact=True).fill(name)
        page.get_by_label("Name", exact=True).press("Enter")
        expect(page.get_by_test_id("stMain").get_by_role("combobox").first).to_have_value(f"Heap {name}")
    before = figure(page, "Dry slash").inner_text()
    type_number(page, "Height (ft)", "9")
    expect(figure(page, "Dry slash")).not_to_have_text(before)


def test_law_in_the_panel_nothing_lies_over_the_length_of_a_hose(at_sample: Visit) -> None:
    """Found by a walk at 1280 px: the button that takes a hose away lay over the last figure of its length."""
    page = at_sample
    symbol(map_of(page), "tender").click()
    hose = page.locator('[class*="st-key-record-"]').first
    length, away = hose.get_by_role("textbox", name="Length (ft)"), hose.get_by_role("button", name="Take this away")
    left, right = length.bounding_box(), away.bounding_box()
    assert left
    assert right
    assert left["x"] + left["width"] <= right["x"]
    assert right["x"] + right["width"] <= 1280 - 16  # the margin of the page
    panel = hose.get_by_role("combobox", name="Hose")
    assert panel.evaluate("input => input.scrollWidth <= input.clientWidth")  # its name is read in full


def test_law_a_sentence_about_what_was_done_does_not_move_the_map(at_sample: Visit) -> None:
    """It comes and goes while a hand may be on the map."""
    page, frame = at_sample, map_of(at_sample)
    symbol(frame, "p1").click()
    where = page.get_by_label("Place", exact=True)
    expect(where).not_to_have_value("")
    settled(page)
    where.click()  # it may lie below the edge: the page is scrolled to it before
    before = page.locator("iframe").first.bounding_box()
    where.fill("")
    where.press("Enter")
    said = page.get_by_text("P1 keeps its place: write another one, or delete the thing.")
    expect(said).to_be_in_viewport()
    settled(page)
    assert page.locator("iframe").first.bounding_box() == before
    carry(page, symbol(frame, "k2"), 30, -15)
    expect(said).to_have_count(0)
    settled(page)
    assert page.locator("iframe").first.bounding_box() == before


def test_law_a_kiln_dragged_to_the_power_line_is_ruled_out_and_undo_brings_it_back(at_sample: Visit) -> None:
    page, frame = at_sample, map_of(at_sample)
    box = page.locator("iframe").first.bounding_box()
    assert box
    assert box["width"] >= 0.6 * 1280
    before = verdict_of(page, "K1").inner_text()
    assert "not here" not in before
    place = middle(symbol(frame, "k1"))
    carry(page, symbol(frame, "k1"), *towards(page, frame, "k1", "power-1"))
    expect(verdict_of(page, "K1")).to_contain_text("not here")
    expect(verdict_of(page, "K1")).to_contain_text("Power line")
    expect(frame.locator(".pit-talk")).to_contain_text("Kiln K1: not here")
    expect(symbol(frame, "k1").locator("text", has_text="✕")).to_have_count(1)
    page.get_by_role("button", name="Undo").click()
    expect(verdict_of(page, "K1")).not_to_contain_text("not here")
    settled(page)
    assert middle(symbol(frame, "k1")) == pytest.approx(place, abs=1)
    page.get_by_role("button", name="Redo").click()
    expect(verdict_of(page, "K1")).to_contain_text("not here")
    settled(page)
    page.get_by_role("button", name="Undo").click()
    expect(verdict_of(page, "K1")).not_to_contain_text("not here")
    settled(page)
    carry(page, symbol(frame, "k1"), *towards(page, frame, "k1", "p2", 3))
    expect(verdict_of(page, "K1")).to_contain_text("not here")
    page.locator(".ps-verdict", has_text="move the kiln away from P2").first.wait_for()
    frame.get_by_role("button", name="Checks").click()
    expect(frame.locator(".pit-checks tr").nth(1)).to_contain_text("short")
    frame.get_by_role("button", name="Undo").click()
    expect(verdict_of(page, "K1")).not_to_contain_text("not here")
    assert page.faults == []


#  On a busy machine the map was found a screen lower, the first moment after it was drawn anew.
MAP_IN_SIGHT = "() => document.querySelector('iframe').getBoundingClientRect().top < innerHeight / 2"


def test_law_a_refresh_and_a_second_tab_show_the_last_edit(at_sample: Visit, keep_page: OpenPage) -> None:
    page, frame = at_sample, map_of(at_sample)
    carry(page, symbol(frame, "k2"), 30, -15)
    expect(page.get_by_role("button", name="Undo")).to_be_enabled()
    settled(page)
    place, link = middle(symbol(frame, "k2")), page.url
    page.reload()
    frame = map_of(page)
    settled(page)
    until(page, MAP_IN_SIGHT)
    assert middle(symbol(frame, "k2")) == pytest.approx(place, abs=2)
    other = keep_page()
    open_app(other, link)
    expect(other.get_by_role("button", name="Undo")).to_be_enabled()
    other.close()


def pile_drawn(page: Visit, name: str, right: float) -> FrameLocator:
    """Draw a pile on the sample, in metres, right of pile P6."""
    frame = map_of(page)
    page.get_by_test_id("stSidebar").get_by_text("metric", exact=True).click()
    settled(page)
    frame.get_by_role("button", name="+ Add").click()
    frame.locator(".pit-kind", has_text="Heap").click()
    x, y = middle(symbol(frame, "p6"))
    page.mouse.click(x + right, y + 60)
    expect(page.get_by_label("Name", exact=True)).to_have_value(name)
    settled(page)
    return frame


def test_law_a_pile_is_drawn_measured_and_weighed(at_sample: Visit) -> None:
    """A blank shape is taken as a dome. Half an ellipsoid of 6 × 4 × 2 m: 2/3·π·3·2·2 = 25.1 m³ (solid geometry)."""
    page, frame = at_sample, pile_drawn(at_sample, "P7", -30)
    for label, value in (("Length (m)", "6"), ("Width (m)", "4"), ("Height (m)", "2")):
        type_number(page, label, value)
    expect(figure(page, "Volume as it lies")).to_contain_text("25 m³")
    weighed = re.match(r"([\d.]+) t", figure(page, "Dry slash").inner_text())
    assert weighed
    assert 0.05 * 0.35 < float(weighed[1]) / 25.1 < 0.35 * 0.65  # t/m³: least and most wood share by wood density
    symbol(frame, "pile-1").or_(frame.locator(".pit-selected .pit-label", has_text="P7")).first.wait_for()


def test_law_sizes_typed_faster_than_the_page_answers_all_arrive(at_sample: Visit) -> None:
    """On a slow computer, where each answer of the page lands in the middle of the next number. The button that says
    how sure a number is stands between two of them for the Tab key: figures typed there are meant for the next."""
    page = at_sample
    pile_drawn(page, "P8", -60)
    faster = slow_down(page)
    page.get_by_role("textbox", name="Length (m)", exact=True).click()
    for label, value in (("Length", "6"), ("Width", "4")):
        while page.evaluate("document.activeElement.ariaLabel") != f"{label} (m)":
            page.keyboard.press("Tab")
        page.keyboard.type(value)
    for key in ("Tab", "2", "Enter"):
        page.keyboard.press(key)
    faster()
    expect(figure(page, "Volume as it lies")).to_contain_text("25 m³")


def test_law_the_first_thing_drawn_on_an_own_site_does_not_move_the_map(at_sample: Visit) -> None:
    page = at_sample
    page.get_by_role("button", name="Start an own site").click()  # on the map page, beside the sample
    page.get_by_text("Say where it is").wait_for()
    settled(page)
    before = page.locator("iframe").first.bounding_box()
    assert before
    frame = page.frame_locator("iframe").first
    frame.get_by_role("button", name="+ Add").click()
    frame.locator(".pit-kind", has_text="Gate").click()
    page.mouse.click(before["x"] + 300, before["y"] + 200)
    page.get_by_label("Name", exact=True).wait_for()
    settled(page)
    assert page.locator("iframe").first.bounding_box() == before


def test_law_a_thumb_does_the_whole_job_at_phone_width(phone: Visit) -> None:
    page, frame, finger = phone, map_of(phone), Finger(phone)
    expect(page.get_by_test_id("stSidebarNav")).not_to_be_in_viewport()
    box = page.locator("iframe").first.bounding_box()
    assert box
    assert box["y"] < 120  # the map comes first
    assert box["height"] > 300
    finger.tap(symbol(frame, "k1"))
    finger.drag(symbol(frame, "k1"), *towards(page, frame, "k1", "power-1"))
    expect(verdict_of(page, "K1")).to_contain_text("not here")
    settled(page)
    finger.tap(page.get_by_role("button", name="Undo"))
    expect(verdict_of(page, "K1")).not_to_contain_text("not here")
    settled(page)
    for button in page.locator('[data-testid="stMain"] button:visible').all():
        size = button.bounding_box()
        if size and button.inner_text().strip():
            assert size["height"] >= 43.9, button.inner_text()
    assert (page.outside, page.faults) == ([], [])


def test_law_the_menu_of_a_phone_gets_out_of_the_way_of_a_new_site(phone: Visit) -> None:
    page = phone
    page.get_by_test_id("stExpandSidebarButton").click()
    page.get_by_test_id("stSidebar").get_by_text("Open", exact=True).click()
    page.get_by_test_id("stSidebar").get_by_role("button", name="Start an own site").click()
    page.get_by_text("Say where it is").wait_for()
    expect(page.get_by_test_id("stSidebarNav")).not_to_be_in_viewport()
