"""What is not proved cold rings on every page, before anything else."""

from __future__ import annotations

import datetime as dt
import html
from collections.abc import Iterable, Iterator
from functools import lru_cache

from sitemap.season.cold_of_site import Burned, burned_of, due_told
from sitemap.site.model import Site
from sitemap.telling import sentence, tell

_MOST = 3  # places in a line; the log page has them all


@lru_cache(maxsize=8)
def ringing(site: Site, today: dt.date) -> str:
    """The banner as HTML; empty where everything is proved cold and looked at."""
    burned = burned_of(site, today)
    lines = tuple(_lines(burned, today))
    if not lines:
        return ""
    more = f" And {len(lines) - _MOST} more." if len(lines) > _MOST else ""
    shown = " ".join(html.escape(line) for line in lines[:_MOST])
    first = "Not proved cold." if any(not each.proved for each in burned) else "A cold check is due."
    return f'<div class="ps-ring" role="alert"><strong>{first}</strong> {shown}{more}</div>'


def _lines(burned: Iterable[Burned], today: dt.date) -> Iterator[str]:
    """A warm place first, then what is not proved cold, then checks that are due."""
    for each in sorted(burned, key=lambda each: (each.proved, each.cold is None or each.cold.warm is None)):
        due = each.open(today)
        if not each.proved:
            yield sentence(each.told) + _next(each, today)
        elif due:
            yield f"{each.name}: {tell(due_told(due[-1]))}."


def _next(burned: Burned, today: dt.date) -> str:
    """The look that is due, or the next one."""
    if burned.cold is None:
        return ""
    due = next((each for each in burned.cold.dues if each.done is None), None)
    if due is None:
        return ""
    return f" {'Due' if due.on <= today else 'Next'}: {tell(due_told(due))}."
