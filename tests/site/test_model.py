"""The Site as a value: nothing changes in place, equal is equal, and readers never hand out what cannot be used."""

from __future__ import annotations

import dataclasses
import datetime as dt
import math
from collections.abc import Mapping
from typing import Any

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from sitemap.errors import BadValue
from sitemap.site.attributes import BASES, Attribute
from sitemap.site.equipment import EQUIPMENT, RECORDS, SECTIONS
from sitemap.site.frozen import FrozenDict, freeze, thaw
from sitemap.site.kinds import KINDS
from sitemap.site.model import FORMAT, Entry, Feature, Measured, Site
from tests.properties import examples
from tests.site.builders import SQUARE, point, site_of, thing
from tests.site.test_file import JSON_VALUES

SCHEMAS = [*KINDS.values(), *EQUIPMENT.values(), *SECTIONS.values(), *RECORDS.values()]
ATTRIBUTES = [attribute for schema in SCHEMAS for outer in schema.attributes for attribute in (outer, *outer.item)]
LIKELY_WRONG = st.sampled_from(
    [
        *[True, False, "23", "true", 0, -1, 1e308, -0.0, 0.5, "", [], {}, [1], [[0, 40], [300, 0]], [[0, "x"]]],
        *[[[True, 1]], "2026-11-25", "2026-02-30", ["a"], ["a", 1], [{}], [{}, 3], None, "measured", 7, 10**30],
    ]
)


# ---------------------------------------------------------------- a value


def every_level(value: Any) -> list[Mapping[str, Any]]:
    inner = value.values() if isinstance(value, Mapping) else value if isinstance(value, tuple) else ()
    return [*([value] if isinstance(value, Mapping) else []), *(m for item in inner for m in every_level(item))]


def test_law_nothing_can_be_changed_in_place() -> None:
    site = site_of(
        thing(pieces=[{"diameter_cm": 12}], shape="dome", strange={"a": [{"b": 1}]}, geometry=point(1, 2, 3)),
        site={"equipment": {"kilns": [{"id": "k", "curve": [[0, 1]]}]}, "looked": [{"kind": "stream"}]},
        own={"deep": [1, {"x": 2}]},
    )
    feature = site.features[0]
    for thing_, field in ((site, "features"), (site, "member"), (feature, "values"), (feature, "id")):
        with pytest.raises(dataclasses.FrozenInstanceError):
            setattr(thing_, field, None)
    maps = [m for start in (site.member, site.members, feature.values, feature.geometry) for m in every_level(start)]
    assert len(maps) >= 10
    for frozen in maps:
        with pytest.raises(TypeError):
            frozen["height_m"] = 3  # type: ignore[index]
        with pytest.raises(TypeError):
            del frozen["x"]  # type: ignore[attr-defined]
        assert not any(hasattr(frozen, name) for name in ("update", "pop", "clear", "setdefault", "popitem"))
        assert not any(isinstance(value, list | dict | set) for value in frozen.values())


@given(JSON_VALUES)
def test_law_freezing_and_thawing_change_nothing(value: Any) -> None:
    assert thaw(freeze(value)) == value
    assert freeze(thaw(freeze(value))) == freeze(value)
    hash(freeze(value))


@pytest.mark.parametrize(
    ("name", "raw", "read"),
    [
        ("wood_mix", {"oak": 0.3, "pine": 0.7}, [{"wood": "oak", "share": 0.3}, {"wood": "pine", "share": 0.7}]),
        ("wood_mix", {"wood": "oak", "share": 1}, [{"wood": "oak", "share": 1}]),
        ("readings", [18, {"moisture_pct": 22}], [{"moisture_pct": 18}, {"moisture_pct": 22}]),
        ("readings", {"moisture_pct": 22, "basis": "wet"}, [{"moisture_pct": 22, "basis": "wet"}]),
        ("readings", {"pine": 22}, []),
        ("readings", [18, "22"], []),
        ("readings", "18", []),
    ],
)
def test_law_records_are_read_however_they_are_written(name: str, raw: Any, read: list[dict[str, Any]]) -> None:
    feature = Feature.of("a", None, {"kind": "pile", name: raw})
    assert [thaw(record.values) for record in feature.records(name)] == read
    assert thaw(feature.values[name]) == raw


@pytest.mark.parametrize(
    ("kind", "name", "said", "meant"),
    [
        ("kiln_spot", "ground", "mineral soil", "mineral_soil"),
        ("kiln_spot", "ground", "litter and duff", "litter_duff"),
        ("kiln_spot", "ground", "Duff or litter", "litter_duff"),
        ("kiln_spot", "ground", "duff", "litter_duff"),
        ("kiln_spot", "ground", "roots or stump", "roots_stump"),
        ("kiln_spot", "ground", "roots or a stump", "roots_stump"),
        ("kiln_spot", "ground", "peat or rock", None),
        ("kiln_spot", "ground", True, None),
        ("kiln_spot", "branches_overhead", False, "none"),
        ("kiln_spot", "branches_overhead", True, "yes"),
        ("kiln_spot", "fuel_upslope", False, "no"),
        ("water_source", "permission", True, "yes"),
        ("water_source", "permission", "given", "yes"),
        ("water_source", "source", True, None),
        ("pile", "soil", False, None),  # none, some or much is no yes or no
    ],
)
def test_law_a_choice_is_read_as_people_say_it(kind: str, name: str, said: Any, meant: str | None) -> None:
    assert Feature.of("a", None, {"kind": kind, name: said}).choice(name) == meant


@pytest.mark.parametrize(
    "geometry",
    [
        {"type": "Point", "coordinates": [1, 2, 3, 4]},
        {"type": "LineString", "coordinates": [[1, 2, 3], [1, 2.001]]},
        {"type": "GeometryCollection", "geometries": [{"type": "LineString", "coordinates": [[1, 2], [1, 3, 0]]}]},
    ],
)
def test_law_corners_with_and_without_heights_make_a_shape(geometry: dict[str, Any]) -> None:
    """RFC 7946 section 3.1.1: what stands behind the third number of a position may be passed over."""
    feature = Feature.of("a", geometry, {"kind": "pile"})
    assert feature.shape is not None
    assert feature.shape.bounds[:2] == (1, 2)
    assert thaw(feature.geometry) == geometry


def test_law_a_lone_number_is_a_list_of_one() -> None:
    site = site_of(site={"equipment": {"hoses": [{"id": "h", "lengths_m": 20}, {"id": "i", "lengths_m": "20"}]}})
    assert [hose.numbers("lengths_m") for hose in site.equipment("hoses")] == [(20.0,), ()]


def test_law_what_was_handed_in_may_change_afterwards() -> None:
    properties, geometry = {"kind": "pile", "readings": [{"moisture_pct": 20}]}, point(1, 2)
    feature = Feature.of("a", geometry, properties)
    properties["readings"][0]["moisture_pct"] = 99  # type: ignore[index]
    geometry["coordinates"][0] = 50
    assert feature.records("readings")[0].number("moisture_pct") == 20
    assert feature.shape is not None
    assert feature.shape.x == 1


@given(st.dictionaries(st.text(max_size=3), JSON_VALUES, max_size=4))
def test_law_equal_whatever_the_order_of_members(value: dict[str, Any]) -> None:
    turned = dict(reversed(value.items()))
    assert FrozenDict(turned) == FrozenDict(value) == value
    assert hash(FrozenDict(turned)) == hash(FrozenDict(value))


@pytest.mark.parametrize("wrap", [lambda v: v, lambda v: [v], lambda v: {"a": v}, lambda v: [[{"a": [v]}]]])
@pytest.mark.parametrize(("one", "other"), [(True, 1), (False, 0), (0, None), ("1", 1)])
def test_law_true_is_not_one(one: Any, other: Any, wrap: Any) -> None:
    """A power line with `overhead: 0` is taken as overhead, with `overhead: false` not: no cache may mix them up."""
    assert FrozenDict({"x": wrap(one)}) != FrozenDict({"x": wrap(other)})
    assert Feature.of("a", None, {"x": wrap(one)}) != Feature.of("a", None, {"x": wrap(other)})


def test_law_each_part_of_a_feature_counts_in_equality() -> None:
    feature = Feature.of("a", point(), {"kind": "pile"}, {"bbox": [1]})
    assert feature == Feature.of("a", point(), {"kind": "pile"}, {"bbox": [1]})
    others = (
        Feature.of("b", point(), {"kind": "pile"}, {"bbox": [1]}),
        Feature.of("a", point(1), {"kind": "pile"}, {"bbox": [1]}),
        Feature.of("a", point(), {"kind": "road"}, {"bbox": [1]}),
        Feature.of("a", point(), {"kind": "pile"}),
    )
    assert len({feature, *others}) == 5
    assert Site((feature,)) != Site(others[:1])


# ---------------------------------------------------------------- readers


@examples(150)
@given(st.sampled_from(ATTRIBUTES), JSON_VALUES | LIKELY_WRONG, JSON_VALUES | LIKELY_WRONG)
@example(next(a for a in ATTRIBUTES if a.name == "lengths_m"), [20, "20"], None)
@example(next(a for a in ATTRIBUTES if a.name == "overhead"), 1, None)
def test_law_readers_hand_out_only_what_can_be_used(attribute: Attribute, value: Any, other: Any) -> None:
    """Whatever was entered: None (or nothing), or a value of the right type within the limits of the schema."""
    name = attribute.name
    entry = Entry(
        FrozenDict({name: value, name + "_low": other, name + "_high": other, name + "_basis": other}), (attribute,)
    )
    assert entry.has(name) == (value is not None)
    match attribute.type:
        case "number" | "integer":
            for number in (entry.number(name), *_ends(entry.measured(name))):
                assert number is None or usable(attribute, number)
            if attribute.type == "integer":
                assert entry.integer(name) is None or entry.integer(name) == entry.number(name)
        case "choice":
            assert entry.choice(name) in (None, *attribute.choice_keys)
        case "text" | "reference":
            assert entry.text(name) == (value if isinstance(value, str) else None)
        case "flag":
            assert entry.flag(name) is (value if isinstance(value, bool) else None)
        case "date":
            assert entry.date(name) is None or isinstance(entry.date(name), dt.date)
        case "references":
            assert all(isinstance(reference, str) for reference in entry.names(name))
        case "numbers":
            assert all(usable(attribute, number) for number in entry.numbers(name))
        case "curve":
            assert all(len(pair) == 2 and all(map(math.isfinite, pair)) for pair in entry.curve(name) or ())
        case "records":
            assert all(isinstance(record, Entry) for record in entry.records(name))


def usable(attribute: Attribute, number: float) -> bool:
    return (
        isinstance(number, float)
        and math.isfinite(number)
        and (attribute.above is None or number > attribute.above)
        and (attribute.low is None or number >= attribute.low)
        and (attribute.high is None or number <= attribute.high)
    )


def _ends(measured: Measured | None) -> list[float]:
    if measured is None:
        return []
    assert measured.basis in BASES
    assert measured.low is None or measured.low <= measured.likely
    assert measured.high is None or measured.high >= measured.likely
    return [end for end in (measured.low, measured.likely, measured.high) if end is not None]


@pytest.mark.parametrize(
    ("said", "read"),
    [
        ({"height_m": 2}, Measured(2, None, None, "estimated")),
        ({"height_m": 2, "height_m_low": 1.5, "height_m_high": 3}, Measured(2, 1.5, 3, "measured")),
        ({"height_m": 2, "height_m_low": 2.5, "height_m_high": 3}, Measured(2, None, 3, "estimated")),
        ({"height_m": 2, "height_m_low": -1}, Measured(2, None, None, "estimated")),
        ({"height_m": 2, "height_m_high": 31}, Measured(2, None, None, "estimated")),
        ({"height_m": 2, "height_m_high": True}, Measured(2, None, None, "estimated")),
        ({"height_m": 2, "height_m_basis": "assumed"}, Measured(2, None, None, "assumed")),
        ({"height_m": 2, "height_m_basis": ["assumed"]}, Measured(2, None, None, "estimated")),
        ({"height_m_low": 1, "height_m_high": 3}, None),
        ({"height_m": "2", "height_m_basis": "measured"}, None),
        ({"height_m": True}, None),
        ({"height_m": 0}, None),
        ({"height_m": -2}, None),
    ],
)
def test_law_a_number_comes_with_what_is_known_of_it(said: dict[str, Any], read: Measured | None) -> None:
    assert Feature.of("a", None, {"kind": "pile", **said}).measured("height_m") == read


def test_law_a_kind_nobody_knows_is_kept_and_says_nothing() -> None:
    feature = site_of(thing(kind="sauna", heat="much")).features[0]
    assert (feature.kind, feature.kind_schema, feature.attributes) == ("sauna", None, ())
    assert feature.values["heat"] == "much"
    assert site_of(thing(kind=["pile"])).of_kind("pile") == ()


# ---------------------------------------------------------------- shapes

#  0.0005° across the antimeridian, as it is drawn (longitudes jump) and as RFC 7946 cuts it
ACROSS = [[179.9995, 10], [-179.9995, 10], [-179.9995, 10.001], [179.9995, 10.001], [179.9995, 10]]
#  The two edges over the antimeridian do not cross on the ground, but do when drawn over all longitudes.
STEEP = [
    [179.999, 10.005],
    [-179.999, 9.995],
    [-179.999, 10.02],
    [-179.9999, 10.003],
    [179.9999, 10.002],
    [179.9995, 10.02],
]
#  A ring round the pole: no inside in longitude and latitude.
POLAR = [[0, 89.999], [90, 89.999], [180, 89.999], [-90, 89.999], [0, 89.999]]
BOW_TIE = [[0, 0], [0.001, 0.001], [0.001, 0], [0, 0.001], [0, 0]]


def polygon(ring: list[Any]) -> dict[str, Any]:
    return {"type": "Polygon", "coordinates": [ring]}


@pytest.mark.parametrize(
    "geometry",
    [
        point(0, 0, 5),
        polygon(SQUARE),
        polygon(ACROSS),
        polygon([*STEEP, STEEP[0]]),
        polygon(POLAR),
        {"type": "MultiPolygon", "coordinates": [[SQUARE], [[[x + 1, y] for x, y in SQUARE]]]},
        {"type": "LineString", "coordinates": [[179.9, 1], [-179.9, 1]]},
        {"type": "MultiPoint", "coordinates": [[1, 2], [3, 4]]},
    ],
    ids=["point with height", "square", "across", "steep across", "round the pole", "two parts", "line", "points"],
)
def test_law_sound_shapes_are_read(geometry: dict[str, Any]) -> None:
    assert Feature.of("a", geometry, {}).shape is not None


@pytest.mark.parametrize(
    "geometry",
    [
        None,
        polygon(BOW_TIE),
        polygon([ACROSS[0], ACROSS[2], ACROSS[1], ACROSS[3], ACROSS[0]]),
        polygon([POLAR[0], POLAR[2], POLAR[1], POLAR[3], POLAR[0]]),
        polygon([[0, 0], [1, 1]]),
        polygon([]),
        {"type": "Polygon", "coordinates": []},
        {"type": "LineString", "coordinates": [[0, 0]]},
        {"type": "LineString", "coordinates": [[0, 0], [0, 0]]},
        {"type": "Point", "coordinates": []},
        {"type": "Point"},
        {"type": "Point", "coordinates": "1, 2"},
        {"type": "Point", "coordinates": {"lon": 1}},
        {"type": "GeometryCollection"},
        {"type": "GeometryCollection", "geometries": [None, 3]},
        {"type": "MultiPolygon", "coordinates": [[SQUARE], [SQUARE]]},
    ],
)
def test_law_unsound_shapes_are_kept_and_not_used(geometry: Any) -> None:
    feature = Feature.of("a", geometry, {})
    assert feature.shape is None
    assert thaw(feature.geometry) == geometry


# ---------------------------------------------------------------- editing


def test_law_equipment_is_found_by_id_then_by_name() -> None:
    site = site_of(
        site={
            "equipment": {
                "hoses": [
                    {"id": "red", "name": "blue", "bore_mm": 25},
                    {"id": "blue", "name": "green", "bore_mm": 38},
                    {"id": "h3", "name": "Old", "bore_mm": 52},
                    {"id": "h4", "name": "old", "bore_mm": 65},
                    "scrap",
                ]
            }
        }
    )
    bores = {
        name: item.number("bore_mm") for name in ("blue", "red", "GREEN", "h3") if (item := site.item("hoses", name))
    }
    assert bores == {"blue": 38, "red": 25, "GREEN": 38, "h3": 52}
    assert site.item("hoses", "old") is None  # two bear it
    assert site.item("hoses", None) is site.item("hoses", "") is site.item("hoses", "none") is None
    assert site.item("kilns", "blue") is None


def test_law_equipment_is_replaced_added_and_taken_away_one_by_one() -> None:
    site = site_of(site={"equipment": {"kilns": [{"id": "a"}, "scrap", {"id": 7, "name": "x"}], "boats": [1]}})
    site = site.with_item("kilns", {"id": "a", "height_m": 1}).with_item("kilns", {"id": "b"})
    site = site.with_item("kilns", {"id": "7", "name": "y"})
    assert thaw(site.member["equipment"]) == {
        "kilns": [{"id": "a", "height_m": 1}, "scrap", {"id": "7", "name": "y"}, {"id": "b"}],
        "boats": [1],
    }
    assert [item.id for item in site.without_item("kilns", "7").equipment("kilns")] == ["a", "b"]
    assert Site().with_item("pumps", {"id": "p"}).item("pumps", "p") is not None
    with pytest.raises(BadValue, match="has no id"):
        site.with_item("kilns", {"name": "z"})


def test_law_edits_make_new_sites_and_lose_nothing() -> None:
    site = site_of(thing("a", blank=None, self=1), thing("b"), thing("c"), site={"blank": None, "self": 2})
    moved = site.put(site.features[1].with_geometry(point(5, 5))).put(Feature.of("d", None, {"kind": "road"}))
    assert [feature.id for feature in moved.features] == ["a", "b", "c", "d"]
    assert [feature.id for feature in moved.without("a", "c").features] == ["b", "d"]
    assert [feature.id for feature in site.features] == ["a", "b", "c"]
    assert site.features[1].geometry == point()
    changed = site.features[0].with_values(height_m=2, self=3, kind=None)
    assert thaw(changed.values) == {"blank": None, "self": 3, "height_m": 2}
    assert thaw(site.with_member("name", "N").with_member("units", None).member) == {
        "format": FORMAT,
        "blank": None,
        "self": 2,
        "name": "N",
    }


def test_law_a_stale_bbox_goes_with_the_old_geometry() -> None:
    feature = Feature.of("a", point(), {}, {"bbox": [1, 2, 1, 2], "own": 3})
    assert thaw(feature.with_values(note="x").members) == {"bbox": [1, 2, 1, 2], "own": 3}
    assert thaw(feature.with_geometry(None).members) == {"own": 3}


@given(st.lists(st.sampled_from(["pile-1", "pile-2", "pile-3", "x", "y"]), unique=True))
def test_law_a_new_id_is_new(ids: list[str]) -> None:
    site = site_of(*(thing(id) for id in ids))  # noqa: A001
    new = site.new_id("pile")
    assert new.startswith("pile-")
    assert site.get(new) is None


def test_law_features_put_together_are_as_put_one_by_one() -> None:
    site = Site(tuple(Feature.of(key, point(n, 0), {"kind": "pile"}) for n, key in enumerate("abcb")))
    new = [Feature.of(key, point(9, 9), {"kind": "road"}) for key in "bde"]
    assert site.put(*new) == site.put(new[0]).put(new[1]).put(new[2])
    assert [each.kind for each in site.put(*new).features] == ["pile", "pile", "pile", "road", "road", "road"]
