"""Water of each kiln, step by step: what arrives by hose, machine or hand, and what the quench then takes."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from sitemap.assessment import Assessment
from sitemap.hydraulics import friction, nozzle, shuttle
from sitemap.hydraulics.friction import hazen_williams_loss_m, minor_loss_m
from sitemap.hydraulics.steady_flow import HoseRun
from sitemap.kiln.values import KilnRun
from sitemap.plan.working.step import Step, Value, evaluate, formulas
from sitemap.ranges import Array, Drawn
from sitemap.reasons import Term
from sitemap.water.bucket import bucket_of
from sitemap.water.equipment import Rig, rig_of
from sitemap.water.of_site import altitude_m, sources_of
from sitemap.water.pressure_source import NoLineError
from sitemap.water.reading import links_of
from sitemap.water.records import Kit, Link, Source
from sitemap.water.shuttle import Trip, hand_trip, machine_trips
from sitemap.water.values import WaterLine

NOTHING_M = 0.01  # head that is left where the balance holds


@dataclass(frozen=True)
class _Gear:
    kit: Kit
    links: tuple[Link, ...]
    sources: dict[str, Source]
    altitude_m: float | None


def water_steps(a: Assessment) -> Iterator[tuple[str, tuple[Step, ...]]]:
    """Id of each kiln spot, and the steps of the lines that count for it."""
    if a.water is None or a.plane is None:
        return
    features = a.source.of_kind("water_source")
    sources = {source.id: source for source in sources_of(features, a.plane)}
    gear = _Gear(a.kit, links_of(a.source), sources, altitude_m(features, a.plane, a.terrain))
    runs = {run.spot: run for run in a.kilns}
    for wet in a.water.spots:
        steps = (*_line(wet.quench, wet.spot_id, gear), *_quench(wet.quench, runs.get(wet.spot_id), gear))
        attack = () if wet.attack == wet.quench else tuple(_line(wet.attack, wet.spot_id, gear))
        yield wet.spot_id, (*steps, *(step for step in attack if step not in steps))


def _line(line: WaterLine, spot: str, gear: _Gear) -> Iterator[Step]:
    """What arrives: by a bucket and a watch, by the balance of a hose, or by loads."""
    if line.flow_l_min is None or line.source is None or line.route_m is None:
        return
    if line.way == "hose":
        yield from _hose(line, spot, gear)
    else:
        yield from _loads(line, gear)


def _hose(line: WaterLine, spot: str, gear: _Gear) -> Iterator[Step]:
    flow = line.flow_l_min
    assert flow is not None, "a line that brings nothing has no steps"
    link = next((each for each in gear.links if each.source == line.source and each.spot == spot), None)
    bucket = bucket_of(link)
    tested = bucket is not None and abs(bucket.flow_l_min - flow.likely) < 1e-6 * flow.likely
    if bucket is not None and tested:
        filled = Value("litres", bucket.litres, "l"), Value("seconds", bucket.seconds, "s")
        yield Step("{of}: flow", "bucket", filled, Value("q", flow.likely, "l_min"), of=Term(_label(line)))
    try:
        rig = rig_of(gear.sources[line.source or ""], gear.kit, gear.altitude_m)
    except NoLineError:
        return
    factor = Value("f", rig.outlet_factor, "", basis="L/min by root of kPa")
    pressure = Value("p", float(nozzle.outlet_pressure_kpa(rig.outlet_factor, flow.likely)), "kpa")
    fixed_q = Value("q", flow.likely, "l_min", True)
    if not tested and rig.relay is None and not rig.supply.table and line.lift_m is not None:
        yield from _balance(line, rig, replace(Value.of("q", flow, "l_min"), fixed=True), pressure)
    yield Step("{of}: at the nozzle", "nozzle", (fixed_q, factor), pressure, of=Term(_label(line)))


def _label(line: WaterLine) -> str:
    return "Quench line" if line.line == "quench" else "Attack line"


def _balance(line: WaterLine, rig: Rig, flow: Value, pressure: Value) -> Iterator[Step]:
    """Head of the supply less all losses is nothing: that is how the flow was found. Last, how far it may lie off."""
    name, supply, q = Term(_label(line)), rig.supply, replace(flow, ends=None)
    share, exponent = float(rig.supply_share[0]), supply.exponent if supply.fall else 0.0
    still = head = share * supply.most_head_m
    if supply.fall:
        head = share * float(supply.head_m(q.number))
        most = (supply.most_head_m / supply.fall) ** (1 / supply.exponent)
        pump = (
            *(Value("share", share, ends=_ends(rig.supply_share)), Value("H0", supply.most_head_m, "m", True), q),
            *(Value("Q0", most, "l_min", True), Value("n", supply.exponent)),
        )
        yield Step("{of}: head at the flow", "supply", pump, Value("H", head, "m", True), of=name)
    losses = [
        step
        for hose in rig.all_hoses(line.route_m or 0.0)
        if float(np.asarray(hose.length_m)) > 0 or hose.loss_coefficient
        for step in _hose_losses(_label(line), hose, q, float(rig.friction_share[0]))
    ]
    yield from losses
    lost = sum(step.result.number for step in losses)
    p = Value("p", pressure.number, "kpa", True)
    error = line.lift_error_m or 0.0
    lift = Value("lift", line.lift_m or 0.0, "m", True)
    heads = Value("supply", head, "m", True), lift, Value("losses", lost, "m", True), p
    left = head - lift.number - lost - p.number / friction.KPA_PER_M
    yield Step("{of}: what is left", "balance", heads, Value("left", round(left, 6), "m", True), of=name)
    if abs(left) > NOTHING_M:
        return  # what the source yields, not the hose, holds the flow
    fittings = sum(step.result.number for step in losses if step.formula == "fittings")
    moved = (
        *(flow, Value("supply", head, "m", True), Value("s", _half(rig.supply_share))),
        *(Value("friction", lost - fittings, "m", True), Value("r", _half(rig.friction_share))),
        *(Value("e", error, "m", True), Value("fittings", fittings, "m", True), p),
        *(Value("n", exponent), Value("still", still, "m", True)),
    )
    found = evaluate(formulas()["flow_moves"].form, {each.symbol: each.number for each in moved})
    yield Step("{of}: the flow may be off by", "flow_moves", moved, Value("dq", found, "l_min", True), of=name)


def _ends(draws: Array) -> tuple[float, float]:
    low, _, high = Drawn(np.array(draws)).triple()
    return low, high


def _half(draws: Array) -> float:
    """Half of the range of what is drawn, as a share of its likely value."""
    low, high = _ends(draws)
    return (high - low) / 2 / float(draws[0])


def _hose_losses(name: str, hose: HoseRun, q: Value, share: float) -> Iterator[Step]:
    length = float(np.asarray(hose.length_m))
    rough = float(hazen_williams_loss_m(q.number, length, hose.bore_mm, hose.roughness_c))
    planned = float(friction.friction_gradient(q.number, hose.bore_mm, hose.roughness_c)) * length
    size = Value("L", length, "m", True), Value("d", hose.bore_mm, "mm", True)
    loss = Value("h", planned * share, "m", True)
    if length > 0 and planned > rough * 1.0000001:
        c = Value("c", float(friction.fire_rule_coefficient(hose.bore_mm)))
        yield Step("{of}: friction", "fire_rule", (c, q, size[0]), loss, of=Term(name))
    elif length > 0:
        yield Step("{of}: friction", "hazen_williams", (*size, q, Value("C", hose.roughness_c)), loss, of=Term(name))
    if hose.loss_coefficient:
        fittings = float(minor_loss_m(q.number, hose.bore_mm, hose.loss_coefficient))
        inputs = Value("K", hose.loss_coefficient), q, size[1]
        yield Step("{of}: fittings", "fittings", inputs, Value("h", fittings, "m", True), of=Term(name))


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
    yield Step("{of}: flow", "haul", brings, Value("q", flow.likely, "l_min"), flow, Term("Quench line"))


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
        yield from _filling(line, gear, first, q)
    else:
        trip = _trip(line, gear)
        if trip is not None:
            way = Value("load", trip.load_min, "min"), Value("way", line.route_m or 0.0, "m", True)
            one = (*way, Value("v1", trip.loaded_km_h, "km_h", True))
            yield Step("First load there", "first_load", one, Value("first", first, "min"))
    done = Value("first", first, "min"), asked, q, hold
    took = line.minutes_to_quench
    yield Step("Quench done", "minutes", done, Value("minutes", took.likely, "min"), took)


def _filling(line: WaterLine, gear: _Gear, first: float, q: Value) -> Iterator[Step]:
    try:
        rig = rig_of(gear.sources[line.source or ""], gear.kit, gear.altitude_m)
    except NoLineError:
        return
    whole = 0.0
    for hose in rig.hoses(line.route_m or 0.0):
        length = float(np.asarray(hose.length_m))
        if length > 0:
            litres = float(friction.hose_contents_l(length, hose.bore_mm))
            whole += litres
            sizes = Value("d", hose.bore_mm, "mm", True), Value("L", length, "m", True)
            yield Step("Water in the hose", "fill", sizes, Value("fill", litres, "l"))
    if whole:
        yield Step("Hose full", "first_water", (Value("fill", whole, "l"), q), Value("first", first, "min"))
