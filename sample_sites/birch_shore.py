"""A birch and pine thinning by a lake in Sweden: metric, three box kilns, a portable pump on the lake and a garden tap.

K1 near the shore passes. K2 by the cottage has the garden tap for its quench, which throws nowhere and leaves it
conditional. K3 at the edge of the mire stands on peat and is ruled out.
"""

from __future__ import annotations

from typing import Any

import numpy as np

from sample_sites.drawing import Drawing, oval, rectangle
from sample_sites.records import about, asked, looked, readings, rule, size, weather_read

WALKED, BAN_ASKED = "2026-09-27", "2026-10-08"


def height(x: Any, y: Any) -> Any:
    """Moraine that rises from a lake in the south, with a level mire in the west and a knoll in the north [m]."""
    ground = 212 + 0.04 * 8 * np.logaddexp(0, (y + 70) / 8)
    mire = np.exp(-((((x + 120) / 55) ** 2 + ((y - 80) / 40) ** 2) ** 2))
    ground = ground * (1 - mire) + 216.5 * mire
    return ground + 4 * np.exp(-(((x + 25) / 32) ** 2) - ((y - 110) / 26) ** 2)


def drawing() -> Drawing:
    """All that is on the map."""
    site = Drawing(13.72, 61.86, height)
    _slash(site)
    _fire(site)
    _water(site)
    _clear(site)
    _crew(site)
    return site


def _slash(site: Drawing) -> None:
    corners = [(-85, -30), (60, -35), (95, 20), (80, 95), (-60, 105), (-90, 40)]
    site.area("logged_area", "area-1", "Thinning", corners)
    site.area(
        "pile",
        "p1",
        "P1",
        rectangle(-70, 8, 6, 2.4),
        **size("block", 6, 2.4, 1.4, length_b_m=5.4, width_b_m=2),
        wood="silver_birch",
        packing="stacked_poles",
        **about("packing_ratio", 0.33, 0.28, 0.38, "measured"),
        soil="none",
        char_stock_fraction=0.9,
        char_stock_fraction_basis="measured",
        thickest_cm=12,
        month_felled="2026-02",
        readings=readings(WALKED, 6, 16, 18, 15, 17),
    )
    site.point(
        "pile",
        "p2",
        "P2",
        10,
        10,
        **size("mean_block", 4.5, 2.6, 1.5, length_b_m=3.9, width_b_m=2.2, height_b_m=1.3),
        wood_mix=[{"wood": "silver_birch", "share": 0.6}, {"wood": "scots_pine", "share": 0.4}],
        packing="tops",
        soil="none",
        thickest_cm=9,
        month_felled="2026-02",
        readings=readings(WALKED, 6, 15, 18, 16),
    )
    site.point(
        "pile",
        "p3",
        "P3",
        62,
        78,
        **size("mound", 4.8, 4.2, 1.6),
        wood="scots_pine",
        packing="tops",
        soil="some",
        thickest_cm=11,
        month_felled="2026-03",
        readings=readings(WALKED, 6, 17, 15, 18),
    )
    site.point(
        "pile",
        "p4",
        "P4",
        -48,
        72,
        **size("dome", 4.4, 3.8, 1.6),
        wood="birch",
        packing="loose_brush",
        soil="none",
        thickest_cm=7,
        month_felled="2026-08",
        readings=readings(WALKED, 6, 34, 38, 31),
    )
    site.line(
        "windrow",
        "w1",
        "R1",
        [(-20, 52), (6, 60), (24, 58)],
        section="triangle",
        width_m=2.2,
        height_m=1.1,
        wood="scots_pine",
        packing="tops",
        soil="none",
        thickest_cm=9,
        month_felled="2026-03",
        readings=readings(WALKED, 6, 18, 16, 17),
    )
    counts = {"T1": ([(-60, -10), (-40, -22)], (14, 22, 6), (8.4, 9.1)), "T2": ([(30, 20), (45, 38)], (9, 17, 4), ())}
    for name, (line, (pencil, thumb, wrist), thick) in counts.items():
        tally: dict[str, Any] = {
            "classes": [
                {"size_class": "pencil", "count": pencil, "length_m": 2},
                {"size_class": "thumb", "count": thumb, "length_m": 5},
                {"size_class": "wrist", "count": wrist, "length_m": 10},
            ]
        }
        if thick:
            tally["pieces"] = [{"diameter_cm": d, "wood": "silver_birch"} for d in thick]
        site.line("transect", name.lower(), name, line, taped="horizontal", wood="birch", area_ha=0.4, **tally)


def _fire(site: Drawing) -> None:
    known = {"branches_overhead": "none", "fuel_upslope": "no"}
    site.point(
        "kiln_spot",
        "k1",
        "K1",
        -38,
        -14,
        kiln="box-2",
        **known,
        ground="mineral_soil",
        serves=["p1", "p2"],
        quench_method="flooded",
        position_error_m=0.5,
    )
    site.point(
        "kiln_spot",
        "k2",
        "K2",
        70,
        48,
        kiln="box-2",
        **known,
        ground="turf",
        serves=["p3", "w1"],
        quench_method="raked_and_sprayed",
        position_error_m=0.5,
    )
    site.point(
        "kiln_spot",
        "k3",
        "K3",
        -72,
        84,
        kiln="box-1",
        **known,
        ground="peat",
        serves=["p4"],
        quench_method="raked_and_sprayed",
        position_error_m=5,
    )
    site.area("char_pad", "pad-1", "Char pad", rectangle(-31, -20, 4, 4))
    ring = [(-52.0, -28.0), (-52.0, 0.0), (-22.0, 0.0), (-22.0, -28.0)]
    site.line("control_line", "wet-1", "Raked and wetted line", ring, width_m=1, status="planned")


def _water(site: Drawing) -> None:
    shore = [(-190, -170), (190, -170), (190, -84), (120, -72), (20, -74), (-60, -70)]
    site.area(
        "water_source",
        "lake",
        "Lake",
        [*shore, (-140, -82), (-190, -90)],
        source="stream",
        pump="pump-1",
        hose=[{"hose": "hose-38", "length_m": 100}],
        nozzle="fog-1",
        usable_on_date=True,
        permission="yes",
        permission_from="Owner of the water",
        suction_lift_m=1.5,
        water_temperature_c=8,
        position_error_m=1,
    )
    site.point(
        "water_source",
        "tap",
        "Garden tap",
        103,
        52,
        source="tap",
        static_pressure_kpa=380,
        yield_l_min=16,
        hose=[{"hose": "hose-19", "length_m": 50}],
        nozzle="spray-1",
        usable_on_date=True,
        permission="yes",
        permission_from="The owner",
        position_error_m=0.5,
    )


def _clear(site: Drawing) -> None:
    site.area("structure", "cottage", "Own cottage", rectangle(112, 52, 9, 7), use="own")
    site.area("structure", "cottage-2", "Neighbour's cottage", rectangle(188, -20, 8, 7), use="occupied_by_others")
    site.line("road", "road-1", "Gravel road", [(-200, 168), (60, 182), (200, 176)], public=True, surface="gravel")
    track = [(92, 180), (90, 120), (88, 70), (40, 40), (-10, 5), (-25, -10), (-20, -45)]
    site.line("track", "track-1", "Farm track", [*track, (-22, -66)])
    site.line("railway", "rail-1", "Branch line", [(-200, 212), (0, 222), (200, 218)])
    site.line("property_line", "line-1", "Parish line", [(150, -70), (150, 170)])
    site.line("stream", "brook-1", "Brook", [(-130, 50), (-118, 0), (-124, -78)])
    site.area("wetland", "mire-1", "Mire", oval(-128, 82, 42, 30), note="Sedge and bog myrtle; peat to a metre.")
    pines = [(-60, 118), (70, 112), (80, 150), (-60, 158)]
    site.area("standing_timber", "timber-1", "Pine stand", pines, height_m=19)
    site.point("hazard_tree", "tree-1", "Leaning birch", -88, 20, height_m=15, position_error_m=3)
    hearth = oval(8, 92, 8, 8, 8)
    site.area("no_go", "hearth-1", "Old charcoal hearth", hearth, note="Protected remains: no machine, no fire.")
    site.point("fuel_store", "fuel-1", "Fuel cans", 128, 62)
    site.point("smoke_place", "smoke-1", "Neighbour's cottage", 188, -20, what="home", phone="000 0021")


def _crew(site: Drawing) -> None:
    site.line("escape_route", "out-1", "Way out along the track", [(-25, -10), (40, 40), (88, 70), (92, 180)])
    site.line("escape_route", "out-2", "Way out along the shore", [(-38, -20), (40, -55), (140, -55)])
    site.area("refuge", "refuge-1", "Mown meadow", rectangle(122, 100, 34, 30))
    site.point("meeting_point", "meet-1", "Meeting point", 100, 128)
    site.point("lookout", "look-1", "Lookout", -25, 106)
    site.point("gate", "gate-1", "Road barrier", 92, 172, note="Combination lock.")
    site.area("turning_place", "turn-1", "Turning place", rectangle(80, 160, 16, 14))
    site.area("landing_place", "land-1", "Helicopter landing place", rectangle(124, 140, 30, 30))
    site.area("parking", "park-1", "Parking", rectangle(76, 138, 14, 8))


def member() -> dict[str, Any]:
    """The `site` member."""
    return {
        "name": "Birch shore thinning by a lake (invented)",
        "units": "metric",
        "timezone": "Europe/Stockholm",
        "language": "en",
        "equipment": _equipment(),
        "crew": {
            "leader": "Person in charge (invented)",
            "phone": "000 0020",
            "adults": 10,
            "rakers": 2,
            "carriers": 2,
            "feeders": 2,
            "pace_m": 0.75,
            "first_aid": "Kit in the cottage",
            "hospital": "County hospital (invented), 55 min",
            "emergency": "112",
            "radio": "Telephone signal everywhere but at the shore",
            "directions": "Gravel road to the barrier, then 250 m down the farm track to the shore.",
        },
        "permit": {
            "number": "Invented 2026:41",
            "authority": "Municipal rescue service (invented)",
            "phone": "000 0022",
            "from": "2026-09-15",
            "to": "2026-11-15",
            "conditions": "Tell the control room before lighting and when cold.",
            "conditions_met": True,
            "met_by": "The owner",
            "met_on": "2026-10-02",
        },
        "season": {
            "date": "2026-10-10",
            "date_walked": WALKED,
            "days_per_week": 3,
            "day_starts": "08:00",
            "day_ends": "18:30",
            "surroundings": "wet",
            "fuel_height_m": 0.3,
            "wind_from_deg": 15,
        },
        "weather_read": weather_read("Person in charge (invented)", "2026-10-10", 2.5, 4.5, 70, 9),
        "looked": looked("The owner", WALKED, power_line=100, buried_line=60),
        "asked": [
            asked("authority", "Officer on duty", "2026-09-29", "yes", "No ban; tell the control room."),
            asked("line_owner", "Railway control", "2026-09-30", "conditions", "Ring the signaller.", "rail-1")
            | {"conditions_met": True, "met_by": "The owner", "met_on": "2026-10-02", "none_needed": True},
            asked("neighbour", "Neighbour to the east", "2026-09-28", "yes", "Tell us the evening before.", "line-1"),
        ],
        "rules": [rule("parish", "property_line", 20, "agreed with the neighbour")],
        "links": [
            {
                "source": "lake",
                "spot": "k1",
                "lift_m": 2.5,
                "lift_error_m": 0.5,
                "bucket_litres": 20,
                "bucket_seconds": 11,
                "bucket_pump": ["pump-1"],
                "bucket_hose": ["hose-38"],
                "bucket_tip": "fog-1",
            },
            {
                "source": "tap",
                "spot": "k2",
                "bucket_test": [10, 42],
                "bucket_hose": ["hose-19"],
                "bucket_tip": "spray-1",
            },
        ],
        "ticks": [{"what": "neighbours", "who": "The owner", "when": "2026-10-09 18:00"}],
    }


def _equipment() -> dict[str, Any]:
    return {
        "kilns": [
            {
                "id": "box-2",
                "name": "2 m box",
                "shape": "box",
                "length_m": 2,
                "width_m": 1.2,
                "height_m": 0.7,
                "holds_water": "yes",
                "has_floor": True,
                "plate_thickness_mm": 4,
                "piece_limit_cm": 12,
                "fill_fraction": 0.7,
                "feed_kg_h": 170,
                "count": 2,
            },
            {
                "id": "box-1",
                "name": "1.4 m box",
                "shape": "box",
                "length_m": 1.4,
                "width_m": 1,
                "height_m": 0.6,
                "holds_water": "yes",
                "has_floor": True,
                "plate_thickness_mm": 3,
                "piece_limit_cm": 10,
                "fill_fraction": 0.7,
                "feed_kg_h": 95,
            },
        ],
        "pumps": [
            {
                "id": "pump-1",
                "name": "Portable pump",
                "curve": [[0, 95], [150, 88], [300, 70], [450, 40]],
                "worn": "new",
                "suction_bore_mm": 50,
                "suction_length_m": 5,
                "coupling_mm": 38,
            }
        ],
        "hoses": [
            {
                "id": "hose-38",
                "name": "38 mm hose",
                "bore_mm": 38,
                "lengths_m": [20] * 5,
                "rated_kpa": 1500,
                "coupling_mm": 38,
                "wear": "new",
            },
            {"id": "hose-19", "name": "Garden hose", "bore_mm": 19, "lengths_m": [25, 25], "rated_kpa": 800},
        ],
        "nozzles": [
            {
                "id": "fog-1",
                "name": "Fog nozzle",
                "rated_flow_l_min": 100,
                "rated_pressure_kpa": 600,
                "fog": True,
                "coupling_mm": 38,
            },
            {"id": "spray-1", "name": "Garden spray", "bore_mm": 6, "fog": False},
        ],
        "machines": [
            {
                "id": "quad",
                "name": "Quad",
                "max_slope_pct": 25,
                "loaded_km_h": 4,
                "empty_km_h": 6,
                "width_m": 1.3,
                "reach_m": 1,
                "tank": "trailer-1",
            }
        ],
        "tanks": [{"id": "trailer-1", "name": "Trailer tank", "volume_l": 400, "mass_kg": 120, "on_trailer": True}],
    }
