"""The kiln spots that make the least work on this site, proposed with their reasons."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np
import shapely
from shapely.geometry import Point
from shapely.geometry.base import BaseGeometry

from sitemap.assessment import Assessment, assess
from sitemap.errors import BadValue
from sitemap.geodesy.plane import Plane
from sitemap.hydraulics.shuttle import load_l
from sitemap.reasons import Quantity, Reason, Term, metres, reason
from sitemap.safety.effects import RULED_OUT
from sitemap.site.model import Item, Site
from sitemap.site.on_plane import near_shape
from sitemap.siting.of_site import (
    Demand,
    checks_of_a_spot,
    demand_of,
    kilns_near,
    largest_kiln,
    reaches_of,
    spacing_m,
    usable_of,
)
from sitemap.siting.ranking import Proposal, ProposedSpot, kiln_row, ranked_spots
from sitemap.siting.smoke import smoke_caution
from sitemap.siting.usable import Usable
from sitemap.siting.work import Heap, Progress, Rates, WaterHaul, Work
from sitemap.terrain.of_site import ground_of, heeded, obstacles_of
from sitemap.terrain.terrain import Terrain
from sitemap.water.reading import kit_of
from sitemap.water.routes import first_machine

ROW_MOVED_M = 30.0  # [m] a row of kilns stands at most so far from the spot proposed (ours, C)


@dataclass(frozen=True)
class ProposedPlace:
    """One kiln spot proposed. findings : what speaks for it and against it; ways : from each heap it would burn, in
    longitude and latitude."""

    lon: float
    lat: float
    dry_t: float
    findings: tuple[Reason, ...]
    ways: tuple[BaseGeometry, ...]


@dataclass(frozen=True)
class Proposed:
    """Spots that together make little work, in machine-hours [h]; findings : what those hours hold and leave out."""

    spots: tuple[ProposedPlace, ...]
    machine_hours: float
    haul_h: float
    water_h: float
    move_h: float
    findings: tuple[Reason, ...]


@dataclass(frozen=True)
class Placing:
    """Proposals, least work first; why : there is none; kiln : the one they were sought for."""

    proposals: tuple[Proposed, ...]
    why: tuple[Reason, ...]
    kiln: Item | None = None


def place(
    assessment: Assessment,
    spots_most: int = 3,
    kilns: int = 1,
    progress: Progress | None = None,
    kiln: str | None = None,
) -> Placing:
    """The kiln spots that make the least work on a site.

    Parameters
    ----------
    spots_most : largest number of spots of a proposal
    kilns : kilns on hand; with fewer than spots they are moved
    progress : told (share done, what is being done)
    kiln : id or name of the kiln that is to stand there; the largest of the site where left out

    Returns
    -------
    Placing; without proposals it says why there is none

    Raises
    ------
    BadValue : no kiln, or more than one, goes by that id or name
    """
    item = _kiln_called(assessment.source, kiln) or largest_kiln(assessment.source)
    return replace(_placed(assessment, spots_most, kilns, progress, item), kiln=item)


def placed(
    site: Site,
    terrain: Terrain | None,
    days: tuple[dt.date | None, dt.date],
    spots_most: int,
    kilns: int,
    kiln: str | None,
    progress: Progress | None = None,
) -> Placing:
    """As `place`, from the site itself: an assessment is made where the work is done, it is not carried there.

    site, terrain, days : as `assessment.of_assessed` takes them
    """
    return place(assess(site, terrain, on=days[0], today=days[1]), spots_most, kilns, progress, kiln)


def _kiln_called(site: Site, name: str | None) -> Item | None:
    if name is None:
        return None
    item = site.item("kilns", name)
    if item is None:
        known = tuple(dict.fromkeys(each.name for each in site.equipment("kilns")))
        raise BadValue(reason("siting.which_kiln", name=name, known=known or (Term("none"),)))
    return item


def _placed(
    assessment: Assessment, spots_most: int, kilns: int, progress: Progress | None, kiln: Item | None
) -> Placing:
    site, plane = assessment.source, assessment.plane
    if plane is None:
        return Placing((), (reason("siting.draw_area_and_heaps"),))
    by_id = {feature.id: feature for feature in site.features}
    heaps = tuple(
        Heap(item.id, item.name, shape, item.char_stock_dry_t.likely)
        for item in assessment.slash.items
        if item.id in by_id and (shape := near_shape(by_id[item.id], plane)) is not None
        if item.char_stock_dry_t.likely > 0
    )
    if not heaps:
        return Placing((), (reason("siting.no_heap"),))
    usable = usable_of(assessment, kiln)
    ground = ground_of(site.features, plane, assessment.terrain)
    machines = site.equipment("machines")
    machine = first_machine(kit_of(site).machines)
    hose, carried = (_arrives(assessment, way, kiln) for way in ("hose", "hand"))
    sources = (near_shape(source, plane) for source in site.of_kind("water_source"))
    shapes = tuple(shape for shape in sources if shape is not None)
    found: tuple[Proposal, ...] = ()
    for water in (WaterHaul(shapes, shapely.union(hose, carried)) if shapes else None, None):
        found = (
            found
            or ranked_spots(  # without its water where no way for that is known
                usable,
                Work(
                    heaps,
                    ground,
                    obstacles_of(heeded(site.features, plane), plane, True),
                    machine,
                    _rates(machines[:1], demand_of(assessment, kiln)),
                    water,
                ),
                spots_most=spots_most,
                kilns=kilns,
                apart_m=spacing_m(assessment.rules),
                progress=progress,
            )
        )
        if water is None or usable.area.is_empty:
            break
    if not found:
        return Placing((), (_why_none(usable),))
    kept, why = _not_barred(assessment, found, plane, kiln)
    return Placing(tuple(_proposed(one, plane, site, hose, carried, usable.kiln_radius_m) for one in kept), why)


def _not_barred(
    assessment: Assessment, found: tuple[Proposal, ...], plane: Plane, kiln: Item | None
) -> tuple[tuple[Proposal, ...], tuple[Reason, ...]]:
    """The proposals of which no spot, put on the map and judged as any other, is ruled out; where none is left, why."""
    standing = {spot.id for spot in assessment.source.of_kind("kiln_spot")}  # a kiln there already is said, not barred
    kept, reasons = [], []
    for proposal in found:
        bars = []
        for spot in proposal.spots:
            lon, lat = (float(part) for part in plane.lonlat(spot.x, spot.y))
            checks = checks_of_a_spot(assessment, lon, lat, kiln)
            bars += [each for each in checks if each.effect == RULED_OUT and each.about not in standing]
        if bars:
            reasons += [check.reason for check in bars]
        else:
            kept.append(proposal)
    return tuple(kept), () if kept else tuple(dict.fromkeys(reasons))


def _why_none(usable: Usable) -> Reason:
    return reason("siting.no_ground" if usable.area.is_empty else "siting.no_way")


def in_a_row(
    assessment: Assessment, spot: ProposedPlace, count: int, kiln: Item | None = None
) -> tuple[tuple[float, float], ...]:
    """Places (longitude, latitude) of several kilns about one proposed spot: a row across the usual wind.

    Parameters
    ----------
    spot : the middle of the row, moved as little as needed for all its kilns to stand on usable ground
    count : kilns in the row, their edges 6 m apart, or what the site's rule asks
    kiln : which kiln; the largest of the site where left out

    Returns
    -------
    count places; none where no such row has room within 30 m. Where the wind is not known it is taken from the west.
    """
    plane = assessment.plane
    if plane is None:
        return ()
    usable = usable_of(assessment, kiln)
    wind = assessment.source.section("season").number("wind_from_deg")
    apart_m = spacing_m(assessment.rules) + 2 * usable.kiln_radius_m
    row = np.array(kiln_row(*plane.xy(spot.lon, spot.lat), count, 270.0 if wind is None else wind, apart_m))
    step = np.arange(-ROW_MOVED_M, ROW_MOVED_M + 1)
    moved = np.column_stack([part.ravel() for part in np.meshgrid(step, step)])
    moved = moved[np.argsort(np.hypot(*moved.T), kind="stable")]
    rows = moved[:, None] + row
    shapely.prepare(usable.area)
    free = shapely.covers(usable.area, shapely.points(rows)).all(axis=1)
    if not free.any():
        return ()
    lon, lat = plane.lonlat(*rows[int(np.argmax(free))].T)
    return tuple(zip(lon.tolist(), lat.tolist(), strict=True))


def _rates(machines: tuple[Item, ...], demand: Demand) -> Rates:
    """What the work costs with this machine; blanks are the slow house values."""
    rates = Rates()
    if demand.feed_t > 0 and demand.quench_l > 0:
        rates = replace(rates, water_l_per_t=demand.quench_l / demand.feed_t)
    bucket = machines[0].number("bucket_l") if machines else None
    return rates if bucket is None else replace(rates, water_load_l=float(load_l(bucket)))


def _arrives(assessment: Assessment, way: str, kiln: Item | None) -> BaseGeometry:
    """Where water for the quench arrives by one way from any source, on the plane [m]."""
    areas = [reach.area for reach in reaches_of(assessment, kiln) if reach.way == way]
    return shapely.union_all(areas) if areas else shapely.MultiPolygon()


def _water(spot: ProposedSpot, hose: BaseGeometry, carried: BaseGeometry) -> Reason:
    if hose.covers(Point(spot.x, spot.y)):
        return reason("siting.by_hose")
    if spot.water_h > 0:
        return reason("siting.by_machine", hours=Quantity(spot.water_h, "h", 2))
    carry = carried.covers(Point(spot.x, spot.y))
    return reason("siting.by_hand" if carry else "siting.water_unknown")


def _proposed(
    proposal: Proposal, plane: Plane, site: Site, hose: BaseGeometry, carried: BaseGeometry, radius_m: float
) -> Proposed:
    spots = []
    for spot in proposal.spots:
        lon, lat = plane.lonlat(spot.x, spot.y)
        ways = tuple(plane.inverse(haul.line) for haul in spot.hauls)
        near = tuple(kiln.name for kiln in kilns_near(site, plane, Point(spot.x, spot.y), radius_m))
        standing = reason("siting.stands_there", kilns=near) if near else None
        found = (_served(spot, _water(spot, hose, carried)), standing, smoke_caution(site, plane, spot.x, spot.y))
        said = tuple(each for each in found if each is not None)
        spots.append(ProposedPlace(float(lon), float(lat), spot.dry_t, said, ways))
    hours = (proposal.machine_hours, proposal.haul_h, proposal.water_h, proposal.move_h)
    return Proposed(tuple(spots), *hours, tuple(_hours(proposal, site)))


def _served(spot: ProposedSpot, water: Reason) -> Reason:
    return reason(
        "siting.served",
        dry=Quantity(spot.dry_t, "t", 2),
        heaps=len(spot.hauls),
        trips=sum(haul.trips for haul in spot.hauls),
        farthest=metres(max((haul.route_m for haul in spot.hauls), default=0.0), 2),
        water=water,
    )


def _hours(proposal: Proposal, site: Site) -> Iterator[Reason]:
    """What the hours of a proposal hold, and what they leave out."""
    parts = {"slash": proposal.haul_h, "water": proposal.water_h, "moving": proposal.move_h}
    shown = {key: Quantity(hours, "", 2) for key, hours in parts.items()}
    yield reason("siting.hours", total=Quantity(proposal.machine_hours, "", 2), **shown)
    names = tuple(feature.name for key in proposal.left_out if (feature := site.get(key)) is not None)
    if names:
        yield reason("siting.not_within_reach", names=names)
    if not site.equipment("machines"):
        yield reason("siting.no_machine")
