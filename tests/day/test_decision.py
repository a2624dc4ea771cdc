"""One decision per kiln: a bar always decides, and nothing else does."""

from __future__ import annotations

import datetime as dt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sitemap.day import matters
from sitemap.day.crew import hands_check
from sitemap.day.decision import WORDS, decide
from sitemap.reasons import Quantity, reason
from sitemap.safety.effects import EFFECTS, PASSES, RULED_OUT
from sitemap.safety.permission import Check, checked
from sitemap.telling import tell, words

WORD = st.sampled_from(sorted(EFFECTS))
ON = dt.date(2026, 10, 10)


def check(verdict: str, name: str = "ground") -> Check:
    return checked(name, verdict, "k1", reason("day.no_ban"))


@given(verdicts=st.lists(WORD, min_size=1, max_size=8))
def test_law_a_kiln_may_be_lit_only_where_nothing_bars_it(verdicts: list[str]) -> None:
    decision = decide("k1", "K1", [check(verdict) for verdict in verdicts])
    effects = {EFFECTS[verdict] for verdict in verdicts}
    assert decision.may_be_lit == (effects == {PASSES})
    assert (decision.word == "may be lit") == decision.may_be_lit == (decision.because == ())
    assert (decision.word == "not here") == (RULED_OUT in effects)


@given(verdicts=st.lists(WORD, min_size=1, max_size=8), more=WORD)
def test_law_one_check_more_never_improves_a_decision(verdicts: list[str], more: str) -> None:
    before = decide("k1", "K1", [check(verdict) for verdict in verdicts])
    after = decide("k1", "K1", [check(verdict) for verdict in (*verdicts, more)])
    assert WORDS.index(after.word) >= WORDS.index(before.word)


def test_law_what_is_wrong_is_told_before_what_is_not_known() -> None:
    decision = decide("k1", "K1", [check("not known"), check("steep", "slope"), check("too close", "distance")])
    assert [bar.check for bar in decision.because] == ["distance", "slope", "ground"]


def test_refuses_a_decision_that_rests_on_nothing() -> None:
    with pytest.raises(ValueError, match="rests on checks"):
        decide("k1", "K1", [])


@pytest.mark.parametrize("verdict", sorted(word for word, effect in EFFECTS.items() if effect != PASSES))
@pytest.mark.parametrize("name", ["ground", "distance", "water_quench", "permit", "people", "never heard of"])
def test_law_every_bar_names_an_action(name: str, verdict: str) -> None:
    (bar,) = decide("k1", "K1", [check(verdict, name)]).because
    assert bar.action.code.startswith("action.")
    assert tell(bar.action)


def test_law_the_actions_are_imperatives_without_a_stop() -> None:
    assert [told for told in words("en")["action"].values() if told[0].isupper() or told.endswith(".")] == []


@pytest.mark.parametrize(
    ("permit", "on", "verdict"),
    [
        (matters.Permit(dt.date(2026, 9, 1), dt.date(2026, 10, 10), no_conditions=True), ON, "inside the permit"),
        (matters.Permit(dt.date(2026, 10, 10), dt.date(2026, 11, 1), no_conditions=True), ON, "inside the permit"),
        (matters.Permit(dt.date(2026, 10, 10), dt.date(2026, 11, 1)), ON, "not known"),
        (matters.Permit(dt.date(2026, 9, 1), dt.date(2026, 10, 9)), ON, "outside the permit"),
        (matters.Permit(dt.date(2026, 10, 11), dt.date(2026, 11, 1)), ON, "outside the permit"),
        (matters.Permit(dt.date(2026, 11, 1), dt.date(2026, 9, 1)), ON, "not known"),
        (matters.Permit(None, dt.date(2026, 11, 1)), ON, "not known"),
        (matters.Permit(dt.date(2026, 9, 1), None), ON, "not known"),
        (matters.Permit(dt.date(2026, 9, 1), dt.date(2026, 11, 1)), None, "not known"),
        (matters.Permit(), ON, "not known"),
        (matters.Permit(none_needed=True), ON, "no permit needed"),
    ],
)
def test_law_the_permit_by_its_days(permit: matters.Permit, on: dt.date | None, verdict: str) -> None:
    assert matters.permit_check(permit, on).verdict == verdict


@pytest.mark.parametrize(
    ("made", "effect"),
    [
        (matters.date_check(None), "conditional"),
        (matters.date_check(ON), "passes"),
        (matters.date_check(ON, ON), "passes"),
        (matters.date_check(ON, ON + dt.timedelta(days=1)), "conditional"),
        (matters.ban_check(None), "conditional"),
        (matters.ban_check("in_force"), "conditional"),
        (matters.ban_check("none"), "passes"),
        (matters.surroundings_check(None), "conditional"),
        (matters.surroundings_check("cured"), "conditional"),
        *((matters.surroundings_check(state), "passes") for state in ("snow", "wet", "green", "drying")),
        (matters.people_check(None), "conditional"),
        (matters.people_check(1), "conditional"),
        (matters.people_check(2), "passes"),
        (matters.call_check((None, None), "112"), "conditional"),
        (matters.call_check(("by the road", None), None), "conditional"),
        (matters.call_check((None, "channel 4"), "112"), "passes"),  # one of the two is enough
        (matters.daylight_check("k1", "Box", False, None), "conditional"),
        (matters.daylight_check("k1", "Box", True, False), "conditional"),
        (matters.daylight_check("k1", None, True, None), "conditional"),
        (matters.daylight_check("k1", "Box", True, True), "passes"),
    ],
)
def test_law_the_matters_of_the_day(made: Check, effect: str) -> None:
    assert made.effect == effect
    assert tell(made.reason)


def test_law_who_cannot_burn_that_day_is_told_how_long_a_batch_takes() -> None:
    needs = Quantity(6.9, "h", 2)
    told = tell(matters.daylight_check("k1", "Box", True, False, needs).reason)
    assert told == "no batch of Box fits the daylight of the day: one takes 6.9 h from lighting to water"


def test_law_where_no_clock_is_known_nobody_is_asked_for_fewer_kilns() -> None:
    """Of one kiln whose batch fits no day the sheet asked for fewer kilns at one time."""
    told = tell(decide("k1", "K1", [hands_check(12, None)]).because[0].action)
    assert told == "enter the adults on site, and make a batch fit the day"


def test_law_a_batch_too_long_for_the_day_asks_for_nothing_that_is_entered_already() -> None:
    """Where the clock is worked out, nothing is lacking: another batch or another day is. Where it is not, that is."""
    unfit, unknown = (
        decide("k1", "K1", [matters.daylight_check("k1", "Box", True, fits)]).because[0].action
        for fits in (False, None)
    )
    assert "enter" not in tell(unfit)
    assert tell(unknown) == "enter what the clock lacks"
