"""What is on hand at the farm dam: trough kilns, pump and hose, an excavator."""

from __future__ import annotations

from typing import Any


def equipment() -> dict[str, Any]:
    """The lists of the `site` member's equipment, by kind."""
    return {
        "kilns": [
            {
                "id": "trough-3",
                "name": "3 m trough",
                "shape": "trough",
                "length_m": 3,
                "width_m": 1.2,
                "length_bottom_m": 2.7,
                "width_bottom_m": 0.8,
                "height_m": 0.8,
                "holds_water": "drips",
                "leaks_l_min": 6,
                "plate_thickness_mm": 4,
                "piece_limit_cm": 15,
                "fill_fraction": 0.7,
                "feed_kg_h": 260,
                "count": 2,
            },
            {
                "id": "trough-2",
                "name": "2.4 m trough",
                "shape": "trough",
                "length_m": 2.4,
                "width_m": 1,
                "length_bottom_m": 2.1,
                "width_bottom_m": 0.7,
                "height_m": 0.7,
                "holds_water": "drips",
                "leaks_l_min": 6,
                "steel_mass_kg": 190,
                "piece_limit_cm": 15,
                "fill_fraction": 0.75,
                "feed_kg_h": 190,
                "count": 2,
            },
        ],
        "pumps": [
            {
                "id": "pump-1",
                "name": "Fire pump",
                "max_head_m": 50,
                "max_flow_l_min": 420,
                "worn": "new",
                "suction_bore_mm": 50,
                "suction_length_m": 4,
                "coupling_mm": 38,
            }
        ],
        "hoses": [
            {
                "id": "hose-38",
                "name": "38 mm hose",
                "bore_mm": 38,
                "lengths_m": [20] * 23,
                "rated_kpa": 1400,
                "coupling_mm": 38,
                "wear": "new",
            }
        ],
        "nozzles": [{"id": "tip-6", "name": "6 mm tip", "bore_mm": 6, "coupling_mm": 38}],
        "machines": [
            {
                "id": "digger",
                "name": "20 t excavator",
                "bucket_l": 900,
                "loaded_km_h": 2.2,
                "empty_km_h": 3.2,
                "max_slope_pct": 20,
                "side_slope_pct": 12,
                "width_m": 2.8,
                "reach_m": 9.5,
                "lift_kg": 2500,
            }
        ],
    }
