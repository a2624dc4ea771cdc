"""What goes to the browser and what comes back, without a browser."""

import json
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from sitemap.maps.scene import Edits, MapFeature, MapView, edits_of, parts, payload, unwrapped, why_no_map, with_part

SQUARE = [[179.9995, -16.8, 12.5], [-179.9995, -16.8], [-179.9995, -16.799], [179.9995, -16.8, 12.5]]


def view(geometry: dict[str, Any], centre: tuple[float, float] = (179.99, -16.8)) -> MapView:
    return MapView("here", centre, (MapFeature("f", "logged_area", "F", "F", geometry),))


def moved(geometry: dict[str, Any], part: tuple[int, ...] = (), number: int = 1) -> dict[str, Any]:
    return {
        "load": "a",
        "n": number,
        "do": "moved",
        "id": "f",
        "part": list(part),
        "geometry": geometry,
        "selected": "f",
    }


def through_json(value: Any) -> Any:
    return json.loads(json.dumps(value))


def test_law_a_site_across_180_degrees_is_drawn_in_one_piece() -> None:
    drawn = unwrapped({"type": "Polygon", "coordinates": [SQUARE]}, 179.99)
    lons = [place[0] for place in drawn["coordinates"][0]]
    assert max(lons) - min(lons) == pytest.approx(0.001, abs=1e-9)


def test_law_corners_left_alone_come_back_to_the_last_bit_across_180_degrees() -> None:
    shown = view({"type": "MultiPolygon", "coordinates": [[SQUARE], [[[1, 2], [3, 4], [5, 6], [1, 2]]]]})
    sent = through_json(payload(shown, ("", 0))["features"][0]["geometry"])
    sent["coordinates"][0][2] = [180.0011, -16.79912345678]
    edits, seen = edits_of([moved(sent, (0,))], shown, ("", 0))
    ((_, after),) = edits.changed
    assert seen == ("a", 1)
    assert after["coordinates"][1] == [[[1, 2], [3, 4], [5, 6], [1, 2]]]
    ring = after["coordinates"][0][0]
    assert [ring[0], ring[1], ring[3]] == [SQUARE[0], SQUARE[1], SQUARE[3]]
    assert ring[2] == [pytest.approx(-179.9989, abs=1e-9), -16.7991235]  # wrapped, as a file may hold it


@given(
    st.lists(
        st.tuples(st.floats(-180, 180, exclude_max=True), st.floats(-85, 85)), min_size=2, max_size=8, unique=True
    ),
    st.floats(-180, 180),
)
def test_law_what_is_sent_and_comes_back_unmoved_is_unchanged(line: list[tuple[float, float]], centre: float) -> None:
    geometry = {"type": "LineString", "coordinates": [list(place) for place in line]}
    shown = view(geometry, (centre, 0.0))
    sent = through_json(payload(shown, ("", 0))["features"][0]["geometry"])
    assert all(abs(place[0] - centre) <= 180 + 1e-9 for place in sent["coordinates"])
    edits, _ = edits_of([moved(sent)], shown, ("", 0))
    same = dict(edits.changed)["f"]["coordinates"]
    np.testing.assert_allclose(same, line, rtol=0, atol=1e-13)  # 360° and back may cost a number near 0 its last bits


def test_law_parts_and_back_for_every_geometry() -> None:
    collection = {
        "type": "GeometryCollection",
        "geometries": [
            {"type": "Point", "coordinates": [1, 2]},
            {"type": "MultiLineString", "coordinates": [[[1, 2], [3, 4]], [], [[5, 6], [7, 8]]]},
            {"type": "Polygon", "coordinates": []},
        ],
    }
    found = dict(parts(collection))
    assert list(found) == [(0,), (1, 0), (1, 2)]
    for path, part in found.items():
        assert with_part(collection, path, part) == collection
    assert list(parts({"type": "Circle"})) == list(parts({})) == []


def test_law_an_act_counts_once_and_a_new_page_load_counts_anew() -> None:
    shown = view({"type": "Point", "coordinates": [1.0, 2.0]}, (1.0, 2.0))
    acts = [
        moved({"type": "Point", "coordinates": [1.5, 2.0]}),
        {
            "load": "a",
            "n": 2,
            "do": "added",
            "kind": "gate",
            "geometry": {"type": "Point", "coordinates": [361.25, 2]},
            "like": "f",
        },
        {"load": "a", "n": 3, "do": "clicked", "at": [1.123456789, 2], "selected": None},
        {"load": "a", "n": 4, "do": "deleted", "id": "f", "selected": None},
        {"load": "a", "n": 5, "do": "moved", "id": "gone", "part": [], "geometry": {}, "selected": None},
        "no act",
        {"do": "moved"},
    ]
    first, seen = edits_of(acts[:1], shown, ("", 0))
    assert first == Edits(changed=(("f", {"type": "Point", "coordinates": [1.5, 2.0]}),), selected="f")
    second, seen = edits_of(acts, shown, seen)
    assert second == Edits(
        added=(("gate", {"type": "Point", "coordinates": [1.25, 2]}, "f"),), deleted=("f",), clicked=(1.1234568, 2)
    )
    assert edits_of(acts, shown, seen) == (Edits(), ("a", 5))
    later, _ = edits_of([{**acts[0], "load": "b"}], shown, seen)
    assert later.changed
    assert edits_of(None, shown, seen) == (Edits(), seen)


def test_refuses_a_map_above_85_degrees_in_a_sentence() -> None:
    assert why_no_map(view({"type": "Point", "coordinates": [10, 84.9]}, (10, 84.9))) is None
    sentence = why_no_map(view({"type": "Point", "coordinates": [10, -86]}, (10, -84)))
    assert sentence is not None
    assert "above 85°" in sentence
