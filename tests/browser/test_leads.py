"""What keeps a kiln from being lit leads by one press to the field that answers it, in sight and under the keys."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable

import pytest

from sitemap.site.store import Store
from sitemap.views.map.panel import ROWS_SHOWN
from tests.browser.app_page import go, settled, symbol, until
from tests.browser.conftest import Address, OpenPage, map_of
from tests.site.builders import point, site_of, thing

SITE = site_of(
    *(
        thing(f"p{n}", "pile", point(-119.9995 + n / 1e4, 44.001), name=f"P{n}", length_m=3, width_m=3, height_m=1)
        for n in range(1, ROWS_SHOWN + 3)
    ),
    thing("k", "kiln_spot", point(-119.9995, 44.0), name="K1", kiln="kilns-1"),
    site={"timezone": "America/Boise", "season": {"date": dt.date.today().isoformat()}},
).with_item("kilns", {"id": "kilns-1", "name": "Box", "shape": "box", "length_m": 2.0, "width_m": 1.0, "height_m": 1.0})
ASKED = {  # what bars, as the panel heads it → what answers it: a field, a row, a form, one of several parts or heaps
    "People on site": "Adults on site",
    "Weather": "Mean wind, highest (km/h)",
    "Authority": "Who was asked",
    "Walked": "Site walked on",
    "Wood": "Heap",
}
SEEN = """() => {
  const { top, bottom } = document.activeElement.getBoundingClientRect();
  return document.activeElement.getAttribute("aria-label") === "%s" && top > 0 && bottom < innerHeight;
}"""


@pytest.mark.parametrize(("width", "touch", "some"), [(1280, False, ASKED), (390, True, ["People on site"])])
def test_law_a_press_on_what_is_open_ends_in_its_field(
    open_page: OpenPage, app_url: Address, width: int, touch: bool, some: Iterable[str]
) -> None:
    page = open_page(width, 900, touch=touch)
    page.goto(f"{app_url}/?site={Store(app_url.data).create(SITE).link}")
    frame = map_of(page)
    for check in some:
        symbol(frame, "k").click()
        lead = page.locator(".ps-verdict", has_text=f"{check}: ").first.locator("xpath=following::button[1]")
        lead.wait_for()
        settled(page)
        lead.click()
        until(page, SEEN % ASKED[check])
        go(page, "Map", narrow=touch)
        frame = map_of(page)
    assert page.faults == []
