"""Sites to plan for: the sample, and small ones made for one question."""

from __future__ import annotations

import datetime as dt
from functools import cache
from pathlib import Path
from typing import Any

from sitemap.assessment import Assessment, assess
from sitemap.site.file import read_site
from sitemap.site.model import Feature, Site
from sitemap.terrain.of_site import terrain_of

SAMPLES = Path(__file__).parents[2] / "sample_sites"
ON = dt.date(2026, 5, 20)
RING = {"id": "ring", "name": "Ring", "shape": "ring", "diameter_m": 1.5, "height_m": 0.9, "has_floor": True}


def as_typed(text: str) -> str:
    """Text of a paper without what keeps a figure and its unit on one line."""
    return text.replace("\u2060", "").replace("\u00a0", " ")


@cache
def sample(name: str = "juniper_bench") -> Assessment:
    """A sample site with its elevation, on its own burn date."""
    site = read_site(SAMPLES / f"{name}.geojson")
    entry = (site.member.get("files") or {}).get("terrain")
    terrain = terrain_of(site, str(SAMPLES / str(entry["name"])), entry.get("unit")) if entry else None
    on = site.section("season").date("date")
    assert on is not None
    return assess(site, terrain, on=on)


def point(id: str, kind: str, lon: float, lat: float, **values: Any) -> Feature:  # noqa: A002
    """One feature at a place."""
    return Feature.of(id, {"type": "Point", "coordinates": [lon, lat]}, {"kind": kind, **values})


def site(*features: Feature, **member: Any) -> Site:
    """A site of these features; `member` are keys of the `site` member."""
    made = Site(features)
    for key, value in {"name": "Somewhere", "units": "metric", "timezone": "UTC", **member}.items():
        made = made.with_member(key, value)
    return made


def one_kiln(lon: float = 15.0, lat: float = 60.0, **member: Any) -> Site:
    """A kiln, a heap and a tank within sight of each other.

    kiln at the place given, heap 40 m north, tank 30 m east
    """
    north, east = 40 / 111_320, 30 / 111_320 / 0.5
    return site(
        point("k1", "kiln_spot", lon, lat, name="K1", kiln="ring"),
        point("p1", "pile", lon, lat + north, name="P1", length_m=6, width_m=4, height_m=2),
        point("w1", "water_source", lon + east, lat, name="Tank", source="tank", volume_l=5000),
        equipment={"kilns": [RING]},
        **member,
    )


def assessed(what: Site, on: dt.date = ON) -> Assessment:
    """What a site means on a day, without elevation."""
    return assess(what, on=on)


CURVE = [[0, 62], [40, 58], [90, 47], [160, 20]]  # flow [L/min] and head [m] of a pump, from point to point
PUMPS = [
    {"id": "first", "name": "First", "curve": CURVE, "suction_bore_mm": 38, "suction_length_m": 4},
    {"id": "second", "name": "Second", "max_head_m": 40, "max_flow_l_min": 150},
]


def pumped(relay: dict[str, Any], lift_m: float = 25, pumps: Any = PUMPS, **member: Any) -> Site:
    """The kiln above a pond with two pumps, the first by a table of points; relay : what stands on the way."""
    east = 130 / 111_320 / 0.5
    hoses = [
        {"id": "wide", "name": "Wide", "bore_mm": 38.1, "lengths_m": [20, 20, 20]},
        {"id": "thin", "name": "Thin", "bore_mm": 25.4, "lengths_m": [20] * 6},
    ]
    pond = {"source": "pond", "volume_l": 60_000, "usable_on_date": True, "permission": "yes", "pump": "first"}
    made = one_kiln(crew={"adults": 4}, **member)
    kit = {"kilns": [RING], "pumps": pumps, "hoses": hoses, "nozzles": [{"id": "tip", "name": "Tip", "bore_mm": 7}]}
    kit["tanks"] = [{"id": "between", "name": "Between", "volume_l": 1000}]
    water = point(
        "pond", "water_source", 15.0 + east, 60.0, name="Pond", suction_lift_m=1.5, nozzle="tip", **pond, **relay
    )
    link = {"source": "pond", "spot": "k1", "lift_m": lift_m, "lift_error_m": 1.0}
    left = made.features[:2]
    return Site((*left, water), made.member).with_member("equipment", kit).with_member("links", [link])


RELAYS = {
    "table": {},
    "relay pump": {"relay": "pump", "relay_pump": "second", "relay_after_m": 70},
    "relay tank": {"relay": "tank", "relay_pump": "second", "relay_tank": "between", "relay_after_m": 70},
}
