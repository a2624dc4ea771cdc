"""A page on the grid, what a hand does on it, and what the store holds of it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from playwright.sync_api import Locator, expect

from sitemap.site.model import Feature, Site
from sitemap.site.store import Store
from tests.browser.app_page import go, settled
from tests.browser.conftest import Visit

KEY_MS = 15  # between two keys: no hand is faster
HEADS = ("Number or name", "Shape", "Length (m)", "Width (m)", "Height (m)", "Wood")


@dataclass
class Tab:
    """A page on the grid of a small site, and the store it keeps in."""

    page: Visit
    store: Store
    link: str
    address: str
    touch: bool
    begun: int = 0  # edits made before this test

    @property
    def site(self) -> Site:
        return self.store.open(self.link).site

    @property
    def heaps(self) -> tuple[Feature, ...]:
        return self.site.of_kind("pile")

    @property
    def edits(self) -> list[str]:
        """What was done in this test, the last first."""
        labels = [each.label for each in self.store.history(self.link)]
        return labels[: len(labels) - self.begun]

    def begin(self, site: Site) -> None:
        """Another site in the place of what a test before left, and a grid that stands there new."""
        self.store.save(self.link, self.site, site, "Begun anew")
        self.begun = len(self.store.history(self.link))
        if "/survey" not in self.page.url:
            go(self.page, "Walk and survey", self.touch)
        self.part("Free words").click()
        expect(self.page.locator("tbody")).to_have_count(0)
        settled(self.page)
        self.to_grid()

    def part(self, title: str) -> Locator:
        return self.page.get_by_test_id("stButtonGroup").get_by_text(title, exact=True)

    def to_grid(self) -> None:
        """On the page it stands on."""
        settled(self.page)
        self.part("The grid").click()
        self.cell(1, HEADS[0]).wait_for()

    def cell(self, row: int, head: str) -> Locator:
        return self.page.get_by_label(f"Row {row}, {head}", exact=True)

    def kept(self) -> None:
        """Wait until the server has said that it kept all that was typed."""
        self.page.locator('.box[data-waiting="0"]').wait_for(state="attached")

    def type_row(self, cells: tuple[str, ...]) -> None:
        for number, text in enumerate(cells):
            if number:
                self.page.keyboard.press("Tab")
            self.page.keyboard.type(text, delay=KEY_MS)
        self.page.keyboard.press("Enter")

    def paste(self, rows: Sequence[Sequence[str]]) -> None:
        text = "\n".join("\t".join(row) for row in rows)
        self.page.evaluate("text => navigator.clipboard.writeText(text)", text)
        self.page.keyboard.press("Control+v")

    def calm(self) -> None:
        assert self.page.outside == []
        assert self.page.faults == []
