"""Through all pages, once for each width: they fit, no script complains, and everybody can read what we draw."""

from __future__ import annotations

from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from sitemap.views.frame import PAGES
from tests.browser.app_page import go, open_app
from tests.browser.conftest import Address, OpenPage
from tests.browser.measures import FAINT, TOO_SMALL
from tests.browser.test_access import serious
from tests.properties import thorough

TITLES = [page.title for pages in PAGES.values() for page in pages]
OURS = (".ps-head", ".ps-figs", ".ps-table", ".ps-verdict")
WORDS = "[data-testid=stMain] :is(p, li, td, th, label, span, small, strong, h4)"  # all of it may be about safety


@pytest.fixture(scope="module")
def drawn() -> dict[str, list[str]]:
    """What is wrong with what we draw on each page, found on the walk at the width of a desktop."""
    return {}


def walk(page: Page, address: str, drawn: dict[str, list[str]], narrow: bool, pictures: Path) -> None:
    """See that every page fits, and note what is wrong with what we draw."""
    width, height = page.viewport_size["width"], page.viewport_size["height"]
    open_app(page, address)
    for title in TITLES:
        go(page, title, narrow)
        for wide in (360, 390) if narrow else ():  # of two phones, one narrow
            page.set_viewport_size({"width": wide, "height": height})
            assert page.evaluate(TOO_SMALL) == [], title
            assert page.evaluate("document.documentElement.scrollWidth") <= wide, title
        assert page.evaluate("document.documentElement.scrollWidth") <= width, title
        assert page.locator('[data-testid="stMain"]').evaluate("main => main.scrollWidth - main.clientWidth") <= 0, (
            title
        )
        expect(page.get_by_role("button", name="Undo")).to_be_in_viewport()
        expect(page.get_by_test_id("stAlertContentError")).to_have_count(0)
        if not narrow:
            ours = [one for one in OURS if page.locator(one).count()]
            drawn[title] = [*serious(page, ours), *page.evaluate(FAINT, WORDS)]
        page.locator('[data-testid="stMain"]').evaluate("main => main.scrollTo(0, main.scrollHeight)")
        expect(page.get_by_role("button", name="Undo")).to_be_in_viewport()
        if thorough():  # for an eye to look at
            page.screenshot(path=pictures / f"{title} {width}.png", full_page=True)
    page.set_viewport_size({"width": width, "height": height})


@pytest.mark.parametrize(("width", "height"), [(1280, 900), (390, 844)])
def test_law_every_page_fits_and_no_script_complains(
    open_page: OpenPage, app_url: Address, drawn: dict[str, list[str]], width: int, height: int, tmp_path: Path
) -> None:
    narrow = width < 600
    page = open_page(width, height, touch=narrow)
    walk(page, app_url, drawn, narrow, tmp_path)
    assert (page.outside, page.faults) == ([], [])


def test_agrees_with_axe_on_what_the_pages_draw(
    open_page: OpenPage, app_url: Address, drawn: dict[str, list[str]], tmp_path: Path
) -> None:
    if list(drawn) != TITLES:  # asked for alone
        walk(open_page(), app_url, drawn, False, tmp_path)
    assert {title: faults for title, faults in drawn.items() if faults} == {}
    assert list(drawn) == TITLES
