"""Drop to verdict in the browser: median of 20 drags of a kiln spot on a sample with terrain; the app's memory; the
first map beside an empty page with the same imports.

    python -m tests.benchmarks.bench_drop [--drags 20]     0: the first map alone

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
from tests.benchmarks.clock import against, cpu_s_of
from tests.browser.app_page import open_app, settled, symbol
from tests.browser.conftest import ROOT, serving
from tests.browser.hand import middle

PATIENCE_MS = 180_000  # a busy machine is slow, and its figures still stand: those of the processor
DROP_S, FIRST_MAP = 0.3, 1.5  # goals: seconds, times the empty page
STEPS = ((14, 6), (-14, -6), (6, -12), (-6, 12))  # pixels; round and back again, so that the site stays what it is


def resident_mb(pid: int) -> float:
    """Memory a process holds [MB]; Linux only, else 0."""
    status = Path(f"/proc/{pid}/status")
    if not status.exists():
        return 0.0
    line = next(line for line in status.read_text().splitlines() if line.startswith("VmRSS"))
    return int(line.split()[1]) / 1024


def seconds_to_first_map(browser: Browser, script: Path) -> tuple[float, float]:
    """From opening the address of a server just started until the map stands, with its symbols if it has any: by the
    clock, and of the server's processor."""
    with tempfile.TemporaryDirectory() as folder, serving(script, Path(folder)) as address:
        page = browser.new_page(viewport={"width": 1280, "height": 900})
        page.set_default_timeout(PATIENCE_MS)
        began, used = time.perf_counter(), cpu_s_of(address.process.pid)
        page.goto(address)
        frame = page.frame_locator('iframe[title="streamlit_folium.st_folium"]')
        frame.locator(".pit-scale svg").wait_for()
        took = time.perf_counter() - began, cpu_s_of(address.process.pid) - used
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


def dragged(browser: Browser, drags: int) -> None:
    """Drag a kiln so often on a sample just opened; a line of the times, and one of the memory of the app."""
    with tempfile.TemporaryDirectory() as folder, serving(ROOT / "app.py", Path(folder)) as address:
        page = browser.new_page(viewport={"width": 1280, "height": 900})
        page.set_default_timeout(PATIENCE_MS)
        frame = open_app(page, address)
        symbol(frame, "k1").click()
        settled(page)
        page.wait_for_timeout(500)
        used = cpu_s_of(address.process.pid)
        drops = [seconds_of_a_drop(page, *STEPS[number % len(STEPS)]) for number in range(drags)]
        used = (cpu_s_of(address.process.pid) - used) / drags
        print(
            f"drop to verdict, {drags} drags: median {against(statistics.median(drops), DROP_S, 's')}, "
            f"least {min(drops):.2f} s, most {max(drops):.2f} s; the server works {used:.2f} s for each"
        )
        print(f"memory of the app, sample open: {resident_mb(address.process.pid):.0f} MB")
        page.close()


def main(arguments: list[str] | None = None) -> None:
    """Measure, and print one line each; arguments : --drags."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--drags", type=int, default=20)
    drags = parser.parse_args(arguments).drags
    program = browsers.found()
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=program, args=["--no-sandbox"])
        if drags:
            dragged(browser, drags)
        scripts = (ROOT / "tests/benchmarks/empty_page.py", ROOT / "app.py")
        turns = [[seconds_to_first_map(browser, script) for script in scripts] for _ in range(2)]
        empty, real = (tuple(map(min, zip(*turn, strict=True))) for turn in zip(*turns, strict=True))
        print(f"first map {real[0]:.2f} s, an empty page with the same imports {empty[0]:.2f} s by the clock")
        print(f"the server alone {real[1]:.2f} s and {empty[1]:.2f} s, {against(real[1] / empty[1], FIRST_MAP)}")
        browser.close()


if __name__ == "__main__":
    main()
