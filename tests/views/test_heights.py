"""One height above the water for all kilns of a source: typed once, with its ±, and each can be changed.

The international foot is 0.3048 m (exact by definition, 1959).
"""

from __future__ import annotations

from collections.abc import Callable

import pytest

from sitemap.site.frozen import thaw
from tests.site.builders import point, site_of, thing
from tests.views.conftest import Visit, store

BUCKET = {"source": "w", "spot": "k1", "bucket_litres": 20, "bucket_seconds": 12}
OWN = {"source": "w", "spot": "k3", "lift_m": 9.0, "lift_error_m": 0.5}
SITE = site_of(
    *(thing(f"k{n}", "kiln_spot", point(-120.0, 44.0 + n / 10_000), name=f"K{n}") for n in (1, 2, 3)),
    thing("w", "water_source", point(-120.001, 44.0), name="W1", source="pond"),
    site={"units": "us", "links": [BUCKET, OWN]},
)


def test_law_one_height_with_its_error_is_taken_for_every_kiln_that_has_none(visit: Callable[..., Visit]) -> None:
    tab = visit(store().create(SITE).link).go("water")
    assert "How high K1, K2 stand above the water of W1 is not known." in tab.words
    height, off = (next(e for e in tab.app.text_input if e.key == f"draft.heights.{name}") for name in ("lift", "off"))
    height.set_value("10").run()
    tab.app.button(key="heights.go").click().run()
    assert "without its ± says too much" in tab.words
    assert tab.site == SITE
    off = next(e for e in tab.app.text_input if e.key == off.key)
    off.set_value("2 m").run()  # a unit of its own, as everywhere
    tab.app.button(key="heights.go").click().run()
    links = [thaw(link.values) for link in tab.site.records("links")]
    assert links[0]["bucket_litres"] == 20
    assert links[1] == OWN
    assert [(one["spot"], one["lift_m"], one["lift_error_m"]) for one in (links[0], links[2])] == [
        (spot, pytest.approx(3.048), 2.0) for spot in ("k1", "k2")
    ]
    assert all("seen" in one for one in (links[0], links[2])), "a fact of a place and a day"
    assert "is not known. One figure does" not in tab.words
