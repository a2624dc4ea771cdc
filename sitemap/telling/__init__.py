"""The one room that makes sentences: a reason code with its facts, told in the units and the language of the site.

Words stand in `words/<language>/<room>.toml`, one template per code. A placeholder names a fact and may say how it is
told: `{name}`, `{names:list}` (a, b and c), `{names:either}` (a, b or c),
`{names:chain}` (a; b; c), `{why:sentence}` (capital and full stop),
`{why:bare}` (no full stop, small first letter unless it is a name), `{n:plural|heap|heaps}`,
`{kiln:head}` (the name of a kiln as it stands at the head of something).
"""

from __future__ import annotations

import datetime as dt
import math
import re
import tomllib
from collections.abc import Mapping
from functools import cache
from importlib.resources import files
from typing import Any

from sitemap.reasons import Fact, KilnName, Marked, Quantity, Range, Reason, Term
from sitemap.units import UNITS, Toward, range_text, rounded, text, to_display, unit_label

LANGUAGES = ("en", "es")
_PLACE = re.compile(r"\{(\w+)(?::([^{}]*))?\}")
_MARKED = re.compile(r"\{([-−]?[\d.,]+)(?:(–| to | and )([\d.,]+))? ([^{}]+?)( up)?\}")
_NUMBER = re.compile(r"-?[\d,]+(?:\.\d+)?")
_MOST_DIGITS = 4
_MOST_LISTED, _FEW = (
    60,
    20,
)  # things listed by name in a sentence; of more than anybody reads, the first with how many more


def tell(finding: Reason, system: str = "metric", language: str = "en") -> str:
    """A finding as a sentence.

    Parameters
    ----------
    finding : what a calculation found
    system : units shown, "metric" or "us"
    language : a folder of `words`; a code it lacks is told in English

    Raises
    ------
    KeyError : a code without words, or words that ask for a fact the finding lacks: a bug, never an input error
    """
    return filled(template(finding.code, language), dict(finding.facts), system, language)


def filled(words_: str, facts: Mapping[str, Fact], system: str = "metric", language: str = "en") -> str:
    """Words with their placeholders filled in from facts. Raises KeyError for a fact that lacks.

    >>> filled("{n:plural|one kiln|many kilns}, {far}", {"n": 1, "far": Quantity(3.0, "m")}, "us")
    'one kiln, 9.84 ft'
    """

    def put(found: re.Match[str]) -> str:
        return _told(facts[found[1]], found[2] or "", system, language)

    told = _PLACE.sub(put, words_)
    for apart, joined in words(language).get("joined", {}).items():
        told = told.replace(apart, joined)
    return told


def sentence(finding: Reason, system: str = "metric", language: str = "en") -> str:
    """A finding with a capital letter in front and a full stop behind."""
    return _as_sentence(tell(finding, system, language))


def template(code: str, language: str = "en") -> str:
    """The words of one code, placeholders and all; in English where a language lacks them. Raises KeyError."""
    room, _, word = code.partition(".")
    found = words(language).get(room, {}).get(word)
    if found is None:
        found = words("en")[room][word]
    return str(found)


def word(english: str, language: str = "en") -> str:
    """A single word of the program, a label or a unit, in a language; a word it lacks stays English.

    >>> word("Hazard tree", "es"), word("not yet")
    ('Árbol que puede caer', 'not yet')
    """
    return words(language).get("terms", {}).get(english, english)


@cache
def words(language: str) -> Mapping[str, Mapping[str, str]]:
    """All words of a language: room → word → template."""
    folder = files(__package__).joinpath("words", language)
    if not folder.is_dir():
        return {}
    return {
        file.name.removesuffix(".toml"): tomllib.loads(file.read_text(encoding="utf-8"))
        for file in sorted(folder.iterdir(), key=lambda file: file.name)
        if file.name.endswith(".toml")
    }


def marked(words_: str, system: str = "metric", digits: int = 3, language: str = "en") -> str:
    """A text of a table or of the schema, whose figures are marked up, in the units of a system.

    A least figure is marked so, "{3 m up}", and told by one digit, never less than it is.

    >>> marked("piles up to {2.4 m} across, {3–5 m} apart", "us", 2)
    'piles up to 7.9 ft across, 9.8–16 ft apart'
    >>> marked("a bare ring of {3 m up}", "us", 2)
    'a bare ring of 10 ft'
    """

    def put(found: re.Match[str]) -> str:
        unit = _KEY_OF[found[4]]
        toward: Toward = "up" if found[5] else "nearest"
        shown = text(_number(found[3] or found[1]), unit, system, 1 if found[5] else digits, toward)
        last = _in_words(shown, unit, system, language)
        first = "" if found[3] is None else rounded(to_display(_number(found[1]), unit, system), digits) + found[2]
        return (first + last).replace("-", "−")

    return _MARKED.sub(put, word(words_, language))


def quantity_text(quantity: Quantity, system: str, language: str = "en") -> str:
    """A quantity with its unit; "not known" for NaN.

    >>> quantity_text(Quantity(144.7, "l", 2, "up"), "metric"), quantity_text(Quantity(0.15, "fraction"), "us")
    ('150 L', '15%')
    """
    if not math.isfinite(quantity.value):
        return word("not known" if math.isnan(quantity.value) else "without end", language)
    return _in_words(_shown(quantity, system), quantity.unit, system, language).replace("-", "−")


def _in_words(figure: str, unit: str, system: str, language: str) -> str:
    label = unit_label(unit, system)
    return figure.replace(label, word(label, language)) if label else figure


def _shown(quantity: Quantity, system: str) -> str:
    if quantity.apart is not None:
        return _apart(quantity, quantity.apart, system)
    return text(quantity.value, quantity.unit, system, quantity.digits, quantity.toward)


_AGAINST: Mapping[Toward, Toward] = {"up": "down", "down": "up", "nearest": "nearest"}


def _apart(quantity: Quantity, other: float, system: str) -> str:
    """With as many digits as it takes that the one of two figures that is more also reads as more."""
    for digits in range(quantity.digits, _MOST_DIGITS + 1):
        found = text(quantity.value, quantity.unit, system, digits, quantity.toward)
        beside = text(other, quantity.unit, system, digits, _AGAINST[quantity.toward])
        if found != beside and (_first_number(found) > _first_number(beside)) == (quantity.value > other):
            break
    return found


def _first_number(shown: str) -> float:
    found = _NUMBER.match(shown)
    return float(found[0].replace(",", "")) if found else math.nan


def _told(fact: Fact, how: str, system: str, language: str) -> str:
    verb, *forms = how.split("|")
    if verb == "plural":
        return forms[0] if fact == 1 else forms[1]
    if isinstance(fact, tuple):
        shown = fact if len(fact) <= _MOST_LISTED else fact[:_FEW]
        kilns = len(fact) > 1 and all(isinstance(each, KilnName) and not _says_kiln(each, language) for each in fact)
        told = [str(each) if kilns else _told(each, "bare", system, language) for each in shown]
        if len(shown) < len(fact):
            told.append(filled(template("plain.more", language), {"count": len(fact) - len(shown)}, system, language))
        names = _listed(told, verb, language)
        return template("plain.kilns", language).replace("{names}", names) if kilns else names
    found = _kiln(str(fact), language, "kiln_head") if verb == "head" else _single(fact, system, language)
    if verb == "sentence":
        return _as_sentence(found)
    if verb in ("capital", "head"):
        return found[:1].upper() + found[1:]
    if verb == "bare":
        return found.rstrip(".") if isinstance(fact, Reason) else found
    return found


def _single(fact: Any, system: str, language: str) -> str:
    match fact:
        case None:
            return template("plain.not_known", language)
        case Reason():
            return tell(fact, system, language)
        case Quantity():
            return quantity_text(fact, system, language)
        case Range():
            found = range_text(fact.low, fact.likely, fact.high, fact.unit, system, fact.digits)
            return _in_words(found, fact.unit, system, language)
        case Term():
            return word(fact, language)
        case Marked():
            return marked(fact, system, 2, language)
        case KilnName():
            return _kiln(fact, language)
        case dt.date() | dt.time():
            return _moment(fact, language)
        case bool() | str():
            return str(fact)
        case int():
            return f"{fact:,}"
        case _:
            return rounded(float(fact))


def _kiln(name: str, language: str, way: str = "kiln") -> str:
    return name if _says_kiln(name, language) else template(f"plain.{way}", language).replace("{name}", name)


def _says_kiln(name: str, language: str) -> bool:
    """Whether a name says by itself that it is that of a kiln."""
    return any(each in name.casefold() for each in template("plain.kiln_words", language).split())


def _moment(when: dt.date | dt.time, language: str) -> str:
    if isinstance(when, dt.datetime):
        return f"{day_text(when.date(), language)}, {when:%H:%M}"
    return f"{when:%H:%M}" if isinstance(when, dt.time) else day_text(when, language)


def day_text(day: dt.date, language: str = "en") -> str:
    """The one form of date everywhere.

    >>> day_text(dt.date(2026, 12, 5))
    'Sat 5 Dec 2026'
    """
    names = words(language).get("calendar") or words("en")["calendar"]
    return f"{names['days'].split()[day.weekday()]} {day.day} {names['months'].split()[day.month - 1]} {day.year}"


def _listed(told: list[str], how: str, language: str) -> str:
    if how == "chain":
        return "; ".join(told)
    if how not in ("list", "either") or len(told) < 2:
        return ", ".join(told)
    joint = template("plain.and" if how == "list" else "plain.or", language)
    return f"{', '.join(told[:-1])} {joint} {told[-1]}"


def _as_sentence(told: str) -> str:
    return told[:1].upper() + told[1:] + ("" if told.endswith((".", "!", "?")) else ".")


def _number(typed: str) -> float:
    return float(typed.replace(",", "").replace("−", "-"))


_KEY_OF = {unit.metric: key for key, unit in UNITS.items() if unit.metric}
