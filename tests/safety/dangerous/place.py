# ruff: noqa: E501 - a set-up is one line, to be read down the table
"""Where a kiln stands: facts seen elsewhere, the ground, and everything it must keep clear of."""

from __future__ import annotations

from tests.safety.dangerous.rows import NOT_HERE, NOT_YET, row
from tests.safety.dangerous.safe_values import SEEN, area, line, lonlat, point, square

SEEN_ELSEWHERE = (
    row("kiln moved 310 m", lambda s: s.move("k1", 0, -310), NOT_YET, "310 m away"),
    row("kiln moved 3 m", lambda s: s.move("k1", 0, 3), NOT_YET, "3 m away"),
    row("moved 8 m, its place not well known", lambda s: s.move("k1", 0, 8).put("k1", position_error_m=50), NOT_YET, "8 m away"),
    row("pond drawn where it was not seen", lambda s: s.draw("pond", square(0, -72, 60)).move("tank", 0, 12), NOT_YET, "12 m away"),
    row("tank moved", lambda s: s.move("tank", 4, 0), NOT_YET, "4 m away"),
    row("seen where longitude and latitude change places", lambda s: s.seen("k1", at=lonlat(0, 0)[::-1]), NOT_YET, "where it was seen"),
    row("seen at no place", lambda s: s.seen("k1", at=None), NOT_YET, "where it was seen"),
    row("the bucket filled for another place of the kiln", lambda s: s.lines_seen(spot_at=lonlat(0, -9)), NOT_YET, "9 m away"),
    row("the bucket filled from another place of the water", lambda s: s.lines_seen(source_at=lonlat(0, -90)), NOT_YET, r"seen \d+ m away"),
    row("the tank's bucket filled elsewhere", lambda s: s.seen_link(2, spot_at=lonlat(0, -9)), NOT_YET, "9 m away"),
    row("the lays drawn end at the kiln's old place", lambda s: s.add("hose_lay", line((0, -40), (0, 14)), from_source="pond", to_spot="k1").add("hose_lay", line((12, 10), (0, 14)), "other", from_source="tank", to_spot="k1"), NOT_YET, "ends 14 m"),
)  # fmt: skip
GROUND = (
    row("ground not said", lambda s: s.put("k1", ground=None), NOT_YET, "look what lies under"),
    row("peat", lambda s: s.put("k1", ground="peat"), NOT_HERE, "[Pp]eat"),
    row("roots or a stump", lambda s: s.put("k1", ground="roots_stump"), NOT_HERE, "[Rr]oots"),
    row("litter or duff", lambda s: s.put("k1", ground="litter_duff"), NOT_YET, "scrape to mineral soil"),
    row("ground in words of one's own", lambda s: s.put("k1", ground="probably fine"), NOT_YET, "look what lies under"),
    row("branches not said", lambda s: s.put("k1", branches_overhead=None), NOT_YET, "look up"),
    row("branches, how high not said", lambda s: s.put("k1", branches_overhead="yes"), NOT_YET, "height"),
    row("a branch in the flame", lambda s: s.put("k1", branches_overhead="yes", branch_height_m=2.5), NOT_HERE, "flame may reach"),
    row("a branch in the plume", lambda s: s.put("k1", branches_overhead="yes", branch_height_m=8), NOT_YET, "branch at 8 m"),
    row("a branch below the rim", lambda s: s.put("k1", branches_overhead="yes", branch_height_m=0.5), NOT_HERE, "flame may reach"),
    row("slope not said", lambda s: s.put("k1", slope_pct=None), NOT_YET, "measure the slope"),
    row("slope of 14 %", lambda s: s.put("k1", slope_pct=14), NOT_YET, "level pad"),
    row("slope of 30 % below unbroken fuel", lambda s: s.put("k1", slope_pct=30, fuel_upslope="yes"), NOT_YET, "fire runs uphill"),
    row("slope of 30 %, fuel above not said", lambda s: s.put("k1", slope_pct=30, fuel_upslope=None), NOT_YET, "uphill"),
    row("no place on the map", lambda s: s.draw("k1", None), NOT_YET, "no place"),
    row("no kiln chosen", lambda s: s.put("k1", kiln=None), NOT_YET, "which kiln"),
    row("a kiln that is not on the list", lambda s: s.put("k1", kiln="borrowed"), NOT_YET, "which kiln"),
)  # fmt: skip
INSIDE = (
    row("inside an area to keep clear of", lambda s: s.add("no_go", square(0, 0, 30)), NOT_HERE, "in it"),
    row("inside a school's ground", lambda s: s.add("smoke_place", square(0, 0, 80), what="school"), NOT_HERE, "NEW"),
    row("on a farm yard, drawn as a point", lambda s: s.add("smoke_place", point(0.5, 0), what="home"), NOT_HERE, "NEW"),
    row("in the pond", lambda s: s.draw("pond", square(0, -20, 60)), NOT_HERE, "POND"),
    row("in a wetland", lambda s: s.add("wetland", square(0, 0, 20)), NOT_HERE, "NEW"),
    row("in standing timber", lambda s: s.add("standing_timber", square(0, 0, 50)), NOT_HERE, "NEW"),
    row("in a building", lambda s: s.add("structure", square(0, 0, 20), use="own"), NOT_HERE, "NEW"),
    row("on the line of a railway", lambda s: s.draw("rail", area((-300, -5), (300, -5), (300, 5), (-300, 5))), NOT_HERE, "RAIL"),
    row("beneath the power line", lambda s: s.draw("wire", line((0, -300), (0, 300))), NOT_HERE, "beneath"),
    row("beneath the power line, which was agreed", lambda s: s.draw("wire", line((0, -300), (0, 300))).with_record("asked", whom="line_owner", name="Grid", date="2026-05-15", answer="yes", about="wire"), NOT_HERE, "beneath"),
    row("on the own road", lambda s: s.add("road", line((0, -20), (0, 30)), public=False), NOT_HERE, "NEW"),
    row("beside the middle of a road, on its wheels' width", lambda s: s.add("road", line((1.9, -20), (1.9, 30)), public=False), NOT_YET, "NEW"),
    row("on the other side of a wood's edge drawn as a line", lambda s: s.add("standing_timber", line((-60, 25), (60, 25))), NOT_YET, "side"),
    row("on a buried line", lambda s: s.add("buried_line", line((-50, 0), (50, 0))), NOT_HERE, "NEW"),
    row("on the edge of the holding", lambda s: s.draw("edge", line((0, -300), (0, 300))), NOT_HERE, "EDGE"),
)  # fmt: skip
READ = [{"moisture_pct": pct, "basis": "dry", "date": SEEN, "where": "core"} for pct in (14, 15, 16, 15, 14, 16)]
FEED = {"staged_feed": True, "packing": "tops", "wood": "ponderosa pine", "soil": "none", "position_error_m": 0.5}
FEED |= {"shape": "dome", "length_m": 1, "width_m": 0.9, "height_m": 0.7, "readings": READ}
NEAR = (
    row("own building at 10 m", lambda s: s.draw("shed", square(-14, 0, 6)), NOT_HERE, "SHED"),
    row("a house of others at 60 m", lambda s: s.add("structure", square(-64, 0, 8), use="occupied_by_others"), NOT_HERE, "NEW"),
    row("a house, whose is not said, at 60 m", lambda s: s.add("structure", square(-64, 0, 8)), NOT_HERE, "NEW"),
    row("a house at 95 m, its place not well known", lambda s: s.add("structure", square(-100, 0, 8), use="occupied_by_others", position_error_m=12), NOT_YET, "measure"),
    row("timber at 5 m", lambda s: s.draw("pines", area((-60, 6), (60, 6), (60, 40), (-60, 40))), NOT_HERE, "PINES"),
    row("a road at 20 m, public or not is not said", lambda s: s.add("road", line((-100, 22), (100, 22))), NOT_HERE, "NEW"),
    row("a stream at 6 m", lambda s: s.add("stream", line((-100, 8), (100, 8))), NOT_HERE, "NEW"),
    row("a wetland at 6 m", lambda s: s.add("wetland", square(-18, 0, 20)), NOT_HERE, "NEW"),
    row("the pond at 6 m", lambda s: s.draw("pond", area((-40, -80), (40, -80), (40, -7), (-40, -7))), NOT_HERE, "POND"),
    row("fuel cans at 9 m", lambda s: s.add("fuel_store", point(-10, 0)), NOT_HERE, "NEW"),
    row("fuel cans at 15 m, their place not well known", lambda s: s.add("fuel_store", point(-18, 0), position_error_m=5), NOT_YET, "measure"),
    row("a leaning tree at 20 m, its height not said", lambda s: s.add("hazard_tree", point(0, 21)), NOT_HERE, "NEW"),
    row("a tree of 40 m at 35 m", lambda s: s.add("hazard_tree", point(-36, 0), height_m=40), NOT_HERE, "NEW"),
    row("a power line at 25 m", lambda s: s.draw("wire", line((-26, -300), (-26, 300))), NOT_HERE, "WIRE"),
    row("a power line at 25 m, agreed by its owner", lambda s: s.draw("wire", line((-26, -300), (-26, 300))).with_record("asked", whom="line_owner", name="Grid", date="2026-05-15", answer="yes", about="wire"), NOT_YET, "WIRE"),
    row("a power line at 25 m, the railway agreed", lambda s: s.draw("wire", line((-26, -300), (-26, 300))), NOT_HERE, "not agreed"),
    row("a machine that reaches as far as the line", lambda s: s.draw("wire", line((-33, -300), (-33, 300))).machine(reach_m=30), NOT_HERE, "WIRE"),
    row("the machine's stand by the power line", lambda s: s.machine(reach_m=8).add("machine_stand", point(-191, 0)), NOT_YET, "machine stand"),
    row("a heap at 4 m", lambda s: s.draw("p1", point(-7, 0)), NOT_HERE, "P1"),
    row("a large heap at 10 m", lambda s: s.draw("p1", point(-16, 0)).put("p1", height_m=3.4), NOT_HERE, "P1"),
    row("a heap of unknown size at 10 m", lambda s: s.add("pile", point(-13, 0)), NOT_HERE, "NEW"),
    row("a staged heap of unknown size", lambda s: s.add("pile", point(-5.5, 0), staged_feed=True), NOT_HERE, "NEW"),
    row("a staged heap of 6 m³", lambda s: s.add("pile", point(-6, 0), staged_feed=True, length_m=3, width_m=2.5, height_m=1.6), NOT_HERE, "NEW"),
    row("a staged heap of half an hour's feed", lambda s: s.add("pile", point(-6, 0), **{**FEED, "length_m": 2, "width_m": 1.6, "height_m": 1}), NOT_HERE, "would feed|NEW"),
    row("a small staged heap, how it is packed not said", lambda s: s.add("pile", point(-6, 0), **{**FEED, "packing": None}), NOT_HERE, "NEW"),
    row("a small staged heap, a kiln fed by the handful", lambda s: s.add("pile", point(-6, 0), **FEED).gear("kilns", "box", feed_kg_h=20), NOT_HERE, "NEW"),
    row("a small staged heap against the kiln", lambda s: s.add("pile", point(-2.5, 0), staged_feed=True, length_m=1, width_m=0.8, height_m=0.8), NOT_HERE, "NEW"),
    row("a windrow at 5 m", lambda s: s.add("windrow", line((-40, 7.5), (40, 7.5)), width_m=2, height_m=1), NOT_HERE, "NEW"),
    row("the other kiln 4 m away", lambda s: s.move("k2", -18, 0), NOT_HERE, "K2"),
    row("the other kiln in the same place", lambda s: s.move("k2", -24, 0), NOT_HERE, "K2"),
    row("a wide public road, its middle at 34 m", lambda s: s.add("road", line((-100, 36), (100, 36)), public=True, width_m=12), NOT_HERE, "NEW"),
    row("a public road, its middle at 34 m, its width not said", lambda s: s.add("road", line((-100, 36), (100, 36)), public=True, position_error_m=0.5), NOT_YET, "measure"),
    row("a river drawn by its middle", lambda s: s.add("stream", line((-100, 26), (100, 26)), width_m=40), NOT_HERE, "NEW"),
    row("wires of a wide line overhead, its middle at 12 m", lambda s: s.draw("wire", line((-13, -300), (-13, 300))).put("wire", width_m=30), NOT_HERE, "beneath"),
    row("a railway of many tracks", lambda s: s.draw("rail", line((-300, 60), (300, 60))).put("rail", width_m=40), NOT_HERE, "RAIL"),
    row("a stream without a place", lambda s: s.add("stream", None), NOT_YET, "no place"),
    row("a wetland drawn crosswise", lambda s: s.add("wetland", area((-50, 50), (-30, 70), (-30, 50), (-50, 70))), NOT_YET, "[Dd]raw it again|place"),
)  # fmt: skip
FOR_THE_CREW = (
    row("cars at 4 m", lambda s: s.draw("park", square(-9, 0, 8)), NOT_YET, "PARK"),
    row("heads counted at 5 m", lambda s: s.draw("meet", point(-5, 0)), NOT_YET, "MEET"),
    row("the refuge round the kiln", lambda s: s.draw("refuge", square(0, 0, 60)), NOT_YET, "REFUGE"),
    row("the lookout beside the kiln", lambda s: s.draw("look", point(-2, 0)), NOT_YET, "LOOK"),
    row("char tipped out a step from the rim", lambda s: s.draw("pad", square(-2.5, 0, 2)), NOT_YET, "PAD"),
    row("the char pad in the pond", lambda s: s.draw("pad", square(0, -50, 4)), NOT_YET, "PAD"),
    row("the char pad in a wetland", lambda s: s.add("wetland", square(40, -40, 20)).draw("pad", square(40, -40, 4)), NOT_YET, "PAD"),
    row("the char pad in a stream's bed", lambda s: s.add("stream", line((-100, -30), (100, -30))).draw("pad", square(0, -30, 4)), NOT_YET, "PAD"),
    row("the char pad against a heap", lambda s: s.draw("pad", square(-22, 14, 4)), NOT_YET, "PAD"),
    row("an engine turns 3 m from the kiln", lambda s: s.draw("turn", square(-10, 0, 12)), NOT_YET, "TURN"),
)  # fmt: skip
RULES = (
    row("own distance of 1 m from buildings", lambda s: s.with_record("rules", kind="structure", distance_m=1, source="ours"), NOT_YET, "usual"),
    row("own distance of 5 m from timber", lambda s: s.with_record("rules", kind="standing_timber", distance_m=5, source="ours"), NOT_YET, "usual"),
    row("own distance of nought", lambda s: s.with_record("rules", kind="stream", distance_m=0, source="ours"), NOT_YET, "0 m"),
    row("own distance of nought for a railway", lambda s: s.record("rules", 0, distance_m=0), NOT_YET, "RAIL|[Rr]ailway"),
    row("own distance of 1 m from the power line, 25 m away", lambda s: s.draw("wire", line((-26, -300), (-26, 300))).with_record("rules", kind="power_line", distance_m=1, source="ours"), NOT_HERE, "WIRE"),
    row("own distance between kilns of 1 m", lambda s: s.with_record("rules", kind="kiln_spot", distance_m=1, source="ours").move("k2", -18, 0), NOT_YET, "usual"),
    row("a row without a distance", lambda s: s.with_record("rules", kind="standing_timber", source="ours"), NOT_YET, "no distance"),
    row("own distance further than looked", lambda s: s.with_record("rules", kind="stream", distance_m=450, source="ours"), NOT_YET, "450 m"),
)  # fmt: skip
ROWS = (*SEEN_ELSEWHERE, *GROUND, *INSIDE, *NEAR, *FOR_THE_CREW, *RULES)
