"""How far people stand, how far embers may fly, and the sums of the site, step by step."""

from __future__ import annotations

import math
from collections.abc import Iterator

from sitemap import tables
from sitemap.assessment import Assessment
from sitemap.between import kiln_radius_m, kilns_at
from sitemap.kiln.values import Burns
from sitemap.plan.working.step import Step, Value, share_of
from sitemap.ranges import Drawn
from sitemap.safety.embers import FOOT_M, LOFT_PER_FLAME, MPH_M_S
from sitemap.safety.heat import flame_height_m, radiant_distance_m, refuge_distance_m
from sitemap.tables import load, value


def people_steps(a: Assessment) -> Iterator[tuple[str, tuple[Step, ...]]]:
    """Id of each kiln spot, and the steps to its distances for people. The heat is the high end of its peak."""
    facts, runs, limits = kilns_at(a.source), {run.spot: run for run in a.kilns}, tables.load("heat_limits")
    for safe in a.safety.spots if a.safety else ():
        run = runs.get(safe.id)
        if run is None or safe.id not in facts:
            continue
        area, radius, heat = run.open_area_m2, kiln_radius_m(facts[safe.id]), run.heat_peak_kw.high
        across = math.sqrt(4 * area / math.pi)
        floor = {key: float(limits[f"{key}_floor"]["least_m"]) for key in ("flame", "rest", "visitor")}
        Q, R = Value("Q", heat, "kw", basis="high end of the peak"), Value("R", radius, "m", True)
        limit = Value("limit", float(limits["rest"]["flux_kw_m2"]), "kw_m2")
        flame = max(float(flame_height_m(heat, across)), floor["flame"])
        away = float(radiant_distance_m(heat, limit.number)) - radius
        steps = [
            Step("Across the top", "diameter", (Value("A", area, "m2"),), Value("D", across, "m")),
            Step(
                "Flame",
                "flame",
                (Q, Value("D", across, "m", True), Value("floor", floor["flame"], "m", True)),
                Value("flame", flame, "m"),
            ),
        ]
        for name, key in (("Crew at rest", "rest"), ("Visitors", "visitor")):
            inputs = Q, limit, R, Value("floor", floor[key], "m", True)
            steps.append(Step(name, "radiant", inputs, Value("away", max(away, floor[key]), "m")))
        yield safe.id, (*steps, *_embers(flame, safe.patrol_m))


def _embers(flame_m: float, patrol_m: float | None) -> Iterator[Step]:
    if patrol_m is None:
        return
    z = LOFT_PER_FLAME * flame_m / FOOT_M
    h = 2.2 * z**0.337 - 4
    gust = float(tables.load("weather_limits")["gust_m_s"]["inside_high"]) / MPH_M_S
    feet = Value("flame", flame_m / FOOT_M, basis="ft")
    yield Step("Embers lifted", "loft", (feet,), Value("z", z, basis="ft"))
    yield Step("Cover in the open", "loft_cover", (Value("z", z, basis="ft"),), Value("h", h, basis="ft"))
    inputs = Value("U", gust, basis="mph, gust"), Value("h", h, basis="ft"), Value("z", z, basis="ft")
    yield Step("Patrol for embers", "embers", inputs, Value("far", patrol_m, "m"))


def site_steps(a: Assessment) -> Iterator[Step]:
    """The sums: char, bags and their weights, the reserve, what each source must give, the refuge."""
    burn = a.burn
    if burn.char_m3 is None or burn.char_t is None or burn.bag_dry_kg is None or burn.reserve_l is None:
        return
    for run in a.kilns:
        yields = Value.of("a", run.char_stock_dry_t, "t"), Value.of("b", share_of(run.char_t, run.char_stock_dry_t))
        yield Step("Char of {of}", "product", yields, Value("char", run.char_t.likely, "t"), run.char_t, run.name)
    yield from _containers(burn, burn.char_m3, burn.char_t, burn.bag_dry_kg)
    largest = max((run.quench_l_per_batch for run in a.kilns), key=lambda drawn: drawn.likely)
    both = Value.of("a", largest, "l", basis="largest quench"), Value("b", value("quench", "least_reserve"), "l")
    yield Step("Escape water", "larger", both, Value("reserve", burn.reserve_l.likely, "l"), burn.reserve_l)
    height = a.source.section("season").number("fuel_height_m")
    for factor in (1.0, 5.0, 10.0) if height is not None else ():
        inputs = Value("h", height or 0.0, "m"), Value("f", factor)
        clear = float(refuge_distance_m(height or 0.0, factor))
        yield Step("Refuge, factor {of}", "refuge", inputs, Value("clear", clear, "m"), of=f"{factor:g}")


def _containers(burn: Burns, char_m3: Drawn, char_t: Drawn, bag: Drawn) -> Iterator[Step]:
    char, row = Value.of("char", char_m3, "m3"), load("kiln_burning")["char_density"]
    bag_m3 = value("kiln_burning", "bulk_bag") / 1000
    loose = Value("b", 1 / row["value"], "m3/kg", ends=(1 / row["high"], 1 / row["low"]))
    yield Step("Char, loose", "product", (Value.of("a", char_t, "t"), loose), char, char_m3)
    each = Value("each", bag_m3, "m3")
    yield Step("Bags", "containers", (char, each), Value("n", burn.bags.likely if burn.bags else 0.0), burn.bags)
    dry = Value.of("dry", bag, "kg")
    weighs = Value("a", bag_m3, "m3"), Value("b", row["value"], "kg_m3", ends=(row["low"], row["high"]))
    yield Step("One bag, dry", "product", weighs, dry, bag)
    held = value("kiln_burning", "soaked_water_per_char")
    wet = (
        ("One bag, damp", value("kiln_burning", "damp_water_share"), burn.bag_damp_kg),
        ("One bag, soaked", held / (1 + held), burn.bag_soaked_kg),
    )
    for name, share, drawn in wet:
        if drawn is not None:
            yield Step(name, "wet", (dry, Value("share", share)), Value("kg", drawn.likely, "kg"), drawn)
