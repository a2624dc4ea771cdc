"""The kiln spots that make the least work on this site, proposed with their reasons."""

from __future__ import annotations

import json
from dataclasses import dataclass, replace

import numpy as np
import shapely
from shapely.geometry import Point
from shapely.geometry.base import BaseGeometry

from sitemap.assessment import Assessment
from sitemap.errors import BadValue
from sitemap.geodesy.coordinates import decimal
from sitemap.geodesy.plane import Plane
from sitemap.hydraulics.shuttle import load_l
from sitemap.notes import kiln_called
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
from sitemap.units import reported, rounded, text
from sitemap.water.reading import kit_of
from sitemap.water.routes import first_mover

ROW_MOVED_M = 30.0  # [m] a row of kilns stands at most so far from the spot proposed (ours, C)


@dataclass(frozen=True)
class ProposedPlace:
    """One kiln spot proposed. ways : from each heap it would burn, in longitude and latitude."""

    lon: float
    lat: float
    dry_t: float
    why: str
    ways: tuple[BaseGeometry, ...]


@dataclass(frozen=True)
class Proposed:
    """Spots that together make little work, in machine-hours [h]."""

    spots: tuple[ProposedPlace, ...]
    machine_hours: float
    haul_h: float
    water_h: float
    move_h: float
    sentence: str


@dataclass(frozen=True)
class Placing:
    """Proposals, least work first; why : the sentence where there is none; kiln : the one they were sought for."""

    proposals: tuple[Proposed, ...]
    why: str
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


def _kiln_called(site: Site, name: str | None) -> Item | None:
    if name is None:
        return None
    item = site.item("kilns", name)
    if item is None:
        known = ", ".join(dict.fromkeys(each.name for each in site.equipment("kilns"))) or "none"
        raise BadValue(f"No kiln of the site, or more than one, is called {name!r}; its kilns: {known}. Choose one.")
    return item


def _placed(
    assessment: Assessment, spots_most: int, kilns: int, progress: Progress | None, kiln: Item | None
) -> Placing:
    site, plane = assessment.source, assessment.plane
    if plane is None:
        return Placing((), "Nothing is on the map yet: draw the logged area and the heaps first.")
    by_id = {feature.id: feature for feature in site.features}
    heaps = tuple(
        Heap(item.id, item.name, shape, item.char_stock_dry_t.likely)
        for item in assessment.slash.items
        if item.id in by_id and (shape := near_shape(by_id[item.id], plane)) is not None
        if item.char_stock_dry_t.likely > 0
    )
    if not heaps:
        return Placing(
            (), "No heap with a size is on the map: the best spot is where the slash is, so enter that first."
        )
    usable = usable_of(assessment, kiln)
    ground = ground_of(site.features, plane, assessment.terrain)
    machines = site.equipment("machines")
    mover = first_mover(kit_of(site).machines)
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
                    mover,
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
        return Placing((), _why_none(usable))
    kept, why = _not_barred(assessment, found, plane, kiln)
    return Placing(tuple(_proposed(one, plane, site, hose, carried, usable.kiln_radius_m) for one in kept), why)


def _not_barred(
    assessment: Assessment, found: tuple[Proposal, ...], plane: Plane, kiln: Item | None
) -> tuple[tuple[Proposal, ...], str]:
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
            reasons += [check.told(assessment.source.units) for check in bars]
        else:
            kept.append(proposal)
    return tuple(kept), "" if kept else " ".join(dict.fromkeys(reasons))


def _why_none(usable: Usable) -> str:
    if usable.area.is_empty:
        return "No ground here is usable for a kiln by all that was entered: see what bars it."
    return "No way for the machine leads from a heap to ground that is usable for a kiln: see its slopes and barriers."


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


def _count(number: int, thing: str) -> str:
    return f"{number} {thing}{'s' * (number != 1)}"


def _water_word(spot: ProposedSpot, hose: BaseGeometry, carried: BaseGeometry) -> str:
    if hose.covers(Point(spot.x, spot.y)):
        return "within reach of the hose"
    if spot.water_h > 0:
        return f"water hauled for {rounded(spot.water_h, 2)} h"
    carry = carried.covers(Point(spot.x, spot.y))
    return "water carried by hand" if carry else "how its water comes is not known"


def _proposed(
    proposal: Proposal, plane: Plane, site: Site, hose: BaseGeometry, carried: BaseGeometry, radius_m: float
) -> Proposed:
    spots = []
    for spot in proposal.spots:
        lon, lat = plane.lonlat(spot.x, spot.y)
        ways = tuple(plane.inverse(haul.line) for haul in spot.hauls)
        dry = text(spot.dry_t, "t", site.units, 2)
        farthest = max((haul.route_m for haul in spot.hauls), default=0.0)
        trips = sum(haul.trips for haul in spot.hauls)
        water = _water_word(spot, hose, carried)
        why = (
            f"{dry} of char stock from {_count(len(spot.hauls), 'heap')} in {_count(trips, 'trip')}, the farthest "
            f"{text(farthest, 'm', site.units, 2)}; {water}."
        )
        standing = ", ".join(kiln.name for kiln in kilns_near(site, plane, Point(spot.x, spot.y), radius_m))
        why += f" {standing} stands there already." if standing else ""
        caution = smoke_caution(site, plane, spot.x, spot.y)
        why += f" {caution}" if caution else ""
        spots.append(ProposedPlace(float(lon), float(lat), spot.dry_t, why, ways))
    names = [feature.name for key in proposal.left_out if (feature := site.get(key)) is not None]
    left = f" Not within the machine's reach: {', '.join(names)}." if names else ""
    if not site.equipment("machines"):
        left += " No machine is entered: these are the hours of a slow one."
    hours = (
        f"{rounded(proposal.machine_hours, 2)} machine-hours: {rounded(proposal.haul_h, 2)} for slash, "
        f"{rounded(proposal.water_h, 2)} for water, {rounded(proposal.move_h, 2)} for moving kilns.{left}"
    )
    return Proposed(tuple(spots), proposal.machine_hours, proposal.haul_h, proposal.water_h, proposal.move_h, hours)


def place_text(placing: Placing) -> str:
    """The proposals as text, least work first."""
    lines = [f"For {kiln_called(placing.kiln.name)}:"] if placing.kiln is not None and placing.proposals else []
    lines += [placing.why] if placing.why else []
    for number, proposal in enumerate(placing.proposals, start=1):
        lines += [f"{number}. {len(proposal.spots)} kiln spot{'s' * (len(proposal.spots) > 1)}: {proposal.sentence}"]
        lines += [f"   {decimal(spot.lon, spot.lat)}: {spot.why}" for spot in proposal.spots]
    lines.append("Usable means that nothing entered speaks against it; it is not a permission.")
    return "\n".join(lines) + "\n"


def place_json(placing: Placing) -> str:
    """The proposals as JSON text, least work first."""
    proposals = [
        {
            "machine_hours": reported(one.machine_hours),
            "haul_h": reported(one.haul_h),
            "water_h": reported(one.water_h),
            "move_h": reported(one.move_h),
            "spots": [
                {"lon": round(s.lon, 7), "lat": round(s.lat, 7), "dry_t": reported(s.dry_t), "why": s.why}
                for s in one.spots
            ],
        }
        for one in placing.proposals
    ]
    kiln = None if placing.kiln is None else placing.kiln.name
    told = {"format": 1, "kiln": kiln, "proposals": proposals, "why_none": placing.why or None}
    return json.dumps(told, ensure_ascii=False) + "\n"
