"""Map files written by GDAL, in several formats and coordinate systems, against pyproj and shapely."""

from __future__ import annotations

import json
from pathlib import Path

import geopandas
import numpy as np
import pyproj
import pytest
import shapely
from shapely.geometry import Point

from sitemap.errors import BadFile
from sitemap.geodesy.plane import WGS84
from sitemap.site.imports import archive, bring, layers
from sitemap.site.imports.brought import ORIGIN, Brought, counterparts, differences, keep
from sitemap.site.imports.looking import ADDS, CHANGES, NEW, SAME, listing, looks, prepared
from sitemap.site.model import Site
from sitemap.telling import tell
from tests.loopback import server
from tests.site.builders import point, site_of, thing
from tests.site.imports.map_files import SAID, SHAPES, map_file, zipped

SITE = site_of()
LINKED = """<kml xmlns="http://www.opengis.net/kml/2.2"><Document>
<Style id="s"><IconStyle><Icon><href>HERE/icon.png</href></Icon></IconStyle></Style>
<NetworkLink><Link><href>HERE/more.kml</href></Link></NetworkLink>
<GroundOverlay><name>Air</name><Icon><href>HERE/air.png</href></Icon><LatLonBox><north>1</north><south>0</south>
<east>1</east><west>0</west></LatLonBox></GroundOverlay>
<Placemark><name>P1</name><styleUrl>HERE/styles.kml#x</styleUrl><description><![CDATA[<b>big</b> <img
src="HERE/p.png"/> &amp; old]]></description><Point><coordinates>-121.3,44.05</coordinates></Point></Placemark>
</Document></kml>"""
# WGS 84 zone 10 north, the same by NAD 83, Oregon in feet, the web's Mercator, a polar plane
SYSTEMS = ("EPSG:4326", "EPSG:32610", "EPSG:26910", "EPSG:2992", "EPSG:3857", "EPSG:5936")


@pytest.mark.parametrize("system", SYSTEMS)
@pytest.mark.parametrize("ending", [".gpkg", ".fgb", ".geojson"])
def test_agrees_with_pyproj_in_every_coordinate_system(ending: str, system: str) -> None:
    """Places against the ellipsoid's own distance (pyproj.Geod): within 2 cm of what was drawn, whatever the system."""
    found = {c.feature.name: c.feature for c in bring("drawn", map_file(ending, system), SITE).candidates}
    assert [found[name].kind for name in SAID["name"]] == ["pile", "track", "logged_area"]
    assert found["P1"].number("height_m") == 2.5
    assert found["P1"].text("note") == "seen: Monday"
    for name, shape in zip(SAID["name"], SHAPES, strict=True):
        read = shapely.get_coordinates(found[name].shape)
        drawn = shapely.get_coordinates(shape)
        near = [min(WGS84.inv(*one, *other)[2] for other in drawn) for one in read]
        assert max(near) < 0.02


@pytest.mark.parametrize("ending", [".kml", ".kmz", ".zip"])
def test_agrees_with_what_gdal_writes_in_degrees(ending: str) -> None:
    found = [c.feature for c in bring(f"drawn{ending}", map_file(ending), SITE).candidates]
    assert [feature.name for feature in found] == (["P1"] if ending == ".zip" else SAID["name"])
    assert found[0].number("height_m") == 2.5
    for feature, shape in zip(found, SHAPES, strict=False):
        assert shapely.equals_exact(feature.shape.normalize(), shape.normalize(), 1e-9)


def test_law_what_another_datum_may_put_off_is_said_and_kept_with_the_thing() -> None:
    """NAD 27 to WGS 84 in Oregon without a grid: the EPSG registry gives an accuracy of metres, by pyproj."""
    brought = bring("drawn.gpkg", map_file(".gpkg", "EPSG:4267"), SITE)
    (said,) = [tell(note.text) for note in brought.notes if note.what == "datum"]
    assert "NAD27" in said
    off_m = brought.candidates[0].feature.number("position_error_m")
    assert off_m is not None
    assert 5 < off_m < 30
    assert not bring("drawn.gpkg", map_file(".gpkg", "EPSG:32610"), SITE).notes


@pytest.mark.parametrize("system", ["EPSG:4978", "EPSG:5773", "EPSG:999999", "", 7])
def test_refuses_a_system_that_places_nothing(system: object) -> None:
    raw = json.loads(map_file(".geojson")) | {"crs": {"type": "name", "properties": {"name": system}}}
    with pytest.raises(BadFile, match="WGS 84"):
        bring("drawn.geojson", json.dumps(raw).encode(), SITE)


def test_agrees_with_pyproj_on_geojson_that_names_a_system() -> None:
    """As GeoJSON had it before RFC 7946: the member crs with an URN of the OGC."""
    east, north = pyproj.Transformer.from_crs("EPSG:4326", "EPSG:31983", always_xy=True).transform(-45.1, -22.3)
    raw = {
        "type": "FeatureCollection",
        "crs": {"type": "name", "properties": {"name": "urn:ogc:def:crs:EPSG::31983"}},
        "features": [
            {
                "type": "Feature",
                "properties": {"nome": "P1"},
                "geometry": {"type": "Point", "coordinates": [east, north]},
            }
        ],
    }
    (found,) = bring("drawn.geojson", json.dumps(raw).encode(), SITE).candidates
    assert WGS84.inv(found.feature.shape.x, found.feature.shape.y, -45.1, -22.3)[2] < 1  # SIRGAS 2000 is within 1 m
    assert found.feature.name == "P1"


@pytest.mark.parametrize(
    ("said", "key", "label"),
    [
        ({"altura": 2.5}, "height_m", "Height"),
        ({"Hauteur (m)": 2.5}, "height_m", "Height"),
        ({"Höhe_m": "2,5"}, "height_m", "Height"),
        ({"largura": "2.5 m"}, "width_m", "Width"),
        ({"Longueur": 2.5}, "length_m", "Length"),
        ({"largo": 2.5}, "length_m", "Length"),
    ],
)
def test_law_properties_of_other_languages_are_matched_and_shown(said: dict[str, object], key: str, label: str) -> None:
    feature = {"type": "Feature", "properties": {"nombre": "P7", **said}, "geometry": point()}
    brought = bring("drawn.json", json.dumps(feature).encode(), SITE, unit="metric")
    assert brought.candidates[0].feature.number(key) == 2.5
    assert brought.candidates[0].feature.name == "P7"
    assert (next(iter(said)), label) in brought.headings
    assert f"{next(iter(said))} → {label}" in list(listing(SITE, brought))


def test_law_a_column_cut_to_ten_letters_is_known_again() -> None:
    feature = {"type": "Feature", "properties": {"name": "P1", "thickest_c": 30}, "geometry": point()}
    (found,) = bring("drawn.json", json.dumps(feature).encode(), SITE).candidates
    assert found.feature.number("thickest_cm") == 30


def read_again(site: Site, name: str, data: bytes) -> tuple[Brought, list[str]]:
    brought = prepared(bring(name, data, site))
    return brought, [look.what for look in looks(site, brought, ())]


@pytest.mark.parametrize("ending", [".gpkg", ".fgb", ".kml", ".kmz", ".zip", ".geojson", ".gpx", ".csv"])
def test_law_the_same_file_again_doubles_nothing(ending: str) -> None:
    name = f"drawn{ending}"
    first, what = read_again(SITE, name, map_file(ending))
    assert set(what) == {NEW}
    kept = keep(SITE, first.candidates)
    again, what = read_again(kept, name, map_file(ending))
    assert set(what) == {SAME}
    assert keep(kept, again.candidates) == kept
    other, what = read_again(kept, f"copy of {name}", map_file(ending))  # by name, kind and place
    assert set(what) == {SAME}
    assert len(keep(kept, other.candidates).features) == len(kept.features)


def test_law_a_thing_that_was_renamed_moved_and_called_another_kind_is_known_by_its_mark() -> None:
    data = map_file(".gpkg")
    kept = keep(SITE, prepared(bring("drawn.gpkg", data, SITE)).candidates)
    heap = kept.find("P1")
    assert heap is not None
    assert heap.members[ORIGIN] == {"file": "drawn.gpkg", "id": "drawn/1"}
    kept = kept.put(heap.with_values(name="Upper", kind="char_pad").with_geometry(point(-121.31, 44.06)))
    brought = prepared(bring("drawn.gpkg", data, kept))
    found = looks(kept, brought, ())
    assert [look.what for look in found] == [CHANGES, SAME, SAME]
    assert found[0].name == "Upper"
    assert set(found[0].keys) == {"name", "place"}
    assert found[0].candidate.feature.kind == "char_pad"
    assert not found[0].take
    changed = keep(kept, brought.candidates).get(heap.id)
    assert changed is not None
    assert (changed.name, changed.shape) == ("P1", SHAPES[0])


def test_law_what_only_adds_is_taken_and_what_overwrites_is_asked_about() -> None:
    site = site_of(thing("p", name="P1"), thing("q", name="P2", height_m=1.0))
    brought = bring("t.csv", b"Name,Height\nP1,3\nP2,4", site)
    found = looks(site, brought, ())
    assert [(look.what, look.keys, look.take) for look in found] == [
        (ADDS, ("height_m",), True),
        (CHANGES, ("height_m",), False),
    ]


def test_law_of_namesakes_the_one_at_that_place_is_meant() -> None:
    site = site_of(
        thing("p", name="P1"), thing("q", geometry=point(-120.5), name="P1"), thing("r", geometry=point(-120.7))
    )
    rows = [
        thing(None, geometry=point(-120.5), name="P1"),
        thing(None, geometry=point(-120.7)),
        thing(None, geometry=point(-120.9)),
    ]
    data = json.dumps({"type": "FeatureCollection", "features": rows}).encode()
    candidates = bring("t.geojson", data, site).candidates
    assert [old and old.id for old in counterparts(site, candidates)] == ["q", "r", None]
    assert differences(site.features[1], candidates[0].feature) == ()


@pytest.mark.parametrize(
    ("geometry", "why"),
    [
        (None, "no shape"),
        ({"type": "Polygon", "coordinates": [[0, 0], [1, 1]]}, "too few corners"),
        ({"type": "Polygon", "coordinates": [[[0, 0], [1, 1]]]}, "too few corners"),
        ({"type": "LineString", "coordinates": [[0, 0]]}, "too few corners"),
        ({"type": "Point", "coordinates": [float("nan"), 0]}, "unusable coordinates"),
        ({"type": "Point", "coordinates": [636000, 4878000]}, "name the coordinate system"),
        ({"type": "Circle"}, "no shape"),
    ],
)
def test_law_a_bad_row_is_listed_with_its_reason_and_the_rest_is_kept(geometry: object, why: str) -> None:
    rows = [thing(None, geometry=geometry, name="U9"), thing(None, name="P2", height_m=float("nan"))]
    data = json.dumps({"type": "FeatureCollection", "features": rows}).encode()
    brought = bring("t.geojson", data, SITE)
    assert [c.feature.name for c in brought.candidates] == ["P2"]
    assert [(note.row, note.column) for note in brought.notes] == [(1, "place"), (2, "height_m")]
    said = tell(brought.notes[0].text)
    assert said.startswith("U9 is left out")
    assert why in said


@pytest.mark.parametrize("ending", [".gpx", ".kml"])
def test_law_letters_of_two_bytes_are_read_as_those_of_one(ending: str) -> None:
    text = map_file(ending).decode().partition("?>")[2] or map_file(ending).decode()
    wide = f'<?xml version="1.0" encoding="UTF-16"?>{text}'.replace("P1", "Montón").encode("utf-16")
    brought = bring(f"drawn{ending}", wide, SITE)
    assert "Montón" in {each.feature.name for each in brought.candidates}
    assert len(brought.candidates) == len(bring(f"drawn{ending}", map_file(ending), SITE).candidates)


@pytest.mark.parametrize(("letters", "says"), [("UTF-8", False), ("UTF-8", True), ("ISO-8859-1", True)])
def test_agrees_with_gdal_on_the_letters_of_a_shapefile(letters: str, says: bool, tmp_path: Path) -> None:
    """Written by GDAL in those letters; the part that says which they are is often lost on the way."""
    frame = geopandas.GeoDataFrame({"name": ["Montón"]}, geometry=[SHAPES[0]], crs="EPSG:4326")
    frame.to_file(tmp_path / "drawn.shp", encoding=letters)
    parts = {path.name: path.read_bytes() for path in sorted(tmp_path.iterdir()) if says or path.suffix != ".cpg"}
    (one,) = bring("drawn.zip", zipped(parts), SITE).candidates
    assert one.feature.name == "Montón"


def test_law_the_layer_tells_the_kind_where_the_name_does_not() -> None:
    line = {"type": "LineString", "coordinates": [[0, 0], [1, 1]]}
    feature = {"type": "Feature", "properties": {"name": "Deep one"}, "geometry": line}
    raw = {"type": "FeatureCollection", "name": "streams", "features": [feature]}
    (found,) = bring("t.geojson", json.dumps(raw).encode(), SITE).candidates
    assert (found.feature.kind, found.why) == ("stream", "the layer streams")
    (chosen,) = bring("t.geojson", json.dumps(raw).encode(), SITE, kind="road").candidates
    assert chosen.feature.kind == "road"


@pytest.mark.parametrize(
    ("members", "told"),
    [
        ({"a.txt": b"x"}, "holds no Shapefile"),
        ({"a.dbf": b"x"}, "holds no Shapefile"),
        ({"site.geojson": b"{}"}, "is a site of this program"),
        ({"[Content_Types].xml": b""}, "workbook"),
        ({"a.kml": zipped({"doc.kml": b"<kml/>"})}, "archive in an archive"),
        ({f"{n}.txt": b"" for n in range(archive.MOST_MEMBERS + 1)}, "more than 500 files"),
    ],
)
def test_refuses_an_archive_without_map_files(members: dict[str, bytes], told: str) -> None:
    with pytest.raises(BadFile, match=told):
        bring("drawn.zip", zipped(members), SITE)


def test_refuses_what_unpacks_without_end_before_it_is_unpacked(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(archive, "MOST_UNPACKED_BYTES", 2_000_000)
    bomb = zipped({"doc.kml": bytes(5_000_000)})
    assert len(bomb) < 10_000
    with pytest.raises(BadFile, match="unpacks to more than 2 MB"):
        bring("drawn.kmz", bomb, SITE)


def test_refuses_too_much_with_the_limit_in_the_sentence(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(layers, "MOST_CORNERS", 5)
    with pytest.raises(BadFile, match="more than 5 corners"):
        bring("drawn.fgb", map_file(".fgb"), SITE)
    monkeypatch.setattr(layers, "MOST_LAYERS", 0)
    with pytest.raises(BadFile, match="more than 0 layers"):
        bring("drawn.gpkg", map_file(".gpkg"), SITE)


def test_law_an_outline_of_many_thousand_corners_is_thinned_and_says_so() -> None:
    """Half a metre is the promise: Hausdorff's distance by shapely, in degrees of a meridian (111,195 m each)."""
    turn = np.linspace(0, 2 * np.pi, 20_001)
    ring = np.column_stack([0.002 * np.cos(turn), 0.002 * np.sin(turn)])
    ring[-1] = ring[0]
    feature = {"type": "Feature", "properties": {}, "geometry": {"type": "Polygon", "coordinates": [ring.tolist()]}}
    (found,) = bring("t.json", json.dumps(feature).encode(), SITE).candidates
    assert "20,001 points thinned to" in found.why
    assert shapely.get_num_coordinates(found.feature.shape) < 200
    assert shapely.Polygon(ring).boundary.hausdorff_distance(found.feature.shape.boundary) * 111_195 < 0.51


def test_law_links_in_a_kml_are_never_fetched() -> None:
    with server({}) as served:
        text = LINKED.replace("HERE/", served.here)
        for name, data in (("a.kml", text.encode()), ("a.kmz", zipped({"doc.kml": text.encode()}))):
            brought = bring(name, data, SITE)
            assert [c.feature.shape for c in brought.candidates] == [Point(-121.3, 44.05)]
            assert brought.candidates[0].feature.text("note") == "big & old"
            assert ["picture" in tell(note.text) for note in brought.notes] == [True]
        assert served.asked == []
