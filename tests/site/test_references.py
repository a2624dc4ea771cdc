"""What a stranger writes without the forms: names for ids, words for keys, other names for the same size."""

from __future__ import annotations

import json

import pytest

from sitemap.site.check import check
from sitemap.site.file import site_text
from sitemap.site.references import by_ids
from tests.site.builders import site_of, thing

WATER = thing("w1", "water_source", name="Pond")
SPOT = thing("k1", "kiln_spot", name="Upper spot", kiln="Ring", serves=["Heap by the road"])
HEAP = thing("p1", name="Heap by the road")
LINK = {"source": "pond", "spot": "Upper spot", "lift_m": 3.0, "bucket_test": [20, 12]}
MEMBER = {"equipment": {"kilns": [{"name": "Ring"}]}, "links": [LINK], "asked": [{"about": "Pond"}]}


def test_law_names_become_ids_and_the_file_stays_as_it_was() -> None:
    site = site_of(WATER, SPOT, HEAP, site=MEMBER)
    resolved = by_ids(site)
    (link,), (asked,) = resolved.records("links"), resolved.records("asked")
    assert (link.text("source"), link.text("spot"), asked.text("about")) == ("w1", "k1", "w1")
    spot = resolved.get("k1")
    assert spot is not None
    assert spot.names("serves") == ("p1",)
    assert not [note for note in check(site) if note.what == "dangling"]
    assert json.loads(site_text(site))["site"]["links"] == [LINK]
    assert by_ids(resolved) is resolved


def test_refuses_a_name_two_features_bear() -> None:
    twins = thing("w1", "water_source", name="Pond"), thing("w2", "water_source", name="Pond")
    site = site_of(*twins, site={"links": [{"source": "Pond", "spot": None}]})
    assert by_ids(site) is site
    assert "dangling" in {note.what for note in check(site)}


@pytest.mark.parametrize("words", ["mineral_soil", "mineral soil", "Mineral-soil", " MINERAL SOIL "])
def test_law_a_choice_is_read_as_people_write_it(words: str) -> None:
    site = site_of(thing("k1", "kiln_spot", kiln=None, ground=words))
    assert site.features[0].choice("ground") == "mineral_soil"
    assert "bad_value" not in {note.what for note in check(site)}


@pytest.mark.parametrize(("words", "key"), [("water tender", "tanker"), ("Dam", "pond"), ("lake", "stream")])
def test_law_a_label_is_as_good_as_its_key(words: str, key: str) -> None:
    site = site_of(thing("w1", "water_source", source=words))
    assert site.features[0].choice("source") == key


@pytest.mark.parametrize("value", [[20, 12], {"litres": 20, "seconds": 12}])
def test_law_a_bucket_test_is_two_numbers(value: object) -> None:
    (link,) = site_of(site={"links": [{"bucket_test": value}]}).records("links")
    assert link.pair("bucket_test") == (20.0, 12.0)


@pytest.mark.parametrize("value", [[20], [20, 0], "20 in 12", {"litres": 20}, [20, "12"], 5])
def test_refuses_half_a_bucket_test(value: object) -> None:
    site = site_of(site={"links": [{"bucket_test": value}]})
    assert site.records("links")[0].pair("bucket_test") is None
    assert [note.what for note in check(site)] == ["bad_value"]


def test_law_a_size_is_read_under_its_other_names_and_the_first_wins() -> None:
    kilns = [{"id": "a", "depth_m": 0.9, "top_diameter_m": 1.5}, {"id": "b", "depth_m": 0.9, "height_m": 1.0}]
    site = site_of(site={"equipment": {"kilns": kilns}})
    one, other = site.equipment("kilns")
    assert (one.number("height_m"), one.number("diameter_m"), other.number("height_m")) == (0.9, 1.5, 1.0)
    assert not check(site)
