"""What a kind of feature is: what may be said of it, what it is called, and which part it takes."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from sitemap.site.attributes import Attribute
from sitemap.site.vocabulary import COMMON

ROLES: Mapping[str, str] = MappingProxyType(
    {
        "work": "the crew works at it",
        "place": "its coordinates are printed, for the crew and for help",
        "fuel": "a fire below it runs up to it",
        "closed": "nobody goes through it",
        "way": "machines and people go along it, and over what is soft",
        "soft": "a machine keeps off it",
        "far": "runs on or lies far off, and does not decide what a map covers",
    }
)


@dataclass(frozen=True)
class Kind:
    """One kind of feature.

    key : value of `properties.kind` in the file
    label, plural : what a person reads
    geometries : shapes it may have (Multi… forms of them too)
    group : heading under which the page lists it
    says : one sentence for the glossary
    attributes : what may be said of it, besides name and note
    letters : before a number they mean this kind in a name: P3; the first is that of its symbol
    words : an import takes a name that holds one for this kind, English and Spanish, in small letters
    roles : keys of ROLES
    """

    key: str
    label: str
    plural: str
    geometries: tuple[str, ...]
    group: str
    says: str
    attributes: tuple[Attribute, ...] = ()
    letters: tuple[str, ...] = ()
    words: tuple[str, ...] = ()
    roles: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        strange = set(self.roles) - ROLES.keys()
        if strange:
            raise ValueError(f"{self.key} has roles nobody knows: {', '.join(sorted(strange))}")

    def attribute(self, name: str) -> Attribute | None:
        """One attribute by its key in the file."""
        return next((a for a in self.attributes if a.name == name), None)


def kind_of(
    key: str,
    label: str,
    plural: str,
    shapes: tuple[str, ...],
    group: str,
    says: str,
    *attributes: Attribute,
    **known_by: str,
) -> Kind:
    """One kind, as `kinds.py` writes it; known_by : letters, words and roles of `Kind`, with spaces between."""
    known = {name: tuple(said.split()) for name, said in known_by.items()}
    return Kind(key, label, plural, shapes, group, says, (*attributes, *COMMON), **known)
