"""Through all pages, once for each width: they fit, no script complains, everybody can read what we draw, and every
inner name of the page framework that we lean on is still there.

Only what we draw ourselves is held against the rules for access: the frame around it is Streamlit's. A walk notes what
it finds, and each law asks for its own part of it.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path

import pytest
from playwright.sync_api import FrameLocator, Page, expect

from sitemap.maps.framework import MAP_STORE, PARTS
from sitemap.site.store import Store
from sitemap.views.frame import PAGES
from tests.browser.app_page import go, map_frame, open_app, settled, symbol
from tests.browser.axe import serious
from tests.browser.conftest import Address, OpenPage, map_of
from tests.browser.measures import FAINT, TOO_SMALL
from tests.properties import thorough
from tests.site.builders import site_of, thing

TITLES = [page.title for pages in PAGES.values() for page in pages]
OURS = (".ps-head", ".ps-figs", ".ps-table", ".ps-verdict")
WORDS = "[data-testid=stMain] :is(p, li, td, th, label, span, small, strong, h4)"  # all of it may be about safety
ON_MAP = ".pit-frame :is(p, span, th, td, h2, strong, button)"
SIZES = [(1280, 900), (390, 844)]
#  What of these is nowhere on the page.
MISSING = "parts => Object.keys(parts).filter(word => !document.querySelector(parts[word]))"
OVER_THE_EDGE = "main => main.scrollWidth - main.clientWidth"


@dataclass
class Walk:
    """What was found on the way through all pages."""

    drawn: dict[str, list[str]] = field(default_factory=dict)  # page → what is wrong with what we draw on it
    map_steps: list[str] = field(default_factory=list)
    on_map: list[str] = field(default_factory=list)
    gone: set[str] = field(default_factory=lambda: set(PARTS))  # our words for what was on no page
    store: str = ""
    complaints: list[str] = field(default_factory=list)

    def through(self, page: Page, address: Address, pictures: Path) -> None:
        """See that every page fits, and note the rest."""
        width, height = page.viewport_size["width"], page.viewport_size["height"]
        narrow = width < 600
        open_app(page, address)
        for title in TITLES:
            go(page, title, narrow)
            for wide in (360, 390) if narrow else ():  # of two phones, one narrow
                page.set_viewport_size({"width": wide, "height": height})
                self.complain(title, page.evaluate(TOO_SMALL))
                self.complain(title, page.evaluate("document.documentElement.scrollWidth") > wide and "wider")
            main = page.locator('[data-testid="stMain"]')
            self.complain(title, page.evaluate("document.documentElement.scrollWidth") > width and "wider")
            self.complain(title, main.evaluate(OVER_THE_EDGE) > 0 and "over the edge")
            expect(page.get_by_role("button", name="Undo")).to_be_in_viewport()
            expect(page.get_by_test_id("stAlertContentError")).to_have_count(0)
            if not narrow:
                ours = [one for one in OURS if page.locator(one).count()]
                self.drawn[title] = [*serious(page, ours), *page.evaluate(FAINT, WORDS)]
            main.evaluate("main => main.scrollTo(0, main.scrollHeight)")
            expect(page.get_by_role("button", name="Undo")).to_be_in_viewport()
            if thorough():  # for an eye to look at
                page.screenshot(path=pictures / f"{title} {width}.png", full_page=True)
            if title == "Map":
                main.evaluate("main => main.scrollTo(0, 0)")
                self.at_the_map(page, map_of(page), narrow)
            if title == "Slash":  # the chart comes after its page: what draws it is loaded late
                page.locator(PARTS["chart"]).first.wait_for(state="attached")
            self.see(page)
        if not narrow:  # where nothing was looked for yet, one asks for many kinds at once
            looked_for_nothing = Store(address.data).create(site_of(thing("k", "kiln_spot", name="K1"))).link
            page.goto(f"{address}/rules?site={looked_for_nothing}")
            page.locator(PARTS["tags"]).first.wait_for()
            self.see(page)
        page.set_viewport_size({"width": width, "height": height})

    def see(self, page: Page) -> None:
        """Take what stands on this page from what is on none."""
        self.gone &= set(page.evaluate(MISSING, dict(PARTS)))

    def complain(self, title: str, what: object) -> None:
        """Note what is wrong, if anything is."""
        if what:
            self.complaints.append(f"{title}: {what}")

    def at_the_map(self, page: Page, frame: FrameLocator, narrow: bool) -> None:
        """What can be read on the map, as it stands, with its signs, with what to add, with a kiln chosen."""

        def read(step: str) -> None:
            inner = map_frame(page)
            self.map_steps.append(step)
            self.on_map += [*serious(inner, [".pit-frame"]), *inner.evaluate(FAINT, ON_MAP)]

        read("as it stands")
        frame.get_by_role("button", name="Signs").click()
        read("signs")
        frame.get_by_role("button", name="+ Add").click()
        read("what to add")
        frame.get_by_role("button", name="Close").click()
        symbol(frame, "k2").click()
        settled(page)
        read("a kiln chosen")
        if not narrow:
            symbol(frame, "p1").click()
            expect(page.get_by_label("Name", exact=True).first).to_have_value("P1")  # two, while one takes the place
            settled(page)
            self.store = frame.locator("body").evaluate("(_, name) => typeof window[name]", MAP_STORE)
            page.get_by_text("Elevation and picture of the ground").click()
            page.get_by_text("Heights in the raster").wait_for()
            page.get_by_label("Place", exact=True).fill("")
            page.get_by_label("Place", exact=True).press("Enter")
            page.get_by_text("P1 keeps its place").wait_for()


@pytest.fixture(scope="module")
def walked(
    keep_page: OpenPage, app_url: Address, tmp_path_factory: pytest.TempPathFactory
) -> Callable[[int, int], Walk]:
    """The walk at a width, made when it is asked for the first time."""
    made: dict[int, Walk] = {}

    def walk(width: int, height: int) -> Walk:
        if width not in made:
            page = keep_page(width, height, touch=width < 600)
            now = Walk()
            now.through(page, app_url, tmp_path_factory.mktemp("walk"))
            now.complaints += [*page.outside, *page.faults]
            made[width] = now
        return made[width]

    return walk


@pytest.mark.parametrize(("width", "height"), SIZES)
def test_law_every_page_fits_and_no_script_complains(
    walked: Callable[[int, int], Walk], width: int, height: int
) -> None:
    assert walked(width, height).complaints == []


@pytest.mark.parametrize(("width", "height"), SIZES)
def test_agrees_with_axe_on_the_map(walked: Callable[[int, int], Walk], width: int, height: int) -> None:
    walk = walked(width, height)
    assert walk.on_map == []
    assert walk.map_steps == ["as it stands", "signs", "what to add", "a kiln chosen"]


def test_agrees_with_axe_on_what_the_pages_draw(walked: Callable[[int, int], Walk]) -> None:
    drawn = walked(*SIZES[0]).drawn
    assert {title: faults for title, faults in drawn.items() if faults} == {}
    assert list(drawn) == TITLES


def test_law_every_inner_name_of_the_framework_is_still_there(walked: Callable[[int, int], Walk]) -> None:
    walk = walked(*SIZES[0])
    assert walk.gone == set(), walk.gone
    assert walk.store == "object"
