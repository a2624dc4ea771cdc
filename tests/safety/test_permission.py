"""Who was asked, and what an empty map proves."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sitemap.errors import BadValue
from sitemap.reasons import reason
from sitemap.safety.effects import EFFECTS, effect_of, spot_verdict, worst_effect
from sitemap.safety.looked import looked_checks
from sitemap.safety.permission import answer_about, authority_check, owner_checks
from sitemap.safety.reading import LABELS, rules_of
from sitemap.safety.rules import default_rules
from tests.safety.drawn import AGREED, LOOKED, SIGNED, asked, looked, record

ASKED = {"whom": "authority", "name": "A. Warden", "date": "2026-11-20"}


@pytest.mark.parametrize(
    ("records", "verdict", "effect"),
    [
        ([], "authority not asked", "conditional"),
        ([{**ASKED, "answer": "yes"}], "asked and agreed", "passes"),
        ([{**ASKED, "answer": "conditions", "said": "tell us the day before"}], "conditions open", "conditional"),
        ([{**ASKED, "answer": "conditions", "conditions_met": True, **SIGNED}], "asked and agreed", "passes"),
        ([{**ASKED, "answer": "conditions", "conditions_met": True}], "not known", "conditional"),
        ([{**ASKED, "answer": "conditions", "conditions_met": True, "met_by": "B. Owner"}], "not known", "conditional"),
        ([{**ASKED, "answer": "yes", "about": "line-1"}], "authority not asked", "conditional"),  # of something else
        ([{**ASKED, "answer": "no", "about": "line-1"}], "refused by the authority", "ruled out"),  # a no is a no
        ([{**ASKED, "answer": "no"}], "refused by the authority", "ruled out"),
        ([ASKED], "authority not asked", "conditional"),  # no answer
        ([{"whom": "authority", "answer": "yes"}], "authority not asked", "conditional"),  # no name, no date
        ([{**ASKED, "name": None, "answer": "yes"}], "authority not asked", "conditional"),
        ([{"whom": "authority", "answer": "no"}], "refused by the authority", "ruled out"),
        ([{**ASKED, "whom": "neighbour", "answer": "yes"}], "authority not asked", "conditional"),
        ([{**ASKED, "answer": "no"}, {**ASKED, "date": "2026-11-22", "answer": "yes"}], "asked and agreed", "passes"),
        ([{**ASKED, "answer": "no"}, {**ASKED, "answer": "yes"}], "refused by the authority", "ruled out"),
    ],
)
def test_law_authority(records, verdict, effect) -> None:
    check = authority_check([asked(**values) for values in records])
    assert (check.verdict, check.effect) == (verdict, effect)


@pytest.mark.parametrize(
    ("entered", "lacks"),
    [
        ({"name": "A. Warden", "date": "2026-11-20"}, "answer"),
        ({"name": "A. Warden", "answer": "yes"}, "date"),
        ({"answer": "yes"}, "name and date"),
        ({}, "name, date and answer"),
    ],
)
def test_law_half_an_entry_of_the_authority_says_what_it_lacks(entered, lacks) -> None:
    """Whoever typed the name is not told that nobody was asked."""
    check = authority_check((asked(whom="authority", **entered),))
    assert check.verdict == "authority not asked"
    assert f"entered without {lacks};" in check.told()
    elsewhere = authority_check((asked(whom="authority", about="line-1", **entered),))
    assert "Nobody has entered" in elsewhere.told()


def test_law_conditions_are_said() -> None:
    check = authority_check([asked(**ASKED, answer="conditions", said="wind below 10 mph")])
    assert "wind below 10 mph" in check.told()
    assert "open until each condition is ticked" in check.told()
    met = authority_check(
        [asked(**ASKED, **SIGNED, answer="conditions", said="wind below 10 mph", conditions_met=True)]
    )
    assert f"wind below 10 mph; each condition is met: {SIGNED['met_by']}" in met.told()


def test_law_an_answer_is_about_one_feature() -> None:
    answers = (asked(whom="line_owner", name="N", date="2026-11-01", answer="yes", about="line-1"),)
    assert answer_about(answers, ("line_owner",), "line-1") is not None
    assert answer_about(answers, ("line_owner",), "line-2") is None
    assert answer_about(answers, ("neighbour",), "line-1") is None


def test_law_an_owner_asked_about_the_only_line_need_not_name_it() -> None:
    answers = (asked(who="line owner", name="N", when="2026-11-01", answer="agreed"),)
    assert answer_about(answers, ("line_owner",), "line-1", alone=True) is not None
    assert answer_about(answers, ("line_owner",), "line-1") is None
    about_another = (asked(whom="line_owner", name="N", date="2026-11-01", answer="yes", about="line-2"),)
    assert answer_about(about_another, ("line_owner",), "line-1", alone=True) is None
    of_authority = (asked(whom="authority", name="N", date="2026-11-01", answer="yes"),)
    assert answer_about(of_authority, ("line_owner", "authority"), "line-1", alone=True) is None


def test_law_an_empty_map_proves_nothing() -> None:
    checks = looked_checks(default_rules(), (), LABELS)
    assert {check.about for check in checks} >= {"structure", "road", "power_line", "stream", "railway", "hazard_tree"}
    assert {check.verdict for check in checks} == {"not known"}


def test_law_having_looked_is_an_input() -> None:
    checks = looked_checks(default_rules(), [(each, 0.0) for each in LOOKED], LABELS)
    assert {check.verdict for check in checks} == {"far enough"}
    (house,) = [check for check in checks if check.about == "structure"]
    assert house.told() == "Structure: looked, none within 200 m but what is on the map (B. Owner, Thu 19 Nov 2026)."


@pytest.mark.parametrize(
    ("values", "verdict", "word"),
    [
        ({"within_m": 90, "who": "B", "when": "2026-11-19"}, "far enough", "none within 90 m"),
        ({"within_m": 89, "who": "B", "when": "2026-11-19"}, "not known", "90 m is needed"),
        ({"within_m": 500, "when": "2026-11-19"}, "not known", "is missing"),
        ({"within_m": 500, "who": "B"}, "not known", "is missing"),
        ({"who": "B", "when": "2026-11-19"}, "not known", "is missing"),
    ],
)
def test_law_looked_needs_distance_name_and_date(values, verdict, word) -> None:
    checks = looked_checks(default_rules(), [(looked(kind="structure", **values), 0.0)], LABELS)
    (house,) = [check for check in checks if check.about == "structure"]
    assert house.verdict == verdict
    assert word in house.told()


@pytest.mark.parametrize(("away_m", "verdict"), [(0.0, "far enough"), (110.0, "far enough"), (111.0, "not known")])
def test_law_a_look_reaches_no_further_than_from_where_it_was_made(away_m: float, verdict: str) -> None:
    """Nothing within 200 m of one place shows nothing within 90 m of another only where 110 m or less lie between (D:
    triangle inequality)."""
    house = looked(kind="structure", within_m=200, who="B", when="2026-11-19")
    (found,) = [each for each in looked_checks(default_rules(), [(house, away_m)], LABELS) if each.about == "structure"]
    assert found.verdict == verdict
    assert verdict != "not known" or "round a place 111 m away, and 90 m round this one" in found.told()


def test_law_replacing_a_rule_changes_how_far_to_look_but_not_whether() -> None:
    seen = [(looked(kind="structure", within_m=50, who="B", when="2026-11-19"), 0.0)]
    own_only = rules_of((record("rules", kind="structure", use="own", distance_m=10),))
    everyone = rules_of((record("rules", kind="structure", distance_m=46),))
    (strict,) = [c for c in looked_checks(own_only, seen, LABELS) if c.about == "structure"]
    (eased,) = [c for c in looked_checks(everyone, seen, LABELS) if c.about == "structure"]
    assert (strict.verdict, eased.verdict) == ("not known", "far enough")


def test_law_a_long_machine_must_look_further_for_lines() -> None:
    seen = [(looked(kind="power_line", within_m=30, who="B", when="2026-11-19"), 0.0)]
    verdicts = [
        [c.verdict for c in looked_checks(default_rules(), seen, LABELS, reach) if c.about == "power_line"]
        for reach in (None, 20.0)
    ]
    assert verdicts == [["far enough"], ["not known"]]


def test_law_worst_effect_decides_and_nothing_checked_is_conditional() -> None:
    assert worst_effect(["passes", "conditional"]) == "conditional"
    assert worst_effect(["conditional", "ruled out", "passes"]) == "ruled out"
    assert worst_effect([]) == "conditional"
    assert spot_verdict(["passes"]) == "passes the checks entered"
    assert spot_verdict(["ruled out"]) == "ruled out"


def test_law_words_of_the_agreed_table() -> None:
    """House rule: what a check does to a spot."""
    assert [EFFECTS[word] for word in ("far enough", "enough, proved")] == ["passes"] * 2
    words = ("enough on paper", "tight", "measure on the ground", "not known", "no distance entered", "duff or litter")
    assert {EFFECTS[word] for word in (*words, "authority not asked")} == {"conditional"}
    assert {EFFECTS[word] for word in ("too close", "ground peat or roots", "power line not agreed")} == {"ruled out"}


def test_refuses_a_verdict_without_an_effect() -> None:
    with pytest.raises(BadValue, match="“fine” has no effect"):
        effect_of("fine")


def test_law_the_authority_sample_is_complete() -> None:
    assert authority_check((AGREED,)).effect == "passes"


def test_law_only_a_yes_grows_old() -> None:
    old = reason("safety.refused_by_someone")  # any finding: what matters is that there is one
    for answer, effect in (("yes", "conditional"), ("conditions", "conditional"), ("no", "ruled out")):
        check = authority_check((replace(asked(**ASKED, answer=answer), doubt=old),))
        assert check.effect == effect
    met = replace(asked(**ASKED, answer="conditions", conditions_met=True, **SIGNED), doubt=old)
    assert authority_check((met,)).effect == "conditional"
    assert [c.effect for c in owner_checks((replace(met, whom="land_owner", conditions_met=False),))] == ["conditional"]


@pytest.mark.parametrize(
    ("whom", "answer", "verdict"),
    [
        ("land_owner", "no", "refused by the owner"),
        ("line_owner", "no", "refused by the owner"),
        ("neighbour", "no", "refused next door"),
        ("neighbour", "conditions", "conditions open"),
    ],
)
def test_law_a_no_is_heard_wherever_the_thing_lies(whom, answer, verdict) -> None:
    (check,) = owner_checks((asked(**{**ASKED, "whom": whom}, answer=answer),))
    assert check.verdict == verdict
    assert check.effect == ("ruled out" if verdict == "refused by the owner" else "conditional")
    assert owner_checks((asked(**{**ASKED, "whom": whom}, answer="yes"),)) == ()
    (later,) = owner_checks((asked(whom=whom, answer="no"), asked(**{**ASKED, "whom": whom}, answer="yes")))
    assert later.effect != "passes", "half a no is a no"


@given(
    st.lists(
        st.tuples(
            st.sampled_from(["authority", "neighbour", "line_owner", "land_owner"]),
            st.integers(1, 28),
            st.sampled_from(["yes", "conditions", "no"]),
        ),
        max_size=4,
    ),
    st.sampled_from(["authority", "neighbour", "line_owner", "land_owner"]),
)
def test_law_one_no_more_of_the_last_day_never_helps(said, whom) -> None:
    before = tuple(asked(whom=who, name="N", date=f"2026-10-{day:02}", answer=answer) for who, day, answer in said)
    after = (*before, asked(whom=whom, name="N", date="2026-10-29", answer="no"))
    order = ["passes", "conditional", "ruled out"]
    worst = [
        max((c.effect for c in (authority_check(each), *owner_checks(each))), key=order.index)
        for each in (before, after)
    ]
    assert order.index(worst[0]) <= order.index(worst[1])
    assert worst[1] != "passes"
