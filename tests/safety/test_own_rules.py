"""Own distances beside the usual ones, on the limit and to both sides of it; which of several rules governs."""

from __future__ import annotations

from dataclasses import replace

import pytest

from sitemap.reasons import Term
from sitemap.safety.own_rules import own_rule_checks, shorter_in_print, usual_of
from sitemap.safety.rules import NO_SOURCE, Rule, default_rules, governing, look_for, rules_for
from sitemap.telling import tell

USUAL = next(rule for rule in default_rules() if rule.kind == "structure")
OWN = replace(USUAL, id="own", use="", source="County code 7, page 3", evidence="P", entered=True, look_m=None)
MOST = usual_of(OWN) or 0.0
UNHEARD = replace(OWN, kind="beehive")
LABELS = {"structure": Term("Building")}


@pytest.mark.parametrize(
    ("rule", "verdict"),
    [
        (replace(OWN, distance_m=MOST), None),
        (replace(OWN, distance_m=MOST + 0.1), None),
        (replace(OWN, distance_m=MOST - 0.1), None),
        (replace(OWN, distance_m=MOST - 0.1, evidence="M"), "below the usual distance"),
        (replace(OWN, distance_m=MOST - 0.1, source=NO_SOURCE), "below the usual distance"),
        (replace(OWN, distance_m=MOST, evidence="M"), None),
        (replace(OWN, distance_m=0.0), "below the usual distance"),
        (replace(OWN, distance_m=None), "no distance entered"),
        (replace(OWN, distance_m=1.0, evidence="M", entered=False), None),
        (replace(OWN, distance_m=None, entered=False), None),
        (replace(UNHEARD, distance_m=3.0, evidence="M"), None),
        (replace(UNHEARD, distance_m=0.0), "below the usual distance"),
        (replace(UNHEARD, kind="no_go", distance_m=0.0), None),
    ],
)
def test_law_a_shorter_distance_is_asked_about_unless_its_text_was_seen_in_print(
    rule: Rule, verdict: str | None
) -> None:
    assert [check.verdict for check in own_rule_checks([rule], LABELS)] == ([verdict] if verdict else [])


@pytest.mark.parametrize(
    ("rule", "said"),
    [
        (replace(OWN, distance_m=MOST - 0.5), True),
        (replace(OWN, distance_m=MOST), False),
        (replace(OWN, distance_m=MOST - 0.5, evidence="M"), False),
        (replace(OWN, distance_m=0.0), False),
        (replace(OWN, distance_m=None), False),
        (replace(OWN, distance_m=MOST - 0.5, entered=False), False),
        (replace(UNHEARD, distance_m=1.0), False),
    ],
)
def test_law_a_shorter_distance_that_holds_is_said_with_both_figures_and_its_source(rule: Rule, said: bool) -> None:
    found = [tell(each) for each in shorter_in_print([rule], LABELS)]
    assert bool(found) == said
    assert not said or all(part in found[0] for part in ("Building", rule.source))


def test_law_the_usual_distance_of_a_use_is_that_of_the_use_and_of_none_the_longest() -> None:
    uses = {rule.use: rule.distance_m for rule in default_rules() if rule.kind == "structure" and rule.distance_m}
    assert len(set(uses.values())) > 1
    assert usual_of(OWN) == max(uses.values())
    for use, distance_m in uses.items():
        assert (usual_of(replace(OWN, use=use)) or 0.0) >= distance_m
    assert min(usual_of(replace(OWN, use=use)) or 0.0 for use in uses if use) < max(uses.values())
    assert usual_of(UNHEARD) is None


def test_law_the_longest_of_the_rules_that_speak_of_a_thing_governs() -> None:
    rules = [
        replace(OWN, id=str(far), use=use, distance_m=far)
        for far, use in ((5.0, ""), (9.0, "staged"), (7.0, ""), (None, ""))
    ]
    assert [rule.id for rule in rules_for(rules, "structure", "")] == ["5.0", "7.0", "None"]
    for use, far in (("", 7.0), ("staged", 9.0), ("lived in", 7.0)):
        rule, distance_m = governing(rules, "structure", use)
        assert (rule.id if rule else None, distance_m) == (str(far), far)
    assert governing(rules, "beehive", "") == (None, None)
    silent, distance_m = governing(rules[-1:], "structure", "")
    assert (silent, distance_m) == (rules[-1], None)


@pytest.mark.parametrize(("height_m", "required"), [(None, 37.5), (10.0, 15.0), (0.0, 0.0)])
def test_law_a_distance_in_trees_grows_with_the_tree(height_m: float | None, required: float) -> None:
    """One and a half lengths; of a tree nobody measured 25 m are taken (C)."""
    assert replace(OWN, tree_lengths=1.5, distance_m=2.0).required_m(height_m) == required
    assert replace(OWN, distance_m=2.0).required_m(height_m) == 2.0


def test_law_of_a_kind_with_several_looks_the_farthest_is_asked() -> None:
    asked = look_for()
    for rule in default_rules():
        assert rule.look_m is None or asked[rule.kind] >= rule.look_m
    assert set(asked.items()) <= {(rule.kind, rule.look_m) for rule in default_rules()}
