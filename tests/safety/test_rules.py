"""The default set, the published examples beside it, and the site's own rows."""

import pytest

from sitemap import tables
from sitemap.safety.reading import rules_of
from sitemap.safety.rules import default_rules, rules_for
from sitemap.site.kinds import KINDS
from tests.safety.drawn import record


@pytest.mark.parametrize(
    ("kind", "use", "metres"),
    [
        ("structure", "own", 15),
        ("structure", "occupied_by_others", 90),
        ("standing_timber", "", 8),
        ("pile", "heap", 8),
        ("windrow", "heap", 8),
        ("pile", "large_heap", 15),
        ("pile", "staged", 3),
        ("road", "public", 30),
        ("stream", "", 10),
        ("wetland", "", 10),
        ("water_source", "open_water", 10),
        ("power_line", "overhead", 30),
        ("fuel_store", "", 15),
        ("kiln_spot", "", 6),
        ("no_go", "", 0),
        ("property_line", "", None),
        ("railway", "", None),
        ("buried_line", "", None),
    ],
)
def test_law_the_default_set_is_the_one_agreed(kind, use, metres) -> None:
    """The cautious default set as the trade asked for it (ours, C); None means ask."""
    (rule,) = rules_for(default_rules(), kind, use)
    assert rule.distance_m == metres


def test_published_examples_carry_their_own_figure() -> None:
    """The metres of each example are the feet printed in its source (1 ft = 0.3048 m exactly)."""
    for row in tables.load("setback_examples").values():
        number, _, unit = str(row["shown"]).replace(",", "").split("–")[-1].partition(" ")
        if row.get("distance_m") is not None:
            assert row["distance_m"] == pytest.approx(float(number) * {"ft": 0.3048, "m": 1.0}[unit]), row.key
        assert row["condition"], row.key


@pytest.mark.parametrize(
    ("key", "kind", "use"),
    [
        ("florida_woods", "standing_timber", ""),
        ("scotland_road", "road", "public"),
        ("british_columbia_town_stream", "stream", ""),
        ("florida_other_building", "structure", "occupied_by_others"),
        ("approved_container_structure", "structure", "own"),
    ],
)
def test_published_defaults_are_not_below_small_fire_examples(key, kind, use) -> None:
    """The default is cautious: not below a published distance for a small fire (Florida FAC 62-256.700 S, Roads
    (Scotland) Act 1984 s.100 P, a British Columbia town bylaw P, International Fire Code 307.4 S)."""
    (rule,) = rules_for(default_rules(), kind, use)
    assert rule.distance_m >= tables.load("setback_examples")[key]["distance_m"]


def test_law_every_rule_speaks_of_a_kind_and_has_condition_source_evidence() -> None:
    for rule in default_rules():
        assert rule.kind in KINDS
        assert all((rule.condition, rule.source, rule.evidence)), rule.id


def test_law_own_rows_replace_their_kind_only() -> None:
    rows = (
        record("rules", id="x", kind="structure", distance_m=46, condition="c", source="Town code 7", evidence="P"),
    )
    rules = rules_of(rows)
    assert [(r.distance_m, r.entered) for r in rules if r.kind == "structure"] == [(46.0, True)]
    assert [r for r in rules if r.kind != "structure"] == [r for r in default_rules() if r.kind != "structure"]


def test_law_a_row_without_a_distance_says_so() -> None:
    (rule,) = [r for r in rules_of((record("rules", kind="stream"),)) if r.kind == "stream"]
    assert rule.required_m() is None
    assert (rule.id, rule.source) == ("row 1", "no source entered")


def test_law_a_row_without_a_kind_changes_nothing() -> None:
    assert rules_of((record("rules", distance_m=3),)) == default_rules()


def test_law_hazard_tree_is_its_own_height() -> None:
    (rule,) = rules_for(default_rules(), "hazard_tree", "")
    assert (rule.required_m(18.0), rule.required_m(None)) == (18.0, 25.0)
