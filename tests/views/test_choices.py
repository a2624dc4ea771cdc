"""Choices are known to a browser by their words: no two read the same, and none is left behind by another name."""

from __future__ import annotations

import pytest

from sitemap.site.model import Feature
from sitemap.telling import tell
from sitemap.views.inputs.fields import distinct
from tests.views.conftest import Visit, store


def test_law_of_two_things_with_one_name_either_can_be_opened() -> None:
    visit = Visit()
    kept = store().open(visit.link)
    first, second = kept.site.of_kind("pile")[:2]
    store().save(visit.link, kept.site, kept.site.put(second.with_values(name=first.name)), "Named alike")
    visit.app.run()
    visit.choose(second.id)
    assert visit.app.text_input(key=f"name.{second.id}").value == first.name
    words = visit.app.selectbox(key="panel.choice").options
    assert len(words) == len(set(words))


def test_law_a_thing_with_another_name_stays_open() -> None:
    visit = Visit().choose("p1")
    for name in ("Tops by the oak", "Tops by the oak, north"):
        visit.app.text_input(key="name.p1").set_value(name).run()
        assert visit.app.selectbox(key="panel.choice").value == "p1"
        assert visit.app.text_input(key="name.p1").value == name
        assert f"Heap {name}" in visit.app.selectbox(key="panel.choice").options


def test_law_names_alike_are_told_apart_and_others_kept() -> None:
    names = {"a": "P1", "b": "P1", "c": "P1 (2)", "d": "P1"}
    told = distinct(names)
    assert told["a"] == "P1"
    assert len(set(told.values())) == 4


def test_law_a_refused_size_names_limit_and_value_in_one_system() -> None:
    """1 ft = 0.3048 m by definition (Mendenhall; international foot)."""
    pile = Feature.of("p", None, {"kind": "pile"})
    fault = pile.attribute("height_m").fault(-5 * 0.3048)
    assert tell(fault, "us") == "must be above 0 ft; it is −5 ft"


@pytest.mark.usefixtures("own_side_open")
def test_law_an_own_site_starts_on_the_map_from_any_page() -> None:
    visit = Visit().go("words")
    visit.app.button(key="open.new").click().run()
    assert visit.app.text_input(key="begin.where").label == "Where is it?"
    assert visit.site.features == ()


def test_law_what_cannot_be_understood_is_said_where_it_is_typed() -> None:
    visit = Visit().go("kilns")
    visit.app.text_input(key="site.zone").set_value("Mars").run()
    assert "The time zone 'Mars' is not known" in visit.words
    assert visit.site.member["timezone"] == "Mars"


def test_law_a_new_kiln_asks_the_sizes_of_its_shape_alone() -> None:
    visit = Visit().go("kilns")
    visit.app.button(key="e.kilns.add").click().run()
    added = visit.site.equipment("kilns")[-1]
    visit.app.selectbox(key=f"e.kilns.{added.id}.shape").set_value("ring").run()
    asked = {field.key for field in visit.app.text_input if f"e.kilns.{added.id}." in str(field.key)}
    assert f"e.kilns.{added.id}.diameter_m" in asked
    assert not any("length" in key or "width" in key for key in asked if key.count(".") == 3)
