"""What keeps a kiln from being lit is asked for in sight."""

from __future__ import annotations

from collections.abc import Callable

from sitemap.site.model import Feature
from tests.site.builders import SQUARE
from tests.views.conftest import Visit, store
from tests.views.test_folded import _with_kilns


def test_law_what_is_not_known_of_pump_and_grass_is_asked_for_in_sight(visit: Callable[..., Visit]) -> None:
    """Both keep a kiln from being lit: neither may lie under "More", or on a page that nobody is led to."""
    refuge = Feature.of("r", {"type": "Polygon", "coordinates": [SQUARE]}, {"kind": "refuge", "name": "R"})
    page = visit(store().create(_with_kilns(1).put(refuge)).link).choose("k1")
    assert "Not yet: enter how high grass and brush stand" in page.words
    leads = [each.label for each in page.app.button if str(each.key).startswith("lead.k1.")]
    assert leads.count("Log and afterwards") == 3  # ban, grass, and how high it stands
    page.choose("w")
    assert "Height of the pump above the water (m)" in [each.label for each in page.app.text_input]
