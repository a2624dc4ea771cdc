"""The site file: read and written without loss, and every fault one sentence."""

from __future__ import annotations

import contextlib
import json
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sitemap.errors import BadSiteFile, PitsteadError
from sitemap.site import file
from sitemap.site.equipment import EQUIPMENT, RECORDS, SECTIONS
from sitemap.site.file import parse_site, read_site, site_json, site_text
from sitemap.site.frozen import thaw
from sitemap.site.kinds import KINDS
from sitemap.site.model import FORMAT, Feature, Site
from tests.properties import examples
from tests.site.builders import SQUARE, point, site_of, text_of, thing

# Text as it comes: any script, quotes, line ends, NUL; half characters (surrogates) are no text.
WORDS = st.text(st.characters(codec="utf-8"), max_size=12)
NUMBERS = st.integers(-(10**12), 10**12) | st.floats(allow_nan=False, allow_infinity=False)
JSON_VALUES = st.recursive(
    st.none() | st.booleans() | NUMBERS | WORDS,
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(WORDS, inner, max_size=3),
    max_leaves=6,
)
POSITIONS = st.tuples(st.floats(-180, 180), st.floats(-90, 90), st.lists(st.floats(-400, 9000), max_size=2)).map(
    lambda p: [p[0], p[1], *p[2]]
)
LINES = st.lists(POSITIONS, max_size=5)
RINGS = st.lists(LINES, max_size=2)
PLAIN_GEOMETRIES = st.one_of(
    st.builds(lambda c: {"type": "Point", "coordinates": c}, POSITIONS),
    st.builds(lambda t, c: {"type": t, "coordinates": c}, st.sampled_from(["LineString", "MultiPoint"]), LINES),
    st.builds(lambda t, c: {"type": t, "coordinates": c}, st.sampled_from(["Polygon", "MultiLineString"]), RINGS),
    st.builds(lambda c: {"type": "MultiPolygon", "coordinates": c}, st.lists(RINGS, max_size=2)),
)
GEOMETRIES = (
    st.none()
    | PLAIN_GEOMETRIES
    | st.builds(
        lambda parts, extra: {"type": "GeometryCollection", "geometries": parts, **extra},
        st.lists(PLAIN_GEOMETRIES, max_size=2),
        st.dictionaries(st.just("note"), WORDS, max_size=1),
    )
)
PROPERTY_NAMES = st.sampled_from(
    sorted({a.name + end for kind in KINDS.values() for a in kind.attributes for end in ("", "_low", "_basis")})
)
PROPERTIES = st.dictionaries(PROPERTY_NAMES | WORDS, JSON_VALUES, max_size=4)
KIND_VALUES = st.sampled_from([*KINDS, "sauna", ""]) | JSON_VALUES
FOREIGN = st.dictionaries(WORDS.map(lambda word: "x" + word), JSON_VALUES, max_size=2)
MEMBERS = st.fixed_dictionaries(
    {"units": st.sampled_from(["metric", "us", "US", "US customary"])},
    optional={
        "name": JSON_VALUES,
        "timezone": st.sampled_from(["America/Denver", "Europe", "../x"]) | JSON_VALUES,
        "equipment": st.dictionaries(st.sampled_from([*EQUIPMENT, "boats"]), JSON_VALUES, max_size=2)
        | st.dictionaries(
            st.sampled_from([*EQUIPMENT]),
            st.lists(st.dictionaries(st.sampled_from(["id", "name", "length_m", "curve"]), JSON_VALUES), max_size=3),
            max_size=2,
        )
        | JSON_VALUES,
        **dict.fromkeys(SECTIONS, JSON_VALUES),
        **{key: JSON_VALUES | st.lists(st.dictionaries(WORDS, JSON_VALUES), max_size=2) for key in RECORDS},
    },
)


@st.composite
def site_files(draw: st.DrawFn) -> dict[str, Any]:
    """Files that can be read, however odd what they say."""
    features = []
    numeric = draw(st.booleans())
    for number in range(draw(st.integers(0, 4))):
        feature: dict[str, Any] = {"type": "Feature", "geometry": draw(GEOMETRIES)}
        if draw(st.booleans()):
            feature["id"] = number if numeric else f"{draw(WORDS)}{number}"
        feature["properties"] = draw(st.none() | PROPERTIES)
        if feature["properties"] is not None and draw(st.booleans()):
            feature["properties"]["kind"] = draw(KIND_VALUES)
        features.append({**feature, **draw(FOREIGN)})
    return {"type": "FeatureCollection", "site": draw(MEMBERS), "features": features, **draw(FOREIGN)}


@examples(150)
@given(site_files())
def test_law_what_is_read_is_written_again(raw: dict[str, Any]) -> None:
    """Every member at every level comes back as it was; ids, where they lacked or were numbers, become texts."""
    site = parse_site(json.dumps(raw))
    back = json.loads(site_text(site))
    assert len({feature["id"] for feature in back["features"]}) == len(raw["features"])
    for was, now in zip(raw["features"], back["features"], strict=True):
        if was.get("id") is not None:
            assert now["id"] == str(was["id"])
        assert {**now, "id": None} == {**was, "id": None, "properties": was["properties"] or {}}
    assert {k: v for k, v in back.items() if k not in ("features", "site")} == {
        k: v for k, v in raw.items() if k not in ("features", "site")
    }
    equipment = back["site"].pop("equipment", None)
    assert back["site"] == {"format": FORMAT, **{k: v for k, v in raw["site"].items() if k != "equipment"}}
    assert _without_ids(equipment) == _without_ids(raw["site"].get("equipment"))


def _without_ids(equipment: Any) -> Any:
    """Equipment gets an id where it had none."""
    if not isinstance(equipment, dict):
        return equipment
    return {
        kind: [{k: v for k, v in i.items() if k != "id"} if isinstance(i, dict) else i for i in items]
        if isinstance(items, list)
        else items
        for kind, items in equipment.items()
    }


@examples(80)
@given(site_files())
def test_law_reading_again_gives_an_equal_site(raw: dict[str, Any]) -> None:
    site = parse_site(json.dumps(raw))
    again = parse_site(site_text(site))
    assert again == site
    assert hash(again) == hash(site)
    assert site_text(again) == site_text(site)


def test_law_heights_and_many_parts_are_kept(tmp_path: Path) -> None:
    parts = {"type": "MultiPolygon", "coordinates": [[SQUARE], [[[lon + 0.01, lat, 1500.5] for lon, lat in SQUARE]]]}
    path = tmp_path / "Grüne Senke.geojson"
    path.write_bytes(
        b"\xef\xbb\xbf" + text_of(thing("1", "logged_area", parts), thing(2, geometry=point(1, 2, 3))).encode()
    )
    site = read_site(path)
    written = site_json(site)
    assert thaw(written["features"][0]["geometry"]) == parts
    assert thaw(written["features"][1]["geometry"])["coordinates"] == [1, 2, 3]
    assert site.get("2") is not None


def test_law_missing_ids_are_made_and_never_meet_another() -> None:
    free = {"type": "Feature", "geometry": None, "properties": {"kind": "pile"}}
    site = site_of(free, thing("pile-1"), free, {**free, "id": ""}, {**free, "properties": None})
    ids = [feature.id for feature in site.features]
    assert len(set(ids)) == 5
    assert ids[1] == "pile-1"


def test_law_equipment_without_id_gets_one_of_its_own() -> None:
    site = site_of(
        site={"equipment": {"kilns": [{"id": "kiln-2"}, {"name": "ring"}, {"id": 0}, "scrap"], "boats": [{}]}}
    )
    ids = [item.id for item in site.equipment("kilns")]
    assert len(set(ids)) == 3
    assert ids[0] == "kiln-2"
    assert ids[2] == "0"
    assert site.member["equipment"]["kilns"][3] == "scrap"


@pytest.mark.parametrize(
    "file", sorted((Path(__file__).parents[2] / "sample_sites").glob("*.geojson")), ids=lambda file: file.stem
)
def test_law_sample_sites_come_back_as_they_were(file: Path) -> None:
    raw = json.loads(file.read_text(encoding="utf-8"))
    assert json.loads(site_text(read_site(file))) == raw


WRONG = [
    ("not JSON", "{", "not JSON"),
    ("nothing", "", "not JSON"),
    ("a list", "[]", "FeatureCollection"),
    ("one feature", '{"type": "Feature"}', "FeatureCollection"),
    ("no features", '{"type": "FeatureCollection", "site": {"units": "us"}}', "no list of features"),
    ("no site member", '{"type": "FeatureCollection", "features": []}', 'write "site": {"units": "metric"} or'),
    ("a site member that is null", '{"type": "FeatureCollection", "features": [], "site": null}', "no member site"),
    ("no units", text_of(site={}), "does not say its units"),
    ("units null", text_of(site={"units": None}), "does not say its units"),
    ("units unknown", text_of(site={"units": "imperial"}), "'imperial' for its units: write"),
    ("units a list", text_of(site={"units": ["us"]}), "['us'] for its units"),
    ("an entry that is no feature", text_of(3), "Entry 1"),
    ("NaN", text_of(thing(height_m=float("nan"))), "properties → height_m: NaN"),
    ("infinity", text_of(thing(height_m=float("inf"))), "too large"),
    ("1e999", text_of(thing(height_m=77)).replace("77", "1e999"), "properties → height_m: the number is too large"),
    ("a whole number too large", text_of(thing(height_m=77)).replace("77", "9" * 400), "too large"),
    ("a number of 5000 figures", text_of(thing(height_m=77)).replace("77", "9" * 5000), "too large"),
    ("half a character", text_of(thing(note="\ud800")), "half a character"),
    ("half a character in a name", text_of(thing(**{"\udfff": 1})), "half a character"),
    ("half a character in an id", text_of(thing("\ud800", geometry=None)), "half a character"),
    ("a name twice", text_of(thing(height_m=2, width_m=3)).replace("width_m", "height_m"), "'height_m' stands twice"),
    ("nested too deeply", text_of(x=json.loads("[" * 150 + "]" * 150)), "nested"),
    ("nested beyond reading", '{"type": "FeatureCollection", "features": ' + "[" * 9000 + "]" * 9000 + "}", "nested"),
    ("map metres", text_of(crs={"type": "name", "properties": {"name": "EPSG:3857"}}), "EPSG:3857"),
    ("a code that ends like ours", text_of(crs={"type": "name", "properties": {"name": "EPSG:14326"}}), "14326"),
    ("a crs that is none", text_of(crs={"type": "name", "properties": [1]}), "coordinate system"),
    ("a site member that is a list", text_of(site=[1]), "member site"),
    ("newer format", text_of(site={"format": 3}), "format 3, newer"),
    ("format in words", text_of(site={"format": "1", "units": "us"}), "whole number"),
    ("format true", text_of(site={"format": True, "units": "us"}), "whole number"),
    ("id twice", text_of(thing("K3"), thing("K3")), "'K3' stands twice"),
    ("id twice, once as number", text_of(thing(1), thing("1")), "stands twice"),
    ("id true", text_of(thing(True)), "must be text or a number"),
    ("id a list", text_of(thing(["a"])), "must be text or a number"),
    ("properties a list", text_of({"type": "Feature", "geometry": None, "properties": []}), "properties"),
    ("geometry in words", text_of(thing(geometry="here")), "not a GeoJSON geometry"),
    ("geometry of no type", text_of(thing(geometry={"type": "Circle", "coordinates": [0, 0]})), "not a GeoJSON"),
    (
        "swapped",
        text_of(thing("P1", geometry=point(44.0, -120.0), name="North heap")),
        "P1 (North heap): latitude -120",
    ),
    ("longitude out of range", text_of(thing(geometry=point(180.001, 0))), "out of range"),
    ("latitude out of range", text_of(thing(geometry=point(120, 90.1))), "out of range"),
    (
        "one corner out of range",
        text_of(thing(geometry={"type": "Polygon", "coordinates": [[*SQUARE, [0, 300]]]})),
        "range",
    ),
    (
        "out of range, deep inside",
        text_of(
            thing(
                geometry={
                    "type": "GeometryCollection",
                    "geometries": [{"type": "GeometryCollection", "geometries": [point(200, 95)]}],
                }
            )
        ),
        "out of range",
    ),
    ("coordinates in words", text_of(thing(geometry=point("1", "2"))), "coordinate is not a number"),
    ("a coordinate true", text_of(thing(geometry=point(True, 2))), "coordinate is not a number"),
    ("a coordinate missing", text_of(thing(geometry=point(1, 2, None))), "coordinate is not a number"),
]


@pytest.mark.parametrize(("text", "says"), [pytest.param(t, s, id=name) for name, t, s in WRONG])
def test_refuses_what_is_no_site_in_one_sentence(text: str, says: str) -> None:
    with pytest.raises(BadSiteFile) as caught:
        parse_site(text, "heaps.geojson")
    assert len(caught.value.faults) == 1
    assert says in caught.value.faults[0]
    assert "\n" not in caught.value.faults[0]
    assert caught.value.faults[0].endswith(".")
    assert isinstance(caught.value, PitsteadError | ValueError)


def test_refuses_in_sentences_that_can_be_printed() -> None:
    with pytest.raises(BadSiteFile) as caught:
        parse_site(text_of(thing("\ud800", geometry=3)))
    assert len(caught.value.faults) == 2
    str(caught.value).encode()


def test_refuses_with_all_faults_at_once() -> None:
    text = text_of(
        thing("a", geometry=point(0, 100)),
        thing("a", geometry=point(0, 200), height_m=float("nan")),
        {"type": "Feature", "id": "b", "geometry": "x", "properties": []},
        4,
        crs="EPSG:25832",
        site={"format": 99},
    )
    with pytest.raises(BadSiteFile) as caught:
        parse_site(text)
    for said in (
        "height_m",
        "25832",
        "format 99",
        "swapped",
        "twice",
        "0, 200",
        "b: properties",
        "b: the geom",
        "Entry 4",
    ):
        assert sum(said in fault for fault in caught.value.faults) == 1, said
    assert len(caught.value.faults) == 9
    assert str(caught.value).splitlines() == list(caught.value.faults)


@pytest.mark.parametrize(
    "crs",
    [
        None,
        "EPSG:4326",
        {"type": "name", "properties": {"name": "urn:ogc:def:crs:OGC:1.3:CRS84"}},
        {"type": "name", "properties": {"name": "urn:ogc:def:crs:OGC::CRS84"}},
        {"type": "name", "properties": {"name": "http://www.opengis.net/def/crs/EPSG/0/4326"}},
        {"type": "name", "properties": {"name": "WGS 84"}},
        {"type": "name", "properties": {"name": "epsg:4979"}},
        {"type": "EPSG", "properties": {"code": 4326}},
    ],
)
def test_law_longitude_and_latitude_by_their_names_are_read_and_kept(crs: Any) -> None:
    site = parse_site(text_of(thing(), crs=crs))
    assert site.features == parse_site(text_of(thing())).features
    assert json.loads(site_text(site))["crs"] == crs


@pytest.mark.parametrize("version", [0, None])
def test_law_an_older_format_is_lifted(version: Any) -> None:
    site = parse_site(text_of(thing(), site={"units": "us", "format": version}))
    assert json.loads(site_text(site))["site"] == {"units": "us", "format": FORMAT}


def test_law_a_site_of_ours_always_says_its_units() -> None:
    """What is written can be read again, also where a kept site never said its units."""
    for said in (None, "imperial"):
        text = site_text(Site().with_member("units", said))
        assert json.loads(text)["site"]["units"] == "metric"
        assert parse_site(text).units == "metric"


def test_law_the_bounds_of_the_file_go_only_when_a_place_changes() -> None:
    """RFC 7946 section 5: bbox bounds the coordinates, so it is stale with the first that moves."""
    box = [-120.0, 44.0, -120.0, 44.0]
    placed = {"type": "Point", "coordinates": [-120.0, 44.0], "bbox": box}
    raw = json.loads(text_of({**thing(geometry=placed), "bbox": box}, bbox=box))
    site = parse_site(json.dumps(raw))
    (feature,) = site.features
    assert json.loads(site_text(site))["bbox"] == box
    for same in (site.put(feature.with_values(height_m=2)), site.put(feature.with_geometry(placed)), site.without("z")):
        written = json.loads(site_text(same))
        assert (written["bbox"], written["features"][0]["bbox"]) == (box, box)
        assert written["features"][0]["geometry"] == placed
    moved = json.loads(site_text(site.put(feature.with_geometry({**placed, "coordinates": [-120.1, 44.0]}))))
    assert "bbox" not in json.dumps(moved)
    assert "bbox" not in json.loads(site_text(site.without("a")))
    assert "bbox" not in json.loads(site_text(site.put(Feature.of("b", point(), {}))))


def test_refuses_files_that_cannot_be_opened(tmp_path: Path) -> None:
    (tmp_path / "latin.geojson").write_bytes(text_of(thing(name="x")).replace("x", "é").encode("latin-1"))
    for path, says in ((tmp_path / "none.geojson", "cannot be opened"), (tmp_path, "cannot be opened")):
        with pytest.raises(BadSiteFile, match=says):
            read_site(path)
    with pytest.raises(BadSiteFile, match="UTF-8"):
        read_site(tmp_path / "latin.geojson")


@examples(150)
@given(st.text(max_size=30) | JSON_VALUES.map(json.dumps) | site_files().map(lambda raw: json.dumps(raw)[:-3]))
def test_law_any_text_is_a_site_or_a_bad_site_file(text: str) -> None:
    with contextlib.suppress(BadSiteFile):
        assert isinstance(parse_site(text), Site)


def test_refuses_more_parts_and_tells_no_more_faults_than_somebody_reads(monkeypatch: pytest.MonkeyPatch) -> None:
    many = '{"type": "FeatureCollection", "site": {"units": "metric"}, "features": [' + "[]," * 2_000 + "[]]}"
    with pytest.raises(BadSiteFile) as told:
        parse_site(many)
    assert len(told.value.faults) == file.MOST_FAULTS + 1
    assert told.value.faults[-1] == "1,801 more faults: mend these first."
    monkeypatch.setattr(file, "MOST_PARTS", 1_000)
    with pytest.raises(BadSiteFile, match="holds 2,004 lists and objects, and a site file 1,000 at most"):
        parse_site(many)


def test_refuses_a_file_too_large_for_a_site(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(file, "LARGEST_BYTES", 1_000_000)
    path = tmp_path / "long.geojson"
    path.write_bytes(b"[]," * 700_000)
    with pytest.raises(BadSiteFile, match=r"long\.geojson holds 2 MB, and a site file 1 MB at most"):
        read_site(path)
    with pytest.raises(BadSiteFile, match="holds 2 MB"):
        parse_site("[]," * 700_000)
