"""Radiata slash at two landings above a farm dam in New Zealand: metric, trough kilns, an excavator with a bucket.

All four kiln spots draw on the dam. K1 on the lower landing passes. K2 beside it stands on bark, its hose not yet
tried. K3 on the upper landing stands higher than the pump lifts, and the excavator's bucket is enough. K4, nearest the
water, stands too near it.
"""

from __future__ import annotations

from typing import Any

import numpy as np

from sample_sites.drawing import Drawing, bench, oval, rectangle, track_cut
from sample_sites.farm_dam_gear import equipment
from sample_sites.records import about, asked, looked, readings, rule, size, weather_read

WALKED, BAN_ASKED = "2026-08-07", "2026-08-17"
LOWER, UPPER = (16.0, 30.0), (70.0, 322.0)
SHORE_Y = -38.0
RISE = 0.155
LEVEL = {place: 180 + RISE * (place[1] - SHORE_Y) for place in (LOWER, UPPER)}
UP_FROM_ROAD = [(155.0, -205.0, 180.5), (95.0, -120.0, 180.0), (70.0, -45.0, 181.0), (62.0, 8.0, 189.0)]
UP_TO_LANDINGS = [(60.0, 28.0, LEVEL[LOWER]), (84.0, 40.0, 193.0), (104.0, 120.0, 205.0), (122.0, 215.0, 220.5)]
FOREST_TRACK = [*UP_FROM_ROAD, *UP_TO_LANDINGS, (112.0, 285.0, 231.5), (88.0, 318.0, LEVEL[UPPER])]
WATER_TRACK = [(31.0, -44.0, 180.0), (40.0, -20.0, 183.5), (62.0, 8.0, 189.0)]


def height(x: Any, y: Any) -> Any:
    """A hillside that falls to a dam in the south, with two landings cut into it [m]."""
    hill = 180 + RISE * 6 * np.logaddexp(0, (y - SHORE_Y) / 6) + 0.004 * np.maximum(-90 - y, 0)
    hill = hill - 4 * np.exp(-(((x + 130) / 45) ** 2)) / (1 + np.exp(-(y - 60) / 30))
    for landing, half in ((LOWER, (52.0, 34.0)), (UPPER, (55.0, 40.0))):
        hill = bench(hill, LEVEL[landing] + 0.02 * (y - landing[1]), x, y, landing, half)
    return track_cut(track_cut(hill, x, y, FOREST_TRACK), x, y, WATER_TRACK)


def drawing() -> Drawing:
    """All that is on the map."""
    site = Drawing(175.47, -39.71, height)
    _slash(site)
    _fire(site)
    _water(site)
    _clear(site)
    _crew(site)
    return site


def _slash(site: Drawing) -> None:
    corners = [(-90, 75), (115, 75), (150, 300), (140, 375), (-40, 380), (-80, 240)]
    site.area("logged_area", "area-1", "Cutover", corners)
    radiata: dict[str, Any] = {
        "wood": "radiata_pine",
        "packing": "machine_heap",
        "month_felled": "2025-11",
        **about("char_stock_fraction", 0.55, 0.45, 0.65, "estimated"),
        "oversize_fraction": 0.25,
        "fines_fraction": 0.2,
    }
    site.area(
        "pile",
        "p1",
        "P1",
        rectangle(-42, 42, 11, 4.5),
        **size("ridge", 11, 4.5, 2.4, height_m_low=2.1, height_m_high=2.7, height_m_basis="measured"),
        **radiata,
        soil="some",
        thickest_cm=28,
        readings=readings(WALKED, 10, 17, 19, 16, 18),
    )
    site.point(
        "pile",
        "p2",
        "P2",
        58,
        44,
        **size("tapered_ridge", 9, 4.5, 2.2, width_b_m=3, height_b_m=1.4),
        **radiata,
        soil="much",
        rotten_fraction=0.1,
        thickest_cm=24,
        readings=readings(WALKED, 10, 26, 23, 28),
    )
    site.area(
        "pile",
        "p3",
        "P3",
        rectangle(112, 338, 8, 5),
        **size("block", 8, 5, 2.2, length_b_m=5, width_b_m=2.5),
        **radiata,
        soil="some",
        thickest_cm=26,
        **about("moisture_pct", 14, 12, 17, "measured"),
        moisture_basis="wet",
    )
    site.point(
        "pile",
        "p4",
        "P4",
        32,
        342,
        **size("rounded_ridge", 8, 4, 2, width_b_m=3, height_b_m=1.6),
        **radiata,
        soil="none",
        thickest_cm=18,
        readings=readings(WALKED, 10, 17, 16, 19),
    )
    site.point(
        "pile",
        "s1",
        "Feed heap",
        0.0,
        25.2,
        **size("dome", 1.1, 0.9, 0.5),
        wood="radiata_pine",
        packing="stacked_poles",
        soil="none",
        thickest_cm=10,
        char_stock_fraction=1,
        char_stock_fraction_basis="measured",
        readings=readings(WALKED, 10, 16, 15, 17),
        staged_feed=True,
        status="drying",
        position_error_m=0.3,
    )
    site.point(
        "pile",
        "p6",
        "P6",
        64,
        -62,
        **size("mound", 5, 4.4, 1.5),
        wood="willow",
        packing="loose_brush",
        soil="none",
        char_stock_fraction=0.7,
        thickest_cm=9,
        month_felled="2026-02",
        readings=readings(WALKED, 10, 18, 17, 20),
        note="Willow trimmed round the dam.",
    )
    site.point(
        "pile",
        "p5",
        "P5",
        -18,
        58,
        **size("cone", 4.6, 4.4, 1.7),
        wood="radiata_pine",
        packing="machine_heap",
        soil="some",
        dry_t_weighed=0.52,
        status="cold",
        note="Burned as a trial and weighed load by load: it sets the wood share of the other machine heaps.",
    )


def _fire(site: Drawing) -> None:
    known = {
        "branches_overhead": "none",
        "fuel_upslope": "no",
        "quench_method": "raked_and_sprayed",
        "position_error_m": 0.3,
    }
    site.point("kiln_spot", "k1", "K1", 5, 30, kiln="trough-3", ground="mineral_soil", serves=["p1", "s1"], **known)
    site.point("kiln_spot", "k2", "K2", 32, 26, kiln="trough-3", ground="litter_duff", serves=["p2"], **known)
    site.point("kiln_spot", "k3", "K3", 70, 322, kiln="trough-2", ground="mineral_soil", serves=["p3", "p4"], **known)
    site.point("kiln_spot", "k4", "K4", 26, -46, kiln="trough-2", ground="turf", serves=["p6"], **known)
    around = [(20.0, 296.0), (20.0, 362.0), (132.0, 362.0), (132.0, 296.0), (90.0, 290.0)]
    site.line("control_line", "ring-1", "Bulldozed line", around, width_m=4, status="built")
    site.area("char_pad", "pad-1", "Char pad", rectangle(12, 21, 5, 4))
    site.point("machine_stand", "stand-1", "Excavator stand", 9, 34)
    site.point("machine_stand", "stand-2", "Upper stand", 76, 326)
    site.area("fuel_store", "fuel-1", "Diesel trailer", rectangle(76, 14, 3, 2))


def _water(site: Drawing) -> None:
    site.area(
        "water_source",
        "dam",
        "Farm dam",
        oval(-2, -62, 30, 22),
        source="pond",
        area_m2=1980,
        depth_m=2.4,
        usable_fraction=0.4,
        pump="pump-1",
        hose=[{"hose": "hose-38", "length_m": 460}],
        nozzle="tip-6",
        usable_on_date=True,
        permission="yes",
        permission_from="The farmer",
        suction_lift_m=1.2,
        water_temperature_c=9,
        position_error_m=0.5,
    )
    lay = [(-2.0, -40.0), (-8.0, -15.0), (-6.0, 12.0), (3.0, 27.0)]
    site.line("hose_lay", "lay-1", "Hose to K1", lay, from_source="dam", to_spot="k1")


def _clear(site: Drawing) -> None:
    site.line("track", "track-1", "Forest track", [(x, y) for x, y, _ in FOREST_TRACK])
    site.line("track", "track-2", "Track to the water", [(x, y) for x, y, _ in WATER_TRACK])
    site.line("road", "road-1", "Valley road", [(-160, -240), (40, -215), (230, -205)], public=True, surface="sealed")
    site.area("structure", "shed-1", "Hay shed", rectangle(160, -60, 14, 9), use="own")
    site.line("stream", "stream-1", "Dam inflow", [(-160, 140), (-110, 40), (-52, -48), (-31, -60)])
    site.line("stream", "stream-2", "Dam outlet", [(-4, -84), (-22, -140), (-70, -226)])
    rushes = [(-66, -62), (-34, -66), (-36, -34), (-58, -28), (-78, -10), (-86, -24)]
    site.area("wetland", "rushes-1", "Rushes", rushes)
    stand = [(175, 60), (240, 60), (245, 400), (185, 400)]
    site.area("standing_timber", "timber-1", "Radiata stand", stand, height_m=27)
    site.point("hazard_tree", "tree-1", "Dead-topped macrocarpa", -66, 8, height_m=16, position_error_m=3)
    site.line("property_line", "fence-1", "Boundary fence", [(-160, 410), (240, 410)])
    pipe = [(-100, -110), (60, -112), (160, -72)]
    site.line("buried_line", "pipe-1", "Stock water pipe", pipe, carries="stock water, 25 mm polythene")
    ewes = [(-160, 180), (-100, 180), (-100, 300), (-160, 300)]
    site.area("smoke_place", "smoke-1", "Ewes in lamb", ewes, what="livestock")
    site.point("smoke_place", "smoke-2", "Farmhouse over the road", 225, -190, what="home", phone="000 0010")


def _crew(site: Drawing) -> None:
    site.line("escape_route", "out-1", "Way out down the track", [(62, 8), (70, -45), (95, -120), (155, -205)])
    site.line("escape_route", "out-2", "Way out to the paddock", [(5, 20), (-30, -5), (-100, 100), (-130, 180)])
    site.line("escape_route", "out-3", "Way down from the upper landing", [(88, 318), (122, 215), (104, 120), (84, 40)])
    site.area("refuge", "refuge-1", "Grazed flat", rectangle(105, -90, 36, 36))
    site.point("meeting_point", "meet-1", "Meeting point", 96, -118)
    site.point("gate", "gate-1", "Road gate", 154, -203, note="The farmer has the key.")
    site.point("parking", "park-1", "Parking", 128, -165)
    site.point("lookout", "look-1", "Lookout", 130, 250)
    site.point("turning_place", "turn-1", "Turning place", 108, -140)


def member() -> dict[str, Any]:
    """The `site` member."""
    return {
        "name": "Two landings above a farm dam (invented)",
        "units": "metric",
        "timezone": "Pacific/Auckland",
        "language": "en",
        "equipment": equipment(),
        "crew": {
            "leader": "Person in charge (invented)",
            "phone": "000 0011",
            "adults": 12,
            "rakers": 2,
            "feeders": 2,
            "first_aid": "Kit in the ute; first aider on the excavator",
            "hospital": "Base hospital (invented), 50 min",
            "emergency": "111",
            "radio": "Hand-held radio; telephone signal on the upper landing only",
            "directions": "Valley road to the gate with the red post, up the forest track past the hay shed.",
        },
        "permit": {
            "number": "Invented 2026/0815",
            "authority": "Fire authority (invented)",
            "phone": "000 0012",
            "from": "2026-08-01",
            "to": "2026-09-30",
            "conditions": "Ring before lighting; nothing alight in wind over 20 km/h.",
            "conditions_met": True,
            "met_by": "Forest engineer",
            "met_on": "2026-08-12",
            "wind_km_h": 20,
        },
        "season": {
            "date": "2026-08-19",
            "date_walked": WALKED,
            "days_per_week": 5,
            "surroundings": "green",
            "fuel_height_m": 0.2,
            "wind_from_deg": 225,
        },
        "weather_read": weather_read("Forest engineer", "2026-08-19", 2, 3.5, 62, 13),
        "looked": looked("Forest engineer", WALKED, structure=150, power_line=120, railway=300, stream=60),
        "asked": [
            asked("authority", "Permit officer", "2026-08-10", "conditions", "Ring before lighting.")
            | {"conditions_met": True, "met_by": "Forest engineer", "met_on": "2026-08-12"},
            asked("neighbour", "Neighbour to the north", "2026-08-08", "yes", "30 m from the fence.", "fence-1")
            | {"distance_m": 30},
            asked("line_owner", "The farmer", WALKED, "yes", "The pipe lies 40 cm deep.", "pipe-1")
            | {"none_needed": True},
        ],
        "rules": [rule("bank", "stream", 20, "agreed with the regional council")],
        "links": [
            {
                "source": "dam",
                "spot": "k1",
                "lift_m": 10.5,
                "lift_error_m": 0.5,
                "bucket_litres": 20,
                "bucket_seconds": 26,
                "bucket_pump": ["pump-1"],
                "bucket_hose": ["hose-38"],
                "bucket_tip": "tip-6",
                "hose_lay": "lay-1",
            }
        ],
        "log": [
            {
                "date": "2026-07-14",
                "kiln": "3 m trough",
                "text": "Trial burn of P5: half a batch, cold next morning.",
                "buckets": 36,
                "water_l": 250,
                "lit": "10:20",
                "water_on": "12:40",
            }
        ],
        "cold": [
            {"kiln": "3 m trough", "date": day, "time": time, "who": "Person in charge (invented)", "found": "cold"}
            for day, time in (
                ("2026-07-14", "15:30"),
                ("2026-07-15", "08:00"),
                ("2026-07-17", "08:15"),
                ("2026-07-21", "16:00"),
                ("2026-07-28", "16:30"),
            )
        ],
        "bags": [
            {
                "count": 1,
                "kiln": "3 m trough",
                "bagged": "2026-07-17",
                "litres": 703,
                "weight_kg": 118,
                "state": "damp",
                "goes_to": "by the yard gate, outdoors",
            }
        ],
    }
