"""Typed words on paper: without what hides them, and in the direction they are written.

Numbers belong to the direction of the words before them, so that behind an Arabic or Hebrew name the halves of a
coordinate or a distance change places. Each run of such letters is therefore set apart, as the Unicode bidirectional
algorithm (UAX #9, isolates) provides for; typesetter, browser and drawing follow it.
"""

from __future__ import annotations

import unicodedata
from functools import cache

_APART, _ENDS = "\u2067", "\u2069"  # right-to-left isolate, pop directional isolate
_TURNING = frozenset("\u200e\u200f\u061c\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069\ufeff")
_RIGHT_TO_LEFT = ("R", "AL")
_CLOSING = {")": "(", "]": "[", "»": "«", "”": "“"}


def printable(text: str) -> str:
    """Text without control characters and marks that turn the direction of writing: they could hide words on paper.

    >>> printable("pile\\x00 \\u202eK1")
    'pile K1'
    """
    if text.isprintable():  # as nearly all is: to look at each letter takes long
        return text
    spaced = text.replace("\n", " ").replace("\t", " ")
    if spaced.isprintable():  # as nearly all of it is: neither of these is among it
        return spaced
    return "".join(c for c in spaced if c not in _TURNING and unicodedata.category(c) not in ("Cc", "Cs", "Co", "Cn"))


def shown(text: str) -> str:
    """Printable text whose runs from right to left leave alone what stands beside them.

    >>> shown("Kiln فرن 9: 39°42.584'S") == "Kiln \\u2067فرن\\u2069 9: 39°42.584'S"
    True
    """
    text = printable(text)
    if text.isascii() or not any(_from_the_right(letter) for letter in set(text)):
        return text
    kinds = [unicodedata.bidirectional(letter) for letter in text]
    told, done, place = [], 0, 0
    while place < len(text):
        if kinds[place] not in _RIGHT_TO_LEFT:
            place += 1
            continue
        end = _end(text, kinds, place)
        told += [text[done:place], _APART, text[place:end], _ENDS]
        done = place = end
    return "".join((*told, text[done:]))


@cache
def _from_the_right(letter: str) -> bool:
    return unicodedata.bidirectional(letter) in _RIGHT_TO_LEFT


def _end(text: str, kinds: list[str], start: int) -> int:
    """Where a run ends: behind its last letter before one of the other direction, and the bracket that it opened."""
    last = start
    for place in range(start, len(text)):
        if kinds[place] == "L":
            break
        if kinds[place] in (*_RIGHT_TO_LEFT, "AN", "NSM"):
            last = place
    end = last + 1
    opened = _CLOSING.get(text[end : end + 1])
    return end + 1 if opened and text[start:end].count(opened) > text[start:end].count(text[end]) else end
