"""Where a kiln may stand on this site: the siting room asked with everything the assessment knows."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from functools import cached_property, lru_cache

import shapely
from shapely.geometry import Point
from shapely.geometry.base import BaseGeometry

from sitemap.assessment import Assessment, assess, stock_of_site
from sitemap.between import PAD_RADIUS_M, kiln_radius_m
from sitemap.errors import BadValue
from sitemap.geodesy.plane import Plane
from sitemap.kiln.of_site import burns_of
from sitemap.kiln.reading import read_crew, read_kiln
from sitemap.kiln.values import KilnRun
from sitemap.reasons import Reason, Term, reason
from sitemap.safety.of_site import UNKNOWN_RADIUS_M, Around, ruled_of, zones
from sitemap.safety.permission import Check
from sitemap.safety.rules import Rule
from sitemap.safety.targets import default_error_m
from sitemap.site.kinds import with_role
from sitemap.site.model import Feature, Item, Site
from sitemap.site.on_plane import near, near_shape
from sitemap.siting.layers import (
    Layer,
    access_layer,
    fuel_layer,
    slope_layer,
    water_layer,
    water_not_known,
    ways_out_layer,
)
from sitemap.siting.ranking import SPACING_M
from sitemap.siting.reach import LIMITS, Reach, nowhere
from sitemap.siting.usable import GroundType, Setback, Usable, usable_ground
from sitemap.siting.water_reach import haul_reach, hose_reach
from sitemap.terrain.grid import Grid
from sitemap.terrain.of_site import ground_of, heeded
from sitemap.terrain.routes import Field, field
from sitemap.terrain.terrain import Terrain
from sitemap.water.bucket import bucket_of
from sitemap.water.equipment import rig_of
from sitemap.water.of_site import altitude_m
from sitemap.water.pressure_source import NoLineError
from sitemap.water.reading import links_of, machine_of, source_of
from sitemap.water.records import Kit
from sitemap.water.routes import (
    COARSE_ERROR_M,
    REACH_M,
    TERRAIN_ERROR_M,
    drawn_lay,
    first_machine,
    graph_for,
    water_level_m,
)
from sitemap.water.shuttle import filling_cap_l_min, hand_trip, machine_trips

ROUND_WORK_M = 30.0  # [m] the crew also works so far round a heap or stand outside the logged area (ours, C)


@dataclass(frozen=True)
class Demand:
    """What one batch of a kiln asks for, likely and high: water of the quench [L], flow that keeps pace with the glow
    [L/min]; likely dry wood [t]; method_known : somebody chose how it is quenched."""

    radius_m: float
    quench_l: float
    hold_l_min: float
    feed_t: float = 0.0
    quench_high_l: float = 0.0
    hold_high_l_min: float = 0.0
    method_known: bool = True


@dataclass(frozen=True)
class Setting:
    """What one kiln is held against, wherever it stands: the one value all questions of siting hang on.

    plane : of the site; ground : heights on the cells ways are sought on
    features : of the site, kiln spots and drawn lays left out; machines : of the equipment list
    demand : of the kiln
    """

    plane: Plane
    ground: Terrain
    features: tuple[Feature, ...]
    machines: tuple[Item, ...]
    demand: Demand

    @cached_property
    def shapes(self) -> Mapping[str, BaseGeometry]:
        """Of each feature that lies near, by its id, on the plane [m]."""
        found = ((feature.id, near_shape(feature, self.plane)) for feature in self.features)
        return {key: shape for key, shape in found if shape is not None}

    @cached_property
    def fixed(self) -> tuple[Feature, ...]:
        """Those of the features that lie near: what ways go round."""
        return near(self.features, self.plane)

    def of_kind(self, *kinds: str) -> list[BaseGeometry]:
        """Shapes of some kinds, on the plane [m]."""
        return [self.shapes[feature.id] for feature in self.fixed if feature.kind in kinds]


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
    if plane is None or assessment.around is None:
        raise BadValue(reason("siting.draw_the_area"))
    setting = Setting(
        plane,
        ground_of(site.features, plane, assessment.terrain),
        tuple(f for f in site.features if f.kind not in ("kiln_spot", "hose_lay")),
        site.equipment("machines"),
        demand_of(assessment, kiln),
    )
    return _usable(setting, assessment.around, reaches_of(assessment, kiln))


def reaches_of(assessment: Assessment, kiln: Item | None = None) -> tuple[Reach, ...]:
    """For each source and way, where the water still arrives for a quench of one kiln."""
    site, plane = assessment.source, assessment.plane
    demand = demand_of(assessment, kiln)
    if plane is None or demand.quench_l <= 0:
        return ()
    ground = ground_of(site.features, plane, assessment.terrain)
    sources, fixed = near(site.of_kind("water_source"), plane), heeded(site.features, plane)
    altitude = altitude_m(sources, plane, assessment.terrain)
    return _reaches(sources, fixed, assessment.kit, demand, plane, ground, altitude)


def left_out_of(reach: Reach, assessment: Assessment) -> Reason | None:
    """What was entered for kiln spots of its source that an area is made without, or None."""
    site, plane, source = assessment.source, assessment.plane, assessment.source.get(reach.source_id)
    if reach.way != "hose" or plane is None or source is None:
        return None
    links, drawn, spots = site.records("links"), site.of_kind("hose_lay"), site.of_kind("kiln_spot")
    own = [link for link in links_of(site) if link.source == source.id]
    heights = assessment.terrain is None and source.has("elevation_m") and any(s.has("elevation_m") for s in spots)
    entered = {
        Term("typed lifts"): heights or any(link.lift_m is not None for link in own),
        Term("drawn lays"): any(drawn_lay(source, spot, drawn, links, plane) for spot in spots),
        Term("bucket tests"): any(bucket_of(link) is not None for link in own),
    }
    facts = tuple(fact for fact, there in entered.items() if there)
    return reason("siting.made_without", facts=facts) if facts else None


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
    return Demand(radius, water.likely, hold.likely, feed.likely, water.high, hold.high, run.method_known)


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
    machine = first_machine(kit.machines)
    trips = machine_trips(replace(kit, machines=kit.machines[:1]))
    carried = hand_trip(kit)
    for feature in sources:
        source, water = source_of(feature), near_shape(feature, plane)
        if water is None:
            continue
        hose = field(graph_for("hose", fixed, plane, ground, machine), water, REACH_M)
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
                reached = field(graph_for(way, fixed, plane, ground, machine), water)  # type: ignore[arg-type]
                found.append(haul_reach(source.id, reached, trip, asked, careful, cap, way))
    return tuple(found if demand.method_known else (reach.tight_at_best() for reach in found))  # as its verdict is


@lru_cache(maxsize=8)
def _usable(setting: Setting, around: Around, reaches: tuple[Reach, ...]) -> Usable:
    kiln_error_m = default_error_m(under_trees=False)
    setbacks = [
        Setback(zone.shape, zone.distance_m, zone.reason, zone.error_m + kiln_error_m, zone.kind, zone.feature)
        for zone in zones(around)
        if zone.feature in setting.shapes
    ]
    layers = [
        slope_layer(setting.ground, PAD_RADIUS_M),
        fuel_layer(setting.ground, setting.of_kind(*with_role("fuel"))),
        *_access(setting),
        water_layer(reaches) if reaches else water_not_known(setting.ground),
    ]
    grid, radius_m = setting.ground.grid, setting.demand.radius_m
    types = (*_wet_ground(setting), *_without_distance(around, grid, radius_m))
    return usable_ground(grid, _work_area(setting), setbacks, layers, radius_m, types)


def _work_area(setting: Setting) -> BaseGeometry | None:
    """The logged area, and ground round heaps, pads and stands that lie outside it: they show that the crew works
    there. None where no logged area is drawn."""
    logged = [area for area in setting.of_kind("logged_area") if area.area > 0]
    if not logged:
        return None
    inside = shapely.union_all([shapely.make_valid(area) for area in logged])
    others = [shape for shape in setting.of_kind(*with_role("work")) if not inside.intersects(shape)]
    return shapely.union_all([inside, *(other.buffer(ROUND_WORK_M) for other in others)])


def _access(setting: Setting) -> Iterator[Layer]:
    plane, ground = setting.plane, setting.ground
    machine = first_machine(tuple(machine_of(item) for item in setting.machines))
    starts = setting.of_kind("track", "gate", "road", "machine_stand")
    if setting.machines and starts:
        graph = graph_for("haul", setting.fixed, plane, ground, machine)
        yield access_layer(field(graph, shapely.union_all(starts)))
    walk = graph_for("hand", setting.fixed, plane, ground, machine)
    exits: list[Field] = [field(walk, _far_end(way, setting)) for way in setting.of_kind("escape_route")]
    yield ways_out_layer(ground, exits)


def _far_end(route: BaseGeometry, setting: Setting) -> BaseGeometry:
    """The end of a way out that lies farther from the work."""
    work = setting.of_kind("logged_area")
    ends = list(getattr(route.boundary, "geoms", [route]))
    if not work:
        return ends[-1]
    middle = shapely.union_all(work)
    return max(ends, key=lambda end: end.distance(middle))


def _wet_ground(setting: Setting) -> Iterator[GroundType]:
    for feature in setting.fixed:
        if feature.kind == "wetland":
            why = reason("siting.wet_ground", name=feature.name)
            yield GroundType(setting.shapes[feature.id], True, why, feature.id)


def _without_distance(around: Around, grid: Grid, radius_m: float) -> Iterator[GroundType]:
    """What keeping a distance does not settle: none is entered, it has no place, or its owner refused. No spot of the
    site passes it before somebody has asked or drawn it, so nowhere on the ground does a kiln either."""
    everywhere = shapely.box(*grid.bounds)
    for one in ruled_of(around):
        name, shape, about = one.target.name, one.target.shape, one.target.id
        refused = one.answer is not None and one.answer.answer == "no"
        if shape is None:
            yield GroundType(everywhere, False, reason("siting.no_place", name=name), about)
        elif one.required_m is None:
            yield GroundType(shape.buffer(radius_m), True, reason("siting.stands_on_it", name=name), about)
            if not refused:
                yield GroundType(everywhere, False, reason("siting.ask_whose_it_is", name=name), about)
        if one.answer is not None and refused and shape is not None:
            why = reason("siting.refused", name=name, words=one.answer.words)
            yield GroundType(everywhere, True, why, about)
