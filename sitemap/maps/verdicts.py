"""What the bar under the map says of each kiln, and the distances a drag is held against while it lasts."""

from __future__ import annotations

import math
from collections.abc import Iterator

import shapely
from shapely.geometry import Point

from sitemap.ahead import in_turn
from sitemap.assessment import Assessment, SpotReport
from sitemap.between import kiln_radius_m, kilns_at
from sitemap.day.decision import Bar, Decision
from sitemap.day.together import together
from sitemap.geodesy.plane import Plane
from sitemap.maps.scene import CheckRow, KilnSize, KilnVerdict, Limits, Thing
from sitemap.notes import kiln_called
from sitemap.reasons import KilnName, reason
from sitemap.safety.effects import PASSES
from sitemap.safety.near import MEASURE, ruled
from sitemap.safety.of_site import UNKNOWN_RADIUS_M, targets_of
from sitemap.safety.power_line import longest_reach_m
from sitemap.safety.reading import read_thing, shape_on
from sitemap.safety.rules import governing
from sitemap.safety.setbacks import Setback
from sitemap.safety.targets import Target, target_of
from sitemap.site.model import Feature
from sitemap.telling import sentence
from sitemap.units import Toward, to_display, unit_label
from sitemap.wording import capital, check_label, told

WHOLE_FROM = 10  # below it one decimal, as a tape is read
NOT_SAID = "–"
_SAYS_WHAT_TO_DO = "safety.ground"  # a finding that tells what to do with its figure: not told twice


def near_text(distance_m: float, units: str, toward: Toward = "nearest") -> str:
    """A distance on the ground as the map says it; what is to spare rounds down, what is needed or lacks up.

    >>> near_text(19.84, "us"), near_text(2.04, "metric"), near_text(2.04, "metric", "up")
    ('65 ft', '2 m', '2.1 m')
    """
    shown = to_display(distance_m, "m", units)
    steps = 10.0 if abs(shown) < WHOLE_FROM - 0.05 else 1.0
    if toward == "nearest":
        whole = round(shown * steps)
    else:
        whole = math.ceil(shown * steps - 1e-3) if toward == "up" else math.floor(shown * steps + 1e-3)
    return f"{whole / steps:g} {unit_label('m', units)}"


def limits_of(a: Assessment) -> Limits:
    """Every kiln spot as a circle, and every thing with a distance by the rules; what has none decides nothing here."""
    if a.around is None:
        return Limits()
    facts, around = kilns_at(a.source), a.around
    kilns = tuple(
        KilnSize(
            spot.id,
            kiln_radius_m(facts[spot.id]) if spot.id in facts else UNKNOWN_RADIUS_M,
            target_of(spot.once(read_thing), None).error_m,
        )
        for spot in a.source.of_kind("kiln_spot")
    )
    reach_m, _ = longest_reach_m(around.machines)
    targets = targets_of(around)
    things = [
        Thing(one.target.id, one.target.name, one.required_m, one.target.error_m, *_beyond(one.target, a))
        for one in ruled(targets, around.rules, around.asked, reach_m, targets)
        if one.required_m is not None
    ]
    apart_m = governing(around.rules, "kiln_spot", "")[1]
    if apart_m is not None:
        names = {spot.id: spot.name for spot in a.source.of_kind("kiln_spot")}
        things += [Thing(kiln.id, names[kiln.id], apart_m, kiln.error_m, kiln.radius_m) for kiln in kilns]
    return Limits(kilns, tuple(things))


def _beyond(target: Target, a: Assessment) -> tuple[float, bool]:
    """How much wider a thing is than it is drawn [m], and whether only the outline of its area counts."""
    feature = a.source.get(target.id)
    return (0.0, False) if feature is None or a.plane is None else feature.on((a.plane, target), _beyond_drawn)


def _beyond_drawn(feature: Feature, at: tuple[Plane, Target]) -> tuple[float, bool]:
    plane, target = at
    drawn = shape_on(feature, plane)
    if drawn is None or target.shape is None:
        return 0.0, False
    if drawn.area > 0:
        return 0.0, target.shape.area == 0
    start = Point(shapely.get_coordinates(drawn)[0])
    return (float(start.distance(target.shape.boundary)) if target.shape.area > 0 else 0.0), False


def kiln_verdicts(a: Assessment) -> tuple[KilnVerdict, ...]:
    """The decision on each kiln with what to do first, and its distances, nearest to turning first."""
    found = []
    for spot in a.spots:
        decision = a.decision(spot.id)
        if decision is not None:
            title = f"{capital(kiln_called(spot.name))}: {decision.word}"
            first = decision_said(decision, a)
            others = tuple(first_said(bar, a.source.units) for bar in together(decision.because)[1:])
            said = (title, spot.name, decision.word, decision.effect, first, others)
            found.append(KilnVerdict(spot.id, *said, tuple(check_rows(spot, a))))
    return tuple(found)


def decision_said(decision: Decision, a: Assessment) -> str:
    """What to do first, and why; where nothing bars, for when the yes holds: a sign alone reads as "now"."""
    if decision.first is not None or a.on is None:
        return first_said(decision.first, a.source.units)
    return " ".join(when_lit(decision, a))


def when_lit(decision: Decision, a: Assessment) -> Iterator[str]:
    """When the yes of a kiln holds, and with which others it does not hold together, for there are fewer kilns."""
    if a.on is not None:
        yield sentence(reason("day.may_be_lit_when", on=a.on), a.source.units)
    for each in in_turn(a):
        if decision.spot in each.spots:
            names = tuple(KilnName(one.name) for one in a.decisions if one.spot in each.spots)
            why = reason("day.in_turn", kiln=each.kiln, count=each.count, names=names)
            yield sentence(why, a.source.units)


def first_said(bar: Bar | None, units: str) -> str:
    """What to do about the bar that is told first, then why; nothing where nothing bars."""
    if bar is None:
        return ""
    why = f"{check_label(bar.check)}: {told(bar.reason, units)}"
    return why if bar.reason.code == _SAYS_WHAT_TO_DO else f"{sentence(bar.action, units)} {why}"


def check_rows(spot: SpotReport, a: Assessment) -> Iterator[CheckRow]:
    """The distances of a kiln spot as one table, nearest to turning first, those without a figure before all."""
    for each in sorted(spot.setbacks, key=to_turning):
        yield CheckRow(
            each.feature,
            each.name,
            _or_not_said(each.distance_m, a.source.units),
            _or_not_said(each.required_m, a.source.units, "up"),
            _spare(each, a.source.units),
            each.effect,
        )


def to_turning(each: Setback) -> tuple[bool, float]:
    """The order of distances: what does not pass first, then by how little is to spare beyond the errors."""
    if each.margin_m is None:
        return each.effect == PASSES, float("-inf")
    return each.effect == PASSES, each.margin_m - (each.error_m or 0.0)


def _or_not_said(distance_m: float | None, units: str, toward: Toward = "nearest") -> str:
    return NOT_SAID if distance_m is None else near_text(distance_m, units, toward)


def _spare(each: Setback, units: str) -> str:
    if each.margin_m is None or (each.effect != PASSES and each.margin_m >= 0 and each.verdict != MEASURE):
        return each.verdict
    if each.margin_m < 0:
        return f"{near_text(-each.margin_m, units, 'up')} short"
    spare = near_text(each.margin_m, units, "down")
    return f"{spare}: measure" if each.verdict == MEASURE else spare
