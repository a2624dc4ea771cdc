"""What keeps a kiln from being lit is asked for in sight."""

from __future__ import annotations

import re
from collections.abc import Callable

from sitemap.site.model import Feature
from sitemap.views.leads import OF_ACTION, WHERE
from sitemap.views.map.panel import ROWS_SHOWN
from tests.site.builders import SQUARE, point, site_of, thing
from tests.views.conftest import PAGES, ROOT, Visit, store
from tests.views.test_folded import _with_kilns

ON_THE_MAP = {  # in the form of the kiln or of the thing the bar names, or by drawing
    *("place", "kiln", "ground", "branches", "slope", "machine_stand", "distance", "quench_method", "size", "file"),
    *("ways_out", "refuge", "meeting_point", "crew_place", "char_pad", "raster"),
}
FIELDS = ("text_input", "text_area", "number_input", "date_input", "selectbox", "checkbox", "button_group")


def test_law_what_is_not_known_of_pump_and_grass_is_asked_for_in_sight(visit: Callable[..., Visit]) -> None:
    """Both keep a kiln from being lit: neither may lie under "More", or on a page that nobody is led to."""
    refuge = Feature.of("r", {"type": "Polygon", "coordinates": [SQUARE]}, {"kind": "refuge", "name": "R"})
    page = visit(store().create(_with_kilns(1).put(refuge)).link).choose("k1")
    assert "Not yet: enter how high grass and brush stand" in page.words
    leads = [each.label for each in page.app.button if str(each.key).startswith("lead.k1.")]
    assert leads.count("Log and afterwards") == 4  # ban, grass, how high it stands, the weather read
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


def test_law_a_kiln_whose_distances_alone_pass_is_told_whole(visit: Callable[..., Visit]) -> None:
    """Heaps enough for distances to fold away, and no other check that passes: nothing empty is shown."""
    heaps = [
        thing(f"p{n}", "pile", point(-120.0 + n / 9000, 44.0003), name=f"P{n}", length_m=2, width_m=2, height_m=1)
        for n in range(ROWS_SHOWN + 2)
    ]
    page = visit(store().create(site_of(thing("k", "kiln_spot", name="K1"), *heaps)).link).choose("k")
    assert "more checks pass" in page.words
    assert "This is a fault of the program" not in page.words


def test_law_whatever_bars_a_kiln_leads_to_its_field_or_is_answered_beside_the_map() -> None:
    """Each check that can bar is in one of the two, and each place is a page of the menu."""
    source = "".join(path.read_text(encoding="utf-8") for path in (ROOT / "sitemap").rglob("*.py"))
    checks = set(re.findall(r'checked\(\s*"(\w+)"', source)) | {"water_attack", "distance"}
    assert len(checks) > 25
    assert checks - set(WHERE) == ON_THE_MAP
    assert {place.page for place in (*WHERE.values(), *OF_ACTION.values()) if place} <= set(PAGES)


def test_law_each_way_to_an_answer_ends_on_a_page_where_its_field_stands(visit: Callable[..., Visit]) -> None:
    """Also where it lies in a fold; where a row or a whole form is meant, no field is named."""
    page = visit(store().create(_with_kilns(1)).link).choose("k1")
    found = []
    for key in [each.key for each in page.app.button if str(each.key).startswith("lead.k1.")]:
        page.go("map").app.button(key=key).click().run()
        field = page.app.session_state["tab"].facts["stand"]["key"]
        if field.startswith("input."):
            found.append(field)
            assert field.removeprefix("input.") in {str(each.key) for kind in FIELDS for each in page.app.get(kind)}
    assert len(set(found)) >= 8


def test_law_a_thing_that_names_equipment_leads_to_where_it_is_described_while_there_is_none(
    visit: Callable[..., Visit],
) -> None:
    """A field of which nothing can be chosen is a dead end by the map; by the menu nobody knows which page to open."""
    site = site_of(thing("w", "water_source", name="W1"), thing("k", "kiln_spot", name="K1"))
    page = visit(store().create(site).link)
    for chosen, words, adds in (
        ("w", "Describe pump, hose, nozzle: Water", "e.pumps.add"),
        ("k", "Describe kiln: Kilns and clock", "e.kilns.add"),
    ):
        button = next(each for each in page.go("map").choose(chosen).app.button if each.label == words)
        button.click().run()
        page.app.button(key=adds).click().run()
    page.go("map").choose("w")
    assert "Describe hose, nozzle: Water" in [each.label for each in page.app.button]
    assert not [each.label for each in page.choose("k").app.button if each.label.startswith("Describe")]
