"""Features drawn in metres round one invented place, so that a test can be read with a ruler."""

from __future__ import annotations

import shapely

from sitemap.geodesy.plane import Plane
from sitemap.site.equipment import EQUIPMENT, RECORDS
from sitemap.site.frozen import FrozenDict
from sitemap.site.model import Entry, Feature, Item

PLANE = Plane(-121.3, 44.06)


def feature(id: str, kind: str, shape: shapely.Geometry | None, **values: object) -> Feature:  # noqa: A002
    """One feature from a shape in metres, east and north of the plane's centre."""
    geometry = None if shape is None else shapely.geometry.mapping(PLANE.inverse(shape))
    return Feature.of(id, geometry, {"kind": kind, **values})


def record(kind: str, /, **values: object) -> Entry:
    """One record of the `site` member."""
    return Entry(FrozenDict(values), RECORDS[kind].attributes)


def machine(**values: object) -> Item:
    """One machine."""
    return Item(FrozenDict({"id": "digger", **values}), EQUIPMENT["machines"].attributes)


AGREED = record("asked", whom="authority", name="A. Warden", date="2026-11-20", answer="yes")
LOOKED = tuple(
    record("looked", kind=kind, within_m=200, who="B. Owner", when="2026-11-19")
    for kind in (
        "structure",
        "standing_timber",
        "road",
        "stream",
        "wetland",
        "power_line",
        "buried_line",
        "railway",
        "property_line",
        "hazard_tree",
    )
)
