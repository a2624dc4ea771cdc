"""The spots that make the least work: tonnes by the time of their trips, water, and kilns moved from spot to spot."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from shapely.geometry import Point

from sitemap.errors import positive
from sitemap.reasons import Reason, reason
from sitemap.siting.search import Moving, best_set, improved
from sitemap.siting.usable import Usable
from sitemap.siting.work import Haul, Heap, Progress, Work
from sitemap.terrain.grid import Mask
from sitemap.terrain.surface import Floats, bilinear

COARSE_CELLS = 62_500  # the search runs on at most so many cells, the figures shown on all of them
OTHER_PLACE_M = 30.0  # [m] a second choice for one spot lies at least this far from the first (ours)
UNSERVED_H_PER_T = 1e6  # [h/t] stands for no way at all
EDGE_M = 0.02  # [m] a spot keeps off the edge of usable ground: seven decimals of a degree are good to a centimetre
SPACING_M = 6.0  # [m] between the edges of two kilns (house rule)


@dataclass(frozen=True)
class ProposedSpot:
    """One spot of a proposal. water_h : hours to haul its quench water, 0 where a hose reaches."""

    x: float
    y: float
    dry_t: float
    hauls: tuple[Haul, ...]
    water_h: float


@dataclass(frozen=True)
class Proposal:
    """Spots that together make little work.

    machine_hours : haul_h + water_h + move_h [h]
    left_out : ids of heaps the machine cannot carry from
    """

    spots: tuple[ProposedSpot, ...]
    machine_hours: float
    haul_h: float
    water_h: float
    move_h: float
    left_out: tuple[str, ...]


def ranked_spots(
    usable: Usable,
    work: Work,
    *,
    spots_most: int = 3,
    kilns: int = 1,
    apart_m: float = SPACING_M,
    progress: Progress | None = None,
) -> tuple[Proposal, ...]:
    """The best spots for one to spots_most kiln spots, least work first.

    Parameters
    ----------
    usable : where a kiln may stand
    work : the heaps with their dry tonnes, the ground on the grid of `usable`, the machine, and what its work costs
    spots_most : largest number of spots
    kilns : on hand; with fewer kilns than spots they are moved, along straight lines
    apart_m : between the edges of two kilns [m]
    progress : told (share done, what is being done)

    Returns
    -------
    the best set of each number of spots and a second choice for one spot, those that leave out the most slash last;
    empty where no usable ground is within reach of a heap. Searched on coarse cells, moved to the best usable cell near
    by, then reckoned on the true ways: one pass over the ground from each spot, whatever the number of heaps.

    Raises
    ------
    BadValue : a heap without tonnes, a rate or number not above zero
    """
    for heap in work.heaps:
        positive(f"The dry wood of {heap.name}", heap.dry_t, "t")
    for name, value in (*vars(work.rates).items(), ("number of spots", spots_most), ("number of kilns", kilns)):
        positive(f"The {name}", value)
    told = progress or _untold
    ranking = _Ranking(usable, work, apart_m, told)
    sets = ranking.search(spots_most, kilns)
    proposals = []
    for number, places in enumerate(sets):
        told(0.5 + 0.5 * number / len(sets), reason("siting.reckoning"))
        proposals.append(ranking.reckoned(places, kilns))
    useful = [one for one in proposals if one is not None]
    return tuple(sorted(useful, key=lambda one: (_left_out_t(one, work.heaps), one.machine_hours)))


def kiln_row(x: float, y: float, count: int, wind_from_deg: float, spacing_m: float) -> tuple[tuple[float, float], ...]:
    """Middles of several kilns in a row about a place, across the wind, so that none stands in another's smoke.

    x, y : middle of the row [m]; wind_from_deg : where the wind comes from, clockwise from north [deg];
    spacing_m : between the middles [m]. Raises BadValue for a count or spacing that is not above zero.

    >>> [tuple(round(part, 6) + 0 for part in place) for place in kiln_row(0, 0, 3, 0, 8)]  # wind from the north
    [(-8.0, 0.0), (0.0, 0.0), (8.0, 0.0)]
    """
    positive("The number of kilns", count)
    positive("The spacing of kilns", spacing_m, "m")
    east, north = math.cos(math.radians(wind_from_deg)), -math.sin(math.radians(wind_from_deg))
    along = [(number - (count - 1) / 2) * spacing_m for number in range(count)]
    return tuple((x + step * east, y + step * north) for step in along)


def _left_out_t(proposal: Proposal, heaps: Sequence[Heap]) -> float:
    return sum(heap.dry_t for heap in heaps if heap.id in proposal.left_out)


def _untold(_share: float, _doing: Reason) -> None:
    pass


class _Ranking:
    """One ranking: searched over coarse blocks, moved to cells, reckoned on the true ways."""

    def __init__(self, usable: Usable, work: Work, apart_m: float, progress: Progress) -> None:
        self.usable, self.work, self.progress = usable, work, progress
        self.spacing_m = apart_m + 2 * usable.kiln_radius_m
        self.fine = _usable_cells(usable)
        self.factor = max(1, math.ceil(math.sqrt(usable.grid.size / COARSE_CELLS)))

    def search(self, spots_most: int, kilns: int) -> list[Floats]:
        """Sets of places (n, 2) [m] worth reckoning."""
        self.progress(0.0, reason("siting.looking_at_ground"))
        while self.factor > 1 and self.work.groups(self.factor) != self.work.groups(1):
            self.factor //= 2  # a gate narrower than a block was shut: look closer
        grid = self.usable.grid.coarser(self.factor)
        blocks = np.flatnonzero(_blocks(self.fine, self.factor))
        if blocks.size == 0:
            return []
        hours = self.work.coarse_hours(self.usable.grid, self.factor, self.progress)
        # a heap that cannot be served costs more than any work: it is left out only where nothing else helps
        tonnes = np.array([[heap.dry_t] for heap in self.work.heaps])
        self.hours = np.where(np.isfinite(hours), hours, UNSERVED_H_PER_T * tonnes)
        self.grid = grid
        places, hours = np.column_stack(grid.centre_of(blocks)), self.hours[:, blocks]
        sets = []
        for count in range(1, spots_most + 1):
            self.progress(0.3 + 0.2 * count / spots_most, reason("siting.looking_for_spots", count=count))
            moving = self._moving(kilns)
            chosen = best_set(hours, places, count, max(self.spacing_m, grid.cell_m), moving)
            if not chosen:
                break
            sets.append(self._refined(places[list(chosen)], moving))
            if count == 1:
                near = np.hypot(*(places - places[chosen[0]]).T) < OTHER_PLACE_M
                other = best_set(hours, places, 1, 0.0, moving, near)
                sets += [self._refined(places[list(other)], moving)] if other else []
        return sets

    def reckoned(self, places: Floats, kilns: int) -> Proposal | None:
        """A set of spots on the true ways; None where one of them is of no use after all."""
        hauls = [self.work.hauls_to(Point(*place)) for place in places]
        water = [self.work.water_h_per_t(Point(*place)) for place in places]
        by_spot: list[list[Haul]] = [[] for _ in places]
        left_out = []
        for number, heap in enumerate(self.work.heaps):
            costs = [
                math.inf if row[number] is None else row[number].hours + heap.dry_t * per_t  # type: ignore[union-attr]
                for row, per_t in zip(hauls, water, strict=True)
            ]
            best = int(np.argmin(costs))
            haul = hauls[best][number]
            if haul is None or not math.isfinite(costs[best]):
                left_out.append(heap.id)
            else:
                by_spot[best].append(haul)
        if not all(by_spot):
            return None
        spots = tuple(
            self._spot(place, tuple(row), per_t) for place, row, per_t in zip(places, by_spot, water, strict=True)
        )
        move_h = float(self._moving(kilns).hours(places))
        haul_h, water_h = sum(haul.hours for row in by_spot for haul in row), sum(spot.water_h for spot in spots)
        return Proposal(spots, haul_h + water_h + move_h, haul_h, water_h, move_h, tuple(left_out))

    def _spot(self, place: Floats, hauls: tuple[Haul, ...], water_h_per_t: float) -> ProposedSpot:
        dry_t = sum(haul.dry_t for haul in hauls)
        return ProposedSpot(float(place[0]), float(place[1]), dry_t, hauls, dry_t * water_h_per_t)

    def _moving(self, kilns: int) -> Moving:
        return Moving(kilns, self.work.rates.move_h, 1 / (1000 * self.work.rates.move_km_h))

    def _refined(self, places: Floats, moving: Moving) -> Floats:
        """Spots moved from the middle of their block to the best usable cell near by."""
        hours = self.hours.reshape(-1, *self.grid.shape)
        step = self.usable.grid.cell_m

        def at(points: Floats) -> Floats:
            row = (self.grid.y0_m - points[:, 1]) / self.grid.cell_m - 0.5
            column = (points[:, 0] - self.grid.x0_m) / self.grid.cell_m - 0.5
            return np.array([bilinear(layer, row, column) for layer in hours])

        def options(number: int) -> tuple[Floats, Floats]:
            reach = 1.5 * self.grid.cell_m if self.factor > 1 else 0.0
            offset = np.arange(-math.floor(reach / step), math.floor(reach / step) + 1) * step
            cells = self.usable.grid.cell_of(*(part.ravel() for part in _around(places[number], offset)))
            cells = np.unique(cells[cells >= 0])
            cells = cells[self.fine.ravel()[cells]]
            points = np.column_stack(self.usable.grid.centre_of(cells))
            return at(points), points

        return improved(len(places), options, at(places), places, self.spacing_m, moving)


def _around(place: Floats, offset: Floats) -> tuple[Floats, Floats]:
    east, north = np.meshgrid(place[0] + offset, place[1] + offset)
    return east, north


def _usable_cells(usable: Usable) -> Mask:
    """Cells whose middle lies on usable ground, and not on its very edge."""
    return usable.grid.burn([usable.area.buffer(-EDGE_M, join_style="mitre")], by_middle=True)


def _blocks(mask: Mask, factor: int) -> Mask:
    """Blocks of factor × factor cells with at least one true."""
    rows, columns = (-(-side // factor) for side in mask.shape)
    whole = np.zeros((rows * factor, columns * factor), dtype=bool)
    whole[: mask.shape[0], : mask.shape[1]] = mask
    return np.asarray(whole.reshape(rows, factor, columns, factor).any(axis=(1, 3)))
