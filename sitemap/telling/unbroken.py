"""Where words are set, on paper and on a page: a figure and its unit stand on one line."""

from __future__ import annotations

import re

from sitemap.telling import LANGUAGES, word
from sitemap.units import UNITS

_SPACE, JOINED = "\u00a0", "\u2060"  # no-break space, word joiner (UAX #14: classes GL and WJ)


def _labels() -> list[str]:
    """Every unit as a person reads it, the longest first."""
    english = {label for unit in UNITS.values() for label in (unit.metric, unit.us)} - {"", "%", "°"}
    told = {word(label, language) for label in english for language in LANGUAGES}
    return sorted(told, key=lambda label: (-len(label), label))


_FIGURE = re.compile(rf"(?<=\d) ({'|'.join(map(re.escape, _labels()))})(?!\w)|(?<=±) (?=\d)")


def unbroken(text: str, joiner: str = JOINED) -> str:
    """A text in which no line ends between a figure and its unit, nor within the unit.

    joiner : behind the stroke of a unit; "" on a page, where people search and copy

    >>> unbroken("gust 13 km/h, ± 40%, 5 US gal") == "gust 13\\u00a0km/\\u2060h, ±\\u00a040%, 5\\u00a0US\\u00a0gal"
    True
    """
    return _FIGURE.sub(lambda found: found[0].replace(" ", _SPACE).replace("/", f"/{joiner}"), text)
