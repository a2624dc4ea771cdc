"""Kiln spots on drawn sites with distances one can read off: who decides, and why."""

import math
import re

import pytest
import shapely
from geographiclib.geodesic import Geodesic

from sitemap.safety.of_site import Around, SpotFacts, safety_of, zones
from sitemap.safety.reading import rules_of
from sitemap.safety.rules import default_rules
from sitemap.telling import sentence
from tests.safety.drawn import AGREED, LOOKED, PLANE, SIGNED, feature, heap_m3, machine, record
from tests.safety.drawn import asked as answer_of

GOOD = {"ground": "mineral_soil", "branches_overhead": "none", "slope_pct": 3.0, "position_error_m": 0.5}
TAPE = {"position_error_m": 0.5}
THIN = {**TAPE, "width_m": 0.1}  # one wire
SPOT = feature("k1", "kiln_spot", shapely.Point(0, 0), name="K1", **GOOD)
EAST = shapely.LineString([(50, -100), (50, 100)])


def assessed(*features, spots=(SPOT,), rules=None, looked=LOOKED, asked=(AGREED,), radius_m=1.0, **more):
    kilns = tuple(
        SpotFacts(spot, radius_m, heat_kw=more.get("heat_kw"), slope_pct=more.get("slope_pct")) for spot in spots
    )
    around = Around(
        features, rules or default_rules(), PLANE, looked, asked, more.get("machines", ()), heap_m3=heap_m3(*features)
    )
    return safety_of(kilns, around, more.get("beyond_m", 30.0))


def only(safety, feature_id):
    (found,) = [setback for setback in safety.spots[0].setbacks if setback.feature == feature_id]
    return found


def test_law_an_honest_site_leaves_conditional() -> None:
    safety = assessed(heat_kw=900.0)
    assert safety.spots[0].effect == "passes"
    assert safety.unknowns == ()


@pytest.mark.parametrize("missing", ["looked", "asked", "ground"])
def test_law_whatever_is_missing_keeps_it_conditional(missing) -> None:
    spot = SPOT.with_values(ground=None) if missing == "ground" else SPOT
    changes = {"looked": {"looked": ()}, "asked": {"asked": ()}, "ground": {"spots": (spot,)}}[missing]
    assert assessed(**changes).spots[0].effect == "conditional"


#   K1 at 0, radius 1      house 61…71 east      edge to edge 61 − 1 = 60 m, rule 90 m
def test_law_others_house_sixty_metres_off_is_too_close() -> None:
    house = feature("h", "structure", shapely.box(61, -5, 71, 5), name="House", use="occupied_by_others", **TAPE)
    found = only(assessed(house), "h")
    assert found.distance_m == pytest.approx(60.0, abs=1e-3)
    assert found.margin_m == pytest.approx(-30.0, abs=1e-3)
    assert (found.required_m, found.error_m, found.verdict, found.effect) == (90.0, 1.0, "too close", "ruled out")
    assert sentence(found.reason) == "House: 60 m away, rule 90 m."
    (x0, y0), (x1, y1) = found.line
    assert (x0, x1) == (pytest.approx(1.0, abs=1e-3), pytest.approx(61.0, abs=1e-3))
    assert math.hypot(x1 - x0, y1 - y0) == pytest.approx(60.0, abs=1e-3)


@pytest.mark.parametrize(
    ("use", "east_m", "error_m", "verdict"),
    [
        ("own", 15.9, 0.5, "too close"),
        ("own", 16.5, 0.5, "measure on the ground"),
        ("own", 17.1, 0.5, "far enough"),
        ("own", 17.1, None, "measure on the ground"),  # 5.5 m of error
        (None, 60.0, 0.5, "too close"),  # blank is taken as lived in by others
        ("unoccupied", 60.0, 0.5, "far enough"),
    ],
)
def test_law_margin_against_errors(use, east_m, error_m, verdict) -> None:
    house = feature("h", "structure", shapely.box(east_m, -2, 200, 2), use=use, position_error_m=error_m)
    assert only(assessed(house), "h").verdict == verdict


def test_agrees_with_the_geodesic() -> None:
    """A tree 40 m from the spot on the ellipsoid (geographiclib): the plane finds it within a centimetre."""
    lon, lat = PLANE.lonlat(0.0, 0.0)
    there = Geodesic.WGS84.Direct(lat, lon, 37.0, 40.0)
    place = {"type": "Point", "coordinates": [there["lon2"], there["lat2"]]}
    tree = feature("s", "hazard_tree", None).with_geometry(place)
    assert only(assessed(tree), "s").distance_m == pytest.approx(39.0, abs=0.01)


def about_line(**changes):
    asked = {"whom": "line_owner", "name": "Grid Co", "date": "2026-11-18", "answer": "yes", "about": "l"}
    return (answer_of(**{**asked, **changes}),)


@pytest.mark.parametrize(
    ("east_m", "asked", "verdict", "effect"),
    [
        (50, (), "far enough", "passes"),
        (20, (), "power line not agreed", "ruled out"),
        (20, about_line(), "agreed, inside the distance", "conditional"),
        (0.5, about_line(), "too close", "ruled out"),  # beneath: no agreement helps
        (31.5, (), "measure on the ground", "conditional"),
        (20, about_line(date=None), "power line not agreed", "ruled out"),
        (20, about_line(whom="neighbour"), "power line not agreed", "ruled out"),
        (20, about_line(about="another"), "power line not agreed", "ruled out"),
        (20, about_line(about=None), "agreed, inside the distance", "conditional"),  # it is the only line
        (20, about_line(answer="no"), "refused by the owner", "ruled out"),
    ],
)
def test_law_overhead_power_line(east_m, asked, verdict, effect) -> None:
    line = feature("l", "power_line", shapely.LineString([(east_m, -200), (east_m, 200)]), name="Line", **THIN)
    found = only(assessed(line, asked=(AGREED, *asked)), "l")
    assert (found.verdict, found.effect) == (verdict, effect)


def test_law_an_answer_about_no_line_helps_none_of_two() -> None:
    lines = [
        feature(id, "power_line", shapely.LineString([(east_m, -200), (east_m, 200)]), **TAPE)
        for id, east_m in (("l", 20), ("m", -20))  # noqa: A001
    ]
    found = assessed(*lines, asked=(AGREED, *about_line(about=None)))
    assert {only(found, id).verdict for id in "lm"} == {"power line not agreed"}  # noqa: A001


def test_law_no_row_eases_an_overhead_line_below_thirty_metres() -> None:
    line = feature("l", "power_line", shapely.LineString([(20, -200), (20, 200)]), **TAPE)
    for row in ({"distance_m": 5.0}, {}, {"use": "buried", "distance_m": 1.0}):
        rules = rules_of((record("rules", kind="power_line", **row),))
        found = only(assessed(line, rules=rules), "l")
        assert (found.required_m, found.verdict) == (30.0, "power line not agreed")


def test_law_a_long_machine_widens_the_line() -> None:
    line = feature("l", "power_line", shapely.LineString([(38, -200), (38, 200)]), **TAPE)
    found = only(assessed(line, machines=(machine(reach_m=25.0),)), "l")
    assert found.required_m == pytest.approx(25.0 + 15.24)
    assert found.verdict == "power line not agreed"


#   one wire 49.95 m east; 6 m of arm and 3.05 m to a line of 11 kV (OSHA 1926.1408, table A); both places by tape, 1 m
def test_law_a_machine_stand_near_a_line_rules_its_spot_out() -> None:
    line = feature("l", "power_line", EAST, name="Line", voltage_kv=11, **THIN)

    # 7.95 m off, where the arm alone would not come near; 9.75 m; 10.25 m
    for east_m, said in (42, ["power line not agreed"]), (40.2, ["measure on the ground"]), (39.7, []):
        stand = feature("m", "machine_stand", shapely.Point(east_m, 0), name="Stand", **TAPE)
        checks = assessed(line, stand, machines=(machine(reach_m=6.0),)).spots[0].checks
        assert [check.verdict for check in checks if check.check == "machine_stand"] == said


@pytest.mark.parametrize(
    ("values", "required"),
    [
        ({"length_m": 2.0, "width_m": 2.0, "height_m": 1.0}, 8.0),
        ({"length_m": 2.0, "width_m": 2.0, "height_m": 1.0, "staged_feed": True}, 8.0),  # how long it feeds: not known
        ({"length_m": 8.0, "width_m": 6.0, "height_m": 3.5}, 15.0),
    ],
)
def test_law_heaps_are_fuel_even_those_the_kiln_burns(values, required) -> None:
    heap = feature("p", "pile", shapely.Point(30, 0), **values)
    spot = SPOT.with_values(serves=["p"])
    assert only(assessed(heap, spots=(spot,)), "p").required_m == required


def test_law_a_burned_heap_is_no_fuel() -> None:
    heap = feature("p", "pile", shapely.Point(3, 0), length_m=2.0, width_m=2.0, height_m=1.0, status="burned")
    safety = assessed(heap)
    assert safety.spots[0].setbacks == ()
    assert safety.spots[0].effect == "passes"


#   K1 at 0, K2 at 7.9: radii 1 and 1, edge to edge 5.9 m, rule 6 m
def test_law_two_kilns_keep_six_metres() -> None:
    second = feature("k2", "kiln_spot", shapely.Point(7.9, 0), name="K2", **GOOD)
    safety = assessed(spots=(SPOT, second))
    found = only(safety, "k2")
    assert found.distance_m == pytest.approx(5.9, abs=0.005)
    assert found.verdict == "too close"
    assert [spot.effect for spot in safety.spots] == ["ruled out", "ruled out"]


def test_law_inside_a_no_go_area() -> None:
    inside = feature("n", "no_go", shapely.box(-5, -5, 5, 5), name="Bog")
    found = only(assessed(inside), "n")
    assert (found.distance_m, found.verdict) == (0.0, "too close")
    assert sentence(found.reason) == "Bog: the kiln stands on or in it. Move the kiln."


@pytest.mark.parametrize(
    ("answers", "row_m", "verdict"),
    [
        ([], None, "no distance entered"),
        ([], 20, "owner not asked"),  # a distance nobody agreed to
        ([{}], None, "no distance entered"),  # a yes without a distance
        ([{}], 20, "far enough"),
        ([{}], 60, "too close"),
        ([{"distance_m": 20}], None, "far enough"),
        ([{"distance_m": 60}], 20, "too close"),  # the larger counts
        ([{"none_needed": True}], None, "far enough"),
        ([{"answer": "conditions"}], 20, "conditions open"),
        ([{"answer": "conditions", "conditions_met": True}], 20, "conditions open"),  # nobody signed the tick
        ([{"answer": "conditions", "conditions_met": True, **SIGNED}], 20, "far enough"),
        ([{"answer": "no"}], 20, "refused by the owner"),
        ([{"whom": "neighbour"}], 20, "owner not asked"),  # somebody else's yes
        ([{"about": "other"}], 20, "owner not asked"),  # a yes about something else
    ],
)
def test_law_a_kind_that_asks_passes_on_its_own_owners_yes_with_a_distance(answers, row_m, verdict) -> None:
    rails = feature("r", "railway", EAST, name="Rails", **TAPE)
    base = {"whom": "line_owner", "name": "Rail Co", "date": "2026-11-18", "answer": "yes", "about": "r"}
    given_ = tuple(answer_of(**{**base, **each}) for each in answers)
    rows = () if row_m is None else (record("rules", kind="railway", distance_m=row_m),)
    assert only(assessed(rails, rules=rules_of(rows), asked=(AGREED, *given_)), "r").verdict == verdict


def test_law_standing_on_a_buried_line_is_too_close_whoever_agreed() -> None:
    pipe = feature("b", "buried_line", shapely.LineString([(0, -9), (0, 9)]))
    answer = answer_of(whom="line_owner", name="Pipe Co", date="2026-11-18", answer="yes", about="b")
    assert only(assessed(pipe, asked=(AGREED, answer)), "b").verdict == "too close"


def test_law_a_use_without_a_row_says_no_distance_entered() -> None:
    rules = rules_of((record("rules", kind="structure", use="own", distance_m=10.0),))
    house = feature("h", "structure", shapely.Point(400, 0), use="occupied_by_others")
    found = only(assessed(house, rules=rules), "h")
    assert (found.verdict, found.effect) == ("no distance entered", "conditional")


def test_law_of_two_rows_the_more_cautious_governs() -> None:
    rows = (
        record("rules", id="a", kind="stream", distance_m=10),
        record("rules", id="b", kind="stream", distance_m=60),
    )
    found = only(assessed(feature("s", "stream", EAST, **TAPE), rules=rules_of(rows)), "s")
    assert (found.rule, found.required_m, found.verdict) == ("b", 60.0, "too close")


def test_law_hazard_tree_reaches_its_own_height() -> None:
    tree = feature("t", "hazard_tree", shapely.Point(20, 0), height_m=22.0, **TAPE)
    assert only(assessed(tree), "t").required_m == 22.0
    assert only(assessed(tree), "t").verdict == "too close"


def test_law_a_feature_without_a_place_is_not_known() -> None:
    lost = feature("h", "structure", None, name="Barn", use="own")
    safety = assessed(lost)
    assert (only(safety, "h").verdict, safety.spots[0].effect) == ("not known", "conditional")
    assert any(note.about == "h" for note in safety.unknowns)


def test_law_a_spot_without_a_place_is_not_known() -> None:
    safety = assessed(spots=(feature("k1", "kiln_spot", None, name="K1", **GOOD),))
    assert safety.spots[0].setbacks == ()
    assert safety.spots[0].effect == "conditional"


def test_law_listed_are_near_ones_and_the_nearest_of_each_kind() -> None:
    stores = [feature(f"s{east}", "fuel_store", shapely.Point(east, 0), **TAPE) for east in (30, 300, 400)]
    safety = assessed(*stores, feature("w", "wetland", shapely.box(900, 0, 950, 50)))
    listed = {setback.feature for setback in safety.spots[0].setbacks}
    assert listed == {"s30", "w"}


def test_law_all_are_listed_where_all_are_asked_for() -> None:
    far = [feature(f"t{n}", "pile", shapely.Point(100 * n, 0), length_m=2, width_m=2, height_m=1) for n in (1, 2, 3)]
    assert [s.feature for s in assessed(*far).spots[0].setbacks] == ["t1"]
    assert [s.feature for s in assessed(*far, beyond_m=math.inf).spots[0].setbacks] == ["t1", "t2", "t3"]


def test_law_what_was_assumed_is_said() -> None:
    spot = feature("k1", "kiln_spot", shapely.Point(0, 0), name="K1", ground="mineral_soil")
    safety = safety_of((SpotFacts(spot),), Around((), default_rules(), PLANE))
    assert {note.what for note in safety.assumed} == {"kiln_radius_m", "position_error_m"}
    assert {"branches", "slope", "not_looked", "heat_kw"} <= {note.what for note in safety.unknowns} | {"not_looked"}


def test_law_floors_hold_without_a_heat_and_heat_only_adds() -> None:
    cold, hot = assessed().spots[0], assessed(heat_kw=6000.0).spots[0]
    assert (cold.flame_height_m, cold.rest_m, cold.visitors_m) == (1.5, 3.0, 8.0)
    assert min(hot.flame_height_m - 1.5, hot.rest_m - 3.0, hot.visitors_m - 8.0) > 0
    assert hot.patrol_m > cold.patrol_m
    assert "No distance here is safe from embers" in sentence(cold.embers)


@pytest.mark.parametrize(
    ("typed", "raster", "verdict"),
    [
        (None, 30.0, "steep"),
        (3.0, 30.0, "steep"),  # the worse decides
        (30.0, 3.0, "steep"),
        (3.0, 9.0, "two figures disagree"),
        (3.0, 4.0, "gentle"),
        (3.0, math.nan, "gentle"),
    ],
)
def test_law_of_two_slopes_the_worse_decides_and_a_gap_is_said(typed, raster, verdict) -> None:
    found = assessed(spots=(SPOT.with_values(slope_pct=typed),), slope_pct=raster).spots[0]
    assert [check.verdict for check in found.checks if check.check == "slope"] == [verdict]


@pytest.mark.parametrize(
    ("kind", "east_m", "verdict"),
    [
        ("parking", 8.5, "too near a kiln"),
        ("parking", 9.5, "measure on the ground"),  # places good to 1 m
        ("parking", 10.5, None),
        ("lookout", 3.5, "too near a kiln"),
        ("lookout", 5.5, None),
        ("char_pad", 3.5, "too near a kiln"),
        ("smoke_place", 0.5, "too close"),
        ("smoke_place", 1.5, "measure on the ground"),  # places good to 1 m
        ("smoke_place", 5.0, None),
    ],
)
def test_law_people_and_char_keep_the_printed_floors(kind, east_m, verdict) -> None:
    """The kiln's rim is 1 m from its middle; floors 8 m for visitors, 3 m for crew and char (FIELD 17, ours)."""
    found = assessed(feature("x", kind, shapely.box(east_m, -1, east_m + 2, 1), name="X", **TAPE)).spots[0]
    assert [c.verdict for c in found.checks if c.check == "crew_place"] == ([verdict] if verdict else [])


def test_law_a_char_pad_lies_on_dry_ground_away_from_heaps() -> None:
    pad = feature("pad", "char_pad", shapely.box(50, 0, 54, 4), name="Pad")
    heap = feature("p", "pile", shapely.Point(57, 2), length_m=2.0, width_m=2.0, height_m=1.0)
    wet = feature("w", "wetland", shapely.box(53, 0, 80, 20))
    for beside, barred in ((heap, True), (wet, True), (heap.with_geometry(None), False)):
        checks = assessed(pad, beside).spots[0].checks
        assert any(c.verdict == "char pad in the wrong place" for c in checks) is barred


def test_law_a_woods_edge_drawn_as_a_line_asks_for_its_side() -> None:
    edge = feature("t", "standing_timber", EAST, name="Edge", **TAPE)
    assert only(assessed(edge), "t").verdict == "which side is not known"


@pytest.mark.parametrize(
    ("row", "told"),
    [
        ({"kind": "structure", "distance_m": 1}, "your distance 1 m, usual 90 m"),
        ({"kind": "structure", "use": "own", "distance_m": 1}, "your distance 1 m, usual 15 m"),
        ({"kind": "railway", "distance_m": 0}, "is nought meant?"),
        ({"kind": "stream", "distance_m": 10}, None),
        ({"kind": "structure", "distance_m": 46, "evidence": "P"}, "your distance 46 m, usual 90 m"),  # seen where?
        ({"kind": "structure", "distance_m": 46, "standing": "P", "source": "Fire code 307"}, None),  # once so called
        ({"kind": "no_go", "distance_m": 0}, None),
    ],
)
def test_law_an_own_distance_below_the_usual_is_said(row, told) -> None:
    checks = [c for c in assessed(rules=rules_of((record("rules", **row),))).spots[0].checks if c.check == "rule"]
    assert [c.effect for c in checks] == ([] if told is None else ["conditional"])
    assert told is None or told in checks[0].told()


def test_law_sentences_in_the_units_of_the_site() -> None:
    house = feature("h", "structure", shapely.box(61, -2, 65, 2), name="House", use="own", **TAPE)
    told = sentence(only(assessed(house), "h").reason, "us")
    assert told == "House: 196 ft away, far enough by the rule entered (50 ft)."  # of 196.85 and 49.21: there down


def test_law_notes_and_conditions_are_in_the_units_of_the_site_too() -> None:
    """House rule. 1.5 m is 4.9 ft, 3 m at least 10 ft, 5 m 16 ft, 9 m 30 ft (foot 0.3048 m, NIST SP 811, S)."""
    blank = SPOT.with_values(position_error_m=None)
    heap = feature("p", "pile", shapely.Point(300, 0), name="P1", packing="machine_heap", height_m=9.0)
    reach = {"machines": (machine(name="20 t digger"),), "radius_m": None, "spots": (blank,)}
    said = {}
    for system in ("metric", "us"):
        safety = assessed(heap, **reach)
        spot = safety.spots[0]
        texts = [note.told(system) for note in (*safety.assumed, *safety.unknowns)]
        texts += [check.told(system) for check in spot.checks]
        texts += [sentence(setback.reason, system) for setback in spot.setbacks]
        said[system] = " ".join(texts)
        assert all(not text[0].islower() and text.endswith(".") for text in texts)
    assert "Kiln K1: size not known, taken as 1.5 m round its middle." in said["metric"]
    assert "Kiln K1: size not known, taken as 4.9 ft round its middle." in said["us"]
    assert "bare ring of 10 ft" in said["us"]
    assert "20 t digger: reach not entered, taken as 33 ft." in said["us"]
    assert "± 16 ft in the open" in said["us"]
    assert not re.search(r"\d (m|cm|m³|L)\b", said["us"])


def test_law_sentences_never_promise() -> None:
    house = feature("h", "structure", shapely.Point(400, 0), name="House", use="own")
    safety = assessed(house)
    told = [c.told() for c in safety.spots[0].checks] + [sentence(s.reason) for s in safety.spots[0].setbacks]
    words = " ".join(told).lower()
    assert "all clear" not in words
    assert "safe" not in words
    assert "local code" in safety.caution


def test_law_zones_are_what_the_spots_are_judged_by() -> None:
    features = (
        feature("h", "structure", shapely.Point(61, 0), use="own"),
        feature("l", "power_line", EAST),
        feature("r", "railway", EAST),
        feature("n", "no_go", shapely.box(-5, -5, 5, 5)),
        feature("x", "structure", None),
    )
    found = {zone.feature: zone.distance_m for zone in zones(Around(features, default_rules(), PLANE))}
    assert found == {"h": 15.0, "l": 30.0, "n": 0.0}
