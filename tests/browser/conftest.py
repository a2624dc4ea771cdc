"""The real page in a real browser, with nothing else to reach: every request to the outside is stopped and noted."""

from __future__ import annotations

import os
import socket
import subprocess
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from threading import Thread
from typing import Any
from urllib.parse import urlsplit

import pytest
from playwright.sync_api import (
    Browser,
    ConsoleMessage,
    FrameLocator,
    Page,
    ViewportSize,
    expect,
    sync_playwright,
)
from playwright.sync_api import Error as PlaywrightError

from tests import browsers

ROOT = Path(__file__).resolve().parents[2]
PATIENCE_MS = 30_000
expect.set_options(timeout=PATIENCE_MS)  # a busy machine is slow, and no test here is about time
#  An expectation writes down the whole page each time it does not find its element yet, a tenth of the browser's work:
#  whatever has to come first is waited for by `wait_for`, which fails as surely.
KEPT_BY_PAGES = "local_storage,indexeddb,service_workers,cache_storage"
PHONE = "Mozilla/5.0 (Linux; Android 14; Mobile) AppleWebKit/537.36 Chrome/130.0 Mobile Safari/537.36"


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Every test in this folder is marked, so that `-m "not browser"` leaves them out."""
    for item in items:
        if Path(__file__).parent in item.path.parents:
            item.add_marker("browser")


class Address(str):
    """Where a server listens, its process, and the folder of its data."""

    process: subprocess.Popen[str]
    data: Path
    said: list[str]  # what it wrote in its window

    @property
    def port(self) -> int:
        """Its port."""
        return int(self.rpartition(":")[2])


@contextmanager
def serving(script: Path, data: Path, port: int | None = None, *options: str) -> Iterator[Address]:
    """A Streamlit server of its own for one script, on a free port of this machine; yields its address."""
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = port or free.getsockname()[1]
    server = subprocess.Popen(
        [
            sys.executable,
            "-m",
            "streamlit",
            "run",
            str(script),
            f"--server.port={port}",
            "--server.headless=true",
            *options,
        ],
        cwd=ROOT,
        env={**os.environ, "PITSTEAD_DATA": str(data), "PYTHONPATH": str(ROOT)},
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
    )
    said: list[str] = []
    assert server.stdout is not None
    try:
        for line in server.stdout:  # until it says where it listens
            said.append(line)
            if "http://" in line:
                break
        else:
            pytest.fail("The page did not start:\n" + "".join(said))
        listener = Thread(target=lambda: said.extend(server.stdout), daemon=True)  # a full pipe would stop the server
        listener.start()
        address = Address(f"http://127.0.0.1:{port}")
        address.process, address.data, address.said = server, data, said
        yield address
        server.terminate()
        listener.join()
    finally:
        server.terminate()
        server.wait()
        server.stdout.close()
        sys.stdout.write("".join(said))  # shown by pytest where a test fails


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    """One browser for all tests. None found is a failure, never a skip."""
    program = browsers.found()
    assert program, f"No browser found: name its program file in {browsers.NAMED}, or run python -m tests."
    root = getattr(os, "geteuid", lambda: 1)() == 0
    with sync_playwright() as playwright:
        opened = playwright.chromium.launch(
            executable_path=program,
            args=[
                "--host-resolver-rules=MAP * ~NOTFOUND, EXCLUDE 127.0.0.1",
                "--js-flags=--no-flush-bytecode",  # what was compiled for one test serves the next
                *(["--no-sandbox"] if root else []),
            ],
        )
        yield opened
        opened.close()


@pytest.fixture(scope="session")
def app_url(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Address]:
    """Address of the app, served from the sources with a data folder of its own, for all tests of a worker."""
    with serving(ROOT / "app.py", tmp_path_factory.mktemp("data")) as address:
        yield address


class Visit(Page):
    """A page, for its type: `page.outside` lists every request that wanted to leave this machine, `page.faults` every
    script error."""

    outside: list[str]
    faults: list[str]


OpenPage = Callable[..., Visit]
Device = tuple[int, int, bool]  # width, height, whether it is touched


@pytest.fixture(scope="session")
def first_pages() -> dict[Device, Visit]:
    """A page for each size of screen, kept for all tests of a worker: loaded anew, it has its scripts at hand."""
    return {}


@pytest.fixture
def open_page(browser: Browser, first_pages: dict[Device, Visit]) -> Iterator[OpenPage]:
    """Open pages of a given size that remember nothing of a test before: `open_page(width=1280, height=900,
    touch=False)`. Requests are watched, not held up, for that would shut off the browser's store of files; what lies
    outside has no address for this browser."""
    with _pages(browser, first_pages) as opened:
        yield opened


@pytest.fixture(scope="module")
def keep_page(browser: Browser, first_pages: dict[Device, Visit]) -> Iterator[OpenPage]:
    """The same for pages that stay open for all tests of a file, which then opens none by `open_page`."""
    with _pages(browser, first_pages) as opened:
        yield opened


@contextmanager
def _pages(browser: Browser, first_pages: dict[Device, Visit]) -> Iterator[OpenPage]:
    used: set[Device] = set()

    def opened(width: int = 1280, height: int = 900, touch: bool = False) -> Visit:
        device = width, height, touch
        if device not in first_pages:
            agent = {"user_agent": PHONE} if touch else {}  # the page closes its menu itself on what says it is a phone
            context = browser.new_context(
                viewport={"width": width, "height": height},
                has_touch=touch,
                is_mobile=touch,
                reduced_motion=None if touch else "reduce",  # somebody asks for it, and a sixth less is drawn
                **agent,
            )
            first_pages[device] = _watched(context.new_page())
        page = first_pages[device]
        if device in used:
            page = _watched(page.context.new_page())
        used.add(device)
        return page

    yield opened
    for device in used:
        first_pages[device] = _forgetful(first_pages[device], ViewportSize(width=device[0], height=device[1]))


def _watched(new: Page) -> Visit:
    page: Visit = new
    page.set_default_timeout(PATIENCE_MS)
    page.outside, page.faults = [], []
    page.on("request", lambda request: _outside(request.url) and page.outside.append(request.url))
    page.on("websocket", lambda socket: _outside(socket.url) and page.outside.append(socket.url))
    page.on("pageerror", lambda error: page.faults.append(str(error)))
    page.on("console", lambda message: _fault(message) and page.faults.append(message.text))
    return page


def _fault(message: ConsoleMessage) -> bool:
    """A page opened by its own address looks for the server below it first, and finds it above: that is no fault."""
    asked_below = "/_stcore/" in str(message.location.get("url"))
    return message.type == "error" and not (asked_below and "404" in message.text)


def _outside(address: str) -> bool:
    parts = urlsplit(address)
    return parts.scheme in ("http", "https", "ws", "wss") and parts.hostname != "127.0.0.1"


def _forgetful(page: Visit, size: ViewportSize) -> Visit:
    """The page for the next test, which nothing reaches of what this one kept in the browser, nor any leave it had; a
    new one where its server is gone or it is closed itself."""
    context = page.context
    for other in context.pages:
        if other is not page:
            other.close()
    context.clear_cookies()
    context.clear_permissions()
    try:
        page.set_viewport_size(size)
        if page.url.startswith("http"):
            page.goto("{0.scheme}://{0.netloc}/_stcore/health".format(urlsplit(page.url)))
            page.evaluate("sessionStorage.clear()")
    except PlaywrightError:
        page.close()
        page = _watched(context.new_page())
    page.mouse.move(0, 0)
    session = context.new_cdp_session(page)
    session.send("Storage.clearDataForOrigin", {"origin": "*", "storageTypes": KEPT_BY_PAGES})
    session.detach()
    page.outside.clear()
    page.faults.clear()
    return page


@pytest.fixture
def page(open_page: OpenPage) -> Visit:
    """A fresh page of desktop size."""
    return open_page()


def map_of(page: Page) -> FrameLocator:
    """The frame of the map, once its symbols are drawn."""
    frame = page.frame_locator('iframe[title="streamlit_folium.st_folium"]')
    frame.locator(".pit-icon").first.wait_for()
    return frame


@pytest.fixture(scope="session")
def map_url(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Address]:
    """Where a page with nothing but the map is served."""
    with serving(Path(__file__).with_name("map_page.py"), tmp_path_factory.mktemp("map")) as address:
        yield address


@pytest.fixture(scope="module")
def _left() -> dict[bool, Any]:
    return {}


@pytest.fixture
def standing(request: pytest.FixtureRequest, _left: dict[bool, Any]) -> Iterator[dict[bool, Any]]:
    """What a test finds open from the tests before it in its file, for a mouse and for a finger (True). After a test
    that failed that is nothing, for who knows what is on its page."""
    failed = request.session.testsfailed
    yield _left
    if request.session.testsfailed > failed:
        _left.clear()


@pytest.fixture
def open_map(keep_page: OpenPage, map_url: Address, standing: dict[bool, Visit]) -> OpenPage:
    """That page at a given size, with its map as it is at first: `open_map(width=1280, height=900, touch=False)`."""
    from tests.browser.map_hand import begin

    def opened(width: int = 1280, height: int = 900, touch: bool = False) -> Visit:
        if touch not in standing:
            standing[touch] = keep_page(touch=touch)
            standing[touch].goto(map_url)
            map_of(standing[touch])
        page = standing[touch]
        page.set_viewport_size({"width": width, "height": height})
        begin(page)
        return page

    return opened


@pytest.fixture
def at_map(open_map: OpenPage) -> Visit:
    """That page for a mouse."""
    return open_map()
