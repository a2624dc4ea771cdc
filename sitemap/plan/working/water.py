"""Water of each kiln, step by step: what arrives by hose, machine or hand, and what the quench then takes."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from sitemap.assessment import Assessment
from sitemap.hydraulics import friction, shuttle
from sitemap.kiln.values import KilnRun
from sitemap.plan.working.hose import LINES, hose_steps
from sitemap.plan.working.step import Step, Value
from sitemap.ranges import Drawn
from sitemap.water.bucket import bucket_of
from sitemap.water.of_site import sources_of
from sitemap.water.reading import links_of
from sitemap.water.records import Kit, Link, Source
from sitemap.water.shuttle import Trip, hand_trip, machine_trips
from sitemap.water.values import WaterLine


@dataclass(frozen=True)
class _Gear:
    kit: Kit
    links: tuple[Link, ...]
    sources: dict[str, Source]


def water_steps(a: Assessment) -> Iterator[tuple[str, tuple[Step, ...]]]:
    """Id of each kiln spot, and the steps of the lines that count for it."""
    if a.water is None or a.plane is None:
        return
    features = a.source.of_kind("water_source")
    sources = {source.id: source for source in sources_of(features, a.plane)}
    gear = _Gear(a.kit, links_of(a.source), sources)
    runs = {run.spot: run for run in a.kilns}
    for wet in a.water.spots:
        by, other = wet.quench, wet.attack
        same = by.way == "hose" and (by.way, by.source, by.flow_l_min) == (other.way, other.source, other.flow_l_min)
        yield (
            wet.spot_id,
            (
                *_line(by, "both" if same else "quench", wet.spot_id, gear),
                *_quench(by, runs.get(wet.spot_id), gear),
                *(() if same or other == by else _line(other, "attack", wet.spot_id, gear)),
            ),
        )


def _line(line: WaterLine, of: str, spot: str, gear: _Gear) -> Iterator[Step]:
    """What arrives: by a bucket and a watch, by the balance of a hose, or by loads."""
    if line.flow_l_min is None or line.source is None or line.route_m is None:
        return
    if line.way == "hose":
        link = next((each for each in gear.links if each.source == line.source and each.spot == spot), None)
        yield from hose_steps(line, of, gear.sources[line.source], bucket_of(link))
    else:
        yield from _loads(line, gear)


def _trip(line: WaterLine, gear: _Gear) -> Trip | None:
    """The one among the trips that brings what the line brings."""
    trips = machine_trips(gear.kit) if line.way == "haul" else tuple(t for t in (hand_trip(gear.kit),) if t)
    assert line.flow_l_min is not None, "a line that brings nothing has no trip"
    likely = line.flow_l_min.likely
    near = [trip for trip in trips if abs(float(trip.flow_l_min(line.route_m or 0.0)) - likely) < 1e-6 * likely]
    return near[0] if near else None


def _loads(line: WaterLine, gear: _Gear) -> Iterator[Step]:
    trip, flow = _trip(line, gear), line.flow_l_min
    if trip is None or flow is None:
        return
    way, v1 = Value("way", line.route_m or 0.0, "m", True), Value("v1", trip.loaded_km_h, "km_h", True)
    ends = Value("load", trip.load_min, "min"), Value("dump", trip.dump_min, "min")
    minutes = float(shuttle.cycle_min(way.number, trip.loaded_km_h, trip.empty_km_h, trip.load_min, trip.dump_min))
    cycle, spread = Value("cycle", minutes, "min"), _cycle(trip, flow)
    pace = Value("pace", trip.pace[0], ends=None if spread is None else trip.pace[1:])
    yield Step("Round trip", "cycle", (*ends, way, v1, Value("v2", trip.empty_km_h, "km_h", True), pace), cycle, spread)
    if spread is not None:
        cycle = Value.of("cycle", spread, "min")
    brings = Value("n", trip.carriers), Value("brings", trip.litres, "l"), cycle
    yield Step("{of}: flow", "haul", brings, Value("q", flow.likely, "l_min"), flow, LINES[line.line])


def _cycle(trip: Trip, flow: Drawn) -> Drawn | None:
    """Minutes of a round trip as drawn, from the flow they make; None where it was timed."""
    if flow.low == flow.high:
        return None
    return Drawn(trip.carriers * trip.litres * shuttle.WORKING_SHARE / flow.values)


def _quench(line: WaterLine, run: KilnRun | None, gear: _Gear) -> Iterator[Step]:
    """What the quench takes at the flow that arrives, and how long."""
    flow, litres = line.flow_l_min, line.litres
    if run is None or flow is None or litres is None or line.minutes_to_quench is None:
        return
    q, hold = Value.of("q", flow, "l_min"), Value.of("hold", run.hold_l_min, "l_min")
    asked = Value.of("litres", run.quench_l_per_batch, "l")
    yield Step("Water it takes at this flow", "growth", (asked, hold, q), Value("w", litres.likely, "l"), litres)
    first = line.minutes_to_quench.likely - litres.likely / flow.likely
    if line.way == "hose":
        yield from _filling(line, first, q)
    else:
        trip = _trip(line, gear)
        if trip is not None:
            way = Value("load", trip.load_min, "min"), Value("way", line.route_m or 0.0, "m", True)
            one = (*way, Value("v1", trip.loaded_km_h, "km_h", True))
            yield Step("First load there", "first_load", one, Value("first", first, "min"))
    done = Value("first", first, "min"), asked, q, hold
    took = line.minutes_to_quench
    yield Step("Quench done", "minutes", done, Value("minutes", took.likely, "min"), took)


def _filling(line: WaterLine, first: float, q: Value) -> Iterator[Step]:
    whole = 0.0
    for hose in (hose for stretch in line.stretches for hose in stretch.laid):
        length = float(np.asarray(hose.length_m))
        if length > 0:
            litres = float(friction.hose_contents_l(length, hose.bore_mm))
            whole += litres
            sizes = Value("d", hose.bore_mm, "mm", True), Value("L", length, "m", True)
            yield Step("Water in the hose", "fill", sizes, Value("fill", litres, "l"))
    if whole:
        yield Step("Hose full", "first_water", (Value("fill", whole, "l"), q), Value("first", first, "min"))
