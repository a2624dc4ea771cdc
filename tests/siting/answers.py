"""A straight answer for one place, put together from what usable ground says of it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from sitemap.reasons import Reason, reason
from sitemap.siting.usable import Usable
from sitemap.telling import sentence


@dataclass(frozen=True)
class Answer:
    """May a kiln stand here: True, False, or None for not known; why not; how far off usable ground is [m]."""

    may: bool | None
    reasons: tuple[str, ...]
    nearest_m: float | None
    nearest_xy: tuple[float, float] | None


def answer(site: Usable, x: float, y: float) -> Answer:
    found = site.objections_at(x, y)
    may = False if any(each.bars for each in found) else None if found else True
    return Answer(may, tuple(sentence(each.why) for each in found), *site.nearest(x, y))


def finding(words: str) -> Reason:
    """A finding that reads as these words."""
    return reason("errors.as_said", text=words)


def sentences_of(findings: Iterable[Reason]) -> tuple[str, ...]:
    """Findings as a page shows them."""
    return tuple(sentence(each) for each in findings)
