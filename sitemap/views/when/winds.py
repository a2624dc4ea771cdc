"""From where the wind keeps smoke off: a compass for each kiln, the places round it, and what may arrive there."""

from __future__ import annotations

import math

import streamlit as st

from sitemap.assessment import Assessment
from sitemap.plan.charts.winds import compass
from sitemap.plan.phrases import words_for
from sitemap.reasons import metres
from sitemap.telling import quantity_text, sentence
from sitemap.views.figures import table
from sitemap.views.frame import plain

_CAUTION = (
    "Do not quench or burn into a calm clear evening: the air hardly mixes then, smoke runs down the valley with the "
    "cold air and pools, whatever the wind of the day. A place down-valley of a kiln gets it first."
)


def show(a: Assessment) -> None:
    """A compass, a sentence and the places of every kiln."""
    if not a.smoke:
        st.info(
            "No place to keep smoke from is on the map: homes, schools, roads, stables. Draw them, or say none is near."
        )
        return
    with st.container(key="when.winds", horizontal=True):
        for each in a.smoke:
            st.image(compass(each, words_for(a.source, "en")), caption=f"Kiln {each.name}", width=220)
    st.caption("Striped: the wind must not come from there. Lines: towards the places, numbered as in the table.")
    for each in a.smoke:
        st.markdown(plain(sentence(each.told, a.source.units)))
    table(
        [
            {
                "Kiln": each.name,
                "Place": f"{number} {place.name}",
                "Away": quantity_text(metres(place.away_m, 2, "down"), a.source.units),
                "Towards": f"{place.bearing_deg:.0f}°",
                "By day": _order(place.by_day),
                "Calm clear evening": _order(place.on_a_calm_evening),
            }
            for each in a.smoke
            for number, place in enumerate(each.places, start=1)
        ]
    )
    st.caption(
        "Fine particles on the axis of the plume over one hour, in a slow wind of 2 m/s, if it blows that way: "
        "right to a factor of ten at best, and not to be held against a value for 24 hours. "
        "Nearer than 100 m no figure holds."
    )
    st.warning(_CAUTION)


def _order(micrograms: float) -> str:
    """A figure to its order of magnitude."""
    if micrograms < 1:
        return "below 1 µg/m³"
    return f"about {10 ** round(math.log10(micrograms)):,} µg/m³"
