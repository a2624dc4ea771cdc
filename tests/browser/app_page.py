"""The app as somebody at a screen uses it: what to touch and where to read, for the browser tests and benchmarks."""

from __future__ import annotations

import re
from collections.abc import Callable

from playwright.sync_api import Frame, FrameLocator, Locator, Page, expect

from sitemap.maps.framework import PARTS
from tests.browser.conftest import map_of


def open_app(page: Page, address: str) -> FrameLocator:
    """Open the app and wait for its map and its panel."""
    page.goto(address)
    frame = map_of(page)
    settled(page)
    return frame


def map_frame(page: Page) -> Frame:
    """The frame of the map, where scripts are run in it."""
    frame = page.locator('iframe[title="streamlit_folium.st_folium"]').element_handle().content_frame()
    assert frame
    return frame


def until(where: Page | Frame, script: str) -> None:
    """Wait until a script says yes. It is asked now and then: at every picture drawn, asking would be the most work."""
    where.wait_for_function(script, polling=50)


def settled(page: Page) -> None:
    """Wait until the page has said its last: every page ends with what comes next, or with the list of words."""
    until(
        page,
        "() => document.querySelector('[data-testid=stApp]')?.dataset.testScriptState === 'notRunning'"
        " && !document.querySelector('[data-stale=true]')",
    )


def symbol(frame: FrameLocator, feature: str) -> Locator:
    """The symbol of a feature of one part on the map."""
    return frame.locator(f'.pit-icon[data-feature="{feature}"]').first


def verdict_of(page: Page, kiln: str) -> Locator:
    """Where the verdict of a kiln is read."""
    return page.locator(".ps-verdict.ps-large", has_text=re.compile(rf"Kiln {kiln}: "))


def figure(page: Page, label: str) -> Locator:
    """The value that stands under a label."""
    return page.locator(".ps-fig", has=page.locator(".ps-lab", has_text=re.compile(f"^{label}$"))).locator(".ps-val")


def type_number(page: Page, label: str, value: str) -> None:
    """Type a number into the form."""
    field = page.get_by_role("textbox", name=label).or_(page.get_by_label(label, exact=True)).first
    field.fill(value)
    field.press("Enter")
    settled(page)


def slow_down(page: Page, times: float = 4) -> Callable[[], object]:
    """A computer so many times slower than this one, until what comes back is called: it burns what it slows, and the
    page serves the next test too."""
    name, session = "Emulation.setCPUThrottlingRate", page.context.new_cdp_session(page)
    session.send(name, {"rate": times})

    def faster() -> None:
        session.send(name, {"rate": 1})
        session.detach()

    return faster


def go(page: Page, title: str, narrow: bool = False) -> None:
    """Open a page of the menu, as by hand; on a narrow screen the menu is opened first, unless it stands open."""
    if narrow and not page.locator(PARTS["open_sidebar"]).count():
        page.get_by_test_id("stExpandSidebarButton").click()
    page.get_by_test_id("stSidebarNav").get_by_role("link", name=title).click()
    expect(page.locator(".ps-head h3")).to_have_text(title)
    settled(page)
