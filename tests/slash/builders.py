"""Small sites for the tests of the room, their shapes given in metres on the plane."""

from __future__ import annotations

import json

import shapely

from sitemap.geodesy.plane import Plane
from sitemap.site.model import Feature
from sitemap.slash.of_site import slash_of

PLANE = Plane(-121.3, 44.1)
# A pile that leaves nothing blank but its moisture: dome 6 × 4 × 2 m.
FULL = {
    "kind": "pile",
    "shape": "dome",
    "length_m": 6.0,
    "width_m": 4.0,
    "height_m": 2.0,
    "packing": "tops",
    "wood": "ponderosa_pine",
    "soil": "none",
    "char_stock_fraction": 0.6,
    "oversize_fraction": 0.3,
    "fines_fraction": 0.1,
}


def feature(id_, shape_m=None, **values):
    """A feature, its shape given in metres on the plane."""
    geometry = None if shape_m is None else json.loads(shapely.to_geojson(PLANE.inverse(shape_m)))
    return Feature.of(id_, geometry, {"name": id_.upper(), **values})


def pile(id_, shape_m=None, **changes):
    values = {key: value for key, value in {**FULL, **changes}.items() if value is not None}
    return feature(id_, shape_m, **values)


def line(id_, **values):
    return feature(id_, values.pop("shape_m", None), kind="transect", **values)


def area(id_, shape_m):
    return feature(id_, shape_m, kind="logged_area")


def slash(*features, plane=PLANE):
    def of(*kinds):
        return tuple(f for f in features if f.kind in kinds)

    return slash_of(of("pile", "windrow"), of("transect"), of("logged_area"), plane)


def whats(notes):
    return {note.what for note in notes}


def note(notes, what):
    found = [each for each in notes if each.what == what]
    assert len({each.told() for each in found}) == 1
    return found[0]
