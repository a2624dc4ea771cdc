# ruff: noqa: E501 - a set-up is one line, to be read down the table
"""Who was asked, who looked, the permit, and the dates of all of it."""

from __future__ import annotations

import datetime as dt

from tests.safety.dangerous.rows import NOT_HERE, NOT_YET, row

DAY_BEFORE = dt.date(2026, 5, 14)
AUTHORITY = (
    row("the authority not asked", lambda s: s.without("asked", whom="authority"), NOT_YET, "[Aa]sk the authority"),
    row("the authority said no", lambda s: s.asked("authority", answer="no"), NOT_HERE, "refused"),
    row("the authority said yes, later no", lambda s: s.with_record("asked", whom="authority", name="Officer", date="2026-05-16", answer="no"), NOT_HERE, "refused"),
    row("the authority said no, nobody noted when", lambda s: s.with_record("asked", whom="authority", answer="no"), NOT_HERE, "refused"),
    row("the authority agreed with conditions", lambda s: s.asked("authority", answer="conditions", said="Ring before lighting."), NOT_YET, "condition"),
    row("the authority's conditions, not written down", lambda s: s.asked("authority", answer="conditions"), NOT_YET, "condition"),
    row("the authority asked, no answer", lambda s: s.asked("authority", answer=None), NOT_YET, "[Aa]sk the authority"),
    row("the authority's yes without a date", lambda s: s.asked("authority", date=None), NOT_YET, "authority"),
    row("the authority's yes without a name", lambda s: s.asked("authority", name=None), NOT_YET, "authority"),
    row("the authority's yes two years old", lambda s: s.asked("authority", date="2024-05-15"), NOT_YET, "2024"),
    row("the authority's yes from after the burn", lambda s: s.asked("authority", date="2026-05-25"), NOT_YET, "25 May"),
    row("the authority's yes of tomorrow", lambda s: s.asked("authority", date="2026-05-18"), NOT_YET, "to come", today=dt.date(2026, 5, 17)),
    row("the authority's yes about the railway", lambda s: s.asked("authority", about="rail"), NOT_YET, "authority"),
)  # fmt: skip
OTHERS = (
    row("the land owner said no", lambda s: s.with_record("asked", whom="land_owner", name="Owner", date="2026-05-15", answer="no"), NOT_HERE, "owner"),
    row("the land owner's conditions", lambda s: s.with_record("asked", whom="land_owner", name="Owner", date="2026-05-15", answer="conditions", said="Not on a Sunday."), NOT_YET, "condition"),
    row("the railway said no, 160 m away", lambda s: s.asked("line_owner", answer="no"), NOT_HERE, "refused"),
    row("the power line's owner said no, 200 m away", lambda s: s.with_record("asked", whom="line_owner", name="Grid", date="2026-05-15", answer="no", about="wire"), NOT_HERE, "refused"),
    row("a line's owner said no, about which is not said", lambda s: s.with_record("asked", whom="line_owner", name="Somebody", date="2026-05-15", answer="no"), NOT_HERE, "refused"),
    row("the railway's conditions", lambda s: s.asked("line_owner", answer="conditions", said="Ring the signaller."), NOT_YET, "condition"),
    row("the neighbour said no, 150 m away", lambda s: s.asked("neighbour", answer="no"), NOT_YET, "refused|no"),
    row("a neighbour said no, about nothing on the map", lambda s: s.with_record("asked", whom="neighbour", name="Neighbour to the west", date="2026-05-15", answer="no"), NOT_YET, "refused|no"),
    row("the neighbour's conditions", lambda s: s.asked("neighbour", answer="conditions", said="Tell us the evening before."), NOT_YET, "condition"),
    row("railway: nobody asked", lambda s: s.without("asked", whom="line_owner"), NOT_YET, "RAIL"),
    row("railway: its owner agreed, no distance", lambda s: s.without("rules", kind="railway"), NOT_YET, "RAIL"),
    row("railway: its yes without a date", lambda s: s.asked("line_owner", date=None), NOT_YET, "RAIL"),
    row("railway: its yes three years old", lambda s: s.asked("line_owner", date="2023-05-15"), NOT_YET, "RAIL"),
    row("railway: the owner of the power line agreed", lambda s: s.asked("line_owner", about="wire"), NOT_YET, "RAIL"),
    row("railway: the neighbour agreed", lambda s: s.without("asked", whom="line_owner").with_record("asked", whom="neighbour", name="Neighbour", date="2026-05-15", answer="yes", about="rail"), NOT_YET, "RAIL"),
    row("boundary: nobody asked", lambda s: s.without("asked", whom="neighbour"), NOT_YET, "EDGE"),
    row("boundary: the neighbour agreed, no distance", lambda s: s.without("rules", kind="property_line"), NOT_YET, "EDGE"),
    row("boundary: the railway agreed to it", lambda s: s.without("asked", whom="neighbour").with_record("asked", whom="line_owner", name="Railway control", date="2026-05-15", answer="yes", about="edge"), NOT_YET, "EDGE"),
    row("boundary: a yes about the railway", lambda s: s.asked("neighbour", about="rail"), NOT_YET, "EDGE"),
    row("a pipe at 90 m: nobody asked", lambda s: s.pipe(), NOT_YET, "NEW"),
    row("a pipe at 90 m: a distance, nobody asked", lambda s: s.pipe().with_record("rules", kind="buried_line", distance_m=20, source="guess"), NOT_YET, "NEW"),
    row("a pipe at 90 m: agreed, no distance", lambda s: s.pipe().with_record("asked", whom="line_owner", name="Pipes", date="2026-05-15", answer="yes", about="new"), NOT_YET, "NEW"),
    row("the owner of the water refused", lambda s: s.waters(permission="no"), NOT_YET, "permission|refused"),
)  # fmt: skip
LOOKED = (
    row("nobody looked for houses", lambda s: s.without("looked", kind="structure"), NOT_YET, "look round"),
    row("nobody looked for buried lines", lambda s: s.without("looked", kind="buried_line"), NOT_YET, "look round"),
    row("looked 20 m for houses", lambda s: s.looked("structure", within_m=20), NOT_YET, "90 m"),
    row("looked 95 m for houses, where 300 m are asked", lambda s: s.looked("structure", within_m=95).with_record("rules", kind="structure", use="occupied_by_others", distance_m=300), NOT_YET, "300 m"),
    row("looked 10 m for buried lines", lambda s: s.looked("buried_line", within_m=10), NOT_YET, "30 m"),
    row("who looked is not said", lambda s: s.looked("stream", who=None), NOT_YET, "who"),
    row("when they looked is not said", lambda s: s.looked("stream", when=None), NOT_YET, "when"),
    row("looked two years ago", lambda s: s.looked("stream", when="2024-05-01"), NOT_YET, "2024"),
    row("looked after the burn", lambda s: s.looked("stream", when="2026-06-01"), NOT_YET, "1 Jun"),
    row("looked tomorrow", lambda s: s.looked("stream", when="2026-05-18"), NOT_YET, "to come", today=dt.date(2026, 5, 17)),
)  # fmt: skip
PERMIT = (
    row("the permit ended the day before", lambda s: s.say("permit", to="2026-05-19"), NOT_YET, "permit ended"),
    row("the permit begins the day after", lambda s: s.say("permit", **{"from": "2026-05-21"}), NOT_YET, "permit begins"),
    row("the permit ends before it begins", lambda s: s.say("permit", **{"from": "2026-06-15", "to": "2026-05-01"}), NOT_YET, "before it begins"),
    row("the permit's end is not said", lambda s: s.say("permit", to=None), NOT_YET, "permit"),
    row("the permit's begin is not said", lambda s: s.say("permit", **{"from": None}), NOT_YET, "permit"),
    row("the permit's conditions are not met", lambda s: s.say("permit", conditions="Two engines on site."), NOT_YET, "condition"),
    row("nothing said of the permit", lambda s: s.top(permit={}), NOT_YET, "permit"),
)  # fmt: skip
DATES = (
    row("no burn date", lambda s: s.say("season", date=None), NOT_YET, "burn date"),
    row("a burn date that is none", lambda s: s.say("season", date="soon"), NOT_YET, "burn date"),
    row("burn date moved past the permit", lambda s: s.say("season", date="2026-06-20"), NOT_YET, "permit ended"),
    row("burn date moved three weeks: who asked about the ban", lambda s: s.say("season", date="2026-06-10"), NOT_YET, "[Ff]ire ban"),
    row("burn date moved three weeks: moisture", lambda s: s.say("season", date="2026-06-10").say_ban("2026-06-08"), NOT_YET, "reading|[Mm]oisture"),
    row("burn date moved six weeks: water of the day", lambda s: s.say("season", date="2026-07-01").say("permit", to="2026-08-01").say_ban("2026-06-30"), NOT_YET, "[Ff]low|[Dd]epth|[Ww]ater|[Uu]sable"),
    row("burn date before the facts were seen", lambda s: s.say("season", date="2026-05-10"), NOT_YET, "after the burn"),
    row("ground seen seven months ago", lambda s: s.seen("k1", on="2025-10-10"), NOT_YET, "[Gg]round.*2025"),
    row("ground seen on no date", lambda s: s.seen("k1", on=None), NOT_YET, "when it was seen"),
    row("ground seen on a date that is none", lambda s: s.seen("k1", on="last week"), NOT_YET, "when it was seen"),
    row("ground seen after the burn", lambda s: s.seen("k1", on="2026-05-25"), NOT_YET, "after the burn"),
    row("ground seen tomorrow", lambda s: s, NOT_YET, "to come", today=DAY_BEFORE),
    row("no facts say when and where", lambda s: s.put("k1", seen=None), NOT_YET, "when it was seen|where it was seen"),
    row("the pond seen on no date", lambda s: s.seen("pond", on=None).seen("tank", on=None), NOT_YET, "POND|TANK"),
    row("the pond seen three months ago", lambda s: s.seen("pond", on="2026-02-15").seen("tank", on="2026-02-15"), NOT_YET, "POND|TANK"),
    row("the bucket filled on no date", lambda s: s.lines_seen(on=None), NOT_YET, "when it was seen"),
    row("the bucket filled a year ago", lambda s: s.lines_seen(on="2025-05-15"), NOT_YET, "2025"),
    row("the tank's bucket filled a year ago", lambda s: s.seen_link(2, on="2025-05-15"), NOT_YET, "2025"),
    row("the bucket filled after the burn", lambda s: s.lines_seen(on="2026-05-30"), NOT_YET, "after the burn"),
    row("no time zone", lambda s: s.top(timezone=None), NOT_YET, "sunrise|time zone"),
    row("a time zone that is none", lambda s: s.top(timezone="Mars/Base"), NOT_YET, "sunrise|time zone"),
    row("a time zone on the other side of the Earth", lambda s: s.top(timezone="Asia/Tokyo"), NOT_YET, "sunrise|time zone"),
    row("a fire ban in force", lambda s: s.say("season", ban="in_force"), NOT_YET, "ban is in force"),
    row("whether there is a ban is not said", lambda s: s.say("season", ban=None), NOT_YET, "fire ban"),
    row("the ban asked about two weeks before", lambda s: s.say_ban("2026-05-06"), NOT_YET, "[Ff]ire ban"),
    row("surroundings cured", lambda s: s.say("season", surroundings="cured"), NOT_YET, "cured"),
    row("surroundings not said", lambda s: s.say("season", surroundings=None), NOT_YET, "green or cured"),
    row("surroundings seen on no date", lambda s: s.seen_season(on=None), NOT_YET, "when it was seen"),
    row("surroundings seen in April", lambda s: s.seen_season(on="2026-04-20"), NOT_YET, "20 Apr"),
    row("an hour's work in the day", lambda s: s.say("season", day_starts="15:00", day_ends="16:00"), NOT_YET, "daylight|batch"),
)  # fmt: skip
ROWS = (*AUTHORITY, *OTHERS, *LOOKED, *PERMIT, *DATES)
