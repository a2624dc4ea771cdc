"""Safety of a site: every check of every kiln spot that has to do with keeping clear."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, replace
from functools import lru_cache

import shapely
from shapely.geometry.base import BaseGeometry

from sitemap import tables
from sitemap.geodesy.plane import Plane
from sitemap.notes import Note, kiln_called, sentence
from sitemap.reasons import Reason
from sitemap.safety import heat, stand
from sitemap.safety.clear import (
    LISTED_BEYOND_RULE_M,
    Setback,
    Spot,
    distance_checks,
    governing,
    machine_stand_checks,
    ruled,
    setbacks_of,
)
from sitemap.safety.effects import worst_effect
from sitemap.safety.embers import patrol_distance_m
from sitemap.safety.looked import looked_checks
from sitemap.safety.permission import Check, authority_check, checked
from sitemap.safety.power_line import longest_reach_m
from sitemap.safety.rules import Rule
from sitemap.safety.things import Thing, default_error_m, thing_of, things_of
from sitemap.site.model import Entry, Feature, Item
from sitemap.units import restated, text, to_display, unit_label

UNKNOWN_RADIUS_M = 1.5  # [m] of a kiln whose size was not entered; ours (C)
NARROWEST = 1.24  # [1] diameter of the fire over that radius for a box 3 × 1, the taller flame; a ring has 2 (D)
POSITION_ERRORS = (
    f"Places without an error entered are taken as good to ± {default_error_m(False):g} m in the open and "
    f"± {default_error_m(True):g} m under trees."
)
LOCAL_CODE = "Every distance is an example until the local code has been asked; a pass is not a permission."
PerSpot = tuple[tuple[str, float | None], ...]


@dataclass(frozen=True)
class SpotSafety:
    """One kiln spot.

    checks : every check, in the order ground, branches, slope, distance, looked, machine_stand, authority
    effect : the worst of them
    setbacks : see `clear.setbacks_of`
    flame_height_m : in still air, never counted below 1.5 m
    rest_m, visitors_m : least distance from the rim for crew at rest and for visitors
    patrol_m : downwind patrol distance for embers at the gust; None where there is no figure
    embers : the sentence to show beside every distance
    """

    id: str
    checks: tuple[Check, ...]
    effect: str
    setbacks: tuple[Setback, ...]
    flame_height_m: float
    rest_m: float
    visitors_m: float
    patrol_m: float | None
    embers: str


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
    sentence: str


@lru_cache(maxsize=16)
def safety_of(
    spots: tuple[Feature, ...],
    kiln_radius_m: PerSpot,
    features: tuple[Feature, ...],
    rules: tuple[Rule, ...],
    looked: tuple[Entry, ...],
    asked: tuple[Entry, ...],
    plane: Plane,
    heat_kw: PerSpot = (),
    machines: tuple[Item, ...] = (),
    slope_pct: PerSpot = (),
    open_area_m2: PerSpot = (),
    system: str = "metric",
    beyond_m: float = LISTED_BEYOND_RULE_M,
) -> Safety:
    """Every check of every kiln spot that has to do with keeping clear.

    Parameters
    ----------
    spots : the kiln spots
    kiln_radius_m : (spot id, radius of the circle through the corners of the kiln's open top [m] or None)
    features : all features of the site; kinds without a rule, and the spots themselves, are passed over
    rules : `rules.rules_of(site.records("rules"))`
    looked, asked : records of the site
    plane : of the site
    heat_kw : (spot id, heat release at its greatest [kW] or None)
    machines : `site.equipment("machines")`
    slope_pct : (spot id, slope from terrain [%], NaN where it has none to give), used where none was entered
    open_area_m2 : (spot id, area of the kiln's open top [m²] or None), for the flame; else a narrow box is taken
    system : units of the sentences, "metric" or "us"
    beyond_m : as for `clear.setbacks_of`

    Returns
    -------
    `Safety`
    """
    radii, areas, heats, slopes = dict(kiln_radius_m), dict(open_area_m2), dict(heat_kw), dict(slope_pct)
    reach_m, reach_notes = longest_reach_m(machines)
    things = things_of(_around(features), _kinds(rules), plane)
    stands = tuple(thing_of(feature, plane) for feature in features if feature.kind == "machine_stand")
    marks = tuple(thing_of(feature, plane) for feature in spots)
    kilns = {mark.id: _kiln(mark, radii.get(mark.id)) for mark in marks}
    placed = tuple(kiln for kiln in kilns.values() if kiln is not None)
    obstacles = ruled((*things, *(_as_thing(kiln) for kiln in placed)), rules, asked, reach_m)
    own_stands = _stands_by_spot(stands, placed)
    looks = looked_checks(rules, things, looked, reach_m, system)
    found = []
    for feature in spots:
        radius_m, kiln_heat = radii.get(feature.id) or UNKNOWN_RADIUS_M, heats.get(feature.id)
        area_m2, spot = areas.get(feature.id), kilns[feature.id]
        diameter_m = math.sqrt(4 * area_m2 / math.pi) if area_m2 else NARROWEST * radius_m
        checks = _stand_checks(feature, slopes.get(feature.id), kiln_heat, diameter_m, system)
        setbacks: tuple[Setback, ...] = ()
        if spot is None:
            checks.append(
                checked(
                    "place", "not known", feature.id, sentence(f"{kiln_called(feature.name)} has no place on the map")
                )
            )
        else:
            others = (obstacle for obstacle in obstacles if obstacle.thing.id != spot.id)
            setbacks = setbacks_of(spot, tuple(others), system, beyond_m)
            checks += distance_checks(setbacks)
            checks += machine_stand_checks(spot.id, own_stands.get(spot.id, ()), things, asked, reach_m, system)
        checks += (*looks, authority_check(asked))
        found.append(_spot_safety(feature.id, tuple(checks), setbacks, kiln_heat, radius_m, diameter_m, system))
    assumed = [*reach_notes, *(note for thing in (*things, *marks) for note in thing.notes)]
    assumed += [
        _note(mark, "kiln_radius_m", f"size not known, taken as {UNKNOWN_RADIUS_M:g} m round its middle")
        for mark in marks
        if radii.get(mark.id) is None
    ]
    if any(thing.error_assumed for thing in (*things, *marks)):
        assumed.append(Note("site", "position_error_m", POSITION_ERRORS))
    assumed = [_restated(note, system) for note in assumed]
    unknowns = [Note(c.about, c.check, c.reason) for spot in found for c in spot.checks if c.verdict == "not known"]
    unknowns += [
        _note(mark, "heat_kw", "heat not known; distances for people are the floors")
        for mark in marks
        if heats.get(mark.id) is None
    ]
    return Safety(tuple(found), tuple(dict.fromkeys(assumed)), tuple(dict.fromkeys(unknowns)))


@lru_cache(maxsize=16)
def zones(
    features: tuple[Feature, ...],
    rules: tuple[Rule, ...],
    plane: Plane,
    machines: tuple[Item, ...] = (),
    system: str = "metric",
) -> tuple[Zone, ...]:
    """Ground barred to every kiln by the rules, a zone per feature; for siting.

    Parameters
    ----------
    features, rules, plane, machines, system : as for `safety_of`

    Returns
    -------
    one `Zone` per feature with a place and a distance; agreements of line owners are not counted here: what is looked
    for is a place that needs none. Kiln spots are left out, the seeker moves them.
    """
    reach_m, _ = longest_reach_m(machines)
    found = []
    for thing in things_of(_around(features), _kinds(rules), plane):
        _, required_m = governing(thing, rules, reach_m)
        if thing.shape is None or required_m is None:
            continue
        need = f"nearer than {text(required_m, 'm', system)} to" if required_m else "on"
        sentence = f"{thing.name}: {need} it by the rule entered."
        found.append(Zone(thing.id, thing.kind, thing.shape, required_m, thing.error_m, sentence))
    return tuple(found)


def _note(mark: Thing, what: str, told: str) -> Note:
    return Note(mark.id, what, sentence(f"{kiln_called(mark.name)}: {told}"))


def _restated(note: Note, system: str) -> Note:
    """The note in the units of the site, but for the name in front: a "20 t excavator" stays one."""
    if isinstance(note.text, Reason):
        return note
    name, colon, told = note.text.rpartition(": ")
    return replace(note, text=name + colon + restated(told, system, 2))


def _around(features: tuple[Feature, ...]) -> tuple[Feature, ...]:
    return tuple(feature for feature in features if feature.kind != "kiln_spot")


def _kinds(rules: Iterable[Rule]) -> frozenset[str]:
    return frozenset(rule.kind for rule in rules) - {"kiln_spot"}


def _kiln(mark: Thing, radius_m: float | None) -> Spot | None:
    if mark.shape is None:
        return None
    return Spot(mark.id, mark.name, mark.shape.centroid, radius_m or UNKNOWN_RADIUS_M, mark.error_m)


def _stand_checks(
    feature: Feature, terrain_pct: float | None, heat_kw: float | None, diameter_m: float, system: str
) -> list[Check]:
    branches, branch_m = feature.choice("branches_overhead"), feature.number("branch_height_m")
    entered_pct = feature.number("slope_pct")
    slope = terrain_pct if entered_pct is None else entered_pct
    return [
        stand.ground_check(feature.choice("ground"), feature.id, system),
        stand.branches_check(branches, branch_m, heat_kw, diameter_m, feature.id, system),
        stand.slope_check(slope, feature.choice("fuel_upslope"), feature.id),
    ]


def _spot_safety(
    spot_id: str,
    checks: tuple[Check, ...],
    setbacks: tuple[Setback, ...],
    heat_kw: float | None,
    radius_m: float,
    diameter_m: float,
    system: str,
) -> SpotSafety:
    limits = tables.load("heat_limits")
    flame_m = float(limits["flame_floor"]["least_m"])
    from_middle_m = 0.0
    if heat_kw is not None:
        flame_m = max(flame_m, float(heat.flame_height_m(heat_kw, diameter_m)))
        from_middle_m = float(heat.radiant_distance_m(heat_kw, limits["rest"]["flux_kw_m2"]))
    from_rim_m = max(from_middle_m - radius_m, 0.0)
    gust_m_s = float(tables.load("weather_limits")["gust_m_s"]["inside_high"])
    patrol_m = patrol_distance_m(flame_m, gust_m_s)
    far = "further than any figure here" if patrol_m is None else f"as far as {_up(patrol_m, system)}"
    gust = text(gust_m_s, "m_s", system, 2)
    return SpotSafety(
        id=spot_id,
        checks=checks,
        effect=worst_effect(check.effect for check in checks),
        setbacks=setbacks,
        flame_height_m=flame_m,
        rest_m=max(float(limits["rest_floor"]["least_m"]), from_rim_m),
        visitors_m=max(float(limits["visitor_floor"]["least_m"]), from_rim_m),
        patrol_m=patrol_m,
        embers=f"No distance here is safe from embers: in a gust of {gust} patrol downwind {far}.",
    )


def _up(metres: float, system: str) -> str:
    """A distance rounded up, never down, to ten of the units shown."""
    shown = math.ceil(to_display(metres, "m", system) / 10) * 10
    return f"{shown} {unit_label('m', system)}"


def _as_thing(spot: Spot) -> Thing:
    return Thing(spot.id, spot.name, "kiln_spot", "", spot.place.buffer(spot.radius_m, quad_segs=32), spot.error_m)


def _stands_by_spot(stands: Iterable[Thing], spots: Iterable[Spot]) -> dict[str, tuple[Thing, ...]]:
    """Each machine stand belongs to the kiln spot nearest to it."""
    found: dict[str, tuple[Thing, ...]] = {}
    placed = tuple(spots)
    for thing in stands:
        if thing.shape is not None and placed:
            nearest = min(placed, key=lambda spot: float(shapely.distance(spot.place, thing.shape)))
            found[nearest.id] = (*found.get(nearest.id, ()), thing)
    return found
