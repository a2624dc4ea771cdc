"""The map without a mouse."""

from __future__ import annotations

import pytest
from playwright.sync_api import expect

from tests.browser.app_page import map_frame, open_app, settled
from tests.browser.conftest import Address, OpenPage, Visit, map_of
from tests.browser.hand import middle
from tests.browser.map_hand import changed, held, symbol

#  Whether the cross lies on a sign, now or within the next frames: a map just drawn anew sets it a moment later, and
#  has another sign for the thing then.
CROSS_COMES = """(first) => new Promise((told) => {
  const middle = (box) => [box.left + box.width / 2, box.top + box.height / 2];
  let left = 600;
  const look = () => {
    const same = `.pit-icon[data-feature="${first.dataset.feature}"]`;
    const sign = first.isConnected ? first : document.querySelector(same) ?? first;
    const [x, y] = middle(sign.getBoundingClientRect());
    const [cx, cy] = middle(document.querySelector(".pit-cross").getBoundingClientRect());
    if (Math.hypot(x - cx, y - cy) <= 1.5) told(true);
    else if ((left -= 1) > 0) requestAnimationFrame(look);
    else told(false);
  };
  look();
})"""

#  Where the focus is after it was left and the page has changed in some part.
LEFT = """() => new Promise((told) => {
  document.activeElement.blur();
  document.querySelector("[data-testid=stApp]").append(document.createElement("i"));
  requestAnimationFrame(() => told(document.activeElement.tagName));
})"""


def test_law_everything_on_the_map_is_done_without_a_mouse(at_map: Visit) -> None:
    """Choose a tool, set a point and an outline, open what stands under the cross, carry it off: by keys alone."""
    frame, keys = map_of(at_map), at_map.keyboard
    spot = held(at_map, 0)["shapes"]["spot"]["coordinates"]

    def press(*names: str) -> None:
        for name in names:
            keys.press(name)

    def tool(label: str) -> None:
        frame.get_by_role("button", name="+ Add").focus()
        press("Enter")
        expect(frame.get_by_role("region", name="Choose what to add")).to_be_focused()
        frame.locator(".pit-kind", has_text=label).focus()
        press("Enter")
        expect(frame.locator("#map_div")).to_be_focused()
        expect(frame.locator(".pit-keys")).to_contain_text("Enter sets a place")

    tool("Gate")
    press("ArrowRight", "ArrowRight", "Shift+ArrowUp")
    at = middle(frame.locator(".pit-cross"))
    press("Enter")
    ((kind, _),) = held(at_map, 1)["log"][-1]["added"]
    assert kind == "gate"
    new = frame.locator(f'[data-feature="{list(held(at_map, 1)["shapes"])[-1]}"]')
    assert middle(new) == pytest.approx(at, abs=1.5)
    tool("Char pad")
    frame.get_by_role("button", name="An outline").focus()
    press("Enter", *["ArrowDown"] * 8, "Enter", *["ArrowRight"] * 8, "Enter", *["ArrowDown"] * 8, "Enter")
    press(*["ArrowRight"] * 8, "Enter", "Backspace")
    press(*["ArrowLeft"] * 16, "Enter", "Enter")  # the same place again ends it
    ((kind, pad),) = held(at_map, 2)["log"][-1]["added"]
    assert (kind, len(pad["coordinates"][0])) == ("char_pad", 5)
    frame.locator("#map_div").focus()
    press("n")
    assert symbol(frame, "spot").evaluate(CROSS_COMES)
    press("Enter")
    held(at_map, 3)
    expect(frame.locator(".pit-says")).to_have_text("✕Kiln K1: not here")
    press("m", *["ArrowLeft"] * 8)
    frame.locator(".pit-live span").first.wait_for()
    press("Enter")
    state = held(at_map, 4)
    assert list(changed(state)) == ["spot"]
    assert state["shapes"]["spot"]["coordinates"][0] < spot[0]
    assert at_map.faults == []


def test_law_the_map_says_what_its_keys_do_and_the_cross_goes_on_where_it_was(at_map: Visit) -> None:
    """Found by a walk without a mouse: after *Another one* the words were those for choosing, not for drawing, the ring
    of the focus went with the first place set, and every heap was begun in the middle of the map again."""
    frame, keys = map_of(at_map), at_map.keyboard
    frame.locator("#map_div").focus()
    keys.press("a")
    expect(frame.get_by_role("region", name="Choose what to add")).to_be_focused()
    frame.locator(".pit-kind", has_text="Heap").focus()
    for key in ("Enter", "ArrowRight", "ArrowRight", "ArrowDown"):
        keys.press(key)
    at = middle(frame.locator(".pit-cross"))
    keys.press("Enter")
    held(at_map, 1)
    keys.press("Enter")  # chooses what was just set
    held(at_map, 2)
    expect(frame.locator(".pit-keys")).to_contain_text("A adds")
    assert frame.locator("#map_div").evaluate("map => getComputedStyle(map).outlineStyle") == "solid"
    frame.get_by_role("button", name="Another one").focus()
    keys.press("Enter")
    expect(frame.locator("#map_div")).to_be_focused()
    expect(frame.locator(".pit-keys")).to_contain_text("Enter again there finishes")
    assert middle(frame.locator(".pit-cross")) == pytest.approx(at, abs=1.5)
    assert at_map.faults == []


def test_law_a_press_by_key_leaves_the_keys_where_the_work_goes_on(open_page: OpenPage, app_url: Address) -> None:
    """Found by a walk without a mouse: where the pressed button was gone after it, the focus was nowhere, and what had
    been added lay behind the stops of the Tab key."""
    page = open_page()
    frame = open_app(page, app_url)
    frame.locator("#map_div").focus()
    page.keyboard.press("n")
    page.keyboard.press("Enter")
    page.get_by_role("button", name="Back to the whole site").wait_for()
    settled(page)
    page.keyboard.press("f")
    expect(page.locator('[data-testid="stColumn"] input[type="text"]:not([role])').first).to_be_focused()
    page.keyboard.press("Escape")
    assert map_frame(page).evaluate("document.activeElement.id") == "map_div"
    page.get_by_role("button", name="Back to the whole site").focus()
    page.keyboard.press("Enter")
    expect(page.get_by_role("combobox", name="Shown here")).to_be_focused()
    page.keyboard.press("Tab")
    at = page.evaluate(LEFT)
    assert at == "BODY"  # what was pressed before is no reason to take the keys from where they are
    page.get_by_role("link", name="Kilns and clock", exact=True).press("Enter")
    page.get_by_role("button", name="Add a kiln").press("Enter")
    new = page.get_by_role("textbox", name="Name", exact=True).and_(page.locator(":focus"))
    new.wait_for()
    assert new.input_value().startswith("Kiln ")
    page.keyboard.press("Shift+Tab")  # the line that shuts its form
    page.keyboard.press("Tab")
    ring = page.locator('[data-testid="stTextInputRootElement"]', has=page.locator(":focus"))
    assert ring.evaluate("box => getComputedStyle(box).outlineStyle") == "solid"
    page.get_by_role("combobox", name="Shape").last.focus()
    page.keyboard.press("ArrowDown")
    page.keyboard.press("Escape")
    box = page.locator('[data-testid="stSelectbox"] [role="group"]', has=page.locator(":focus"))
    assert box.evaluate("box => getComputedStyle(box).outlineStyle") == "solid"
    assert page.faults == []


def test_law_a_button_that_leads_to_another_page_leads_the_keys_to_its_head(
    open_page: OpenPage, app_url: Address
) -> None:
    """Found by a walk without a mouse: a link did so, a button like *Describe a kiln* left the focus nowhere."""
    page = open_page()
    open_app(page, app_url)
    page.get_by_role("button", name="Start an own site").press("Enter")
    expect(page.get_by_role("textbox", name="Where is it?")).to_be_focused()
    page.get_by_role("link", name="Water", exact=True).press("Enter")
    page.get_by_role("button", name="Draw it on the map").press("Enter")
    expect(page.get_by_role("heading", name="Map", exact=True)).to_be_focused()
    assert page.faults == []


def test_law_the_first_file_asked_for_is_saved_and_the_keys_stay_on_its_button(
    open_page: OpenPage, app_url: Address
) -> None:
    """Found by a walk without a mouse: the first time, the button that saves was fetched later than it was pressed, and
    no file came; and the bar of the work, one part more above the page, took the pressed button and its focus away."""
    page = open_page()
    page.goto(f"{app_url}/papers")
    print_it = page.get_by_role("button", name="Sheets to print (PDF)")
    print_it.wait_for()
    page.get_by_role("button", name="Decision").click()
    page.frame_locator('iframe[title="The burn-site plan"]').locator("body").wait_for()
    settled(page)
    print_it.focus()
    with page.expect_download() as download:
        page.keyboard.press("Enter")
    assert download.value.suggested_filename.endswith("-decision.pdf")
    expect(print_it).to_be_focused()
    assert page.faults == []
