"""A heap's way from the file to its tonnes: few modules, and no room twice.

A module is on the way where one of its functions is handed the heap itself: as the file has it, as a feature, as the
record that was read, or as a row of drawn numbers. Formulas and tables, which are handed numbers, are not; nor is what
a record or a feature answers of itself; nor is what stands in no room and takes things of any kind (blocks of them).
"""

from __future__ import annotations

import json
import sys
from collections.abc import Callable
from pathlib import Path
from types import FrameType
from typing import Any

from sitemap.site.file import parse_site
from sitemap.site.model import Feature
from sitemap.slash.heaps import Row
from sitemap.slash.of_site import slash_of
from sitemap.slash.records import Heap
from sitemap.slash.result import Slash

PACKAGE = Path(__file__).parents[2] / "sitemap"
MOST = 8  # modules
SAID = {
    "kind": "pile",
    "name": "By the gate",
    "shape": "dome",
    "length_m": 4.1,
    "width_m": 3.2,
    "height_m": 1.7,
    "packing": "tops",
    "soil": "some",
    "wood": "scots_pine",
    "moisture_pct": 31,
    "moisture_basis": "wet",
}
FILE = {
    "type": "FeatureCollection",
    "site": {"units": "metric"},
    "features": [{"type": "Feature", "id": "a", "geometry": None, "properties": SAID}],
}


def test_law_a_heap_passes_few_modules_and_no_room_twice() -> None:
    way: list[tuple[str, bool]] = []
    found = traced(lambda: tonnes(json.dumps(FILE)), way)
    assert found.dry_t.likely > 0
    modules = [name for name, handed in way if handed and "." in name]
    assert {"site.file", "slash.reading", "slash.lots"} < set(modules), "the way was seen"
    assert len(set(modules)) <= MOST, modules
    rooms = [name.split(".")[0] for name in modules]
    assert rooms == sorted(rooms), "from the room of the site to that of the slash, and not back"
    read = max(number for number, (name, _) in enumerate(way) if name == "slash.reading")
    assert not [name for name, _ in way[read + 1 :] if name.startswith("site.")], "once read, no word is read again"


def tonnes(text: str) -> Slash:
    return slash_of(parse_site(text).of_kind("pile", "windrow"), (), (), None)


def traced(work: Callable[[], Slash], way: list[tuple[str, bool]]) -> Slash:
    """What some work gives; `way` takes the modules in the order met, and whether one was handed the heap."""

    def met(frame: FrameType, event: str, _: object) -> None:
        code = frame.f_code
        if event != "call" or not code.co_filename.startswith(str(PACKAGE)):
            return
        given = [frame.f_locals.get(name) for name in code.co_varnames[: code.co_argcount]]
        of_itself = bool(given) and code.co_varnames[0] == "self"
        handed = any(_is_heap(each) for each in given[1 if of_itself else 0 :])
        module = ".".join(Path(code.co_filename).relative_to(PACKAGE).with_suffix("").parts)
        if (module, handed) not in way[-1:]:
            way.append((module, handed))

    sys.setprofile(met)
    try:
        return work()
    finally:
        sys.setprofile(None)


def _is_heap(given: Any) -> bool:
    if isinstance(given, tuple | list):
        return any(_is_heap(each) for each in given)
    raw = isinstance(given, dict) and given.get("id") == "a" and "properties" in given
    return raw or isinstance(given, Feature | Heap | Row)
