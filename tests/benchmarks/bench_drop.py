"""Drop to verdict in the browser: median of 20 drags of a kiln spot on a sample with terrain; the app's memory; the
first map beside an empty page with the same imports.

    python -m tests.benchmarks.bench_drop

Prints figures; asserts none. From the mouse button let go to the panel's answer about the new place.
"""

from __future__ import annotations

import argparse
import statistics
import tempfile
import time
from pathlib import Path

from playwright.sync_api import Browser, Page, sync_playwright

from tests import browsers
from tests.browser.app_page import open_app, settled, symbol
from tests.browser.conftest import ROOT, serving
from tests.browser.hand import middle

STEPS = ((14, 6), (-14, -6), (6, -12), (-6, 12))  # pixels; round and back again, so that the site stays what it is


def resident_mb(pid: int) -> float:
    """Memory a process holds [MB]; Linux only, else 0."""
    status = Path(f"/proc/{pid}/status")
    if not status.exists():
        return 0.0
    line = next(line for line in status.read_text().splitlines() if line.startswith("VmRSS"))
    return int(line.split()[1]) / 1024


def seconds_to_first_map(browser: Browser, script: Path) -> float:
    """From opening the address of a server just started until the map stands, with its symbols if it has any."""
    with tempfile.TemporaryDirectory() as folder, serving(script, Path(folder)) as address:
        page = browser.new_page(viewport={"width": 1280, "height": 900})
        page.set_default_timeout(60_000)
        began = time.perf_counter()
        page.goto(address)
        frame = page.frame_locator('iframe[title="streamlit_folium.st_folium"]')
        frame.locator(".leaflet-control-scale-line").wait_for()
        took = time.perf_counter() - began
        page.close()
    return took


def seconds_of_a_drop(page: Page, right: float, down: float) -> float:
    """Drag kiln K1, and wait until the panel shows the place it was dropped at."""
    frame = page.frame_locator('iframe[title="streamlit_folium.st_folium"]')
    x, y = middle(symbol(frame, "k1"))
    page.mouse.click(x, y)  # only what is chosen moves
    settled(page)
    before = page.get_by_label("Place", exact=True).input_value()
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(x + right, y + down, steps=4)
    page.evaluate(
        """before => { window.answered = new Promise(done => {
            const look = () => {
                const field = document.querySelector('input[aria-label="Place"]');
                const verdict = document.querySelector('.ps-verdict.ps-large');
                const fresh = field && verdict && !verdict.closest('[data-stale=true]');
                if (fresh && field.value !== before) done(Date.now());
                else requestAnimationFrame(look);
            };
            look();
        }); }""",
        before,
    )
    start = page.evaluate("Date.now()")
    page.mouse.up()
    took = (page.evaluate("window.answered") - start) / 1000
    settled(page)
    page.wait_for_timeout(500)  # what still comes of this drop must not be taken for the next one's
    return float(took)


def main(arguments: list[str] | None = None) -> None:
    """Measure, and print one line each; arguments : --drags."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--drags", type=int, default=20)
    drags = parser.parse_args(arguments).drags
    with (
        tempfile.TemporaryDirectory() as folder,
        serving(ROOT / "app.py", Path(folder)) as address,
        sync_playwright() as playwright,
    ):
        browser = playwright.chromium.launch(executable_path=browsers.found(), args=["--no-sandbox"])
        page = browser.new_page(viewport={"width": 1280, "height": 900})
        page.set_default_timeout(60_000)
        frame = open_app(page, address)
        symbol(frame, "k1").click()
        settled(page)
        page.wait_for_timeout(500)
        drops = [seconds_of_a_drop(page, *STEPS[number % len(STEPS)]) for number in range(drags)]
        print(
            f"drop to verdict, {drags} drags: median {statistics.median(drops):.2f} s, "
            f"least {min(drops):.2f} s, most {max(drops):.2f} s"
        )
        print(f"memory of the app, sample open: {resident_mb(address.process.pid):.0f} MB")
        page.close()
        empty, real = (
            min(seconds_to_first_map(browser, script) for _ in range(2))
            for script in (ROOT / "tests/benchmarks/empty_page.py", ROOT / "app.py")
        )
        print(f"first map: {real:.2f} s, an empty page with the same imports {empty:.2f} s, ratio {real / empty:.1f}")
        browser.close()


if __name__ == "__main__":
    main()
