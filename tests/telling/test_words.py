"""Every finding has words, every word is used, and its figures are told in the units of the site."""

from __future__ import annotations

import ast
import datetime as dt
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from sitemap.errors import BadValue, within
from sitemap.reasons import Fact, Quantity, Range, litres, metres, reason
from sitemap.telling import LANGUAGES, marked, quantity_text, sentence, tell, words

PACKAGE = Path(__file__).parents[2] / "sitemap"
PLACE = re.compile(r"\{(\w+)")
BY_THE_TELLER = {"plain.and", "plain.or", "plain.not_known", "calendar.days", "calendar.months"}


def calls() -> Iterator[tuple[str, frozenset[str]]]:
    """(code, names of its facts) of every `reason("…", …)` in the package; a code is always written out."""
    for path in sorted(PACKAGE.rglob("*.py")):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id == "reason":
                facts = frozenset(keyword.arg or "**" for keyword in node.keywords)
                for code in codes(node.args[0], path):
                    yield code, facts


def codes(node: ast.expr, path: Path) -> list[str]:
    if isinstance(node, ast.IfExp):
        return [*codes(node.body, path), *codes(node.orelse, path)]
    assert isinstance(node, ast.Constant), f"{path}:{node.lineno}: the code of a reason is written out"
    return [str(node.value)]


def templates(language: str = "en") -> dict[str, str]:
    return {f"{room}.{word}": told for room, each in words(language).items() for word, told in each.items()}


def test_law_every_finding_has_words_that_ask_for_its_facts_and_no_others() -> None:
    have = templates()
    wrong = [
        f"{code}: facts {sorted(facts)}, words {have.get(code)!r}"
        for code, facts in calls()
        if "**" not in facts and (code not in have or facts != set(PLACE.findall(have[code])))
    ]
    assert wrong == []


def test_law_every_word_is_used() -> None:
    said = {code for code, _ in calls()} | BY_THE_TELLER
    assert sorted(code for code in templates() if code not in said and not code.startswith("terms.")) == []


@pytest.mark.parametrize("language", LANGUAGES)
def test_law_a_language_asks_for_the_same_facts(language: str) -> None:
    english = templates()
    own = {code: told for code, told in templates(language).items() if not code.startswith("terms.")}
    assert [code for code, told in own.items() if set(PLACE.findall(told)) != set(PLACE.findall(english[code]))] == []


def test_law_a_finding_is_told_in_the_units_of_the_site() -> None:
    with pytest.raises(BadValue) as caught:
        within("Depth", -1.5, 0, 3, "m")
    fault = caught.value
    assert str(fault) == "Depth must lie between 0 m and 3 m; it is −1.5 m. Correct it."
    assert tell(fault.reason, "us") == "Depth must lie between 0 ft and 9.84252 ft; it is −4.92126 ft. Correct it."


def test_law_water_to_fetch_rounds_up_and_spare_distance_down() -> None:
    assert quantity_text(litres(144.7, 2, "up"), "metric") == "150 L"
    assert quantity_text(litres(140.0, 2, "up"), "metric") == "140 L"
    assert quantity_text(metres(14.96, 2, "down"), "metric") == "14 m"
    assert quantity_text(metres(-14.2, 2, "down"), "metric") == "−15 m"


def test_law_two_figures_are_told_apart() -> None:
    assert quantity_text(Quantity(14.8, "l_min", 2, apart=15.2), "metric") == "14.8 L/min"
    assert quantity_text(Quantity(9.4, "l_min", 2, apart=126.0), "metric") == "9.4 L/min"


@pytest.mark.parametrize(
    ("facts", "told"),
    [
        ({"limit": "0", "value": "{1}"}, "a{b} must be above 0; it is {1}. Correct it."),
        ({"limit": metres(0), "value": None}, "a{b} must be above 0 m; it is not known. Correct it."),
        ({"limit": dt.date(2026, 12, 5), "value": 1200}, "a{b} must be above Sat 5 Dec 2026; it is 1,200. Correct it."),
        ({"limit": Range(1, 2, 3, "m"), "value": ("a", "b")}, "a{b} must be above 2 m (1–3); it is a, b. Correct it."),
    ],
)
def test_law_each_sort_of_fact_is_told(facts: dict[str, Fact], told: str) -> None:
    assert tell(reason("errors.above_zero", what="a{b}", **facts)) == told


def test_law_a_sentence_has_a_capital_and_a_stop() -> None:
    assert (
        sentence(reason("errors.above_zero", what="x", limit="0", value="1"))
        == "X must be above 0; it is 1. Correct it."
    )


def test_law_only_marked_figures_of_a_text_are_converted() -> None:
    assert marked("a {20 m} run of the 20 m line") == "a 20 m run of the 20 m line"
    assert marked("a {20 m} run of the 20 m line", "us", 2) == "a 66 ft run of the 20 m line"
