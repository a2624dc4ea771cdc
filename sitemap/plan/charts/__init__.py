"""The pictures of the season on paper, as wide as a sheet and told apart without colour; pages show the same ones."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from types import MappingProxyType

from sitemap.assessment import Assessment
from sitemap.plan.charts import calendar, drying, strip, winds
from sitemap.plan.phrases import Words

Drawer = Callable[[Assessment, int, Words], str | None]
_DRAWERS: Mapping[str, Drawer] = MappingProxyType(
    {"calendar": calendar.drawn, "drying": drying.drawn, "strip": strip.drawn, "winds": winds.drawn}
)


def chart(a: Assessment, key: str, words: Words) -> str | None:
    """One picture as SVG.

    a : of the site; key : "calendar", "drying", "strip" or "winds", a hyphen, and which of them from 0; words : on it

    Returns
    -------
    SVG text, or None where there is no such picture
    """
    name, _, number = key.partition("-")
    return _DRAWERS[name](a, int(number), words) if name in _DRAWERS else None
