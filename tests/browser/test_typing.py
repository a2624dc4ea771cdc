"""What was typed a moment ago outlives a change of page, whatever is touched next."""

from __future__ import annotations

import re

from playwright.sync_api import Page, expect

from tests.browser.app_page import go, open_app, settled
from tests.browser.conftest import Address, map_of


def sizes(page: Page) -> list[str]:
    return [
        page.get_by_role("textbox", name=f"{label} (", exact=False).first.input_value()
        for label in ("Length", "Width", "Height")
    ]


def test_law_a_number_typed_without_enter_outlives_a_change_of_page_and_the_shutting_of_a_fold(
    page: Page, app_url: Address
) -> None:
    frame = open_app(page, app_url)
    frame.locator('.pit-icon[data-feature="p1"]').first.click()
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
    map_of(page).locator('.pit-icon[data-feature="p1"]').first.click()
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
