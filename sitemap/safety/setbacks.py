"""Kiln spots against everything they must keep clear of: the targets as columns, the margin, the verdict, the line.

Edge to edge on a plane. A kiln is a circle through the corners of its open top (its direction is not known).
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import ArrayLike, NDArray
from shapely.geometry.base import BaseGeometry

from sitemap.errors import not_negative
from sitemap.reasons import Quantity, Reason, Term, metres, needed_and_there, reason
from sitemap.safety.effects import ORDER, effect_of
from sitemap.safety.permission import Answer, Check, answer_about
from sitemap.safety.records import Asked
from sitemap.safety.rules import Rule, governing
from sitemap.safety.targets import Target

FAR_ENOUGH, MEASURE, TOO_CLOSE = "far enough", "measure on the ground", "too close"
WORDS = (FAR_ENOUGH, MEASURE, TOO_CLOSE)
# Two edges this near touch: on the plane coordinates carry about a nanometre, a kiln's edge is good to a centimetre.
TOUCHING_M = 1e-6
LISTED_BEYOND_RULE_M = 30.0  # [m] features this far beyond their rule are still listed
OWNED_LINES = ("power_line", "buried_line", "railway")  # things whose owner is the "owner of a line" who is asked
ASK_FIRST = ("property_line", "railway", "buried_line")  # no usual distance: their owner names one
OWNER = {
    "power_line": ("line_owner",),
    "railway": ("line_owner",),
    "buried_line": ("line_owner",),
    "property_line": ("neighbour",),
}
Line = tuple[tuple[float, float], tuple[float, float]]


@dataclass(frozen=True)
class Spot:
    """Where a kiln stands: place on the plane [m], radius of the circle through its corners, error of its place [m]."""

    id: str
    name: str
    place: BaseGeometry
    radius_m: float
    error_m: float


@dataclass(frozen=True)
class Setback:
    """One feature against one kiln spot, by the rule that governs; None where there is no figure.

    feature, name, kind, use : of the feature
    distance_m : edge to edge; error_m : both errors added; required_m : by the rule; margin_m : distance − required
    verdict, effect : see `effects`
    rule, source, standing : of the governing rule
    reason : what was found
    line : from the edge of the kiln to the nearest point of the feature, on the plane [m]
    """

    feature: str
    name: str
    kind: str
    use: str
    distance_m: float | None
    error_m: float | None
    required_m: float | None
    margin_m: float | None
    verdict: str
    effect: str
    rule: str
    source: str
    standing: str
    reason: Reason
    line: Line | None


@dataclass(frozen=True)
class Ruled:
    """A target with the rule that governs it, the distance by it [m] and what was answered about it."""

    target: Target
    rule: Rule | None
    required_m: float | None
    answer: Answer | None


@dataclass(frozen=True, eq=False)
class Targets:
    """What every kiln spot is held against, a column each; made once for all spots.

    ruled : those with a place, in the order of the columns
    lost : those without a place that can be measured to
    shape : (n,) edges on the plane [m]
    required_m : (n,) distance by the rule [m], 0 where none is entered
    error_m : (n,) error of the place [m]
    sort : (n,) number of the pair of kind and use
    """

    ruled: tuple[Ruled, ...]
    lost: tuple[Target, ...]
    shape: NDArray[np.object_]
    required_m: NDArray[np.float64]
    error_m: NDArray[np.float64]
    sort: NDArray[np.intp]


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
    placed = [target for target in every if target.shape is not None]
    kept = tuple(ruled(placed, rules, asked, machine_reach_m, every))
    sorts: dict[tuple[str, str], int] = {}
    shape = np.empty(len(placed), dtype=object)
    shape[:] = [target.shape for target in placed]
    return Targets(
        kept,
        tuple(target for target in every if target.shape is None),
        shape,
        np.array([one.required_m or 0.0 for one in kept]),
        np.array([target.error_m for target in placed]),
        np.array([sorts.setdefault((target.kind, target.use), len(sorts)) for target in placed], dtype=np.intp),
    )


def ruled(
    targets: Iterable[Target],
    rules: tuple[Rule, ...],
    asked: tuple[Asked, ...],
    machine_reach_m: float | None,
    among: tuple[Target, ...],
) -> Iterable[Ruled]:
    """Each target with its rule and the answer about it.

    targets, rules, asked, machine_reach_m : as for `targets_by_rule`; among : all targets of the site
    """
    lines = [target.id for target in among if target.kind in OWNED_LINES]
    for target in targets:
        rule, required_m = governing(
            rules,
            target.kind,
            target.use,
            height_m=target.height_m,
            voltage_kv=target.voltage_kv,
            machine_reach_m=machine_reach_m,
        )
        alone = is_alone(target, lines)
        whom = OWNER.get(target.kind, ("line_owner", "neighbour", "authority"))
        answer = answer_about(asked, whom, target.id, alone=alone) if asked else None
        if answer is not None and (target.kind in ASK_FIRST or answer.distance_m):
            required_m = _with_answer(required_m, answer)
        yield Ruled(target, rule, required_m, answer)


def _with_answer(required_m: float | None, answer: Answer) -> float | None:
    """The distance where the owner named one too, or said that none is needed [m]: the larger counts."""
    named = answer.distance_m if answer.distance_m else 0.0 if answer.none_needed else None
    return max((each for each in (required_m, named) if each is not None), default=None)


def is_alone(target: Target, lines: Iterable[str]) -> bool:
    """Whether an answer of "the owner" that names no feature can only be about this line.

    lines : ids of the owned lines of the site
    """
    return target.kind in OWNED_LINES and all(line == target.id for line in lines)


def setbacks_of(spot: Spot, targets: Targets, beyond_m: float = LISTED_BEYOND_RULE_M) -> tuple[Setback, ...]:
    """Every target within its rule and 30 m of one kiln spot, the nearest of each kind, and those without a place.

    Parameters
    ----------
    spot : the kiln spot; it is no target of itself
    targets : features and kiln spots
    beyond_m : how far beyond its rule and the errors of the places a target is still listed [m]

    Returns
    -------
    setbacks, worst first, then by distance
    """
    distances = np.maximum(shapely.distance(spot.place, targets.shape) - spot.radius_m, 0.0)
    others = np.array([one.target.id != spot.id for one in targets.ruled], dtype=bool)
    nearest = np.full(int(targets.sort.max(initial=-1)) + 1, np.inf)
    np.minimum.at(nearest, targets.sort[others], distances[others])
    near = distances <= np.maximum(
        targets.required_m + spot.error_m + targets.error_m + beyond_m, nearest[targets.sort]
    )
    found = [_without_place(target) for target in targets.lost]
    found += [_setback(spot, targets.ruled[i], float(distances[i])) for i in np.flatnonzero(near & others)]
    return tuple(sorted(found, key=lambda s: (-ORDER.index(s.effect), -1.0 if s.distance_m is None else s.distance_m)))


def distance_checks(setbacks: Iterable[Setback]) -> tuple[Check, ...]:
    """One check per kind of feature: the setback that is worst for the spot, the smallest margin among equals."""
    worst: dict[str, Setback] = {}
    for setback in setbacks:
        known = worst.get(setback.kind)
        if known is None or _severity(setback) > _severity(known):
            worst[setback.kind] = setback
    return tuple(Check("distance", s.verdict, s.effect, s.feature, s.reason) for s in worst.values())


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


def nearest_line(place: BaseGeometry, radius_m: float, feature: BaseGeometry) -> Line:
    """The line on the map: from the edge of the kiln's circle to the nearest point of the feature.

    Parameters
    ----------
    place : point on the plane [m]
    radius_m : of the kiln [m]
    feature : shape on the plane [m]

    Returns
    -------
    ((x, y), (x, y)) [m]; both ends meet where the two overlap

    Examples
    --------
    >>> nearest_line(shapely.Point(0, 0), 1.0, shapely.Point(10, 0))
    ((1.0, 0.0), (10.0, 0.0))
    """
    (x0, y0), (x1, y1) = shapely.get_coordinates(shapely.shortest_line(place, feature))
    length = float(np.hypot(x1 - x0, y1 - y0))
    share = 1.0 if length <= radius_m else radius_m / length
    return (float(x0 + share * (x1 - x0)), float(y0 + share * (y1 - y0))), (float(x1), float(y1))


def agreement(answer: Answer | None) -> str:
    """The verdict on an overhead line nearer than its distance, by what its owner said."""
    if answer is not None and answer.answer == "no":
        return "refused by the owner"
    return "agreed, inside the distance" if answer is not None and answer.answer == "yes" else "power line not agreed"


def _setback(spot: Spot, one: Ruled, distance_m: float) -> Setback:
    target, rule, required_m = one.target, one.rule, one.required_m
    error_m = spot.error_m + target.error_m
    verdict = _verdict(one, distance_m, error_m)
    assert target.shape is not None
    return Setback(
        feature=target.id,
        name=target.name,
        kind=target.kind,
        use=target.use,
        distance_m=distance_m,
        error_m=error_m,
        required_m=required_m,
        margin_m=None if required_m is None else distance_m - required_m,
        verdict=verdict,
        effect=effect_of(verdict),
        rule=rule.id if rule else "",
        source=rule.source if rule else "",
        standing=rule.standing if rule else "",
        reason=_why(one, verdict, distance_m, error_m),
        line=nearest_line(spot.place, spot.radius_m, target.shape),
    )


def _verdict(one: Ruled, distance_m: float, error_m: float) -> str:
    target, answer = one.target, one.answer
    if one.required_m is None:
        verdict = TOO_CLOSE if distance_m <= TOUCHING_M else "no distance entered"
    else:
        verdict = WORDS[int(verdict_codes(distance_m, one.required_m, error_m))]
    if verdict == TOO_CLOSE:
        return agreement(answer) if target.use == "overhead" and distance_m > TOUCHING_M else verdict
    if answer is not None and answer.answer == "no":
        return "refused by a neighbour" if target.kind == "property_line" else "refused by the owner"
    if target.kind in ASK_FIRST and one.required_m is not None:
        if answer is None:
            return "owner not asked"
        if answer.answer == "conditions":
            return "conditions open"
        if one.required_m == 0 and not answer.none_needed:
            return "no distance entered"
    return "which side is not known" if verdict == FAR_ENOUGH and _an_edge(target) else verdict


def _an_edge(target: Target) -> bool:
    """Whether only an edge of it was drawn, so that nobody can tell on which side it lies."""
    return target.kind == "standing_timber" and target.shape is not None and "Line" in target.shape.geom_type


def _why(one: Ruled, verdict: str, distance_m: float, error_m: float) -> Reason:
    name, answer = one.target.name, one.answer
    if distance_m <= TOUCHING_M:
        return reason("safety.beneath" if one.target.use == "overhead" else "safety.on_it", name=name)
    away = metres(distance_m)
    said = _why_owner(one, verdict, away)
    if said is not None or one.required_m is None:
        return said or reason("safety.no_distance", name=name, distance=away)
    if verdict == "which side is not known":
        return reason("safety.which_side", name=name, distance=away)
    need = metres(one.required_m, toward="up")
    if verdict == FAR_ENOUGH:
        far = reason("safety.outside", name=name, distance=away)
        if one.required_m:
            far = reason("safety.far_enough", name=name, distance=away, required=need)
        return reason("safety.and_asked", finding=far, answer=answer.words) if answer else far
    if verdict == MEASURE:
        return reason("safety.measure", name=name, distance=away, required=need, error=metres(error_m, toward="up"))
    rule, near = needed_and_there(one.required_m, distance_m, "m", 3)
    close = reason("safety.too_close", name=name, distance=near, required=rule)
    if one.target.use != "overhead":
        return close
    if answer is None:
        return reason("safety.line_owner_silent", finding=close)
    return reason("safety.line_owner_asked", finding=close, answer=answer.words)


def _why_owner(one: Ruled, verdict: str, away: Quantity) -> Reason | None:
    """What its owner has to do with the verdict; None where nothing."""
    name, answer = one.target.name, one.answer
    if verdict == "owner not asked":
        return reason("safety.owner_not_asked", name=name, distance=away)
    if answer is not None and verdict in ("refused by the owner", "refused by a neighbour", "conditions open"):
        return reason("safety.owner_said", name=name, distance=away, verdict=Term(verdict), answer=answer.words)
    if verdict == "no distance entered" and answer is not None:
        return reason("safety.asked", name=name, distance=away, answer=answer.words)
    return None


def _without_place(target: Target) -> Setback:
    return Setback(
        feature=target.id,
        name=target.name,
        kind=target.kind,
        use=target.use,
        distance_m=None,
        error_m=None,
        required_m=None,
        margin_m=None,
        verdict="not known",
        effect=effect_of("not known"),
        rule="",
        source="",
        standing="",
        reason=reason("safety.no_place", name=target.name, kind=target.label),
        line=None,
    )


def _severity(setback: Setback) -> tuple[int, float]:
    margin = setback.margin_m if setback.margin_m is not None else float("inf")
    return ORDER.index(setback.effect), -margin
