"""Gaps: kept, named with their id and the way out; and check never stumbles."""

from __future__ import annotations

import json
import random
from pathlib import Path
from typing import Any

import pytest
from geographiclib.geodesic import Geodesic
from hypothesis import given

from sitemap.errors import BadSiteFile
from sitemap.notes import Note
from sitemap.site.attributes import Attribute
from sitemap.site.check import check
from sitemap.site.equipment import EQUIPMENT, RECORDS, SECTIONS
from sitemap.site.file import parse_site, read_site, site_text
from sitemap.site.kinds import KINDS
from sitemap.site.model import Site
from tests.properties import examples, thorough
from tests.site.builders import SQUARE, point, site_of, thing
from tests.site.test_file import site_files
from tests.site.test_model import ACROSS, BOW_TIE, POLAR, polygon

SAMPLES = sorted((Path(__file__).parents[2] / "sample_sites").glob("*.geojson"))


def notes_of(*features: Any, site: Any = None) -> tuple[Note, ...]:
    return check(site_of(*features, site=site))


@pytest.mark.parametrize("file", SAMPLES, ids=lambda file: file.stem)
def test_law_a_sample_site_has_no_gap_that_nobody_meant(file: Path) -> None:
    meant = {"not_placed", "no_kiln"}
    assert [note for note in check(read_site(file)) if note.what not in meant] == []


ONE_CORNER = {"type": "LineString", "coordinates": [[0, 0]]}
COLLECTION = {"type": "GeometryCollection", "geometries": [point()]}
CROSSED_POLAR = [POLAR[corner] for corner in (0, 2, 1, 3, 0)]
FEATURE_GAPS = [
    ("crossed ring", thing(kind="no_go", geometry=polygon(BOW_TIE)), "bad_shape", "crosses itself"),
    ("too few corners", thing(kind="no_go", geometry=polygon([[0, 0], [1, 1]])), "bad_shape", "too few corners"),
    ("a line of one corner", thing(kind="stream", geometry=ONE_CORNER), "bad_shape", "few"),
    ("empty shape", thing(kind="no_go", geometry={"type": "Polygon", "coordinates": []}), "bad_shape", "empty"),
    ("crossed round the pole", thing(kind="no_go", geometry=polygon(CROSSED_POLAR)), "bad_shape", "crosses"),
    ("an area where a point belongs", thing(kind="gate", geometry=polygon(SQUARE)), "wrong_shape", "not an area"),
    ("several shapes in one", thing(geometry=COLLECTION), "wrong_shape", "must be"),
    ("not placed", thing(geometry=None), "not_placed", "not on the map"),
    ("no kind", thing(kind=None), "unknown_kind", "no kind"),
    ("unknown kind", thing(kind="sauna"), "unknown_kind", "'sauna'"),
    ("kind nearly right", thing(kind="kilnspot"), "unknown_kind", "did you mean kiln_spot?"),
    ("negative size", thing(height_m=-2), "bad_value", "must be above 0 m; it is −2"),
    ("size zero", thing(height_m=0), "bad_value", "above 0"),
    ("size beyond its limit", thing(height_m=31), "bad_value", "at most 30 m; it is 31"),
    ("number in quotes", thing(height_m="23"), "bad_value", "must be a number, not '23'"),
    ("true for a number", thing(height_m=True), "bad_value", "must be a number, not True"),
    ("one for true", thing(kind="power_line", geometry=None, overhead=1), "bad_value", "true or false"),
    ("no such choice", thing(shape="pyramid"), "bad_value", "must be one of dome"),
    ("half a person", thing(kind="kiln_spot", kiln=None, feeders=1.5), "bad_value", "whole number"),
    ("no such day", thing(kind="water_source", usable_from="2026-02-30"), "bad_value", "must be a date"),
    ("a list for a number", thing(height_m=[2]), "bad_value", "must be a number, not [2]."),
    ("an object for a number", thing(height_m={"m": 2}), "bad_value", "must be a number, not {'m': 2}."),
    ("a number for a text", thing(note=3), "bad_value", "must be text"),
    ("a list for a record", thing(readings=[[3]]), "bad_value", "list of records"),
    ("wrong in a record", thing(readings=[{}, {"moisture_pct": -1}]), "bad_value", "readings 2: Moisture"),
    ("low above likely", thing(height_m=2, height_m_low=3), "bad_range", "_low) stands above the likely value 2"),
    ("high below likely", thing(height_m=2, height_m_high=1), "bad_range", "height_m_high) stands below"),
    ("an end that is no number", thing(height_m=2, height_m_high="3"), "bad_range", "must be a number"),
    ("a range with nothing likely", thing(height_m_low=2, height_m_high=3), "bad_range", "no likely value"),
    ("no such basis", thing(height_m=2, height_m_basis="guessed"), "bad_basis", "measured, estimated, assumed"),
    ("letters swapped", thing(heigth_m=2), "near_miss", "did you mean height_m?"),
    ("unit left out", thing(height=2), "near_miss", "did you mean height_m?"),
    ("range misspelt", thing(height_m=2, height_m_hi=3), "near_miss", "did you mean height_m_"),
    ("misspelt in a record", thing(readings=[{"moisture_pc": 20}]), "near_miss", "did you mean moisture_pct?"),
    ("spot without kiln", thing(kind="kiln_spot"), "no_kiln", "choose which kiln"),
    ("kiln that is not there", thing(kind="kiln_spot", kiln="k9"), "dangling", "'k9', which is not in the list"),
    ("heap that is not there", thing(kind="kiln_spot", kiln="k1", serves=["p9"]), "dangling", "'p9', which is not"),
    ("hose that is not there", thing(kind="water_source", hose=[{"hose": "h9"}]), "dangling", "in order 1: Hose names"),
]  # fmt: skip


@pytest.mark.parametrize(("feature", "what", "says"), [pytest.param(*row[1:], id=row[0]) for row in FEATURE_GAPS])
def test_law_a_gap_is_kept_and_named(feature: dict[str, Any], what: str, says: str) -> None:
    site = site_of(feature, thing("sound", kind="gate"), site={"equipment": {"kilns": [{"id": "k1"}]}})
    notes = [note for note in check(site) if note.what == what]
    assert len(notes) == 1, check(site)
    assert notes[0].about == "a"
    assert says in notes[0].told()
    assert notes[0].told().endswith((".", "?"))
    assert json.loads(site_text(site))["features"][0] == feature  # kept as it was entered
    assert not any(note.about == "sound" for note in check(site))


SITE_GAPS = [
    ({"timezone": "America/Nowhere"}, "timezone", "America/Denver"),
    ({"timezone": "../../etc/passwd"}, "timezone", "not known"),
    ({"timezone": 3}, "timezone", "not known"),
    ({"unit": "us"}, "near_miss", "did you mean units?"),
    ({"equipment": "two kilns"}, "bad_value", "Equipment must be an object"),
    ({"equipment": {"kilns": {"k": {}}}}, "bad_value", "kilns) must be a list"),
    ({"equipment": {"kilns": ["k"]}}, "bad_value", "kilns): what is not a record"),
    ({"equipment": {"klins": []}}, "near_miss", "did you mean kilns?"),
    ({"season": "autumn"}, "bad_value", "season) must be an object"),
    ({"season": {"date": "tomorrow"}}, "bad_value", "must be a date"),
    ({"crew": {"adults": -1}}, "bad_value", "at least 0"),
    ({"crew": {"adult": 2}}, "near_miss", "did you mean adults?"),
    ({"looked": "everywhere"}, "bad_value", "looked) must be a list"),
    ({"looked": [{"kind": "houses", "within_m": 100}]}, "bad_value", "must be one of logged_area,"),
    ({"rules": [{"kind": "bakery", "distance_m": 9}]}, "bad_value", "'bakery'"),
    ({"looked": ["everywhere"]}, "bad_value", "looked): what is not a record"),
    ({"links": [{"source": "w9", "spot": None}]}, "dangling", "'w9'"),
    ({"rules": [{"kind": "road", "distance_m": -1}]}, "bad_value", "at least 0 m; it is −1"),
]


@pytest.mark.parametrize(("member", "what", "says"), SITE_GAPS)
def test_law_a_gap_of_the_site_is_named(member: dict[str, Any], what: str, says: str) -> None:
    notes = notes_of(site=member)
    assert [(note.about, note.what) for note in notes] == [("site", what)]
    assert says in notes[0].told()


def test_law_equipment_that_stands_twice_is_named() -> None:
    member = {
        "equipment": {"pumps": [{"id": "p", "max_head_m": 0}, {"id": "p"}], "machines": [{"id": "m", "tank": "t9"}]}
    }
    assert {(note.about, note.what) for note in notes_of(site=member)} == {
        ("p", "bad_value"),
        ("p", "twice"),
        ("m", "dangling"),
    }


@pytest.mark.parametrize("said", [None, "imperial", ["us"], 3])
def test_law_a_site_that_says_nothing_is_told_its_units(said: Any) -> None:
    """A file without units is a fault; a site made or kept before that is shown in metric, and says so."""
    notes = check(Site().with_member("units", said))
    assert [note.what for note in notes] == ["units"]
    assert "metric is shown" in notes[0].told()


# ---------------------------------------------------------------- far away


def strewn(*positions: tuple[float, float]) -> list[str]:
    notes = notes_of(*(thing(f"f{n}", "gate", point(*position)) for n, position in enumerate(positions)))
    assert {note.what for note in notes} <= {"far_away"}
    return [note.about for note in notes]


@pytest.mark.parametrize("lat", [-89.9999, -60.0, 0.0, 44.0, 89.9999])
@pytest.mark.parametrize("lon", [-180.0, -120.0, 0.0, 179.9999])
def test_law_neighbours_are_near_wherever_the_site_lies(lon: float, lat: float) -> None:
    """0.0002° on either side of any meridian, the antimeridian and the poles among them."""
    west, east = (((lon + step + 180) % 360) - 180 for step in (-0.0002, 0.0002))
    assert strewn((west, lat), (lon, lat), (east, lat), (180.0, lat) if abs(lon) > 179 else (lon, lat)) == []


@pytest.mark.parametrize("wrong", [(20.0, 44.0), (-120.0, 45.0), (44.0, -44.0), (60.0, -44.0)])
@pytest.mark.parametrize("place", range(4))
def test_law_the_one_far_off_is_named_wherever_it_stands_in_the_file(wrong: tuple[float, float], place: int) -> None:
    near = [(-120.0, 44.0), (-120.001, 44.0), (-120.002, 44.001)]
    near.insert(place, wrong)
    assert strewn(*near) == [f"f{place}"]


def test_law_a_site_with_no_middle_is_named_as_a_whole() -> None:
    assert strewn((0, 0), (90, 0), (180, 0), (-90, 0)) == ["site"]
    assert len(strewn((-120, 44), (20, 44))) == 1


def test_law_one_corner_far_off_is_enough() -> None:
    line = {"type": "LineString", "coordinates": [[-120.0, 44.0], [-12.0, 44.0]]}
    notes = notes_of(thing("s", "stream", line), thing("g", "gate"), thing("h", "gate"))
    assert [(note.about, note.what) for note in notes] == [("s", "far_away")]
    said_km = float(notes[0].told().split(" lies ")[1].split(" km")[0].replace(",", ""))
    true_km = Geodesic.WGS84.Inverse(44.0, -120.0, 44.0, -12.0)["s12"] / 1000
    assert said_km == pytest.approx(true_km, rel=0.005)  # a ball is up to 0.5 % off the ellipsoid


def test_law_shapes_across_the_antimeridian_are_near() -> None:
    halves = {"type": "MultiPolygon", "coordinates": [
        [[[179.999, 10], [180, 10], [180, 10.001], [179.999, 10.001], [179.999, 10]]],
        [[[-180, 10], [-179.999, 10], [-179.999, 10.001], [-180, 10.001], [-180, 10]]],
    ]}  # fmt: skip
    features = (
        thing("a", "no_go", polygon(ACROSS)),
        thing("b", "no_go", halves),
        thing("c", "gate", point(-179.9999, 10)),
    )
    assert notes_of(*features) == ()


# ---------------------------------------------------------------- never stumbles


@examples(150)
@given(site_files())
def test_law_check_takes_whatever_the_readable_file_holds(raw: dict[str, Any]) -> None:
    assert_sound(check(parse_site(json.dumps(raw))))


def assert_sound(notes: tuple[Note, ...]) -> None:
    for note in notes:
        assert note.what.replace("_", "").isalpha()
        assert note.told()


ODD = [
    *[
        None,
        True,
        False,
        0,
        1,
        -1,
        3.7,
        1e308,
        -1e308,
        10**30,
        "",
        "x",
        "23",
        "dome",
        "2026-11-25",
        "\x00",
        "Ω",
        [],
        {},
    ],
    *[[1], ["a"], [None], [[]], [{}], {"a": {}}, [[0, 1], [2, 3]], [[0, True]], [{"id": []}], ["f0", 3], "f0", "k"],
]


def odd_record(dice: random.Random, attributes: tuple[Attribute, ...]) -> dict[str, Any]:
    record = {name: dice.choice(ODD) for name in dice.sample(["id", "name", "kind", "foreign", "note"], 2)}
    for attribute in dice.sample(attributes, min(4, len(attributes))):
        inner = [odd_record(dice, attribute.item)] if attribute.item and dice.random() < 0.6 else dice.choice(ODD)
        record[attribute.name + dice.choice(["", "", "", "_low", "_high", "_basis", "x"])] = inner
    return record


def odd_file(dice: random.Random) -> dict[str, Any]:
    features = []
    for number in range(dice.randrange(4)):
        kind = dice.choice(list(KINDS))
        coordinates = [
            [dice.choice([180, -180, 0, 1e-300]), dice.choice([90, -90, 0])] for _ in range(dice.randrange(6))
        ]
        geometry = dice.choice(
            [
                None,
                {"type": "Point", "coordinates": coordinates[0] if coordinates else []},
                {
                    "type": dice.choice(["LineString", "MultiPoint", "Point", "MultiPolygon"]),
                    "coordinates": coordinates,
                },
                {"type": dice.choice(["Polygon", "MultiLineString"]), "coordinates": [coordinates]},
                {"type": "GeometryCollection", "geometries": dice.choice([[], None, [None], [point()]])},
                {"type": "Polygon", "coordinates": dice.choice(ODD[:-8])},
            ]
        )
        properties = {
            **odd_record(dice, KINDS[kind].attributes),
            "kind": dice.choice([kind, kind, kind, dice.choice(ODD)]),
        }
        features.append({"type": "Feature", "id": f"f{number}", "geometry": geometry, "properties": properties})
    lists = {key: [odd_record(dice, kind.attributes) for _ in range(2)] for key, kind in EQUIPMENT.items()}
    site = {
        "units": dice.choice(["metric", "us"]),
        "timezone": dice.choice(ODD),
        "equipment": dice.choice([lists, lists, dice.choice(ODD)]),
        **{key: dice.choice([odd_record(dice, kind.attributes), dice.choice(ODD)]) for key, kind in SECTIONS.items()},
        **{key: dice.choice([[odd_record(dice, kind.attributes)], dice.choice(ODD)]) for key, kind in RECORDS.items()},
    }
    return {"type": "FeatureCollection", "site": site, "features": features}


@pytest.mark.parametrize("seed", range(8 if thorough() else 2))
def test_law_check_never_stumbles_over_odd_records(seed: int) -> None:
    """Three hundred files a seed: with all seeds, every attribute of every kind meets every sort of odd value."""
    dice = random.Random(seed)
    for _ in range(300):
        raw = odd_file(dice)
        site = readable(json.dumps(raw))
        if site is not None:
            assert_sound(check(site))
            assert parse_site(site_text(site)) == site


def readable(text: str) -> Site | None:
    """The site, or None where a coordinate is no coordinate: the one fault among the odd values."""
    try:
        return parse_site(text)
    except BadSiteFile as fault:
        assert all("coordinate" in said or "out of range" in said for said in fault.faults)  # noqa: PT017
        return None
