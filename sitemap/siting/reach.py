"""Areas of reach (service areas): where water still arrives, and what stops it at the edge.

An area is made of cells, and a spot reads the cell it stands in, so the two say the same. A spot whose own figures
were typed (a lift, a bucket test, a drawn lay) may differ; those win.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cached_property
from types import MappingProxyType
from typing import Literal

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from sitemap.reasons import Fact, Reason, Term, metres, reason
from sitemap.terrain.grid import Grid, Mask
from sitemap.terrain.routes import Field
from sitemap.terrain.surface import Floats
from sitemap.terrain.travel import Hose

Limit = Literal[
    "hose length",
    "lift",
    "friction",
    "yield",
    "suction",
    "high point",
    "pressure",
    "time",
    "slope",
    "closed",
    "equipment",
    "not known",
    "within",
]

# what is said where the area ends
ENDS: Mapping[Limit, Reason] = MappingProxyType(
    {
        "hose length": reason("siting.ends_with_the_hose"),
        "lift": reason("siting.too_high"),
        "friction": reason("siting.too_much_friction"),
        "yield": reason("siting.too_little_yield"),
        "suction": reason("siting.beyond_suction"),
        "high point": reason("siting.high_point"),
        "pressure": reason("siting.may_burst"),
        "time": reason("siting.too_slow"),
        "slope": reason("siting.too_steep_for_it"),
        "closed": reason("siting.closed"),
        "equipment": reason("siting.not_entered"),
        "not known": reason("siting.height_not_known"),
    }
)
LIMITS: tuple[Limit, ...] = (*ENDS, "within")  # "within" is for cells the area does not end at
WITHIN = LIMITS.index("within")
OUT, TIGHT, SURE = 0, 1, 2


@dataclass(frozen=True)
class ReachAt:
    """What an area of reach says of one place.

    reached : whether the water arrives; None outside the ground read, and where the height is not known
    tight : it arrives, but an error in the heights or the hose, or one cell, would change that
    limit : what stops it, or "within"
    route_m : length of the way [m], None where there is none
    why : told last
    """

    reached: bool | None
    tight: bool
    limit: Limit
    route_m: float | None
    why: Reason


@dataclass(frozen=True, eq=False)
class Reach:
    """Where the water of one source arrives by one way.

    source_id : the water source
    way : "hose", "haul" or "hand"
    grid : the cells
    state : (rows, columns) 0 not reached, 1 tight, 2 reached
    limit : (rows, columns) number in LIMITS of what stops it there
    route_m : (rows, columns) length of the way [m], inf where there is none
    coarse : the elevation raster is too coarse to be sure of anything: tight at best
    relayed : the source has a relay and the area is made without: nowhere sure, and beyond it the water may yet arrive
    """

    source_id: str
    way: str
    grid: Grid
    state: NDArray[np.uint8]
    limit: NDArray[np.uint8]
    route_m: Floats
    coarse: bool = False
    relayed: bool = False

    def without_relay(self) -> Reach:
        """The area of a source whose relay was left out."""
        return replace(self.tight_at_best(), relayed=True)

    def tight_at_best(self) -> Reach:
        """The area where the need itself is not settled: nowhere sure."""
        return replace(self, state=np.minimum(self.state, TIGHT))

    @cached_property
    def area(self) -> BaseGeometry:
        """Where the water arrives, also tight, on the plane [m]."""
        return self.grid.outline(self.state != OUT)

    @cached_property
    def sure(self) -> BaseGeometry:
        """Where it arrives with something to spare, on the plane [m]."""
        return self.grid.outline(self.state == SURE)

    @cached_property
    def edges(self) -> tuple[tuple[Limit, BaseGeometry], ...]:
        """The outline of the area cut by what stops the water there, lines on the plane [m]; the edge of the ground
        read is none of them.
        """
        lines, codes = _borders(self.grid, self.state != OUT, self.limit)
        return tuple(
            (LIMITS[code], shapely.line_merge(shapely.multilinestrings(lines[codes == code])))
            for code in np.unique(codes)
        )

    def at(self, x: float, y: float) -> ReachAt:
        """What the area says of a place [m]."""
        cell = int(self.grid.cell_of(x, y))
        if cell < 0:
            return ReachAt(None, False, "not known", None, reason("siting.not_read"))
        state, limit, route = int(self.state.flat[cell]), LIMITS[self.limit.flat[cell]], float(self.route_m.flat[cell])
        return self._beyond(limit, route) if state == OUT else self._within(state == TIGHT, route)

    @property
    def _how(self) -> Term:
        return Term({"hose": "a hose", "hand": "carrying"}.get(self.way, "hauling"))

    def _beyond(self, limit: Limit, route_m: float) -> ReachAt:
        unknown = limit in ("not known", "equipment") or self.relayed
        why = reason(
            "siting.arrival_not_known" if unknown else "siting.no_arrival",
            how=self._how,
            why=ENDS[limit],
            without=without_relay(self.relayed),
        )
        return ReachAt(None if unknown else False, False, limit, route_m if np.isfinite(route_m) else None, why)

    def _within(self, tight: bool, route_m: float) -> ReachAt:
        over, without = metres(route_m), without_relay(self.relayed)
        if self.coarse:
            why = reason("siting.may_arrive", how=self._how, over=over, without=without)
        else:
            why = reason(
                "siting.arrives_tight" if tight else "siting.arrives", how=self._how, over=over, without=without
            )
        return ReachAt(True, tight, "within", route_m, why)


def without_relay(relayed: bool) -> Fact:
    """What is said behind a finding of an area made without its relay, or nothing."""
    return reason("siting.without_relay") if relayed else ""


def made_reach(
    source_id: str, way: str, reached: Field, route_m: Floats, passes: Mask, sure: Mask, stops: NDArray[np.int64]
) -> Reach:
    """An area of reach from what was found cell by cell.

    Parameters
    ----------
    source_id, way : see `Reach`
    reached : the field the ways were found with
    route_m : (rows, columns) [m]
    passes, sure : (rows, columns) the water arrives; it arrives with something to spare
    stops : (rows, columns) number in LIMITS of what stops it where there is a way and it does not arrive

    Returns
    -------
    Reach; cells that touch one not reached are tight at best: a cell is the finest that can be told apart
    """
    graph = reached.graph
    there = np.isfinite(route_m)
    passes, sure = passes & there, sure & passes & there
    sure &= ~_grown(~passes) & (not graph.terrain.coarse)
    unreached = "hose length" if isinstance(graph.travel_cost, Hose) else "slope"
    limit = np.where(there, stops, LIMITS.index(unreached))
    limit = np.where(~graph.open, LIMITS.index("closed"), limit)
    limit = np.where(np.isnan(graph.terrain.elevation_m), LIMITS.index("not known"), limit)
    limit = np.where(passes, WITHIN, limit)
    state = np.where(sure, SURE, np.where(passes, TIGHT, OUT))
    return Reach(
        source_id, way, graph.grid, state.astype(np.uint8), limit.astype(np.uint8), route_m, graph.terrain.coarse
    )


def nowhere(source_id: str, reached: Field, limit: Limit) -> Reach:
    """A hose line that arrives nowhere, or of which nothing is known, whatever the way.

    source_id : the water source; reached : field of hose lengths from it; limit : why
    """
    none = np.zeros(reached.costs.shape, dtype=bool)
    why = np.full(none.shape, LIMITS.index(limit), dtype=np.uint8)
    return Reach(source_id, "hose", reached.graph.grid, none.astype(np.uint8), why, reached.costs)


def _grown(mask: Mask) -> Mask:
    """The cells of a mask and all that touch them."""
    from scipy.ndimage import binary_dilation

    return np.asarray(binary_dilation(mask, np.ones((3, 3), dtype=bool)))


def _borders(grid: Grid, inside: Mask, limit: NDArray[np.uint8]) -> tuple[NDArray[np.object_], NDArray[np.uint8]]:
    """Sides between a cell inside and one outside, each with what stops it in the cell outside."""
    ends: list[Floats] = []
    codes: list[NDArray[np.uint8]] = []
    cell = grid.cell_m
    for upright in (False, True):  # sides that run east, between rows; then those that run north, between columns
        a, b = (inside[:, :-1], inside[:, 1:]) if upright else (inside[:-1], inside[1:])
        far = (limit[:, :-1], limit[:, 1:]) if upright else (limit[:-1], limit[1:])
        row, column = np.nonzero(a != b)
        codes.append(np.where(a[row, column], far[1][row, column], far[0][row, column]))
        x = grid.x0_m + (column + (1 if upright else 0)) * cell
        y = grid.y0_m - (row + (0 if upright else 1)) * cell
        along = (0.0, -cell) if upright else (cell, 0.0)
        ends.append(np.stack([np.column_stack([x, y]), np.column_stack([x + along[0], y + along[1]])], axis=1))
    return np.asarray(shapely.linestrings(np.concatenate(ends))), np.concatenate(codes)
