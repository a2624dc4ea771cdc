"""What keeps a kiln from being lit, as it is told: what nobody looked for is one thing to do, not ten."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from typing import cast

from sitemap.day.decision import Bar
from sitemap.reasons import Fact, Reason, Term, reason

_EACH = "safety.not_looked"


def together(bars: Iterable[Bar]) -> tuple[Bar, ...]:
    """The bars in their order, those that one look round the kiln takes away as one, where the first of them stands.

    bars : of one decision. Each kind keeps its distance: nothing that bars is left out.
    """
    found = tuple(bars)
    looks = [bar for bar in found if bar.reason.code == _EACH]
    return tuple(_one(found, looks)) if len(looks) > 1 else found


def _one(bars: tuple[Bar, ...], looks: list[Bar]) -> Iterator[Bar]:
    for bar in bars:
        if bar is looks[0]:
            yield replace(bar, reason=reason("safety.none_looked", kinds=tuple(_by_distance(looks))))
        elif bar not in looks:
            yield bar


def _by_distance(looks: list[Bar]) -> Iterator[Reason]:
    """The kinds that are looked for as far as each other, and how far."""
    kinds: dict[Fact, list[Term]] = {}
    for bar in looks:
        kinds.setdefault(bar.reason.fact("need"), []).append(cast(Term, bar.reason.fact("kind")))
    for need, alike in kinds.items():
        yield reason("safety.kinds_within", kinds=tuple(alike), need=need)
