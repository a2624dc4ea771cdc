"""Features drawn in metres round one invented place, so that a test can be read with a ruler."""

from __future__ import annotations

import shapely

from sitemap.geodesy.plane import Plane
from sitemap.safety.reading import read_asked, read_looked, read_machine, read_thing, shape_on
from sitemap.safety.records import Asked, Looked, Machine
from sitemap.safety.rules import look_for
from sitemap.safety.targets import Target, sized_heap, target_of
from sitemap.site.equipment import EQUIPMENT, RECORDS
from sitemap.site.frozen import FrozenDict
from sitemap.site.model import Entry, Feature, Item
from sitemap.slash.of_site import slash_of

PLANE = Plane(-121.3, 44.06)


def feature(id: str, kind: str, shape: shapely.Geometry | None, **values: object) -> Feature:  # noqa: A002
    """One feature from a shape in metres, east and north of the plane's centre."""
    geometry = None if shape is None else shapely.geometry.mapping(PLANE.inverse(shape))
    return Feature.of(id, geometry, {"kind": kind, **values})


def record(kind: str, /, **values: object) -> Entry:
    """One record of the `site` member."""
    return Entry(FrozenDict(values), RECORDS[kind].attributes)


def machine(**values: object) -> Machine:
    """One machine as it is read."""
    return read_machine(Item(FrozenDict({"id": "digger", **values}), EQUIPMENT["machines"].attributes))


def asked(**values: object) -> Asked:
    """Somebody who was asked."""
    return read_asked(record("asked", **values))


def looked(**values: object) -> Looked:
    """What somebody looked for."""
    return read_looked(record("looked", **values))


def heap_m3(*features: Feature) -> tuple[tuple[str, float, float], ...]:
    """Volume of each heap, likely and at its high end [m³], as the program reckons it."""
    heaps = tuple(each for each in features if each.kind in ("pile", "windrow"))
    items = slash_of(heaps, (), (), PLANE).items
    return tuple((item.id, item.gross_m3.likely, item.gross_m3.high) for item in items if item.gross_m3 is not None)


def target(drawn: Feature) -> Target:
    """One feature as the rules see it."""
    found = target_of(read_thing(drawn), shape_on(drawn, PLANE))
    volumes = {heap: (likely, high) for heap, likely, high in heap_m3(drawn)}
    return sized_heap(found, volumes.get(drawn.id)) if found.use in ("heap", "staged") else found


SIGNED = {"met_by": "B. Owner", "met_on": "2026-11-21"}  # a tick that each condition is met
AGREED = asked(whom="authority", name="A. Warden", date="2026-11-20", answer="yes")
HERE = {"*": {"around": [[float(part) for part in PLANE.lonlat(0.0, 0.0)]]}}  # round the middle of the plane
LOOKED = tuple(looked(kind=kind, within_m=200, who="B. Owner", when="2026-11-19", seen=HERE) for kind in look_for())
