"""A narrow phone: each page from its head, and the distance that decides though the map is small."""

from __future__ import annotations

import re

from playwright.sync_api import expect

from sitemap.site.store import Store
from tests.browser.app_page import go, open_app, slow_down, symbol
from tests.browser.conftest import Address, OpenPage, map_of
from tests.site.builders import point, site_of, thing


def test_law_a_page_of_the_menu_begins_at_its_head_however_far_the_last_was_scrolled(
    open_page: OpenPage, app_url: Address
) -> None:
    """What has to be typed first stands there; on a slow phone the new page comes in piece by piece."""
    page = open_page(360, 740, touch=True)
    open_app(page, app_url)
    faster, main = slow_down(page), page.get_by_test_id("stMain")
    for title in ("Water", "Rules and permit", "Map"):
        main.evaluate("main => main.scrollTo(0, main.scrollHeight)")
        go(page, title, narrow=True)
        assert (title, main.evaluate("main => main.scrollTop")) == (title, 0)
    faster()
    assert page.faults == []


def test_law_of_the_distances_of_a_kiln_the_first_to_turn_is_numbered_though_room_is_scarce(
    open_page: OpenPage, app_url: Address
) -> None:
    """A sign on the middle of its line took its number away, and the next one's stood there alone."""
    site = site_of(
        thing("k", "kiln_spot", point(-119.9995, 44.0005), name="K1"),
        thing("p", "pile", point(-119.9991, 44.0005), name="P1", length_m=4, width_m=4, height_m=2),
        thing("q", "pile", point(-119.9995, 44.0012), name="P2", length_m=4, width_m=4, height_m=2),
        thing("g", "gate", point(-119.9993, 44.0005), name="Gate"),
        thing("l", "lookout", point(-119.9993, 44.0004), name="Lookout"),
    )
    page = open_page(360, 740, touch=True)
    page.goto(f"{app_url}/?site={Store(app_url.data).create(site).link}")
    frame = map_of(page)
    symbol(frame, "k").tap()
    frame.get_by_role("button", name="Checks").tap()
    row = frame.locator(".pit-checks tr").nth(1)
    expect(row).to_contain_text("P1")
    first = frame.locator(".pit-chip").filter(has_text=row.locator("td").first.inner_text())
    expect(first).not_to_have_class(re.compile("pit-hushed"))
    expect(first.locator(".pit-leader")).to_have_count(1)  # it stands beside its line, and is led to it
    assert page.faults == []
