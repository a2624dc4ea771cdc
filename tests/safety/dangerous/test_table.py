"""Four hundred dangerous set-ups, one change each to a safe site: none may be lit, and each says why.

The set-ups are those of a fire officer's walk round a burn site: common practice, no source; the distances behind them
stand with their sources in the tables.
"""

from __future__ import annotations

import re

import pytest

from sitemap.day.decision import MAY, WORDS, Decision
from sitemap.telling import sentence
from tests.safety.dangerous import afterwards, asked, people, place, second_walk, third_walk, water
from tests.safety.dangerous.rows import Row
from tests.safety.dangerous.safe_site import SafeSite
from tests.safety.dangerous.safe_values import SEEN, point

FIRST = 4  # bars somebody reads before anything else
ROWS = (*place.ROWS, *asked.ROWS, *water.ROWS, *people.ROWS, *afterwards.ROWS, *second_walk.ROWS, *third_walk.ROWS)


def told(decision: Decision) -> list[str]:
    """What the first bars say: what is wrong, and what to do about it."""
    said = []
    for bar in decision.because[:FIRST]:
        wrong = bar.reason if isinstance(bar.reason, str) else sentence(bar.reason)
        said.append(f"{bar.check}, {bar.verdict}: {wrong} {sentence(bar.action)}")
    return said


def test_law_both_kilns_of_the_safe_site_may_be_lit() -> None:
    assert [told(decision) for decision in SafeSite().assessed().decisions] == [[], []]


def test_law_no_water_is_open_beside_a_yes() -> None:
    """One verdict, one wording: what a kiln that may be lit draws from reads as what it is, there and allowed."""
    seen = SafeSite().assessed()
    assert [source.verdict for source in seen.sources] == ["holds enough", "holds enough"]
    old = SafeSite().seen("pond", on="2026-02-15").assessed()
    assert [source.verdict for source in old.sources] == ["not known", "holds enough"]
    leave = SafeSite().put("pond", permission="asked").assessed()
    assert [source.verdict for source in leave.sources] == ["not known", "holds enough"]


def test_law_what_is_said_in_full_may_be_lit() -> None:
    """Beside the rows that lack something of it: a small feed heap, a tick that is signed, buckets that were timed, a
    reading inside the limits of the permit, cured grass among which the officer allows it that day (C)."""
    fed = SafeSite().add("pile", point(-6, 0), **place.FEED).put("k1", serves=["p1"]).put("k2", serves=["p2"])
    signed = SafeSite().asked("authority", answer="conditions", conditions_met=True, met_by="Somebody", met_on=SEEN)
    read = SafeSite().member["weather_read"] | {"wind_m_s": 4, "gust_m_s": 5, "quiet": 60}
    calm = SafeSite().say("permit", wind_km_h=16, gust_km_h=20, wind_at="20_ft").top(weather_read=read)
    cured = SafeSite().say("season", surroundings="cured").top(weather_read={**read, "cured_by": "Officer on duty"})
    for site in (fed, signed, calm, cured):
        assert [told(decision) for decision in site.assessed().decisions] == [[], []]
    quench = SafeSite().carried(**water.TIMED).assessed().water.of_spot("k1").quench  # type: ignore[union-attr]
    assert (quench.way, quench.verdict) == ("hand", "enough, proved")


@pytest.mark.parametrize("row", ROWS)
def test_refuses_a_dangerous_set_up(row: Row) -> None:
    decision = row.change(SafeSite()).assessed(row.today).decision(row.kiln)
    assert decision is not None
    assert WORDS.index(decision.word) >= WORDS.index(row.word) > WORDS.index(MAY), told(decision)
    assert any(re.search(row.says, each, re.IGNORECASE) for each in told(decision)), told(decision)
