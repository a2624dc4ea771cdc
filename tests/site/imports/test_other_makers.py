"""Map files as other makers leave them: parts missing, systems unnamed, places swapped or empty."""

from __future__ import annotations

import json
from typing import Any

import pyproj
import pytest

from sitemap.errors import BadFile
from sitemap.site.imports import bring
from sitemap.site.imports.brought import Brought
from sitemap.telling import tell
from tests.site.builders import site_of
from tests.site.imports.map_files import map_file, shapefile

SITE = site_of()
_KML = (
    '<?xml version="1.0"?><kml xmlns="http://www.opengis.net/kml/2.2"><Document><Placemark><name>P1</name><Point>'
    "<coordinates>{}</coordinates></Point></Placemark><Placemark><name>P2</name><Point><coordinates>-121.3,44.05"
    "</coordinates></Point></Placemark></Document></kml>"
)


def geojson(*features: dict[str, Any]) -> bytes:
    """A collection of features."""
    return json.dumps({"type": "FeatureCollection", "features": features}).encode()


def feature(lon: float, lat: float, **said: Any) -> dict[str, Any]:
    """A point with what is said of it."""
    return {"type": "Feature", "properties": said, "geometry": {"type": "Point", "coordinates": [lon, lat]}}


def names(brought: Brought) -> list[str]:
    """Of what was brought."""
    return [each.feature.name for each in brought.candidates]


def codes(brought: Brought) -> list[str]:
    """Of what is said of it."""
    return [note.text.code for note in brought.notes]


def test_law_a_shapefile_without_its_index_is_read_all_the_same() -> None:
    whole, lacking = bring("s.zip", map_file(".zip"), SITE), bring("s.zip", shapefile(".shx"), SITE)
    assert [each.feature for each in lacking.candidates] == [each.feature for each in whole.candidates]
    assert codes(lacking) == codes(whole) == []
    assert bring("s.zip", map_file(".zip"), SITE) == whole


def test_law_a_shapefile_without_its_table_says_so() -> None:
    brought = bring("s.zip", shapefile(".dbf"), SITE)
    assert len(brought.candidates) == 1
    assert codes(brought) == ["site.shapes_alone"]


@pytest.mark.parametrize("name", ["piles.shp", "piles.SHX", "piles.dbf", "piles.prj"])
def test_refuses_one_part_of_a_shapefile(name: str) -> None:
    with pytest.raises(BadFile, match="in one zip"):
        bring(name, b"\x00\x00\x27\x0a" + bytes(96), SITE)


@pytest.mark.parametrize("ending", [".zip", ".geojson"])
def test_agrees_with_pyproj_where_a_person_names_the_system_the_file_does_not(ending: str) -> None:
    east, north = pyproj.Transformer.from_crs("EPSG:4326", "EPSG:2269", always_xy=True).transform(-121.3, 44.05)
    data = shapefile(".prj", "EPSG:2269") if ending == ".zip" else geojson(feature(east, north, name="P1"))
    asked = bring(f"s{ending}", data, SITE)
    assert asked.asks_system
    assert codes(asked) == ["site.which_system", "site.row_left_out"]
    assert "site.strange_grid" in codes(bring(f"s{ending}", data, SITE, system="the usual one"))
    (found,) = bring(f"s{ending}", data, SITE, system="EPSG:2269").candidates
    assert found.feature.shape is not None
    assert found.feature.shape.coords[0] == pytest.approx((-121.3, 44.05), abs=1e-7)


def test_law_a_system_somebody_named_before_moves_no_degrees() -> None:
    for name, data in (("s.zip", shapefile(".prj")), ("s.geojson", geojson(feature(-121.3, 44.05, name="P1")))):
        (found,) = bring(name, data, SITE, system="UTM 10N").candidates
        assert found.feature.shape is not None
        assert found.feature.shape.coords[0] == pytest.approx((-121.3, 44.05))


def test_law_latitude_before_longitude_is_called_that() -> None:
    """RFC 7946, 3.1.1: longitude comes first (P)."""
    brought = bring("s.geojson", geojson(feature(44.05, -121.3, name="P1"), feature(-121.3, 44.05, name="P2")), SITE)
    assert names(brought) == ["P2"]
    assert "look swapped" in tell(brought.notes[0].text)
    assert names(bring("s.kml", _KML.format("44.05,-121.3").encode(), SITE)) == ["P2"]


@pytest.mark.parametrize("coordinates", ["", " ", "-121.3"])
def test_law_a_placemark_without_a_place_is_not_off_africa(coordinates: str) -> None:
    brought = bring("s.kml", _KML.format(coordinates).encode(), SITE)
    assert names(brought) == ["P2"]
    assert codes(brought) == ["site.row_left_out"]


@pytest.mark.parametrize("between", ["\n", "\n\x1e", ", "])
def test_law_features_in_lines_and_in_a_list_are_read_like_a_collection(between: str) -> None:
    """Lines: RFC 8142 (P)."""
    text = between.join(json.dumps(feature(-121.3, 44.05 + at / 1000, name=f"P{at}")) for at in range(3))
    assert names(bring("s.json", (f"[{text}]" if between == ", " else text).encode(), SITE)) == ["P0", "P1", "P2"]


def test_law_no_property_is_dropped_without_a_word() -> None:
    data = geojson(feature(-121.3, 44.05, name="P1", kind="teapot", layers=[1, 2], nothing=None, empty=[]))
    (found,) = bring("s.geojson", data, SITE).candidates
    assert found.feature.values["note"] == "kind: teapot; layers: [1, 2]"


def test_law_a_gpx_with_a_prefix_is_read_and_names_of_a_route_are_told() -> None:
    text = (
        '<g:gpx xmlns:g="http://www.topografix.com/GPX/1/1" version="1.1"><g:rte><g:name>Walk</g:name>'
        '<g:rtept lat="44.05" lon="-121.3"><g:name>P1</g:name></g:rtept><g:rtept lat="44.06" lon="-121.3"/></g:rte>'
        "</g:gpx>"
    )
    brought = bring("w.gpx", text.encode(), SITE)
    assert names(brought) == ["Walk"]
    assert codes(brought) == ["site.route_points"]


@pytest.mark.parametrize("letters", ["utf-16-le", "utf-16-be"])
def test_law_letters_of_two_bytes_without_their_mark(letters: str) -> None:
    (found,) = bring("t.csv", "Name\tLat\tLon\nHögen\t44.05\t-121.3".encode(letters), SITE).candidates
    assert found.feature.name == "Högen"
