"""Why: what a calculation found, as a code with its figures. The sentence is made last, by `sitemap.telling`.

A calculation knows no words, no units system and no language: it hands on a code ("clear.too_close"), the names as they
were entered, and quantities in the units of the package. So the same finding can be read in metric or US customary
units, in English or Spanish, compared, counted and tested without cutting up a sentence.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import TypeAlias

from sitemap.units import Toward


@dataclass(frozen=True, slots=True)
class Quantity:
    """A number with its unit.

    value : in `unit`
    unit : a key of `units.UNITS`
    digits : significant digits shown
    toward : what is to be fetched rounds up, what is to spare rounds down
    apart : another number in the same unit; as many digits are shown as it takes to tell the two apart, four at most
    """

    value: float
    unit: str
    digits: int = 3
    toward: Toward = "nearest"
    apart: float | None = None


@dataclass(frozen=True, slots=True)
class Range:
    """A likely number with its 10th and 90th percentile, all in `unit`."""

    low: float
    likely: float
    high: float
    unit: str
    digits: int = 2


class Term(str):
    """A word of the program (a kind's label, a choice's label): other languages have another for it. A name that
    somebody entered is a plain str, and is never translated."""

    __slots__ = ()


class Marked(str):
    """A text of a table whose figures are marked up ("a ring of {3 m}"), told in the units of the site."""

    __slots__ = ()


class KilnName(str):
    """The name of a kiln spot as entered, told so that it reads as a kiln: "kiln K1", and "Upper kiln" as it is."""

    __slots__ = ()


@dataclass(frozen=True, slots=True)
class Reason:
    """One finding.

    code : "room.word", a key of the words in `telling/words`
    facts : (name of a placeholder, fact), in the order of the names
    """

    code: str
    facts: tuple[tuple[str, Fact], ...] = ()

    def fact(self, name: str) -> Fact:
        """One fact by name. Raises KeyError for one it lacks: a bug, never an input error."""
        return dict(self.facts)[name]


Fact: TypeAlias = (
    "str | int | float | dt.date | dt.time | Quantity | Range | Reason | tuple[str | Quantity | Reason, ...] | None"
)


def reason(code: str, /, **facts: Fact) -> Reason:
    """A finding with its facts.

    >>> reason("clear.too_close", name="House", distance=metres(4.0)).code
    'clear.too_close'
    """
    return Reason(code, tuple(sorted(facts.items())))


def as_typed(value: float, unit: str) -> Quantity:
    """A number as whoever typed it reads it again: six digits say all that is ever typed of it.

    value : in `unit`, a key of units.UNITS
    """
    return Quantity(value, unit, 6)


def metres(value: float, digits: int = 3, toward: Toward = "nearest") -> Quantity:
    """A length [m]."""
    return Quantity(value, "m", digits, toward)


def litres(value: float, digits: int = 3, toward: Toward = "nearest") -> Quantity:
    """A volume of water [L]."""
    return Quantity(value, "l", digits, toward)


def l_min(value: float, digits: int = 2, apart: float | None = None) -> Quantity:
    """A flow [L/min], known to two digits.

    >>> l_min(14.73).digits, l_min(14.73, apart=14.9).apart
    (2, 14.9)
    """
    return Quantity(value, "l_min", digits, "nearest", apart)


def minutes(value: float, digits: int = 2) -> Quantity:
    """A time [min]."""
    return Quantity(value, "min", digits)


def percent(value: float, digits: int = 2) -> Quantity:
    """A share of a hundred [%], known to two digits.

    >>> percent(12.34).digits
    2
    """
    return Quantity(value, "pct", digits)


def compared(one: float, other: float, unit: str, digits: int = 2) -> tuple[Quantity, Quantity]:
    """Two figures side by side, told with as many digits as it takes to tell them apart.

    one, other : numbers [in `unit`, a key of units.UNITS]; digits : to begin with
    """
    return Quantity(one, unit, digits, apart=other), Quantity(other, unit, digits, apart=one)


def needed_and_there(needed: float, there: float, unit: str, digits: int = 2) -> tuple[Quantity, Quantity]:
    """What is needed and what is there, told apart as `compared`: the one rounds up, the other down.

    needed, there : numbers [in `unit`, a key of units.UNITS]; digits : to begin with
    """
    return Quantity(needed, unit, digits, "up", there), Quantity(there, unit, digits, "down", needed)


def together(*parts: Reason) -> Reason:
    """Several findings as one, each after a semicolon; one alone is itself.

    >>> [together(*map(reason, codes)).code for codes in (("a.one",), ("a.one", "a.other"))]
    ['a.one', 'plain.together']
    """
    flat: list[Reason] = []
    for part in parts:
        nested = part.fact("parts") if part.code == "plain.together" else (part,)
        flat += [each for each in nested if isinstance(each, Reason)] if isinstance(nested, tuple) else []
    return flat[0] if len(flat) == 1 else reason("plain.together", parts=tuple(flat))
