"""One home for words that several rooms show: labels of checks and ways, signs, paper sizes, how a kiln is called.

Sentences about a finding stand in `telling`; here are the single words pages, map and papers put beside a figure.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from types import MappingProxyType

from sitemap.reasons import Reason
from sitemap.telling import sentence, words
from sitemap.units import unit_label

NOT_KNOWN = "not known"

CHECKS: Mapping[str, str] = MappingProxyType(
    {
        "ground": "Ground under it",
        "branches": "Branches above",
        "slope": "Slope",
        "distance": "Distance",
        "looked": "Looked for",
        "machine_stand": "Machine and line",
        "authority": "Authority",
        "water_quench": "Quench line",
        "water_attack": "Attack line",
        "place": "Place",
        "kiln": "Kiln",
        "date": "Burn date",
        "ban": "Fire ban",
        "people": "People on site",
        "weather": "Weather",
        "surroundings": "Grass and brush around",
        "cold": "Cold from before",
    }
)
WAYS: Mapping[str, str] = MappingProxyType({"hose": "hose", "haul": "machine", "hand": "by hand"})
BASIS_SIGNS: Mapping[str, str] = MappingProxyType({"measured": "●", "estimated": "◐", "assumed": "○"})
SYSTEM_NAMES: Mapping[str, str] = MappingProxyType({"metric": "metric", "us": "US customary"})


@dataclass(frozen=True)
class Paper:
    """A size of paper by its names: for a person, for the typesetter, for a style sheet."""

    label: str
    typst: str
    css: str


PAPERS: Mapping[str, Paper] = MappingProxyType(  # ISO 216 A4 210 × 297 mm; ANSI A 8.5 × 11 in
    {"a4": Paper("A4", "a4", "A4"), "letter": Paper("Letter", "us-letter", "letter")}
)


def usual_paper(system: str) -> str:
    """The paper people of a system of units print on.

    >>> usual_paper("us"), usual_paper("metric")
    ('letter', 'a4')
    """
    return "letter" if system == "us" else "a4"


def paper_label(key: str) -> str:
    """What a person reads for a size of paper."""
    return PAPERS[key].label


def check_label(check: str) -> str:
    """What a person reads for the stable word of a check.

    >>> check_label("looked"), check_label("busiest_minute")
    ('Looked for', 'Busiest minute')
    """
    return CHECKS.get(check) or capital(check.replace("_", " "))


def way(word: str | None, otherwise: str = NOT_KNOWN) -> str:
    """How water comes."""
    return WAYS.get(word or "", otherwise)


def basis(word: str) -> str:
    """A basis with its sign: full, half or empty circle."""
    return f"{BASIS_SIGNS.get(word, '?')} {word}"


def with_unit(label: str, unit: str, system: str) -> str:
    """A label with the unit shown behind it; unit : key of units.UNITS, or "".

    >>> with_unit("Height", "m", "us"), with_unit("Adults", "", "us")
    ('Height (ft)', 'Adults')
    """
    shown = unit_label(unit, system)
    return f"{label} ({shown})" if shown else label


def without_unit(figure: str, unit: str, system: str) -> str:
    """A figure whose unit stands in the head of its column.

    >>> without_unit("12 t (8–17)", "t", "metric")
    '12 (8–17)'
    """
    return figure.replace(f" {unit_label(unit, system)}", "")


def told(finding: Reason, system: str) -> str:
    """A finding as a sentence in the units of the site."""
    return sentence(finding, system)


def capital(words: str) -> str:
    """The first letter large, the others left alone.

    >>> capital("kiln K1")
    'Kiln K1'
    """
    return words[:1].upper() + words[1:]


def listed(words: Iterable[str], most: int = 6) -> str:
    """Names in a row; a long row says how many more there are.

    >>> listed("abcdef"), listed("abcdefg")
    ('a, b, c, d, e, f', 'a, b, c, d, e, 2 more')
    """
    names = list(words)
    return ", ".join(names if len(names) <= most else [*names[: most - 1], f"{len(names) - most + 1} more"])


def glossary(language: str = "en") -> Mapping[str, str]:
    """What the words mean, word by word; in English where a language has none."""
    return words(language).get("glossary") or words("en")["glossary"]
