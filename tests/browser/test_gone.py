"""The server is killed while a page is open: nothing is lost, and what is typed meanwhile waits."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import ExitStack
from dataclasses import dataclass
from pathlib import Path

import pytest
from playwright.sync_api import Locator, expect

from sitemap.maps.framework import DIALOG_CLOSE
from tests.browser.app_page import open_app, settled, symbol, until
from tests.browser.conftest import ROOT, Address, OpenPage, Visit, serving
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
        """Where it is not back already."""
        if self.address.process.poll() is not None:
            again = serving(ROOT / "app.py", self.address.data, self.address.port)
            self.address = self._lives.enter_context(again)


@dataclass
class Killed:
    """A server killed under two tabs: in one an edit was just shown, in the other somebody types on."""

    server: Mortal
    edited: Visit
    bench: Bench

    @property
    def site_name(self) -> Locator:
        return self.bench.field("Site")

    @property
    def cell(self) -> Locator:
        return self.bench.page.locator("tbody input").first


@pytest.fixture(scope="module")
def killed(keep_page: OpenPage, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Killed]:
    """SIGKILL right after the edit is shown."""
    with ExitStack() as lives:
        server = Mortal(tmp_path_factory.mktemp("killed"), lives)
        found = Killed(server, keep_page(), Bench(keep_page(), server.address, "survey"))
        page = found.bench.page
        page.get_by_role("radio", name="The grid").click()
        found.cell.wait_for()
        settled(page)
        page.evaluate(DIALOGS)
        page = found.edited
        frame = open_app(page, server.address)
        symbol(frame, "p1").click()
        expect(page.get_by_label("Name", exact=True)).to_have_value("P1")
        settled(page)
        page.get_by_label("Name", exact=True).fill("Heap by the oak")
        page.get_by_label("Name", exact=True).press("Enter")
        expect(symbol(frame, "p1").locator(".pit-label")).to_have_text("Heap by the oak")
        found.site_name.fill("Bench above")
        server.dies()
        yield found


def test_law_a_server_that_is_gone_is_said_and_what_is_typed_waits(killed: Killed) -> None:
    bench, page, site_name = killed.bench, killed.bench.page, killed.site_name
    bench.notice("Pitstead does not answer").wait_for()
    site_name.press("End")
    site_name.press_sequentially(" the ")
    page.wait_for_selector("html[data-dialog]", state="attached")  # the framework's own word, taken away
    expect(page.get_by_role("dialog")).to_have_count(0)
    page.keyboard.type("road")
    expect(site_name).to_have_value("Bench above the road")
    killed.cell.fill("North heap")
    killed.server.comes_back()
    expect(bench.notice("Pitstead does not answer")).to_have_count(0)
    bench.taken()
    expect(site_name).to_have_value("Bench above the road")
    until(page, "() => !Object.keys(localStorage).some(key => key.startsWith('pitstead.typed.'))")
    assert bench.site.name == "Bench above the road"
    assert bench.heap.name == "North heap"


def test_law_a_killed_server_has_lost_nothing(killed: Killed) -> None:
    """The same link on a new server shows the edit, and its button takes it back."""
    killed.server.comes_back()
    page = killed.edited
    frame = open_app(page, page.url)
    expect(symbol(frame, "p1").locator(".pit-label")).to_have_text("Heap by the oak")
    page.get_by_role("button", name="Undo").click()
    expect(symbol(frame, "p1").locator(".pit-label")).to_have_text("P1")
