"""The page that holds nothing but the map: what it keeps, and what is touched on it."""

from __future__ import annotations

import json
import re
from typing import Any

from playwright.sync_api import FrameLocator, Locator, Page, expect

from tests.browser.conftest import map_of

#  A frame that is given another size, or a site that is shown first, moves the map a moment later.
STANDS = """(map) => new Promise((stands) => {
  let before = "", calm = 0;
  const look = () => {
    const boxes = [...map.querySelectorAll(".pit-icon")].map((icon) => icon.getBoundingClientRect());
    const now = boxes.map(({x, y}) => `${x} ${y}`).join();
    calm = now === before ? calm + 1 : 0;
    before = now;
    if (calm < 6) requestAnimationFrame(look);
    else stands();
  };
  look();
})"""


def stands(frame: FrameLocator) -> None:
    """Wait until the map moves no more of itself."""
    frame.locator("#map_div").evaluate(STANDS)


def begin(page: Page) -> FrameLocator:
    """The map as it is when its page is opened, on a page that a test before has left."""
    rounds = int(page.get_by_text(re.compile(r"^begun: \d+$")).inner_text().split()[-1])
    page.get_by_role("button", name="Begin anew").click()
    page.get_by_text(f"begun: {rounds + 1}", exact=True).wait_for()
    held(page, 0)
    page.get_by_test_id("stMain").evaluate("main => main.scrollTo(0, 0)")
    frame = map_of(page)
    expect(frame.locator(".pit-icon")).to_have_count(5)
    expect(frame.locator(".pit-selected")).to_have_count(0)
    frame.get_by_role("button", name="+ Add").wait_for()
    stands(frame)
    return frame


def held(page: Page, edits: int) -> dict[str, Any]:
    """What the page holds once it has read so many edits: {"log": […], "shapes": {id: geometry}}."""
    page.get_by_text(f"edits read: {edits}", exact=True).wait_for()
    return json.loads(page.locator('[data-testid="stCode"] code').inner_text())


def symbol(frame: FrameLocator, feature: str, part: str = "") -> Locator:
    """The symbol of a feature, or of one of its parts."""
    return frame.locator(f'.pit-icon[data-feature="{feature}"][data-part="{part}"]')


def changed(state: dict[str, Any]) -> dict[str, Any]:
    """What the last edit changed."""
    return dict(state["log"][-1]["changed"])


def choose(frame: FrameLocator, kind: str, shape: str = "") -> None:
    """Choose what to draw, with the mouse."""
    frame.get_by_role("button", name="+ Add").click()
    frame.locator(".pit-kind", has_text=kind).click()
    if shape:
        frame.get_by_role("button", name=shape).click()
    stands(frame)
