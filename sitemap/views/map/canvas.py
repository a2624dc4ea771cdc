"""The map on the page. The only module that calls the map component, so that tests can put a stand-in there.

What a person did is read in the component's callback, before the page's body runs: the body then already shows the new
site, and letting go of a kiln spot costs one run of the page instead of two.
"""

from __future__ import annotations

from collections.abc import Callable

import streamlit as st
from streamlit.components.v1 import declare_component
from streamlit_folium import st_folium

from sitemap.maps import offline
from sitemap.maps.editable import base_map, scene_group
from sitemap.maps.scene import Edits, MapView, edits_of, why_no_map
from sitemap.views import state

_ROUTE = "leaflet"
_NOTHING = ("", 0)  # no act of a map was read yet


def show(view: MapView, key: str, on_change: Callable[[Edits], None], height_px: int = 560) -> None:
    """Show a map, and hand over what a person does to it.

    Parameters
    ----------
    view : all the map shows; it may differ in every run, the map follows without loading anew
    key : name of the component on this page, the same in every run
    on_change : called with the edits before the next run of the page; never called without an edit
    height_px : height of the map
    """
    sentence = why_no_map(view)
    if sentence:
        st.info(sentence)
        return
    memory = f"{key} read"

    def read() -> None:
        acts = (state.typed(key) or {}).get("all_drawings")
        before = state.remember(memory, _NOTHING)
        edits, after = edits_of(acts, view, before)
        if after != before:
            on_change(edits)
        state.put(memory, after)

    # Told to the server in a run of the page: at import there may be no server yet, and every file would be missing.
    declare_component(_ROUTE, path=str(offline.assets_folder()))
    st_folium(
        offline.with_local_links(base_map(), lambda name: f"../{__name__}.{_ROUTE}/{name}"),
        key=key,
        height=height_px,
        width=None,
        returned_objects=["all_drawings"],
        feature_group_to_add=scene_group(view, state.remember(memory, _NOTHING)),
        on_change=state.guarded(read),
    )
