"""Every kiln spot against everything it must keep clear of: the governing rule, the margin, the line on the map."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from sitemap.safety import power_line
from sitemap.safety.effects import ORDER, effect_of
from sitemap.safety.permission import Answer, Check, answer_about, checked
from sitemap.safety.rules import Rule, default_rules, rules_for
from sitemap.safety.setbacks import FAR_ENOUGH, MEASURE, TOO_CLOSE, TOUCHING_M, WORDS, nearest_line, verdict_codes
from sitemap.safety.things import Thing
from sitemap.site.kinds import KINDS
from sitemap.site.model import Entry
from sitemap.units import restated, text

LISTED_BEYOND_RULE_M = 30.0  # [m] features this far beyond their rule are still listed
OWNED_LINES = ("power_line", "buried_line", "railway")  # things whose owner is the "owner of a line" who is asked
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
    rule, condition, source, standing : of the governing rule
    reason : one sentence
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
    condition: str
    source: str
    standing: str
    reason: str
    line: Line | None


@dataclass(frozen=True)
class Ruled:
    """A feature with the rule that governs it, the distance by it [m] and what was answered about the feature."""

    thing: Thing
    rule: Rule | None
    required_m: float | None
    answer: Answer | None


def ruled(
    things: Iterable[Thing], rules: tuple[Rule, ...], asked: tuple[Entry, ...], machine_reach_m: float | None
) -> tuple[Ruled, ...]:
    """Features with their governing rule, worked out once for all kiln spots.

    Parameters
    ----------
    things : features of the site
    rules, asked : of the site
    machine_reach_m : longest reach of a machine on site [m], None without one
    """
    found, every = [], tuple(things)
    for thing in every:
        rule, required_m = governing(thing, rules, machine_reach_m)
        whom = ("line_owner",) if thing.kind == "power_line" else ("line_owner", "neighbour", "authority")
        found.append(Ruled(thing, rule, required_m, answer_about(asked, whom, thing.id, alone=_alone(thing, every))))
    return tuple(found)


def _alone(thing: Thing, things: Iterable[Thing]) -> bool:
    """Whether an answer of "the owner" that names no feature can only be about this line."""
    return thing.kind in OWNED_LINES and not any(t.kind in OWNED_LINES and t.id != thing.id for t in things)


def setbacks_of(
    spot: Spot, features: tuple[Ruled, ...], system: str = "metric", beyond_m: float = LISTED_BEYOND_RULE_M
) -> tuple[Setback, ...]:
    """Every feature within its rule and 30 m of one kiln spot, the nearest of each kind, and those without a place.

    Parameters
    ----------
    spot : the kiln spot
    features : features and other kiln spots, the spot itself left out
    system : units of the sentences
    beyond_m : how far beyond its rule and the errors of the places a feature is still listed [m]

    Returns
    -------
    setbacks, worst first, then by distance
    """
    placed = [feature for feature in features if feature.thing.shape is not None]
    shapes = np.array([feature.thing.shape for feature in placed], dtype=object)
    distances = np.maximum(shapely.distance(spot.place, shapes) - spot.radius_m, 0.0) if placed else np.empty(0)
    pairs = list(zip(placed, distances.tolist(), strict=True))
    nearest: dict[tuple[str, str], float] = {}
    for feature, distance_m in pairs:
        key = (feature.thing.kind, feature.thing.use)
        nearest[key] = min(nearest.get(key, np.inf), distance_m)
    found = [_without_place(feature.thing) for feature in features if feature.thing.shape is None]
    for feature, distance_m in pairs:
        listed_m = (feature.required_m or 0.0) + spot.error_m + feature.thing.error_m + beyond_m
        if distance_m <= max(listed_m, nearest[feature.thing.kind, feature.thing.use]):
            found.append(_setback(spot, feature, distance_m, system))
    return tuple(sorted(found, key=lambda s: (-ORDER.index(s.effect), -1.0 if s.distance_m is None else s.distance_m)))


def distance_checks(setbacks: Iterable[Setback]) -> tuple[Check, ...]:
    """One check per kind of feature: the setback that is worst for the spot, the smallest margin among equals."""
    worst: dict[str, Setback] = {}
    for setback in setbacks:
        known = worst.get(setback.kind)
        if known is None or _severity(setback) > _severity(known):
            worst[setback.kind] = setback
    return tuple(Check("distance", s.verdict, s.effect, s.feature, s.reason) for s in worst.values())


def governing(thing: Thing, rules: tuple[Rule, ...], machine_reach_m: float | None) -> tuple[Rule | None, float | None]:
    """The rule that governs a feature, the largest distance entered for it, and that distance [m].

    (None, None) where no rule speaks of it; (rule, None) where none of its rules has a distance. An overhead power
    line keeps the default distance whatever was entered, and the machine's reach plus clearance where that is longer.
    """
    matching = rules_for(rules, thing.kind, thing.use)
    overhead = thing.kind == "power_line" and thing.use == "overhead"
    if overhead:
        matching = (*rules_for(default_rules(), thing.kind, thing.use), *matching)
    measured = [(rule.required_m(thing.height_m), rule) for rule in matching]
    entered = [(required, rule) for required, rule in measured if required is not None]
    if not entered:
        return (matching[0] if matching else None), None
    required_m, rule = max(entered, key=lambda pair: pair[0])
    if overhead:
        required_m = power_line.required_m(required_m, thing.voltage_kv, machine_reach_m)
    return rule, required_m


def machine_stand_checks(
    spot_id: str,
    stands: Iterable[Thing],
    things: Iterable[Thing],
    asked: tuple[Entry, ...],
    machine_reach_m: float | None,
    system: str = "metric",
) -> tuple[Check, ...]:
    """Overhead lines that the slewing machine of this spot could come near, measured from its stand.

    Parameters
    ----------
    spot_id : the spot the stands belong to
    stands : machine stands with a place
    things : features
    asked : of the site
    machine_reach_m : longest reach [m]; without one entered, as long as `power_line.UNKNOWN_REACH_M`
    system : units of the sentences
    """
    reach_m = power_line.UNKNOWN_REACH_M if machine_reach_m is None else machine_reach_m
    every = tuple(things)
    lines = [thing for thing in every if thing.kind == "power_line" and thing.use == "overhead" and thing.shape]
    found = []
    for stand in stands:
        for line in lines:
            required_m = reach_m + power_line.clearance_m(line.voltage_kv)
            distance_m = float(shapely.distance(stand.shape, line.shape))
            word = WORDS[int(verdict_codes(distance_m, required_m, stand.error_m + line.error_m))]
            if word == FAR_ENOUGH:
                continue
            if word == TOO_CLOSE and distance_m > TOUCHING_M:
                word = _agreement(answer_about(asked, ("line_owner",), line.id, alone=_alone(line, every)))
            shown, need = text(distance_m, "m", system), text(required_m, "m", system)
            reason = f"{line.name}: {shown} from the machine stand {stand.name}; reach and clearance need {need}."
            found.append(checked("machine_stand", word, spot_id, reason))
    return tuple(found)


def _setback(spot: Spot, feature: Ruled, distance_m: float, system: str) -> Setback:
    thing, rule, required_m, answer = feature.thing, feature.rule, feature.required_m, feature.answer
    error_m = spot.error_m + thing.error_m
    if required_m is None:
        verdict = TOO_CLOSE if distance_m <= TOUCHING_M else _asked_verdict(answer)
    else:
        verdict = WORDS[int(verdict_codes(distance_m, required_m, error_m))]
        if verdict == TOO_CLOSE and thing.use == "overhead" and distance_m > TOUCHING_M:
            verdict = _agreement(answer)
    return Setback(
        feature=thing.id,
        name=thing.name,
        kind=thing.kind,
        use=thing.use,
        distance_m=distance_m,
        error_m=error_m,
        required_m=required_m,
        margin_m=None if required_m is None else distance_m - required_m,
        verdict=verdict,
        effect=effect_of(verdict),
        rule=rule.id if rule else "",
        condition=restated(rule.condition, system, 2) if rule else "",
        source=rule.source if rule else "",
        standing=rule.standing if rule else "",
        reason=_reason(thing, verdict, distance_m, required_m, error_m, answer, system),
        line=nearest_line(spot.place, spot.radius_m, thing.shape),
    )


def _asked_verdict(answer: Answer | None) -> str:
    if answer is None:
        return "no distance entered"
    return {"yes": "asked and agreed", "conditions": "asked and agreed", "no": "refused by the owner"}[answer.answer]


def _agreement(answer: Answer | None) -> str:
    if answer is None:
        return "power line not agreed"
    return "refused by the owner" if answer.answer == "no" else "agreed, inside the distance"


def _reason(
    thing: Thing,
    verdict: str,
    distance_m: float,
    required_m: float | None,
    error_m: float,
    answer: Answer | None,
    system: str,
) -> str:
    if distance_m <= TOUCHING_M:
        where = "the kiln stands beneath it" if thing.use == "overhead" else "the kiln stands on or in it"
        return f"{thing.name}: {where}. Move the kiln."
    shown = text(distance_m, "m", system)
    if required_m is None:
        told = f"asked ({answer.words})" if answer else "no distance entered: ask, and enter what you were told"
        return f"{thing.name}: {shown} away; {told}."
    need = text(required_m, "m", system)
    if verdict == FAR_ENOUGH:
        rule = f"far enough by the rule entered ({need})" if required_m else "outside it"
        return f"{thing.name}: {shown} away, {rule}." + (f" Asked: {answer.words}." if answer else "")
    if verdict == MEASURE:
        off = text(error_m, "m", system)
        return f"{thing.name}: {shown} away, {need} by the rule entered, places good to ± {off}: measure on the ground."
    short = (
        f"{thing.name}: {shown} away, {text(required_m - distance_m, 'm', system)} short of {need} by the rule entered"
    )
    if thing.use != "overhead":
        return f"{short}."
    said = f"its owner was asked ({answer.words})" if answer else "its owner has not agreed, with name and date"
    return f"{short}; smoke can carry current, and {said}."


def _without_place(thing: Thing) -> Setback:
    label = KINDS[thing.kind].label.lower()
    reason = f"{thing.name}: this {label} has no place that can be measured to. Draw it again."
    blank = ("", "", "", "")
    return Setback(
        thing.id, thing.name, thing.kind, thing.use, None, None, None, None, "not known", effect_of("not known"),
        *blank, reason, None,
    )  # fmt: skip


def _severity(setback: Setback) -> tuple[int, float]:
    margin = setback.margin_m if setback.margin_m is not None else float("inf")
    return ORDER.index(setback.effect), -margin
