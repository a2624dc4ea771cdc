"""What stands and was said on the safe site: drawn in metres east and north of K1, invented."""

from __future__ import annotations

import datetime as dt
from typing import Any

from sitemap.geodesy.plane import Plane
from sitemap.safety.rules import look_for

BURN = dt.date(2026, 5, 20)
SEEN = "2026-05-15"
CALM = {"wind_m_s": 2.5, "gust_m_s": 4, "humidity_pct": 60, "temperature_c": 14, "quiet": 72}  # inside every limit
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


def stamp(x: float, y: float) -> Values:
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
        _feature("kiln_spot", key, point(*at), **ground, **more, serves=heaps[key], seen=stamp(*at))
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
        seen=stamp(0, -60),
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
        seen=stamp(*TANK),
        **said,
    )
    return [pond, tank]


def _around() -> list[Values]:
    return [
        _feature("railway", "rail", line((-190, 160), (190, 160)), position_error_m=1),
        _feature("property_line", "edge", line((150, -190), (150, 190)), position_error_m=1),
        _feature("power_line", "wire", line((-200, -190), (-200, 190)), overhead=True, voltage_kv=20),
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
    seen = {"*": {"around": [lonlat(*K1), lonlat(*K2)]}}
    return [{"kind": kind, "within_m": 400, "who": "Somebody", "when": SEEN, "seen": seen} for kind in look_for()]


def _asked() -> list[Values]:
    def said(whom: str, name: str, about: str = "") -> Values:
        return {"whom": whom, "name": name, "date": SEEN, "answer": "yes"} | ({"about": about} if about else {})

    return [
        said("authority", "Officer on duty"),
        said("line_owner", "Railway control", "rail"),
        said("neighbour", "Neighbour to the east", "edge"),
    ]


def _rules() -> list[Values]:
    source = {"condition": "as its owner asked", "source": "its owner", "evidence": "C"}
    return [
        {"id": "rail", "kind": "railway", "distance_m": 50, **source},
        {"id": "edge", "kind": "property_line", "distance_m": 30, **source},
    ]


def _links() -> list[Values]:
    gear = {"pond": ("pump", "hose", "fog"), "tank": ("pump-2", "hose-2", "tip")}

    def link(source: str, at: Place, spot: str, where: Place, seconds: float, lift_m: float) -> Values:
        pump, hose, tip = gear[source]
        seen = {"on": SEEN, "source_at": lonlat(*at), "spot_at": lonlat(*where), "who": "Somebody"}
        tested = {"bucket_litres": 20, "bucket_seconds": seconds}
        tested |= {"bucket_pump": [pump], "bucket_hose": [hose], "bucket_tip": tip}
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
        "permit": {"number": "1", "authority": "Invented", "from": "2026-05-01", "to": "2026-06-15"}
        | {"no_conditions": True},
        "season": {
            "date": BURN.isoformat(),
            "date_walked": SEEN,
            "surroundings": "green",
            "ban": "none",
            "fuel_height_m": 0.3,
            "wind_from_deg": 270,
            "seen": {"*": {"on": SEEN, "who": "Somebody"}},
        },
        "weather_read": {"on": BURN.isoformat(), "height": "20 ft (6 m)", "by": "Somebody", **CALM},
        "looked": _looked(),
        "asked": _asked(),
        "rules": _rules(),
        "links": _links(),
    }


def whole() -> Values:
    features = (*_kilns(), *_heaps(), *_water(), *_around(), *_crew_places())
    return {"features": {feature["id"]: feature for feature in features}, "member": _member()}
