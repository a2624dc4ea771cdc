# ruff: noqa: E501 - a set-up is one line, to be read down the table
"""A kiln that burned before and is not proved cold, beside the one that is to be lit."""

from __future__ import annotations

from typing import Any

from tests.safety.dangerous.rows import NOT_YET, row
from tests.safety.dangerous.safe_site import SafeSite

BURNED = {"date": "2026-05-18", "kiln": "K1", "lit": "09:00", "water_on": "14:00"}
EVENING = {"kiln": "K1", "date": "2026-05-18", "time": "16:30", "who": "Ann", "found": "cold"}
MORNING = {"kiln": "K1", "date": "2026-05-19", "time": "08:00", "who": "Ann", "found": "cold"}
COLD = "not proved cold|cold checks|warm place"


def burned(site: SafeSite, *looks: dict[str, Any], **said: Any) -> SafeSite:
    """The safe site with a batch of two days before, who looked at it since, and its weather read with that before the
    eyes; None takes a part away."""
    batch = {key: value for key, value in {**BURNED, **said}.items() if value is not None}
    return site.top(log=[batch], cold=list(looks)).signed()


ROWS = (
    row("burned, and nobody looked", lambda s: burned(s), NOT_YET, COLD),
    row("burned beside it, and nobody looked", lambda s: burned(s, kiln="K2"), NOT_YET, COLD),
    row("one cold check", lambda s: burned(s, EVENING), NOT_YET, "1 of 2"),
    row("two cold checks the same evening", lambda s: burned(s, EVENING, {**EVENING, "time": "19:00"}), NOT_YET, COLD),
    row("two cold checks at one moment", lambda s: burned(s, MORNING, {**MORNING, "who": "Ben"}), NOT_YET, COLD),
    row("a cold check an hour after the water", lambda s: burned(s, {**EVENING, "time": "15:00"}, MORNING), NOT_YET, "1 of 2"),
    row("a cold check the same day, time of the water not said", lambda s: burned(s, EVENING, MORNING, water_on=None), NOT_YET, "1 of 2"),
    row("cold checks nobody signed", lambda s: burned(s, {**EVENING, "who": ""}, {**MORNING, "who": " "}), NOT_YET, "0 of 2"),
    row("cold checks without a date", lambda s: burned(s, {**EVENING, "date": None}, {**MORNING, "date": None}), NOT_YET, "0 of 2"),
    row("cold checks before the fire", lambda s: burned(s, EVENING, MORNING, date="2026-05-19"), NOT_YET, COLD),
    row("a cold check still to come", lambda s: burned(s, EVENING, {**MORNING, "date": "2026-05-21"}), NOT_YET, "1 of 2"),
    row("a warm place after two cold checks", lambda s: burned(s, EVENING, MORNING, {**MORNING, "time": "18:00", "found": "warm"}), NOT_YET, "warm place"),
    row("a warm place on a day nobody wrote down", lambda s: burned(s, EVENING, MORNING, {"kiln": "K1", "found": "warm"}), NOT_YET, "warm place"),
    row("a check that does not say what it found", lambda s: burned(s, EVENING, MORNING, {**MORNING, "time": "18:00", "found": None}), NOT_YET, "warm place"),
    row("checks of another kiln", lambda s: burned(s, {**EVENING, "kiln": "K2"}, {**MORNING, "kiln": "K2"}), NOT_YET, "0 of 2"),
    row("burned on a day nobody wrote down", lambda s: burned(s, EVENING, MORNING, date=None), NOT_YET, "which day"),
    row("burned on a day still to come", lambda s: burned(s, EVENING, MORNING, date="2027-05-18"), NOT_YET, "still to come"),
    row("burned in a kiln nobody named", lambda s: burned(s, EVENING, MORNING, kiln=None), NOT_YET, COLD),
    row("burned in a kiln that is not on the map", lambda s: burned(s, EVENING, MORNING, kiln="K9"), NOT_YET, COLD),
    row("burned again after two cold checks", lambda s: burned(s, EVENING, MORNING).with_record("log", date="2026-05-19", kiln="K1", lit="09:00"), NOT_YET, "19 May"),
    row("a phone's line in words only", lambda s: s.top(log=[{"date": "2026-05-18", "kiln": "K1", "text": "08:10 Ann: lit", "phone": "a1"}]), NOT_YET, COLD),
    row("a phone's first check alone", lambda s: burned(s).top(ticks=[{"what": "cold first K1", "who": "Ann", "when": "2026-05-18 16:30"}]), NOT_YET, "1 of 2"),
    row("a heap beside it that is said to be burned, by no batch", lambda s: s.put("p2", status="burned").move("p2", -15, 0), NOT_YET, "no batch of the log"),
    row("days without burning that nobody wrote down", lambda s: s.top(closed=[{"why": "county ban"}]), NOT_YET, "county ban"),
    row("found warm on the burn date", lambda s: burned(s, {**EVENING, "date": "2026-05-20", "found": "warm"}, date="2026-05-20"), NOT_YET, "warm place"),
)  # fmt: skip
