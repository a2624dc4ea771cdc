"""Where a kiln may stand, in a real browser without network: ask by a click, take a proposal."""

from __future__ import annotations

import re

from playwright.sync_api import expect

from tests.browser.app_page import go, map_frame, open_app, settled, symbol, until
from tests.browser.conftest import Address, Visit, map_of
from tests.browser.hand import middle


def test_law_a_click_on_bare_ground_is_answered_and_a_proposal_becomes_kilns(page: Visit, app_url: Address) -> None:
    open_app(page, app_url)
    go(page, "Where a kiln may stand")
    frame = map_of(page)
    x, y = middle(symbol(frame, "power-1"))
    page.mouse.click(x - 20, y + 110)  # bare ground, nearer to the power line than its distance
    page.get_by_text("May a kiln stand where you clicked?").wait_for()
    page.get_by_text("No kiln may stand here.").wait_for()
    expect(frame.locator(".pit-chip", has_text="asked about")).to_have_count(1)
    expect(frame.locator(".pit-cross")).not_to_be_visible()  # it is for keys, and this was the first press of all
    page.get_by_text(re.compile("Power line: nearer than .* by the rule entered")).first.wait_for()
    x, y = middle(symbol(frame, "p2"))
    page.mouse.click(x - 60, y + 40)  # within the logged area, which is ground as well
    expect(page.get_by_text("No kiln may stand here.")).to_have_count(0)
    page.get_by_text("May a kiln stand where you clicked?").wait_for()
    settled(page)
    page.get_by_role("button", name="Propose the best spots").click()
    expect(page.get_by_text("machine-hours").first).to_be_visible(timeout=90_000)  # worked out apart, from nothing
    settled(page)
    page.get_by_role("button", name="Put kilns there").first.click()
    settled(page)
    expect(page.get_by_role("button", name="Undo")).to_be_enabled()
    go(page, "Map")
    symbol(map_of(page), "kiln_spot-4").wait_for()
    assert (page.outside, page.faults) == ([], [])


def test_law_amid_a_page_the_wheel_moves_the_page_and_with_ctrl_the_map(page: Visit, app_url: Address) -> None:
    """Who scrolls down to what is below keeps the piece of ground in view."""
    open_app(page, app_url)
    go(page, "Where a kiln may stand")
    symbol(map_of(page), "p2").wait_for()
    frame, x, y = map_frame(page), *middle(symbol(map_of(page), "p2"))
    zoom = frame.evaluate("() => map_div.getZoom()")
    page.mouse.move(x, y)
    page.mouse.wheel(0, 200)
    until(page, "() => document.querySelector('[data-testid=stMain]').scrollTop > 0")
    page.mouse.move(*middle(symbol(map_of(page), "p2")))
    page.keyboard.down("Control")
    page.mouse.wheel(0, -200)
    page.keyboard.up("Control")
    until(frame, f"() => map_div.getZoom() > {zoom}")  # and had it followed the first turn, it would be back at most
    assert page.faults == []
