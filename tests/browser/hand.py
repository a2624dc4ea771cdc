"""What a hand does on the map: by mouse, and by finger."""

from __future__ import annotations

from dataclasses import dataclass

from playwright.sync_api import Locator, Page

STEPS = 6


def middle(locator: Locator) -> tuple[float, float]:
    """Middle of an element, in pixels of the window."""
    box = locator.bounding_box()
    assert box, "the element is not on the screen"
    return box["x"] + box["width"] / 2, box["y"] + box["height"] / 2


def drag(page: Page, what: Locator, right: float, down: float) -> None:
    """Take an element with the mouse, move it and let go."""
    x, y = middle(what)
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(x + right, y + down, steps=STEPS)
    page.mouse.up()


def carry(page: Page, what: Locator, right: float, down: float) -> None:
    """Choose a symbol, then drag it: only what is chosen moves."""
    page.mouse.click(*middle(what))
    drag(page, what, right, down)


@dataclass
class Finger:
    """One finger on a touch screen. The driver itself can only tap."""

    page: Page

    def drag(self, what: Locator, right: float, down: float) -> None:
        """Put the finger on an element, move it and lift."""
        x, y = middle(what)
        screen = self.page.context.new_cdp_session(self.page)

        def touch(event: str, *places: tuple[float, float]) -> None:
            points = [{"x": a, "y": b} for a, b in places]
            screen.send("Input.dispatchTouchEvent", {"type": event, "touchPoints": points})

        touch("touchStart", (x, y))
        for step in range(1, STEPS + 1):
            touch("touchMove", (x + right * step / STEPS, y + down * step / STEPS))
        touch("touchEnd")
        screen.detach()

    def tap(self, what: Locator) -> None:
        """Touch an element."""
        self.page.touchscreen.tap(*middle(what))
