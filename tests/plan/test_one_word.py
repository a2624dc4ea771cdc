"""The same fact on two sheets is the same word and the same number; what no reader should meet is on no sheet."""

from __future__ import annotations

import re

import pytest

from sitemap.assessment import Assessment
from sitemap.plan.contents import plan_of
from sitemap.plan.model import Sheet, every_word
from tests.plan.builders import assessed, one_kiln, sample

SITES = ("juniper_bench", "farm_dam", "birch_shore", "small")
BAD = (  # wordings that readers stumbled over, and what they were mended to
    ("Do not light while any of this stands", "two lists, This kiln and Check today"),
    ("short of", "90 ft away, rule 98 ft"),
    ("must be within", "limit 60 min"),
    ("One quench asks", "Water for one quench"),
    ("counted in / There", "Needed with reserve, Available"),
    ("by whose leave", "Date and permission"),
    ("Water failed", "If water fails, call for help by"),
    ("of the spread of the char stock", "Alone it moves the amount by"),
    ("enough on paper", "calculated, not tested"),
    ("shape blank", "heap shape not recorded"),
    ("way found over the ground", "said once"),
    ("Reserve for an escape", "Escape water"),
    ("reserve for an escape", "escape water"),
)
TIME = r"\b\d\d:\d\d\b"


def made(name: str) -> Assessment:
    return assessed(one_kiln()) if name == "small" else sample(name)


def said(sheets: tuple[Sheet, ...]) -> str:
    return "\n".join(word for sheet in sheets for word in every_word((sheet.title, sheet.blocks, sheet.shorter)))


@pytest.mark.parametrize("name", SITES)
def test_law_what_readers_stumbled_over_is_on_no_sheet(name: str) -> None:
    text = said(plan_of(made(name), language="en").sheets)
    assert [bad for bad, _ in BAD if bad in text] == []
    assert re.findall(r"\b\d{4}-\d\d-\d\d\b|\bNone\b(?! )|\bnan\b", text) == []


def test_law_slash_that_lies_scattered_is_called_in_the_language_of_the_set() -> None:
    text = said(plan_of(sample(), language="es").sheets)
    assert "Restos de corta dispersos" in text
    assert "Scattered" not in text


def test_law_the_way_of_the_water_is_said_once() -> None:
    assert said(plan_of(sample(), ["annex"], "en").sheets).count("Way found over the ground.") == 1


@pytest.mark.parametrize("name", SITES)
def test_law_an_attack_line_that_is_too_weak_is_so_on_every_sheet(name: str) -> None:
    a = made(name)
    plan = plan_of(a, language="en")
    assert "attack ? short" not in said(plan.sheets)
    weak = [wet for wet in a.water.spots if wet.attack.verdict == "short"] if a.water else []
    for wet in weak:
        kiln = next(each.name for each in a.decisions if each.spot == wet.spot_id)
        assert re.search(rf"{kiln}: quench .*; attack ✕ too weak for an escape", said((plan.sheet("annex"),)))
        for card in (sheet for sheet in plan.sheets if sheet.key == "crew" and sheet.about == kiln):
            assert "not known" not in next(line for line in said((card,)).splitlines() if "Escape water" in line)


def row_of(a: Assessment, key: str, about: str) -> set[str]:
    """Times of a kiln on the sheets of a key."""
    sheets = [sheet for sheet in plan_of(a, [key], "en").sheets if sheet.about in (None, about) or key != "crew"]
    lines = said(tuple(sheets)).splitlines()
    return set(re.findall(TIME, "\n".join(lines)))


def test_law_times_of_a_kiln_are_the_same_on_card_day_sheet_and_cold_sheet() -> None:
    for a in map(made, SITES):
        for decision in a.decisions:
            if decision.may_be_lit and len(a.clock_of(decision.spot)) == 1:
                card = row_of(a, "crew", decision.name)
                assert len(card) >= 5
                assert card <= row_of(a, "day", decision.name)
                assert any(time in row_of(a, "cold", decision.name) for time in card)


@pytest.mark.parametrize("name", SITES)
def test_law_places_for_smoke_lie_as_low_on_the_table_as_in_a_sentence(name: str) -> None:
    """What the table of winds says is said there alone."""
    for sheet in plan_of(made(name), ["calendar"], "en").sheets:
        assert "keeps its smoke off" not in said((sheet,))
        assert "with no rise between" not in said((sheet,))
