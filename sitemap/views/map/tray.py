"""The tray: things not yet on the map, placed by a coordinate, by bearing and paces, or by hand on the map."""

from __future__ import annotations

from dataclasses import replace
from functools import partial

import streamlit as st

from sitemap.maps.draw import map_view
from sitemap.maps.scene import SHAPES, Edits, Tool
from sitemap.site.check import label_of
from sitemap.site.grid import PLACE
from sitemap.site.model import Feature, Site
from sitemap.site.placing_text import settle
from sitemap.site.typed_rows import placed
from sitemap.views import state
from sitemap.views.frame import plain
from sitemap.views.inputs import parts
from sitemap.views.map import backdrop, canvas
from sitemap.wording import listed

_MOST = 40  # shown at a time
_HERE = "tray.here"


def offered() -> None:
    """On the map page: that things are not on the map, and a switch to place those of one place by a touch each."""
    waiting, ready = _waiting(state.site()), _ready(state.site())
    if not waiting:
        return
    with st.container(border=True, key="tray.offered"):
        st.markdown(f"**Not on the map yet: {plain(listed(map(label_of, waiting)))}.**")
        if ready:
            st.toggle("Place them here, one touch each", key=_HERE)
        if len(ready) < len(waiting):
            st.markdown("What is drawn as a line or an outline is placed on *Walk and survey*, below the grid.")


def placing(site: Site) -> Feature | None:
    """What the next touch on the map places; None while nothing is placed there."""
    return next(iter(_ready(site)), None) if state.typed(_HERE) else None


def hint(site: Site) -> str:
    """What the map says under itself of things that are not on it; empty where all are."""
    waiting, feature = len(_waiting(site)), placing(site)
    if feature is not None:
        return f"Touch the place of {label_of(feature)}" + (f"; {waiting - 1} more to place" if waiting > 1 else "")
    return f"{waiting} not on the map yet: place them by the switch beside or below the map" if waiting else ""


def _waiting(site: Site) -> list[Feature]:
    return [feature for feature in site.features if feature.geometry is None]


def _ready(site: Site) -> list[Feature]:
    return [feature for feature in _waiting(site) if _simplest(feature) == "Point"]


def _simplest(feature: Feature) -> str:
    kind = feature.kind_schema
    return next(shape for shape in SHAPES if kind is None or shape in kind.geometries)


def show() -> None:
    """The things without a place, if there are any."""
    waiting = _waiting(state.site())
    if not waiting:
        return
    with st.expander(f"Not on the map yet ({len(waiting)})", expanded=len(waiting) <= 8, key="tray"):
        if st.toggle("Place them by hand on the map, one touch each", key="tray.map"):
            _map(waiting)
            return
        for feature in parts.shown(waiting, "Things", "tray.from", _MOST):
            key = f"tray.{feature.id}"
            st.text_input(
                plain(label_of(feature)),
                **state.text(key, str(feature.values.get(PLACE) or ""), half=False),
                placeholder="a coordinate in any form, or: bearing 120, 35 paces from Gate",
                on_change=state.guarded(_typed),
                args=(feature.id, key),
            )


def _typed(feature_id: str, key: str) -> None:
    state.edit("Placed from the tray", placed(state.site(), feature_id, state.typed(key) or ""))


def _map(waiting: list[Feature]) -> None:
    names = {feature.id: label_of(feature) for feature in waiting}
    chosen = st.selectbox("What you place", list(names), format_func=names.__getitem__, key="tray.what")
    feature = next(feature for feature in waiting if feature.id == chosen)
    kind = feature.kind_schema
    simplest = _simplest(feature)
    touched = simplest == "Point"  # one touch a heap; a line or an outline is drawn
    tool = Tool(feature.kind, label_of(feature), kind.group if kind else "", (simplest,))
    how = "Touch the place of" if touched else "On the map: + Add, then draw"
    st.markdown(f"**{how} {plain(label_of(feature))}.** The next one in the tray follows.")
    asked = f"{how} {label_of(feature)}" + (f"; {len(waiting) - 1} more to place" if len(waiting) > 1 else "")
    look_at = state.remember("look_at", None)
    tools = () if touched else (tool,)
    view = map_view(state.assessment(), state.kept().link, None, look_at, backdrop.chosen(), (), tools=tools)
    canvas.show(replace(view, placing=touched, amid=True, hint=asked), "tray.canvas", partial(place, chosen))


def place(feature_id: str, edits: Edits) -> None:
    """Keep what a hand did on the map as the place of one thing."""
    site = drawn(state.site(), feature_id, edits)
    feature = site.get(feature_id)
    state.edit(f"Placed {feature.name if feature and (edits.added or edits.clicked) else 'by hand'}", site)


def drawn(site: Site, feature_id: str, edits: Edits) -> Site:
    """The site with what was drawn as the shape of one thing of the tray, and with what was dragged beside it."""
    shapes = dict(edits.changed) | ({feature_id: edits.added[0][1]} if edits.added else {})
    if edits.clicked is not None:
        shapes[feature_id] = {"type": "Point", "coordinates": list(edits.clicked)}
    for changed, geometry in shapes.items():
        feature = site.get(changed)
        if feature is not None:
            site = site.put(feature.with_geometry(geometry).with_values(**{PLACE: None}))
    return settle(site)
