"""Thousands of heaps on the map: which are drawn one by one, which stand as one sign, and how a scene travels."""

import json
import random
import re
from pathlib import Path
from typing import Any

from sitemap.maps.editable import base_map, packed
from sitemap.maps.scene import KilnSize, Limits, MapFeature, MapView, Thing, payload
from tests.javascript import answer

SCRIPT = Path(__file__).parents[2] / "sitemap" / "maps" / "script"
KILNS = 2

# A map 400 pixels wide of a flat world of which a degree is a pixel at zoom 0; the page's own parts as far as asked.
MAP = """(() => {
  const group = { addTo: () => group };
  globalThis.document = { createElement: () => ({ style: {} }) };
  globalThis.L = {
    layerGroup: () => group, divIcon: (icon) => icon, latLng: (lat, lng) => ({ lat, lng }),
    marker: (at) => { const mark = { at, addTo: () => mark, on: () => mark, remove: () => mark }; return mark; },
  };
  const map = {
    project: ({ lat, lng }) => ({ x: lng, y: lat }), getZoom: () => data.zoom,
    getPixelBounds: () => ({ min: { x: 0, y: 0 }, max: { x: 400, y: 400 } }),
  };
  const crowd = new m.Crowd(map, { gathers: (kind) => kind === "pile", of: () => ({ stroke: "", fill: "" }) });
  crowd.follow(data.places.map((coordinates, n) => ({
    id: n, kind: n < data.kilns ? "kiln_spot" : "pile", geometry: { type: "Point", coordinates },
  })));
  const alone = crowd.shown(data.chosen).map(({ id }) => id);
  return { alone, groups: [...crowd.groups.values()].map(({ mark, count }) => ({ count, at: mark.at })) };
})()"""


def strewn(count: int) -> list[list[float]]:
    chance = random.Random(5)
    return [[round(chance.uniform(0, 400), 1), round(chance.uniform(0, 400), 1)] for _ in range(count)]


def shown(data: dict[str, Any], memory: Path) -> Any:
    return answer(SCRIPT / "crowd.js", MAP, data, memory)


def test_law_each_heap_in_sight_is_drawn_or_counted_once(tmp_path: Path) -> None:
    found = shown({"places": strewn(5000), "kilns": KILNS, "chosen": [7], "zoom": 0}, tmp_path)
    assert len(found["alone"]) == len(set(found["alone"]))
    assert {*range(KILNS), 7} <= set(found["alone"])  # what is chosen and what is never gathered
    assert sum(group["count"] for group in found["groups"]) + len(found["alone"]) == 5000
    assert len(found["groups"]) + len(found["alone"]) < 60  # 400 pixels hold six signs beside each other


def test_law_few_heaps_are_drawn_one_by_one(tmp_path: Path) -> None:
    found = shown({"places": strewn(200 + KILNS), "kilns": KILNS, "chosen": [], "zoom": 0}, tmp_path)
    assert (found["alone"], found["groups"]) == ([*range(200 + KILNS)], [])


def test_law_of_many_those_in_sight_are_told_apart_once_they_are_few(tmp_path: Path) -> None:
    places = strewn(5000)
    found = shown({"places": places, "kilns": KILNS, "chosen": [], "zoom": 4}, tmp_path)
    near = {n for n, place in enumerate(places) if max(place) < 500 / 16}  # in sight, and a rim of 100 pixels
    assert (set(found["alone"]), found["groups"]) == ({*range(KILNS), *near}, [])


def test_law_nothing_but_heaps_is_gathered() -> None:
    (setup,) = re.findall(r'\(map_[0-9a-f]+, JSON\.parse\("(.*)"\)\);', base_map().get_root().render())
    assert json.loads(json.loads(f'"{setup}"'))["gathers"] == ["pile", "windrow"]


def test_law_a_scene_arrives_as_it_was_sent(tmp_path: Path) -> None:
    point, line = {"type": "Point", "coordinates": [10.0, 50.0, 312.5]}, [[10.0, 50.0], [10.001, 50.0]]
    view = MapView(
        "x",
        (10.0, 50.0),
        (
            MapFeature("p1", "pile", "P1", "P1", point),
            MapFeature("p2", "pile", "P2", "P2 · burned", point),
            MapFeature("p3", "pile", "P3", "", point),
            MapFeature("k1", "kiln_spot", "Kiln 1", "Kiln 1", point, "ruled out", "K1"),
            MapFeature("w1", "windrow", "W1", "W1", {"type": "MultiLineString", "coordinates": [line, line]}),
        ),
        limits=Limits((KilnSize("k1", 1.2, 5.0),), (Thing("p1", "P1", 8.0, 5.0, 2.5), Thing("b", "House", 30.0, 1.0))),
    )
    scene = payload(view, ("load", 3))
    assert answer(SCRIPT / "unpacked.js", "m.unpacked(data)", packed(scene), tmp_path) == scene
