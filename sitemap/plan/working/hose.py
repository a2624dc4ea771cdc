"""A hose, step by step: head of every pump at the flow, losses between them, pressure before each, what is left."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np

from sitemap.hydraulics import friction, nozzle
from sitemap.hydraulics.friction import KPA_PER_M, hazen_williams_loss_m, minor_loss_m
from sitemap.hydraulics.profile import JOINT_M
from sitemap.hydraulics.steady_flow import HoseRun
from sitemap.hydraulics.supply import Supply
from sitemap.plan.working.step import Step, Value, evaluate, formulas
from sitemap.ranges import Array, Drawn
from sitemap.reasons import Term
from sitemap.water.bucket import Bucket
from sitemap.water.records import Source
from sitemap.water.segments import Stretch
from sitemap.water.values import WaterLine

NOTHING_M = 0.01  # head that is left where the balance holds
LINES = {"quench": Term("Quench line"), "attack": Term("Attack line"), "both": Term("Both lines")}
SECOND = {
    "quench": Term("Quench line, second pump"),
    "attack": Term("Attack line, second pump"),
    "both": Term("Both lines, second pump"),
}
TANK = {
    "quench": (Term("Quench line, into the relay tank"), Term("Quench line, out of the relay tank")),
    "attack": (Term("Attack line, into the relay tank"), Term("Attack line, out of the relay tank")),
    "both": (Term("Both lines, into the relay tank"), Term("Both lines, out of the relay tank")),
}


@dataclass(frozen=True)
class _Driven:
    """A pump, a tap or a fall at the flow, likely [m].

    ends : of its head, eight of ten; falls : head it loses as the flow grows by its whole, along the slope at the flow
    """

    head: float
    ends: tuple[float, float]
    falls: float

    @property
    def half(self) -> float:
        """Half of the range, as a share of the head."""
        return (self.ends[1] - self.ends[0]) / 2 / self.head if self.head else 0.0


def hose_steps(line: WaterLine, of: str, source: Source, bucket: Bucket | None) -> Iterator[Step]:
    """What arrives by a hose: by a bucket and a watch, else by the balance of each of its stretches.

    of : "quench", "attack" or "both", which are told by it
    """
    flow, label, stretches = line.flow_l_min, LINES[of], line.stretches
    assert flow is not None, "a line that brings nothing has no steps"
    if bucket is not None and abs(bucket.flow_l_min - flow.likely) < 1e-6 * flow.likely:
        filled = Value("litres", bucket.litres, "l"), Value("seconds", bucket.seconds, "s")
        yield Step("{of}: flow", "bucket", filled, Value("q", flow.likely, "l_min"), of=label)
        yield from (_outlet(each, flow.likely, label) for each in stretches[-1:])
        return
    for name, stretch in zip(TANK[of] if len(stretches) > 1 else (label,), stretches, strict=True):
        drawn_m = source.suction_lift_m if stretch is stretches[0] else 0.0
        yield from _Told(stretch, name, SECOND[of], drawn_m).balance()
        yield _outlet(stretch, float(stretch.flow_l_min[0]), name)
    if len(stretches) > 1:
        runs_in, runs_out = (Drawn(np.nan_to_num(each.flow_l_min)) for each in stretches)
        sides = Value.of("a", runs_in, "l_min"), Value.of("b", runs_out, "l_min")
        yield Step("{of}: flow", "smaller", sides, Value("q", flow.likely, "l_min"), flow, label)


def _outlet(stretch: Stretch, flow_l_min: float, label: Term) -> Step:
    factor = stretch.rig.outlet_factor
    inputs = Value("q", flow_l_min, "l_min", True), Value("f", factor, "", basis="L/min by root of kPa")
    result = Value("p", float(nozzle.outlet_pressure_kpa(factor, flow_l_min)), "kpa")
    if stretch.rig.attack_kpa is None:
        return Step("{of}: at the open end", "nozzle", inputs, result, of=label)
    return Step("{of}: at the nozzle", "nozzle", inputs, result, of=label)


@dataclass(frozen=True)
class _Told:
    """One stretch as it is told.

    label : of the line, of the side of its tank; second : of its second pump
    drawn_m : its pump above the water [m], None where nobody said
    """

    stretch: Stretch
    label: Term
    second: Term
    drawn_m: float | None

    @property
    def q(self) -> Value:
        """The flow, likely."""
        return Value("q", float(self.stretch.flow_l_min[0]), "l_min", True)

    def balance(self) -> Iterator[Step]:
        """Head of all pumps less all losses is nothing: that is how the flow was found. Last, how far it may be off."""
        stretch, rig, of = self.stretch, self.stretch.rig, self.label
        driven = self._driven(rig.supply, rig.supply_share)
        yield from self._head(rig.supply, rig.supply_share, driven, of)
        losses = [tuple(self._losses(hose)) for hose in stretch.line.hoses]
        for told in losses:
            yield from told
        each = [sum(step.result.number for step in told) for told in losses]
        if (rig.pumped and self.drawn_m != 0) or rig.suction:
            basis = "not entered, taken as nothing" if self.drawn_m is None else ""
            rise = Value("rise", self.drawn_m or 0.0, "m", True, basis)
            yield _inlet(0.0, rise, each[0] if rig.suction else 0.0, of)
        if rig.relay is not None:
            second = self._driven(rig.relay.supply, rig.relay.supply_share)
            yield from self._before_second(driven.head, each)
            yield from self._head(rig.relay.supply, rig.relay.supply_share, second, self.second)
            yield from self._both(driven, second)
            driven = _together(driven, second)
        p = Value("p", float(nozzle.outlet_pressure_kpa(rig.outlet_factor, self.q.number)), "kpa", True)
        supply, lift = Value("supply", driven.head, "m", True), Value("lift", stretch.rise_m, "m", True)
        lost = Value("losses", sum(each), "m", True)
        left = supply.number - lift.number - lost.number - p.number / KPA_PER_M
        heads, rest = (supply, lift, lost, p), Value("left", round(left, 6), "m", True)
        if abs(left) > NOTHING_M:  # what the source yields, not the hose, holds the flow
            if rig.supply.held_by == "suction":
                yield Step("{of}: what is left, the suction hose lets no more through", "balance", heads, rest, of=of)
            else:
                yield Step("{of}: what is left, source or pump give no more", "balance", heads, rest, of=of)
            return
        yield Step("{of}: what is left", "balance", heads, rest, of=of)
        fittings = sum(step.result.number for told in losses for step in told if step.formula == "fittings")
        moved = (
            *(replace(Value.of("q", Drawn(np.nan_to_num(stretch.flow_l_min)), "l_min"), fixed=True), supply),
            *(Value("s", driven.half), Value("friction", lost.number - fittings, "m", True)),
            *(Value("r", _half(rig.friction_share)), Value("e", stretch.leg.error_m, "m", True)),
            *(Value("fittings", fittings, "m", True), p, Value("falls", driven.falls, "m", True)),
        )
        found = evaluate(formulas()["flow_moves"].form, {each.symbol: each.number for each in moved})
        yield Step("{of}: the flow may be off by", "flow_moves", moved, Value("dq", found, "l_min", True), of=of)

    def _driven(self, supply: Supply, shares: Array) -> _Driven:
        q, share = self.q.number, float(shares[0])
        head = float(supply.head_m(q))
        if supply.table:
            (low, high), (near, far) = _beside(supply, q)
            falls = (near - far) / (high - low) * q
        else:
            falls = supply.exponent * (supply.most_head_m - head) if supply.fall else 0.0
        low_share, high_share = _ends(shares)
        return _Driven(share * head, (low_share * head, high_share * head), share * falls)

    def _head(self, supply: Supply, shares: Array, driven: _Driven, of: Term) -> Iterator[Step]:
        """Head at the flow, by a curve or from point to point of a table, and how steeply it falls there."""
        share, q = Value("share", float(shares[0])), self.q
        worn = replace(share, ends=_ends(shares))
        head, falls = Value("H", driven.head, "m", True), Value("falls", driven.falls, "m", True)
        if supply.table:
            (low, high), (near, far) = _beside(supply, q.number)
            heads = Value("H1", near, "m", True), Value("H2", far, "m", True)
            flows = q, Value("Q1", low, "l_min", True), Value("Q2", high, "l_min", True)
            yield Step("{of}: head at the flow", "supply_table", (worn, *heads, *flows), head, of=of)
            yield Step("{of}: how steeply it falls", "falls_table", (share, *heads, *flows), falls, of=of)
        elif supply.fall:
            most = (supply.most_head_m / supply.fall) ** (1 / supply.exponent)
            top, n = Value("H0", supply.most_head_m, "m", True), Value("n", supply.exponent)
            by = worn, top, q, Value("Q0", most, "l_min", True), n
            yield Step("{of}: head at the flow", "supply", by, head, of=of)
            yield Step("{of}: how steeply it falls", "falls", (n, share, top, head), falls, of=of)

    def _losses(self, hose: HoseRun) -> Iterator[Step]:
        length, q, of = float(np.asarray(hose.length_m)), self.q, self.label
        share = float(np.asarray(self.stretch.line.friction_share))
        rough = float(hazen_williams_loss_m(q.number, length, hose.bore_mm, hose.roughness_c))
        planned = float(friction.friction_gradient(q.number, hose.bore_mm, hose.roughness_c)) * length
        size = Value("L", length, "m", True), Value("d", hose.bore_mm, "mm", True)
        loss = Value("h", planned * share, "m", True)
        if length > 0 and planned > rough * 1.0000001:
            c = Value("c", float(friction.fire_rule_coefficient(hose.bore_mm)))
            yield Step("{of}: friction", "fire_rule", (c, q, size[0]), loss, of=of)
        elif length > 0:
            yield Step("{of}: friction", "hazen_williams", (*size, q, Value("C", hose.roughness_c)), loss, of=of)
        if hose.loss_coefficient:
            lost = float(minor_loss_m(q.number, hose.bore_mm, hose.loss_coefficient))
            inputs = Value("K", hose.loss_coefficient), q, size[1]
            yield Step("{of}: fittings", "fittings", inputs, Value("h", lost, "m", True), of=of)

    def _before_second(self, head_m: float, losses: list[float]) -> Iterator[Step]:
        """Pressure before the second pump. head_m : of the first; losses : of each hose, the suction first [m]"""
        stretch, relay, along, of = self.stretch, self.stretch.rig.relay, self.stretch.along, self.second
        assert relay is not None, "only where there is one"
        assert along is not None, "only where water runs"
        laid = [float(np.asarray(hose.length_m)) for hose in stretch.laid]
        here = Value("at", sum(laid) * relay.after_m / stretch.leg.length_m, "m", True)
        way = Value("after", relay.after_m, "m", True), Value("way", stretch.leg.length_m, "m", True)
        yield Step("{of}: hose before it", "hose_before", (Value("hose", sum(laid), "m", True), *way), here, of=of)
        number = min(int(np.searchsorted(np.cumsum(laid), here.number)), len(laid) - 1)
        stands = len(losses) - len(laid) + number
        start, whole, loss = sum(laid[:number]), sum(losses[:stands]), losses[stands]
        lost = Value("losses", whole + loss * (here.number - start) / laid[number], "m", True)
        parts = Value("whole", whole, "m", True), Value("loss", loss, "m", True), here
        ends = Value("start", start, "m", True), Value("L", laid[number], "m", True)
        yield Step("{of}: losses before it", "losses_before", (*parts, *ends), lost, of=of)
        height = float(along.height_m[int(np.searchsorted(along.distance_m, here.number - JOINT_M))])
        rise = Value("rise", height, "m", True, "ground there, above the water")
        yield _inlet(head_m, rise, lost.number, of)

    def _both(self, one: _Driven, other: _Driven) -> Iterator[Step]:
        """What two pumps give together."""
        both, of = _together(one, other), self.label
        heads = Value("a", one.head, "m", True), Value("b", other.head, "m", True)
        falls = Value("a", one.falls, "m", True), Value("b", other.falls, "m", True)
        shares = heads[0], Value("s1", one.half), heads[1], Value("s2", other.half)
        yield Step("{of}: head of both pumps", "sum", heads, Value("H", both.head, "m", True), of=of)
        yield Step("{of}: how steeply both fall", "sum", falls, Value("falls", both.falls, "m", True), of=of)
        yield Step("{of}: half of the range of both heads", "two_halves", shares, Value("s", both.half), of=of)


def _inlet(head_m: float, rise: Value, lost_m: float, of: Term) -> Step:
    inputs = Value("supply", head_m, "m", True), rise, Value("losses", lost_m, "m", True)
    found = (head_m - rise.number - lost_m) * KPA_PER_M
    return Step("{of}: pressure before the pump", "inlet", inputs, Value("p", round(found, 6), "kpa", True), of=of)


def _together(one: _Driven, other: _Driven) -> _Driven:
    """Two pumps in a row, each as uncertain as alone."""
    head = one.head + other.head
    half = float(np.hypot(one.half * one.head, other.half * other.head))
    return _Driven(head, (head - half, head + half), one.falls + other.falls)


def _beside(supply: Supply, flow_l_min: float) -> tuple[tuple[float, float], tuple[float, float]]:
    """The two flows [L/min] and heads [m] of a table between which a flow lies; before its first its head holds."""
    points = supply.table if supply.table[0][0] <= 0 else ((0.0, supply.table[0][1]), *supply.table)
    pairs = list(pairwise(points))
    low, high = next((pair for pair in pairs if flow_l_min <= pair[1][0]), pairs[-1])
    return (low[0], high[0]), (low[1], high[1])


def _ends(draws: Array) -> tuple[float, float]:
    low, _, high = Drawn(np.array(draws)).triple()
    return low, high


def _half(draws: Array) -> float:
    """Half of the range of what is drawn, as a share of its likely value."""
    low, high = _ends(draws)
    return (high - low) / 2 / float(draws[0])
