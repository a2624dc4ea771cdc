"""A juniper and ponderosa fuel-break thinning in the western US: US units, a water tender, three ring kilns.

K1 passes: the authority was asked, the ground is known, and a bucket was filled at the end of its hose. K2 stands on
litter and nobody has filled a bucket there. K3 stands too near the power line, whose owner has not agreed.
"""

from __future__ import annotations

from typing import Any

import numpy as np

from sample_sites.drawing import Drawing
from sample_sites.records import asked, looked, readings, rule, size, weather_read

WALKED, BAN_ASKED, READ = "2026-11-20", "2026-11-28", "2026-11-28"
FOOT, INCH, MPH, GALLON = 0.3048, 0.0254, 0.44704, 3.785411784  # [m], [m], [m/s], [L]
TAPED: dict[str, Any] = {"length_m_basis": "measured", "width_m_basis": "measured", "height_m_basis": "estimated"}
LOOKED_FT = {
    "structure": 360,
    "stream": 300,
    "wetland": 300,
    "buried_line": 200,
    "railway": 500,
    "hazard_tree": 150,
    "fuel_store": 200,
    "standing_timber": 30,
    "road": 100,
    "power_line": 100,
    "property_line": 100,
}


def height(x: Any, y: Any) -> Any:
    """A bench that rises gently to the north, with a knoll in the west [m]."""
    return 1284 + 0.035 * y + 0.012 * x + 3.0 * np.exp(-(((x + 190) / 70) ** 2) - ((y - 90) / 80) ** 2)


def drawing() -> Drawing:
    """All that is on the map."""
    site = Drawing(-120.61, 44.29, height)
    _slash(site)
    _fire(site)
    _clear(site)
    _crew(site)
    return site


def _slash(site: Drawing) -> None:
    corners = [
        (-130.0, -60.0),
        (-20.0, -85.0),
        (95.0, -70.0),
        (120.0, 20.0),
        (60.0, 95.0),
        (-60.0, 100.0),
        (-125.0, 50.0),
    ]
    site.area("logged_area", "area-1", "Fuel break", corners)
    juniper = {"wood": "western_juniper", "packing": "loose_brush", "soil": "some", "month_felled": "2026-03"}
    pine = {"wood": "ponderosa_pine", "packing": "tops", "soil": "none", "month_felled": "2026-04"}
    heaps: list[tuple[str, float, float, dict[str, Any], str, tuple[float, float, float], float, list[Any]]] = [
        ("P1", -95, -35, juniper, "dome", (20, 16, 7), 5.5, readings(READ, 7.62, 17, 19, 16)),
        ("P2", -60, 30, juniper, "dome", (18, 15, 6), 5, readings(READ, 7.62, 15, 18, 17)),
        ("P3", -15, 70, pine, "dome", (21, 17, 7.5), 7, readings(READ, 7.62, 17, 20, 18)),
        ("P4", 50, 48, pine, "dome", (16, 14, 5.5), 5, readings(READ, 7.62, 18, 20, 17)),
        ("P5", 70, -20, juniper, "cone", (22, 20, 9), 6, readings(READ, 7.62, 18, 16, 19)),
        ("P6", 20, -60, juniper, "mound", (15, 13, 5), 4, readings(READ, 7.62, 15, 16, 18)),
    ]
    for name, x, y, wood, shape, (length, width, high), thickest, read in heaps:
        site.point(
            "pile",
            name.lower(),
            name,
            x,
            y,
            **size(shape, *(round(side * FOOT, 4) for side in (length, width, high)), **TAPED),
            **wood,
            thickest_cm=round(thickest * INCH * 100, 2),
            readings=read,
        )
    site.line(
        "windrow",
        "w1",
        "R1",
        [(-44, -60), (-16, -66)],
        section="parabola",
        width_m=3.2004,
        height_m=1.2192,
        **pine,
        thickest_cm=15.24,
        readings=readings(READ, 7.62, 18, 17, 20),
    )
    tally = {
        "T1": ([(-30, 10), (0, 18)], 4, (3.0, 4.5, 5.0, 7.5, 8.0, 3.5, 6.0, 4.0)),
        "T2": ([(45, -45), (60, -18)], 3, (4.0, 3.0, 9.0, 5.5, 3.0)),
    }
    for name, (line, slope, thick) in tally.items():
        pieces = [{"diameter_cm": d} for d in thick]
        site.line(
            "transect",
            name.lower(),
            name,
            line,
            taped="slope",
            slope_pct=slope,
            wood="western_juniper",
            pieces=pieces,
            area_ha=0.6,
            note="Stands for the acre and a half along the track that are still to be gathered.",
        )


def _fire(site: Drawing) -> None:
    kiln = {"kiln": "ring-5", "branches_overhead": "none", "fuel_upslope": "no", "quench_method": "raked_and_sprayed"}
    serves = {"k1": ["p1", "p2", "p6", "w1"], "k2": ["p3", "p4"], "k3": ["p5"]}
    site.point(
        "kiln_spot", "k1", "K1", -32, -22, **kiln, ground="mineral_soil", serves=serves["k1"], position_error_m=0.5
    )
    site.point("kiln_spot", "k2", "K2", 12, 26, **kiln, ground="litter_duff", serves=serves["k2"], position_error_m=5)
    site.point("kiln_spot", "k3", "K3", 92, 18, **kiln, ground="turf", serves=serves["k3"], position_error_m=5)
    site.point(
        "water_source",
        "tender",
        "Water tender",
        -48,
        -6,
        source="tanker",
        volume_l=2000 * GALLON,
        volume_l_basis="measured",
        pump="pump-1",
        hose=[{"hose": "hose-38", "length_m": 121.92}],
        nozzle="nozzle-10",
        usable_on_date=True,
        permission="yes",
        permission_from="Owner of the tender",
        suction_lift_m=0,
        position_error_m=2,
    )


def _clear(site: Drawing) -> None:
    site.line("road", "road-1", "County road", [(-260, -150), (-60, -165), (260, -150)], public=True)
    track = [(-60, -165), (-66, -90), (-52, -30), (-48, -6), (10, 45), (50, 75)]
    site.line("track", "track-1", "Landing track", track)
    site.area("structure", "cabin", "Own cabin", [(-194, 25), (-184, 25), (-184, 33), (-194, 33)], use="own")
    site.line(
        "power_line",
        "power-1",
        "Power line",
        [(118, -200), (122, 200)],
        overhead=True,
        voltage_kv=25,
        owner="Line owner (invented)",
        position_error_m=2,
    )
    trees = [(-140.0, 118.0), (80.0, 112.0), (105.0, 170.0), (-140.0, 190.0)]
    site.area("standing_timber", "timber-1", "Ponderosa stand", trees, height_m=21.9456)
    site.line("property_line", "line-1", "North line", [(-240, 230), (240, 230)])
    site.point("smoke_place", "smoke-1", "Neighbor's house", -250, -105, what="home", phone="000 0001")


def _crew(site: Drawing) -> None:
    site.line("escape_route", "out-1", "Way out along the track", [(-50, -20), (-66, -90), (-60, -165)])
    site.line("escape_route", "out-2", "Way out to the cabin", [(-50, -10), (-120, 10), (-180, 25)])
    site.area("refuge", "refuge-1", "Bare landing", [(-75, -114), (-45, -114), (-45, -88), (-75, -88)])
    site.point("meeting_point", "meet-1", "Meeting point", -64, -130)
    site.point("gate", "gate-1", "Gate", -60, -158, note="Chain, lock opened on the day.")
    site.point("parking", "park-1", "Parking", -74, -145)
    site.point("turning_place", "turn-1", "Turning place", -52, -122)
    site.point("lookout", "look-1", "Lookout", -150, 85)


def member() -> dict[str, Any]:
    """The `site` member."""
    return {
        "name": "Juniper Bench fuel break (invented)",
        "units": "us",
        "timezone": "America/Los_Angeles",
        "language": "en",
        "equipment": _equipment(),
        "crew": {
            "leader": "Person in charge (invented)",
            "phone": "000 0000",
            "adults": 11,
            "rakers": 2,
            "carriers": 2,
            "bucket_l": 5 * GALLON,
            "feeders": 2,
            "first_aid": "Kit in the tender; two first aiders",
            "hospital": "County hospital (invented), 35 min",
            "emergency": "911",
            "radio": "Telephone signal at the gate, none on the bench",
            "directions": "From the county road through the gate, 450 ft up the landing track.",
        },
        "permit": {
            "number": "Invented 26-114",
            "authority": "Local fire authority (invented)",
            "phone": "000 0002",
            "from": "2026-11-01",
            "to": "2027-02-28",
            "conditions": "500 gal of water on site; two adults at each kiln.",
            "conditions_met": True,
            "met_by": "The owner",
            "met_on": WALKED,
        },
        "season": {
            "date": "2026-12-05",
            "date_walked": WALKED,
            "days_per_week": 2,
            "surroundings": "wet",
            "fuel_height_m": FOOT,
            "wind_from_deg": 270,
        },
        "weather_read": weather_read("Crew lead", "2026-12-05", 6 * MPH, 10 * MPH, 58, 5),
        "looked": looked("Crew lead", WALKED, **{kind: round(feet * FOOT, 4) for kind, feet in LOOKED_FT.items()}),
        "asked": [
            asked("authority", "Duty officer", "2026-11-22", "yes", "Call before lighting."),
            asked("neighbour", "Owner to the north", "2026-11-21", "yes", "Agreed to 50 ft.", "line-1"),
        ],
        "rules": [rule("line", "property_line", 15.24, "agreed with the neighbor")],
        "links": [
            {
                "source": "tender",
                "spot": "k1",
                "lift_m": -0.4572,
                "lift_error_m": 0.4572,
                "bucket_litres": 5 * GALLON,
                "bucket_seconds": 9,
                "bucket_pump": ["pump-1"],
                "bucket_hose": ["hose-38"],
                "bucket_tip": "nozzle-10",
            }
        ],
    }


def _equipment() -> dict[str, Any]:
    return {
        "kilns": [
            {
                "id": "ring-5",
                "name": "5 ft ring",
                "shape": "ring",
                "diameter_m": 5 * FOOT,
                "height_m": 2 * FOOT,
                "holds_water": "no_floor",
                "has_floor": False,
                "plate_thickness_mm": 3.175,
                "piece_limit_cm": 15.24,
                "fill_fraction": 0.55,
                "feed_kg_h": 120,
                "count": 3,
                "note": "Filled little more than half: a December day is short.",
            }
        ],
        "pumps": [
            {
                "id": "pump-1",
                "name": "Tender pump",
                "max_head_m": 230 * FOOT,
                "max_flow_l_min": round(160 * GALLON, 2),
                "worn": "worn",
            }
        ],
        "hoses": [
            {
                "id": "hose-38",
                "name": "1½ in hose",
                "bore_mm": 38.1,
                "lengths_m": [15.24] * 8,
                "rated_kpa": 1700,
                "coupling_mm": 38.1,
                "wear": "worn",
            }
        ],
        "nozzles": [{"id": "nozzle-10", "name": "⅜ in tip", "bore_mm": 9.525, "coupling_mm": 38.1}],
        "machines": [
            {
                "id": "mini",
                "name": "Mini excavator",
                "bucket_l": round(18 * GALLON, 4),
                "max_slope_pct": 30,
                "width_m": 5.25 * FOOT,
                "reach_m": 15 * FOOT,
            }
        ],
    }
