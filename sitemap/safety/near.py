"""What kiln spots are held against, as columns: the targets with the rules that govern them, which of them are near
which spot, how far off and with which verdict. Nothing here is done one by one that can be done for all at once.

Edge to edge on a plane. A kiln is a circle through the corners of its open top (its direction is not known).
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from operator import attrgetter

import numpy as np
import shapely
from numpy.typing import ArrayLike, NDArray
from shapely.geometry.base import BaseGeometry

from sitemap.errors import not_negative
from sitemap.safety.permission import Answer, answer_about
from sitemap.safety.records import Asked
from sitemap.safety.rules import Rule, governing
from sitemap.safety.targets import Target

FAR_ENOUGH, MEASURE, TOO_CLOSE = "far enough", "measure on the ground", "too close"
WORDS = (FAR_ENOUGH, MEASURE, TOO_CLOSE)
# Two edges this near touch: on the plane coordinates carry about a nanometre, a kiln's edge is good to a centimetre.
TOUCHING_M = 1e-6
OWNED_LINES = ("power_line", "buried_line", "railway")  # things whose owner is the "owner of a line" who is asked
ASK_FIRST = ("property_line", "railway", "buried_line")  # no usual distance: their owner names one
OWNER = {
    "power_line": ("line_owner",),
    "railway": ("line_owner",),
    "buried_line": ("line_owner",),
    "property_line": ("neighbour",),
}
_ALIKE = attrgetter("kind", "use", "height_m", "voltage_kv", "error_m")  # targets equal in these fall under one rule


@dataclass(frozen=True)
class Spot:
    """Where a kiln stands: place on the plane [m], radius of the circle through its corners, error of its place [m]."""

    id: str
    name: str
    place: BaseGeometry
    radius_m: float
    error_m: float


@dataclass(frozen=True)
class Ruling:
    """The rule that governs a target, the distance by it [m] and what was answered about it."""

    rule: Rule | None
    required_m: float | None
    answer: Answer | None = None


@dataclass(frozen=True)
class Ruled:
    """A target with its ruling."""

    target: Target
    rule: Rule | None
    required_m: float | None
    answer: Answer | None


@dataclass(frozen=True, eq=False)
class Targets:
    """What every kiln spot is held against, a column each; made once for all spots.

    placed : those with a place, in the order of the columns; lost : those without one that can be measured to
    rulings : the different ones; ruling : (n,) number of that of each target
    shape : (n,) edges on the plane [m]
    required_m : (n,) distance by the rule [m], 0 where none is entered; error_m : (n,) error of the place [m]
    sort : (n,) number of the pair of kind and use
    """

    placed: tuple[Target, ...]
    lost: tuple[Target, ...]
    rulings: tuple[Ruling, ...]
    ruling: NDArray[np.intp]
    shape: NDArray[np.object_]
    required_m: NDArray[np.float64]
    error_m: NDArray[np.float64]
    sort: NDArray[np.intp]

    def ruled(self, number: int) -> Ruled:
        """One of the placed targets, by its number, with its ruling."""
        ruling = self.rulings[self.ruling[number]]
        return Ruled(self.placed[number], ruling.rule, ruling.required_m, ruling.answer)

    @cached_property
    def sorts(self) -> tuple[NDArray[np.intp], ...]:
        """The numbers of the targets of each sort."""
        order = np.argsort(self.sort, kind="stable")
        return tuple(np.split(order, np.cumsum(np.bincount(self.sort))[:-1])) if order.size else ()

    @cached_property
    def trees(self) -> tuple[shapely.STRtree, ...]:
        """A tree of the shapes of each sort."""
        return tuple(shapely.STRtree(self.shape[rows]) for rows in self.sorts)


@dataclass(frozen=True, eq=False)
class Near:
    """Pairs of spot and target that a rule may speak of, a column each, by spot and then by target.

    spot, target : (n,) their numbers
    distance_m : (n,) edge to edge [m]
    code : (n,) verdict on the distance, as of `verdict_codes`; of no meaning where no distance is entered
    """

    spot: NDArray[np.intp]
    target: NDArray[np.intp]
    distance_m: NDArray[np.float64]
    code: NDArray[np.int8]

    def of(self, number: int) -> Near:
        """Those of one spot, by its number."""
        only = slice(*np.searchsorted(self.spot, [number, number + 1]))
        return Near(self.spot[only], self.target[only], self.distance_m[only], self.code[only])


def targets_by_rule(
    targets: Iterable[Target],
    rules: tuple[Rule, ...],
    asked: tuple[Asked, ...],
    machine_reach_m: float | None,
) -> Targets:
    """Setback targets with their governing rules, worked out once for all kiln spots.

    Parameters
    ----------
    targets : features of the site as the rules see them
    rules, asked : of the site
    machine_reach_m : longest reach of a machine on site [m], None without one
    """
    every = tuple(targets)
    shape = np.empty(len(every), dtype=object)
    shape[:] = [target.shape for target in every]
    lost: tuple[Target, ...] = ()
    placed, has_place = every, ~shapely.is_missing(shape)
    if not has_place.all():
        placed = tuple(target for target, has in zip(every, has_place, strict=True) if has)
        lost = tuple(target for target, has in zip(every, has_place, strict=True) if not has)
        shape = shape[has_place]
    rulings, ruling, kinds = _rulings(placed, rules, asked, machine_reach_m, every)
    sorts: dict[tuple[str, str], int] = {}
    sort = np.array([sorts.setdefault(kind[:2], len(sorts)) for kind in kinds], dtype=np.intp)
    return Targets(
        placed,
        lost,
        rulings,
        ruling,
        shape,
        np.array([each.required_m or 0.0 for each in rulings])[ruling],
        np.array([kind[-1] for kind in kinds], dtype=float)[ruling],
        sort[ruling],
    )


def ruled(
    targets: Iterable[Target],
    rules: tuple[Rule, ...],
    asked: tuple[Asked, ...],
    machine_reach_m: float | None,
    among: tuple[Target, ...],
) -> Iterator[Ruled]:
    """Each target with its rule and the answer about it.

    targets, rules, asked, machine_reach_m : as for `targets_by_rule`; among : all targets of the site
    """
    every = tuple(targets)
    rulings, ruling, _ = _rulings(every, rules, asked, machine_reach_m, among)
    for target, number in zip(every, ruling, strict=True):
        by = rulings[number]
        yield Ruled(target, by.rule, by.required_m, by.answer)


def _rulings(
    targets: Sequence[Target],
    rules: tuple[Rule, ...],
    asked: tuple[Asked, ...],
    machine_reach_m: float | None,
    among: tuple[Target, ...],
) -> tuple[tuple[Ruling, ...], NDArray[np.intp], list[tuple[str, str, float]]]:
    """The different rulings, the number of each target's, and kind, use and error [m] of the targets under each.

    Targets alike fall under one; those an answer may speak of have one of their own.
    """
    keys = list(map(_ALIKE, targets))
    numbers = {key: number for number, key in enumerate(dict.fromkeys(keys))}
    ruling = np.fromiter(map(numbers.__getitem__, keys), dtype=np.intp, count=len(keys))
    rulings, kinds = [], []
    for kind, use, height_m, voltage_kv, error_m in numbers:
        known = {"height_m": height_m, "voltage_kv": voltage_kv, "machine_reach_m": machine_reach_m}
        rulings.append(Ruling(*governing(rules, kind, use, **known)))
        kinds.append((kind, use, error_m))
    if asked:
        lines = [target.id for target in among if target.kind in OWNED_LINES]
        about = {entry.about for entry in asked}
        for place, target in enumerate(targets):
            alone = is_alone(target, lines)
            if not alone and target.id not in about:
                continue
            whom = OWNER.get(target.kind, ("line_owner", "neighbour", "authority"))
            answer = answer_about(asked, whom, target.id, alone=alone)
            if answer is None:
                continue
            by = rulings[ruling[place]]
            required_m = by.required_m
            if target.kind in ASK_FIRST or answer.distance_m:
                required_m = _with_answer(required_m, answer)
            ruling[place] = len(rulings)
            rulings.append(Ruling(by.rule, required_m, answer))
            kinds.append((target.kind, target.use, target.error_m))
    return tuple(rulings), ruling, kinds


def _with_answer(required_m: float | None, answer: Answer) -> float | None:
    """The distance where the owner named one too, or said that none is needed [m]: the larger counts."""
    named = answer.distance_m if answer.distance_m else 0.0 if answer.none_needed else None
    return max((each for each in (required_m, named) if each is not None), default=None)


def is_alone(target: Target, lines: Iterable[str]) -> bool:
    """Whether an answer of "the owner" that names no feature can only be about this line.

    lines : ids of the owned lines of the site
    """
    return target.kind in OWNED_LINES and all(line == target.id for line in lines)


def near_of(spots: Sequence[Spot], targets: Targets, beyond_m: float) -> Near:
    """Every pair of spot and target within the widest rule of the target's sort, both errors and a margin.

    A target that is not among them is far enough by its rule, and further off than all of its sort that are.

    Parameters
    ----------
    spots : kiln spots; a spot is found among the targets itself where it is one
    targets : features and kiln spots
    beyond_m : the margin [m]; infinite for all pairs
    """
    places = np.array([spot.place for spot in spots], dtype=object)
    radius_m = np.array([spot.radius_m for spot in spots], dtype=float)
    error_m = np.array([spot.error_m for spot in spots], dtype=float)
    reach_m = targets.required_m + targets.error_m
    pairs = [np.empty((2, 0), dtype=np.intp)]
    for rows, tree in zip(targets.sorts, targets.trees, strict=True):
        if np.isinf(beyond_m):
            pairs.append(np.stack([np.repeat(np.arange(len(spots)), rows.size), np.tile(rows, len(spots))]))
            continue
        within_m = reach_m[rows].max() + radius_m + error_m + beyond_m + TOUCHING_M
        found, among = tree.query(places, "dwithin", distance=within_m)
        pairs.append(np.stack([found, rows[among]]))
    spot, target = np.concatenate(pairs, axis=1)
    order = np.lexsort((target, spot))
    spot, target = spot[order], target[order]
    distance_m = np.maximum(shapely.distance(places[spot], targets.shape[target]) - radius_m[spot], 0.0)
    both_m = error_m[spot] + targets.error_m[target]
    return Near(spot, target, distance_m, verdict_codes(distance_m, targets.required_m[target], both_m))


def listed(spot: Spot, near: Near, targets: Targets, beyond_m: float) -> Near:
    """Of one spot: every target within its own rule, the errors and the margin, and the nearest of each sort.

    Parameters
    ----------
    spot : the kiln spot; it is no target of itself
    near : its own part of `near_of`
    targets, beyond_m : as for `near_of`
    """
    own = np.array([targets.placed[number].id == spot.id for number in near.target], dtype=bool)
    target, distance_m, code = near.target[~own], near.distance_m[~own], near.code[~own]
    nearest_m = np.full(len(targets.sorts), np.inf)
    np.minimum.at(nearest_m, targets.sort[target], distance_m)
    far = [row for sort in np.flatnonzero(np.isinf(nearest_m)) for row in _nearest(spot, targets, int(sort))]
    if far:
        further = np.array(far, dtype=np.intp)
        far_m = np.maximum(shapely.distance(spot.place, targets.shape[further]) - spot.radius_m, 0.0)
        np.minimum.at(nearest_m, targets.sort[further], far_m)
        both_m = spot.error_m + targets.error_m[further]
        code = np.concatenate([code, verdict_codes(far_m, targets.required_m[further], both_m)])
        target, distance_m = np.concatenate([target, further]), np.concatenate([distance_m, far_m])
    within_m = targets.required_m[target] + spot.error_m + targets.error_m[target] + beyond_m
    kept = np.flatnonzero(distance_m <= np.maximum(within_m, nearest_m[targets.sort[target]]))
    kept = kept[np.argsort(target[kept], kind="stable")]
    return Near(np.zeros(kept.size, dtype=np.intp), target[kept], distance_m[kept], code[kept])


def _nearest(spot: Spot, targets: Targets, sort: int) -> NDArray[np.intp]:
    """Those of one sort that are nearest to a spot where none is near: all of them where the spot is of it itself."""
    rows = targets.sorts[sort]
    if targets.placed[rows[0]].kind == "kiln_spot":
        return rows[[targets.placed[row].id != spot.id for row in rows]]
    nearest: NDArray[np.intp] = rows[targets.trees[sort].query_nearest(spot.place)]
    return nearest


def verdict_codes(distance_m: ArrayLike, required_m: ArrayLike, error_m: ArrayLike) -> NDArray[np.int8]:
    """The verdict on a distance, as an index into `WORDS`.

    Parameters
    ----------
    distance_m : edge to edge [m], 0 where the two touch or overlap; scalar or array
    required_m : by the rule [m]
    error_m : errors of both places, added [m]

    Returns
    -------
    0 far enough, 1 measure on the ground, 2 too close; same shape

    Raises
    ------
    BadValue : any of them below 0 or not a number

    Notes
    -----
    margin = distance − required. Margin below 0: too close. At least 0 but below the errors: measure. Else far enough.
    Touching or overlapping is too close whatever the rule says, also where it says 0 m.

    References
    ----------
    Plain arithmetic (D); the words are the house's (C).

    Examples
    --------
    >>> [WORDS[code] for code in verdict_codes([7.0, 12.0, 25.0], 8.0, 10.0)]
    ['too close', 'measure on the ground', 'far enough']
    """
    distance = np.asarray(not_negative("The distance", distance_m, "m"), dtype=float)
    margin = distance - np.asarray(not_negative("The distance by the rule", required_m, "m"), dtype=float)
    error = np.asarray(not_negative("The error of the two places", error_m, "m"), dtype=float)
    code = np.where(margin < error, 1, 0)
    return np.asarray(np.where((margin < 0) | (distance <= TOUCHING_M), 2, code), dtype=np.int8)
