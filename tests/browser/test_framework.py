"""Names that belong to the page framework and the map component: gone after an update, they are named here."""

from __future__ import annotations

from playwright.sync_api import Page

from sitemap.maps.framework import MAP_STORE, PARTS
from sitemap.site.store import Store
from tests.browser.app_page import go, open_app, symbol
from tests.browser.conftest import Address
from tests.site.builders import site_of, thing


def missing(page: Page) -> set[str]:
    """Our words for what is not on the page that is open."""
    return {word for word, selector in PARTS.items() if not page.locator(selector).count()}


def test_law_every_inner_name_of_the_framework_is_still_there(page: Page, app_url: Address) -> None:
    frame = open_app(page, app_url)
    page.get_by_text("Elevation and picture of the ground").click()
    page.get_by_text("Heights in the raster").wait_for()
    symbol(frame, "p1").click()
    page.get_by_label("Place", exact=True).fill("")
    page.get_by_label("Place", exact=True).press("Enter")
    page.get_by_text("P1 keeps its place").wait_for()
    gone = missing(page)
    assert frame.locator("body").evaluate("(_, name) => typeof window[name]", MAP_STORE) == "object"
    for title in ("Where a kiln may stand", "Slash"):
        go(page, title)
        gone &= missing(page)
    page.locator(PARTS["chart"]).first.wait_for(state="attached")  # comes after its page: what draws it is loaded late
    gone &= missing(page)
    looked_for_nothing = Store(app_url.data).create(site_of(thing("k", "kiln_spot", name="K1"))).link
    page.goto(f"{app_url}/rules?site={looked_for_nothing}")
    page.locator(PARTS["tags"]).wait_for()
    gone &= missing(page)
    assert gone == set()
