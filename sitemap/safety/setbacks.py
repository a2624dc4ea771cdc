"""Kiln spots against everything they must keep clear of: the verdict, its reason and the line, a row for what is shown.

Which targets those are, and how far off, `near` finds for all spots at once.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from sitemap.reasons import KilnName, Quantity, Reason, Term, metres, needed_and_there, reason, together
from sitemap.safety.effects import ORDER, PASSES, effect_of
from sitemap.safety.near import (
    ASK_FIRST,
    FAR_ENOUGH,
    MEASURE,
    TOO_CLOSE,
    TOUCHING_M,
    WORDS,
    Near,
    Ruled,
    Spot,
    Targets,
    listed,
    near_of,
)
from sitemap.safety.permission import Answer, Check
from sitemap.safety.targets import Target

_MOST_NAMED = 4  # beside the worst of a kind; of the others, how many
LISTED_BEYOND_RULE_M = 30.0  # [m] features this far beyond their rule are still listed
Line = tuple[tuple[float, float], tuple[float, float]]


@dataclass(frozen=True)
class Setback:
    """One feature against one kiln spot, by the rule that governs; None where there is no figure.

    feature, name, kind, use : of the feature
    distance_m : edge to edge; error_m : both errors added; required_m : by the rule; margin_m : distance − required
    verdict, effect : see `effects`
    rule, source, evidence : of the governing rule
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
    evidence: str
    reason: Reason
    line: Line | None


def setbacks_of(
    spots: Sequence[Spot], targets: Targets, beyond_m: float = LISTED_BEYOND_RULE_M
) -> tuple[tuple[Setback, ...], ...]:
    """Of each kiln spot: every target within its rule and 30 m, the nearest of each kind, and those without a place.

    Parameters
    ----------
    spots : the kiln spots; none is a target of itself
    targets : features and kiln spots
    beyond_m : how far beyond its rule and the errors of the places a target is still listed [m]

    Returns
    -------
    setbacks of each, worst first, then by distance
    """
    near = near_of(spots, targets, beyond_m)
    lost = [_without_place(target) for target in targets.lost]
    found = []
    for number, spot in enumerate(spots):
        rows = [*lost, *_rows(spot, listed(spot, near.of(number), targets, beyond_m), targets)]
        found.append(tuple(sorted(rows, key=_worst_then_nearest)))
    return tuple(found)


def _worst_then_nearest(setback: Setback) -> tuple[int, float]:
    return -ORDER.index(setback.effect), -1.0 if setback.distance_m is None else setback.distance_m


def distance_checks(setbacks: Iterable[Setback]) -> tuple[Check, ...]:
    """One check per kind of feature: the setback that is worst for the spot, the smallest margin among equals. It names
    all others of its kind that do not pass either: one that was put right must not be taken for the last."""
    of_kind: dict[str, list[Setback]] = {}
    for setback in setbacks:
        of_kind.setdefault(setback.kind, []).append(setback)
    return tuple(_of_kind(alike) for alike in of_kind.values())


def _of_kind(alike: list[Setback]) -> Check:
    worst = max(alike, key=_severity)
    names: tuple[str | Reason, ...] = tuple(
        dict.fromkeys(each.name for each in alike if each is not worst and each.effect != PASSES)
    )
    if len(names) > _MOST_NAMED:
        names = (*names[:_MOST_NAMED], reason("plain.more", count=len(names) - _MOST_NAMED))
    why = together(worst.reason, reason("safety.nor_these", names=names)) if names else worst.reason
    action = reason("action.move_from", name=worst.name) if worst.verdict == TOO_CLOSE else None
    return Check("distance", worst.verdict, worst.effect, worst.feature, why, action)


def nearest_lines(place: BaseGeometry, radius_m: float, features: NDArray[np.object_]) -> list[Line]:
    """The lines on the map: from the edge of the kiln's circle to the nearest point of each feature.

    Parameters
    ----------
    place : point on the plane [m]
    radius_m : of the kiln [m]
    features : (n,) shapes on the plane [m]

    Returns
    -------
    ((x, y), (x, y)) [m] of each; both ends meet where the two overlap

    Examples
    --------
    >>> nearest_lines(shapely.Point(0, 0), 1.0, np.array([shapely.Point(10, 0)]))
    [((1.0, 0.0), (10.0, 0.0))]
    """
    start, end = shapely.get_coordinates(shapely.shortest_line(place, features)).reshape(-1, 2, 2).swapaxes(0, 1)
    length = np.hypot(*(end - start).T)
    share = np.where(length <= radius_m, 1.0, radius_m / np.where(length > 0, length, 1.0))
    rim = start + share[:, None] * (end - start)
    return [((x0, y0), (x1, y1)) for (x0, y0), (x1, y1) in np.stack([rim, end], axis=1).tolist()]


def agreement(answer: Answer | None) -> str:
    """The verdict on an overhead line nearer than its distance, by what its owner said."""
    if answer is not None and answer.answer == "no":
        return "refused by the owner"
    return "agreed, inside the distance" if answer is not None and answer.answer == "yes" else "power line not agreed"


def _rows(spot: Spot, near: Near, targets: Targets) -> list[Setback]:
    lines = nearest_lines(spot.place, spot.radius_m, targets.shape[near.target])
    figures = zip(near.target.tolist(), near.distance_m.tolist(), near.code.tolist(), lines, strict=True)
    return [_setback(spot, targets.ruled(n), distance_m, WORDS[code], line) for n, distance_m, code, line in figures]


def _setback(spot: Spot, one: Ruled, distance_m: float, by_distance: str, line: Line) -> Setback:
    target, rule, required_m = one.target, one.rule, one.required_m
    error_m = spot.error_m + target.error_m
    verdict = _verdict(one, distance_m, by_distance)
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
        evidence=rule.evidence if rule else "",
        reason=_why(one, verdict, distance_m, error_m),
        line=line,
    )


def _verdict(one: Ruled, distance_m: float, by_distance: str) -> str:
    """by_distance : by its distance alone, where one is entered"""
    target, answer, verdict = one.target, one.answer, by_distance
    if one.required_m is None:
        verdict = TOO_CLOSE if distance_m <= TOUCHING_M else "no distance entered"
    if verdict == TOO_CLOSE:
        return agreement(answer) if target.use == "overhead" and distance_m > TOUCHING_M else verdict
    if answer is not None and answer.answer == "no":
        return "refused next door" if target.kind == "property_line" else "refused by the owner"
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
    away = metres(distance_m, toward="down")
    said = _why_owner(one, verdict, away)
    if said is not None or one.required_m is None:
        return said or reason("safety.no_distance", name=name, distance=away)
    if verdict == "which side is not known":
        return reason("safety.which_side", name=name, distance=away)
    need, away = needed_and_there(one.required_m, distance_m, "m", 3)
    if verdict == FAR_ENOUGH:
        far = reason("safety.outside", name=name, distance=away)
        if one.required_m:
            far = reason("safety.far_enough", name=name, distance=away, required=need)
        return reason("safety.and_asked", finding=far, answer=answer.words) if answer else far
    if verdict == MEASURE:
        return reason("safety.measure", name=name, distance=away, required=need, error=metres(error_m, toward="up"))
    close = reason("safety.too_close", name=name, distance=away, required=need)
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
    if answer is not None and verdict in ("refused by the owner", "refused next door", "conditions open"):
        return reason("safety.owner_said", name=name, distance=away, verdict=Term(verdict), answer=answer.words)
    if verdict == "no distance entered" and answer is not None:
        return reason("safety.asked", name=name, distance=away, answer=answer.words)
    return None


def _without_place(target: Target) -> Setback:
    why = reason("safety.no_place", name=target.name, kind=target.label)
    if target.kind == "kiln_spot":
        why = reason("safety.not_placed", kiln=KilnName(target.name))
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
        evidence="",
        reason=why,
        line=None,
    )


def _severity(setback: Setback) -> tuple[int, float]:
    margin = setback.margin_m if setback.margin_m is not None else float("inf")
    return ORDER.index(setback.effect), -margin
