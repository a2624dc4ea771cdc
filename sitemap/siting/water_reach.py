"""The water room's own figures, asked for every cell at once: where its verdict on the quench would not be *short*."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from sitemap.hydraulics import profile, shuttle
from sitemap.hydraulics.friction import head_m, pressure_kpa
from sitemap.hydraulics.nozzle import outlet_pressure_kpa
from sitemap.hydraulics.steady_flow import steady_flow_l_min
from sitemap.ranges import Array
from sitemap.siting.pressure import bursts, draws_air
from sitemap.siting.reach import LIMITS, Limit, Reach, made_reach
from sitemap.terrain.along_way import way_extremes, way_lengths, way_steepest_pct
from sitemap.terrain.routes import Field
from sitemap.water import verdict
from sitemap.water.equipment import Rig
from sitemap.water.reach import haul_margin_min, quench_margin_m
from sitemap.water.shuttle import Trip

Asked = tuple[float, float]
CAUTIOUS_PCT = 10  # [%] of the draws lie beyond the cautious value of a share: as for low and high everywhere


def hose_reach(
    source_id: str,
    reached: Field,
    rig: Rig,
    asked: Asked,
    careful: Asked,
    level_m: float,
    lift_error_m: float,
) -> Reach:
    """Where the flow a quench needs still arrives by the hose on hand.

    Parameters
    ----------
    source_id : the water source
    reached : field of hose lengths from the source
    rig : the hose line there, everything but way and lift
    asked : likely water of the quench [L] and flow that only keeps pace with the glow [L/min]
    careful : the same, high
    level_m : height of the water on the terrain [m]
    lift_error_m : error of a height difference read off the terrain [m]

    Returns
    -------
    Reach. A cell is reached where the water room's likely figures are met at some lift within its error, as a spot
    there would not be *short*; whole hoses, their rating, high points and priming count. It is tight where the high
    figures are not met with a cautious pump and friction at the worse lift, and where a high point or shutting the
    nozzle asks for a closer look.
    """
    shape = reached.costs.shape
    route = way_lengths(reached)
    ground = reached.graph.terrain.elevation_m.astype(float)
    cells = np.flatnonzero(np.isfinite(route))
    length: Array = np.asarray(route.ravel()[cells], dtype=float)
    lift: Array = ground.ravel()[cells] - level_m
    lowest, highest = (np.asarray(part.ravel()[cells] - level_m, dtype=float) for part in way_extremes(reached))
    wear = float(rig.supply_share[0])
    needed = verdict.needed_flow_l_min(*asked, profile.fill_l(rig.hoses(length)))
    at_nozzle = np.asarray(head_m(outlet_pressure_kpa(rig.outlet_factor, needed)))
    with np.errstate(invalid="ignore"):
        top = np.where(highest > lift, highest, lift - lift_error_m)
        at_best = quench_margin_m(rig, *asked, length, lift - lift_error_m, top)
        at_worst = quench_margin_m(_cautious(rig), *careful, length, lift + lift_error_m, highest)
        passes = at_best >= 0
        sure = (at_worst >= 0) & rig.couples(length)
        flow = np.full(cells.size, np.nan)
        strained = _shut_kpa(rig, lowest) > (np.inf if rig.rated_kpa is None else rig.rated_kpa)
        primed = (rig.supply.most_head_m <= 0) | (rig.supply.most_head_m * wear > highest)
        asks = passes & primed & (strained | (highest - lift > at_nozzle))  # ask the flow that runs
        ways = length[asks]
        flow[asks] = runs = steady_flow_l_min(rig.line(rig.all_hoses(ways)), lift[asks])
        held = np.asarray(head_m(outlet_pressure_kpa(rig.outlet_factor, flow)))
        sure &= ~strained & ~(highest - lift > held)  # pressure may fall below zero at the high point
        burst, dry = np.zeros_like(passes), np.zeros_like(passes)
        burst[asks] = bursts(rig, reached, cells[asks], ways, level_m, runs)
        dry[asks] = draws_air(rig, reached, cells[asks], ways, level_m, np.minimum(runs, needed[asks]))
        passes &= ~burst & ~dry
        no_friction = rig.supply.head_m(needed) * wear - lift - at_nozzle
    if rig.tight:
        sure = np.zeros_like(sure)
    stops = np.full(cells.size, _code("friction"))
    stops[no_friction < 0] = _code("lift")
    stops[needed > rig.supply.most_flow_l_min] = _code("yield")
    stops[~primed] = np.where(highest > lift + lift_error_m, _code("high point"), _code("lift"))[~primed]
    stops[dry] = _code("high point")
    stops[burst] = _code("pressure")
    stops[np.isnan(at_best)] = _code("hose length")
    return made_reach(
        source_id,
        "hose",
        reached,
        route,
        _spread(shape, cells, passes, False),
        _spread(shape, cells, sure, False),
        _spread(shape, cells, stops, 0),
    )


def haul_reach(
    source_id: str,
    reached: Field,
    trip: Trip,
    asked: Asked,
    careful: Asked,
    filling_l_min: float = np.inf,
    way: str = "haul",
) -> Reach:
    """Where loads still bring a quench in time.

    Parameters
    ----------
    source_id : the water source
    reached : field of trips of the machine or the carriers from the source
    trip : the water room's haul: litres, times, speeds
    asked : likely water of the quench [L] and flow that only keeps pace with the glow [L/min]
    careful : the same, high
    filling_l_min : flow the source fills loads with [L/min]
    way : "haul" or "hand"

    Returns
    -------
    Reach. A cell is reached where the water room's likely figures for the length of the way are met; it is tight where
    the high ones are not at the slow end of the pace, and where the way is steeper than 20 % for a machine.
    """
    route = way_lengths(reached)
    cells = np.flatnonzero(np.isfinite(route))
    length: Array = np.asarray(route.ravel()[cells], dtype=float)
    slow = replace(trip, loaded_km_h=trip.loaded_km_h * trip.pace[1], empty_km_h=trip.empty_km_h * trip.pace[1])
    passes = haul_margin_min(trip, *asked, length, filling_l_min) >= 0
    sure = haul_margin_min(slow, *careful, length, filling_l_min) >= 0
    if way == "haul":
        limit = shuttle.SLOPE_STOP_PCT if trip.max_slope_pct is None else trip.max_slope_pct
        sure &= way_steepest_pct(reached).ravel()[cells] <= min(shuttle.SLOPE_WARN_PCT, limit)
    shape = reached.costs.shape
    return made_reach(
        source_id,
        way,
        reached,
        route,
        _spread(shape, cells, passes, False),
        _spread(shape, cells, sure, False),
        np.full(shape, _code("time")),
    )


def _shut_kpa(rig: Rig, lowest_m: Array) -> Array:
    """Pressure at the lowest point of a way with the nozzle shut [kPa]."""
    return np.asarray(pressure_kpa(rig.supply.most_head_m * rig.supply_share[0] - np.minimum(lowest_m, 0.0)))


def _cautious(rig: Rig) -> Rig:
    """The rig with a pump as worn and a hose as rough as one draw in ten makes them."""
    supply_share = np.percentile(rig.supply_share[1:], CAUTIOUS_PCT, keepdims=True)
    friction_share = np.percentile(rig.friction_share[1:], 100 - CAUTIOUS_PCT, keepdims=True)
    return replace(rig, supply_share=supply_share, friction_share=friction_share)


def _code(limit: Limit) -> int:
    return LIMITS.index(limit)


def _spread(shape: tuple[int, ...], cells: NDArray[np.intp], values: NDArray[Any], otherwise: float) -> NDArray[Any]:
    """Values of some cells laid out over the whole grid."""
    whole = np.full(int(np.prod(shape)), otherwise, dtype=values.dtype)
    whole[cells] = values
    return whole.reshape(shape)
