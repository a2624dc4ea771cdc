"""The site on a map, and what it means beside it."""

from __future__ import annotations

from collections import Counter

import streamlit as st

from sitemap.errors import BadValue
from sitemap.ground.coordinates import parse
from sitemap.maps.draw import map_view
from sitemap.maps.scene import Edits
from sitemap.site.kinds import KINDS
from sitemap.site.model import Feature
from sitemap.views import backdrop, canvas, panel, state
from sitemap.views.frame import page, plain

_NAMES = {"pile": "P", "windrow": "W", "transect": "T", "kiln_spot": "K", "water_source": "Water "}


def taken(edits: Edits) -> None:
    """Keep what somebody did on the map, as one edit that undo can take back."""
    site, said = state.site(), []
    for feature_id, geometry in edits.changed:
        feature = site.get(feature_id)
        if feature is not None:
            site = site.put(feature.with_geometry(geometry))
            said.append(f"moved {feature.name}")
    for kind, geometry in edits.added:
        new = Feature.of(site.new_id(kind), geometry, {"kind": kind, "name": _new_name(kind)})
        site = site.put(new)
        state.select(new.id)
        said.append(f"added {new.name}")
    for feature_id in edits.deleted:
        feature = site.get(feature_id)
        if feature is not None:
            site = site.without(feature_id)
            said.append(f"deleted {feature.name}")
    if said:
        state.edit(", ".join(said).capitalize(), site)
    if not edits.added and edits.selected:
        state.select(edits.selected)
    if edits.clicked:
        state.put("asked_at", edits.clicked)


def _new_name(kind: str) -> str:
    names = Counter(feature.name for feature in state.site().of_kind(kind))
    start = _NAMES.get(kind, KINDS[kind].label + " ")
    number = len(state.site().of_kind(kind)) + 1
    while f"{start}{number}" in names:
        number += 1
    return f"{start}{number}"


def body() -> None:
    site = state.site()
    if not site.features:
        _begin()
    elif state.remember("hint", True):
        _hint()
    left, right = st.columns([5, 3], gap="medium")
    with left:
        look_at = state.remember("look_at", None)
        view = map_view(state.assessment(), state.kept().link, state.selected(), look_at, backdrop.chosen())
        canvas.show(view, "map", taken)
        backdrop.controls()
    with right:
        panel.show()


def _hint() -> None:
    with st.container(border=True):
        words, close = st.columns([8, 1], vertical_alignment="center")
        words.markdown(
            "**Three steps.** **1** Drag kiln K1 about and read its verdict. **2** Click a pile and change its size. "
            "**3** Start an own site (side panel, *Open*)."
        )
        close.button("Close", key="hint.close", on_click=state.put, args=("hint", False))


def _begin() -> None:
    with st.container(border=True):
        st.markdown(
            "**Your own site, in three steps.** **1** Say where it is: type a coordinate in any form, as you have it "
            "from a phone, a paper map or the permit. **2** Draw the logged area and the piles with the buttons on the "
            "map, or type them in the grid of *Walk and survey*. **3** Place a kiln spot and a water source."
        )
        where = st.text_input(
            "Where is it?",
            key="begin.where",
            placeholder="44.2871, -120.6125   ·   44°17.226′N 120°36.750′W   ·   10T 690900 4906800",
        )
        if where:
            try:
                lon, lat = parse(where)
            except BadValue as error:
                st.warning(str(error))
            else:
                state.put("look_at", (lon, lat, 17.0))
                st.caption(plain(f"The map below looks at {lat:.5f}, {lon:.5f}."))


with page("map"):
    body()
