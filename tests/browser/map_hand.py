"""The page that holds nothing but the map: what it keeps, and what is touched on it."""

from __future__ import annotations

import json
from typing import Any

from playwright.sync_api import FrameLocator, Locator, Page


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
