"""Carbon, indicative: off unless asked for; its scope stands above the figure."""

from __future__ import annotations

import streamlit as st

from sitemap.assessment import Assessment
from sitemap.season.carbon_of_site import Carbon
from sitemap.summary import said
from sitemap.views.figures import table
from sitemap.views.inputs import lists

_SCOPE = (
    "Indicative, no certificate and no credit. It counts the carbon that is still in the char after a hundred years, "
    "by a method for char worked into mineral soil of cropland or grassland (IPCC 2019, seen in a second text), and "
    "sets the methane of the kiln against it (Cornelissen and others 2016, 30 ± 60 g per kg of char: it may eat up all "
    "of it). Left out: what would have become of the slash without a kiln, soot and other gases, machines and driving, "
    "and char that burns or washes away."
)


def show(a: Assessment) -> None:
    """The choice, and what follows from it."""
    lists.section("season", only=("carbon", "char_c"), columns=2, part=".carbon")
    found = a.carbon
    if found is None:
        st.caption("Off: say yes to see what the char stores, and what stands against it.")
        return
    st.markdown(_SCOPE)
    rows = [("All of the plan", found.planned), ("Counted in buckets so far", found.so_far)]
    table([_row(label, carbon, a.source.units) for label, carbon in rows if carbon is not None])
    if found.measured:
        told = f"By the temperature measured, {found.lasting:.0%} of the carbon is taken to last."
    else:
        told = f"No temperature of the char was measured: the lowest class is taken, {found.lasting:.0%} of it lasts."
    if found.wet:
        told += " Some of the wood was wetter than 40 %: the methane is that of wet wood, 500 g per kg of char or more."
    st.caption(told)


def _row(label: str, carbon: Carbon, units: str) -> dict[str, str]:
    return {
        "Char": label,
        "Dry char": said(carbon.char_t, "t", units),
        "Stored, CO₂e": said(carbon.stored_t, "t", units),
        "Methane against it, CO₂e": said(carbon.methane_t, "t", units),
        "Left, CO₂e": said(carbon.left_t, "t", units),
    }
