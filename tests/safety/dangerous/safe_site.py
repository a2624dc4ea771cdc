"""A safe site of our own, on which both kilns may be lit, and short ways to change one thing of it.

Level ground about a pond, invented. K1 stands at the middle; distances east and north of it are in metres, so that what
a row of the table changes can be read off this page. Everything is in place: looked, asked and seen with name, place
and date; two lines of water, each on gear of its own; people, ways out and a refuge.
"""

from __future__ import annotations

import copy
import datetime as dt
import json
from typing import Any, Self

from sitemap.assessment import Assessment, assess
from sitemap.geodesy.plane import Plane
from sitemap.site.file import parse_site
from sitemap.site.model import Site

BURN = dt.date(2026, 5, 20)
SEEN = "2026-05-15"
PLANE = Plane(-120.6, 44.0)
Values = dict[str, Any]
Place = tuple[float, float]


def lonlat(x: float, y: float) -> list[float]:
    """A place east and north of K1 [m] as longitude and latitude."""
    lon, lat = PLANE.lonlat(x, y)
    return [round(float(lon), 7), round(float(lat), 7)]


def point(x: float, y: float) -> Values:
    return {"type": "Point", "coordinates": lonlat(x, y)}


def line(*places: Place) -> Values:
    return {"type": "LineString", "coordinates": [lonlat(x, y) for x, y in places]}


def area(*places: Place) -> Values:
    return {"type": "Polygon", "coordinates": [[lonlat(x, y) for x, y in (*places, places[0])]]}


def square(x: float, y: float, side_m: float) -> Values:
    a = side_m / 2
    return area((x - a, y - a), (x + a, y - a), (x + a, y + a), (x - a, y + a))


class SafeSite:
    """The safe site as a file, to be changed and then assessed; every change returns the site, so that they chain."""

    def __init__(self) -> None:
        whole = copy.deepcopy(_SAFE)
        self.features: dict[str, Values] = whole["features"]
        self.member: Values = whole["member"]

    def put(self, key: str, **said: Any) -> Self:
        """Say something of a feature; None takes it away."""
        _say(self.features[key]["properties"], said)
        return self

    def move(self, key: str, east: float, north: float) -> Self:
        """Move a feature that is a point, its stamps untouched."""
        x, y = (float(part) for part in PLANE.xy(*self.features[key]["geometry"]["coordinates"]))
        self.features[key]["geometry"] = point(x + east, y + north)
        return self

    def draw(self, key: str, geometry: Values | None) -> Self:
        """Draw a feature anew."""
        self.features[key]["geometry"] = geometry
        return self

    def add(self, kind: str, geometry: Values | None, key: str = "new", **said: Any) -> Self:
        """Put another feature on the map."""
        properties = {"kind": kind, "name": key.upper(), **said}
        self.features[key] = {"type": "Feature", "id": key, "geometry": geometry, "properties": properties}
        return self

    def drop(self, *keys: str) -> Self:
        """Take features off the map, or records out of their lists (`record`)."""
        for key in keys:
            del self.features[key]
        return self

    def gear(self, of: str, key: str, **said: Any) -> Self:
        """Say something of a piece of equipment; None takes it away."""
        _say(next(item for item in self.member["equipment"][of] if item["id"] == key), said)
        return self

    def say(self, section: str, **said: Any) -> Self:
        """Say something in a section of the site: crew, permit, season."""
        _say(self.member[section], said)
        return self

    def record(self, of: str, number: int, **said: Any) -> Self:
        """Say something in one record of a list: asked, looked, rules, links."""
        _say(self.member[of][number], said)
        return self

    def looked(self, kind: str, **said: Any) -> Self:
        """Say something in the record of what was looked for."""
        _say(next(each for each in self.member["looked"] if each["kind"] == kind), said)
        return self

    def asked(self, whom: str, **said: Any) -> Self:
        """Say something in the record of who was asked."""
        _say(next(each for each in self.member["asked"] if each["whom"] == whom), said)
        return self

    def without(self, of: str, **which: Any) -> Self:
        """Take out of a list every record that says so."""
        kept = [each for each in self.member[of] if any(each.get(key) != value for key, value in which.items())]
        assert len(kept) < len(self.member[of]), "nothing was taken out"
        self.member[of] = kept
        return self

    def with_record(self, of: str, **said: Any) -> Self:
        """Write one more record into a list."""
        self.member[of].append(said)
        return self

    def seen(self, key: str, **said: Any) -> Self:
        """Change the stamp of a feature's facts; None takes a part away."""
        _say(self.features[key]["properties"]["seen"]["*"], said)
        return self

    def seen_link(self, number: int, **said: Any) -> Self:
        """Change the stamp of the facts of a water source and a kiln spot together."""
        _say(self.member["links"][number]["seen"]["*"], said)
        return self

    def waters(self, **said: Any) -> Self:
        """Say something of pond and tank alike: else the one stands in for the other."""
        return self.put("pond", **said).put("tank", **said)

    def lines(self, **said: Any) -> Self:
        """Say something of every pair of a water source and a kiln."""
        for number in range(len(self.member["links"])):
            self.record("links", number, **said)
        return self

    def lines_seen(self, **said: Any) -> Self:
        """Change the stamps of the facts of every pair of a water source and a kiln."""
        for number in range(len(self.member["links"])):
            self.seen_link(number, **said)
        return self

    def pumps(self, **said: Any) -> Self:
        """Say something of both pumps."""
        return self.gear("pumps", "pump", **said).gear("pumps", "pump-2", **said)

    def hoses(self, **said: Any) -> Self:
        """Say something of both hoses."""
        return self.gear("hoses", "hose", **said).gear("hoses", "hose-2", **said)

    def lay_from(self, source: str, profile: list[list[float]]) -> Self:
        """A hose lay drawn from a water source to K1, with its heights: distance and height above the water [m]."""
        start = (0.0, -40.0) if source == "pond" else TANK
        said = {"from_source": source, "to_spot": "k1", "profile": profile}
        return self.add("hose_lay", line(start, (0, -1)), f"lay-{source}", **said)

    def seen_season(self, **said: Any) -> Self:
        """Change the stamp of ban and surroundings."""
        _say(self.member["season"]["seen"]["*"], said)
        return self

    def say_ban(self, on: str) -> Self:
        """Have asked about the fire ban on that day alone."""
        self.member["season"]["seen"]["ban"] = {"on": on}
        return self

    def machine(self, **said: Any) -> Self:
        """Have a machine on site."""
        self.member["equipment"]["machines"] = [{"id": "digger", "name": "Digger", **said}]
        return self

    def pipe(self) -> Self:
        """A pipe in the ground 90 m to the south-west, beyond every usual distance."""
        return self.add("buried_line", line((-90, -300), (-90, 300)))

    def ring(self) -> Self:
        """A floorless ring instead of the box."""
        ring = {"shape": "ring", "diameter_m": 1.6, "height_m": 0.7, "length_m": None, "width_m": None}
        return self.gear("kilns", "box", **ring, holds_water="no_floor", has_floor=False)

    def links_of(self, source: str) -> Self:
        """Keep the facts of one water source and the kilns alone."""
        self.member["links"] = [link for link in self.member["links"] if link["source"] == source]
        return self

    def kiln_like(self, old: str, key: str, x: float, y: float) -> Self:
        """One more kiln spot like another, seen at its own place, with the bucket tests of the other."""
        kiln = copy.deepcopy(self.features[old])
        kiln["id"], kiln["geometry"] = key, point(x, y)
        kiln["properties"] |= {"name": key.upper(), "seen": _stamp(x, y)}
        self.features[key] = kiln
        for link in [each for each in self.member["links"] if each["spot"] == old]:
            again = copy.deepcopy(link)
            again["spot"], again["seen"]["*"]["spot_at"] = key, lonlat(x, y)
            self.member["links"].append(again)
        return self

    def top(self, **said: Any) -> Self:
        """Say something of the site as a whole: time zone, units; None takes it away."""
        _say(self.member, said)
        return self

    def text(self) -> str:
        """The site file."""
        features = list(self.features.values())
        return json.dumps({"type": "FeatureCollection", "site": self.member, "features": features})

    def site(self) -> Site:
        return parse_site(self.text())

    def assessed(self, today: dt.date | None = None) -> Assessment:
        """The assessment for the burn date of the site, looked at on a day; without one, on the burn date."""
        site = self.site()
        return assess(site, None, on=site.section("season").date("date"), today=today)


def _say(values: Values, said: Values) -> None:
    for name, value in said.items():
        if value is None:
            del values[name]
        else:
            values[name] = value


def _stamp(x: float, y: float) -> Values:
    return {"*": {"on": SEEN, "at": lonlat(x, y), "who": "Somebody"}}


def _feature(kind: str, key: str, geometry: Values, **said: Any) -> Values:
    properties = {"kind": kind, "name": key.upper(), **said}
    return {"type": "Feature", "id": key, "geometry": geometry, "properties": properties}


K1, K2 = (0.0, 0.0), (24.0, 0.0)
POND = ((-40.0, -80.0), (40.0, -80.0), (40.0, -40.0), (-40.0, -40.0))
TANK = (12.0, 10.0)


def _kilns() -> list[Values]:
    ground = {"ground": "mineral_soil", "branches_overhead": "none", "slope_pct": 2, "fuel_upslope": "no"}
    more = {"kiln": "box", "quench_method": "flooded", "position_error_m": 0.5}
    heaps = {"k1": ["p1"], "k2": ["p2"]}
    return [
        _feature("kiln_spot", key, point(*at), **ground, **more, serves=heaps[key], seen=_stamp(*at))
        for key, at in (("k1", K1), ("k2", K2))
    ]


def _heaps() -> list[Values]:
    readings = [
        {"moisture_pct": pct, "basis": "dry", "date": SEEN, "thickness_cm": 8, "where": "core"}
        for pct in (14, 15, 16, 15, 14, 16)
    ]
    size = {"shape": "dome", "length_m": 5, "width_m": 4, "height_m": 1.6, "thickest_cm": 10}
    said = {"wood": "ponderosa pine", "packing": "tops", "soil": "none", "readings": readings, "position_error_m": 1}
    return [
        _feature("pile", key, point(*at), **size, **said) for key, at in (("p1", (-18.0, 14.0)), ("p2", (40.0, 14.0)))
    ]


def _water() -> list[Values]:
    said = {"usable_on_date": True, "permission": "yes", "permission_from": "Owner of the water"}
    pond = _feature(
        "water_source",
        "pond",
        area(*POND),
        source="pond",
        depth_m=3,
        suction_lift_m=1,
        water_temperature_c=12,
        pump="pump",
        hose=[{"hose": "hose", "length_m": 80}],
        nozzle="fog",
        position_error_m=1,
        seen=_stamp(0, -60),
        **said,
    )
    tank = _feature(
        "water_source",
        "tank",
        point(*TANK),
        source="tank",
        volume_l=6000,
        suction_lift_m=0,
        water_temperature_c=12,
        pump="pump-2",
        hose=[{"hose": "hose-2", "length_m": 40}],
        nozzle="tip",
        position_error_m=1,
        seen=_stamp(*TANK),
        **said,
    )
    return [pond, tank]


def _around() -> list[Values]:
    return [
        _feature("railway", "rail", line((-300, 160), (300, 160)), position_error_m=1),
        _feature("property_line", "edge", line((150, -300), (150, 300)), position_error_m=1),
        _feature("power_line", "wire", line((-200, -300), (-200, 300)), overhead=True, voltage_kv=20),
        _feature("standing_timber", "pines", area((-60, 90), (60, 90), (60, 130), (-60, 130)), height_m=18),
        _feature("structure", "shed", square(-70, -20, 6), use="own"),
        _feature("smoke_place", "farm", point(900, 900), what="home", phone="000 0001"),
        _feature("logged_area", "area", area((-60, -30), (80, -30), (80, 60), (-60, 60))),
    ]


def _crew_places() -> list[Values]:
    return [
        _feature("escape_route", "out-1", line((-5, -5), (-60, -30), (-140, -30))),
        _feature("escape_route", "out-2", line((5, 5), (60, 40), (120, 60))),
        _feature("refuge", "refuge", square(-120, 40, 60)),
        _feature("meeting_point", "meet", point(-100, -40)),
        _feature("lookout", "look", point(-30, 40)),
        _feature("gate", "gate", point(120, 60)),
        _feature("parking", "park", square(-110, -50, 10)),
        _feature("turning_place", "turn", square(110, 50, 16)),
        _feature("char_pad", "pad", square(12, -14, 4)),
        _feature("control_line", "cleared", line((-20, -22), (46, -22), (46, 24), (-24, 24), (-20, -22)), width_m=1),
    ]


def _looked() -> list[Values]:
    kinds = ("structure", "road", "stream", "wetland", "buried_line", "hazard_tree")
    return [{"kind": kind, "within_m": 400, "who": "Somebody", "when": SEEN} for kind in kinds]


def _asked() -> list[Values]:
    def said(whom: str, name: str, about: str = "") -> Values:
        return {"whom": whom, "name": name, "date": SEEN, "answer": "yes"} | ({"about": about} if about else {})

    return [
        said("authority", "Officer on duty"),
        said("line_owner", "Railway control", "rail"),
        said("neighbour", "Neighbour to the east", "edge"),
    ]


def _rules() -> list[Values]:
    source = {"condition": "as its owner asked", "source": "its owner", "standing": "C"}
    return [
        {"id": "rail", "kind": "railway", "distance_m": 50, **source},
        {"id": "edge", "kind": "property_line", "distance_m": 30, **source},
    ]


def _links() -> list[Values]:
    def link(source: str, at: Place, spot: str, where: Place, seconds: float, lift_m: float) -> Values:
        seen = {"on": SEEN, "source_at": lonlat(*at), "spot_at": lonlat(*where), "who": "Somebody"}
        tested = {"bucket_litres": 20, "bucket_seconds": seconds}
        return {
            "source": source,
            "spot": spot,
            "lift_m": lift_m,
            "lift_error_m": 0.5,
            **tested,
            "seen": {"*": seen},
        }

    spots = (("k1", K1), ("k2", K2))
    pond = [link("pond", (0, -60), spot, where, 9, 2) for spot, where in spots]
    return pond + [link("tank", TANK, spot, where, 9, 0.5) for spot, where in spots]


def _equipment() -> Values:
    box = {"id": "box", "name": "Box", "shape": "box", "length_m": 2, "width_m": 1.2, "height_m": 0.7}
    box |= {"holds_water": "yes", "has_floor": True, "plate_thickness_mm": 4, "piece_limit_cm": 12, "feed_kg_h": 170}
    pump = {"max_head_m": 80, "max_flow_l_min": 400, "worn": "new", "suction_bore_mm": 50, "suction_length_m": 5}
    fog = {"rated_flow_l_min": 150, "rated_pressure_kpa": 500, "fog": True}
    hose = {"bore_mm": 38, "rated_kpa": 1500}
    return {
        "kilns": [box | {"count": 2}],
        "pumps": [{"id": key, "name": key.capitalize(), **pump} for key in ("pump", "pump-2")],
        "hoses": [
            {"id": "hose", "name": "Hose", **hose, "lengths_m": [20] * 4},
            {"id": "hose-2", "name": "Hose 2", **hose, "lengths_m": [20] * 2},
        ],
        "nozzles": [{"id": "fog", "name": "Fog", **fog}, {"id": "tip", "name": "Straight tip", "bore_mm": 10}],
    }


def _member() -> Values:
    return {
        "format": 1,
        "name": "Safe site (invented)",
        "units": "metric",
        "timezone": "America/Los_Angeles",
        "language": "en",
        "equipment": _equipment(),
        "crew": {"leader": "Somebody", "phone": "000 0002", "adults": 12, "rakers": 2, "carriers": 2, "feeders": 2}
        | {"first_aid": "Kit at the meeting point", "hospital": "Invented, 30 min", "emergency": "000"},
        "permit": {"number": "1", "authority": "Invented", "from": "2026-05-01", "to": "2026-06-15"},
        "season": {
            "date": BURN.isoformat(),
            "date_walked": SEEN,
            "surroundings": "green",
            "ban": "none",
            "fuel_height_m": 0.3,
            "wind_from_deg": 270,
            "seen": {"*": {"on": SEEN, "who": "Somebody"}},
        },
        "looked": _looked(),
        "asked": _asked(),
        "rules": _rules(),
        "links": _links(),
    }


def _whole() -> Values:
    features = (*_kilns(), *_heaps(), *_water(), *_around(), *_crew_places())
    return {"features": {feature["id"]: feature for feature in features}, "member": _member()}


_SAFE = _whole()
