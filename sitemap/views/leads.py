"""Where each thing that keeps a kiln from being lit is answered: knowing what to do takes the place to do it."""

from __future__ import annotations

import streamlit as st

from sitemap.day.decision import Bar
from sitemap.views.folds import unfold
from sitemap.views.frame import PAGES, open_page

_DAY, _CREW = ("log", "log.weather"), ("kilns", "kilns.crew")
WHERE: dict[str, tuple[str, str]] = {  # check, or action where that says more → page, and the fold on it that is opened
    "action.enter_fuel_height": _DAY,
    "ban": _DAY,
    "surroundings": _DAY,
    "weather": ("when", ""),
    "wood": ("when", "when.heaps"),
    "permit": ("rules", ""),
    "authority": ("rules", ""),
    "asked": ("rules", ""),
    "looked": ("rules", ""),
    "date": ("kilns", ""),
    "daylight": ("kilns", ""),
    "leader": _CREW,
    "people": _CREW,
    "call": _CREW,
    "hands": _CREW,
    "raking": _CREW,
    "water_quench": ("water", ""),
    "water_attack": ("water", ""),
}
_TITLES = {page.file: page.title for pages in PAGES.values() for page in pages}


def lead(bar: Bar, key: str) -> None:
    """A button to the page where a bar is answered; none where it is answered on the map.

    bar : of a decision; key : names the button
    """
    page, inside = WHERE.get(bar.action.code) or WHERE.get(bar.check) or ("", "")
    if page and st.button(_TITLES[page], key=key, type="tertiary", icon=":material/edit:"):
        if inside:
            unfold(inside)
        open_page(page)
