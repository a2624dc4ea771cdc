"""Relays: a second pump in the line and a tank on the way, against EPANET 2.2 (run through wntr, a general-purpose
network library), by law, and what is refused.

The hose is narrow, where the project's friction is Hazen–Williams (10.667, 4.871) as in EPANET; fittings, entrance 0.5
and gate valve 0.2 (EPANET 2.2 manual, P), are spread along it.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from sitemap.hydraulics import nozzle, pump
from sitemap.hydraulics.friction import KPA_PER_M
from sitemap.hydraulics.profile import pressure_along
from sitemap.hydraulics.steady_flow import NO_RELAY, HoseLine, HoseRun, steady_flow_l_min
from sitemap.hydraulics.supply import Supply
from sitemap.site.model import Feature, Site
from sitemap.telling import sentence, tell
from sitemap.water.equipment import rig_of
from sitemap.water.hose_line import lift_of, solve
from sitemap.water.pressure_source import NoLineError
from sitemap.water.reading import kit_of, source_of
from sitemap.water.values import Lay
from tests.water.test_of_site import lay, need
from tests.water.test_of_site import water as water_found

TOLERANCE = 1e-3
L_MIN = 60_000.0  # [L/min per m³/s]
BORE_MM, SMOOTH = 25.4, 140.0
FITTINGS = 0.7
FIRST = ((0.0, 60.0), (60.0, 50.0), (150.0, 0.0))
SECOND = ((0.0, 45.0), (80.0, 30.0), (130.0, 0.0))
#  height above the water [m] at a distance along the lay [m]; hose in pieces of 10 m lies on it without play (below)
PROFILE = ((0.0, 0.0), (40.0, 6.0), (100.0, 22.0), (150.0, 17.0), (200.0, 41.0))
WAY_M = 200.0
LAID_M = 220.0  # with a tenth of slack, in pieces of 10 m
KIT = {
    "pumps": [
        {"id": "p1", "name": "first", "curve": FIRST},
        {"id": "p2", "name": "second", "curve": SECOND},
        {"id": "p3", "name": "no plate"},
    ],
    "hoses": [{"id": "h", "name": "hose", "bore_mm": BORE_MM, "lengths_m": [10] * 30}],
    "nozzles": [{"id": "n", "name": "tip", "bore_mm": 6}],
    "tanks": [{"id": "t", "name": "farm tank", "volume_l": 1000}],
}
POND = {
    "kind": "water_source",
    "name": "pond",
    "source": "pond",
    "volume_l": 60_000,
    "usable_on_date": True,
    "permission": "yes",
    "pump": "p1",
    "suction_lift_m": 1.0,
    "nozzle": "n",
}
PUMPED = POND | {"relay": "pump", "relay_pump": "p2", "relay_after_m": 100}
TANKED = POND | {"relay": "tank", "relay_pump": "p2", "relay_tank": "t", "relay_after_m": 100}
LAY = lay(length=WAY_M, lift_m=41.0, profile=PROFILE)


def found(pond, way=LAY, kit=KIT):
    """The solved line of a source."""
    site = Site().with_member("equipment", kit)
    return solve(rig_of(source_of(Feature.of("w", None, pond)), kit_of(site)), way, lift_of(way, None))


def said(pond, way=LAY, kit=KIT, litres=600.0, **given):
    """The quench line of one kiln by that source."""
    return water_found([need(litres=litres)], [way], pond, kit, **given).spots[0].quench


def epanet(parts, outlet_factor, folder, level_m=0.0):
    """Flow [L/min] and pressure [kPa] at every node of pumps and hoses in a row, from open water to an open end.

    parts : ("pump", curve) or ("hose", length [m], height of its end [m])
    """
    import wntr  # dear to load: only where it is asked

    network = wntr.network.WaterNetworkModel()
    network.options.hydraulic.headloss = "H-W"
    network.options.hydraulic.inpfile_units = "LPS"
    network.options.hydraulic.accuracy = 1e-8
    network.options.hydraulic.trials = 500
    network.options.time.duration = 0
    network.add_reservoir("water", base_head=level_m)
    start, height = "water", level_m
    laid_m = sum(part[1] for part in parts if part[0] == "hose")
    for number, part in enumerate(parts):
        end = f"after{number}"
        height = part[2] if part[0] == "hose" else height
        network.add_junction(end, base_demand=0.0, elevation=height)
        if part[0] == "hose":
            network.add_pipe(end, start, end, part[1], BORE_MM / 1000, SMOOTH, FITTINGS * part[1] / laid_m)
        else:
            network.add_curve(f"curve{number}", "HEAD", [(flow / L_MIN, head) for flow, head in part[1]])
            network.add_pump(end, start, end, pump_type="HEAD", pump_parameter=f"curve{number}")
        start = end
    network.get_node(start).emitter_coefficient = outlet_factor * KPA_PER_M**0.5 / L_MIN
    results = wntr.sim.EpanetSimulator(network).run_sim(file_prefix=str(folder / "relay"))
    pressures = results.node["pressure"].iloc[0]
    flow = results.link["flowrate"].iloc[0][start] * L_MIN
    return flow, [pressures[f"after{number}"] * KPA_PER_M for number in range(len(parts))]


def hoses_between(*ends_m):
    """Hose from the water to each distance in turn, cut also where the profile bends."""
    stretch, start = LAID_M / WAY_M, 0.0
    for end in ends_m:
        stops = sorted({at for at, _ in PROFILE if start < at < end} | {end})
        for stop in stops:
            yield "hose", (stop - start) * stretch, float(np.interp(stop, *zip(*PROFILE, strict=True)))
            start = stop


@pytest.mark.parametrize("after_m", [40.0, 100.0, 130.0, 180.0])
def test_agrees_with_epanet_on_two_pumps_in_series(after_m, tmp_path):
    """EPANET 2.2 (D): flow, pressure before and behind the second pump and at the nozzle, 1e-3."""
    solved = found(PUMPED | {"relay_after_m": after_m})
    before, behind = list(hoses_between(after_m)), list(hoses_between(after_m, WAY_M))
    behind = behind[len(before) :]
    parts = [("pump", FIRST), *before, ("pump", SECOND), *behind]
    flow, pressures = epanet(parts, nozzle.bore_factor(6.0), tmp_path)
    assert solved.flow_l_min[0] == pytest.approx(flow, rel=TOLERANCE)
    pressure, at = solved.along.pressure_kpa, solved.along.distance_m
    both = np.flatnonzero(np.isclose(at, after_m * LAID_M / WAY_M))
    assert both.size == 2
    here = len(before)
    assert pressure[both] == pytest.approx(pressures[here : here + 2], rel=TOLERANCE, abs=0.3)
    assert solved.along.intake_kpa == pressure[both[0]]
    assert pressure[-1] == pytest.approx(pressures[-1], rel=2 * TOLERANCE)
    assert pressure[0] == pytest.approx(pressures[0], rel=TOLERANCE)
    assert pressures[here - 1] > 0


def test_agrees_with_epanet_where_the_hose_before_the_second_pump_collapses(tmp_path):
    """EPANET 2.2 (D), which knows no collapse, shows the pressure below the air's; ours is refused."""
    before = list(hoses_between(190.0))
    parts = [("pump", FIRST), *before, ("pump", SECOND), ("hose", 11.0, 41.0)]
    _, pressures = epanet(parts, nozzle.bore_factor(6.0), tmp_path)
    with pytest.raises(NoLineError, match="23 kPa below the air's: the hose there collapses") as caught:
        found(PUMPED | {"relay_after_m": 190})
    assert pressures[len(before)] == pytest.approx(-23, abs=0.5)
    assert caught.value.word == "short"


@pytest.mark.parametrize(
    ("pond", "tank_m", "profile"),
    [
        (TANKED, 22.0, PROFILE),
        ({key: value for key, value in TANKED.items() if key != "relay_pump"}, 22.0, (*PROFILE[:3], (200.0, 2.0))),
    ],
    ids=["pump", "own fall"],
)
def test_agrees_with_epanet_on_a_tank_as_two_networks(pond, tank_m, profile, tmp_path):
    """EPANET 2.2 (D): what runs into the tank through the open hose and what runs out of it, 1e-3; the less comes."""
    end_m = profile[-1][1]
    solved = found(pond, lay(length=WAY_M, lift_m=end_m, profile=profile))
    half_m = LAID_M / 2
    stops = list(hoses_between(100.0))
    runs_in, _ = epanet([("pump", FIRST), *stops], nozzle.open_end_factor(BORE_MM), tmp_path)
    driver = [("pump", SECOND)] if "relay_pump" in pond else []
    runs_out, _ = epanet([*driver, ("hose", half_m, end_m)], nozzle.bore_factor(6.0), tmp_path, tank_m)
    flows = [float(stretch.flow_l_min[0]) for stretch in solved.stretches]
    assert flows == pytest.approx([runs_in, runs_out], rel=TOLERANCE)
    assert solved.flow_l_min[0] == pytest.approx(min(runs_in, runs_out), rel=TOLERANCE)
    assert solved.hose_m == pytest.approx(LAID_M)


def test_law_a_full_tank_makes_up_the_difference_for_its_litres():
    """What is stored runs down by the difference of both flows: V = (out − in) · t, and out · t comes meanwhile."""
    over = lay(length=WAY_M, lift_m=10.0, profile=((0.0, 0.0), (150.0, 40.0), (200.0, 10.0)))
    solved = found(TANKED | {"relay_after_m": 150}, over)
    runs_in, runs_out = (float(stretch.flow_l_min[0]) for stretch in solved.stretches)
    assert runs_out > runs_in
    minutes = 1000 / (runs_out - runs_in)
    litres = float(tell(solved.told).split("start, ")[1].split(" L")[0].replace(",", ""))
    assert litres == pytest.approx(runs_out * minutes, rel=0.05)
    unknown = {key: value for key, value in TANKED.items() if key != "relay_tank"} | {"relay_after_m": 150}
    assert tell(found(unknown, over).told).endswith("while it lasts; how much it holds is not known")


heads = st.floats(5.0, 120.0)
lengths = st.floats(10.0, 400.0)
lifts = st.floats(-20.0, 60.0)


@given(heads, lengths, lifts, st.floats(0.0, 1.0))
def test_law_a_relay_without_head_changes_nothing(head, length, lift, place):
    driver, hoses, factor = pump.plate_pump(head, 400.0), [HoseRun(25.4, length)], nozzle.bore_factor(7.0)
    alone = steady_flow_l_min(HoseLine(driver, hoses, factor), lift)
    helped = steady_flow_l_min(HoseLine(driver, hoses, factor, relay=Supply(0.0), relay_share=0.9), lift)
    np.testing.assert_array_equal(alone, helped)
    if np.isfinite(alone):
        profile = ((0.0, 0.0), (length, lift))
        one, other = (
            pressure_along(HoseLine(driver, hoses, 1.0, relay=relay), float(alone), profile, relay_at_m=at)
            for relay, at in ((NO_RELAY, np.inf), (Supply(0.0), place * length))
        )
        assert other.lowest_kpa == pytest.approx(min(one.lowest_kpa, other.intake_kpa))
        np.testing.assert_allclose(
            np.interp(one.distance_m, other.distance_m, other.pressure_kpa), one.pressure_kpa, atol=1e-6
        )


@given(heads, heads, lengths, lifts)
def test_law_a_second_pump_never_lowers_the_flow(head, second, length, lift):
    """As long as it can pass that flow: beyond its greatest flow it would be a plug, and the flow is held there."""
    driver, hoses, factor = pump.plate_pump(head, 300.0), [HoseRun(25.4, length)], nozzle.bore_factor(7.0)
    alone = float(steady_flow_l_min(HoseLine(driver, hoses, factor), lift))
    helped = float(steady_flow_l_min(HoseLine(driver, hoses, factor, relay=pump.plate_pump(second, 300.0)), lift))
    small = float(steady_flow_l_min(HoseLine(driver, hoses, factor, relay=pump.plate_pump(second, 20.0)), lift))
    if np.isfinite(alone):
        assert helped >= alone * (1 - 1e-9)
    assert not small > 20.0


def test_law_the_flow_does_not_ask_where_the_second_pump_stands():
    flows = [found(PUMPED | {"relay_after_m": at}).flow_l_min for at in (30.0, 100.0, 170.0)]
    np.testing.assert_array_equal(flows[0], flows[1])
    np.testing.assert_array_equal(flows[0], flows[2])


def test_law_a_second_pump_carries_where_one_alone_does_not():
    alone, helped = said(POND, litres=1500.0), said(PUMPED, litres=1500.0)
    assert alone.verdict == "short"
    assert helped.verdict == "enough on paper"
    assert helped.flow_l_min.likely > alone.flow_l_min.likely
    assert "are left where second takes over" in tell(helped.reason)
    assert helped.picture.pressure_kpa[-1] == pytest.approx(helped.nozzle_kpa, rel=1e-3)
    left = np.array(helped.picture.supply_m) - np.array(helped.picture.system_m)
    crossing = np.interp(0.0, -left, helped.picture.curve_l_min)
    assert crossing == pytest.approx(helped.flow_l_min.likely, rel=0.01)


def test_law_no_pressure_before_the_second_pump_is_a_fault():
    """House rule: the hose before it would collapse. With little left it is tight and says so."""
    high = said(PUMPED | {"relay_after_m": 195})
    assert (high.verdict, high.flow_l_min, high.fails_first) == ("short", None, "pressure")
    assert "collapses" in tell(high.reason)
    assert "−" not in tell(high.reason)  # so much below the air's, and no minus beside "below"
    close = said(PUMPED | {"relay_after_m": 180})
    assert close.verdict == "tight"
    assert "35 kPa are left where second takes over" in tell(close.reason)
    assert "with less than 70 kPa before it a second pump may draw its hose flat" in tell(close.reason)
    assert said(PUMPED | {"relay_after_m": 170}).verdict == "enough on paper"


def test_law_each_hose_is_held_to_its_own_rating():
    """A soft hose before the second pump holds; behind it the same hose may burst."""
    soft = {"id": "s", "name": "soft", "bore_mm": BORE_MM, "lengths_m": [10] * 11, "rated_kpa": 620}
    strong = {"id": "h", "name": "hose", "bore_mm": BORE_MM, "lengths_m": [10] * 11, "rated_kpa": 2000}
    kit = KIT | {"hoses": [soft, strong]}
    relayed = PUMPED | {"relay_after_m": 100}
    first = found(relayed | {"hose": [{"hose": "s"}, {"hose": "h"}]}, kit=kit)
    assert first.along.running[1] == 620
    assert first.along.running[0] < 620
    assert first.along.running[0] == pytest.approx(first.along.pressure_kpa[0])
    steep = lay(length=WAY_M, lift_m=10.0, profile=((0.0, 0.0), (200.0, 10.0)))
    last = said(
        relayed | {"hose": [{"hose": "h"}, {"hose": "s"}], "nozzle": "n"},
        steep,
        kit
        | {
            "pumps": [
                KIT["pumps"][0],
                {"id": "p2", "name": "second", "curve": ((0.0, 90.0), (80.0, 80.0), (130.0, 0.0))},
            ]
        },
    )
    assert last.verdict == "short"
    assert "rated for 620 kPa" in tell(last.reason)


def test_law_without_a_profile_a_relay_is_tight_at_best():
    bare = lay(length=WAY_M, lift_m=41.0)
    assert said(PUMPED, bare).verdict == "tight"
    assert "straight line" in tell(said(PUMPED, bare).reason)
    by_hand = found(PUMPED, lay(length=WAY_M, lift_m=41.0, profile=((0.0, 0.0), (WAY_M, 41.0))))
    assert found(PUMPED, bare).along.intake_kpa == pytest.approx(by_hand.along.intake_kpa)


def test_law_a_tank_counts_the_smaller_flow_and_says_both():
    line = said(TANKED)
    solved = found(TANKED)
    assert line.flow_l_min.likely == pytest.approx(min(float(part.flow_l_min[0]) for part in solved.stretches))
    assert "run into farm tank" in tell(line.reason)
    assert any(note.what == "relay_tank" for note in solved.rig.assumed)
    picture = line.picture
    assert max(picture.distance_m) == pytest.approx(LAID_M)
    assert picture.height_m[-1] == pytest.approx(41.0)


def test_law_advice_proposes_a_spare_pump_half_way_and_it_does_what_it_says():
    """Only a pump listed that stands nowhere yet; typed in as advised the verdict is the one promised."""
    dry = [need(litres=1500.0)]
    advice = water_found(dry, [LAY], POND, KIT).spots[0].advice
    told = next(one for one in advice if one.what == "second_pump")
    assert tell(told.text) == "Put second into the line half way, 100 m from pond."
    assert (told.before, told.after) == ("short", said(PUMPED, litres=1500.0).verdict)
    other = Feature.of("other", None, POND | {"name": "other", "pump": "p2"})
    taken = water_found(dry, [LAY], POND, KIT, more=[other]).spots[0].advice
    assert not [one for one in taken if one.what == "second_pump"]
    unlike = [KIT["pumps"][0], KIT["pumps"][1] | {"coupling_mm": 50}]
    hose = [KIT["hoses"][0] | {"coupling_mm": 25}]
    apart = water_found(dry, [LAY], POND, KIT | {"pumps": unlike, "hoses": hose}).spots[0].advice
    assert not [one for one in apart if one.what == "second_pump"]


REFUSED = {
    "beyond the end": ({"relay_after_m": 300}, "ends after 200 m"),
    "at the end": ({"relay_after_m": 200}, "ends after 200 m"),
    "nowhere": ({"relay_after_m": None}, "ow far along the lay the relay of pond stands"),
    "unnamed pump": ({"relay_pump": None}, "he relay pump of pond is not named"),
    "unlisted pump": ({"relay_pump": "p9"}, "p9 named at pond is not in the list"),
    "the same pump twice": ({"relay_pump": "p1"}, "cannot stand at the water and be the relay pump"),
    "no plate": ({"relay_pump": "p3"}, "read both off the plate"),
    "unlisted tank": ({"relay": "tank", "relay_tank": "t9"}, "t9 named at pond is not in the list"),
}


@pytest.mark.parametrize("case", REFUSED)
def test_refuses_a_relay_that_cannot_be_reckoned(case):
    changed, words = REFUSED[case]
    line = said({key: value for key, value in (PUMPED | changed).items() if value is not None})
    assert (line.verdict, line.flow_l_min, line.picture) == ("not known", None, None)
    assert words in tell(line.reason)


def test_refuses_what_no_pump_drives():
    """A tank below the kiln without a pump gives nothing; a pump that cannot lift to the tank neither."""
    fall = {key: value for key, value in TANKED.items() if key != "relay_pump"}
    line = said(fall)
    assert (line.verdict, line.flow_l_min) == ("short", None)
    assert "the kiln stands 19 m above the relay tank" in tell(line.reason)
    high = lay(length=WAY_M, lift_m=70.0, profile=((0.0, 0.0), (100.0, 65.0), (200.0, 70.0)))
    for pond in (TANKED, PUMPED):
        line = said(pond, high)
        assert (line.verdict, line.flow_l_min) == ("short", None)
        assert "nothing arrives" in tell(line.reason)
    few = KIT | {"hoses": [KIT["hoses"][0] | {"lengths_m": [10] * 15}]}
    assert "from the relay tank to the kiln" in tell(said(TANKED, kit=few).reason)


@pytest.mark.parametrize("after_m", [1e-6, 199.999])
@pytest.mark.parametrize("pond", [PUMPED, TANKED])
def test_law_a_relay_at_either_end_is_reckoned_or_refused(pond, after_m):
    line = said(pond | {"relay_after_m": after_m})
    assert line.verdict in ("short", "tight", "enough on paper")
    assert line.verdict == "short" or line.flow_l_min.likely > 0
    assert said(POND, lay(length=0.0, lift_m=0.0)).verdict == "enough on paper"


def test_law_a_relay_of_no_kind_is_left_out_and_said():
    pond = POND | {"relay_pump": "p2", "relay_after_m": 100}
    assert said(pond).flow_l_min.likely == said(POND).flow_l_min.likely
    assert any(note.what == "relay" for note in water_found([need()], [LAY], pond, KIT).assumed)


@pytest.mark.parametrize("pond", [PUMPED, TANKED, PUMPED | {"relay_after_m": 195}, PUMPED | {"relay_after_m": 300}])
def test_law_sentences_of_relays_follow_the_units(pond):
    told = sentence(said(pond).reason, "us")
    assert not any(f" {unit}" in told for unit in ("m ", "L/min", "kPa", "L "))
    assert told.endswith(".")


def test_law_a_lift_nobody_typed_is_the_height_at_the_end_of_the_way() -> None:
    """The kiln stands at the last point of the profile, neither at the first nor at the top of the way."""
    way = Lay("w", "k", "hose", 60.0, profile=((0.0, 0.0), (30.0, 9.0), (60.0, 4.0)))
    assert (lift_of(way, None).metres, lift_of(way, None).known) == (4.0, True)
    assert not lift_of(replace(way, profile=None), None).known
