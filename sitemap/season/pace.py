"""How fast water is hauled and carried, by the log: the share of the speeds reckoned with, and when it counts.

A trip that was slower counts at once. Faster ones count from three batches on: until then one quick hour, by luck,
makes no water that would not else be enough, neither by a higher speed nor by a narrower range.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from sitemap.hydraulics import shuttle
from sitemap.named import named
from sitemap.season.batches import Batch, burned_by
from sitemap.season.learning import Belief, belief_of, taught_pace
from sitemap.site.model import Site
from sitemap.water.records import Kit
from sitemap.water.shuttle import HAND, HAUL, PACE, Pace, Trip, hand_trip, machine_trips
from sitemap.water.values import Water

ENOUGH = 3  # batches with timed trips, from which on faster ones count: judgement
_USUAL_M = 100.0  # [m] of a way, to name the quickest of several machines
Routes = Mapping[str, Sequence[tuple[str, float]]]


@dataclass(frozen=True)
class Learned:
    """What timed trips taught of one way.

    way : "haul" or "hand"; machine : id of the machine that hauled, "" for people and where nobody said which
    count : batches that told of it
    speed_km_h : of a loaded trip as it is entered, or of the house [km/h]
    before, after : of the share of that speed
    used : the share as water is reckoned with: likely, low, high
    taken_for : name of the machine the trips were taken for, where several could have made them and none was named
    """

    way: str
    machine: str
    count: int
    speed_km_h: float
    before: Belief
    after: Belief
    used: Pace
    taken_for: str = ""

    @property
    def waits(self) -> bool:
        """Whether more batches are wanted before it counts in full."""
        return self.count < ENOUGH and self.after.triple[1] > self.used[0]


def routes_of(water: Water | None) -> Routes:
    """The ways of water by machine and by hand, of each kiln spot: (way, its length [m]), the best first."""
    return {
        spot.spot_id: tuple(
            (line.way, line.route_m)
            for line in spot.entries
            if line.line == "quench" and line.way is not None and line.route_m
        )
        for spot in (water.spots if water else ())
    }


def paces_of(site: Site, kit: Kit, routes: Routes, today: dt.date | None = None) -> tuple[Learned, ...]:
    """What the log teaches of each way, and of each machine that it names; nothing of a way no trips of which were
    counted, timed and can be measured.

    site : with its log; kit : as entered; routes : as `routes_of`; today : the last day the
    log may tell of, None: any
    """
    batches = [batch for batch in burned_by(site, today) if batch.spot is not None]
    machines = sorted({trip.machine for trip in machine_trips(kit)})
    found = []
    for way, machine in ((HAUL, ""), *((HAUL, each) for each in machines), (HAND, "")):
        own = [batch for batch in batches if way == HAND or _made_by(batch, kit) == machine]
        trips = [each for batch in own if (each := _timed(batch, way, machine, kit, routes)) is not None]
        reckoned = _trip(kit, way, machine, _USUAL_M)
        if trips and reckoned is not None:
            likely, low, high = PACE
            before = belief_of(low, likely, high)
            after = taught_pace(before, trips)
            used = _used(after, len(trips))
            taken = next((each.name for each in kit.machines if each.id == reckoned.machine != machine), "")
            found.append(Learned(way, machine, len(trips), reckoned.loaded_km_h, before, after, used, taken))
    return tuple(found)


def with_paces(kit: Kit, learned: Iterable[Learned]) -> Kit:
    """The gear with the pace of its trips as learned; itself where that changes nothing.

    What one machine was slowed by slows the others too, until they are timed themselves; what one was quicker by says
    nothing of them.
    """
    known = [each for each in learned if each.used != PACE]
    paces = {each.machine or each.way: each.used for each in known}
    if any(each.machine for each in known):
        paces[HAUL] = _slowest([PACE, *(each.used for each in known if each.way == HAUL)])
    return replace(kit, paces=tuple(paces.items())) if paces else kit


def _slowest(paces: Iterable[Pace]) -> Pace:
    likely, low, high = (min(ends) for ends in zip(*paces, strict=True))
    return likely, low, high


def _used(after: Belief, count: int) -> Pace:
    """Each end of the range on its own: what was learned, or what was reckoned with where that is slower."""
    low, likely, high = after.triple
    return (likely, low, high) if count >= ENOUGH else _slowest([PACE, (likely, low, high)])


def _made_by(batch: Batch, kit: Kit) -> str:
    """Id of the machine that hauled: the one a batch names, or the only one that brings water; else ""."""
    hauling = {trip.machine for trip in machine_trips(kit)}
    said = named(kit.machines, batch.word("water_machine"))
    if said is not None and said.id in hauling:
        return said.id
    return next(iter(hauling)) if len(hauling) == 1 else ""


def _trip(kit: Kit, way: str, machine: str, distance_m: float) -> Trip | None:
    """The trip as reckoned; where nobody said which machine made it the quickest, so that the one that was timed is
    not taken for quicker than it was."""
    carried = hand_trip(kit)
    trips = machine_trips(kit) if way == HAUL else (carried,) if carried else ()
    own = (trip for trip in trips if machine in ("", trip.machine))
    return min(own, key=lambda trip: _road_min(trip, distance_m, 1.0) + trip.load_min + trip.dump_min, default=None)


def _road_min(trip: Trip, distance_m: float, back: float) -> float:
    """Minutes on the way of one load at the speeds reckoned with. back : returns for each load, 0–1"""
    there = float(shuttle.cycle_min(distance_m, trip.loaded_km_h, 1e9, 0.0, 0.0))
    return there + back * float(shuttle.cycle_min(distance_m, 1e9, trip.empty_km_h, 0.0, 0.0))


def _timed(batch: Batch, way: str, machine: str, kit: Kit, routes: Routes) -> tuple[float, float, float] | None:
    """Minutes of one trip of a batch as timed, of it at both ends, and on the way as reckoned; None where not told.

    From the first dipped until the last is poured nobody goes back after the last load. Carriers go round side by side;
    by hand the loads are buckets, of which each carries several.
    """
    loads, minutes = batch.figure("water_loads"), batch.figure("water_min")
    length = next((long for each, long in routes.get(batch.spot or "", ()) if each == way), None)
    trip = _trip(kit, way, machine, length or 0.0)
    if batch.word("water_by") != way or not loads or not minutes or not length or trip is None:
        return None
    each = (kit.buckets_each or shuttle.HAND_BUCKETS) if way == HAND else 1
    rounds = max(loads / each / trip.carriers, 1.0)
    road = _road_min(trip, length, (rounds - 1) / rounds)
    return minutes / rounds, trip.load_min + trip.dump_min, road
