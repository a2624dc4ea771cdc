"""Where the keys stand: after a press, a part of the page that goes, another page, a file that is being made."""

from __future__ import annotations

from playwright.sync_api import expect

from sitemap.site.store import Store
from tests.browser.app_page import map_frame, open_app, settled, symbol
from tests.browser.conftest import Address, OpenPage
from tests.site.builders import site_of

#  Where the focus is after it was left and the page has changed in some part.
LEFT = """() => new Promise((told) => {
  document.activeElement.blur();
  document.querySelector("[data-testid=stApp]").append(document.createElement("i"));
  requestAnimationFrame(() => told(document.activeElement.tagName));
})"""


def test_law_a_press_by_key_leaves_the_keys_where_the_work_goes_on(open_page: OpenPage, app_url: Address) -> None:
    """Found by a walk without a mouse: where the pressed button was gone after it, the focus was nowhere, and what had
    been added lay behind the stops of the Tab key."""
    page = open_page()
    frame = open_app(page, app_url)
    frame.get_by_role("button", name="K1: may be lit").press("Enter")
    page.get_by_role("button", name="Back to the whole site").wait_for()
    settled(page)
    page.keyboard.press("f")
    expect(page.get_by_role("combobox", name="Kiln that stands here")).to_be_focused()
    page.keyboard.press("Escape")
    assert map_frame(page).evaluate("document.activeElement.id") == "map_div"
    page.keyboard.press("Escape")  # nothing is chosen any more
    page.keyboard.press("Escape")
    expect(page.get_by_role("link", name="Map", exact=True)).to_be_focused()
    symbol(frame, "p1").click()
    sure = page.get_by_role("button", name="how sure: Length")
    sure.press("Enter")  # what opens over the page stands behind its last stop
    page.get_by_role("dialog").locator(":focus").wait_for()
    page.keyboard.press("Escape")
    expect(sure).to_be_focused()
    page.get_by_role("button", name="Back to the whole site").focus()
    page.keyboard.press("Enter")
    expect(page.get_by_role("combobox", name="Shown here")).to_be_focused()
    page.keyboard.press("Tab")
    at = page.evaluate(LEFT)
    assert at == "BODY"  # what was pressed before is no reason to take the keys from where they are
    page.get_by_role("link", name="Kilns and clock", exact=True).press("Enter")
    page.get_by_role("button", name="Add a kiln").wait_for()
    settled(page)  # the page itself, once; then no key waits for it
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
    page.keyboard.press("Escape")  # shuts the list, and leads nowhere
    box = page.locator('[data-testid="stSelectbox"] [role="group"]', has=page.locator(":focus"))
    assert box.evaluate("box => getComputedStyle(box).outlineStyle") == "solid"
    page.keyboard.press("Escape")
    expect(page.get_by_role("link", name="Kilns and clock", exact=True)).to_be_focused()
    assert page.faults == []


def test_law_a_form_is_filled_as_fast_as_a_hand_types(open_page: OpenPage, app_url: Address) -> None:
    """Found by a walk without a mouse: the name that was there stayed before the one typed, Tab right after a choice
    led to a cross that was gone a moment later, and each question mark took what was typed for its field."""
    page = open_page()
    page.goto(f"{app_url}/kilns?site={Store(app_url.data).create(site_of()).link}")
    page.get_by_role("button", name="Add a kiln").press("Enter")
    page.get_by_role("textbox", name="Name", exact=True).and_(page.locator(":focus")).wait_for()
    keys = page.keyboard
    for typed in ("Box A", "box"):
        keys.type(typed)
        keys.press("Tab" if typed != "box" else "Enter")
    length = page.get_by_role("textbox", name="Length at the top")
    length.wait_for()
    for typed in ("5", "4", "3", "holds"):  # over the question mark before the last
        keys.press("Tab")
        keys.type(typed)
    keys.press("Enter")
    keys.press("Tab")  # at once
    keys.type("6")
    thickest = page.get_by_role("textbox", name="Thickest piece")
    expect(thickest).to_be_focused()
    keys.press("Shift+Tab")
    expect(page.get_by_role("button", name="Help for Thickest piece")).to_be_focused()
    keys.type("7")
    expect(thickest).to_be_focused()
    settled(page)
    shown = {each.get_attribute("aria-label"): each.input_value() for each in page.locator("details input").all()}
    assert shown["Name"] == "Box A", shown
    assert (shown["Length at the top, inside (m)"], shown["Depth inside (m)"]) == ("5", "3")
    assert (shown["Holds water"], shown["Thickest piece it takes (cm)"]) == ("holds water", "7")
    assert page.faults == []


def test_law_a_button_that_leads_to_another_page_leads_the_keys_to_its_head_and_begins_what_it_names(
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
    said = page.frame_locator("iframe").locator(".pit-talk")
    expect(said).to_contain_text("Water source: touch its place on the map")  # what the page waits for is begun
    page.frame_locator("iframe").get_by_role("button", name="Cancel").click()
    page.get_by_role("link", name="Slash", exact=True).click()
    page.get_by_role("link", name="Map", exact=True).click()
    page.frame_locator("iframe").get_by_role("button", name="+ Add").wait_for()  # begun once
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
