"""What every formula takes, as its data sheet has it: the ends are taken, a hair beyond them is refused in a sentence.

An unknown or impossible number that slips through is a figure on paper somebody relies on. Ends are physics where
there is one (a share, an angle, ice and steam), else how far the source of the formula goes; each data sheet says it.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from math import inf

import numpy as np
import pytest

from sitemap.errors import BadValue
from sitemap.geodesy import coordinates, zones
from sitemap.hydraulics import friction, laying, nozzle, pump, shuttle, storage, suction, supply
from sitemap.kiln import burning, glow, packing_out, quench, wetness
from sitemap.safety import heat, weather
from sitemap.season import carbon, daylight, drying, emc, turner, winds
from sitemap.slash import calibrate, dryness, from_char, moisture, packing, wood
from sitemap.terrain import relief

DAY = dt.date(2026, 6, 21)
HOSE = (laying.Piece(20.0, 38.1),)
Formula = Callable[[float], object]

#  What it is, the formula of it, and the least and the most it takes.
DOMAINS: tuple[tuple[str, Formula, float, float], ...] = (
    ("bearing", lambda x: coordinates.from_bearing(10.0, 45.0, x, 50.0), 0, 360),
    ("distance by bearing", lambda x: coordinates.from_bearing(10.0, 45.0, 90.0, x), 0, 100_000),
    ("paces", lambda x: coordinates.paces_m(x, 0.75), 0, inf),
    ("pace", lambda x: coordinates.paces_m(10, x), 0.3, 2.5),
    ("longitude of a zone", lambda x: zones.zone_at(x, 45.0), -180, 180),
    ("latitude of a zone", lambda x: zones.zone_at(10.0, x), -90, 90),
    ("longitude of a day", lambda x: daylight.daylight(x, 45.0, DAY, "UTC"), -180, 180),
    ("latitude of a day", lambda x: daylight.daylight(10.0, x, DAY, "UTC"), -90, 90),
    ("light", lambda x: relief.hillshade(np.zeros((2, 2)), np.zeros((2, 2)), 315.0, x), 0, 90),
    ("slack of a hose", lambda x: laying.laid_by_run(10.0, HOSE, x), 0, 0.5),
    ("flow of a curve", lambda x: pump.curve_pump(((0.0, 30.0), (x, 0.0))), 0.001, 1e6),
    ("head of a curve", lambda x: pump.curve_pump(((0.0, x), (100.0, 0.0))), 0.001, 1e4),
    ("fill of a bucket", lambda x: shuttle.load_l(100.0, x), 0, 1),
    ("spill of a bucket", lambda x: shuttle.load_l(100.0, 1.0, x), 0, 0.9),
    ("hour worked", lambda x: shuttle.haul_flow_l_min(100.0, 10.0, x), 0.1, 1),
    ("carriers", lambda x: shuttle.haul_flow_l_min(100.0, 10.0, 0.5, x), 0, inf),
    ("haul", lambda x: shuttle.cycle_min(x), 0, inf),
    ("shape of a pond", lambda x: storage.pond_l(100.0, 2.0, x), 0.2, 1),
    ("depth of a pond", lambda x: storage.pond_l(100.0, x), 0, inf),
    ("slope of a dug pond", lambda x: storage.dug_pond_l(20.0, 10.0, 2.0, x), 0, 2.5),
    ("depth of a dug pond", lambda x: storage.dug_pond_l(20.0, 10.0, x, 2.0), 0, 2.5),
    ("water in a lying tank", lambda x: storage.lying_cylinder_l(1.2, 2.0, x), 0, 1.2),
    ("water in a standing tank", lambda x: storage.standing_cylinder_l(1.2, 2.0, x), 0, 2.0),
    ("water in a box", lambda x: storage.box_l(1.2, 2.0, 0.5, x), 0, 0.5),
    ("altitude", suction.atmospheric_pressure_kpa, -500, 6000),
    ("warmth of water", suction.vapour_pressure_kpa, 0, 60),
    ("pressure left of a tap", lambda x: supply.tap(300.0, None, x, 50.0), 0, 299.9999),
    ("fill of a kiln", lambda x: burning.char_volume_per_batch(3.0, x), 0, 1),
    ("yield of a feed", lambda x: burning.feed_per_batch(1.0, 200.0, x), 1e-9, 0.5),
    ("yield of a heat", lambda x: burning.heat_release(100.0, x, 0.2), 0, 0.5),
    ("moisture of a heat", lambda x: burning.heat_release(100.0, 0.2, x), 0, 1),
    ("heat of glow", lambda x: glow.glow_heat(1.0, 1.0, x, 1.0, 0.9), 0, 1447),
    ("emissivity", lambda x: glow.glow_heat(1.0, 1.0, 600.0, 1.0, x), 0, 1),
    ("wet weight", lambda x: packing_out.wet_weight(100.0, x), 0, 0.95),
    ("char from", lambda x: quench.char_heat(x, 0.0), 0, 1447),
    ("char to", lambda x: quench.char_heat(1447.0, x), 0, 1447),
    ("steel from", lambda x: quench.steel_heat(x, 15.0), 15, 600),
    ("steel to", lambda x: quench.steel_heat(600.0, x), 15, 600),
    ("char that boils", lambda x: quench.boiled_water(100.0, x, 50.0, 300.0, 15.0), 100, 1447),
    ("steel that boils", lambda x: quench.boiled_water(100.0, 600.0, 50.0, x, 15.0), 100, 600),
    ("water that boils", lambda x: quench.boiled_water(100.0, 600.0, 50.0, 300.0, x), 0, 99),
    ("wet feed", lambda x: wetness.extra_water(x, 0.2), 0, 3),
    ("feed of the rates", lambda x: wetness.extra_water(0.2, x), 0, 3),
    ("yield of wet feed", lambda x: wetness.yield_left(x, 0.1), 0, 0.5),
    ("air of a plume", lambda x: heat.axis_rise_k(100.0, 5.0, x), 200, 350),
    ("air of a flame", lambda x: heat.mccaffrey_rise_k(100.0, 5.0, x), 200, 350),
    ("radiated share", lambda x: heat.radiant_distance_m(100.0, 5.0, x), 0, 1),
    ("slope and wind", lambda x: heat.refuge_distance_m(0.5, x), 1, 10),
    ("fuel of a refuge", lambda x: heat.refuge_distance_m(x), 0, inf),
    ("height of a wind", lambda x: weather.wind_at_height_m_s(3.0, x), 1, 30),
    ("height of a wanted wind", lambda x: weather.wind_at_height_m_s(3.0, 10.0, x), 1, 30),
    ("wind", lambda x: weather.wind_at_height_m_s(x, 10.0), 0, inf),
    ("carbon in char", lambda x: carbon.stored_co2e(1.0, x, 0.8), 0, 1),
    ("carbon that lasts", lambda x: carbon.stored_co2e(1.0, 0.8, x), 0, 1),
    ("thickness of wood", lambda x: drying.lag_hours(x), 1e-9, 300),
    ("days of rain", lambda x: drying.wetted(0.2, x), 0, 1),
    ("warmth of air", lambda x: emc.equilibrium_moisture(x, 50.0), -60, 60),
    ("dampness of air", lambda x: emc.equilibrium_moisture(20.0, x), 0, 100),
    ("height of the sun", lambda x: turner.net_radiation_index(x, 50.0, False), -90, 90),
    ("share of cloud", lambda x: turner.net_radiation_index(30.0, x, False), 0, 100),
    ("half a sector", lambda x: winds.blocked([(0.0, 10.0)], x), 0, 180),
    ("moisture of smoke", lambda x: winds.wetness_factor(x, 20.0, 60.0, 4.0), 0, 100),
    ("most of wet smoke", lambda x: winds.wetness_factor(30.0, 20.0, 60.0, x), 1, 1000),
    ("distance downwind", lambda x: winds.sigmas(x, "D"), 100, 10_000),
    ("earth of a weighed heap", lambda x: calibrate.packing_from_weighed(0.1, 20.0, 400.0, x), 0, 0.9),
    ("yield of char", lambda x: calibrate.dry_mass_from_char(1.0, 200.0, x), 1e-9, 0.5),
    ("earth of a burned heap", lambda x: from_char.packing_from_char(0.1, 20.0, 400.0, x), 0, 0.9),
    ("share that was burned", lambda x: from_char.packing_from_char(0.001, 20.0, 400.0, 0.0, x), 0.001, 1),
    ("pieces to prove", lambda x: dryness.more_to_prove([15.0, 16.0, 15.5], 20.0, x), 0, 1),
    ("wood share", lambda x: packing.wood_volume(10.0, x, 0.0), 1e-9, 0.9),
    ("earth", lambda x: packing.wood_volume(10.0, 0.2, x), 0, 0.9),
    ("char stock", lambda x: packing.sorted_shares(x), 0, 1),
    ("wet basis", moisture.dry_basis, 0, moisture.WETTEST_WET_BASIS),
    ("dry basis", moisture.wet_basis, 0, moisture.WETTEST_DRY_BASIS),
    ("rotten", lambda x: wood.with_rotten(400.0, x, 250.0), 0, 1),
)
ABOVE_ZERO: tuple[tuple[str, Formula], ...] = (
    ("bore", lambda x: friction.velocity_m_s(100.0, x)),
    ("nozzle", nozzle.bore_factor),
    ("area of a pond", lambda x: storage.pond_l(x, 2.0)),
    ("loaded speed", lambda x: shuttle.cycle_min(100.0, x)),
    ("empty speed", lambda x: shuttle.cycle_min(100.0, 1.0, x)),
    ("capacity", lambda x: shuttle.load_l(x)),
    ("round trip", lambda x: shuttle.haul_flow_l_min(100.0, x)),
    ("pressure of a tap", lambda x: supply.tap(x)),
    ("heat of a flame", lambda x: heat.mccaffrey_rise_k(x, 5.0)),
    ("height over a flame", lambda x: heat.mccaffrey_rise_k(100.0, x)),
    ("radiant limit", lambda x: heat.radiant_distance_m(100.0, x)),
    ("density of char", lambda x: burning.feed_per_batch(1.0, x, 0.2)),
    ("density of wood", lambda x: wood.with_rotten(x, 0.1, 250.0)),
)


@pytest.mark.parametrize(
    ("formula", "least", "most"), [each[1:] for each in DOMAINS], ids=[each[0] for each in DOMAINS]
)
def test_law_a_formula_takes_its_ends_and_nothing_beyond(formula: Formula, least: float, most: float) -> None:
    hair = 1e-9 if least < 1e-5 else 1e-3
    beyond = [least - hair * max(1.0, abs(least)), float("nan"), inf, -inf]
    for end in (least, most):
        if end < inf:
            formula(float(end))
    for wrong in (*beyond, *((most * (1 + 1e-6) + 1e-9,) if most < inf else ())):
        with pytest.raises(BadValue, match=r"must|goes|meet|below|above|more"):
            formula(float(wrong))


@pytest.mark.parametrize("formula", [each[1] for each in ABOVE_ZERO], ids=[each[0] for each in ABOVE_ZERO])
def test_law_what_cannot_be_nothing_is_refused_at_nothing(formula: Formula) -> None:
    formula(1e-3)
    for wrong in (0.0, -1e-3, float("nan"), inf):
        with pytest.raises(BadValue, match="must be above 0"):
            formula(wrong)


def test_law_wood_holds_no_more_water_than_it_has_room_for() -> None:
    """Wet basis w and dry basis d are one water: d = w / (1 − w) (any textbook of wood; M)."""
    wet = moisture.WETTEST_WET_BASIS
    assert pytest.approx(wet / (1 - wet)) == moisture.WETTEST_DRY_BASIS
