"""The water room on small invented sites: verdicts, gates, budgets, reach and advice."""

from __future__ import annotations

import dataclasses
import datetime as dt
import re

import numpy as np
import pytest

from sitemap.ranges import Drawn, draw
from sitemap.site.model import Feature, Site
from sitemap.telling import sentence, tell
from sitemap.water import reach
from sitemap.water.advice import LENGTHS
from sitemap.water.equipment import rig_of
from sitemap.water.of_site import Given, water_of
from sitemap.water.reading import kit_of, links_of, source_of
from sitemap.water.records import Kit
from sitemap.water.shuttle import filling_cap_l_min, machine_trips
from sitemap.water.values import Lay, Need

DAY = dt.date(2026, 11, 25)
EQUIPMENT = {
    "pumps": [{"id": "p", "name": "small pump", "max_head_m": 60, "max_flow_l_min": 400, "worn": "worn"}],
    "hoses": [{"id": "h", "name": "38 mm", "bore_mm": 38.1, "lengths_m": [20] * 10, "rated_kpa": 1500}],
    "nozzles": [{"id": "n", "name": "tip", "bore_mm": 8}],
    "machines": [{"id": "m", "name": "digger", "bucket_l": 152}],
}
POND = {
    "kind": "water_source",
    "name": "pond",
    "source": "pond",
    "volume_l": 60_000,
    "usable_on_date": True,
    "permission": "yes",
    "pump": "p",
    "suction_lift_m": 1.5,
    "hose": [{"hose": "h"}],
    "nozzle": "n",
}
FILLED = {"bucket_pump": ["p"], "bucket_hose": ["h"], "bucket_tip": "n"}


def need(spot="k1", litres=600.0, **changes):
    quench = Drawn(draw(litres, litres * 0.9, litres * 1.2, about=spot, quantity="quench"))
    hold = Drawn(draw(4.0, 3.0, 5.0, about=spot, quantity="hold"))
    return Need(spot, f"kiln {spot}", quench, hold, **changes)


def lay(way="hose", length=100.0, spot="k1", source="w", **changes):
    figures = {"lift_m": 10.0, "lift_error_m": 1.0, "steepest_pct": 8.0} | changes
    return Lay(source, spot, way, length, **figures)


def water(needs=None, lays=None, pond=POND, equipment=EQUIPMENT, links=(), more=(), on=DAY, crew=None, system="metric"):
    site = Site().with_member("equipment", equipment).with_member("links", list(links)).with_member("crew", crew)
    sources = (Feature.of("w", None, pond), *more)
    lays = [lay()] if lays is None else lays
    sources = tuple(source_of(source) for source in sources)
    needs, lengths = tuple(needs or [need()]), LENGTHS[system]
    return water_of(Given(needs, sources, kit_of(site), links_of(site), tuple(lays), on, lengths=lengths))


def quench(**given):
    return water(**given).spots[0].quench


def test_law_a_fair_line_is_enough_on_paper_and_a_bucket_proves_it():
    """House rule: the model alone never proves; a 20 L bucket filled in 15 s does."""
    on_paper = quench()
    assert (on_paper.verdict, on_paper.effect) == ("enough on paper", "conditional")
    assert on_paper.flow_l_min.low < on_paper.flow_l_min.likely
    assert on_paper.hose_m == 120.0
    assert on_paper.flip_m > 1.0
    bucket = {"source": "w", "spot": "k1", "lift_m": 10, "lift_error_m": 1, "bucket_test": [20, 15]} | FILLED
    proved = quench(links=[bucket])
    assert (proved.verdict, proved.effect) == ("enough, proved", "passes")
    assert proved.flow_l_min.triple() == pytest.approx((80, 80, 80))
    slow = quench(links=[bucket | {"bucket_test": [20, 300]}])
    assert (slow.verdict, slow.effect) == ("short", "ruled out")


def test_law_bucket_gives_a_number_to_a_pump_without_a_plate_and_proves_no_more():
    """House rule: pump curve blank is "not proved"; with the bucket test there is a number all the same. What the hose
    must bear and what the pump can draw a bucket does not tell; too little is too little."""
    kit = EQUIPMENT | {"pumps": [{"id": "p", "name": "old pump"}]}
    blank = quench(equipment=kit)
    assert (blank.verdict, blank.flow_l_min) == ("not known", None)
    assert "plate" in tell(blank.reason)
    bucket = {"source": "w", "spot": "k1", "bucket_litres": 20, "bucket_seconds": 15} | FILLED
    alone = quench(equipment=kit, links=[bucket])
    assert (alone.verdict, alone.flow_l_min.likely) == ("not known", 80.0)
    assert "plate" in tell(alone.reason)
    assert quench(equipment=kit, links=[bucket | {"bucket_seconds": 300}]).verdict == "short"


def test_law_fast_bucket_does_not_prove_the_throw():
    """On paper some 86 L/min pass the 8 mm tip; a bucket that fills a third faster was filled without it."""
    bucket = {"source": "w", "spot": "k1", "lift_m": 10, "bucket_litres": 20, "bucket_seconds": 10.5} | FILLED
    attack = water(links=[bucket]).spots[0].attack
    assert attack.effect == "conditional"
    assert "was it on" in tell(attack.reason)


def test_law_lift_near_the_limit_is_tight_and_says_by_how_much():
    """House rule: a verdict that flips inside the lift's ± is tight."""
    fair = quench()
    close = quench(lays=[lay(lift_m=10 + fair.flip_m - 0.5, lift_error_m=2.0)])
    assert close.verdict == "tight"
    assert "higher than entered" in tell(close.reason)
    assert close.flip_m == pytest.approx(0.5, abs=0.01)
    below = quench(lays=[lay(lift_m=10 + fair.flip_m + 0.5, lift_error_m=2.0)])
    assert below.verdict == "tight"
    assert "lower than entered" in tell(below.reason)


def test_law_unknown_lift_is_tight_at_best_and_typed_lift_wins():
    """House rule: elevation blank means hose tight at best; a lift typed for the pair wins over elevations."""
    unknown = water(lays=[lay(lift_m=None, lift_error_m=None)])
    assert unknown.spots[0].quench.verdict == "tight"
    assert unknown.spots[0].quench.lift_m is None
    assert any(note.what == "lift" and note.about == "k1" for note in unknown.unknowns)
    typed = quench(links=[{"source": "w", "spot": "k1", "lift_m": 12, "lift_error_m": 1.5}], lays=[lay()])
    assert (typed.lift_m, typed.verdict) == (12.0, "enough on paper")


def test_law_best_over_ways_and_sources():
    """House rule: one empty tank beside a good pond rules nothing out; quench and attack line stand apart."""
    tank = Feature.of("t", None, POND | {"name": "tank", "source": "tank", "volume_l": 0})
    found = water(lays=[lay(source="t"), lay(), lay("haul")], more=[tank]).spots[0]
    assert found.quench.source == "w"
    assert {line.verdict for line in found.entries if line.source == "t"} == {"short"}
    assert {(line.way, line.line) for line in found.entries if line.source == "w"} == {
        ("hose", "quench"),
        ("hose", "attack"),
        ("haul", "quench"),
    }


def test_law_attack_alone_never_rules_out():
    """House rule. An open hose end quenches and does not throw."""
    kit = EQUIPMENT | {"nozzles": [{"id": "n", "name": "open", "open_end": True}]}
    found = water(equipment=kit).spots[0]
    assert found.quench.verdict == "enough on paper"
    assert (found.attack.verdict, found.attack.effect) == ("short", "conditional")


def test_law_slow_water_is_short_whatever_the_volume():
    """House rule: below the holding flow the char may never go out."""
    thirsty = dataclasses.replace(need(), hold_l_min=Drawn.exact(30.0))
    haul = water([thirsty], [lay("haul", 100.0)]).spots[0].quench
    assert haul.verdict == "short"
    assert "never go out" in tell(haul.reason)
    assert haul.minutes_to_quench is None


def test_agrees_with_house_haul_figures_at_a_kiln():
    """House figures (D): a 152 L struck bucket brings 608 L/h over 100 m."""
    haul = quench(lays=[lay("haul", 100.0)])
    assert haul.flow_l_min.likely * 60 == pytest.approx(608, abs=0.5)
    assert "610 L/h" in tell(haul.reason)


def test_law_slope_stops_a_loaded_machine_and_the_manual_wins():
    steep = [lay("haul", 30.0, steepest_pct=32.0)]
    stopped = quench(lays=steep, needs=[need(litres=100.0)])
    assert (stopped.verdict, stopped.fails_first, stopped.flow_l_min) == ("short", "slope", None)
    manual = EQUIPMENT | {"machines": [EQUIPMENT["machines"][0] | {"max_slope_pct": 40}]}
    allowed = quench(lays=steep, needs=[need(litres=100.0)], equipment=manual)
    assert allowed.verdict == "tight"


def test_law_hand_carry_is_a_way():
    carried = quench(lays=[lay("hand", 20.0)], needs=[need(litres=300.0)], crew={"carriers": 6})
    assert carried.verdict == "enough on paper"
    assert "6 people with 2 buckets" in tell(carried.reason)
    assert quench(lays=[lay("hand", 20.0)]).verdict == "not known"


def test_law_sources_are_budgeted_in_the_order_of_the_quench():
    """House rule: the tank does for one kiln; the later one is short, whichever is listed first."""
    tank = POND | {"source": "tank", "volume_l": 1100, "name": "tank"}
    noon = dt.datetime(2026, 11, 25, 12, 0, tzinfo=dt.UTC)
    late, early = need("k1", water_on=noon + dt.timedelta(hours=2)), need("k2", water_on=noon)
    found = water([late, early], [lay(), lay(spot="k2")], pond=tank)
    assert found.of_spot("k2").quench.verdict == "enough on paper"
    assert found.of_spot("k1").quench.verdict == "short"
    budget = found.sources[0]
    assert budget.litres_there == 1100
    assert noon < budget.last_finish < noon + dt.timedelta(hours=1)


def test_law_one_pump_quenches_one_kiln_at_a_time():
    """Common practice, no source: a kiln that would wait for the pump past the limits (water on within 30 min, done
    within 60) is tight; one that waits a little is not. The slow bucket makes the first quench take about 40 min."""
    begins = dt.datetime(2026, 11, 25, 14, 0, tzinfo=dt.UTC)
    bucket = {"source": "w", "lift_m": 10, "lift_error_m": 1, "bucket_litres": 20, "bucket_seconds": 60} | FILLED
    links = [bucket | {"spot": spot} for spot in ("k1", "k2")]
    lays = [lay(spot="k1"), lay(spot="k2")]

    def second(minutes: float):
        later = begins + dt.timedelta(minutes=minutes)
        needs = [need("k1", water_on=begins), need("k2", water_on=later)]
        return water(needs=needs, lays=lays, links=links).spots[1].quench

    assert second(0).verdict == "tight"
    assert "kiln k1" in tell(second(0).reason).lower()
    assert second(30).verdict == "tight"  # 41 min, and 15 to lay the hose anew
    assert second(60).verdict == "enough, proved"


def test_law_reserve_stands_apart():
    """House rule: escape water of its own. 1,000 L do for the quench and leave too little for 400 L of reserve."""
    tank = POND | {"source": "tank", "volume_l": 1000, "name": "tank"}
    found = water(pond=tank).spots[0]
    assert found.quench.verdict == "enough on paper"
    assert found.attack.verdict == "short"
    assert "reserve" in tell(found.attack.reason)


def test_law_unknown_volume_permission_or_day_is_never_enough():
    unknown = {key: value for key, value in POND.items() if key not in ("volume_l", "permission", "usable_on_date")}
    found = water(pond=unknown)
    assert found.spots[0].quench.verdict == "tight"
    assert {"water_volume", "usable_on_date", "water_permission"} <= {note.what for note in found.unknowns}
    assert found.sources[0].verdict == "not known"
    bucket = {"source": "w", "spot": "k1", "bucket_litres": 20, "bucket_seconds": 15} | FILLED
    asked = quench(pond=POND | {"permission": "asked"}, links=[bucket])
    assert asked.verdict == "enough on paper"


def test_law_nothing_entered_is_not_known():
    """House rule: null, never a small number."""
    found = water_of(Given((need(),), (), Kit(), (), (), DAY)).spots[0]
    assert (found.quench.verdict, found.attack.verdict, found.quench.flow_l_min) == ("not known", "not known", None)
    silent = dataclasses.replace(need(), quench_l=None)
    assert quench(needs=[silent]).verdict == "not known"


def refusals():
    rising = EQUIPMENT | {"pumps": [{"id": "p", "name": "pump", "curve": [[0, 30], [100, 40]]}]}
    boreless = EQUIPMENT | {"hoses": [{"id": "h", "name": "red hose", "lengths_m": [20] * 10}]}
    wide = EQUIPMENT | {"nozzles": [{"id": "n", "name": "tip", "bore_mm": 50}]}
    weak = EQUIPMENT | {"pumps": [{"id": "p", "name": "pump", "max_head_m": 8, "max_flow_l_min": 400}]}
    soft = EQUIPMENT | {"hoses": [EQUIPMENT["hoses"][0] | {"rated_kpa": 200}]}
    hump = {"profile": ((0.0, 0.0), (50.0, 70.0), (100.0, 10.0))}
    yield {"equipment": rising}, "not known", "must fall"
    yield {"equipment": boreless}, "not known", "bore of red hose"
    yield {"equipment": wide}, "not known", "larger than the hose"
    yield {"equipment": weak}, "short", "nothing arrives"
    yield {"equipment": soft}, "short", "may burst"
    yield {"pond": POND | {"suction_lift_m": 8}}, "short", "at most"
    yield {"pond": POND | {"usable_to": "2026-10-31"}}, "short", "cannot be used on Wed 25 Nov 2026"
    yield {"pond": POND | {"permission": "no"}}, "short", "refused"
    yield {"pond": POND | {"volume_l": 0}}, "short", "no water"
    yield {"lays": [lay(profile=((5.0, 0.0), (100.0, 10.0)))]}, "not known", "start at its water source"
    yield {"lays": [lay(length=None, barred=True, reason="a railway bars the way")]}, "short", "railway"
    yield {"lays": [lay(length=400.0)]}, "short", "does not cover"
    yield {"lays": [lay(**hump)]}, "short", "rises to 70 m"
    yield {"pond": POND | {"pump": "lost"}}, "not known", "lost"


@pytest.mark.parametrize(("given", "word", "says"), list(refusals()))
def test_refuses_with_a_sentence_and_without_a_number(given, word, says):
    line = quench(**given)
    assert line.verdict == word
    assert says in tell(line.reason)
    if says != "may burst":
        assert line.flow_l_min is None
        assert line.minutes_to_quench is None


def test_law_suction_above_four_and_a_half_metres_is_tight():
    """House rule: a practical suction above 4.5 m is tight."""
    assert quench(pond=POND | {"suction_lift_m": 5}).verdict == "tight"


def test_law_unlike_couplings_are_named():
    kit = EQUIPMENT | {
        "pumps": [EQUIPMENT["pumps"][0] | {"coupling_mm": 50}],
        "hoses": [EQUIPMENT["hoses"][0] | {"coupling_mm": 38}],
    }
    line = quench(equipment=kit)
    assert line.verdict == "tight"
    assert "small pump (50 mm) does not couple to 38 mm (38 mm)" in tell(line.reason)


def test_law_a_tap_gives_its_fifteen_litres_and_gravity_only_downhill():
    """House rule: blank tap 15 L/min, assumed and said; without a pump water runs downhill only."""
    tap = {"kind": "water_source", "source": "tap", "name": "tap", "usable_on_date": True, "permission": "yes"}
    found = water([need(litres=300.0)], [lay(lift_m=0.0)], pond=tap | {"hose": [{"hose": "h"}], "nozzle": "n"})
    assert found.spots[0].quench.flow_l_min.likely == pytest.approx(15.0)
    assert {"tap_pressure", "yield"} <= {note.what for note in found.assumed}
    bare = EQUIPMENT | {"pumps": []}
    pond = {key: value for key, value in POND.items() if key != "pump"}
    assert quench(pond=pond, equipment=bare).verdict == "short"
    assert quench(pond=pond, equipment=bare, lays=[lay(lift_m=-25.0)]).verdict == "enough on paper"


def test_law_area_and_spot_agree():
    """House rule: the threshold over arrays and the verdict of one spot flip at the same place."""
    one = need()
    litres, hold = one.quench_l.likely, one.hold_l_min.likely
    site = Site().with_member("equipment", EQUIPMENT)
    source = source_of(Feature.of("w", None, POND))
    rig = rig_of(source, kit_of(site))
    routes, lifts = np.meshgrid([10.0, 55.0, 100.0, 150.0, 185.0], [-10.0, 10.0, 30.0, 38.0, 43.0, 50.0])
    quench_m = reach.quench_margin_m(rig, litres, hold, routes, lifts)
    attack_m = reach.attack_margin_m(rig, routes, lifts)
    trip = machine_trips(kit_of(site))[0]
    for index in np.ndindex(routes.shape):
        exact = lay(length=float(routes[index]), lift_m=float(lifts[index]), lift_error_m=0.0)
        spot = water([one], [exact]).spots[0]
        assert (spot.quench.verdict == "short") == (not quench_m[index] >= 0)
        assert (spot.attack.verdict == "short") == (not attack_m[index] >= 0)
        if spot.quench.flip_m is not None:
            assert spot.quench.flip_m == pytest.approx(quench_m[index])
    for metres in (10.0, 40.0, 100.0, 400.0):
        word = water([one], [lay("haul", metres)]).spots[0].quench.verdict
        left = reach.haul_margin_min(trip, litres, hold, metres, filling_cap_l_min(source))
        assert (word == "short") == (not left >= 0)
    assert reach.haul_margin_min(trip, litres, hold, np.inf, np.inf) == -np.inf


def test_law_advice_really_turns_the_verdict():
    """Each change is solved again: laid out by hand here, the bigger hose turns the verdict as promised."""
    narrow = EQUIPMENT | {"hoses": [{"id": "h", "name": "19 mm", "bore_mm": 19.0, "lengths_m": [20] * 10}]}
    far = [lay(length=160.0, lift_m=20.0)]
    big = [need(litres=2000.0)]
    found = water(big, far, equipment=narrow).spots[0]
    assert found.quench.verdict == "short"
    told = {(advice.what, advice.line): advice for advice in found.advice}
    assert told["stand_by_water", "quench"].after == "enough on paper"
    bigger = told["bigger_hose", "quench"]
    assert bigger.before == "short"
    wide = {"id": "b", "name": "25 mm", "bore_mm": 25.4, "lengths_m": [20] * 10}
    pond = POND | {
        "hose": [{"hose": "b", "length_m": 180 if "all the way" in tell(bigger.text) else 60}, {"hose": "h"}]
    }
    again = quench(needs=big, lays=far, equipment=narrow | {"hoses": [*narrow["hoses"], wide]}, pond=pond)
    assert again.verdict == bigger.after
    assert not [advice for advice in water().spots[0].advice if advice.line == "quench"]


def test_law_picture_crosses_where_the_line_runs():
    line = quench()
    picture = line.picture
    left = np.array(picture.supply_m) - np.array(picture.system_m)
    crossing = np.interp(0.0, -left, picture.curve_l_min)
    assert crossing == pytest.approx(picture.flow_l_min, rel=0.01)
    assert picture.pressure_kpa[-1] == pytest.approx(line.nozzle_kpa, rel=1e-3)
    assert picture.rated_kpa == 1500


def test_law_rooms_say_the_same_twice():
    first, second = water(), water()
    assert first.spots[0].quench.flow_l_min.triple() == second.spots[0].quench.flow_l_min.triple()
    assert first.assumed == second.assumed


METRIC = re.compile(r"\d (m|cm|mm|L|L/min|L/h|kPa|kg/m³|m³|°C)\b")


def sentences(found, system="metric"):
    for spot in found.spots:
        yield from (sentence(line.reason, system) for line in (*spot.entries, spot.quench, spot.attack))
        yield from (sentence(advice.text, system) for advice in spot.advice)
    yield from (sentence(budget.reason, system) for budget in found.sources)
    yield from (note.told(system) for note in (*found.assumed, *found.unknowns))


@pytest.mark.parametrize("given", [{}, {"needs": [need(litres=5000.0)]}, *(case[0] for case in refusals())])
def test_law_sentences_follow_the_units_of_the_site(given):
    """House rule. Figures stay metric; a US site reads no metric unit, a metric site no US one."""
    ways = [lay(), lay("haul", 100.0, steepest_pct=20.0), lay("hand", 50.0), lay(lift_m=None), lay(source="t")]
    tap = Feature.of("t", None, {"kind": "water_source", "source": "tap", "name": "Tap"})
    given = {"crew": {"carriers": 1, "buckets_each": 1}, "lays": ways, "more": [tap]} | given
    metric, us = water(**given), water(system="us", **given)
    for text in sentences(us, "us"):
        assert not METRIC.search(text.replace("38 mm", "the hose")), text
    for text in sentences(metric):
        assert not re.search(r"\d (ft|in|psi|US gal)\b", text), text
    for text in (*sentences(us, "us"), *sentences(metric)):
        assert text[0].isupper() or not text[0].isalpha()
        assert text.endswith(".")
        assert not re.search(r"(?<!kiln )\bspot\b|\bsafe\b", text), text
    assert [line.verdict for line in us.spots[0].entries] == [line.verdict for line in metric.spots[0].entries]
    assert [line.nozzle_kpa for line in us.spots[0].entries] == [line.nozzle_kpa for line in metric.spots[0].entries]


def test_law_the_same_change_is_said_once_with_the_better_result():
    """One more length of hose turns both lines, standing by the water both ways: each is one sentence."""
    short = EQUIPMENT | {"hoses": [EQUIPMENT["hoses"][0] | {"lengths_m": [20] * 5}]}
    found = water(lays=[lay(length=100.0), lay("haul", 300.0)], equipment=short).spots[0]
    texts = [tell(advice.text) for advice in found.advice]
    assert len(texts) == len(set(texts))
    assert "Bring 1 more length of hose, 20 m, for the line from pond." in texts
    assert "Stand kiln k1 by pond before lighting, 15 m from it." in texts
