"""Every attribute of the schema has a field on a page: nothing the assessment reads can only be typed into a file."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable

import pytest

from sitemap.assessment import assess
from sitemap.site.attributes import Attribute
from sitemap.site.equipment import EQUIPMENT, RECORDS, SECTIONS
from sitemap.site.kinds import KINDS
from sitemap.site.model import Feature, Site
from sitemap.views.inputs.fields import fault_of
from sitemap.views.inputs.noted import asked_of
from tests.views.conftest import PAGES, Visit, store

Open = Callable[..., Visit]
AT = [-120.6, 44.3]
SHAPES = {
    "Point": {"type": "Point", "coordinates": AT},
    "LineString": {"type": "LineString", "coordinates": [AT, [-120.599, 44.3]]},
    "Polygon": {"type": "Polygon", "coordinates": [[AT, [-120.599, 44.3], [-120.599, 44.301], AT]]},
}


def one_of_each() -> Site:
    site = Site().with_member("units", "us").with_member("name", "One of each").with_member("format", 1)
    for key, kind in KINDS.items():
        site = site.put(Feature.of(f"{key}-1", SHAPES[kind.geometries[0]], {"kind": key, "name": key}))
    for key in EQUIPMENT:
        site = site.with_item(key, {"id": f"{key}-1", "name": key, **({"shape": "trough"} if key == "kilns" else {})})
    site = site.with_member(
        "permit", {"conditions_met": True}
    )  # who saw that is asked once somebody says that they are
    return site.with_item("kilns", {"id": "kilns-2", "name": "round", "shape": "frustum"})


def fields(tab: Visit) -> set[str]:
    """The keys of every input on the page."""
    kinds = ("text_input", "selectbox", "multiselect", "date_input")
    return {str(each.key) for kind in kinds for each in tab.app.get(kind)}


def wanted(start: str, attributes: tuple[Attribute, ...]) -> set[str]:
    """The keys of the fields of some attributes: of records within in their first row, of a pair none."""
    found = set()
    for each in attributes:
        if each.type == "records":
            found |= wanted(f"{start}.{each.name}.0", each.item)
        elif each.type != "pair":
            found.add(f"{start}.{each.name}")
    return found


@pytest.fixture
def tab(visit: Open) -> Visit:
    return visit(store().create(one_of_each()).link)


@pytest.mark.parametrize("kind", KINDS)
def test_law_every_attribute_of_a_feature_has_a_field(tab: Visit, kind: str) -> None:
    tab.choose(f"{kind}-1")
    assert wanted(f"f.{kind}-1", KINDS[kind].attributes) - fields(tab) == set()


def test_law_every_attribute_of_equipment_crew_permit_season_and_records_has_a_field(tab: Visit) -> None:
    shown: set[str] = set()
    for page in ("rules", "kilns", "water", "when", "log", "survey"):
        tab.go(page)
        shown |= fields(tab)
    tab.app.button_group(key="survey.part").set_value("The grid").run()
    shown |= fields(tab)
    lacking = set()
    shown |= {key.replace("kilns-2", "kilns-1") for key in shown}  # sizes are asked by the shape
    for key, kind in EQUIPMENT.items():
        lacking |= wanted(f"e.{key}.{key}-1", kind.attributes) - shown
    for key, kind in SECTIONS.items():
        lacking |= wanted(f"s.{key}", kind.attributes) - shown
    for key, kind in RECORDS.items():
        if key not in ("forecast_hours", "weather_days"):  # pasted or brought as a file, hundreds of them: test_when.py
            lacking |= wanted(f"r.{key}.0", kind.attributes) - shown
    assert lacking == set()


def test_law_the_script_that_keeps_letters_knows_every_field(tab: Visit) -> None:
    """It follows fields whose completion is switched off, and fields of several lines (`views/letters`)."""
    strange = set()
    for page in PAGES:
        tab.go(page)
        parts = tab.app.button_group(key="survey.part").options if page == "survey" else ("",)
        for part in parts:
            if part:
                tab.app.button_group(key="survey.part").set_value(part).run()
            strange |= {each.key for each in tab.app.text_input if each.proto.autocomplete != "off"}
            strange |= {each.key for kind in ("number_input", "date_input", "time_input") for each in tab.app.get(kind)}
    assert strange == set()


@pytest.mark.parametrize(("typed", "readable"), [("07:30", True), ("7:30", True), ("25:99", False), ("noon", False)])
def test_law_an_hour_nobody_can_read_is_said_beside_its_field(typed: str, readable: bool) -> None:
    (starts,) = [each for each in SECTIONS["season"].attributes if each.name == "day_starts"]
    told = fault_of(starts, typed, "metric")
    assert told is None if readable else told is not None and f"it is '{typed}'" in told


def test_law_what_bars_a_kiln_is_asked_for_without_opening_more(visit: Open) -> None:
    """How a kiln is quenched, whom to call, and that a permit has no conditions, which then asks for none."""
    site = one_of_each().with_member("permit", None)
    tab = visit(store().create(site).link)
    tab.choose("kiln_spot-1")
    spot = [str(each.key) for each in tab.app.selectbox]
    assert spot.index("f.kiln_spot-1.quench_method") < spot.index("f.kiln_spot-1.under_trees")
    for section, names in {"crew": ("emergency", "radio"), "permit": ("no_conditions",)}.items():
        asked = {each.name for each in SECTIONS[section].attributes if each.main}
        assert asked >= set(names)
    tab.go("rules")
    assert "s.permit.met_by" not in fields(tab), "nobody says yet that conditions are met"
    tab.app.selectbox(key="s.permit.no_conditions").set_value(True).run()
    assert not {"s.permit.conditions", "s.permit.conditions_met", "s.permit.met_by"} & fields(tab)


def test_law_half_a_wood_is_told_beside_its_field(visit: Open) -> None:
    """Found by a walk without a mouse: *soft* and Enter was taken as it stood, and counted as mixed without a word
    there; the nearest name of the density table is said below the field."""
    said = {}
    for wood in ("soft", "softwood", "Picea abies"):
        heap = Feature.of("p1", SHAPES["Point"], {"kind": "pile", "name": "P1", "wood": wood})
        tab = visit(store().create(one_of_each().put(heap)).link).choose("p1")
        said[wood] = [each.proto.body for each in tab.app.get("html") if "nearest: softwood" in each.proto.body]
    assert {wood: len(each) for wood, each in said.items()} == {"soft": 1, "softwood": 0, "Picea abies": 0}


def test_law_what_a_source_still_lacks_begins_with_its_kind() -> None:
    """Found by a walk without a mouse: the map asked for water, flow and pump of a source, and its kind, without which
    no line is judged, could not be answered where that was said. What is filled is not asked for again."""
    source = Feature.of("w", SHAPES["Point"], {"kind": "water_source", "name": "W1"})
    spot = Feature.of("k", SHAPES["Point"], {"kind": "kiln_spot", "name": "K1", "kiln": "kilns-1"})
    box = {"id": "kilns-1", "name": "Box", "shape": "box"}
    for values, first in (({}, "Kind of source"), ({"source": "tank"}, "Water in it")):
        site = Site().with_member("units", "metric").with_item("kilns", box).put(spot)
        site = site.put(source.with_values(**values))
        found = assess(site, None, on=None, today=dt.date(2026, 11, 29)).unknowns
        assert asked_of(site.get("w"), found)[0] == first
