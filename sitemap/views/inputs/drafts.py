"""Fields that only their page reads, until a press keeps what was typed: until then its letters wait in the browser.

The script that follows the hand (`views/letters`) knows such a field by the first part of its key. Whoever keeps what
was typed reads it by `state.typed`, which tells the browser that it has been taken.
"""

from __future__ import annotations

import datetime as dt
from typing import Any

from sitemap.errors import BadValue
from sitemap.site.attributes import Attribute
from sitemap.site.cells import read_cell
from sitemap.site.grid import heading
from sitemap.telling import day_text
from sitemap.views import state
from sitemap.views.figures import wrong
from sitemap.wording import told


def text(place: Any, label: str, key: str, start: str = "", **more: Any) -> str:
    """A text field; what it holds now.

    place : where on the page; key : begins with "draft."; start : what it holds before anybody typed
    more : further words of the field
    """
    shown = place.text_input(label, start, key=key, autocomplete="off", live=state.REST, **more)
    return str(shown or "")


def today() -> str:
    """Today as people say it, to start a field of a day with."""
    return day_text(dt.date.today())


def number(place: Any, attribute: Attribute, key: str, start: str = "", **more: Any) -> float | None:
    """A number as people write it, with a unit of its own where they like; in its stored unit, None where it is blank
    or cannot be read, which is said right below."""
    units = state.site().units
    with place:
        shown = text(place, heading(attribute, units), key, start, **more)
        try:
            return read(attribute, shown)
        except BadValue as bad:
            wrong(told(bad.reason, units))
    return None


def read(attribute: Attribute, shown: str) -> float | None:
    """The number of a field. Raises BadValue for what is none, or outside the limits of the attribute."""
    value = read_cell(attribute, shown, state.site().units) if shown.strip() else None
    return None if value is None else float(value)
