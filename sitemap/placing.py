"""The kiln spots that make the least work on this site, proposed with their reasons."""

from __future__ import annotations

import json
from dataclasses import dataclass, replace

import shapely
from shapely.geometry import Point
from shapely.geometry.base import BaseGeometry

from sitemap.assessment import Assessment
from sitemap.ground.coordinates import decimal
from sitemap.ground.of_site import ground_of, near, near_shape, obstacles_of
from sitemap.ground.plane import Plane
from sitemap.ground.travel import Machine
from sitemap.kiln_ground import Demand, demand_of, reaches_of, usable_of
from sitemap.lays import DRAWN_ELSEWHERE, mover_of
from sitemap.site.model import Item, Site
from sitemap.siting.ranking import SPACING_M, Proposal, ProposedSpot, kiln_row, ranked_spots
from sitemap.siting.usable import Usable
from sitemap.siting.work import Heap, Progress, Rates, WaterHaul
from sitemap.units import rounded, text
from sitemap.water.haul import load_l


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
    """Proposals, least work first; why : the sentence where there is none."""

    proposals: tuple[Proposed, ...]
    why: str


def place(assessment: Assessment, spots_most: int = 3, kilns: int = 1, progress: Progress | None = None) -> Placing:
    """The kiln spots that make the least work on a site.

    Parameters
    ----------
    spots_most : largest number of spots of a proposal
    kilns : kilns on hand; with fewer than spots they are moved
    progress : told (share done, what is being done)

    Returns
    -------
    Placing; without proposals it says why there is none
    """
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
    usable = usable_of(assessment)
    ground = ground_of(site.features, plane, assessment.terrain)
    machines = site.equipment("machines")
    mover = mover_of(machines[0]) if machines else Machine()
    still = near((f for f in site.features if f.kind not in DRAWN_ELSEWHERE), plane)
    hose, carried = (_arrives(assessment, way) for way in ("hose", "hand"))
    sources = (near_shape(source, plane) for source in site.of_kind("water_source"))
    shapes = tuple(shape for shape in sources if shape is not None)
    found: tuple[Proposal, ...] = ()
    for water in (WaterHaul(shapes, shapely.union(hose, carried)) if shapes else None, None):
        found = (
            found
            or ranked_spots(  # without its water where no way for that is known
                usable,
                heaps,
                ground,
                obstacles_of(still, plane, True),
                mover,
                _rates(machines[:1], demand_of(assessment)),
                water=water,
                spots_most=spots_most,
                kilns=kilns,
                progress=progress,
            )
        )
        if water is None or usable.area.is_empty:
            break
    return Placing(
        tuple(_proposed(one, plane, site, hose, carried) for one in found), "" if found else _why_none(usable)
    )


def _why_none(usable: Usable) -> str:
    if usable.area.is_empty:
        return "No ground here is usable for a kiln by all that was entered: see what bars it."
    return "No way for the machine leads from a heap to ground that is usable for a kiln: see its slopes and barriers."


def in_a_row(
    spot: ProposedPlace, count: int, site: Site, plane: Plane, radius_m: float
) -> tuple[tuple[float, float], ...]:
    """Places (longitude, latitude) of several kilns about one proposed spot: a row across the usual wind, 6 m between.

    count : kilns in the row; radius_m : of one kiln [m]. Where the wind is not known it is taken from the west.
    """
    x, y = (float(part) for part in plane.xy(spot.lon, spot.lat))
    wind = site.section("season").number("wind_from_deg")
    apart = SPACING_M + 2 * radius_m
    row = kiln_row(x, y, count, 270.0 if wind is None else wind, apart)
    return tuple((float(lon), float(lat)) for lon, lat in (plane.lonlat(*place) for place in row))


def _rates(machines: tuple[Item, ...], demand: Demand) -> Rates:
    """What the work costs with this machine; blanks are the slow house values."""
    rates = Rates()
    if demand.feed_t > 0 and demand.quench_l > 0:
        rates = replace(rates, water_l_per_t=demand.quench_l / demand.feed_t)
    bucket = machines[0].number("bucket_l") if machines else None
    return rates if bucket is None else replace(rates, water_load_l=float(load_l(bucket)))


def _arrives(assessment: Assessment, way: str) -> BaseGeometry:
    """Where water for the quench arrives by one way from any source, on the plane [m]."""
    areas = [reach.area for reach in reaches_of(assessment) if reach.way == way]
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


def _proposed(proposal: Proposal, plane: Plane, site: Site, hose: BaseGeometry, carried: BaseGeometry) -> Proposed:
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
    lines = [placing.why] if placing.why else []
    for number, proposal in enumerate(placing.proposals, start=1):
        lines += [f"{number}. {len(proposal.spots)} kiln spot{'s' * (len(proposal.spots) > 1)}: {proposal.sentence}"]
        lines += [f"   {decimal(spot.lon, spot.lat)}: {spot.why}" for spot in proposal.spots]
    lines.append("Usable means that nothing entered speaks against it; it is not a permission.")
    return "\n".join(lines) + "\n"


def place_json(placing: Placing) -> str:
    """The proposals as JSON text, least work first."""
    proposals = [
        {
            "machine_hours": _six(one.machine_hours),
            "haul_h": _six(one.haul_h),
            "water_h": _six(one.water_h),
            "move_h": _six(one.move_h),
            "spots": [
                {"lon": round(s.lon, 7), "lat": round(s.lat, 7), "dry_t": _six(s.dry_t), "why": s.why}
                for s in one.spots
            ],
        }
        for one in placing.proposals
    ]
    return json.dumps({"format": 1, "proposals": proposals, "why_none": placing.why or None}, ensure_ascii=False) + "\n"


def _six(value: float) -> float:
    return float(f"{value:.6g}")
