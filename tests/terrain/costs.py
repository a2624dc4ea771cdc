"""What a way costs, read off a field of costs, and counted along the way itself."""

from __future__ import annotations

import numpy as np

from sitemap.terrain.routes import Field, Route
from sitemap.terrain.steps import Trip
from sitemap.terrain.travel import TravelCost


def cost_at(reached: Field, x: float, y: float) -> float:
    """Cost to the cell of a place [m]; inf outside and where it cannot be reached."""
    cell = int(reached.graph.grid.cell_of(x, y))
    return float("inf") if cell < 0 else float(reached.costs.flat[cell])


def trip_cost(route: Route, travel_cost: TravelCost, trip: Trip) -> float:
    """Cost of a trip along a route as drawn [s, or m for a hose]; inf where a stretch of it is beyond the limits."""
    run, rise = np.diff(route.distance_m), np.nan_to_num(np.diff(route.height_m))
    slope, length = rise / run, np.hypot(run, rise)
    out = travel_cost.cost(slope, length, trip != "loaded_back")
    back = 0.0 if trip == "one_way" else travel_cost.cost(-slope, length, trip == "loaded_back")
    return float(np.sum(out + back))
