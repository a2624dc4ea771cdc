"""Words of the sheets: the same keys in every language, dates in one form, nothing missing."""

from __future__ import annotations

import ast
import datetime as dt
import re
import tomllib
from importlib.resources import files

import pytest

from sitemap.errors import BadValue
from sitemap.plan.parts.figures import TITLES
from sitemap.plan.phrases import LANGUAGES, texts, words_for
from sitemap.plan.working.step import formulas
from sitemap.tables import EVIDENCE_LEVELS
from sitemap.telling import words as told
from tests.plan.builders import site

PLACE = re.compile(r"\{(\w+)")


def of(language: str) -> dict[str, str]:
    return {f"{sheet}.{key}": str(said) for sheet, each in texts(language).items() for key, said in each.items()}


ANNEX = ("parts", "working")
TOLD_BY = ("own", "row", "_tables", "Step")  # what takes English words of the annex


def annex_words() -> set[str]:
    """Every word the annex may say, as it stands in its modules, its formulas and the tables it names."""
    found = {
        *TITLES.values(),
        *EVIDENCE_LEVELS.values(),
        *(word for each in formulas().values() for word in (each.gives, each.source)),
    }
    plan = files("sitemap.plan")
    modules = [file for room in ANNEX for file in plan.joinpath(room).iterdir() if file.name.endswith(".py")]
    for module in modules:
        for call in ast.walk(ast.parse(module.read_text(encoding="utf-8"))):
            if isinstance(call, ast.Call) and getattr(call.func, "attr", getattr(call.func, "id", "")) in TOLD_BY:
                said = call.args[:1] if getattr(call.func, "id", "") == "Step" else call.args
                found |= {each.value for each in map(_constant, said) if each is not None}
    return found


def _constant(node: ast.expr) -> ast.Constant | None:
    return node if isinstance(node, ast.Constant) and isinstance(node.value, str) else None


@pytest.mark.parametrize("language", [each for each in LANGUAGES if each != "en"])
def test_law_the_annex_is_told_in_every_language(language: str):
    """A name of a book or a grid is the same in each: it may be left out where it is."""
    own = {key: str(said) for key, said in texts(language)["own"].items()}
    assert len(told(language)["glossary"]) == len(told("en")["glossary"])
    names = re.compile(r"[A-Z][\w-]+( \d{4})?(, INT-56)?")
    assert sorted(word for word in annex_words() - own.keys() if not names.fullmatch(word)) == []
    assert [key for key, said in own.items() if set(PLACE.findall(key)) != set(PLACE.findall(said))] == []


@pytest.mark.parametrize("language", LANGUAGES)
def test_law_a_language_lacks_nothing_and_asks_for_the_same_facts(language: str):
    english, other = of("en"), {key: said for key, said in of(language).items() if not key.startswith("own.")}
    assert sorted(english) == sorted(other)
    wrong = [key for key in english if set(PLACE.findall(english[key])) != set(PLACE.findall(other[key]))]
    assert wrong == []


def test_law_spanish_calls_one_thing_by_one_word_everywhere():
    """`words/spanish.toml` is the one table of words, after the remarks of a forester (common practice, no source)."""
    spoken = [*of("es").values(), *(str(said) for room in told("es").values() for said in room.values())]
    whole = "\n".join(spoken).casefold()
    for word in tomllib.loads(files("sitemap.plan").joinpath("words/spanish.toml").read_text(encoding="utf-8"))["word"]:
        assert word["es"].casefold() in whole, word["es"]
        other = [each for each in word["not"] if re.search(rf"\b{each.casefold()}s?\b", whole)]
        assert other == [], f"{word['en']} is {word['es']}"


def test_law_the_site_says_its_language_and_a_strange_one_is_english():
    assert words_for(site(language="es")).language == "es"
    assert words_for(site(language="xx")).language == "en"
    assert words_for(site(language="es"), "en").language == "en"
    with pytest.raises(BadValue, match="it says 'xx'"):
        words_for(site(), "xx")


def test_pinned_a_date_has_one_form():
    words = words_for(site())
    assert words.day(dt.date(2026, 9, 5)) == "Sat 5 Sep 2026"
    assert words.day(None) == "not known"
    assert words.moment(dt.datetime(2026, 9, 6, 7, 5), dt.date(2026, 9, 5)) == "07:05, Sun 6 Sep"


@pytest.mark.parametrize(
    ("told", "own"),
    [("45 US gal", "45 gal EE. UU."), ("not known", "no se sabe"), ("does not run out", "no se agota"), ("9 %", "9 %")],
)
def test_law_a_figure_that_is_told_already_is_told_in_the_language_of_the_sheet(told: str, own: str):
    us = site().with_member("units", "us")
    assert words_for(us, "es").figure(told) == own
    assert words_for(us, "en").figure(told) == told
