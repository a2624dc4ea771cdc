"""One batch at each kiln, step by step: wood, hours, char, water, and what happens without it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from sitemap.assessment import Assessment, stock_of_site
from sitemap.between import kilns_at
from sitemap.kiln import quench, wetness
from sitemap.kiln.days import soak_and_burn_down
from sitemap.kiln.values import Kiln, KilnRun
from sitemap.plan.working.step import Step, Value
from sitemap.tables import value


@dataclass(frozen=True)
class _Batch:
    """Likely inputs of one batch. moisture : of the wettest heap; y : yield of dry wood; left : with its water"""

    facts: Kiln
    run: KilnRun
    moisture: float
    extra: float
    left: float

    @property
    def char_m3(self) -> float:
        return self.run.char_m3_per_batch.likely

    @property
    def char_kg(self) -> float:
        return self.char_m3 * _table("char_density")


def kiln_steps(a: Assessment) -> Iterator[tuple[str, tuple[Step, ...]]]:
    """Id of each kiln spot that can be reckoned, and its steps."""
    facts, stocks = kilns_at(a.source), {stock.id: stock for stock in stock_of_site(a)}
    for run in a.kilns:
        unknown = _table("wet_unknown")
        wet = [stocks[heap].moisture for heap in run.heaps if heap in stocks]
        moisture = max((unknown if each is None else each for each in wet), default=unknown)
        extra = float(wetness.extra_water(moisture, _table("wet_from")))
        left = float(wetness.yield_left(_table("char_yield"), extra))
        batch = _Batch(facts[run.spot], run, moisture, extra, left)
        yield run.spot, (*_size(batch), *_wood(batch), *_hours(batch), *_water(batch), *_heat(batch))


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
    share = Value("b", batch.char_m3 / hollow.volume_m3, basis="assumed" if fill is None else "entered")
    volume = Value("a", hollow.volume_m3, "m3")
    yield Step("Char of a batch", "product", (volume, share), Value("c", batch.char_m3, "m3"), run.char_m3_per_batch)


def _wood(batch: _Batch) -> Iterator[Step]:
    run = batch.run
    water = Value("moisture", batch.moisture), Value("usual", _table("wet_from"))
    yield Step("Extra water in the wood", "extra", water, Value("e", batch.extra))
    yields = Value("y", _table("char_yield")), Value("extra", batch.extra)
    yield Step("Char from dry wood", "yield", yields, Value("y", batch.left))
    density, char = Value("density", _table("char_density"), "kg_m3"), Value("char", batch.char_m3, "m3")
    feed = Value("f", run.feed_dry_t_per_batch.likely, "t")
    yield Step("Dry wood of a batch", "feed", (char, density, Value("y", batch.left)), feed, run.feed_dry_t_per_batch)
    least = batch.char_kg / _table("char_yield") / 1000
    if batch.extra:
        dry = (char, density, Value("y", _table("char_yield")))
        yield Step("Dry wood of a batch, were it dry", "feed", dry, Value("f", least, "t"))
    stock = Value("stock", run.char_stock_dry_t.likely, "t")
    yield Step("Batches", "batches", (stock, Value("feed", least, "t")), Value("n", run.batches.likely), run.batches)


def _hours(batch: _Batch) -> Iterator[Step]:
    facts, run = batch.facts, batch.run
    measured = facts.machine_feed_kg_h if facts.feed_kg_h is None else facts.feed_kg_h
    handled = run.feeders * _table("feed_per_person") if measured is None else measured
    by = "feed_per_area" if facts.machine_feed_kg_h is None else "feed_per_area_by_machine"
    soak, burn_down = soak_and_burn_down(run.thickest_cm)
    brought = Value("handled", handled, "kg_h", basis="assumed" if measured is None else "entered")
    if measured is None:
        people = Value("a", run.feeders, basis="people"), Value("b", _table("feed_per_person"), "kg_h")
        yield Step("Wood brought an hour", "product", people, Value("h", handled, "kg_h"))
    thick = Value("thick", run.thickest_cm, "cm"), Value("per_radius", _table("soak"), "min/cm")
    soak_inputs = (*thick, Value("burn_down", burn_down, "min"))
    yield Step("Thick pieces in before the water", "soak", soak_inputs, Value("s", soak, "min"))
    hands_inputs = (
        *(
            Value("start", _table("start_up"), "h"),
            Value("feed", run.feed_dry_t_per_batch.likely * 1000, "kg"),
            brought,
        ),
        *(Value("burn_down", burn_down, "min"), Value("soak", soak, "min")),
    )
    hands = _table("start_up") + max(run.feed_dry_t_per_batch.likely * 1000 / handled + burn_down / 60, soak / 60)
    yield Step("Hours by the hands", "hours_hands", hands_inputs, Value("h", hands, "h"))
    opening = 0.0
    if facts.feed_kg_h is None:
        usual = batch.char_m3 * _table("char_density") / _table("char_yield")
        opening = usual / (run.open_area_m2 * _table(by)) * (1 + batch.extra * _table("wet_slower"))
        inputs = (
            *(Value("char", batch.char_m3, "m3"), Value("density", _table("char_density"), "kg_m3")),
            *(Value("y", _table("char_yield")), Value("A", run.open_area_m2, "m2")),
            *(
                Value("per_area", _table(by), "kg_h/m2"),
                Value("extra", batch.extra),
                Value("slower", _table("wet_slower")),
            ),
        )
        yield Step("Hours by the opening", "hours_opening", inputs, Value("h", opening, "h"))
    both = Value("a", hands, "h"), Value("b", opening, "h")
    yield Step("Lighting to water", "larger", both, Value("h", run.hours_per_batch.likely, "h"), run.hours_per_batch)


def _water(batch: _Batch) -> Iterator[Step]:
    run, facts = batch.run, batch.facts
    char_c, steel_c, water_c = (_table(f"{what}_temperature", "quench") for what in ("char", "steel", "water"))
    h_char = float(quench.char_heat(char_c, quench.BOILING_C))
    h_steel = float(quench.steel_heat(steel_c, quench.BOILING_C))
    mass = Value("m_char", batch.char_kg, "kg")
    volume = Value("a", batch.char_m3, "m3"), Value("b", _table("char_density"), "kg_m3")
    yield Step("Char of a batch, dry", "product", volume, mass)
    yield Step("Heat in the char", "char_heat", (Value("T", char_c, "c", True),), Value("h_char", h_char))
    yield Step("Heat in the steel", "steel_heat", (Value("T", steel_c, "c", True),), Value("h_steel", h_steel))
    heats = (
        *(mass, Value("h_char", h_char), Value("m_steel", facts.steel_kg, "kg"), Value("h_steel", h_steel)),
        Value("t", water_c, "c", True),
    )
    floor = run.quench_floor_l.likely
    yield Step("Least water", "boiled", heats, Value("w", floor, "l"), run.quench_floor_l)
    yield _quench(batch, "Water for one quench", run.method, floor)
    if run.flood_l is not None:
        yield _quench(batch, "Water to flood a full kiln", "flooded", floor)
    hold = Value("a", run.open_area_m2, "m2"), Value("b", _table("hold", "quench"), "l_min/m2")
    yield Step("Flow that only keeps pace", "product", hold, Value("q", run.hold_l_min.likely, "l_min"), run.hold_l_min)
    loss = Value("loss", _table("glowing_loss", "quench"))
    burning = (mass, Value("A", run.open_area_m2, "m2"), loss)
    yield Step("Burns out without water", "burn_out", burning, Value("h", run.burn_out_h.likely, "h"), run.burn_out_h)


def _quench(batch: _Batch, figure: str, method: str, floor_l: float) -> Step:
    run, facts = batch.run, batch.facts
    leaks = method == "flooded" or (method == "unraked_or_machine_bin" and facts.leak_known)
    drawn = run.quench_l_per_batch if figure == "Water for one quench" else run.flood_l
    assert drawn is not None, "a kiln that cannot be flooded has no such step"
    inputs = (
        *(Value("char", batch.char_m3, "m3"), Value("method", _table(method, "quench"), "l/m3")),
        *(Value("least", floor_l, "l"), Value("leak", facts.leak_l_min if leaks else 0.0, "l_min")),
        *(Value("minutes", _table("no_steam_within", "quench"), "min"), Value("extra", batch.extra)),
        Value("more", _table("wet_more_water")),
    )
    return Step(figure, "quench", inputs, Value("w", drawn.likely, "l"), drawn)


def _heat(batch: _Batch) -> Iterator[Step]:
    run = batch.run
    rate = run.feed_dry_t_per_h.likely * 1000
    if batch.facts.feed_kg_h is None:
        yield _rate(batch, rate)
    inputs = Value("rate", rate, "kg_h", True), Value("y", batch.left), Value("M", _table("feed_moisture"))
    yield Step("Heat of the fire", "heat", inputs, Value("Q", run.heat_kw.likely, "kw"), run.heat_kw)
    peak = Value("a", run.heat_kw.likely, "kw"), Value("b", _table("pulse"))
    yield Step("Heat of the fire, most", "product", peak, Value("Q", run.heat_peak_kw.likely, "kw"), run.heat_peak_kw)


def _rate(batch: _Batch, rate: float) -> Step:
    """What burns an hour, where it was not measured."""
    facts, run = batch.facts, batch.run
    measured = facts.machine_feed_kg_h
    by = "feed_per_area" if measured is None else "feed_per_area_by_machine"
    handled = run.feeders * _table("feed_per_person") if measured is None else measured
    inputs = (
        *(Value("A", run.open_area_m2, "m2"), Value("per_area", _table(by), "kg_h/m2")),
        Value("handled", handled, "kg_h"),
    )
    return Step("Dry wood burned an hour", "rate", inputs, Value("rate", rate, "kg_h"), None)
