"""Where a kiln may stand on this site: the siting room asked with everything the assessment knows."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import lru_cache

import shapely
from shapely.geometry import Point
from shapely.geometry.base import BaseGeometry

from sitemap.assessment import Assessment, around_of, assess, stock_of_site
from sitemap.between import PAD_RADIUS_M, kiln_radius_m
from sitemap.errors import BadValue
from sitemap.geodesy.plane import Plane
from sitemap.kiln.of_site import burns_of
from sitemap.kiln.reading import read_crew, read_kiln
from sitemap.kiln.values import KilnRun
from sitemap.safety.effects import CONDITIONAL, RULED_OUT
from sitemap.safety.of_site import UNKNOWN_RADIUS_M, Around, targets_of, zones
from sitemap.safety.permission import Check
from sitemap.safety.rules import Rule
from sitemap.safety.setbacks import ruled
from sitemap.safety.targets import default_error_m
from sitemap.site.model import Feature, Item, Site
from sitemap.site.on_plane import near, near_shape
from sitemap.site.seen import Day
from sitemap.siting.explain import told
from sitemap.siting.layers import (
    Layer,
    Reason,
    access_layer,
    fuel_layer,
    slope_layer,
    water_layer,
    water_not_known,
    ways_out_layer,
)
from sitemap.siting.ranking import SPACING_M
from sitemap.siting.reach import LIMITS, Reach, nowhere
from sitemap.siting.smoke import smoke_caution
from sitemap.siting.usable import GroundType, Setback, Usable, usable_ground
from sitemap.siting.water_reach import haul_reach, hose_reach
from sitemap.telling import sentence, tell
from sitemap.terrain.grid import Grid
from sitemap.terrain.of_site import ground_of, heeded
from sitemap.terrain.routes import Field, field
from sitemap.terrain.terrain import Terrain
from sitemap.units import text
from sitemap.water.bucket import bucket_of
from sitemap.water.equipment import rig_of
from sitemap.water.of_site import altitude_m
from sitemap.water.pressure_source import NoLineError
from sitemap.water.reading import kit_of, links_of, machine_of, source_of
from sitemap.water.records import Kit
from sitemap.water.routes import (
    COARSE_ERROR_M,
    REACH_M,
    TERRAIN_ERROR_M,
    drawn_lay,
    first_mover,
    graph_for,
    water_level_m,
)
from sitemap.water.shuttle import filling_cap_l_min, hand_trip, machine_trips

FUELS = ("standing_timber", "pile", "windrow")
WORKPLACES = ("pile", "windrow", "char_pad", "machine_stand")
ROUND_WORK_M = 30.0  # [m] the crew also works so far round a heap or stand outside the logged area (ours, C)


@dataclass(frozen=True)
class Demand:
    """What one batch of a kiln asks for, likely and high: water of the quench [L], flow that keeps pace with the glow
    [L/min]; likely dry wood [t]."""

    radius_m: float
    quench_l: float
    hold_l_min: float
    feed_t: float = 0.0
    quench_high_l: float = 0.0
    hold_high_l_min: float = 0.0


@dataclass(frozen=True)
class Answered:
    """May a kiln stand here? may : False, or None for not known, never True; effect : of a kiln spot put there;
    nearest : longitude and latitude of the nearest usable ground, or None."""

    may: bool | None
    effect: str
    sentences: tuple[str, ...]
    nearest: tuple[float, float] | None


def answer_at(assessment: Assessment, lon: float, lat: float, kiln: Item | None = None) -> Answered:
    """May a kiln stand at a place? If not: every reason, and how far the nearest usable ground is.

    Parameters
    ----------
    lon, lat : the place [deg]
    kiln : which kiln; the largest of the site where left out

    Returns
    -------
    Answered; its effect is that of a kiln spot put there and assessed. What is not known never reads as yes, and at a
    bare place the ground under the kiln and the branches above are not.
    """
    site, plane = assessment.source, assessment.plane
    if plane is None:
        return Answered(None, CONDITIONAL, ("Nothing is on the map yet, so nothing can be said.",), None)
    usable = usable_of(assessment, kiln)
    x, y = (float(part) for part in plane.xy(lon, lat))
    apart_m = spacing_m(assessment.rules)
    near_by = kilns_near(site, plane, Point(x, y), usable.kiln_radius_m + apart_m)
    reasons = [
        Reason("kiln", True, f"Kiln {other.name} stands nearer than {text(apart_m, 'm', site.units)}.")
        for other in near_by
    ]
    names = {feature.id: feature.name for feature in site.features}
    found = told([*reasons, *usable.reasons_at(x, y)], checks_of_a_spot(assessment, lon, lat, kiln), names, site.units)
    caution = smoke_caution(site, plane, x, y)
    said = (*found.sentences, *((caution,) if caution else ()))
    if found.usable:
        head = "Not known whether a kiln may stand here: a kiln spot would be conditional."
        return Answered(None, found.effect, (head, *said), None)
    head = "No kiln may stand here."
    if found.effect != RULED_OUT:
        head = "Not usable ground as entered; a kiln spot put here all the same would be conditional."
    nearest, where = None, "There is no usable ground on this site as entered."
    metres, place = usable.nearest(x, y)
    if metres == 0.0:  # what rules it out here is asked of a kiln spot anywhere
        return Answered(False, found.effect, (head, *said), None)
    if metres is not None and place is not None:
        lon_near, lat_near = plane.lonlat(*place)
        nearest = float(lon_near), float(lat_near)
        where = f"The nearest usable ground is {text(metres, 'm', site.units, 2)} away."
    return Answered(False, found.effect, (head, *said, where), nearest)


def checks_of_a_spot(assessment: Assessment, lon: float, lat: float, kiln: Item | None) -> tuple[Check, ...]:
    """Every check of a kiln spot put at a place; none where it would move the plane of the site."""
    site, item = assessment.source, kiln or largest_kiln(assessment.source)
    place = {"type": "Point", "coordinates": [lon, lat]}
    values = {"kind": "kiln_spot", "name": "here"} | ({"kiln": item.id} if item is not None else {})
    spot = Feature.of(site.new_id("kiln_spot"), place, values)
    tried = assess(site.put(spot), assessment.terrain, on=assessment.on, today=assessment.today)
    report = tried.spot(spot.id)
    return report.checks if report is not None and tried.plane == assessment.plane else ()


def usable_of(assessment: Assessment, kiln: Item | None = None) -> Usable:
    """Usable ground of the site for one kiln. Raises BadValue where nothing is on the map."""
    site, plane = assessment.source, assessment.plane
    if plane is None:
        raise BadValue("Nothing is on the map yet: draw the logged area first.")
    demand = demand_of(assessment, kiln)
    fixed = tuple(f for f in site.features if f.kind not in ("kiln_spot", "hose_lay"))
    return _usable(
        fixed,
        around_of(site, plane, assessment.rules, Day(assessment.on, assessment.today)),
        site.equipment("machines"),
        demand,
        plane,
        ground_of(site.features, plane, assessment.terrain),
        reaches_of(assessment, kiln),
        site.units,
    )


def reaches_of(assessment: Assessment, kiln: Item | None = None) -> tuple[Reach, ...]:
    """For each source and way, where the water still arrives for a quench of one kiln."""
    site, plane = assessment.source, assessment.plane
    demand = demand_of(assessment, kiln)
    if plane is None or demand.quench_l <= 0:
        return ()
    ground = ground_of(site.features, plane, assessment.terrain)
    sources, fixed = near(site.of_kind("water_source"), plane), heeded(site.features, plane)
    altitude = altitude_m(sources, plane, assessment.terrain)
    return _reaches(sources, fixed, kit_of(site), demand, plane, ground, altitude)


def left_out_of(reach: Reach, assessment: Assessment) -> str:
    """What was entered for kiln spots of its source that an area is made without, as a sentence, or nothing."""
    site, plane, source = assessment.source, assessment.plane, assessment.source.get(reach.source_id)
    if reach.way != "hose" or plane is None or source is None:
        return ""
    links, drawn, spots = site.records("links"), site.of_kind("hose_lay"), site.of_kind("kiln_spot")
    own = [link for link in links_of(site) if link.source == source.id]
    heights = assessment.terrain is None and source.has("elevation_m") and any(s.has("elevation_m") for s in spots)
    entered = {
        "typed lifts": heights or any(link.lift_m is not None for link in own),
        "drawn lays": any(drawn_lay(source, spot, drawn, links, plane) for spot in spots),
        "bucket tests": any(bucket_of(link) is not None for link in own),
    }
    facts = " and ".join(", ".join(fact for fact, there in entered.items() if there).rsplit(", ", 1))
    return f"Made without the {facts} of kiln spots: their own verdicts count them." if facts else ""


def demand_of(assessment: Assessment, kiln: Item | None = None) -> Demand:
    """What a kiln asks for wherever it stands: by the way of quenching chosen at its kiln spots that takes the most."""
    kiln = kiln or largest_kiln(assessment.source)
    fact = kiln.once(read_kiln)[0] if kiln is not None else None
    if kiln is None or fact is None:
        return Demand(UNKNOWN_RADIUS_M, 0.0, 0.0)
    run = _run(kiln, assessment)
    radius = kiln_radius_m(fact)
    if run is None:
        return Demand(radius, 0.0, 0.0)
    water, hold, feed = run.quench_l_per_batch, run.hold_l_min, run.feed_dry_t_per_batch
    return Demand(radius, water.likely, hold.likely, feed.likely, water.high, hold.high)


def largest_kiln(site: Site) -> Item | None:
    """The kiln of the equipment list that covers the most ground; None where none has a size."""
    facts = [(item, item.once(read_kiln)[0]) for item in site.equipment("kilns")]
    sized = [(item, kiln_radius_m(fact)) for item, fact in facts if fact is not None]
    return max(sized, key=lambda pair: pair[1])[0] if sized else None


def _run(kiln: Item, assessment: Assessment) -> KilnRun | None:
    site, crew = assessment.source, read_crew(assessment.source.section("crew"))
    methods = {spot.choice("quench_method") for spot in site.of_kind("kiln_spot") if spot.text("kiln") == kiln.id}
    said = [{"quench_method": method} if method else {} for method in sorted(methods or {None}, key=str)]
    anywhere = [Feature.of("anywhere", None, {"kind": "kiln_spot", "kiln": kiln.id, **how}) for how in said]
    stock = stock_of_site(assessment)
    runs = [run for spot in anywhere for run in burns_of((spot,), (kiln,), stock, crew, None, None).kilns]
    return max(runs, key=lambda run: run.quench_l_per_batch.likely, default=None)


def spacing_m(rules: tuple[Rule, ...]) -> float:
    """Distance between the edges of two kilns [m]: by the site's own rule, else the house's."""
    said = [rule.distance_m for rule in rules if rule.kind == "kiln_spot" and rule.distance_m is not None]
    return max(said, default=SPACING_M)


def kilns_near(site: Site, plane: Plane, place: Point, within_m: float) -> Iterator[Feature]:
    """Kiln spots whose kiln's edge is within a distance of a place."""
    for spot in site.of_kind("kiln_spot"):
        shape, item = near_shape(spot, plane), site.item("kilns", spot.text("kiln"))
        facts = item.once(read_kiln)[0] if item is not None else None
        radius_m = UNKNOWN_RADIUS_M if facts is None else kiln_radius_m(facts)
        if shape is not None and shape.distance(place) - radius_m < within_m:
            yield spot


@lru_cache(maxsize=8)
def _reaches(
    sources: tuple[Feature, ...],
    fixed: tuple[Feature, ...],
    kit: Kit,
    demand: Demand,
    plane: Plane,
    ground: Terrain,
    altitude: float | None,
) -> tuple[Reach, ...]:
    found = []
    error_m = COARSE_ERROR_M if ground.coarse else TERRAIN_ERROR_M
    asked = demand.quench_l, demand.hold_l_min
    careful = demand.quench_high_l, demand.hold_high_l_min
    mover = first_mover(kit.machines)
    trips = machine_trips(replace(kit, machines=kit.machines[:1]))
    carried = hand_trip(kit)
    for feature in sources:
        source, water = source_of(feature), near_shape(feature, plane)
        if water is None:
            continue
        hose = field(graph_for("hose", fixed, plane, ground, mover), water, REACH_M)
        level = water_level_m(water, ground)
        try:
            rig = rig_of(source, kit, altitude)
            alone = replace(rig, relay=None)  # a relay stands on one way, not on the way to every cell
            if math.isnan(level):
                reach = nowhere(source.id, hose, "not known")
            else:
                reach = hose_reach(source.id, hose, alone, asked, careful, level, error_m)
            found.append(reach if rig.relay is None else reach.without_relay())
        except BadValue as fault:  # the water page says why there is no line
            fails = fault.fails if isinstance(fault, NoLineError) and fault.word == "short" else "equipment"
            found.append(nowhere(source.id, hose, fails if fails in LIMITS else "lift"))
        cap = filling_cap_l_min(source)
        for trip, way in ((trips[0] if trips else None, "haul"), (carried, "hand")):
            if trip is not None:
                reached = field(graph_for(way, fixed, plane, ground, mover), water)  # type: ignore[arg-type]
                found.append(haul_reach(source.id, reached, trip, asked, careful, cap, way))
    return tuple(found)


@lru_cache(maxsize=8)
def _usable(
    features: tuple[Feature, ...],
    around: Around,
    machines: tuple[Item, ...],
    demand: Demand,
    plane: Plane,
    ground: Terrain,
    reaches: tuple[Reach, ...],
    units: str,
) -> Usable:
    fixed = near(features, plane)
    kiln_error_m = default_error_m(under_trees=False)
    shapes = {f.id: shape for f in fixed if (shape := near_shape(f, plane)) is not None}
    setbacks = [
        Setback(zone.shape, zone.distance_m, sentence(zone.reason, units), zone.error_m + kiln_error_m, zone.kind)
        for zone in zones(around)
        if zone.feature in shapes
    ]
    layers = [
        slope_layer(ground, PAD_RADIUS_M),
        fuel_layer(ground, [shapes[f.id] for f in fixed if f.kind in FUELS]),
    ]
    layers += _access(fixed, shapes, machines, plane, ground)
    layers.append(water_layer(reaches) if reaches else water_not_known(ground))
    return usable_ground(
        ground.grid,
        _work_area(fixed, shapes),
        setbacks,
        layers,
        demand.radius_m,
        (
            *_ground_types(fixed, shapes),
            *_without_distance(around, ground.grid, demand.radius_m, units),
        ),
    )


def _work_area(fixed: tuple[Feature, ...], shapes: dict[str, BaseGeometry]) -> BaseGeometry | None:
    """The logged area, and ground round heaps, pads and stands that lie outside it: they show that the crew works
    there. None where no logged area is drawn."""
    logged = [shapes[f.id] for f in fixed if f.kind == "logged_area" and shapes[f.id].area > 0]
    if not logged:
        return None
    inside = shapely.union_all([shapely.make_valid(area) for area in logged])
    others = [shapes[f.id] for f in fixed if f.kind in WORKPLACES and not inside.intersects(shapes[f.id])]
    return shapely.union_all([inside, *(other.buffer(ROUND_WORK_M) for other in others)])


def _access(
    fixed: tuple[Feature, ...],
    shapes: dict[str, BaseGeometry],
    machines: tuple[Item, ...],
    plane: Plane,
    ground: Terrain,
) -> Iterator[Layer]:
    mover = first_mover(tuple(machine_of(item) for item in machines))
    starts = [shapes[f.id] for f in fixed if f.kind in ("track", "gate", "road", "machine_stand")]
    if machines and starts:
        graph = graph_for("haul", fixed, plane, ground, mover)
        yield access_layer(field(graph, shapely.union_all(starts)))
    walk = graph_for("hand", fixed, plane, ground, mover)
    exits: list[Field] = [field(walk, _far_end(shapes[f.id], fixed, shapes)) for f in fixed if f.kind == "escape_route"]
    yield ways_out_layer(ground, exits)


def _far_end(route: BaseGeometry, fixed: tuple[Feature, ...], shapes: dict[str, BaseGeometry]) -> BaseGeometry:
    """The end of a way out that lies farther from the work."""
    work = [shapes[f.id] for f in fixed if f.kind == "logged_area"]
    ends = list(getattr(route.boundary, "geoms", [route]))
    if not work:
        return ends[-1]
    middle = shapely.union_all(work)
    return max(ends, key=lambda end: end.distance(middle))


def _ground_types(fixed: tuple[Feature, ...], shapes: dict[str, BaseGeometry]) -> tuple[GroundType, ...]:
    return tuple(
        GroundType(shapes[f.id], True, f"{f.name}: wet ground, no kiln stands on it.")
        for f in fixed
        if f.kind == "wetland"
    )


def _without_distance(around: Around, grid: Grid, radius_m: float, units: str) -> Iterator[GroundType]:
    """What no distance can be kept from, because none is entered or it has no place: no spot of the site passes it
    before somebody has asked or drawn it, so nowhere on the ground does a kiln either."""
    everywhere = shapely.box(*grid.bounds)
    targets = targets_of(around)
    for one in ruled(targets, around.rules, around.asked, None, targets):
        name, shape = one.target.name, one.target.shape
        if shape is None:
            yield GroundType(everywhere, False, f"{name}: has no place that can be measured to. Draw it again.")
        elif one.required_m is None:
            yield GroundType(shape.buffer(radius_m), True, f"{name}: no kiln stands on it.")
            if one.answer is None or one.answer.answer != "no":
                yield GroundType(everywhere, False, f"{name}: no distance entered, so ask whom it belongs to.")
            else:
                yield GroundType(everywhere, True, f"{name}: refused ({tell(one.answer.words, units)}).")
