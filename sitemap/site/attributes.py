"""What may be said of a thing on the ground; one description each drives file, check, form, table and glossary."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cached_property, lru_cache
from typing import Any, Literal

from sitemap.reasons import Quantity, Reason, as_typed, reason
from sitemap.site.frozen import FrozenDict, thaw

AttributeType = Literal[
    "number",
    "integer",
    "choice",
    "text",
    "flag",
    "date",
    "reference",
    "references",
    "records",
    "curve",
    "numbers",
    "pair",
    "mapping",
]
SMALLEST = 1e-6  # none is smaller but nought: a road of no width is no shape, and what is shared out by it no number
LARGEST = 1e12  # no quantity of a site is larger; squares of what is larger leave the numbers of the machine
BASES = ("measured", "estimated", "assumed")
RANGE_SUFFIXES = ("_low", "_high", "_basis")


@dataclass(frozen=True)
class Attribute:
    """One attribute of a kind of feature, of equipment or of a record.

    name : key in the file; a number's name ends in its unit
    label : what a form shows, in sentence case, without the unit
    type : what the value must be
    unit : key of `units.UNITS` for a number
    choices : (key, label) pairs for a choice
    refers_to : for a reference: a list of equipment ("kilns") or "features"
    suggests : for a text: the kind of features whose names a form offers; any other words are kept as well
    low, high : the value must lie within, both allowed
    above : the value must be greater
    ranged : takes `_low`, `_high` and `_basis` beside it
    blank : what a blank means, as a sentence without full stop; a figure is marked up: "{15 cm}"
    help : how to measure or read it, figures marked up in the same way
    main : shown first; the rest stands under "more"
    item : attributes of one record, for type "records"; of the two numbers, for type "pair"
    also : other names under which the value is read, where the first is blank
    keyed : an object is read as records too, its names and values the first two attributes of each: {"thumb": 50}
    """

    name: str
    label: str
    type: AttributeType = "number"
    unit: str = ""
    choices: tuple[tuple[str, str], ...] = ()
    refers_to: str = ""
    suggests: str = ""
    low: float | None = None
    high: float | None = None
    above: float | None = None
    ranged: bool = False
    blank: str = ""
    help: str = ""
    main: bool = True
    item: tuple[Attribute, ...] = ()
    also: tuple[str, ...] = ()
    keyed: bool = False

    @property
    def choice_keys(self) -> tuple[str, ...]:
        """Keys of the choices."""
        return tuple(key for key, _ in self.choices)

    def choice_label(self, key: str) -> str:
        """What a form shows for one choice."""
        return dict(self.choices).get(key, key)

    def read(self, value: Any) -> Any:
        """The value where it can be used, else None: absent, of the wrong type, or outside its limits."""
        if value is None or self.fault(value) is not None:
            return None
        if self.type == "records":
            return self._records(value)
        if self.type == "numbers":
            return value if isinstance(value, tuple | list) else (value,)
        return self.chosen(value) if self.type == "choice" else value

    def chosen(self, value: Any) -> str | None:
        """The key of the choice somebody means: its key, its label or part of a label with "or", in any case.

        Where the choice is yes or no, true and false are those.
        """
        if isinstance(value, bool):
            said = ("yes",) if value else ("no", "none")
            return next((key for key in self.choice_keys if key in said and "yes" in self.choice_keys), None)
        if not isinstance(value, str):
            return None
        words = _words(value)
        if words in self._key_of:
            return self._key_of[words]
        meant = {self._key_of.get(part) for part in words.split("_or_")}  # "duff or litter" means one thing
        return meant.pop() if len(meant) == 1 else None

    @cached_property
    def _key_of(self) -> Mapping[str, str]:
        """What may be said for each choice, made once: its key, its label and parts of the label."""
        keys: dict[str, str] = {}
        for key, label in self.choices:
            keys |= dict.fromkeys((*_words(label).split("_or_"), _words(label)), key)
        return keys | {_words(key): key for key in self.choice_keys}

    def fault(self, value: Any) -> Reason | None:
        """What is wrong with a value, as the rest of a sentence ("must be above 0; it is −2"), or None."""
        return _JUDGES[self.type](self, value)

    def _number_fault(self, value: Any) -> Reason | None:
        if isinstance(value, bool) or not isinstance(value, int | float):
            return reason("site.not_a_number", shown=_shown(value))
        if not math.isfinite(value):
            return reason("site.not_finite", shown=str(value))
        if abs(value) > LARGEST or 0 < abs(value) < SMALLEST:
            return reason("site.too_large", shown=f"{value:g}")
        if self.above is not None and value <= self.above:
            return reason("site.not_above", limit=self._figure(self.above), value=self._figure(value))
        if self.low is not None and value < self.low:
            return reason("site.below", limit=self._figure(self.low), value=self._figure(value))
        if self.high is not None and value > self.high:
            return reason("site.beyond", limit=self._figure(self.high), value=self._figure(value))
        return None

    def _figure(self, value: float) -> Quantity:
        """A number of this attribute, as many digits as somebody types."""
        return as_typed(value, self.unit)

    def _integer_fault(self, value: Any) -> Reason | None:
        fault = self._number_fault(value)
        return fault or (None if float(value).is_integer() else reason("site.not_whole", value=self._figure(value)))

    def _choice_fault(self, value: Any) -> Reason | None:
        if self.chosen(value) is not None:
            return None
        return reason("site.not_a_choice", choices=self.choice_keys, shown=_shown(value))

    def _text_fault(self, value: Any) -> Reason | None:
        return None if isinstance(value, str) else reason("site.not_text", shown=_shown(value))

    def _flag_fault(self, value: Any) -> Reason | None:
        return None if isinstance(value, bool) else reason("site.not_a_flag", shown=_shown(value))

    def _date_fault(self, value: Any) -> Reason | None:
        try:
            year = dt.date.fromisoformat(value).year
        except (TypeError, ValueError):
            return reason("site.not_a_date", shown=_shown(value))
        if not FIRST_YEAR <= year <= LAST_YEAR:
            return reason("site.not_a_year", first=str(FIRST_YEAR), last=str(LAST_YEAR), shown=_shown(value))
        return None

    def _names_fault(self, value: Any) -> Reason | None:
        fine = isinstance(value, tuple | list) and all(isinstance(name, str) for name in value)
        return None if fine else reason("site.not_ids", shown=_shown(value))

    def _records(self, value: Any) -> Any:
        """Records as a list of objects, also where they came as one object or as bare values of their first name."""
        first, second = (*(part.name for part in self.item), "", "")[:2]
        if isinstance(value, Mapping) and not any(part.name in value for part in self.item) and self.keyed:
            said = {name: each if isinstance(each, Mapping) else {second: each} for name, each in value.items()}
            return tuple(FrozenDict({first: name, **each}) for name, each in said.items())
        if isinstance(value, Mapping) and first in value:
            return (FrozenDict(value),)
        if isinstance(value, tuple | list) and self.item:
            return tuple(each if self.item[0].fault(each) else FrozenDict({first: each}) for each in value)
        return value

    def _records_fault(self, value: Any) -> Reason | None:
        value = self._records(value)
        fine = isinstance(value, tuple | list) and all(isinstance(record, Mapping) for record in value)
        return None if fine else reason("site.not_records", shown=_shown(value))

    def _numbers_fault(self, value: Any) -> Reason | None:
        if isinstance(value, int | float) and not isinstance(value, bool):
            return self._number_fault(value)  # a lone one
        if not isinstance(value, tuple | list):
            return reason("site.not_numbers", shown=_shown(value))
        return next((fault for fault in map(self._number_fault, value) if fault), None)

    def _curve_fault(self, value: Any) -> Reason | None:
        if not isinstance(value, tuple | list) or not all(isinstance(p, tuple | list) and len(p) == 2 for p in value):
            return reason("site.not_pairs", shown=_shown(value))
        plain = Attribute(self.name, self.label)
        return next((fault for pair in value for number in pair if (fault := plain._number_fault(number))), None)

    def _pair_fault(self, value: Any) -> Reason | None:
        names = [part.name for part in self.item]
        pair = [value.get(name) for name in names] if isinstance(value, Mapping) else value
        if not isinstance(pair, tuple | list) or len(pair) != len(names) or any(number is None for number in pair):
            return reason("site.not_two_numbers", names=tuple(names), shown=_shown(value))
        return next(
            (fault for part, number in zip(self.item, pair, strict=True) if (fault := part.fault(number))), None
        )

    def _mapping_fault(self, value: Any) -> Reason | None:
        return None if isinstance(value, Mapping) else reason("site.not_an_object", shown=_shown(value))


FIRST_YEAR, LAST_YEAR = 1900, 2199  # of a date on a site of this trade; a year mistyped is none of them

_JUDGES: Mapping[str, Callable[[Attribute, Any], Reason | None]] = {
    "number": Attribute._number_fault,
    "integer": Attribute._integer_fault,
    "choice": Attribute._choice_fault,
    "text": Attribute._text_fault,
    "flag": Attribute._flag_fault,
    "date": Attribute._date_fault,
    "reference": Attribute._text_fault,
    "references": Attribute._names_fault,
    "records": Attribute._records_fault,
    "numbers": Attribute._numbers_fault,
    "curve": Attribute._curve_fault,
    "pair": Attribute._pair_fault,
    "mapping": Attribute._mapping_fault,
}


@lru_cache(maxsize=4096)  # many features say the same words
def _words(text: str) -> str:
    words = text.casefold().replace("-", " ").replace("_", " ").split()
    return "_".join("or" if word == "and" else word for word in words if word != "a")


def _shown(value: Any) -> str:
    text = repr(thaw(value))
    return text if len(text) <= 40 else text[:37] + "…"


_ALSO: dict[int, tuple[tuple[Attribute, ...], tuple[Attribute, ...]]] = {}
_NAMED: dict[int, tuple[tuple[Attribute, ...], dict[str, Attribute]]] = {}


def by_name(attributes: tuple[Attribute, ...]) -> dict[str, Attribute]:
    """The attributes of a schema by name, made once: a schema is one tuple, known again by itself and kept."""
    kept = _NAMED.get(id(attributes))
    if kept is None or kept[0] is not attributes:
        kept = _NAMED[id(attributes)] = attributes, {each.name: each for each in reversed(attributes)}
    return kept[1]


def with_other_names(attributes: tuple[Attribute, ...]) -> tuple[Attribute, ...]:
    """The attributes of a schema that may stand under another name, likewise."""
    kept = _ALSO.get(id(attributes))
    if kept is None or kept[0] is not attributes:
        kept = _ALSO[id(attributes)] = attributes, tuple(each for each in attributes if each.also)
    return kept[1]
