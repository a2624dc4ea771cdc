"""Waypoints and tracks of a phone."""

from __future__ import annotations

import contextlib
import math
import xml.etree.ElementTree as ET

import gpxpy.gpx
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from sitemap.errors import BadFile
from sitemap.site.imports import bring
from sitemap.site.imports.brought import Brought, keep
from tests.properties import examples
from tests.site.builders import site_of, thing

GPX_1_1 = "http://www.topografix.com/GPX/1/1"  # namespace of the GPX 1.1 schema (topografix.com, from memory)
SITE = site_of(thing("g", "gate", name="Gate"))


def gpx_of(points: list[tuple[str, float, float]], tracks: list[tuple[str, list[tuple[float, float]]]] = ()) -> bytes:
    """A file as gpxpy writes it: name, latitude, longitude."""
    gpx = gpxpy.gpx.GPX()
    gpx.waypoints = [gpxpy.gpx.GPXWaypoint(lat, lon, name=name, elevation=1200) for name, lat, lon in points]
    for name, places in tracks:
        track = gpxpy.gpx.GPXTrack(name=name)
        track.segments = [gpxpy.gpx.GPXTrackSegment([gpxpy.gpx.GPXTrackPoint(lat, lon) for lat, lon in places])]
        gpx.tracks.append(track)
    return gpx.to_xml("1.1").encode()


def kinds_of(data: bytes) -> dict[str, str]:
    return {c.feature.name: c.feature.kind for c in bring("walk.gpx", data, SITE).candidates}


@given(st.floats(-90, 90), st.floats(-180, 180))
@examples(40)
def test_agrees_with_gpxpy_and_the_namespace_of_the_schema(lat: float, lon: float) -> None:
    """Written by gpxpy, read back here: the place to 0.01 m, in the namespace of GPX 1.1."""
    data = gpx_of([("P1", lat, lon)])
    assert ET.fromstring(data).tag == f"{{{GPX_1_1}}}gpx"
    (found,) = bring("walk.gpx", data, SITE).candidates
    assert found.feature.geometry is not None
    x, y = found.feature.geometry["coordinates"]
    assert math.isclose(x, lon, abs_tol=6e-8)
    assert math.isclose(y, lat, abs_tol=6e-8)


def test_law_names_tell_the_kind() -> None:
    names = [
        "P3",
        "H 4",
        "R1",
        "W1",
        "W1a",
        "K2",
        "T1",
        "B2 shed",
        "S2 shed",
        "WS1",
        "G1",
        "Upper pond",
        "Gate",
        "Lunch",
    ]
    assert kinds_of(gpx_of([(name, 44, -120) for name in names])) == {
        "P3": "pile",
        "H 4": "pile",
        "R1": "windrow",
        "W1": "water_source",
        "W1a": "windrow",  # as on sheets printed before
        "K2": "kiln_spot",
        "T1": "transect",
        "B2 shed": "structure",
        "S2 shed": "structure",
        "WS1": "water_source",
        "G1": "gate",
        "Upper pond": "water_source",
        "Gate": "gate",
        "Lunch": "pile",
    }
    pond = bring("walk.gpx", gpx_of([("Upper pond", 44, -120)]), SITE).candidates[0]
    assert pond.feature.choice("source") == "pond"


def test_law_two_ends_are_a_line_and_one_end_waits_for_the_other() -> None:
    """
    R1a ──── R1b      R2 alone: its place is kept in words
    """
    found = bring("w.gpx", gpx_of([("R1a", 44.0, -120.0), ("R1b", 44.0, -120.001), ("R2", 44.0, -120.0)]), SITE)
    one, two = found.candidates
    assert (one.feature.name, one.feature.kind) == ("R1", "windrow")
    assert one.feature.geometry is not None
    assert one.feature.geometry["coordinates"] == ((-120.0, 44.0), (-120.001, 44.0))
    assert two.feature.geometry is None
    assert two.feature.values["place"] == "44.000000, -120.000000"


def test_law_a_track_is_guessed_by_its_way_and_its_name() -> None:
    """A square walked round, a way there, a way there called a road, the round called R3."""
    square = [(44.0, -120.0), (44.0, -119.999), (44.001, -119.999), (44.001, -120.0), (44.0, -119.99999)]
    way = [(44.0, -120.0), (44.0, -119.999), (44.001, -119.998)]
    found = bring("t.gpx", gpx_of([], [("", square), ("", way), ("Road in", way), ("R3", square)]), SITE).candidates
    assert [(c.feature.kind, c.feature.geometry["type"]) for c in found] == [
        ("logged_area", "Polygon"),
        ("track", "LineString"),
        ("road", "LineString"),
        ("windrow", "LineString"),
    ]
    assert {"windrow", "road", "track"} <= set(found[1].kinds)
    assert "logged_area" in found[0].kinds
    assert found[1].of_kind("road").feature.kind == "road"


def test_law_a_waypoint_places_the_thing_that_waits_for_it() -> None:
    site = site_of(thing("p", geometry=None, name="P3", height_m=2.0))
    kept = keep(site, bring("w.gpx", gpx_of([("P3", 44.0, -120.0), ("P4", 44.0, -120.0)]), site).candidates)
    assert kept.get("p").shape is not None
    assert kept.get("p").number("height_m") == 2.0
    assert [f.name for f in kept.features] == ["P3", "P4"]


def test_law_a_waypoint_outside_the_earth_is_left_out_and_said() -> None:
    data = gpx_of([("P1", 44, -120)]).replace(b'lon="-120"', b'lon="-500"')
    alone = bring("w.gpx", data, SITE)
    assert not alone.candidates
    assert [(n.row, n.what) for n in alone.notes] == [(1, "bad_place")]
    both = gpx_of([("P1", 44, -120), ("P2", 44, -119)]).replace(b'lon="-120"', b'lon="-500"')
    found = bring("w.gpx", both, SITE)
    assert [c.feature.name for c in found.candidates] == ["P2"]
    assert [n.what for n in found.notes] == ["bad_place"]


@pytest.mark.parametrize(
    ("data", "told"),
    [
        (b"<gpx version='1.1'><wpt lat='44' lon=", "cannot be read"),
        (b"<gpx version='1.1'><wpt lat='x' lon='1'/></gpx>", "cannot be read|no waypoint"),
        (b"<!DOCTYPE gpx [<!ENTITY a 'b'>]><gpx/>", "document type"),
        (b"<gpx version='1.1'></gpx>", "no waypoint and no track"),
        (b"\xff\xfe\xff<gpx", "cannot be read"),
        (b"<?xml version='1.0' encoding='klingon'?><gpx/>", "cannot be read"),
        (b"PK\x03\x04", "damaged or locked archive"),
        (b"\x00\x01\x02", "no text"),
        (b"", "nothing in it"),
    ],
)
def test_refuses_damaged_files_in_one_sentence(data: bytes, told: str) -> None:
    with pytest.raises(BadFile, match=told) as caught:
        bring("walk.gpx", data, SITE)
    assert "walk.gpx" in str(caught.value)
    assert "\n" not in str(caught.value)


def test_law_a_height_or_a_time_that_cannot_be_read_loses_no_place() -> None:
    """Nobody asks them of a point; and a comma between the digits of a degree can be nothing but decimal."""
    data = b"""<gpx version="1.1" xmlns="http://www.topografix.com/GPX/1/1">
      <wpt lat="44,29" lon="-120,61"><ele>12,5 m</ele><name>Heap 1</name></wpt>
      <wpt lat="44.291" lon="-120.611"><ele>?</ele><time>
        yesterday</time><sat/><hdop>?</hdop><name>Heap 2</name></wpt>
      </gpx>"""
    found = [each.feature.geometry["coordinates"] for each in bring("walk.gpx", data, SITE).candidates]
    assert found == [(-120.61, 44.29), (-120.611, 44.291)]


@given(st.binary(max_size=300))
@examples(80)
def test_law_whatever_comes_is_read_or_refused(data: bytes) -> None:
    for start in (b"", b"<gpx version='1.1'>"):
        with contextlib.suppress(BadFile):
            assert isinstance(bring("x", start + data, SITE), Brought)


def test_agrees_with_shapely_a_long_track_is_thinned_by_half_a_metre_at_most() -> None:
    """A track of 20,000 points about a field, 400 m across: distance of every point to the thinned line (shapely)."""
    count, field_m, degree_m = 20_000, 200.0, 111_195.0
    turns = [2 * math.pi * step / (count - 1) for step in range(count)]
    across = degree_m * math.cos(math.radians(48.0))
    places = [(48.0 + field_m * math.sin(turn) / degree_m, 16.0 + field_m * math.cos(turn) / across) for turn in turns]
    (made,) = bring("night.gpx", gpx_of([], [("Area", places)]), SITE).candidates
    ring = made.feature.shape.exterior.coords
    assert ring[0] == ring[-1]
    assert 20 < len(ring) < 500
    assert "20,000 points thinned to" in made.why
    line = shapely.LineString([(lon * across, lat * degree_m) for lon, lat in ring])
    off = shapely.distance(line, shapely.points([(lon * across, lat * degree_m) for lat, lon in places]))
    assert float(off.max()) <= 0.52  # and the last digit of the file
