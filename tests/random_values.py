"""What may be said of a random site's things and gear: each attribute with its chance and how a value is made."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from random import Random
from typing import Any

from sitemap.site.kinds import AREA, KINDS, LINE, POINT

Maker = Callable[[Random], Any]
Table = Mapping[str, tuple[float, Maker]]

WOODS = (
    *("softwood", "hardwood", "mixed", "ponderosa pine", "western_juniper", "radiata pine", "Douglas-fir"),
    *("oak", "silver birch", "tanoak", "western redcedar", "unobtainium"),
)
SHAPES = ("dome", "mound", "cone", "ridge", "block", "tapered_ridge", "rounded_ridge", "mean_block")
SOURCES = ("pond", "stream", "tank", "tap", "hydrant", "well", "tanker")
CLEAR = tuple(key for key, kind in KINDS.items() if kind.group == "What a fire must keep clear of")
CREW = (
    *("control_line", "char_pad", "machine_stand"),
    *(key for key, kind in KINDS.items() if kind.group == "For the crew"),
)
FORM = {  # the first letters of Point, Line and Area a kind may have
    key: "".join(shape[0] for shape in (POINT, LINE, "Area") if shape.replace("Area", AREA) in kind.geometries)
    for key, kind in KINDS.items()
}
RUBBISH: tuple[Any, ...] = ("many", -3, 0, 1e9, None, True, [], {}, "12,5", "3 m", ["a"], 7.5)


def number(low: float, high: float, digits: int = 2) -> Maker:
    return lambda rng: round(rng.uniform(low, high), digits)


def whole(low: int, high: int) -> Maker:
    return lambda rng: rng.randint(low, high)


def one(*choices: Any) -> Maker:
    return lambda rng: rng.choice(choices)


def several(low: int, high: int, make: Maker) -> Maker:
    return lambda rng: [make(rng) for _ in range(rng.randint(low, high))]


def record(**makers: Maker) -> Maker:
    return lambda rng: {key: make(rng) for key, make in makers.items() if rng.random() < 0.9}


YES, DAY, BASIS = one(True, False), one("2026-09-01", "2026-10-02", "2026-11-30"), one("dry", "wet")
STATUS = one("planned", "built", "drying", "drying", "burned", "cold")
WOOD: Table = {
    "wood": (0.8, one(*WOODS)),
    "packing": (0.5, one("loose_brush", "tops", "machine_heap", "stacked_poles")),
    "soil": (0.4, one("none", "some", "much")),
    "thickest_cm": (0.6, number(3, 60, 0)),
    "packing_ratio": (0.25, number(0.05, 0.4)),
    "density_kg_m3": (0.15, number(300, 800, 0)),
    "wood_mix": (0.08, one({"oak": 0.4, "softwood": 0.6}, [{"wood": "beech", "share": 0.5}, {"wood": "ash"}])),
    "rotten_fraction": (0.15, number(0, 0.5)),
    "soil_fraction": (0.2, number(0, 0.3)),
    "char_stock_fraction": (0.3, number(0.3, 1)),
    "oversize_fraction": (0.2, number(0, 0.4)),
    "fines_fraction": (0.2, number(0, 0.3)),
    "moisture_pct": (0.3, number(8, 80, 0)),
    "moisture_basis": (0.5, BASIS),
    "readings": (
        0.3,
        several(1, 4, record(moisture_pct=number(9, 70, 0), basis=BASIS, date=DAY, thickness_cm=number(3, 20))),
    ),
    "dry_t_weighed": (0.06, number(0.2, 3)),
    "mass_green_t": (0.06, number(0.3, 5)),
    "status": (0.3, STATUS),
}
PILE: Table = {
    "shape": (0.9, one(*SHAPES)),
    "length_m": (0.85, number(1.5, 14)),
    "width_m": (0.85, number(1.2, 8)),
    "height_m": (0.85, number(0.6, 4)),
    "length_b_m": (0.3, number(1, 9)),
    "width_b_m": (0.4, number(0.8, 5)),
    "height_b_m": (0.4, number(0.4, 3)),
    "staged_feed": (0.1, YES),
    **WOOD,
}
WINDROW: Table = {
    "section": (0.8, one("round", "parabola", "triangle")),
    "width_m": (0.9, number(1.5, 8)),
    "height_m": (0.9, number(0.6, 3)),
    "length_m": (0.2, number(10, 120)),
    **WOOD,
}
CLASS = one("pencil", "thumb", "wrist", "thigh_sound", "thigh_rotten", "10-h", "100-h")
TRANSECT: Table = {
    "taped": (0.6, one("slope", "horizontal")),
    "slope_pct": (0.6, number(0, 60, 0)),
    "length_m": (0.5, number(10, 80)),
    "wood": (0.6, one(*WOODS)),
    "density_kg_m3": (0.1, number(300, 800, 0)),
    "pieces": (0.6, several(1, 9, record(diameter_cm=number(2, 40, 1), wood=one(*WOODS), rotten=YES))),
    "classes": (0.3, several(1, 4, record(size_class=CLASS, count=whole(0, 60), length_m=number(2, 30)))),
    "counts": (0.1, one({"thumb": 40, "wrist": 7}, {"pencil": {"count": 90, "length_m": 2}, "thigh_sound": 2})),
    "area_ha": (0.4, number(0.1, 4)),
    "char_stock_fraction": (0.2, number(0.3, 1)),
    "oversize_fraction": (0.15, number(0, 0.4)),
    "fines_fraction": (0.15, number(0, 0.4)),
}
KILN_SPOT: Table = {
    "ground": (0.8, one("mineral_soil", "turf", "litter_duff", "peat", "roots_stump", "rock")),
    "pad_cut": (0.2, one(True, False)),
    "branches_overhead": (0.8, one("none", "none", "yes")),
    "branch_height_m": (0.3, number(2, 15)),
    "slope_pct": (0.5, number(0, 40, 0)),
    "fuel_upslope": (0.7, one("no", "yes")),
    "feeders": (0.3, whole(1, 5)),
    "quench_method": (0.6, one("raked_and_sprayed", "unraked_or_machine_bin", "flooded")),
    "under_trees": (0.2, YES),
    "elevation_m": (0.5, number(290, 315, 1)),
    "status": (0.2, STATUS),
}
WATER: Table = {
    "source": (0.95, one(*SOURCES)),
    "volume_l": (0.5, number(150, 30_000, 0)),
    "yield_l_min": (0.4, number(3, 400, 0)),
    "usable_on_date": (0.8, one(True, True, False)),
    "permission": (0.8, one("yes", "yes", "asked", "no")),
    "static_pressure_kpa": (0.3, number(80, 900, 0)),
    "residual_pressure_kpa": (0.25, number(50, 500, 0)),
    "residual_flow_l_min": (0.25, number(8, 900, 0)),
    "area_m2": (0.25, number(20, 3000, 0)),
    "depth_m": (0.35, number(0.3, 4)),
    "usable_fraction": (0.25, number(0.1, 1)),
    "suction_lift_m": (0.6, number(-1, 8, 1)),
    "water_temperature_c": (0.2, number(2, 30, 0)),
    "refill_l_min": (0.2, number(1, 100, 0)),
    "usable_from": (0.1, DAY),
    "usable_to": (0.1, DAY),
    "tank_shape": (0.3, one("horizontal_cylinder", "vertical_cylinder", "box")),
    "diameter_m": (0.3, number(0.6, 3)),
    "length_m": (0.3, number(0.8, 5)),
    "width_m": (0.2, number(0.6, 3)),
    "height_m": (0.2, number(0.5, 3)),
    "depth_of_water_m": (0.3, number(0.1, 2)),
    "elevation_m": (0.5, number(285, 310, 1)),
}
SAID: Mapping[str, Table] = {
    "pile": PILE,
    "windrow": WINDROW,
    "transect": TRANSECT,
    "kiln_spot": KILN_SPOT,
    "water_source": WATER,
    "structure": {"use": (0.8, one("own", "occupied_by_others", "unoccupied"))},
    "road": {"public": (0.7, YES)},
    "power_line": {"overhead": (0.7, one(True, True, False)), "voltage_kv": (0.6, number(0.2, 400, 0))},
    "standing_timber": {"height_m": (0.6, number(6, 50, 0))},
    "hazard_tree": {"height_m": (0.6, number(6, 50, 0))},
    "smoke_place": {"what": (0.7, one("home", "school", "livestock"))},
    "control_line": {"width_m": (0.7, number(0.3, 5)), "status": (0.5, STATUS)},
    "hose_lay": {"profile": (0.4, one([[0, 0], [20, 1.5], [60, 4]], [[0, 0], [45, 9], [90, -2]]))},
}
RANGED = (
    *("length_m", "width_m", "height_m", "packing_ratio", "density_kg_m3", "soil_fraction", "char_stock_fraction"),
    *("moisture_pct", "volume_l", "yield_l_min"),
)
COUPLING = (0.4, one(25, 38, 38, 65))
EQUIPMENT: Mapping[str, Table] = {
    "kilns": {
        "shape": (0.97, one("box", "trough", "frustum", "ring")),
        "length_m": (0.9, number(1.2, 4)),
        "width_m": (0.9, number(0.8, 2)),
        "diameter_m": (0.9, number(1, 2.4)),
        "height_m": (0.95, number(0.4, 1.2)),
        "length_bottom_m": (0.4, number(0.8, 1.2)),
        "width_bottom_m": (0.4, number(0.4, 0.8)),
        "diameter_bottom_m": (0.5, number(0.6, 1)),
        "holds_water": (0.8, one("yes", "drips", "no_floor")),
        "piece_limit_cm": (0.7, number(5, 25, 0)),
        "has_floor": (0.4, YES),
        "plate_thickness_mm": (0.4, number(2, 8, 0)),
        "steel_mass_kg": (0.3, number(60, 900, 0)),
        "leaks_l_min": (0.2, number(0, 20, 1)),
        "fill_fraction": (0.4, number(0.4, 0.95)),
        "feed_kg_h": (0.4, number(40, 400, 0)),
        "feeders": (0.2, whole(1, 4)),
        "machine_feed_kg_h": (0.15, number(200, 900, 0)),
        "count": (0.3, whole(1, 3)),
    },
    "pumps": {
        "max_head_m": (0.8, number(15, 120, 0)),
        "max_flow_l_min": (0.8, number(80, 1200, 0)),
        "worn": (0.5, one("new", "worn")),
        "suction_bore_mm": (0.7, number(25, 100, 0)),
        "suction_length_m": (0.5, number(2, 10, 1)),
        "curve": (0.3, one([[0, 90], [200, 75], [400, 40]], [[0, 40], [150, 31], [300, 20], [500, 3]])),
        "rated_head_m": (0.15, number(15, 70, 0)),
        "rated_flow_l_min": (0.15, number(80, 600, 0)),
        "coupling_mm": COUPLING,
    },
    "hoses": {
        "bore_mm": (0.95, one(13, 19, 25, 38, 52, 65)),
        "lengths_m": (0.95, several(1, 9, one(10, 15, 20, 25, 30))),
        "rated_kpa": (0.7, number(300, 2000, 0)),
        "roughness_c": (0.3, number(90, 150, 0)),
        "coupling_mm": COUPLING,
        "wear": (0.2, one("new", "worn")),
    },
    "nozzles": {
        "bore_mm": (0.6, number(4, 20, 1)),
        "rated_flow_l_min": (0.6, number(15, 400, 0)),
        "rated_pressure_kpa": (0.6, number(200, 800, 0)),
        "open_end": (0.1, YES),
        "fog": (0.5, YES),
        "coupling_mm": COUPLING,
    },
    "machines": {
        "bucket_l": (0.7, number(150, 1500, 0)),
        "loaded_km_h": (0.5, number(0.8, 8, 1)),
        "empty_km_h": (0.5, number(1.5, 12, 1)),
        "max_slope_pct": (0.6, number(10, 60, 0)),
        "width_m": (0.6, number(1, 3.2)),
        "side_slope_pct": (0.3, number(5, 30, 0)),
        "reach_m": (0.5, number(1, 10, 1)),
        "lift_kg": (0.3, number(200, 4000, 0)),
    },
    "tanks": {"volume_l": (0.9, number(200, 6000, 0)), "mass_kg": (0.5, number(50, 900, 0))},
}
SECTIONS: Mapping[str, Table] = {
    "crew": {
        "adults": (0.8, whole(1, 10)),
        "rakers": (0.5, whole(0, 4)),
        "carriers": (0.7, whole(0, 6)),
        "buckets_each": (0.3, whole(1, 2)),
        "bucket_l": (0.3, number(8, 20, 0)),
        "feeders": (0.6, whole(1, 4)),
        "pace_m": (0.2, number(0.6, 0.9)),
    },
    "permit": {"number": (0.7, one("A 12")), "from": (0.8, one("2026-09-01")), "to": (0.8, DAY)},
    "season": {
        "date": (0.8, one("2026-10-10", "2026-12-05", "2026-06-20", "2026-08-19")),
        "date_walked": (0.5, one("2026-08-01", "2026-10-01")),
        "day_starts": (0.5, one("07:30", "08:00", "half past")),
        "day_ends": (0.5, one("16:00", "18:30")),
        "wind_from_deg": (0.4, number(0, 360, 0)),
        "surroundings": (0.7, one("snow", "wet", "green", "drying", "cured")),
        "fuel_height_m": (0.6, number(0, 2)),
    },
}


def said(rng: Random, table: Table, tidy: bool = False) -> dict[str, Any]:
    """What is said of one thing: each attribute with its chance; the tidy leave out little."""
    values: dict[str, Any] = {}
    for name, (chance, make) in table.items():
        if rng.random() >= chance + 0.25 * (tidy and chance >= 0.5):
            continue
        values[name] = make(rng)
        if name in RANGED and rng.random() < 0.25:
            values[f"{name}_low"] = round(values[name] * rng.uniform(0.6, 1), 3)
            values[f"{name}_high"] = round(values[name] * rng.uniform(1, 1.5), 3)
        if name in RANGED and rng.random() < 0.25:
            values[f"{name}_basis"] = rng.choice(("measured", "estimated", "assumed"))
    return values
