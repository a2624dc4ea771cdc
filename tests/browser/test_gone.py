"""The server is killed while a page is open: nothing is lost, and what is typed meanwhile waits."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import ExitStack
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from sitemap.maps.framework import DIALOG_CLOSE
from tests.browser.app_page import go, open_app, settled, symbol, until
from tests.browser.conftest import ROOT, Address, serving
from tests.browser.test_letters import Bench

DIALOGS = f"""() => new MutationObserver(() => {{
  if (document.querySelector('{DIALOG_CLOSE}')) document.documentElement.dataset.dialog = 'seen';
}}).observe(document.body, {{childList: true}})"""


class Mortal:
    """A server that may be killed, and comes back at the same address with the same data."""

    def __init__(self, data: Path, lives: ExitStack) -> None:
        self._lives = lives
        self.address: Address = lives.enter_context(serving(ROOT / "app.py", data))

    def dies(self) -> None:
        self.address.process.kill()
        self.address.process.wait()

    def comes_back(self) -> None:
        again = serving(ROOT / "app.py", self.address.data, self.address.port)
        self.address = self._lives.enter_context(again)


@pytest.fixture(scope="module")
def mortal(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Mortal]:
    with ExitStack() as lives:
        yield Mortal(tmp_path_factory.mktemp("killed"), lives)


def test_law_a_killed_server_has_lost_nothing(page: Page, mortal: Mortal) -> None:
    """SIGKILL right after the edit is shown; the same link on a new server shows it."""
    frame = open_app(page, mortal.address)
    symbol(frame, "p1").click()
    expect(page.get_by_label("Name", exact=True)).to_have_value("P1")
    settled(page)
    page.get_by_label("Name", exact=True).fill("Heap by the oak")
    page.get_by_label("Name", exact=True).press("Enter")
    expect(symbol(frame, "p1").locator(".pit-label")).to_have_text("Heap by the oak")
    mortal.dies()
    mortal.comes_back()
    frame = open_app(page, page.url)
    expect(symbol(frame, "p1").locator(".pit-label")).to_have_text("Heap by the oak")
    page.get_by_role("button", name="Undo").click()
    expect(symbol(frame, "p1").locator(".pit-label")).to_have_text("P1")


def test_law_a_server_that_is_gone_is_said_and_what_is_typed_waits(page: Page, mortal: Mortal) -> None:
    bench = Bench(page, mortal.address)
    go(page, "Walk and survey")
    page.get_by_role("radio", name="The grid").click()
    cell = page.locator("tbody input").first
    cell.wait_for()
    settled(page)
    page.evaluate(DIALOGS)
    site_name = bench.field("Site")
    site_name.fill("Bench above")
    mortal.dies()
    bench.notice("Pitstead does not answer").wait_for()
    site_name.press("End")
    site_name.press_sequentially(" the ")
    page.wait_for_selector("html[data-dialog]", state="attached")  # the framework's own word, taken away
    expect(page.get_by_role("dialog")).to_have_count(0)
    page.keyboard.type("road")
    expect(site_name).to_have_value("Bench above the road")
    cell.fill("North heap")
    mortal.comes_back()
    expect(bench.notice("Pitstead does not answer")).to_have_count(0)
    bench.taken()
    expect(site_name).to_have_value("Bench above the road")
    until(page, "() => !Object.keys(localStorage).some(key => key.startsWith('pitstead.typed.'))")
    assert bench.site.name == "Bench above the road"
    assert bench.heap.name == "North heap"
    cell.focus()
    page.keyboard.press("Tab")  # to another cell, of which only the sheet hears
    page.evaluate("delete document.documentElement.dataset.dialog")
    mortal.dies()
    page.wait_for_selector("html[data-dialog]", state="attached")
    page.keyboard.type("cone")
    expect(page.locator("tbody input").nth(1)).to_have_value("cone")
