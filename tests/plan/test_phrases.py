"""Words of the sheets: the same keys in every language, dates in one form, nothing missing."""

from __future__ import annotations

import datetime as dt
import re
import tomllib
from importlib.resources import files

import pytest

from sitemap.errors import BadValue
from sitemap.plan.phrases import LANGUAGES, texts, words_for
from sitemap.telling import words as told
from tests.plan.builders import site

PLACE = re.compile(r"\{(\w+)")


def of(language: str) -> dict[str, str]:
    return {f"{sheet}.{key}": str(said) for sheet, each in texts(language).items() for key, said in each.items()}


@pytest.mark.parametrize("language", LANGUAGES)
def test_law_a_language_lacks_nothing_and_asks_for_the_same_facts(language: str):
    english, other = of("en"), of(language)
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
    with pytest.raises(BadValue, match="en or es"):
        words_for(site(), "xx")


def test_pinned_a_date_has_one_form():
    words = words_for(site())
    assert words.day(dt.date(2026, 9, 5)) == "Sat 5 Sep 2026"
    assert words.day(None) == "not known"
    assert words.moment(dt.datetime(2026, 9, 6, 7, 5), dt.date(2026, 9, 5)) == "07:05, Sun 6 Sep"
