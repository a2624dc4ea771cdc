"""What people refer to by its id or by its name: the one rule for both."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Protocol, TypeVar


class Named(Protocol):
    """Anything with an id and a name."""

    @property
    def id(self) -> str:
        """Key in the site file."""

    @property
    def name(self) -> str:
        """As people call it."""


Thing = TypeVar("Thing", bound=Named)


def named(things: Iterable[Thing], reference: str | None) -> Thing | None:
    """One of several things by its id, the first of that id, else by its name where one alone bears it, in any case.

    >>> from types import SimpleNamespace as Thing
    >>> one, other, third = Thing(id="k-1", name="North"), Thing(id="k-2", name="South"), Thing(id="k-3", name="south")
    >>> named((one, other, third), "k-2") is other, named((one, other), "NORTH") is one
    (True, True)
    >>> named((one, other, third), "south"), named((one,), "K1"), named((one,), None)
    (None, None, None)
    """
    if not reference:
        return None
    bears, said = [], reference.casefold()
    for thing in things:
        if thing.id == reference:
            return thing
        if thing.name.casefold() == said:
            bears.append(thing)
    return bears[0] if len(bears) == 1 else None
