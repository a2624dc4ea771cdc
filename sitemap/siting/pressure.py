"""What the hose along the way to every cell must bear while water runs: beyond its rating it may burst, below the
pressure of the air it draws air or collapses. A kiln spot is short by both, so an area of reach is too."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from sitemap.hydraulics.friction import head_m
from sitemap.hydraulics.steady_flow import HoseRun
from sitemap.ranges import Array
from sitemap.terrain.along_way import way_extremes
from sitemap.terrain.routes import Field
from sitemap.water.equipment import Rig

ROUNDING_M = 1e-6


def bursts(
    rig: Rig, reached: Field, cells: NDArray[np.intp], route_m: Array, level_m: float, flow_l_min: Array
) -> NDArray[np.bool_]:
    """Whether some hose holds more than its rating at a flow, likely inputs.

    Parameters
    ----------
    rig : hose line of the source, without a relay
    reached : field of hose lengths
    cells : (n,) numbers of cells
    route_m : (n,) way to each [m]
    level_m : height of the water [m]
    flow_l_min : (n,) what runs [L/min], NaN where nothing does

    Returns
    -------
    (n,) False where nothing runs and where no rating is known
    """
    if rig.rated_kpa is None or not cells.size:
        return np.zeros(cells.shape, dtype=np.bool_)
    hoses, start_m = rig.hoses(route_m), _start_m(rig, flow_l_min)
    lowest = np.minimum(way_extremes(reached)[0].ravel()[cells] - level_m, 0.0)
    over: NDArray[np.bool_] = start_m > _rating_m(hoses[0])
    asked = np.flatnonzero(~over & (start_m - lowest > float(head_m(rig.rated_kpa))))
    over[asked] = _walked(rig, reached, cells[asked], route_m[asked], level_m, flow_l_min[asked])[0]
    return over


def draws_air(
    rig: Rig, reached: Field, cells: NDArray[np.intp], route_m: Array, level_m: float, flow_l_min: Array
) -> NDArray[np.bool_]:
    """Whether the pressure falls below the air's at a high point of the way at a flow; as `bursts`."""
    highest = way_extremes(reached)[1].ravel()[cells] - level_m
    hoses = rig.hoses(route_m)
    left = _start_m(rig, flow_l_min) - sum(_loss_m(rig, hose, flow_l_min) for hose in hoses)
    asked = np.flatnonzero(left < highest)
    found = np.zeros(cells.shape, dtype=np.bool_)
    found[asked] = _walked(rig, reached, cells[asked], route_m[asked], level_m, flow_l_min[asked])[1]
    return found


def _start_m(rig: Rig, flow_l_min: Array) -> Array:
    """Head where the first hose starts [m]."""
    lost = rig.suction.loss_m(flow_l_min, rig.suction.length_m) if rig.suction else 0.0
    return np.asarray(rig.supply.head_m(flow_l_min) * float(rig.supply_share[0]) - lost)


def _loss_m(rig: Rig, hose: HoseRun, flow_l_min: Array) -> Array:
    return np.asarray(hose.loss_m(flow_l_min, hose.length_m, float(rig.friction_share[0])))


def _rating_m(hose: HoseRun) -> float:
    return np.inf if hose.rated_kpa is None else float(head_m(hose.rated_kpa))


def _walked(
    rig: Rig, reached: Field, cells: NDArray[np.intp], route_m: Array, level_m: float, flow_l_min: Array
) -> tuple[NDArray[np.bool_], NDArray[np.bool_]]:
    """Whether some hose holds more than its rating, and whether the pressure falls below the air's: (n,) twice.

    All ways are walked back to the water together, a cell at a time; where a hose starts between two cells the ground
    lies on the line between them.
    """
    start_m, friction = _start_m(rig, flow_l_min), float(rig.friction_share[0])
    hoses = rig.hoses(route_m)
    lengths = np.array([np.asarray(hose.length_m, dtype=float) for hose in hoses])
    losses = np.array([hose.loss_m(flow_l_min, hose.length_m, friction) for hose in hoses])
    ends, lost = np.cumsum(lengths, axis=0), np.cumsum(losses, axis=0)
    starts, ratings = ends - lengths, np.array([_rating_m(hose) for hose in hoses])[:, None]
    stretched = ends[-1] / np.maximum(route_m, ROUNDING_M)
    way_m, heights = reached.costs.ravel(), reached.graph.heights.ravel()
    over, below = np.zeros(cells.shape, dtype=np.bool_), np.zeros(cells.shape, dtype=np.bool_)
    at: NDArray[np.signedinteger] = cells
    here, outer_m, outer_z = np.arange(cells.size), ends[-1], heights[cells] - level_m
    while here.size:
        before = reached.before[at]
        along_m = np.where(before < 0, 0.0, way_m[at] * stretched[here])
        z = np.where(before < 0, 0.0, heights[at] - level_m)
        start, end, length = starts[:, here], ends[:, here], lengths[:, here]
        share = np.clip((along_m - start) / np.maximum(length, ROUNDING_M), 0.0, 1.0)
        head = start_m[here] - z - (losses[:, here] * share).sum(axis=0)
        on = (along_m >= start) & (along_m <= end + ROUNDING_M) & (length > 0)
        over[here] |= (on & (head > ratings)).any(axis=0)
        below[here] |= head < -ROUNDING_M
        for number in range(len(hoses) - 1):  # where a hose ends and the next starts, between this cell and the last
            joint = end[number]
            joins = (joint > along_m) & (joint < outer_m)
            part = (joint - along_m) / np.where(joins, outer_m - along_m, 1.0)
            at_joint = start_m[here] - z - part * (outer_z - z) - lost[number, here]
            over[here] |= joins & (at_joint > ratings[number : number + 2].min())
        onward = before >= 0
        here, at, outer_m, outer_z = here[onward], before[onward], along_m[onward], z[onward]
    return over, below
