"""GeoJSON of other map programs, held against what a general library (geopandas, GDAL) writes."""

from __future__ import annotations

import json
from pathlib import Path

import geopandas
import pytest
import shapely
from shapely.geometry import LineString, MultiPoint, Point, box

from sitemap.errors import BadFile
from sitemap.site.imports import bring
from sitemap.site.imports.brought import keep
from sitemap.site.imports.geojson import is_foreign
from sitemap.site.model import Site

SITE = Site().with_member("units", "metric")
SHAPES = {
    "P1": Point(-121.3, 44.05),
    "Tank": Point(-121.301, 44.0502),
    "Skid trail": LineString([(-121.302, 44.049), (-121.299, 44.051)]),
    "Unit 4": box(-121.302, 44.049, -121.299, 44.052),
    "R7": MultiPoint([(-121.3, 44.05), (-121.3, 44.051)]),
}


def written(tmp_path: Path) -> bytes:
    path = tmp_path / "drawn.geojson"
    frame = geopandas.GeoDataFrame(
        {"Name": list(SHAPES), "height_m": [2.5, None, None, None, None], "seen": ["Monday", *[None] * 4]},
        geometry=list(SHAPES.values()),
        crs="EPSG:4326",
    )
    frame.to_file(path, driver="GeoJSON")
    return path.read_bytes()


def test_agrees_with_what_a_map_program_writes(tmp_path: Path) -> None:
    site = keep(SITE, bring("drawn.geojson", written(tmp_path), SITE).candidates)
    kinds = [feature.kind for feature in site.features]
    assert kinds == ["pile", "water_source", "track", "logged_area", "pile", "pile"]  # R7 is no line: two places
    for feature, shape in zip(site.features, list(SHAPES.values())[:4], strict=False):
        assert feature.shape is not None
        assert shapely.equals_exact(feature.shape.normalize(), shape.normalize(), 1e-9)
    assert site.features[0].number("height_m") == 2.5
    assert site.features[0].text("note") == "seen: Monday"
    assert site.features[1].choice("source") == "tank"


def test_law_only_what_has_no_site_is_foreign(tmp_path: Path) -> None:
    text = written(tmp_path).decode()
    assert is_foreign(text)
    assert not is_foreign(json.dumps({**json.loads(text), "site": {"units": "us"}}))
    assert not is_foreign(text[:-20])


@pytest.mark.parametrize(
    "data",
    [
        b'{"type":"FeatureCollection","features":[{"type":',
        b'{"type":"FeatureCollection","features":[]}',
        b'{"type":"FeatureCollection","features":[1]}',
        b'{"type":"FeatureCollection","features":[{"type":"Feature","geometry":null,"properties":null}]}',
        b'{"a": 1}',
        b'{"type":"FeatureCollection","features":7}',
        b"\x89PNG\r\n\x1a\n" + bytes(range(256)),
    ],
)
def test_refuses_what_holds_no_shape_in_one_sentence(data: bytes) -> None:
    with pytest.raises(BadFile) as refused:
        bring("drawn.geojson", data, SITE)
    assert "drawn.geojson" in str(refused.value)
    assert "codec" not in str(refused.value)


def test_refuses_metres_as_degrees_and_keeps_the_rest() -> None:
    features = [
        {"type": "Feature", "properties": {"name": name}, "geometry": {"type": "Point", "coordinates": place}}
        for name, place in (("P1", [636000, 4878000]), ("P2", [-121.3, 44.05, 900]), ("P3", ["a", None]))
    ]
    data = json.dumps({"type": "FeatureCollection", "features": features}).encode()
    brought = bring("drawn.geojson", data, SITE)
    assert [candidate.feature.name for candidate in brought.candidates] == ["P2"]
    assert [note.row for note in brought.notes] == [1, 3]


@pytest.mark.parametrize(("place", "kept"), [([180, 90], True), ([-180, -90], True), ([180.01, 0], False)])
def test_law_the_last_meridian_and_the_poles_are_on_earth(place: list[float], kept: bool) -> None:
    """RFC 7946 section 4: degrees of WGS 84; ± 180 and ± 90 are places."""
    found = {"type": "Feature", "properties": {"name": "P"}, "geometry": {"type": "Point", "coordinates": place}}
    other = {**found, "properties": {"name": "Q"}, "geometry": {"type": "Point", "coordinates": [-121.3, 44.05]}}
    data = json.dumps({"type": "FeatureCollection", "features": [found, other]}).encode()
    names = [candidate.feature.name for candidate in bring("drawn.geojson", data, SITE).candidates]
    assert ("P" in names) == kept
