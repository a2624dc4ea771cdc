"""The grid by keyboard alone, typed as fast as hands go: no test waits between two keys or two cells.

What is asserted is what the store holds. No test asserts a time. How long the paste took is printed (`pytest -s`).
"""

from __future__ import annotations

import time
from collections.abc import Callable

import pytest
from playwright.sync_api import expect

from sitemap.site.model import Feature, Site
from sitemap.site.store import Store
from tests.browser.app_page import settled, slow_down
from tests.browser.axe import serious
from tests.browser.conftest import Address, OpenPage, Visit, map_of
from tests.browser.grid_hand import HEADS, KEY_MS, Tab
from tests.properties import thorough
from tests.site.builders import SQUARE, site_of, thing

SLOWER = (1, 6) if thorough() else (6,)  # times the computer is slowed down
SITE = site_of(
    thing("a", "logged_area", {"type": "Polygon", "coordinates": [SQUARE]}),
    thing("g", "gate", {"type": "Point", "coordinates": [-119.9998, 44.0002]}, name="Gate"),
    site={"name": "Bench", "crew": {"pace_m": 0.8}},
)
HEAPS = 40
VALUES = "row => [...row.querySelectorAll('input')].map(input => input.value)"
UNTIL_OTHER = f"""(row, shown) => new Promise(done => {{
  const look = () => (String(({VALUES})(row)) !== String(shown) ? done() : requestAnimationFrame(look));
  look();
}})"""
TYPED = [
    ("North heap 17", "dome", "12.25", "5.75", "2,5", "ponderosa pine"),
    ("P2", "cone", "6", "6", "2.125", "softwood"),
    ("Roadside stack", "tapered ridge", "10.5", "4", "1.75", "juniper"),
    ("P4", "d", "6", "5", "2", "Douglas fir"),
]


@pytest.fixture
def open_grid(keep_page: OpenPage, app_url: Address, standing: dict[bool, Tab]) -> Callable[..., Tab]:
    def opened(site: Site = SITE, touch: bool = False) -> Tab:
        if touch in standing:
            standing[touch].begin(site)
            return standing[touch]
        store = Store(app_url.data)
        page = keep_page(390, 844, touch=True) if touch else keep_page()
        page.context.grant_permissions(["clipboard-read", "clipboard-write"])
        tab = standing[touch] = Tab(page, store, store.create(site).link, app_url, touch)
        page.goto(f"{app_url}/survey?site={tab.link}")
        tab.to_grid()
        return tab

    return opened


@pytest.fixture
def grid(open_grid: Callable[..., Tab]) -> Tab:
    return open_grid()


def tab_to(page: Visit, label: str) -> None:
    """Press Tab until the cell of this label has the focus."""
    inside = "() => { let el = document.activeElement; while (el?.shadowRoot?.activeElement) el = el.shadowRoot"
    for _ in range(80):
        page.keyboard.press("Tab")
        if page.evaluate(f"{inside}.activeElement; return el?.getAttribute('aria-label') }}") == label:
            return
    pytest.fail(f"The Tab key never comes to {label}")


def said_of(heap: Feature) -> tuple[object, ...]:
    sizes = [heap.values.get(key) for key in ("length_m", "width_m", "height_m")]
    return (heap.name, heap.values.get("shape"), *sizes, heap.values.get("wood"))


@pytest.mark.parametrize("slower", SLOWER)
def test_law_every_letter_typed_without_a_pause_is_kept(grid: Tab, slower: int) -> None:
    tab_to(grid.page, "Row 1, Number or name")
    faster = slow_down(grid.page, slower)
    for number, row in enumerate(TYPED):
        if number == 1:
            faster()  # and on, as fast as this computer is
        grid.type_row(row)
    grid.kept()
    assert [said_of(heap) for heap in grid.heaps] == [
        ("North heap 17", "dome", 12.25, 5.75, 2.5, "ponderosa pine"),
        ("P2", "cone", 6.0, 6.0, 2.125, "softwood"),
        ("Roadside stack", "tapered_ridge", 10.5, 4.0, 1.75, "juniper"),
        ("P4", "dome", 6.0, 5.0, 2.0, "Douglas fir"),
    ]
    grid.page.get_by_text("4 of 4 heaps counted.").wait_for()
    expect(grid.page.locator("tbody tr").nth(3).locator("td.dry")).not_to_have_text("")
    expect(grid.cell(4, "Shape")).to_have_value("dome")
    expect(grid.cell(5, "Number or name")).to_be_focused()  # Enter went to where the row was begun
    grid.calm()


def test_law_each_cell_is_an_edit_of_its_own_and_undo_is_followed(grid: Tab) -> None:
    grid.cell(1, "Number or name").focus()
    grid.type_row(TYPED[0])
    grid.kept()
    labels = grid.edits
    assert len(labels) >= len(HEADS)  # more where the machine was so busy that the hand seemed to rest in a cell
    assert labels[0] == "Grid: Wood of heap North heap 17"
    first = grid.page.locator("tbody tr").first
    for _ in labels:
        shown = first.evaluate(VALUES)
        grid.page.get_by_role("button", name="Undo").click()
        first.evaluate(UNTIL_OTHER, shown)
    assert grid.heaps == ()
    assert set(first.evaluate(VALUES)) == {""}
    grid.page.get_by_role("button", name="Redo").click()
    expect(grid.cell(1, "Number or name")).not_to_have_value("")
    grid.calm()


def test_law_undo_pressed_right_after_the_last_letter_takes_that_back(grid: Tab) -> None:
    grid.cell(1, "Number or name").focus()
    grid.page.keyboard.type("P1", delay=KEY_MS)
    grid.page.keyboard.press("Tab")
    grid.kept()
    settled(grid.page)
    grid.page.keyboard.type("cone", delay=KEY_MS)
    grid.page.get_by_role("button", name="Undo").click()
    grid.kept()
    settled(grid.page)
    assert [said_of(heap)[:2] for heap in grid.heaps] == [("P1", None)]
    expect(grid.cell(1, "Shape")).to_have_value("")


def test_law_emptied_rows_and_rows_taken_away_are_gone_and_come_back(grid: Tab) -> None:
    grid.cell(1, "Number or name").focus()
    grid.paste(TYPED[:2])
    for head in HEADS:
        grid.cell(1, head).focus()
        grid.page.keyboard.press("Control+a")
        grid.page.keyboard.press("Delete")
    grid.kept()
    assert [heap.name for heap in grid.heaps] == ["P2"]
    grid.page.locator("tbody tr").nth(1).locator("input").first.focus()
    grid.page.keyboard.press("Control+Delete")
    grid.kept()
    assert grid.heaps == ()
    settled(grid.page)
    grid.page.get_by_role("button", name="Undo").click()
    expect(grid.page.locator("tbody tr").nth(1).locator("input").first).to_have_value("P2")
    assert [heap.name for heap in grid.heaps] == ["P2"]


def test_law_escape_restores_a_cell_and_then_leaves_the_table(grid: Tab) -> None:
    grid.cell(1, "Number or name").focus()
    grid.page.keyboard.type("P1", delay=KEY_MS)
    grid.page.keyboard.press("Escape")
    expect(grid.cell(1, "Number or name")).to_have_value("")
    grid.page.keyboard.press("Escape")
    grid.page.keyboard.press("Tab")
    grid.kept()
    assert grid.heaps == ()
    assert grid.edits == []
    assert grid.page.evaluate("!document.activeElement.shadowRoot")


def test_law_arrows_go_between_rows_and_keep_what_was_typed(grid: Tab) -> None:
    grid.cell(1, "Height (m)").focus()
    for text in ("1", "2", "3"):
        grid.page.keyboard.type(text, delay=KEY_MS)
        grid.page.keyboard.press("ArrowDown")
    grid.page.keyboard.press("ArrowUp")
    grid.page.keyboard.type("4", delay=KEY_MS)
    grid.page.keyboard.press("Shift+Tab")
    expect(grid.cell(3, "Width (m)")).to_be_focused()
    grid.kept()
    assert [heap.number("height_m") for heap in grid.heaps] == [1, 2, 4]


def test_law_forty_heaps_pasted_are_in_tonnes_and_on_the_map(grid: Tab) -> None:
    grid.cell(1, "Number or name").focus()
    begun = time.perf_counter()
    grid.paste(
        [
            [f"P{n}", "dome", "6", "5", "2", "softwood", "tops", "none", "", "", f"bearing {3 * n}, 40 paces from Gate"]
            for n in range(1, HEAPS + 1)
        ]
    )
    grid.page.get_by_text(f"{HEAPS} of {HEAPS} heaps counted.").wait_for()
    expect(grid.page.locator("tbody tr").nth(HEAPS - 1).locator("td.dry")).not_to_have_text("")
    print(f"{HEAPS} heaps pasted, in tonnes after {time.perf_counter() - begun:.2f} s")
    assert len(grid.heaps) == HEAPS
    assert all(heap.shape is not None for heap in grid.heaps)
    assert len({tuple(heap.geometry["coordinates"]) for heap in grid.heaps}) == HEAPS
    grid.cell(HEAPS + 8, "Number or name").wait_for(state="attached")  # blank rows to type on
    grid.page.get_by_test_id("stSidebarNav").get_by_role("link", name="Map").click()
    expect(map_of(grid.page).locator('.pit-icon[data-feature^="pile-"]')).to_have_count(HEAPS)
    grid.page.get_by_role("button", name="Undo").click()
    expect(map_of(grid.page).locator('.pit-icon[data-feature^="pile-"]')).to_have_count(0)
    grid.calm()


def test_law_quotes_of_a_spreadsheet_are_read_and_what_found_no_place_is_told(grid: Tab) -> None:
    """Cells with line ends or quotes come in quotes, their own quotes doubled (RFC 4180, with tabs)."""
    grid.cell(1, "Number or name").focus()
    grid.paste([['"The ""big"" one"', "dome", "6'6\"", "5", "2"], ['"two\nlines"', "cone", '"4"', "4", "1"]])
    grid.kept()
    assert [said_of(heap)[:3] for heap in grid.heaps] == [('The "big" one', "dome", 1.9812), ("two\nlines", "cone", 4)]
    grid.cell(3, "Place").focus()
    grid.paste([["44.0, -120.0", "one too many"]])
    grid.page.get_by_text("1 column found no place at the right").wait_for()
    grid.kept()
    assert grid.heaps[2].shape is not None


@pytest.mark.parametrize("slower", SLOWER)
@pytest.mark.parametrize("way", ["menu", "loaded anew", "closed"])
def test_law_a_page_left_straight_after_the_last_letter_loses_none(
    grid: Tab, keep_page: OpenPage, slower: int, way: str
) -> None:
    grid.cell(1, "Number or name").focus()
    grid.page.keyboard.type("P1", delay=KEY_MS)
    grid.page.keyboard.press("Tab")
    faster = slow_down(grid.page, slower)  # in the cell that is not kept when the page is left
    grid.page.keyboard.type("tapered ridge", delay=KEY_MS)
    if way == "menu":
        grid.page.get_by_test_id("stSidebarNav").get_by_role("link", name="Slash").click()
        faster()
        expect(grid.page.locator(".ps-head h3")).to_have_text("Slash")
        settled(grid.page)
    else:
        if way == "loaded anew":
            grid.page.reload(wait_until="commit")
            faster()
        else:
            other = keep_page()
            with grid.page.expect_event("close"):
                grid.page.close(run_before_unload=True)
            other.goto(f"{grid.address}/survey?site={grid.link}")
            grid.page = other
        grid.to_grid()
        expect(grid.cell(1, "Shape")).to_have_value("tapered ridge")
        grid.kept()
    assert [said_of(heap)[:2] for heap in grid.heaps] == [("P1", "tapered_ridge")]


def test_law_what_changes_elsewhere_is_shown_without_disturbing_the_cell_under_the_fingers(grid: Tab) -> None:
    grid.cell(1, "Number or name").focus()
    grid.paste(TYPED[:1])
    grid.kept()
    grid.cell(2, "Number or name").focus()
    grid.page.keyboard.type("Second he", delay=KEY_MS)
    before = grid.site
    mended = before.put(before.of_kind("pile")[0].with_values(height_m=3.5, name="Mended elsewhere"))
    grid.store.save(
        grid.link, before, mended.put(Feature.of("new", None, {"kind": "pile", "name": "New"})), "Elsewhere"
    )
    grid.page.keyboard.type("ap of the upper ", delay=KEY_MS)
    expect(grid.cell(1, "Number or name")).to_have_value("Mended elsewhere")
    grid.page.keyboard.type("landing", delay=KEY_MS)
    grid.page.keyboard.press("Tab")
    grid.kept()
    expect(grid.cell(1, "Height (m)")).to_have_value("3.5")
    assert sorted(heap.name for heap in grid.heaps) == ["Mended elsewhere", "New", "Second heap of the upper landing"]


def test_law_a_cell_that_cannot_be_used_is_kept_marked_and_explained(grid: Tab) -> None:
    grid.cell(1, "Number or name").focus()
    grid.type_row(("P1", "egg", "about 6", "5", "2"))
    grid.kept()
    expect(grid.cell(1, "Shape")).to_have_attribute("aria-invalid", "true")
    expect(grid.cell(1, "Shape")).to_have_value("egg")
    grid.page.get_by_text("Row 1, Shape: Shape: “egg” is none of").wait_for()
    grid.cell(1, "Length (m)").focus()
    expect(grid.cell(1, "Length (m)")).to_have_accessible_description(
        "Length (m) ! “about 6” is not a number. Write one, like 2.5. Until then it counts as blank."
    )
    expect(grid.cell(1, "Wood")).to_have_attribute("placeholder", "mixed wood, 450 kg/m³")
    grid.cell(1, "Length (m)").fill("6")
    grid.page.keyboard.press("Tab")
    expect(grid.cell(1, "Length (m)")).not_to_have_attribute("aria-invalid", "true")


def test_law_names_are_never_markup(grid: Tab) -> None:
    grid.cell(1, "Number or name").focus()
    name = "<img src=x onerror=document.title='caught'>"
    grid.type_row((name, "<b>dome", "6", "5", "12"))
    grid.kept()
    expect(grid.cell(1, "Number or name")).to_have_value(name)
    assert grid.page.locator(".box img, .box b, .help b").count() == 0
    assert grid.page.title() != "caught"


def test_law_heights_typed_under_feet_are_feet(open_grid: Callable[..., Tab]) -> None:
    """Ten feet are 3.048 m (international foot, NIST SP 811)."""
    tab = open_grid(site_of(site={"units": "us"}))
    tab.cell(1, "Height (ft)").focus()
    tab.page.keyboard.type("10", delay=KEY_MS)
    tab.page.keyboard.press("Enter")
    tab.kept()
    assert [heap.number("height_m") for heap in tab.heaps] == [3.048]


def test_law_a_thumb_types_and_leaves_on_a_phone(open_grid: Callable[..., Tab]) -> None:
    tab = open_grid(touch=True)
    expect(tab.page.get_by_text("Touch a cell and type")).to_have_count(1)  # no word of keys a phone has not
    for head, text in zip(HEADS, TYPED[0], strict=True):
        tab.cell(1, head).tap()
        assert tab.cell(1, head).bounding_box()["height"] >= 44
        tab.page.keyboard.type(text, delay=KEY_MS)
    assert tab.cell(1, "Height (m)").get_attribute("inputmode") == "decimal"
    assert tab.page.evaluate("document.documentElement.scrollWidth") <= 390
    tab.page.get_by_test_id("stExpandSidebarButton").tap()
    tab.page.get_by_test_id("stSidebarNav").get_by_role("link", name="Slash").tap()
    expect(tab.page.locator(".ps-head h3")).to_have_text("Slash")
    settled(tab.page)
    assert [said_of(heap) for heap in tab.heaps] == [("North heap 17", "dome", 12.25, 5.75, 2.5, "ponderosa pine")]
    tab.calm()


def test_law_thousands_of_heaps_are_shown_in_parts(open_grid: Callable[..., Tab]) -> None:
    many = [thing(f"p{n}", name=f"P{n}", length_m=6, width_m=5, height_m=2) for n in range(1, 451)]
    tab = open_grid(site_of(*many))
    tab.page.get_by_text("Heaps shown: 200 of 450 at a time").wait_for()
    assert tab.page.locator("tbody tr.used").count() == 200
    tab.cell(451, "Number or name").focus()
    tab.page.keyboard.type("Last", delay=KEY_MS)
    tab.page.keyboard.press("Enter")
    tab.kept()
    assert tab.heaps[-1].name == "Last"
    expect(tab.cell(451, "Number or name")).to_have_value("Last")
    settled(tab.page)
    tab.page.get_by_label("Heaps shown").click()
    tab.page.get_by_text("401 to 451").click()
    expect(tab.cell(401, "Number or name")).to_have_value("P401")
    expect(tab.cell(451, "Number or name")).to_have_value("Last")
    expect(tab.cell(200, "Number or name")).to_have_count(0)


@pytest.mark.parametrize("width", [1280, 390])
def test_agrees_with_axe_on_the_grid(open_grid: Callable[..., Tab], width: int) -> None:
    tab = open_grid(touch=width < 600)
    tab.cell(1, "Number or name").focus()
    tab.paste([("P1", "egg", "6", "5", "12"), ("P1", "cone", "6", "5", "2")])
    tab.kept()
    tab.cell(1, "Shape").focus()
    assert serious(tab.page, [".stBidiComponent"]) == []
