"""Whole systems against EPANET 2.2, run through wntr (a general-purpose network library).

One network per system: water at 0 m, pump at 0 m, nozzle as an emitter in the 29.7 form, Hazen–Williams, no velocity
head. The project's balance with the same friction rule must give the same flow and pressure to 1e-3.
"""

from __future__ import annotations

import numpy as np
import pytest

from sitemap.hydraulics import nozzle, pump, supply
from sitemap.hydraulics.friction import KPA_PER_M
from sitemap.hydraulics.profile import pressure_along
from sitemap.hydraulics.steady_flow import HoseLine, HoseRun, head_margin_m, steady_flow_l_min

TOLERANCE = 1e-3
L_MIN = 60_000.0  # [L/min per m³/s]
# EPANET keeps pressure as metres of water; the project turns metres into kPa with 9.789

PUMP_A = ((0.0, 32.0), (300.0, 24.0), (600.0, 0.0))
PUMP_B = ((0.0, 120.0), (150.0, 95.0), (300.0, 40.0))
PUMP_TABLE = ((0.0, 60.0), (60.0, 58.0), (120.0, 52.0), (240.0, 36.0), (400.0, 0.0))
SUCTION = (5.0, 50.8, 120.0)

# name: (supply, runs of (length, bore, C), heights of the joints after each run, nozzle bore)
SYSTEMS = {
    "pump A, one hose": (("curve", PUMP_A), [SUCTION, (60.0, 38.1, 140.0)], [0.0, 8.0], 12.7),
    "pump B, long and high": (("curve", PUMP_B), [SUCTION, (200.0, 38.1, 140.0)], [0.0, 40.0], 9.525),
    "pump A, mixed bores": (("curve", PUMP_A), [SUCTION, (60.0, 50.8, 140.0), (40.0, 25.4, 135.0)], [0, 4, 6], 8.0),
    "pump B, three bores": (
        ("curve", PUMP_B),
        [SUCTION, (100.0, 63.5, 140.0), (80.0, 38.1, 140.0), (30.0, 25.4, 140.0)],
        [0, 10, 30, 25],
        7.0,
    ),
    "pump by table": (("curve", PUMP_TABLE), [SUCTION, (90.0, 38.1, 140.0)], [0.0, 12.0], 11.0),
    "pump by rated point": (("rated", (30.0, 200.0)), [SUCTION, (75.0, 38.1, 130.0)], [0.0, 15.0], 10.0),
    "pump over a hump": (("curve", PUMP_B), [SUCTION, (60.0, 38.1, 140.0), (90.0, 38.1, 140.0)], [0, 55, 10], 10.0),
    "pump downhill": (("curve", PUMP_A), [SUCTION, (120.0, 25.4, 140.0)], [0.0, -20.0], 9.0),
    "tap on garden hose": (("tap", 30.0), [(30.0, 19.0, 140.0)], [2.0], 6.0),
    "tap, two bores uphill": (("tap", 42.0), [(45.0, 25.4, 140.0), (20.0, 15.9, 140.0)], [10.0, 18.0], 5.0),
    "gravity": (("gravity", 0.0), [(150.0, 38.1, 140.0)], [-25.0], 12.0),
    "gravity, mixed bores": (("gravity", 0.0), [(80.0, 50.8, 140.0), (60.0, 25.4, 130.0)], [-10.0, -30.0], 8.0),
    "gravity over a hump below the water": (
        ("gravity", 0.0),
        [(40.0, 38.1, 140.0), (100.0, 38.1, 140.0)],
        [-1.0, -18.0],
        9.0,
    ),
}


def our_supply(kind, figures):
    if kind == "curve":
        return pump.curve_pump(figures)
    if kind == "rated":
        return pump.rated_pump(*figures)
    return supply.tap(figures * KPA_PER_M, 1e6) if kind == "tap" else supply.gravity()


def epanet(kind, figures, runs, heights, nozzle_mm, folder):
    """Flow [L/min] and heads above each joint [m] of the same system in EPANET."""
    import wntr  # dear to load: only where it is asked

    network = wntr.network.WaterNetworkModel()
    network.options.hydraulic.headloss = "H-W"
    network.options.hydraulic.inpfile_units = "LPS"
    network.options.hydraulic.accuracy = 1e-8
    network.options.hydraulic.trials = 500
    network.options.time.duration = 0
    network.add_reservoir("water", base_head=figures if kind == "tap" else 0.0)
    start, pumped = "water", kind in ("curve", "rated")
    for number, ((length, bore, roughness), height) in enumerate(zip(runs, heights, strict=True)):
        end = f"joint{number}"
        network.add_junction(end, base_demand=0.0, elevation=float(height))
        network.add_pipe(f"hose{number}", start, end, length, bore / 1000, roughness)
        start = end
        if pumped and number == 0:
            network.add_junction("after", base_demand=0.0, elevation=float(height))
            points = [(figures[1], figures[0])] if kind == "rated" else figures
            network.add_curve("plate", "HEAD", [(flow / L_MIN, head) for flow, head in points])
            network.add_pump("pump", start, "after", pump_type="HEAD", pump_parameter="plate")
            start = "after"
    # emitter: Q [m³/s] = coefficient · √(head in m)
    factor = nozzle.bore_factor(nozzle_mm)
    network.get_node(start).emitter_coefficient = factor * KPA_PER_M**0.5 / L_MIN
    found = wntr.sim.EpanetSimulator(network).run_sim(file_prefix=str(folder / "line"))
    heads = found.node["pressure"].iloc[0]
    return found.link["flowrate"].iloc[0]["hose0"] * L_MIN, heads


@pytest.mark.parametrize("name", SYSTEMS)
def test_agrees_with_epanet_on_flow_and_nozzle_pressure(name, tmp_path):
    """EPANET 2.2 through wntr (D), 1e-3 with the constants 10.667 and 4.871."""
    (kind, figures), runs, heights, nozzle_mm = SYSTEMS[name]
    flow, heads = epanet(kind, figures, runs, heights, nozzle_mm, tmp_path)
    hoses = [HoseRun(bore, length, roughness, rule="hazen_williams") for length, bore, roughness in runs]
    factor = nozzle.bore_factor(nozzle_mm)
    ours = float(steady_flow_l_min(HoseLine(our_supply(kind, figures), hoses, factor), heights[-1]))
    assert ours == pytest.approx(flow, rel=TOLERANCE)
    at_nozzle = heads[f"joint{len(runs) - 1}"] * KPA_PER_M
    assert nozzle.outlet_pressure_kpa(factor, ours) == pytest.approx(at_nozzle, rel=2 * TOLERANCE)


@pytest.mark.parametrize("name", ["pump B, three bores", "pump over a hump", "gravity over a hump below the water"])
def test_agrees_with_epanet_on_pressure_at_the_joints(name, tmp_path):
    """Pressure along the lay at the high points, EPANET junctions standing there (D)."""
    (kind, figures), runs, heights, nozzle_mm = SYSTEMS[name]
    _, heads = epanet(kind, figures, runs, heights, nozzle_mm, tmp_path)
    hoses = [HoseRun(bore, length, roughness, rule="hazen_williams") for length, bore, roughness in runs]
    driver = our_supply(kind, figures)
    flow = float(steady_flow_l_min(HoseLine(driver, hoses, nozzle.bore_factor(nozzle_mm)), heights[-1]))
    ends = np.cumsum([length for length, _, _ in runs])
    profile = ((0.0, 0.0), *((float(at), float(height)) for at, height in zip(ends, heights, strict=True)))
    along = pressure_along(HoseLine(driver, hoses, 1.0), flow, profile)
    first = 1 if kind == "curve" else 0  # the suction side is not part of what is pushed
    for number in range(first, len(runs)):
        at = int(np.argmin(np.abs(along.distance_m - ends[number])))
        assert along.pressure_kpa[at] == pytest.approx(heads[f"joint{number}"] * KPA_PER_M, rel=2e-3, abs=0.2)


def test_agrees_with_epanet_that_nothing_comes_above_shut_off(tmp_path):
    """Shut-off: the nozzle 5 m above the head at no flow. EPANET closes the pump; ours has no number."""
    runs, heights = [SUCTION, (60.0, 38.1, 140.0)], [0.0, 37.0]
    flow, _ = epanet("curve", PUMP_A, runs, heights, 12.7, tmp_path)
    assert flow == pytest.approx(0.0, abs=1e-2)
    hoses = [HoseRun(bore, length, roughness, rule="hazen_williams") for length, bore, roughness in runs]
    assert np.isnan(steady_flow_l_min(HoseLine(pump.curve_pump(PUMP_A), hoses, nozzle.bore_factor(12.7)), 37.0))


@pytest.mark.parametrize(
    ("name", "flow", "kpa"), [("pump A, one hose", 132.27, 152.7), ("pump B, long and high", 122.90, 416.6)]
)
def test_agrees_with_reference_systems(name, flow, kpa):
    """Two systems of the project's sources (D, EPANET 2.2), tolerance 1e-3."""
    (kind, figures), runs, heights, nozzle_mm = SYSTEMS[name]
    hoses = [HoseRun(bore, length, roughness, rule="hazen_williams") for length, bore, roughness in runs]
    factor = nozzle.bore_factor(nozzle_mm)
    ours = float(steady_flow_l_min(HoseLine(our_supply(kind, figures), hoses, factor), heights[-1]))
    assert ours == pytest.approx(flow, rel=TOLERANCE)
    assert nozzle.outlet_pressure_kpa(factor, ours) == pytest.approx(kpa, rel=TOLERANCE)


def test_law_a_flow_arrives_exactly_where_its_margin_is_not_negative():
    """Threshold at a fixed flow and root of the balance are one thing (10 × 10 lengths and lifts)."""
    driver, factor = pump.plate_pump(50.0, 400.0), nozzle.bore_factor(11.0)
    length, lift = np.meshgrid(np.linspace(20, 300, 10), np.linspace(-5, 44, 10))
    hoses = [HoseRun(38.1, length)]
    flow = steady_flow_l_min(HoseLine(driver, hoses, factor), lift)
    for wanted in (20.0, 60.0, 110.0):
        arrives = head_margin_m(HoseLine(driver, hoses, factor), wanted, lift) >= 0
        assert (arrives == (np.nan_to_num(flow, nan=0.0) >= wanted)).all()
