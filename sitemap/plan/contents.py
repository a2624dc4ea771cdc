"""The set of sheets of a site on a day, each for one reader, in the order they are handed out."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from types import MappingProxyType

from sitemap.assessment import Assessment
from sitemap.errors import BadValue
from sitemap.plan.model import BurnPlan, Sheet
from sitemap.plan.phrases import Words, words_for
from sitemap.plan.say import edges
from sitemap.plan.sheets import annex, calendar, cold, crew, day, decision, map, permission, photos  # noqa: A004
from sitemap.reasons import reason

Maker = Callable[[Assessment, Words], tuple[Sheet, ...]]
_MAKERS: Mapping[str, Maker] = MappingProxyType(
    {
        "decision": decision.sheets,
        "map": map.sheets,
        "crew": crew.sheets,
        "day": day.sheets,
        "cold": cold.sheets,
        "calendar": calendar.sheets,
        "permission": permission.sheets,
        "photos": photos.sheets,
        "annex": annex.sheets,
    }
)
ALL: tuple[str, ...] = tuple(_MAKERS)


def plan_of(a: Assessment, keys: Iterable[str] = ALL, language: str | None = None) -> BurnPlan:
    """What the papers say.

    Parameters
    ----------
    a : of the site on the burn date
    keys : which sheets, of ALL; their order is always the same
    language : "en" or "es"; that of the site where left out

    Returns
    -------
    BurnPlan; the same assessment gives the same plan, word for word

    Raises
    ------
    BadValue : a sheet or a language that does not exist
    """
    wanted = tuple(keys)
    strange = [key for key in wanted if key not in _MAKERS]
    if strange or not wanted:
        raise BadValue(reason("command.sheets", known=ALL, value=tuple(strange) or ("–",)))
    words = words_for(a.source, language)
    sheets = tuple(sheet for key, make in _MAKERS.items() if key in wanted for sheet in make(a, words))
    subtitle, footer = edges(a, words)
    return BurnPlan(a.site.name, subtitle, footer, sheets, words.language)
