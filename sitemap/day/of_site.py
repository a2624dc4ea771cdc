"""The matters of the day of a site, and the decision on each of its kilns."""

from __future__ import annotations

import contextlib
import datetime as dt
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

import shapely
from shapely.geometry.base import BaseGeometry

from sitemap import tables
from sitemap.day import matters
from sitemap.day.decision import Decision, decide
from sitemap.day.facts import season_doubted
from sitemap.day.ways_out import Refuge, different, meeting_check, refuge_check, refuges_near, ways_check, ways_near
from sitemap.day.wood import HeapWood, Reading, heap_check, wood_check
from sitemap.errors import BadValue
from sitemap.geodesy.plane import Plane
from sitemap.kiln.days import hours_needed
from sitemap.kiln.reading import out_by
from sitemap.kiln.values import KilnRun
from sitemap.progress import counted
from sitemap.safety.permission import Check
from sitemap.site.model import Entry, Feature, Site
from sitemap.site.on_plane import middle_of, near_shape, plane_of_site
from sitemap.site.seen import Day, Doubt, tick_doubt
from sitemap.site.weather_read import cured_allowed_by
from sitemap.slash import moisture
from sitemap.slash.reading import latest_readings, meter_reading


@dataclass(frozen=True)
class SpotChecks:
    """A kiln spot with every check of the ground it stands on and of its water."""

    id: str
    name: str
    checks: tuple[Check, ...]


def day_checks(site: Site, day: Day, doubts: Iterable[Doubt]) -> tuple[Check, ...]:
    """The checks of the day that are the same for every kiln.

    site : as entered; day : of the burn; doubts : facts that do not stand for it
    """
    found, on = tuple(doubts), day.on
    permit, season, crew = site.section("permit"), site.section("season"), site.section("crew")
    return (
        matters.date_check(on, day.today),
        matters.closed_check(on, closed_days(site)),
        matters.permit_check(_permit(permit, day), on),
        season_doubted(matters.ban_check(season.choice("ban")), found),
        season_doubted(matters.surroundings_check(season.choice("surroundings"), cured_allowed_by(site, on)), found),
        matters.people_check(crew.integer("adults")),
        matters.leader_check(crew.text("leader")),
        matters.carriers_check(crew.integer("adults"), crew.integer("carriers")),
        matters.call_check([crew.text("phone"), crew.text("radio")], crew.text("emergency")),
        matters.walked_check(season.date("date_walked"), day),
    )


def own_checks(
    site: Site, runs: dict[str, KilnRun], fuel: Mapping[str, str], day: Day, doubts: Iterable[Doubt]
) -> dict[str, tuple[Check, ...]]:
    """What belongs to one kiln: its wood, its ways out and the night after its day, by id of its spot.

    site : as entered; runs, fuel, day : as of `wood_checks`; doubts : facts that do not stand for the day
    """
    found = tuple(doubts)
    wood, late = wood_checks(site, runs, fuel, day), past_midnight_checks(site, day, runs)
    return {
        spot: (
            *((wood[spot],) if spot in wood else ()),
            *(season_doubted(way, found) for way in ways),
            *late.get(spot, ()),
        )
        for spot, ways in ways_out_checks(site).items()
    }


def past_midnight_checks(site: Site, day: Day, runs: Mapping[str, KilnRun]) -> dict[str, tuple[Check, ...]]:
    """What bars a kiln that is still alight on the day after the burn date, by id of its spot: a permit that has ended
    by then, a day without burning.

    site : as entered; day : of the burn; runs : what is burned at each spot, by its id
    """
    found: dict[str, tuple[Check, ...]] = {}
    for spot, run in runs.items():
        out = max((clock.no_steam_by.date() for clock in run.clocks), default=None)
        if out is not None and day.on is not None and out > day.on:
            permit = matters.overnight_check(_permit(site.section("permit"), day), out)
            found[spot] = (matters.closed_check(out, closed_days(site)), permit)
    return found


def closed_days(site: Site) -> tuple[tuple[dt.date, dt.date, str], ...]:
    """The days on which nothing may burn: first, last, why; either end may stand first."""
    found = []
    for each in site.records("closed"):
        one = each.date("from") or each.date("to")
        other = each.date("to") or one
        if one is not None and other is not None:
            found.append((min(one, other), max(one, other), each.text("why") or ""))
    return tuple(found)


def _permit(said: Entry, day: Day) -> matters.Permit:
    wind, gust = said.number("wind_km_h"), said.number("gust_km_h")
    met = said.flag("conditions_met") is True
    return matters.Permit(
        said.date("from"),
        said.date("to"),
        said.flag("none_needed") is True,
        said.text("conditions") or "",
        met,
        tick_doubt(said.text("met_by"), said.date("met_on"), None, day) if met else None,
        said.flag("no_conditions") is True,
        wind is not None and gust is not None and gust < wind,
        typed if (typed := said.text("to_time")) and out_by(said, dt.date.min) is None else "",
    )


def ways_out_checks(site: Site) -> dict[str, tuple[Check, ...]]:
    """Ways out, meeting point and refuge of each kiln, by the id of its spot: what lies too far off is none for it."""
    plane = plane_of_site(site)

    def shapes(*kinds: str) -> Iterator[tuple[str, BaseGeometry | None]]:
        for feature in site.of_kind(*kinds):
            yield feature.name, None if plane is None else near_shape(feature, plane)

    refuges = [Refuge(name, shape) for name, shape in shapes("refuge")]
    meeting = [shape for _, shape in shapes("meeting_point") if shape is not None]
    no_ground = shapes("standing_timber", "pile", "windrow", "water_source", "wetland", "stream")
    taken = [shape for _, shape in no_ground if shape is not None]
    height_m = site.section("season").number("fuel_height_m")
    found: dict[str, tuple[Check, ...]] = {}
    for spot in site.of_kind("kiln_spot"):
        place = None if plane is None else middle_of(spot, plane)
        found[spot.id] = (
            ways_check(_ways(site, spot, plane)),
            refuge_check(refuges_near(refuges, place), height_m, taken),
            meeting_check(meeting, place),
        )
    return found


def ways_that_count(site: Site, spot: Feature) -> tuple[Feature, ...]:
    """The ways out of a kiln that differ, begin near it and lead away: where people may be sent from there."""
    return tuple(_ways(site, spot, plane_of_site(site)).values())


def _ways(site: Site, spot: Feature, plane: Plane | None) -> dict[BaseGeometry, Feature]:
    """The same by their shapes on the plane."""
    if plane is None:
        return {}
    ways = {shape: way for way in site.of_kind("escape_route") if (shape := near_shape(way, plane)) is not None}
    ponds = [near_shape(source, plane) for source in site.of_kind("water_source")]
    water = shapely.union_all([shape for shape in ponds if shape is not None and shape.area])
    return {way: ways[way] for way in different(ways_near(ways, middle_of(spot, plane), water))}


def wood_checks(site: Site, runs: dict[str, KilnRun], fuel: Mapping[str, str], day: Day) -> dict[str, Check]:
    """Whether the wood each kiln burns is proved dry, by id of its spot.

    runs : what is burned at each spot; fuel : of each heap, by its id, as the slash room judges it; day : of the burn
    """
    last_rain = site.section("season").date("last_rain")
    heaps = {heap.id: heap for heap in site.of_kind("pile", "windrow")}

    def wood(ids: Sequence[str]) -> Iterator[HeapWood]:
        return (_heap_wood(heaps[key], fuel) for key in counted("wood", ids) if key in heaps)

    return {spot: wood_check(spot, wood(run.heaps), day, last_rain) for spot, run in runs.items()}


def heap_checks(site: Site, fuel: Mapping[str, str], day: Day) -> dict[str, Check]:
    """Whether the wood of each heap is proved dry, by its id, as the kiln that burns it is judged; site, fuel, day : as
    of `wood_checks`"""
    last_rain = site.section("season").date("last_rain")
    heaps = site.of_kind("pile", "windrow")
    return {heap.id: heap_check(heap.id, _heap_wood(heap, fuel), day, last_rain) for heap in heaps}


def _heap_wood(heap: Feature, fuel: Mapping[str, str]) -> HeapWood:
    readings, said_wet = heap.once(_told_of_wood)
    return HeapWood(heap.name, fuel.get(heap.id, "not known"), readings, said_wet)


LEAST_MOISTURE = 0.04  # [dry] in balance with air of 20 % humidity wood holds 0.045 (Wood Handbook, from memory: M)


def _limit() -> float:
    return float(moisture.dry_basis(tables.value("fuel_moisture", "limit")))


def _reading_of(heap: Feature, entry: Entry) -> Reading:
    """One reading; what it leaves open is counted as the heap's moisture is."""
    wet, too_dry, read = None, False, meter_reading(entry, heap.choice("moisture_basis"))
    if read is not None:
        with contextlib.suppress(BadValue):
            dry = float(moisture.as_read(read.moisture_pct, read.basis, read.wood_c))
            wet, too_dry = dry > _limit(), dry < LEAST_MOISTURE
    return Reading(entry.date("date"), entry.choice("where") == "core", wet, too_dry)


def _said_wet(heap: Feature) -> bool:
    """Whether the moisture typed for a heap as a whole is above the limit; without a basis the wetter one counts."""
    typed = heap.number("moisture_pct")
    if typed is None:
        return False
    share = typed / 100
    if heap.choice("moisture_basis") == "dry":
        return share > _limit()
    return share > moisture.WETTEST_WET_BASIS or float(moisture.dry_basis(share)) > _limit()


def _told_of_wood(heap: Feature) -> tuple[tuple[Reading, ...], bool]:
    """The latest readings of a heap, and whether its moisture was said to be above the limit."""
    return tuple(_reading_of(heap, each) for each in latest_readings(heap)), _said_wet(heap)


def decisions_of(
    spots: Iterable[SpotChecks],
    day: tuple[Check, ...],
    runs: dict[str, KilnRun],
    light_known: bool,
    more: Callable[[str], tuple[Check, ...]] = lambda _: (),
    until: dt.time | None = None,
) -> tuple[Decision, ...]:
    """The decision on each kiln.

    spots : in file order; day : checks of the day; runs : what is burned at each spot, by its id; light_known : whether
    sunrise and sunset are; more : further checks of the day that differ from kiln to kiln (people and gear);
    until : the hour of the permit, where it ends the day
    """
    found = []
    for spot in spots:
        run = runs.get(spot.id)
        fits = None if run is None or not light_known else bool(run.clocks)
        if run is None:
            own = matters.no_kiln_check(spot.id, spot.name)
        else:
            own = matters.daylight_check(spot.id, run.name, light_known, fits, hours_needed(run), until)
        found.append(decide(spot.id, spot.name, (*spot.checks, *day, own, *more(spot.id))))
    return tuple(found)
