"""Whole sites for the tests from outside: a site file as a stranger writes it goes in, the JSON report comes out."""

from __future__ import annotations

import datetime as dt
import json
from typing import Any

from geographiclib.geodesic import Geodesic

from sitemap.assessment import assess
from sitemap.report import report_of
from sitemap.site.file import parse_site
from sitemap.site.seen import all_confirmed

ON = dt.date(2026, 6, 20)
HERE = (-120.6, 44.0)
Place = tuple[float, float]


def off(place: Place, azimuth: float, metres: float) -> Place:
    """The place so far off along the geodesic (geographiclib)."""
    end = Geodesic.WGS84.Direct(place[1], place[0], azimuth, metres)
    return float(end["lon2"]), float(end["lat2"])


def at(east: float, north: float, origin: Place = HERE) -> Place:
    return off(off(origin, 90.0, east), 0.0, north)


def point(place: Place) -> dict[str, Any]:
    return {"type": "Point", "coordinates": list(place)}


def line(*places: Place) -> dict[str, Any]:
    return {"type": "LineString", "coordinates": [list(place) for place in places]}


def polygon(*places: Place) -> dict[str, Any]:
    return {"type": "Polygon", "coordinates": [[list(place) for place in (*places, places[0])]]}


def thing(kind: str, id: str, geometry: Any, **said: Any) -> dict[str, Any]:  # noqa: A002
    return {"type": "Feature", "id": id, "geometry": geometry, "properties": {"kind": kind, **said}}


def report(*features: dict[str, Any], on: dt.date = ON, **member: Any) -> dict[str, Any]:
    """The report of a site whose facts were all seen on the day, where its things stand."""
    site = {"format": 1, "name": "Test", "units": "metric", **member}
    text = json.dumps({"type": "FeatureCollection", "site": site, "features": list(features)})
    return report_of(assess(all_confirmed(parse_site(text), on), on=on))


BOX = {
    "name": "Box",
    "shape": "box",
    "length_m": 2.4,
    "width_m": 1.2,
    "height_m": 0.9,
    "holds_water": "yes",
    "fill_fraction": 0.85,
}
HEAP = {
    "shape": "dome",
    "length_m": 8,
    "width_m": 6,
    "height_m": 2.5,
    "packing_ratio": 0.2,
    "wood": "ponderosa pine",
    "soil_fraction": 0.05,
    "char_stock_fraction": 0.7,
    "thickest_cm": 12,
    "moisture_pct": 20,
    "moisture_basis": "dry",
}
READY = {"usable_on_date": True, "permission": "yes", "suction_lift_m": 0}  # a source that can be used
