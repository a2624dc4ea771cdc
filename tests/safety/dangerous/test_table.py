"""Two hundred dangerous set-ups, one change each to a safe site: none may be lit, and each says why.

The set-ups are those of a fire officer's walk round a burn site: common practice, no source; the distances behind them
stand with their sources in the tables.
"""

from __future__ import annotations

import re

import pytest

from sitemap.day.decision import MAY, WORDS, Decision
from sitemap.telling import sentence
from tests.safety.dangerous import asked, people, place, water
from tests.safety.dangerous.rows import Row
from tests.safety.dangerous.safe_site import SafeSite

FIRST = 4  # bars somebody reads before anything else
ROWS = (*place.ROWS, *asked.ROWS, *water.ROWS, *people.ROWS)


def told(decision: Decision) -> list[str]:
    """What the first bars say: what is wrong, and what to do about it."""
    said = []
    for bar in decision.because[:FIRST]:
        wrong = bar.reason if isinstance(bar.reason, str) else sentence(bar.reason)
        said.append(f"{bar.check}, {bar.verdict}: {wrong} {sentence(bar.action)}")
    return said


def test_law_both_kilns_of_the_safe_site_may_be_lit() -> None:
    assert [told(decision) for decision in SafeSite().assessed().decisions] == [[], []]


@pytest.mark.parametrize("row", ROWS)
def test_refuses_a_dangerous_set_up(row: Row) -> None:
    decision = row.change(SafeSite()).assessed(row.today).decision(row.kiln)
    assert decision is not None
    assert WORDS.index(decision.word) >= WORDS.index(row.word) > WORDS.index(MAY), told(decision)
    assert any(re.search(row.says, each, re.IGNORECASE) for each in told(decision)), told(decision)
