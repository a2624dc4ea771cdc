# ruff: noqa: E501 - a set-up is one line, to be read down the table
"""People, ways out, the refuge, and the wood that is to burn."""

from __future__ import annotations

from tests.safety.dangerous.rows import NOT_YET, row
from tests.safety.dangerous.safe_values import line, point, square

PEOPLE = (
    row("adults not said", lambda s: s.say("crew", adults=None), NOT_YET, "adults"),
    row("a crew of one", lambda s: s.say("crew", adults=1), NOT_YET, "1 adult"),
    row("nobody", lambda s: s.say("crew", adults=0), NOT_YET, "0 adults"),
    row("two people for two kilns", lambda s: s.say("crew", adults=2), NOT_YET, "adults|people"),
    row("four people for two kilns", lambda s: s.say("crew", adults=4), NOT_YET, "adults|people"),
    row("more feeders than adults", lambda s: s.say("crew", feeders=9), NOT_YET, "adults|people"),
    row("nothing said of the crew", lambda s: s.top(crew={}), NOT_YET, "adults|people"),
    row("more to carry water than are there", lambda s: s.say("crew", carriers=40), NOT_YET, "carry water"),
    row("nobody can rake, and it is raked", lambda s: s.say("crew", rakers=0).put("k1", quench_method="raked_and_sprayed"), NOT_YET, "rake"),
    row("no telephone and no radio", lambda s: s.say("crew", phone=None), NOT_YET, "telephone"),
    row("no emergency number", lambda s: s.say("crew", emergency=None), NOT_YET, "number"),
    row("nobody in charge", lambda s: s.say("crew", leader=None), NOT_YET, "in charge"),
)  # fmt: skip
WAYS = (
    row("no way out", lambda s: s.drop("out-1", "out-2"), NOT_YET, "[Ww]ay out|ways out"),
    row("one way out", lambda s: s.drop("out-2"), NOT_YET, "[Ww]ay out|ways out"),
    row("one way out, drawn twice", lambda s: s.draw("out-2", line((-5, -5), (-60, -30), (-140, -30))), NOT_YET, "[Ww]ay out|ways out"),
    row("one way out, drawn back and forth", lambda s: s.draw("out-2", line((-140, -30), (-60, -30), (-5, -5))), NOT_YET, "[Ww]ay out|ways out"),
    row("a way out without a place", lambda s: s.draw("out-2", None), NOT_YET, "[Ww]ay out|ways out"),
    row("both ways out begin far off", lambda s: s.draw("out-1", line((400, 400), (500, 500))).draw("out-2", line((-400, 400), (-500, 500))), NOT_YET, "[Ww]ay out|ways out"),
    row("the refuge in the pond", lambda s: s.draw("refuge", square(0, -60, 36)), NOT_YET, "[Rr]efuge|REFUGE"),
    row("the refuge 900 m away", lambda s: s.draw("refuge", square(-900, 40, 60)), NOT_YET, "[Rr]efuge|REFUGE"),
    row("no meeting point", lambda s: s.drop("meet"), NOT_YET, "meeting point"),
    row("a meeting point without a place", lambda s: s.draw("meet", None), NOT_YET, "meeting point"),
    row("heads counted two kilometres off", lambda s: s.draw("meet", point(-2000, -40)), NOT_YET, "meeting point"),
    row("no refuge", lambda s: s.drop("refuge"), NOT_YET, "[Rr]efuge"),
    row("a refuge too small", lambda s: s.draw("refuge", square(-120, 40, 3)), NOT_YET, "[Rr]efuge|REFUGE"),
    row("a refuge as a point", lambda s: s.draw("refuge", point(-120, 40)), NOT_YET, "[Rr]efuge|REFUGE"),
    row("a refuge among brush of 3 m", lambda s: s.say("season", fuel_height_m=3), NOT_YET, "[Rr]efuge|REFUGE"),
    row("height of the fuel round the refuge not said", lambda s: s.say("season", fuel_height_m=None), NOT_YET, "[Rr]efuge|REFUGE|height"),
    row("grass round the refuge measured two months before", lambda s: s.said_on("fuel_height_m", "2026-03-20"), NOT_YET, "[Hh]eight of the grass"),
    row("the refuge in the wood", lambda s: s.draw("refuge", square(0, 110, 30)), NOT_YET, "[Rr]efuge|REFUGE"),
)  # fmt: skip


def dry(pct: float, **said: object) -> dict[str, object]:
    return {"moisture_pct": pct, "basis": "dry", "date": "2026-05-15", "thickness_cm": 8, "where": "core", **said}


WOOD = (
    row("a heap that is not on the map", lambda s: s.put("k1", serves=["nothing"]), NOT_YET, "nothing"),
    row("the other kiln's wet heap", lambda s: s.put("k1", serves=["p2"]).put("p2", readings=None), NOT_YET, "P2"),
    row("wet wood", lambda s: s.put("p1", readings=[dry(55), dry(60), dry(52), dry(58)]), NOT_YET, "P1|wet|moist"),
    row("one reading", lambda s: s.put("p1", readings=[dry(14)]), NOT_YET, "P1|reading"),
    row("no reading", lambda s: s.put("p1", readings=None), NOT_YET, "P1|reading|moisture"),
    row("readings of last autumn", lambda s: s.put("p1", readings=[dry(p, date="2025-10-01") for p in (14, 15, 16)]), NOT_YET, "P1|reading"),
    row("readings on no date", lambda s: s.put("p1", readings=[dry(p, date=None) for p in (14, 15, 16)]), NOT_YET, "P1|reading"),
    row("readings from after the burn", lambda s: s.put("p1", readings=[dry(p, date="2026-05-28") for p in (14, 15, 16)]), NOT_YET, "P1|reading"),
    row("readings of which nobody knows the basis", lambda s: s.put("p1", readings=[dry(p, basis=None) for p in (24, 25, 26)]), NOT_YET, "P1|reading|basis"),
    row("a dry skin, nobody read the core", lambda s: s.put("p1", readings=[dry(p, where="skin") for p in (14, 15, 16)]), NOT_YET, "core"),
    row("where the readings were taken is not said", lambda s: s.put("p1", readings=[dry(p, where=None) for p in (14, 15, 16)]), NOT_YET, "core"),
    row("a dry skin, a wet core", lambda s: s.put("p1", readings=[*(dry(p, where="skin") for p in (12, 13, 14, 12)), dry(40), dry(38)]), NOT_YET, "P1"),
    row("it rained since the readings", lambda s: s.say("season", last_rain="2026-05-18"), NOT_YET, "rained"),
    row("a feed so slow that no batch fits", lambda s: s.gear("kilns", "box", feed_kg_h=12), NOT_YET, "daylight"),
    row("a kiln without a depth", lambda s: s.gear("kilns", "box", height_m=None), NOT_YET, "[Kk]iln|size|depth"),
    row("feet typed as metres", lambda s: s.gear("kilns", "box", length_m=8, width_m=5, height_m=3), NOT_YET, "feet"),
    row("centimetres typed as metres", lambda s: s.gear("kilns", "box", length_m=20, width_m=10, height_m=5), NOT_YET, "feet|usual|large"),
    row("a hose of 1½ in typed as millimetres", lambda s: s.hoses(bore_mm=1.5), NOT_YET, "another unit|mm"),
    row("a hose of 15 bar typed as kilopascals", lambda s: s.hoses(rated_kpa=15), NOT_YET, "another unit|burst|rated"),
    row("feet of hose typed as metres", lambda s: s.gear("hoses", "hose", lengths_m=[200]), NOT_YET, "another unit"),
    row("a tip of half an inch typed as millimetres", lambda s: s.gear("nozzles", "tip", bore_mm=0.5), NOT_YET, "another unit|throw"),
    row("a pump of 250 ft typed as metres", lambda s: s.gear("pumps", "pump", max_head_m=250), NOT_YET, "another unit|burst|shut"),
    row("a wood of 110 ft typed as metres", lambda s: s.put("pines", height_m=110), NOT_YET, "another unit|height"),
    row("a heap of 28 ft typed as metres", lambda s: s.put("p2", height_m=28), NOT_YET, "another unit|P2"),
    row("a heap ten times the usual", lambda s: s.put("p1", length_m=50, width_m=40, height_m=16), NOT_YET, "P1"),
)  # fmt: skip
ROWS = (*PEOPLE, *WAYS, *WOOD)
