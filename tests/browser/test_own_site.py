"""A site of one's own from nothing, as a finger and a keyboard begin it.

What is done with a finger is done on one page of a phone, on a site begun anew for each test.
"""

from __future__ import annotations

import pytest
from playwright.sync_api import FrameLocator, expect

from sitemap.maps.framework import PARTS
from sitemap.site.model import Site
from sitemap.site.store import Store
from tests.browser.app_page import go, open_app, settled, symbol
from tests.browser.conftest import Address, OpenPage, Visit, map_of
from tests.site.builders import SQUARE, point, site_of, thing

HEIGHTS = "all => all.map(each => each.getBoundingClientRect().height)"
TOP = "frame => frame.getBoundingClientRect().top"
AREA = thing("a", "logged_area", {"type": "Polygon", "coordinates": [SQUARE]})
SITE = site_of(AREA, thing("p", name="P1"), thing("q", None, None, name="P2"))


#  The next press is lost, as the framework loses one that comes in together with a field just left.
FORGOTTEN = """document.addEventListener("click", event => {
  event.preventDefault();
  event.stopImmediatePropagation();
}, {capture: true, once: true})"""


class Phone:
    """A page of a phone on a site of its own."""

    def __init__(self, page: Visit, address: Address) -> None:
        self.page, self.store = page, Store(address.data)
        self.link = self.store.create(SITE).link
        page.goto(f"{address}/?site={self.link}")
        map_of(page)

    @property
    def site(self) -> Site:
        return self.store.open(self.link).site

    def begin(self, site: Site) -> FrameLocator:
        """The map of another site in the place of what a test before left."""
        self.store.save(self.link, self.site, site, "Begun anew")
        go(self.page, "Slash", narrow=True)
        go(self.page, "Map", narrow=True)
        return map_of(self.page)


@pytest.fixture
def phone(keep_page: OpenPage, app_url: Address, standing: dict[bool, Phone]) -> Phone:
    if True not in standing:
        standing[True] = Phone(keep_page(390, 844, touch=True), app_url)
    return standing[True]


@pytest.mark.parametrize(("width", "height"), [(1280, 900), (390, 844)])
def test_law_a_new_site_waits_with_its_first_field_in_sight_and_in_hand(
    keep_page: OpenPage, app_url: Address, width: int, height: int
) -> None:
    """The button that begins it stands below the map on a phone, the field above it."""
    page = keep_page(width, height, touch=width < 600)
    open_app(page, app_url)
    page.get_by_role("button", name="Start an own site").press("Enter")
    field = page.get_by_role("textbox", name="Where is it?")
    expect(field).to_be_focused()
    expect(field).to_be_in_viewport()
    page.keyboard.type("43.512, -118.204\n")  # nothing else was touched
    page.get_by_text("The map looks at 43.51200, -118.20400").wait_for()
    expect(page.frame_locator("iframe").locator(".pit-chip")).to_have_text("the place typed")
    assert page.faults == []


def test_law_a_file_being_made_moves_no_map(phone: Phone) -> None:
    page = phone.page
    go(page, "Walk and survey", narrow=True)
    page.get_by_role("button", name="Sheets to print").tap()
    save = page.get_by_role("button", name="Save survey-sheets.pdf")
    save.wait_for()
    go(page, "Map", narrow=True)
    map_of(page)
    expect(save).to_be_in_viewport()
    frame = page.locator(PARTS["map_frame"])
    top = frame.evaluate(TOP)
    page.get_by_role("button", name="Hide this").tap()
    expect(save).to_have_count(0)
    settled(page)
    assert frame.evaluate(TOP) == top


def test_law_on_a_phone_what_comes_next_is_said_beside_what_is_chosen(phone: Phone) -> None:
    """With gloves on: the next step, one more of the same and the way out of drawing stand under the map, unscrolled,
    and so does the switch that places what was pasted, however long the form of the chosen heap."""
    page, frame = phone.page, phone.begin(SITE)
    symbol(frame, "p").tap()
    expect(frame.get_by_text("1 not on the map yet")).to_be_in_viewport(ratio=1)
    expect(frame.get_by_role("button", name="Another one")).to_be_in_viewport(ratio=1)
    switch = page.get_by_text("Place them here, one touch each")
    name = page.get_by_role("textbox", name="Name", exact=True)
    assert switch.bounding_box()["y"] < name.bounding_box()["y"]
    page.get_by_role("combobox", name="Shape").tap()
    page.get_by_role("option").first.wait_for()
    assert min(page.get_by_role("option").evaluate_all(HEIGHTS)) >= 44
    page.keyboard.press("Escape")
    page.set_viewport_size({"width": 390, "height": 480})  # a keyboard of letters takes the rest
    page.get_by_role("combobox", name="Wood", exact=True).tap()
    page.get_by_role("option").first.wait_for()
    assert min(page.get_by_role("option").evaluate_all(HEIGHTS)) >= 44
    expect(page.get_by_role("listbox")).to_be_in_viewport(ratio=0.99)  # what hangs over, no finger reaches
    page.keyboard.press("Escape")
    page.set_viewport_size({"width": 390, "height": 844})
    frame.get_by_role("button", name="+ Add").tap()
    frame.get_by_role("button", name="Logged area").tap()
    frame.locator("#map_div").tap(position={"x": 200, "y": 120})
    expect(frame.get_by_role("button", name="Take back")).to_be_in_viewport(ratio=1)
    expect(frame.get_by_role("button", name="Cancel")).to_be_in_viewport(ratio=1)
    assert page.faults == []


def test_law_the_bar_says_what_a_thing_lacks_and_the_kilns_stand_there_after_each_edit(phone: Phone) -> None:
    """A heap just placed asks for its sizes, whatever step the site is at; what was done does not hide the verdict."""
    site = site_of(
        AREA,
        thing("p", "pile", point(-119.9998, 44.0002), name="P1", length_m=4, width_m=3, height_m=2),
        thing("q", "pile", point(-119.9998, 44.0008), name="P2"),
        thing("k", "kiln_spot", point(-119.9995, 44.0005), name="K1", kiln="kilns-1"),
        thing("w", "water_source", point(-119.9992, 44.0002), name="W1"),
    ).with_item("kilns", {"id": "kilns-1", "name": "Box"})
    page, frame = phone.page, phone.begin(site)
    symbol(frame, "q").tap()
    expect(frame.get_by_text("Now type in its form: length, width, height.")).to_be_in_viewport(ratio=1)
    symbol(frame, "p").tap()
    expect(frame.locator(".pit-says").first).to_have_text("P1")
    expect(frame.get_by_text("Now type in its form")).to_have_count(0)
    frame.get_by_role("button", name="+ Add").tap()
    frame.get_by_role("button", name="Gate").tap()
    frame.locator("#map_div").tap(position={"x": 200, "y": 60})
    frame.get_by_text("Gate 1").first.wait_for()
    frame.get_by_role("button", name="Done").tap()
    expect(frame.get_by_text("Added Gate 1")).to_be_in_viewport(ratio=1)
    expect(frame.get_by_role("button", name="K1: not yet")).to_be_in_viewport(ratio=1)
    assert page.faults == []


def test_law_a_press_made_again_opens_no_menu_over_the_page(phone: Phone) -> None:
    """Found at a phone four times as slow: what was to be the next page lay under the whole menu."""
    page, frame = phone.page, phone.begin(SITE)
    symbol(frame, "p").tap()
    page.get_by_role("textbox", name="Name", exact=True).fill("P9")  # no Enter, no Tab
    page.evaluate(FORGOTTEN)
    page.locator(".st-key-next a").tap()
    page.locator(".ps-head h3", has_text="Walk and survey").wait_for()
    settled(page)
    expect(page.locator(PARTS["open_sidebar"])).to_have_count(0)
    assert phone.site.get("p").name == "P9"


def test_law_a_touch_that_places_counts_on_a_symbol_too(phone: Phone) -> None:
    page, frame = phone.page, phone.begin(site_of(thing("p", name="P1"), thing("g", "gate", None, name="Gate")))
    page.get_by_text("Place them here, one touch each").tap()
    frame.get_by_text("Touch the place of Gate").wait_for()
    at = symbol(frame, "p").bounding_box()
    page.touchscreen.tap(at["x"] + at["width"] / 2, at["y"] + at["height"] / 2)
    symbol(frame, "g").wait_for()
    assert phone.site.get("g").geometry["type"] == "Point"
    assert page.faults == []


def test_law_a_map_that_waits_for_a_touch_is_not_covered_by_help_for_keys(phone: Phone) -> None:
    """Sent there from a page where something was typed, the map took the focus for one brought by keys."""
    page = phone.page
    phone.begin(site_of(AREA, thing("p", name="P1")).with_item("kilns", {"id": "kilns-1", "name": "Box"}))
    go(page, "Kilns and clock", narrow=True)
    page.get_by_role("textbox", name="Adults on site").press_sequentially("4\n")
    settled(page)
    page.get_by_text("Put it on the map").tap()
    frame = map_of(page)
    frame.get_by_text("Kiln spot: touch its place on the map").wait_for()
    frame.locator("#map_div").tap(position={"x": 200, "y": 200})
    symbol(frame, "kiln_spot-1").wait_for()
    expect(frame.locator(".pit-keys")).to_be_hidden()


def test_law_the_kilns_leave_room_for_what_the_map_says_beside_them(open_page: OpenPage, app_url: Address) -> None:
    site = site_of(
        *(thing(f"k{n}", "kiln_spot", name=f"K{n}") for n in (1, 2, 3)), thing("g", "gate", None, name="Gate")
    )
    page = open_page(1280, 900)
    page.goto(f"{app_url}/?site={Store(app_url.data).create(site).link}")
    frame = map_of(page)
    expect(frame.get_by_role("button", name="K3: not here")).to_be_in_viewport(ratio=1)
    said, talk = frame.get_by_text("1 not on the map yet").bounding_box(), frame.locator(".pit-talk").bounding_box()
    assert talk["y"] <= said["y"]
    assert said["y"] + said["height"] <= talk["y"] + talk["height"]
