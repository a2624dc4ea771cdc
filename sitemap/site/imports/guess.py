"""What a thing is, guessed from its name: letters and a number as on the survey sheets, or a word.

P3 a pile, R1 a windrow (a row), K2 a kiln spot, T1 a transect, W1 water, B1 a building, G1 a gate: the letters of the
map's signs. H is a heap, so a pile too. Sheets printed before said W for a windrow, WS for water and S for a building:
the last two are still read so, and so are W1a and W1b, the two ends of a row. Every guess is shown and can be changed
before it is kept.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from types import MappingProxyType

from sitemap.site.kinds import KINDS

# Letters before a number, as printed on the sheets → kind, and a word a name holds → kind.
PREFIXES: Mapping[str, str] = MappingProxyType({letter: key for key, kind in KINDS.items() for letter in kind.letters})
_WORDS: Mapping[str, str] = MappingProxyType({word: key for key, kind in KINDS.items() for word in kind.words})
# of water, the kind of source
SOURCE_WORDS: Mapping[str, str] = MappingProxyType(
    {
        "pond": "pond",
        "estanque": "pond",
        "tank": "tank",
        "tap": "tap",
        "hydrant": "hydrant",
        "well": "well",
        "pozo": "well",
        "tender": "tanker",
    }
)
_END = re.compile(r"(.*\d)\s*[-_ ]?\s*([ab])", re.IGNORECASE)
_CODE = re.compile(r"([A-Za-z]{1,2})[-_ .]?0*\d+(?:\s*[-_ ]?[ab])?(?:\b.*)?", re.IGNORECASE)


def kind_of(name: str) -> tuple[str, str] | None:
    """The kind a name tells of and what tells it, or None.

    >>> kind_of("P3"), kind_of("Upper pond"), kind_of("Lunch")
    (('pile', 'P before a number'), ('water_source', 'the word pond'), None)
    """
    code = _CODE.fullmatch(name.strip())
    if code and code[1].upper() in PREFIXES:
        an_end = code[1].upper() == "W" and end_of(name) is not None  # water has no ends
        return "windrow" if an_end else PREFIXES[code[1].upper()], f"{code[1].upper()} before a number"
    words = re.findall(r"[^\W\d_]+", name.casefold())
    for word in words:
        kind = _WORDS.get(word) or _WORDS.get(word.removesuffix("s"))
        if kind is not None:
            return kind, f"the word {word}"
    said = name.strip().casefold()
    for key, schema in KINDS.items():
        if said.startswith((schema.label.casefold(), schema.plural.casefold())):
            return key, f"the words {schema.label.lower()}"
    return None


def kind_named(text: str) -> str | None:
    """The kind a cell of a column "kind" names, by key, label or one of the words; None where it names none.

    >>> kind_named("wetland"), kind_named("Helicopter landing places"), kind_named("teapot")
    ('wetland', 'landing_place', None)
    """
    said = text.strip().casefold().replace("_", " ")
    for key, kind in KINDS.items():
        if said in (key.replace("_", " "), kind.label.casefold(), kind.plural.casefold()):
            return key
    found = kind_of(text)
    return found[0] if found else None


def source_of(name: str) -> str | None:
    """The kind of water source a name tells of, or None.

    >>> source_of("Pond by the road")
    'pond'
    """
    words = re.findall(r"[^\W\d_]+", name.casefold())
    return next((SOURCE_WORDS[word] for word in words if word in SOURCE_WORDS), None)


def end_of(name: str) -> tuple[str, str] | None:
    """What a name says of the end of a line: "R1a" is end a of R1. None where it says nothing.

    >>> end_of("R1 B"), end_of("R1")
    (('R1', 'b'), None)
    """
    found = _END.fullmatch(name.strip())
    return (found[1].strip(), found[2].casefold()) if found else None
