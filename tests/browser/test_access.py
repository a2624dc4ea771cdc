"""What we draw ourselves, held against the accessibility rules of axe-core (WCAG 2.1 A and AA): nothing serious.

The frame around it is Streamlit's and is left out.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import axe_playwright_python
import pytest
from playwright.sync_api import Frame, Page

from tests.browser.app_page import map_frame, open_app, settled, symbol
from tests.browser.conftest import Address, OpenPage
from tests.browser.measures import FAINT

AXE = (Path(axe_playwright_python.__file__).parent / "axe.min.js").read_text(encoding="utf-8")
ON_MAP = ".pit-frame :is(p, span, th, td, h2, strong, button)"
RULES = {
    "runOnly": {"type": "tag", "values": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "best-practice"]},
    "rules": {
        name: {"enabled": False} for name in ("region", "page-has-heading-one", "landmark-one-main")
    },  # of a page
}


def serious(where: Page | Frame, include: list[str]) -> list[str]:
    """Serious and critical findings below these selectors."""
    if not where.evaluate("typeof axe === 'object'"):
        where.evaluate(AXE)
    found: dict[str, Any] = where.evaluate(
        "([include, rules]) => axe.run({include: include.map(one => [one])}, rules)", [include, RULES]
    )
    assert found["passes"], "the rules were not applied"
    return [
        f"{each['id']}: {each['help']} – {each['nodes'][0]['html'][:160]}"
        for each in found["violations"]
        if each["impact"] in ("serious", "critical")
    ]


def on_map(page: Page) -> list[str]:
    """What is wrong on the map and in what stands around it."""
    frame = map_frame(page)
    return [*serious(frame, [".pit-frame"]), *frame.evaluate(FAINT, ON_MAP)]


@pytest.mark.parametrize(("width", "height"), [(1280, 900), (390, 844)])
def test_agrees_with_axe_on_the_map(open_page: OpenPage, app_url: Address, width: int, height: int) -> None:
    page = open_page(width, height, touch=width < 600)
    frame = open_app(page, app_url)
    assert on_map(page) == []
    frame.get_by_role("button", name="Signs").click()
    assert on_map(page) == []
    frame.get_by_role("button", name="+ Add").click()
    assert on_map(page) == []
    frame.get_by_role("button", name="Close").click()
    symbol(frame, "k2").click()
    settled(page)
    assert on_map(page) == []
