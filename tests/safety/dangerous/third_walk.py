# ruff: noqa: E501 - a set-up is one line, to be read down the table
"""A third walk: marks without a size, tests of another line, a fire that its spot left behind."""

from __future__ import annotations

import datetime as dt

from tests.safety.dangerous.afterwards import burned
from tests.safety.dangerous.rows import NOT_YET, row
from tests.safety.dangerous.safe_site import SafeSite
from tests.safety.dangerous.safe_values import Values, lonlat, point
from tests.safety.dangerous.second_walk import forecast


def where(x: float, y: float) -> Values:
    """The stamp of a row of the log: where it burned."""
    return {"*": {"at": lonlat(x, y)}}


def without_hours(s: SafeSite, *times: str) -> SafeSite:
    """The forecast without the hours whose time holds one of these."""
    hours = s.member["forecast_hours"]
    return s.top(forecast_hours=[hour for hour in hours if not any(each in hour["time"] for each in times)])


def unsaid(s: SafeSite, name: str) -> SafeSite:
    """The forecast without one of its figures."""
    hours = s.member["forecast_hours"]
    return s.top(forecast_hours=[{key: value for key, value in hour.items() if key != name} for hour in hours])


def dated(s: SafeSite, issued: str) -> SafeSite:
    """The forecast as made at another time."""
    s.member["forecast"]["issued"] = issued
    return s


LOST = (
    row("the other kiln stands nobody knows where", lambda s: s.draw("k2", None), NOT_YET, "K2 has no place on the map"),
    row("a lookout nobody knows where", lambda s: s.draw("look", None), NOT_YET, "LOOK: this feature"),
    row("lorries parked nobody knows where", lambda s: s.draw("park", None), NOT_YET, "PARK: this feature"),
    row("a char pad nobody knows where", lambda s: s.draw("pad", None), NOT_YET, "PAD: this feature"),
    row("a helicopter lands nobody knows where", lambda s: s.add("landing_place", None), NOT_YET, "NEW: this feature"),
    row("a machine stands nobody knows where, a power line on the map", lambda s: s.machine(reach_m=8).add("machine_stand", None), NOT_YET, "NEW: this feature"),
    row("a lookout 6 m away, good to 5 m", lambda s: s.draw("look", point(-7.5, 0)).put("look", position_error_m=5), NOT_YET, "LOOK.*measure"),
)  # fmt: skip
MARKS = (
    row("a house of others at 100 m, drawn as a mark", lambda s: s.add("structure", point(-101.2, 0), use="occupied_by_others", position_error_m=1), NOT_YET, "measure"),
    row("the own shed at 20 m, drawn as a mark", lambda s: s.draw("shed", point(-21.2, 0)), NOT_YET, "measure"),
    row("a farm drawn as a mark beside the kiln", lambda s: s.draw("farm", point(-7, 0)).put("farm", position_error_m=1), NOT_YET, "may stand in it"),
    row("a fuel tank at 16 m, drawn as a mark", lambda s: s.add("fuel_store", point(-17.2, 0), position_error_m=0.5), NOT_YET, "measure"),
    row("a pond drawn as a mark at 25 m", lambda s: s.add("water_source", point(-26, 0), source="pond", position_error_m=0.5), NOT_YET, "NEW"),
    row("a helicopter lands on a mark 14 m away", lambda s: s.add("landing_place", point(-14, 0)), NOT_YET, "NEW"),
    row("lorries parked on a mark 11 m away", lambda s: s.draw("park", point(-11, 0)), NOT_YET, "PARK"),
)  # fmt: skip
TESTED = (
    row("buckets filled with another pump", lambda s: s.lines(bucket_pump=["borrowed"]), NOT_YET, "another line.*borrowed"),
    row("buckets filled through another hose", lambda s: s.lines(bucket_hose=["hose", "hose-2"]), NOT_YET, "another line"),
    row("buckets filled through another tip", lambda s: s.lines(bucket_tip="open end"), NOT_YET, "another line"),
    row("with which pump the buckets were filled is not said", lambda s: s.lines(bucket_pump=None), NOT_YET, "does not say what"),
    row("through which hose is not said", lambda s: s.lines(bucket_hose=None), NOT_YET, "does not say what"),
    row("through which tip is not said", lambda s: s.lines(bucket_tip=None), NOT_YET, "does not say what"),
    row("the pumps changed round since", lambda s: s.put("pond", pump="pump-2").put("tank", pump="pump"), NOT_YET, "another line"),
    row("the escape line's tip changed since", lambda s: s.put("tank", nozzle="fog"), NOT_YET, "another line"),
)  # fmt: skip
BURNED = (
    row("the kiln said to be cold on no day", lambda s: s.put("k1", status="cold"), NOT_YET, "on which day"),
    row("beside a place that burned, whose spot moved on", lambda s: burned(s, kiln="K2", seen=where(10, 0)).move("k2", 60, 0), NOT_YET, "not proved cold"),
    row("the same, and where it burned was not written down", lambda s: burned(s, kiln="K2").move("k2", 60, 0), NOT_YET, "not proved cold"),
    row("beside it, written down where nobody can read", lambda s: burned(s, kiln="K2", seen={"*": {"at": "there"}}), NOT_YET, "not proved cold"),
)  # fmt: skip
SAID = (
    row("a day without burning", lambda s: s.top(closed=[{"from": "2026-05-18", "to": "2026-05-24", "why": "nesting"}]), NOT_YET, "without burning: nesting"),
    row("a day without burning, its ends changed round", lambda s: s.top(closed=[{"from": "2026-05-24", "to": "2026-05-18"}]), NOT_YET, "without burning"),
    row("two kilns of one name", lambda s: s.put("k2", name="k1 "), NOT_YET, "called"),
    row("the other of two kilns of one name", lambda s: s.put("k2", name="K1"), NOT_YET, "called", kiln="k2"),
    row("a kiln fed faster than its opening burns", lambda s: s.gear("kilns", "box", feed_kg_h=310), NOT_YET, "more than an opening of"),
    row("a kiln that burns the shed", lambda s: s.put("k1", serves=["shed"]), NOT_YET, "no heap"),
    row("a place known to nought", lambda s: s.put("k1", position_error_m=0), NOT_YET, "another unit"),
    row("a height known to nought", lambda s: s.lines(lift_error_m=0), NOT_YET, "another unit"),
)  # fmt: skip
READ = {"on": "2026-05-20", "height": "20 ft (6 m)"}  # on the burn date, at the height the limits are meant at
WEATHER = (
    row("gusts read on the burn date", lambda s: s.top(weather_read={"on": "2026-05-20", "gust_m_s": 18, "height": "10 m (33 ft)"}), NOT_YET, "read on"),
    row("wind read at the eye on the burn date", lambda s: s.top(weather_read={"on": "2026-05-20", "wind_m_s": 6, "height": "eye level"}), NOT_YET, "read on"),
    row("dry air read on the burn date", lambda s: s.top(weather_read={"on": "2026-05-20", "humidity_pct": 15}), NOT_YET, "read on"),
    row("wind read above the permit's limit, within ours", lambda s: s.say("permit", wind_km_h=10, wind_at="20_ft").top(weather_read={**READ, "wind_m_s": 4, "gust_m_s": 5}), NOT_YET, "[Ww]ind read on"),
    row("gusts read above the permit's limit, within ours", lambda s: s.say("permit", gust_km_h=20, wind_at="20_ft").top(weather_read={**READ, "wind_m_s": 4, "gust_m_s": 6}), NOT_YET, "[Gg]ust read on"),
    row("air read drier than the permit allows", lambda s: s.say("permit", humidity_pct=60).top(weather_read={**READ, "humidity_pct": 55}), NOT_YET, "[Hh]umidity read on"),
    row("a front on the evening of the burn, said on its morning", lambda s: s.top(weather_read={**READ, "quiet": 9}), NOT_YET, "front"),
    row("gusts read below the wind", lambda s: s.top(weather_read={**READ, "wind_m_s": 5, "gust_m_s": 4}), NOT_YET, "one of the two is wrong"),
    row("cured, and allowed on another day", lambda s: s.say("season", surroundings="cured").top(weather_read={"on": "2026-05-19", "cured_by": "Officer"}), NOT_YET, "cured"),
    row("cured, and allowed by nobody's name", lambda s: s.say("season", surroundings="cured").top(weather_read={**READ, "cured_by": "  "}), NOT_YET, "cured"),
    row("a forecast without the hour of noon", lambda s: without_hours(forecast(s), "T12"), NOT_YET, "lacks 1 hour"),
    row("a forecast of the first two hours", lambda s: without_hours(forecast(s), "T13", "T14", "T15", "T16", "T17", "T18", "T19", "T2"), NOT_YET, "lacks"),
    row("a forecast without gusts", lambda s: unsaid(forecast(s), "gust_m_s"), NOT_YET, "gust not known"),
    row("a forecast without humidity", lambda s: unsaid(forecast(s), "humidity_pct"), NOT_YET, "humidity not known"),
    row("the weather of the burn date read by nobody", lambda s: s.top(weather_read=None), NOT_YET, "nobody has read.*on the morning"),
    row("the weather read the evening before", lambda s: s.weather(on="2026-05-19"), NOT_YET, "nobody has read"),
    row("gusts not read", lambda s: s.weather(gust_m_s=None), NOT_YET, "not read: gust"),
    row("no word of a front", lambda s: s.weather(quiet=None), NOT_YET, "without a front"),
    row("winds read at a height nobody said", lambda s: s.weather(height=None), NOT_YET, "height of the winds"),
    row("readings nobody put a name to", lambda s: s.weather(by=" "), NOT_YET, "who read the weather"),
    row("a bad forecast thrown away after the readings", lambda s: forecast(s, gust_m_s=20).signed().top(forecast_hours=None), NOT_YET, "no longer as Somebody saw them"),
    row("a log of what burned thrown away after the readings", lambda s: burned(s).top(log=None), NOT_YET, "no longer as Somebody saw them"),
    row("a warm look thrown away after the readings", lambda s: s.top(cold=[{"kiln": "K1", "date": "2026-05-20", "found": "warm", "who": "S"}]).signed().top(cold=None), NOT_YET, "no longer as Somebody saw them"),
    row("another forecast than that of the readings", lambda s: forecast(forecast(s).signed(), wind_m_s=3), NOT_YET, "no longer as Somebody saw them"),
    row("the eve of the burn, no forecast", lambda s: s, NOT_YET, "no forecast is kept", today=dt.date(2026, 5, 19)),
    row("a forecast dated after the burn", lambda s: dated(forecast(s), "2026-05-23T05:00"), NOT_YET, "after lighting"),
)  # fmt: skip
ROWS = (*SAID, *WEATHER, *LOST, *MARKS, *TESTED, *BURNED)
