"""GPX 1.1 read back by gpxpy, by the standard library in the order of the published schema, and by our own import."""

from __future__ import annotations

import re
from pathlib import Path
from xml.etree import ElementTree

import gpxpy
import pytest
from geographiclib.geodesic import Geodesic

from sitemap.assessment import Assessment
from sitemap.errors import BadFile
from sitemap.plan.exports import export_bytes, write_export
from sitemap.plan.gpx import longitude
from sitemap.site.imports.gpx import read_gpx
from sitemap.site.model import Feature
from tests.plan.builders import assessed, one_kiln, point, sample, site

# Order of the elements by the schema, topografix.com/GPX/1/1/gpx.xsd (M), as far as we write them.
ORDER = {
    "gpx": ("metadata", "wpt", "rte", "trk", "extensions"),
    "wpt": ("ele", "time", "magvar", "geoidheight", "name", "cmt", "desc", "src", "link", "sym", "type"),
    "trk": ("name", "cmt", "desc", "src", "link", "number", "type", "extensions", "trkseg"),
}
SPACE = "{http://www.topografix.com/GPX/1/1}"
HOSTILE = ("<b>&\"'</b>", "]]> <!-- -->", "名前 🔥", "a\x00\u202eb\x0b", "&amp;")


def written(a: Assessment) -> bytes:
    return export_bytes(a, ".gpx")


def one_place(feature: Feature) -> tuple[float, float]:
    return feature.shape.x, feature.shape.y


@pytest.mark.parametrize("name", ["juniper_bench", "farm_dam", "birch_shore"])
def test_agrees_with_gpxpy_on_every_place(name: str) -> None:
    """Names, kinds, heights and places to 2 cm (geographiclib) of every point; a line or an area is one track."""
    a = sample(name)
    read = gpxpy.parse(written(a).decode("utf-8"))
    assert read.version == "1.1"
    points = {w.name: w for w in read.waypoints}
    tracks = {t.name: t for t in read.tracks}
    placed = [feature for feature in a.source.features if feature.shape is not None]
    assert len(read.waypoints) + len(read.tracks) == len(placed)
    for feature in placed:
        if feature.shape.geom_type == "Point":
            one = points[feature.name]
            apart = Geodesic.WGS84.Inverse(one.latitude, one.longitude, feature.shape.y, feature.shape.x)["s12"]
            assert apart < 0.02
            height = feature.number("elevation_m")  # as entered, else of the raster
            height = float(a.terrain.elevation(*a.plane.xy(*one_place(feature)))) if height is None else height
            assert one.elevation == pytest.approx(height, abs=0.06)
        else:
            one = tracks[feature.name]
            corners = feature.shape.exterior.coords if feature.shape.geom_type == "Polygon" else feature.shape.coords
            assert [len(segment.points) for segment in one.segments] == [len(corners)]
        assert one.type == feature.kind
    for spot in a.spots:
        assert f"{a.decision(spot.id).word}, for {a.on.isoformat()}" in points[spot.name].description


def test_published_order_of_elements_and_limits_of_longitude() -> None:
    root = ElementTree.fromstring(written(sample()))
    assert root.tag == f"{SPACE}gpx"
    assert {"version", "creator"} <= root.attrib.keys()
    for name, order in ORDER.items():
        for element in root.iter(SPACE + name):
            places = [order.index(child.tag.removeprefix(SPACE)) for child in element]
            assert places == sorted(places)
    for place in [*root.iter(SPACE + "wpt"), *root.iter(SPACE + "trkpt")]:
        assert -180 <= float(place.attrib["lon"]) < 180
        assert -90 <= float(place.attrib["lat"]) <= 90


@pytest.mark.parametrize(
    ("degrees", "found"), [(180.0, -180.0), (180.5, -179.5), (-180.5, 179.5), (179.99999999, -180.0), (-0.25, -0.25)]
)
def test_law_longitudes_stay_below_180(degrees: float, found: float) -> None:
    assert longitude(degrees) == found


def test_law_across_the_antimeridian_each_point_keeps_its_place() -> None:
    line = {"type": "LineString", "coordinates": [[179.999, -17.0], [180.001, -17.0]]}
    both = {
        "type": "MultiLineString",
        "coordinates": [[[179.999, -17.1], [180, -17.1]], [[-180, -17.1], [-179.999, -17.1]]],
    }
    made = one_kiln(179.9999, -17.0).put(Feature.of("r", line, {"kind": "road", "name": "Road"}))
    made = made.put(Feature.of("s", both, {"kind": "track", "name": "Track"}))
    read = gpxpy.parse(written(assessed(made)).decode())
    found = {t.name: [[p.longitude for p in s.points] for s in t.segments] for t in read.tracks}
    assert found == {"Road": [[179.999, -179.999]], "Track": [[179.999, -180.0], [-180.0, -179.999]]}


def test_law_names_come_back_as_they_were_through_our_own_import() -> None:
    a = sample("farm_dam")
    back = read_gpx("site.gpx", written(a))
    names = {candidate.feature.name for candidate in back.candidates}
    assert names == {feature.name for feature in a.source.features if feature.shape is not None}


def test_law_hostile_names_are_words_and_nothing_else() -> None:
    made = site(*(point(f"p{n}", "pile", 15 + n / 1000, 60, name=name, note=name) for n, name in enumerate(HOSTILE)))
    data = written(assessed(made))
    names = [w.name for w in gpxpy.parse(data.decode()).waypoints]
    assert names[:3] == list(HOSTILE[:3])
    assert names[3:] == ["ab", "&amp;"]
    assert {c.feature.name for c in read_gpx("x.gpx", data).candidates} == set(names)
    assert not re.search(rb"<!DOCTYPE|<!ENTITY|<b>", data)


def test_law_no_height_is_made_up() -> None:
    made = one_kiln().put(point("g", "gate", 15.0, 60.001, name="Gate", elevation_m=212.5))
    heights = {w.name: w.elevation for w in gpxpy.parse(written(assessed(made)).decode()).waypoints}
    assert heights["Gate"] == 212.5
    assert heights["K1"] is None


def test_law_a_thing_without_a_kind_or_of_one_we_do_not_know_is_written_too() -> None:
    a = assessed(site(*(point(kind or "none", kind, 0, 0, name=f"A {kind}") for kind in ("", "wigwam"))))
    assert [w.name for w in gpxpy.parse(written(a).decode("utf-8")).waypoints] == ["A ", "A wigwam"]


def test_law_the_same_site_gives_the_same_bytes() -> None:
    assert written(sample()) == written(sample())


def test_refuses_a_site_with_nothing_on_the_map(tmp_path: Path) -> None:
    with pytest.raises(BadFile, match="Nothing is on the map"):
        write_export(assessed(site()), tmp_path / "a.gpx")
    assert not list(tmp_path.iterdir())
