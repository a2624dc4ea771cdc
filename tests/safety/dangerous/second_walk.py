# ruff: noqa: E501 - a set-up is one line, to be read down the table
"""A second walk round the safe site: what still read "may be lit", or might have."""

from __future__ import annotations

import datetime as dt

from tests.safety.dangerous.people import dry
from tests.safety.dangerous.place import FEED
from tests.safety.dangerous.rows import NOT_HERE, NOT_YET, row
from tests.safety.dangerous.safe_site import SafeSite
from tests.safety.dangerous.safe_values import SEEN, Place, Values, line, lonlat, point, square

SIDE = ((-1, -1), (1, -1), (1, 1), (-1, 1), (-1, -1))


def ring(outer_m: float, inner_m: float) -> Values:
    """An area round K1 with a hole in it: half the sides of both [m]."""
    sides = [[lonlat(half * x, half * y) for x, y in SIDE] for half in (outer_m, inner_m)]
    return {"type": "Polygon", "coordinates": [sides[0], sides[1][::-1]]}


def parts(*areas: Values) -> Values:
    return {"type": "MultiPolygon", "coordinates": [each["coordinates"] for each in areas]}


def feeds(s: SafeSite, *places: Place) -> SafeSite:
    """Staged heaps, each of them small enough alone."""
    for number, at in enumerate(places):
        s.add("pile", point(*at), f"feed-{number}", **FEED)
    return s


def forecast(
    s: SafeSite, *, height: str | None = "20_ft", time: str = "2026-05-20T{:02d}:00", **said: float
) -> SafeSite:
    """The hours of the burn date as somebody typed them: a good day but for what is said."""
    hour = {"wind_m_s": 2.5, "gust_m_s": 4, "humidity_pct": 60, "temperature_c": 14, **said}
    kept = {"issued": "2026-05-20T05:00", "source": "Invented", "front_free_h": 72}
    hours = [{"time": time.format(at), **hour} for at in range(24)]
    s.member |= {"forecast": kept | ({"wind_at": height} if height else {}), "forecast_hours": hours}
    return s


DRAWN = (
    row("in a clearing of 7 m in the wood", lambda s: s.draw("pines", ring(40, 7)), NOT_HERE, "PINES"),
    row("in the courtyard of a building", lambda s: s.draw("shed", ring(20, 9)), NOT_HERE, "SHED"),
    row("in the hole of an area to keep clear of", lambda s: s.add("no_go", ring(40, 1.2)), NOT_YET, "NEW"),
    row("a wood in two parts, one near", lambda s: s.draw("pines", parts(square(0, 120, 20), square(10, 0, 8))), NOT_HERE, "PINES"),
    row("on an island in a stream's bed", lambda s: s.add("stream", ring(12, 5)), NOT_HERE, "NEW"),
    row("the kiln drawn as an area", lambda s: s.draw("k1", square(0, 0, 3)), NOT_YET, "a point"),
    row("an area to keep clear of, drawn as a line", lambda s: s.add("no_go", line((3, -5), (3, 5))), NOT_YET, "NEW"),
    row("a power line drawn as one point twice", lambda s: s.draw("wire", line((-5, 0), (-5, 0))), NOT_YET, "WIRE"),
    row("a wetland without corners", lambda s: s.add("wetland", {"type": "Polygon", "coordinates": []}), NOT_YET, "NEW"),
    row("a house without a place", lambda s: s.add("structure", None, use="occupied_by_others"), NOT_YET, "NEW"),
    row("a school without a place", lambda s: s.draw("farm", None), NOT_YET, "FARM"),
    row("a heap without a place", lambda s: s.draw("p2", None), NOT_YET, "P2"),
    row("a power line of which nobody says whether it hangs, at 25 m", lambda s: s.draw("wire", line((-26, -300), (-26, 300))).put("wire", overhead=None), NOT_HERE, "WIRE"),
    row("a buried power line at 3 m", lambda s: s.draw("wire", line((-4, -300), (-4, 300))).put("wire", overhead=False), NOT_YET, "WIRE"),
    row("a machine, its reach not said, a power line at 33 m", lambda s: s.draw("wire", line((-33, -300), (-33, 300))).machine(), NOT_YET, "WIRE"),
    row("a helicopter lands 5 m from the kiln", lambda s: s.add("landing_place", square(-12, 0, 14)), NOT_YET, "NEW"),
    row("a heap planned 4 m away", lambda s: s.add("pile", point(-6.5, 0), status="planned", length_m=3, width_m=3, height_m=1.5), NOT_HERE, "NEW"),
    row("a feed heap downwind", lambda s: feeds(s, (6, 0)), NOT_YET, "downwind"),
    row("three feed heaps round the kiln", lambda s: feeds(s, (-6, 0), (-5, 3.5), (-5, -3.5)), NOT_HERE, "FEED"),
    row("a wood of no height", lambda s: s.put("pines", height_m=0), NOT_YET, "PINES"),
)  # fmt: skip
WAYS = (
    row("ways out of three metres", lambda s: s.draw("out-1", line((0, -3), (0, -6))).draw("out-2", line((0, 20), (0, 23))), NOT_YET, "[Ww]ay out|ways out"),
    row("a way out through the pond", lambda s: s.draw("out-1", line((-5, -5), (0, -60), (0, -160))), NOT_YET, "[Ww]ay out|ways out"),
    row("one way out, forked at its end", lambda s: s.draw("out-2", line((-5, -5), (-60, -30), (-130, -20), (-140, -14))), NOT_YET, "[Ww]ay out|ways out"),
    row("no fuel at all round a refuge of 3 m", lambda s: s.say("season", fuel_height_m=0).draw("refuge", square(-120, 40, 3)), NOT_YET, "REFUGE"),
)  # fmt: skip
SAID = (
    row("own distance below nought", lambda s: s.with_record("rules", kind="structure", distance_m=-5, source="ours"), NOT_YET, "read|distance"),
    row("own distance in words", lambda s: s.with_record("rules", kind="structure", distance_m="15 m", source="ours"), NOT_YET, "read|distance"),
    row("own distance of no kind", lambda s: s.with_record("rules", distance_m=50, source="ours"), NOT_YET, "kind"),
    row("own distance of 1 m, seen in print, where is not said", lambda s: s.with_record("rules", kind="structure", distance_m=1, evidence="P"), NOT_YET, "usual"),
    row("own distance of nought, seen in print", lambda s: s.with_record("rules", kind="standing_timber", distance_m=0, evidence="P", source="Code"), NOT_YET, "0 m"),
    row("own distance of 100 m from timber", lambda s: s.with_record("rules", kind="standing_timber", distance_m=100, source="Code"), NOT_HERE, "PINES"),
    row("the authority said yes, later with conditions", lambda s: s.with_record("asked", whom="authority", name="Officer", date="2026-05-16", answer="conditions"), NOT_YET, "condition"),
    row("the authority said yes and, the same day, with conditions", lambda s: s.with_record("asked", whom="authority", name="Officer", date=SEEN, answer="conditions"), NOT_YET, "condition"),
    row("the authority's yes about K2", lambda s: s.asked("authority", about="k2"), NOT_YET, "authority"),
    row("the authority, a name of blanks", lambda s: s.asked("authority", name="   "), NOT_YET, "authority"),
    row("the authority's yes on a date nobody can read", lambda s: s.asked("authority", date="15.5.2026"), NOT_YET, "authority"),
    row("the railway asks for 200 m", lambda s: s.asked("line_owner", distance_m=200), NOT_HERE, "RAIL"),
    row("the neighbour asks for 170 m", lambda s: s.asked("neighbour", distance_m=170), NOT_HERE, "EDGE"),
    row("the power line's owner asks for 220 m", lambda s: s.with_record("asked", whom="line_owner", name="Grid", date=SEEN, answer="yes", about="wire", distance_m=220), NOT_YET, "WIRE"),
    row("the authority's conditions, on no date", lambda s: s.with_record("asked", whom="authority", name="Officer", answer="conditions"), NOT_YET, "when"),
    row("a distance the power line's owner named on no date", lambda s: s.with_record("asked", whom="line_owner", name="Grid", answer="yes", about="wire", distance_m=220), NOT_YET, "when"),
    row("a no, whose is not said", lambda s: s.with_record("asked", name="Somebody", date=SEEN, answer="no"), NOT_YET, "Somebody"),
    row("a no of somebody who is on no list", lambda s: s.with_record("asked", whom="police", name="Somebody", date=SEEN, answer="no"), NOT_YET, "Somebody|read"),
    row("looked, a name of blanks", lambda s: s.looked("stream", who="  "), NOT_YET, "who"),
    row("looked, kilometres typed as metres", lambda s: s.looked("structure", within_m=0.4), NOT_YET, "90 m"),
    row("no permit is needed, and one ended", lambda s: s.say("permit", none_needed=True, to="2026-05-01"), NOT_YET, "permit"),
    row("no permit is needed, and one begins later", lambda s: s.say("permit", none_needed=True, to=None, **{"from": "2026-06-01"}), NOT_YET, "permit"),
    row("no permit is needed, and it has conditions", lambda s: s.say("permit", none_needed=True, to=None, conditions="Two engines on site."), NOT_YET, "permit"),
    row("a permit without a first day", lambda s: s.say("permit", **{"from": None}), NOT_YET, "permit"),
    row("nobody's name in charge", lambda s: s.say("crew", leader="  "), NOT_YET, "in charge"),
    row("a number to call made of blanks", lambda s: s.say("crew", emergency=" "), NOT_YET, "number"),
    row("half an adult", lambda s: s.say("crew", adults=2.5), NOT_YET, "adults"),
    row("fewer than no adults", lambda s: s.say("crew", adults=-3), NOT_YET, "adults"),
    row("nobody feeds", lambda s: s.say("crew", feeders=0), NOT_YET, "kiln|feed"),
)  # fmt: skip
DAY = (
    row("a forecast of gusts, at which height is not said", lambda s: forecast(s, height=None, wind_m_s=12, gust_m_s=16), NOT_YET, "height"),
    row("a forecast whose hours cannot be read", lambda s: forecast(s, time="noon", gust_m_s=16), NOT_YET, "noon"),
    row("a forecast of gusts below the wind", lambda s: forecast(s, gust_m_s=1), NOT_YET, "gusts"),
    row("a forecast of dry air", lambda s: forecast(s, humidity_pct=25), NOT_YET, "[Hh]umidity"),
    row("humidity typed as a share", lambda s: forecast(s, humidity_pct=0.6), NOT_YET, "[Hh]umidity"),
    row("the permit's limit of wind below the forecast", lambda s: forecast(s).say("permit", wind_km_h=5, gust_km_h=8), NOT_YET, "[Ww]ind"),
    row("the permit's humidity above the forecast", lambda s: forecast(s).say("permit", humidity_pct=70), NOT_YET, "[Hh]umidity"),
    row("work begins at 25:00", lambda s: s.say("season", day_starts="25:00"), NOT_YET, "25:00"),
    row("work ends at dusk", lambda s: s.say("season", day_ends="dusk"), NOT_YET, "dusk"),
    row("the burn date in another notation", lambda s: s.say("season", date="20/05/2026"), NOT_YET, "burn date"),
    row("it rained on the day of the readings", lambda s: s.say("season", last_rain=SEEN), NOT_YET, "rained"),
    row("one fact of the ground seen long ago", lambda s: s.put("k1", seen={"*": {"on": SEEN, "at": lonlat(0, 0)}, "ground": {"on": "2024-01-01", "at": lonlat(0, 0)}}), NOT_YET, "2024"),
    row("a stamp that is a word", lambda s: s.put("k1", seen="yesterday"), NOT_YET, "seen"),
    row("readings of tomorrow", lambda s: s.put("p1", readings=[dry(14, date="2026-05-18")] * 3), NOT_YET, "to come", today=dt.date(2026, 5, 17)),
    row("a share typed as per cent of moisture", lambda s: s.put("p1", readings=[dry(0.15)] * 4), NOT_YET, "drier"),
    row("a meter that reads nought", lambda s: s.put("p1", readings=[dry(0)] * 4), NOT_YET, "drier"),
    row("one wet core among six", lambda s: s.put("p1", readings=[*[dry(14)] * 5, dry(45)]), NOT_YET, "P1"),
    row("one wet core of no day among six", lambda s: s.put("p1", readings=[*[dry(14)] * 5, dry(45, date=None)]), NOT_YET, "P1"),
    row("a heap said to be wet, read as dry", lambda s: s.put("p1", moisture_pct=80, moisture_basis="dry"), NOT_YET, "P1"),
    row("a kiln a twentieth full", lambda s: s.gear("kilns", "box", fill_fraction=0.05), NOT_YET, "another unit|fill"),
    row("a kiln of decimetres", lambda s: s.gear("kilns", "box", length_m=0.2, width_m=0.12, height_m=0.07), NOT_YET, "another unit|daylight"),
    row("no kiln of the sort is left", lambda s: s.gear("kilns", "box", count=0), NOT_YET, "read|kiln"),
    row("a floor, and none", lambda s: s.gear("kilns", "box", has_floor=False), NOT_YET, "floor|flood"),
)  # fmt: skip
WATER = (
    row("a pump 30 m below its water", lambda s: s.waters(suction_lift_m=-30), NOT_YET, "another unit"),
    row("water at freezing", lambda s: s.waters(water_temperature_c=0), NOT_YET, "another unit"),
    row("usable from a day after it ends", lambda s: s.waters(usable_from="2026-06-01", usable_to="2026-05-01"), NOT_YET, "POND|TANK|usable"),
    row("weaker pumps than those that filled the bucket", lambda s: s.pumps(max_head_m=25, max_flow_l_min=120), NOT_YET, "L/min|kPa"),
    row("a tip of 4 mm, the bucket filled without it", lambda s: s.gear("nozzles", "tip", bore_mm=4), NOT_YET, "nozzle|L/min|tip"),
    row("heights that disagree with the lift", lambda s: s.put("k1", elevation_m=1060).put("pond", elevation_m=1000).put("tank", elevation_m=1000), NOT_YET, "m"),
    row("200 L in nine seconds", lambda s: s.lines(bucket_litres=200), NOT_YET, "asked again|seconds or minutes|L/min"),
    row("a bucket filled in no time", lambda s: s.lines(bucket_seconds=0), NOT_YET, "bucket|read"),
    row("an open end for the escape", lambda s: s.gear("nozzles", "tip", bore_mm=None, open_end=True), NOT_YET, "nozzle|throw|open"),
    row("6,000 L typed for a tank whose measures hold 300", lambda s: s.put("tank", tank_shape="box", length_m=1, width_m=1, height_m=1, depth_of_water_m=0.3), NOT_YET, "escape|attack|reserve|TANK"),
    row("60,000 L typed for a puddle", lambda s: s.put("pond", area_m2=20, depth_m=0.5, volume_l=60000).drop("tank").links_of("pond"), NOT_YET, "POND"),
    row("a tank a third full by its measures", lambda s: s.put("tank", volume_l=None, tank_shape="box", length_m=1, width_m=1, height_m=1, depth_of_water_m=0.3), NOT_YET, "escape|reserve|TANK"),
)  # fmt: skip
ROWS = (*DRAWN, *WAYS, *SAID, *DAY, *WATER)
