"""No danger silences another: what bars a kiln by one change alone still bars it beside a second one.

The changes are the rows of the table, two that leave each other's words alone. What kilns share (people, gear, water)
goes round where one of them may not stand at all, and a kiln that nobody knows any more asks for none of it.
"""

from __future__ import annotations

from functools import cache

from hypothesis import assume, given, reject
from hypothesis import strategies as st

from sitemap.day.decision import NOT_HERE, Decision
from sitemap.telling import sentence
from tests.safety.dangerous.rows import Row
from tests.safety.dangerous.safe_site import SafeSite
from tests.safety.dangerous.test_table import ROWS

KILNS = ("k1", "k2")
SHARED = {"hands", "raking", "daylight", "wood", "water_quench", "water_attack"}
TOGETHER = [each.values[0] for each in ROWS if each.values[0].today is None]
WHICH = st.integers(0, len(TOGETHER) - 1)


@cache
def made(number: int) -> SafeSite:
    return TOGETHER[number].change(SafeSite())


@cache
def alone(number: int) -> tuple[Decision, ...]:
    return made(number).assessed().decisions


def after(first: Row, second: Row) -> SafeSite | None:
    """Both changes, the second upon the first; None where it finds no more what it changes."""
    try:
        return second.change(first.change(SafeSite()))
    except (AssertionError, IndexError, KeyError, StopIteration):
        return None


def same_places(number: int) -> bool:
    """Whether the kilns stand where they stood, on the day and by the distances they had."""
    safe, now = SafeSite(), made(number)
    spots = all(
        key in now.features and now.features[key]["geometry"] == safe.features[key]["geometry"] for key in KILNS
    )
    burn = [each.member["season"].get("date") for each in (safe, now)]
    return spots and burn[0] == burn[1] and all(now.member.get(name) == safe.member[name] for name in ("rules", "crew"))


@given(WHICH, WHICH)
def test_law_no_danger_silences_another(one: int, other: int) -> None:
    assume(one != other and same_places(one) and same_places(other))
    both, turned = after(TOGETHER[one], TOGETHER[other]), after(TOGETHER[other], TOGETHER[one])
    if both is None or turned is None:
        reject()
    assume((both.features, both.member) == (turned.features, turned.member))
    found = both.assessed().decisions
    lost = {"place", "kiln", "date"} & {bar.check for each in found for bar in each.because}
    free = lost or any(each.word == NOT_HERE for each in found)
    for number in (one, other):
        for was in alone(number):
            now = next(each for each in found if each.spot == was.spot)
            said = " ".join(sentence(bar.reason) for bar in now.because)
            bars = {bar.check for bar in now.because}
            for bar in was.because:
                if bar.check == "distance" and bar.about in made(number).features:
                    assert made(number).features[bar.about]["properties"]["name"] in said, bar
                else:
                    assert bar.check in bars or (free and bar.check in SHARED), bar
