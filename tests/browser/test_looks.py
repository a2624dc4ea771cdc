"""The map as an eye reads it: names beside what they name, over nothing, on every sample and several zooms."""

from __future__ import annotations

import datetime as dt

import pytest
from playwright.sync_api import expect

from sitemap.site.store import Store
from sitemap.views.samples import names, with_files
from tests.browser.app_page import map_frame, open_app, settled, until
from tests.browser.conftest import Address, OpenPage
from tests.browser.measures import COVERED, NEARER

BEFORE = dt.date(2026, 1, 1)  # the burns of the samples are still to come


@pytest.mark.parametrize(("width", "height", "zooms"), [(1280, 900, 2), (360, 740, 2)])
def test_law_names_lie_over_nothing_and_beside_what_they_name(
    open_page: OpenPage, app_url: Address, width: int, height: int, zooms: int
) -> None:
    page = open_page(width, height, touch=width < 600)
    store = Store(app_url.data)
    for sample in names():
        frame = open_app(page, f"{app_url}?site={store.create(with_files(sample, BEFORE, store)).link}")
        for _ in range(zooms):
            assert frame.locator(".pit-label").count() > 5
            for measure in (NEARER, COVERED):
                until(map_frame(page), f"() => ({measure})().length === 0")
            frame.get_by_role("button", name="Zoom in").click()
            expect(frame.locator(".leaflet-zoom-anim")).to_have_count(0)
    assert page.faults == []


@pytest.mark.parametrize(("width", "height"), [(1280, 900), (390, 844)])
def test_law_folds_beside_each_other_can_all_be_seen_and_an_open_one_has_the_whole_width(
    open_page: OpenPage, app_url: Address, width: int, height: int
) -> None:
    page = open_page(width, height, touch=width < 600)
    page.goto(f"{app_url}/when")
    fold = page.locator(".st-key-row-dates summary", has_text="Working days, permit, closed days")
    fold.wait_for()
    settled(page)
    expect(page.locator(".st-key-row-dates summary").nth(1)).to_be_visible()
    expect(fold).to_be_visible()
    fold.click()
    page.get_by_label("Working days a week").first.wait_for()
    settled(page)
    row = page.locator(".st-key-row-dates").bounding_box()
    opened = fold.bounding_box()
    assert row
    assert opened
    assert opened["width"] > 0.95 * row["width"]
    assert page.faults == []
