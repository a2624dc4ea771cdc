"""One batch at each kiln, step by step: wood, hours, char, water, and what happens without it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from sitemap.assessment import Assessment, stock_of_site
from sitemap.between import kilns_at
from sitemap.kiln import burning, quench, wetness
from sitemap.kiln.days import soak_and_burn_down
from sitemap.kiln.standing import figure
from sitemap.kiln.values import Kiln, KilnRun
from sitemap.plan.working.step import Step, Value
from sitemap.ranges import Array, Drawn, Numbers, fixed
from sitemap.tables import load, value


@dataclass(frozen=True)
class _Batch:
    """Likely inputs of one batch. moisture : of the wettest heap; y : yield of dry wood; left : with its water"""

    facts: Kiln
    run: KilnRun
    moisture: float
    extra: float
    left: Drawn

    @property
    def char_m3(self) -> Value:
        return Value.of("char", self.run.char_m3_per_batch, "m3")

    @cached_property
    def char_kg(self) -> Drawn:
        """Dry char [kg]."""
        return Drawn(self.run.char_m3_per_batch.values * figure("kiln_burning", "char_density", 60, 400))

    @property
    def measured(self) -> float | None:
        """Wood brought an hour, where somebody measured it [kg/h]."""
        return self.facts.machine_feed_kg_h if self.facts.feed_kg_h is None else self.facts.feed_kg_h

    @cached_property
    def handled(self) -> Array:
        """Wood brought an hour [kg/h]."""
        each = figure("kiln_burning", "feed_per_person")
        return np.asarray(self.run.feeders * each) if self.measured is None else fixed(self.measured)

    def brought(self, symbol: str) -> Value:
        """The same as it goes into a step."""
        return Value.of(symbol, Drawn(self.handled), "kg_h", basis="assumed" if self.measured is None else "entered")

    @property
    def by(self) -> str:
        """Row of the table that says what the opening burns."""
        return "feed_per_area" if self.facts.machine_feed_kg_h is None else "feed_per_area_by_machine"


def kiln_steps(a: Assessment) -> Iterator[tuple[str, tuple[Step, ...]]]:
    """Id of each kiln spot that can be reckoned, and its steps."""
    facts, stocks = kilns_at(a.source), {stock.id: stock for stock in stock_of_site(a)}
    for run in a.kilns:
        unknown = _table("wet_unknown")
        wet = [stocks[heap].moisture for heap in run.heaps if heap in stocks]
        moisture = max((unknown if each is None else each for each in wet), default=unknown)
        extra = float(wetness.extra_water(moisture, _table("wet_from")))
        left = Drawn(np.asarray(wetness.yield_left(figure("kiln_burning", "char_yield", 0.05, 0.4), extra)))
        batch = _Batch(facts[run.spot], run, moisture, extra, left)
        yield run.spot, (*_size(batch), *_wood(batch), *_hours(batch), *_water(batch), *_heat(batch))


def _from(symbol: str, key: str, unit: str = "", table: str = "kiln_burning", basis: str = "") -> Value:
    """A figure of a table with its ends, as it goes into a step."""
    row = load(table)[key]
    low, high = row.get("low"), row.get("high")
    return Value(symbol, row["value"], unit, basis=basis, ends=None if low is None or high is None else (low, high))


def _drawn(values: Numbers) -> Drawn:
    return Drawn(np.asarray(values))


def _table(key: str, table: str = "kiln_burning") -> float:
    return value(table, key)


def _size(batch: _Batch) -> Iterator[Step]:
    hollow, run = batch.facts.hollow, batch.run
    r = Value("r", 0.78540 if hollow.is_round else 1.0)
    top = Value("L", hollow.length_m, "m"), Value("W", hollow.width_m, "m")
    yield Step("Open top", "open_area", (r, *top), Value("A", run.open_area_m2, "m2"))
    sizes = (
        *(Value("H", hollow.height_m, "m"), Value("L1", hollow.length_m, "m"), Value("W1", hollow.width_m, "m")),
        *(Value("L2", hollow.length_bottom_m, "m"), Value("W2", hollow.width_bottom_m, "m")),
    )
    yield Step("Kiln to the rim", "volume", (r, *sizes), Value("V", hollow.volume_m3, "m3"))
    fill = batch.facts.fill_fraction
    share = _from("b", "fill_fraction", basis="assumed") if fill is None else Value("b", fill, basis="entered")
    volume, char = Value("a", hollow.volume_m3, "m3"), run.char_m3_per_batch
    yield Step("Char of a batch", "product", (volume, share), Value("c", char.likely, "m3"), char)


def _wood(batch: _Batch) -> Iterator[Step]:
    run = batch.run
    water = Value("moisture", batch.moisture), _from("usual", "wet_from")
    yield Step("Extra water in the wood", "extra", water, Value("e", batch.extra))
    yields = _from("y", "char_yield"), Value("extra", batch.extra)
    yield Step("Char from dry wood", "yield", yields, Value("y", batch.left.likely), batch.left)
    char = batch.char_m3, _from("density", "char_density", "kg_m3")
    feed = Value("f", run.feed_dry_t_per_batch.likely, "t")
    inputs = *char, Value.of("y", batch.left)
    yield Step("Dry wood of a batch", "feed", inputs, feed, run.feed_dry_t_per_batch)
    usual = figure("kiln_burning", "char_yield", 0.05, 0.4)
    least = run.feed_dry_t_per_batch if not batch.extra else Drawn(batch.char_kg.values / usual / 1000)
    if batch.extra:
        dry = *char, _from("y", "char_yield")
        yield Step("Dry wood of a batch, were it dry", "feed", dry, Value("f", least.likely, "t"), least)
    stock = Value.of("stock", run.char_stock_dry_t, "t"), Value.of("feed", least, "t")
    yield Step("Batches", "batches", stock, Value("n", run.batches.likely), run.batches)


def _hours(batch: _Batch) -> Iterator[Step]:
    """By the hands and by the opening, drawn as the run draws them: the larger is the hours of a batch."""
    run, feed = batch.run, Value.of("feed", batch.run.feed_dry_t_per_batch, "kg", 1000)
    soak, burn_down = soak_and_burn_down(run.thickest_cm)
    measured = batch.measured
    if measured is None:
        people = Value("a", run.feeders, basis="people"), _from("b", "feed_per_person", "kg_h")
        yield Step("Wood brought an hour", "product", people, batch.brought("h"), Drawn(batch.handled))
    thick = Value("thick", run.thickest_cm, "cm"), _from("per_radius", "soak", "min/cm")
    rest = Value("burn_down", burn_down, "min"), Value("soak", soak, "min")
    yield Step("Thick pieces in before the water", "soak", (*thick, rest[0]), Value("s", soak, "min"))
    inputs = _from("start", "start_up", "h"), feed, batch.brought("handled"), *rest
    start, brought = figure("kiln_burning", "start_up"), batch.handled
    hands = _drawn(burning.hours_by_hands(start, 1000 * run.feed_dry_t_per_batch.values, brought, burn_down, soak))
    yield Step("Hours by the hands", "hours_hands", inputs, Value("h", hands.likely, "h"), hands)
    opening = Drawn.exact(0.0)
    if batch.facts.feed_kg_h is None:
        usual = burning.feed_per_batch(run.char_m3_per_batch.values, _table("char_density"), _table("char_yield"))
        slower = figure("kiln_burning", "wet_slower", 0.0)
        by_area = burning.hours_by_opening(usual, run.open_area_m2, figure("kiln_burning", batch.by))
        opening = _drawn(wetness.grown(by_area, batch.extra, slower))
        of_area = (
            *(batch.char_m3, Value("density", _table("char_density"), "kg_m3"), Value("y", _table("char_yield"))),
            *(Value("A", run.open_area_m2, "m2"), _from("per_area", batch.by, "kg_h/m2")),
            *(Value("extra", batch.extra), _from("slower", "wet_slower")),
        )
        yield Step("Hours by the opening", "hours_opening", of_area, Value("h", opening.likely, "h"), opening)
    both, hours = (Value.of("a", hands, "h"), Value.of("b", opening, "h")), run.reckoned.hours_per_batch
    yield Step("Lighting to water", "larger", both, Value("h", hours.likely, "h"), hours)
    if run.by_log[0] != 1:
        yield _told("Lighting to water, as the log tells", hours, run.by_log[0], run.hours_per_batch, "h")


def _water(batch: _Batch) -> Iterator[Step]:
    run, facts = batch.run, batch.facts
    steel_c, water_c = (_table(f"{what}_temperature", "quench") for what in ("steel", "water"))
    char_c = figure("quench", "char_temperature", quench.BOILING_C, 1400)
    h_char = _drawn(quench.char_heat(char_c, quench.BOILING_C))
    h_steel = float(quench.steel_heat(steel_c, quench.BOILING_C))
    mass = Value.of("m_char", batch.char_kg, "kg")
    volume = replace(batch.char_m3, symbol="a"), _from("b", "char_density", "kg_m3")
    yield Step("Char of a batch, dry", "product", volume, replace(mass, ends=None), batch.char_kg)
    hot = replace(_from("T", "char_temperature", "c", "quench"), fixed=True)
    yield Step("Heat in the char", "char_heat", (hot,), Value("h_char", h_char.likely), h_char)
    yield Step("Heat in the steel", "steel_heat", (Value("T", steel_c, "c", True),), Value("h_steel", h_steel))
    heats = (
        *(mass, Value.of("h_char", h_char), Value("m_steel", facts.steel_kg, "kg"), Value("h_steel", h_steel)),
        Value("t", water_c, "c", True),
    )
    yield Step("Least water", "boiled", heats, Value("w", run.quench_floor_l.likely, "l"), run.quench_floor_l)
    yield _quench(batch, "Water for one quench", run.method)
    if run.by_log[1] != 1:
        plain = run.reckoned.quench_l_per_batch
        yield _told("Water for one quench, as the log tells", plain, run.by_log[1], run.quench_l_per_batch, "l")
    if run.flood_l is not None:
        yield _quench(batch, "Water to flood a full kiln", "flooded")
    hold = Value("a", run.open_area_m2, "m2"), _from("b", "hold", "l_min/m2", "quench")
    yield Step("Flow that only keeps pace", "product", hold, Value("q", run.hold_l_min.likely, "l_min"), run.hold_l_min)
    burning_out = mass, Value("A", run.open_area_m2, "m2"), _from("loss", "glowing_loss", table="quench")
    hours = Value("h", run.burn_out_h.likely, "h")
    yield Step("Burns out without water", "burn_out", burning_out, hours, run.burn_out_h)


def _told(name: str, reckoned: Drawn, factor: float, told: Drawn, unit: str) -> Step:
    """By the log of the kiln: longer and more at once, shorter and less from three batches on."""
    inputs = Value.of("a", reckoned, unit), Value("b", factor)
    return Step(name, "product", inputs, Value("p", told.likely, unit), told)


def _quench(batch: _Batch, figure: str, method: str) -> Step:
    run, facts = batch.run, batch.facts
    leaks = method == "flooded" or (method == "unraked_or_machine_bin" and facts.leak_known)
    drawn = run.reckoned.quench_l_per_batch if figure == "Water for one quench" else run.flood_l
    assert drawn is not None, "a kiln that cannot be flooded has no such step"
    inputs = (
        *(batch.char_m3, _from("method", method, "l/m3", "quench")),
        *(Value.of("least", run.quench_floor_l, "l"), Value("leak", facts.leak_l_min if leaks else 0.0, "l_min")),
        *(Value("minutes", _table("no_steam_within", "quench"), "min"), Value("extra", batch.extra)),
        _from("more", "wet_more_water"),
    )
    return Step(figure, "quench", inputs, Value("w", drawn.likely, "l"), drawn)


def _heat(batch: _Batch) -> Iterator[Step]:
    run, rate = batch.run, Value.of("rate", batch.run.feed_dry_t_per_h, "kg_h", 1000)
    if batch.facts.feed_kg_h is None:
        area = Value("A", run.open_area_m2, "m2"), _from("per_area", batch.by, "kg_h/m2")
        burned = _drawn(1000 * run.feed_dry_t_per_h.values)
        inputs = *area, batch.brought("handled")
        yield Step("Dry wood burned an hour", "rate", inputs, replace(rate, ends=None), burned)
    inputs = replace(rate, fixed=True), Value.of("y", batch.left), _from("M", "feed_moisture")
    yield Step("Heat of the fire", "heat", inputs, Value("Q", run.heat_kw.likely, "kw"), run.heat_kw)
    peak = Value.of("a", run.heat_kw, "kw"), _from("b", "pulse")
    yield Step("Heat of the fire, most", "product", peak, Value("Q", run.heat_peak_kw.likely, "kw"), run.heat_peak_kw)
