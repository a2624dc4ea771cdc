"""Where a kiln may stand, what bars the rest, and a straight answer for any place.

Distances and the work area are kept to on the true shapes; slope, fuel, machine, water and ways out by cells.
Nobody is told that a place is safe: usable means that nothing entered speaks against it.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
import shapely
from shapely.geometry import Point
from shapely.geometry.base import BaseGeometry

from sitemap.errors import not_negative
from sitemap.reasons import Reason, reason
from sitemap.siting.layers import Layer, Objection
from sitemap.terrain.grid import Grid, Mask

BUFFER_SIDES = 64  # of a quarter circle of a buffer


@dataclass(frozen=True)
class Setback:
    """A distance a kiln keeps from something.

    shape : on the plane [m]
    distance_m : from the edge of the kiln to the shape [m]
    why : told where the kiln is closer
    error_m : errors of both positions added [m]: beyond the distance by less than this is not known
    what : stable word; about : id of the feature
    """

    shape: BaseGeometry
    distance_m: float
    why: Reason
    error_m: float = 0.0
    what: str = "setback"
    about: str = ""

    def objection(self, margin_m: float) -> Objection | None:
        """What it has against a kiln whose edge is so much farther off than it must be [m]; nearer bars."""
        if margin_m < 0:
            return Objection(self.what, True, self.why, self.about)
        if margin_m < self.error_m:
            return Objection(self.what, False, reason("siting.within_errors", why=self.why), self.about)
        return None


@dataclass(frozen=True)
class GroundType:
    """A patch of ground of a known kind: peat or roots bar, litter and duff are not known until scraped."""

    shape: BaseGeometry
    bars: bool
    why: Reason
    about: str = ""

    @property
    def objection(self) -> Objection:
        """What it has against a kiln on it."""
        return Objection("ground", self.bars, self.why, self.about)


@dataclass(frozen=True)
class Bar:
    """One kind of thing that bars ground where the crew works.

    what : stable word
    area_m2 : of the cells it bars, alone or with others [m²]
    reasons : the one that bars most first
    """

    what: str
    area_m2: float
    reasons: tuple[Reason, ...]


@dataclass(frozen=True, eq=False)
class Usable:
    """Usable ground of a site for one size of kiln, made by `usable_ground`.

    grid : the cells of the layers
    work_area : where the crew may work [m], or None where none is drawn
    setbacks, ground_types : true shapes
    kiln_radius_m : from the middle of the kiln to its edge [m]
    layers : what is judged by cells
    """

    grid: Grid
    work_area: BaseGeometry | None
    setbacks: tuple[Setback, ...]
    ground_types: tuple[GroundType, ...]
    kiln_radius_m: float
    layers: tuple[Layer, ...]

    @cached_property
    def open(self) -> Mask:
        """Cells no layer bars, (rows, columns)."""
        barred = np.zeros(self.grid.shape, dtype=bool)
        for layer in self.layers:
            barred |= np.isin(layer.codes, [n + 1 for n, found in enumerate(layer.reasons) if found.bars])
        return ~barred

    @cached_property
    def area(self) -> BaseGeometry:
        """Where the middle of a kiln may stand, also where something is not known, on the plane [m]."""
        kept = [_kept_off(setback.shape, setback.distance_m + self.kiln_radius_m) for setback in self.setbacks]
        kept += [ground.shape for ground in self.ground_types if ground.bars]
        whole: BaseGeometry = self.grid.outline(self.open)
        if self.work_area is not None:
            whole = shapely.intersection(whole, self._standing_room)
        return shapely.difference(whole, shapely.union_all(kept)) if kept else whole

    @cached_property
    def bars(self) -> tuple[Bar, ...]:
        """What bars ground where the crew works, an entry for each kind of thing, largest first; ground barred by two
        kinds counts for both."""
        masks, sizes = self._barred
        bars = [
            Bar(
                what, float(mask.sum()) * self.grid.cell_m**2, tuple(sorted(sizes[what], key=lambda s: -sizes[what][s]))
            )
            for what, mask in masks.items()
        ]
        return tuple(sorted(bars, key=lambda bar: -bar.area_m2))

    def barred_by(self, groups: Iterable[tuple[str, Iterable[str]]]) -> Iterator[tuple[str, BaseGeometry]]:
        """The ground where the crew works by what bars it, as cells [m]; a place once, by the first group that bars it.

        groups : (name, kinds of things); those that bar nothing are left out
        """
        done = np.zeros(self.grid.shape, dtype=bool)
        for name, kinds in groups:
            masks = [self._barred[0][what] for what in kinds if what in self._barred[0]]
            own = np.logical_or.reduce(masks) & ~done if masks else done & False
            done |= own
            if own.any():
                yield name, self.grid.outline(own)

    @cached_property
    def _barred(self) -> tuple[dict[str, Mask], dict[str, dict[Reason, int]]]:
        """Cells where the crew works, by what bars them, and how many of them by each reason."""
        x, y = self.grid.centres()
        area = self.work_area
        worked = np.ones(self.grid.shape, dtype=bool) if area is None else shapely.contains_xy(area, x, y)
        masks: dict[str, Mask] = {}
        sizes: dict[str, dict[Reason, int]] = {}
        for found, mask in self._marks():
            here = mask & worked
            if found.bars and here.any():
                masks[found.what] = masks.get(found.what, False) | here
                sizes.setdefault(found.what, {})[found.why] = int(here.sum())
        return masks, sizes

    def nearest(self, x: float, y: float) -> tuple[float | None, tuple[float, float] | None]:
        """How far from a place usable ground is and where [m]; None twice where there is none."""
        if self.area.is_empty:
            return None, None
        line = shapely.shortest_line(Point(x, y), self.area)
        east, north = shapely.get_coordinates(line)[1]
        return float(line.length), (float(east), float(north))

    def objections_at(self, x: float, y: float) -> list[Objection]:
        """Everything that speaks against a kiln with its middle at a place [m], what bars first."""
        return sorted(self._objections_at(Point(x, y)), key=lambda found: not found.bars)

    @cached_property
    def _standing_room(self) -> BaseGeometry:
        """Where the whole kiln is inside the work area."""
        area = shapely.box(*self.grid.bounds) if self.work_area is None else self.work_area
        return area.buffer(-self.kiln_radius_m)

    def _objections_at(self, place: Point) -> Iterable[Objection]:
        if self.work_area is not None and not self._standing_room.covers(place):
            yield _OUTSIDE
        for setback in self.setbacks:
            margin = setback.shape.distance(place) - self.kiln_radius_m - setback.distance_m
            found = setback.objection(margin)
            if found is not None:
                yield found
        for ground in self.ground_types:
            if ground.shape.covers(place):
                yield ground.objection
        cell = int(self.grid.cell_of(place.x, place.y))
        if cell < 0:
            yield Objection("terrain", True, reason("siting.not_read"))
            return
        for layer in self.layers:
            code = int(layer.codes.flat[cell])
            if code:
                yield layer.reasons[code - 1]

    def _marks(self) -> Iterable[tuple[Objection, Mask]]:
        """Every reason with the cells it speaks of; a shape counts for every cell it touches."""
        burn = self.grid.burn
        for setback in self.setbacks:
            near = setback.distance_m + self.kiln_radius_m
            yield Objection(setback.what, True, setback.why, setback.about), burn([_kept_off(setback.shape, near)])
        for ground in self.ground_types:
            yield ground.objection, burn([ground.shape])
        for layer in self.layers:
            for number, found in enumerate(layer.reasons):
                yield found, layer.codes == number + 1


_OUTSIDE = Objection("work area", True, reason("siting.outside_work"))


def usable_ground(
    grid: Grid,
    work_area: BaseGeometry | None,
    setbacks: Sequence[Setback],
    layers: Sequence[Layer],
    kiln_radius_m: float,
    ground_types: Sequence[GroundType] = (),
) -> Usable:
    """Usable ground for a kiln.

    Parameters
    ----------
    grid : cells of the layers
    work_area : where the crew may work, on the plane [m]; None leaves it open
    setbacks : distances to keep, those of the heaps among them
    layers : slope, fuel above, machine access, water, ways out (`siting.layers`)
    kiln_radius_m : circle through the corners of the kiln [m]
    ground_types : patches of known ground

    Returns
    -------
    Usable

    Raises
    ------
    BadValue : a radius or distance below zero
    """
    not_negative("The radius of a kiln", kiln_radius_m, "m")
    for setback in setbacks:
        not_negative("A distance to keep", setback.distance_m, "m")
    sound = tuple(replace(ground, shape=shapely.make_valid(ground.shape)) for ground in ground_types)
    area = None if work_area is None else shapely.make_valid(work_area)  # a ring drawn across itself still counts
    return Usable(grid, area, tuple(setbacks), sound, kiln_radius_m, tuple(layers))


def _kept_off(shape: BaseGeometry, distance_m: float) -> BaseGeometry:
    """Ground nearer than a distance; the many-sided buffer is drawn round the circle, not into it."""
    return shape.buffer(distance_m / math.cos(math.pi / (4 * BUFFER_SIDES)), quad_segs=BUFFER_SIDES)
