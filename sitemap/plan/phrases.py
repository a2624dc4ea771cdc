"""The words of the sheets in a language: `words/<language>/<sheet>.toml`, one file a sheet, one table of words.

A language is a folder more. What it lacks is told in English; a test names it.
"""

from __future__ import annotations

import datetime as dt
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cache
from importlib.resources import files
from types import MappingProxyType

from sitemap.errors import BadValue
from sitemap.reasons import Fact, Reason, reason
from sitemap.site.model import Site
from sitemap.telling import day_text, filled, sentence, tell, word
from sitemap.units import UNITS, unit_label

LANGUAGES: Mapping[str, str] = MappingProxyType({"en": "English", "es": "Español"})
BOTH = "both"  # crew cards in both, front and back; the other sheets in the site's own
CHOICES: Mapping[str, str] = MappingProxyType({**LANGUAGES, BOTH: "English · Español"})


@dataclass(frozen=True)
class Words:
    """A language and a system of units, and what is said in them.

    language : key of LANGUAGES; units : "metric" or "us"
    beside : a second language that a crew card has on its back, or None
    """

    language: str
    units: str
    beside: str | None = None

    @property
    def each(self) -> tuple[Words, ...]:
        """These words, and those of the language beside them."""
        first = replace(self, beside=None)
        return (first,) if self.beside is None else (first, replace(first, language=self.beside))

    def __call__(self, key: str, /, **facts: Fact) -> str:
        """The words of one key ("decision.title"), placeholders filled in as `sitemap.telling` does."""
        return filled(str(_found(key, self.language)), facts, self.units, self.language)

    def own(self, english: str, /, **facts: Fact) -> str:
        """Words of the annex, which are kept by their English: its columns, figures and formulas are many and short."""
        return filled(_annex(self.language).get(english, english), facts, self.units, self.language)

    def row(self, *english: str) -> tuple[str, ...]:
        """Several of them, as the heads of a table."""
        return tuple(map(self.own, english))

    def figure(self, told: str) -> str:
        """A figure that is told already, its unit and "not known" in the language."""
        if self.language == "en":
            return told
        for english in (*(unit_label(key, self.units) for key in UNITS), "not known", "does not run out"):
            own = word(english, self.language)
            if own != english and english in told:
                return told.replace(english, own)
        return told

    def lines(self, key: str) -> tuple[str, ...]:
        """The words of a key that holds a list."""
        found = _found(key, self.language)
        return tuple(found) if isinstance(found, list) else (str(found),)

    def tell(self, finding: Reason) -> str:
        """A finding, bare."""
        return tell(finding, self.units, self.language)

    def told(self, finding: Reason) -> str:
        """A finding as a sentence."""
        return sentence(finding, self.units, self.language)

    def shown(self, fact: Fact) -> str:
        """A figure, a range or a word of the program by itself."""
        return filled("{fact}", {"fact": fact}, self.units, self.language)

    def day(self, date: dt.date | None) -> str:
        """A date in the one form there is; "not known" where there is none."""
        return self("shared.not_known") if date is None else day_text(date, self.language)

    def moment(self, when: dt.datetime | None, on: dt.date | None) -> str:
        """Hour and minute; the day too where it is another one."""
        if when is None:
            return self("shared.not_known")
        hours = f"{when:%H:%M}"
        return hours if when.date() == on else f"{hours}, {self.day(when.date()).rsplit(' ', 1)[0]}"


def words_for(site: Site, language: str | None = None, units: str | None = None) -> Words:
    """The words for a site: in its own language and units where none are asked for, in English for one we lack.

    >>> [(each.language, each.beside) for each in (words_for(Site(()), "both"), words_for(Site(()), "es"))]
    [('en', 'es'), ('es', None)]

    Raises
    ------
    BadValue : a language asked for that we do not have
    """
    if language is not None and language not in CHOICES:
        raise BadValue(reason("command.language", known=tuple(CHOICES), value=language))
    own = site.language
    asked = language or own
    first = asked if asked in LANGUAGES else own if own in LANGUAGES else "en"
    other = next(each for each in LANGUAGES if each != first)
    return Words(first, units or site.units, other if asked == BOTH else None)


@cache
def texts(language: str) -> Mapping[str, Mapping[str, object]]:
    """Every text of a language as it stands in its files: sheet → key → words."""
    folder = files(__package__).joinpath("words", language)
    return {
        file.name.removesuffix(".toml"): tomllib.loads(file.read_text(encoding="utf-8"))
        for file in sorted(folder.iterdir(), key=lambda file: file.name)
        if file.name.endswith(".toml")
    }


@cache
def _annex(language: str) -> Mapping[str, str]:
    """The annex's own words, by their English."""
    return {key: str(said) for key, said in texts(language).get("own", {}).items()}


def _found(key: str, language: str) -> object:
    sheet, _, word = key.partition(".")
    found = texts(language).get(sheet, {}).get(word)
    return texts("en")[sheet][word] if found is None else found
