"""A site of one's own from nothing, as a finger and a keyboard begin it."""

from __future__ import annotations

import pytest
from playwright.sync_api import expect

from sitemap.maps.framework import PARTS
from tests.browser.app_page import go, open_app, settled
from tests.browser.conftest import Address, OpenPage


@pytest.mark.parametrize(("width", "height"), [(1280, 900), (390, 844)])
def test_law_a_new_site_waits_with_its_first_field_in_sight_and_in_hand(
    open_page: OpenPage, app_url: Address, width: int, height: int
) -> None:
    """The button that begins it stands below the map on a phone, the field above it."""
    page = open_page(width, height, touch=width < 600)
    open_app(page, app_url)
    page.get_by_role("button", name="Start an own site").press("Enter")
    field = page.get_by_role("textbox", name="Where is it?")
    expect(field).to_be_focused()
    expect(field).to_be_in_viewport()
    page.keyboard.type("43.512, -118.204\n")  # nothing else was touched
    page.get_by_text("The map looks at 43.51200, -118.20400").wait_for()
    assert page.faults == []


def test_law_a_file_being_made_moves_no_map(open_page: OpenPage, app_url: Address) -> None:
    page = open_page(390, 844, touch=True)
    open_app(page, app_url)
    top = page.locator(PARTS["map_frame"]).bounding_box()["y"]
    go(page, "Walk and survey", narrow=True)
    page.get_by_role("button", name="Sheets to print").tap()
    page.get_by_role("button", name="Save survey-sheets.pdf").wait_for()
    go(page, "Map", narrow=True)
    expect(page.get_by_role("button", name="Save survey-sheets.pdf")).to_be_in_viewport()
    settled(page)
    assert page.locator(PARTS["map_frame"]).bounding_box()["y"] == top
    page.get_by_role("button", name="Hide this").tap()
    expect(page.get_by_role("button", name="Save survey-sheets.pdf")).to_have_count(0)
