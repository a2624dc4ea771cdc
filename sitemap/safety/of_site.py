"""Safety of a site: every check of every kiln spot that has to do with keeping clear."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from functools import lru_cache

import shapely
from shapely.geometry.base import BaseGeometry

from sitemap import tables
from sitemap.geodesy.plane import Plane
from sitemap.notes import Note
from sitemap.reasons import KilnName, Quantity, Reason, metres, reason
from sitemap.safety import heat, stand
from sitemap.safety.crew_places import CREW_KINDS, char_pad_checks, crew_place_checks, downwind_checks
from sitemap.safety.effects import worst_effect
from sitemap.safety.embers import patrol_distance_m
from sitemap.safety.looked import looked_checks
from sitemap.safety.machine_stand import machine_stand_checks
from sitemap.safety.near import Ruled, Spot, ruled, targets_by_rule
from sitemap.safety.own_rules import own_rule_checks
from sitemap.safety.permission import Check, authority_check, checked, owner_checks
from sitemap.safety.power_line import longest_reach_m
from sitemap.safety.reading import LABELS, read_asked, read_looked, read_machine, read_pad, read_thing, shape_on
from sitemap.safety.records import Asked, Looked, Machine, Pad
from sitemap.safety.rules import Rule
from sitemap.safety.setbacks import LISTED_BEYOND_RULE_M, Setback, distance_checks, setbacks_of
from sitemap.safety.targets import Target, default_error_m, feed_heap, sized_heap, target_of
from sitemap.safety.weather import TWENTY_FEET_M
from sitemap.site.model import Feature, Site
from sitemap.site.seen import SAME_PLACE_M, Day, tick_doubt, why_not

UNKNOWN_RADIUS_M = 1.5  # [m] of a kiln whose size was not entered; ours (C)
NARROWEST = 1.24  # [1] diameter of the fire over that radius for a box 3 × 1, the taller flame; a ring has 2 (D)
LOCAL_CODE = "Every distance is an example until the local code has been asked; a pass is not a permission."


@dataclass(frozen=True)
class Around:
    """What the kilns of a site must keep clear of.

    features : of the site; kinds without a rule, and the kiln spots, are passed over
    rules : `reading.rules_of(site.records("rules"))`
    plane : of the site
    looked, asked, machines : of the site
    supply_min : how long each feed heap would feed a kiln, by its id [min]; one left out is not known to be small
    heap_m3 : volume of each heap as the papers print it (id, likely [m³], at its high end [m³])
    wind_from_deg : where the wind usually blows from, clockwise from north [°], None where nobody entered it
    """

    features: tuple[Feature, ...]
    rules: tuple[Rule, ...]
    plane: Plane
    looked: tuple[Looked, ...] = ()
    asked: tuple[Asked, ...] = ()
    machines: tuple[Machine, ...] = ()
    supply_min: tuple[tuple[str, float], ...] = ()
    heap_m3: tuple[tuple[str, float, float], ...] = ()
    wind_from_deg: float | None = None


@dataclass(frozen=True)
class SpotFacts:
    """One kiln spot with what other rooms know of its kiln; None where they do not.

    spot : the feature
    radius_m : of the circle through the corners of the kiln's open top [m]; area_m2 : of that top, for the flame [m²]
    heat_kw : heat release at its greatest [kW]
    slope_pct : from terrain [%], NaN where it has none to give; the worse of it and what was entered counts
    size_m : length, width and depth of the kiln inside [m]
    """

    spot: Feature
    radius_m: float | None = None
    area_m2: float | None = None
    heat_kw: float | None = None
    slope_pct: float | None = None
    size_m: tuple[float, float, float] | None = None


@dataclass(frozen=True)
class SpotSafety:
    """One kiln spot.

    checks : every check, in the order ground, branches, slope, distance, looked, machine_stand, authority
    effect : the worst of them
    setbacks : see `setbacks.setbacks_of`
    flame_height_m : in still air, never counted below 1.5 m
    rest_m, visitors_m : least distance from the rim for crew at rest and for visitors
    patrol_m : downwind patrol distance for embers at the gust; None where there is no figure
    embers : what to show beside every distance
    """

    id: str
    checks: tuple[Check, ...]
    effect: str
    setbacks: tuple[Setback, ...]
    flame_height_m: float
    rest_m: float
    visitors_m: float
    patrol_m: float | None
    embers: Reason


@dataclass(frozen=True)
class Safety:
    """All kiln spots, in file order, with what was assumed and what is not known."""

    spots: tuple[SpotSafety, ...]
    assumed: tuple[Note, ...]
    unknowns: tuple[Note, ...]
    caution: str = LOCAL_CODE


@dataclass(frozen=True)
class Zone:
    """Ground a kiln may not stand on: nearer to `shape` [m, plane] than `distance_m`, edge to edge; `error_m` more is
    "measure on the ground"."""

    feature: str
    kind: str
    shape: BaseGeometry
    distance_m: float
    error_m: float
    reason: Reason


def around(
    site: Site,
    features: tuple[Feature, ...],
    rules: tuple[Rule, ...],
    plane: Plane,
    day: Day,
    supply_min: tuple[tuple[str, float], ...] = (),
    heap_m3: tuple[tuple[str, float, float], ...] = (),
) -> Around:
    """What the kilns of a site must keep clear of.

    site : its records and machines count; features : those of it that count; rules : of it; plane : of it
    day : what was looked for or said on another day may not stand for it
    supply_min : how long each feed heap would feed a kiln (id, [min]); heap_m3 : as of `Around`
    """
    return Around(
        features,
        rules,
        plane,
        tuple(_looked(entry.once(read_looked), day) for entry in site.records("looked")),
        tuple(_asked(entry.once(read_asked), day) for entry in site.records("asked")),
        tuple(item.once(read_machine) for item in site.equipment("machines")),
        supply_min,
        heap_m3,
        site.section("season").number("wind_from_deg"),
    )


def _looked(entry: Looked, day: Day) -> Looked:
    return entry if entry.when is None else replace(entry, doubt=why_not(entry.when, "looked", day))


def authority_of(site: Site, day: Day) -> Check:
    """What the authority answered, whether or not a kiln is placed."""
    return authority_check(tuple(_asked(entry.once(read_asked), day) for entry in site.records("asked")))


def _asked(entry: Asked, day: Day) -> Asked:
    tick = tick_doubt(entry.met_by, entry.met_on, entry.date, day) if entry.conditions_met else None
    return replace(entry, doubt=None if entry.date is None else why_not(entry.date, "yes", day), tick_doubt=tick)


@lru_cache(maxsize=16)
def safety_of(kilns: tuple[SpotFacts, ...], around: Around, beyond_m: float = LISTED_BEYOND_RULE_M) -> Safety:
    """Every check of every kiln spot that has to do with keeping clear.

    Parameters
    ----------
    kilns : the kiln spots
    around : what they must keep clear of
    beyond_m : as for `setbacks.setbacks_of` [m]

    Returns
    -------
    `Safety`
    """
    reach_m, reach_notes = longest_reach_m(around.machines)
    targets = targets_of(around)
    marks = {each.spot.id: _target(each.spot, around.plane) for each in kilns}
    placed = {each.spot.id: spot for each in kilns if (spot := _spot(marks[each.spot.id], each.radius_m)) is not None}
    kilns_lost = (mark for mark in marks.values() if mark.shape is None)  # they may stand beside any other
    every = (*targets, *(_as_target(spot, marks[spot.id]) for spot in placed.values()), *kilns_lost)
    columns = targets_by_rule(every, around.rules, around.asked, reach_m)
    setbacks = dict(zip(placed, setbacks_of(tuple(placed.values()), columns, beyond_m), strict=True))
    own_stands = _stands_by_spot(around, placed.values())
    shared = _shared_checks(around, targets)
    places = tuple(_target(each, around.plane) for each in around.features if each.kind in CREW_KINDS)
    staged = tuple(target for target in targets if target.use == "staged")
    found = []
    for each in kilns:
        spot = placed.get(each.spot.id)
        stands = machine_stand_checks(each.spot.id, own_stands.get(each.spot.id, ()), targets, around.asked, reach_m)
        near: tuple[Check, ...] = ()
        if spot is not None:
            near = (*crew_place_checks(spot, places), *downwind_checks(spot, (*places, *staged), around.wind_from_deg))
        looks = looked_checks(around.rules, _looks_from(around, spot), LABELS, reach_m)
        found.append(_spot_safety(each, setbacks.get(each.spot.id), (*stands, *near), (*looks, *shared)))
    assumed = [*reach_notes, *(note for target in (*targets, *marks.values()) for note in target.notes)]
    assumed += [_size_assumed(marks[each.spot.id]) for each in kilns if each.radius_m is None]
    if any(target.error_assumed for target in (*targets, *marks.values())):
        open_m, trees_m = (metres(default_error_m(under), 2) for under in (False, True))
        assumed.append(Note("site", "position_error_m", reason("safety.position_errors", open=open_m, trees=trees_m)))
    unknowns = [Note(c.about, c.check, c.reason) for spot in found for c in spot.checks if c.verdict == "not known"]
    unknowns += [
        Note(each.spot.id, "heat_kw", reason("safety.kiln_heat", kiln=KilnName(each.spot.name)))
        for each in kilns
        if each.heat_kw is None
    ]
    return Safety(tuple(found), tuple(dict.fromkeys(assumed)), tuple(dict.fromkeys(unknowns)))


@lru_cache(maxsize=16)
def targets_of(around: Around) -> tuple[Target, ...]:
    """The features some rule speaks of, in their order, without burned or cold heaps and water in tanks or pipes.

    A kiln spot dragged leaves them as they are; kiln spots are left out.
    """
    kinds, supply = frozenset(rule.kind for rule in around.rules) - {"kiln_spot"}, dict(around.supply_min)
    volumes = {heap: (likely, high) for heap, likely, high in around.heap_m3}
    found = (_target(each, around.plane) for each in around.features if each.kind in kinds and each.kind_schema)
    found = (sized_heap(each, volumes.get(each.id)) if each.use in ("heap", "staged") else each for each in found)
    kept = (target for target in found if target.use not in ("burned", "contained"))
    return tuple(feed_heap(each, supply.get(each.id)) if each.use == "staged" else each for each in kept)


@lru_cache(maxsize=16)
def ruled_of(around: Around) -> tuple[Ruled, ...]:
    """Every target with its rule and what its owner said, for a kiln anywhere. around : as for `safety_of`"""
    targets = targets_of(around)
    return tuple(ruled(targets, around.rules, around.asked, longest_reach_m(around.machines)[0], targets))


def zones(around: Around) -> tuple[Zone, ...]:
    """Ground barred to every kiln by its distances, a zone per feature that has a place and a distance; for siting.

    around : as for `safety_of`

    A distance its owner asked for counts. That the owner of an overhead line agreed to less does not: what is looked
    for is a place that needs no such word. Kiln spots are left out, the seeker moves them.
    """
    found = []
    for one in ruled_of(around):
        target, required_m = one.target, one.required_m
        if target.shape is None or required_m is None:
            continue
        why = reason("safety.zone_on", name=target.name)
        if required_m:
            why = reason("safety.zone", name=target.name, distance=metres(required_m, toward="up"))
        found.append(Zone(target.id, target.kind, target.shape, required_m, target.error_m, why))
    return tuple(found)


def _target(feature: Feature, plane: Plane) -> Target:
    return feature.on(plane, _target_on)


def _target_on(feature: Feature, plane: Plane) -> Target:
    return target_of(feature.once(read_thing), shape_on(feature, plane))


def _size_assumed(mark: Target) -> Note:
    radius = metres(UNKNOWN_RADIUS_M, 2)
    return Note(mark.id, "kiln_radius_m", reason("safety.kiln_size", kiln=KilnName(mark.name), radius=radius))


def _spot(mark: Target, radius_m: float | None) -> Spot | None:
    if mark.shape is None:
        return None
    return Spot(mark.id, mark.name, mark.shape.centroid, radius_m or UNKNOWN_RADIUS_M, mark.error_m)


def _as_target(spot: Spot, mark: Target) -> Target:
    round_it = spot.place.buffer(spot.radius_m, quad_segs=32)
    return Target(spot.id, spot.name, "kiln_spot", mark.label, "", round_it, spot.error_m)


def _spot_safety(
    each: SpotFacts,
    setbacks: tuple[Setback, ...] | None,
    stands: tuple[Check, ...],
    shared: tuple[Check, ...],
) -> SpotSafety:
    radius_m = each.radius_m or UNKNOWN_RADIUS_M
    diameter_m = math.sqrt(4 * each.area_m2 / math.pi) if each.area_m2 else NARROWEST * radius_m
    checks = _stand_checks(each.spot.once(read_pad), each, diameter_m)
    if setbacks is None:
        why = reason("safety.not_placed", kiln=KilnName(each.spot.name))
        checks.append(checked("place", "not known", each.spot.id, why))
    else:
        checks += [*distance_checks(setbacks), *stands]
    checks += shared
    limits = tables.load("heat_limits")
    flame_m = float(limits["flame_floor"]["least_m"])
    from_middle_m = 0.0
    if each.heat_kw is not None:
        flame_m = max(flame_m, float(heat.flame_height_m(each.heat_kw, diameter_m)))
        from_middle_m = float(heat.radiant_distance_m(each.heat_kw, limits["rest"]["flux_kw_m2"]))
    from_rim_m = max(from_middle_m - radius_m, 0.0)
    gust_m_s = float(tables.load("weather_limits")["gust_m_s"]["inside_high"])
    patrol_m = patrol_distance_m(flame_m, gust_m_s)
    return SpotSafety(
        id=each.spot.id,
        checks=tuple(checks),
        effect=worst_effect(check.effect for check in checks),
        setbacks=setbacks or (),
        flame_height_m=flame_m,
        rest_m=max(float(limits["rest_floor"]["least_m"]), from_rim_m),
        visitors_m=max(float(limits["visitor_floor"]["least_m"]), from_rim_m),
        patrol_m=patrol_m,
        embers=_embers(gust_m_s, patrol_m),
    )


def _looks_from(around: Around, spot: Spot | None) -> Iterator[tuple[Looked, float | None]]:
    """Each look, with how far a kiln stands from the nearest place it was made round [m]: nought where it is that
    place, or the kiln has none; None where nobody said round which."""
    for look in around.looked:
        away_m = None
        if look.around:
            places = shapely.points([around.plane.xy(*place) for place in look.around])
            away_m = 0.0 if spot is None else float(shapely.distance(spot.place, places).min())
            away_m = 0.0 if away_m <= SAME_PLACE_M else away_m
        yield look, away_m


def _stand_checks(pad: Pad, each: SpotFacts, diameter_m: float) -> list[Check]:
    found = [
        stand.ground_check(pad.ground, pad.id),
        stand.branches_check(pad, each.heat_kw, diameter_m),
        (stand.cut_pad_check if pad.pad_cut else stand.two_slopes_check)(
            pad.slope_pct, each.slope_pct, pad.fuel_upslope, pad.id
        ),
    ]
    return found if each.size_m is None else [*found, *stand.size_checks(each.size_m, pad.id)]


def _shared_checks(around: Around, targets: tuple[Target, ...]) -> tuple[Check, ...]:
    """The checks that are the same for every kiln of a site."""
    pads = (_target(each, around.plane) for each in around.features if each.kind == "char_pad")
    return (
        authority_check(around.asked),
        *owner_checks(around.asked),
        *own_rule_checks(around.rules, LABELS),
        *char_pad_checks(pads, targets),
    )


def _embers(gust_m_s: float, patrol_m: float | None) -> Reason:
    gust, height = Quantity(gust_m_s, "m_s", 2), Quantity(TWENTY_FEET_M, "m", 2)
    if patrol_m is None:
        return reason("safety.patrol_beyond", gust=gust, height=height)
    return reason("safety.patrol", gust=gust, height=height, distance=metres(patrol_m, 2, "up"))


def _stands_by_spot(around: Around, spots: Iterable[Spot]) -> dict[str, tuple[Target, ...]]:
    """Each machine stand belongs to the kiln spot nearest to it, one without a place to every spot."""
    placed = tuple(spots)
    stands = [_target(feature, around.plane) for feature in around.features if feature.kind == "machine_stand"]
    lost = tuple(each for each in stands if each.shape is None)
    found = {spot.id: lost for spot in placed}
    for each in stands:
        if each.shape is not None and placed:
            nearest = min(placed, key=lambda spot: float(shapely.distance(spot.place, each.shape)))
            found[nearest.id] = (*found[nearest.id], each)
    return found
