"""A straight answer for one place, put together from what usable ground says of it."""

from __future__ import annotations

from dataclasses import dataclass

from sitemap.siting.usable import Usable


@dataclass(frozen=True)
class Answer:
    """May a kiln stand here: True, False, or None for not known; why not; how far off usable ground is [m]."""

    may: bool | None
    reasons: tuple[str, ...]
    nearest_m: float | None
    nearest_xy: tuple[float, float] | None


def answer(site: Usable, x: float, y: float) -> Answer:
    reasons = site.reasons_at(x, y)
    may = False if any(reason.bars for reason in reasons) else None if reasons else True
    return Answer(may, tuple(reason.sentence for reason in reasons), *site.nearest(x, y))
