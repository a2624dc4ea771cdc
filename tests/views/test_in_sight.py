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


def test_law_no_kiln_is_told_what_another_must_do(visit: Callable[..., Visit]) -> None:
    """K2 of the sample lacks a bucket test, K3 water: a row each, with its own action. One kiln is not counted."""
    words = visit().go("papers").words
    assert (
        "Quench line: calculated, not tested Kilns 1 of 3: K2 What to do Fill a bucket at the far end of the hose"
        in words
    )
    assert "Quench line: short Kilns 1 of 3: K3 What to do Bring water nearer" in words
    alone = visit(store().create(_with_kilns(1)).link).go("papers").words
    assert "Set the burn date" in alone
    assert "1 of 1" not in alone
