"""The grid by keyboard alone: one heap typed, forty pasted; tonnes at once, and all of it on the map.

No test asserts a time. How long the paste took is printed (`pytest -s`).
"""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator

import pytest
from playwright.sync_api import Locator, expect

from sitemap.site.store import Store
from tests.browser.app_page import go, settled
from tests.browser.conftest import ROOT, OpenPage, Visit, map_of, serving
from tests.site.builders import SQUARE, site_of, thing

KEY_MS = 70  # between two keys: a quick typist
SITE = site_of(
    thing("a", "logged_area", {"type": "Polygon", "coordinates": [SQUARE]}),
    thing("g", "gate", {"type": "Point", "coordinates": [-119.9998, 44.0002]}, name="Gate"),
    site={"name": "Bench", "crew": {"pace_m": 0.8}},
)
HEAPS = 40


@pytest.fixture
def grid(open_page: OpenPage, tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[Visit, Callable[[], object]]]:
    """A page on the grid of a small site, reached by the Tab key, and how to read the site as it is kept."""
    folder = tmp_path_factory.mktemp("grid")
    store = Store(folder)
    link = store.create(SITE).link
    with serving(ROOT / "app.py", folder) as address:
        page = open_page()
        page.context.grant_permissions(["clipboard-read", "clipboard-write"])
        page.goto(f"{address}/?site={link}")
        settled(page)
        go(page, "Walk and survey")
        tab_to(page, "el => el.textContent.trim() === 'The grid' || el.textContent.trim() === 'Before you leave home'")
        press_part(page)
        cell(page, 1, 2).wait_for(state="attached")
        yield page, lambda: store.open(link).site


def tab_to(page: Visit, wanted: str) -> None:
    """Press Tab until what has the focus is what is wanted."""
    for _ in range(80):
        page.keyboard.press("Tab")
        if page.evaluate(f"({wanted})(document.activeElement)"):
            return
    pytest.fail(f"The Tab key never comes to {wanted}")


def press_part(page: Visit) -> None:
    if page.evaluate("document.activeElement.textContent.trim()") != "The grid":
        page.keyboard.press("ArrowRight")
    page.keyboard.press("Enter")


def cell(page: Visit, row: int, column: int) -> Locator:
    """One cell of the table, as it is told to a screen reader; row from 1, column 0 the row number, 1 the tonnes."""
    return page.get_by_test_id(f"glide-cell-{column}-{row - 1}")


def into_first_cell(page: Visit) -> None:
    tab_to(page, "el => el.tagName === 'CANVAS'")
    page.keyboard.press("ArrowDown")
    page.keyboard.press("Control+Home")
    page.keyboard.press("ArrowRight")
    page.keyboard.press("ArrowRight")


def test_law_one_heap_is_typed_without_a_mouse(grid: tuple[Visit, Callable[[], object]]) -> None:
    page, kept = grid
    into_first_cell(page)
    for number, text in enumerate(["P1", "dome", "6", "5", "2,5", "softwood"]):
        page.keyboard.type(text, delay=KEY_MS)
        page.keyboard.press("Tab")
        expect(cell(page, 1, 2 + number)).to_have_text(text)
        settled(page)  # a busy machine redraws the table while somebody types on, and drops letters
    expect(page.get_by_text("1 of 1 piles counted in tonnes.")).to_be_visible()
    expect(cell(page, 1, 1)).not_to_have_text("")
    (heap,) = kept().of_kind("pile")
    assert (heap.name, heap.choice("shape"), heap.number("height_m")) == ("P1", "dome", 2.5)
    page.keyboard.press("ArrowDown")
    page.keyboard.press("Control+ArrowLeft")
    page.keyboard.press("ArrowRight")
    page.keyboard.press("ArrowRight")
    page.keyboard.type("P2", delay=KEY_MS)
    page.keyboard.press("Enter")
    expect(page.get_by_text("1 of 2 piles counted in tonnes.")).to_be_visible()
    assert page.outside == []
    assert page.faults == []


def test_law_undo_and_emptied_rows_are_followed(grid: tuple[Visit, Callable[[], object]]) -> None:
    page, kept = grid
    into_first_cell(page)
    for number, text in enumerate(["P1", "cone", "6", "5", "2"]):
        page.keyboard.type(text, delay=KEY_MS)
        page.keyboard.press("Tab")
        expect(cell(page, 1, 2 + number)).to_have_text(text)
        settled(page)  # a busy machine redraws the table while somebody types on, and drops letters
    expect(page.get_by_text("1 of 1 piles counted in tonnes.")).to_be_visible()
    page.get_by_role("button", name="Undo").click()
    expect(page.get_by_text("1 of 1 piles counted in tonnes.")).to_be_hidden()
    settled(page)
    left = next(iter(kept().of_kind("pile")), None)  # cells typed in a breath are one edit: how many, the store says
    expect(cell(page, 1, 6)).to_have_text("")
    expect(cell(page, 1, 2)).to_have_text(left.name if left else "")
    into_first_cell(page)
    page.keyboard.type("P7", delay=KEY_MS)
    page.keyboard.press("Enter")
    expect(page.get_by_text("0 of 1 piles counted in tonnes.")).to_be_visible()
    page.keyboard.press("ArrowUp")
    page.keyboard.press("Shift+ArrowRight")
    page.keyboard.press("Shift+ArrowRight")
    page.keyboard.press("Shift+ArrowRight")
    page.keyboard.press("Delete")
    expect(page.get_by_text("0 of 0 piles counted in tonnes.")).to_be_visible()
    assert kept().of_kind("pile") == ()


def test_law_forty_heaps_pasted_are_in_tonnes_and_on_the_map(grid: tuple[Visit, Callable[[], object]]) -> None:
    page, kept = grid
    into_first_cell(page)
    rows = [
        [f"P{n}", "dome", "6", "5", "2", "softwood", "tops", "none", "", f"bearing {3 * n}, 40 paces from Gate"]
        for n in range(1, HEAPS + 1)
    ]
    page.evaluate("text => navigator.clipboard.writeText(text)", "\n".join("\t".join(row) for row in rows))
    begun = time.perf_counter()
    page.keyboard.press("Control+v")
    expect(page.get_by_text(f"{HEAPS} of {HEAPS} piles counted in tonnes.")).to_be_visible()
    expect(cell(page, 1, 1)).not_to_have_text("")
    print(f"{HEAPS} heaps pasted, in tonnes after {time.perf_counter() - begun:.2f} s")
    heaps = kept().of_kind("pile")
    assert len(heaps) == HEAPS
    assert all(heap.shape is not None for heap in heaps)
    assert len({tuple(heap.geometry["coordinates"]) for heap in heaps}) == HEAPS
    page.get_by_test_id("stSidebarNav").get_by_role("link", name="Map").click()
    expect(map_of(page).locator('.pit-icon[data-feature^="pile-"]')).to_have_count(HEAPS)
    page.get_by_role("button", name="Undo").click()
    expect(map_of(page).locator('.pit-icon[data-feature^="pile-"]')).to_have_count(0)
    assert page.outside == []
    assert page.faults == []
