"""The map with what it means beside it: the map has most of the screen, and the panel folds to a strip."""

from __future__ import annotations

from string import Template
from typing import Any

import streamlit as st

from sitemap.maps.framework import PARTS
from sitemap.views import state

_FOLDED = "panel.folded"

# The map takes at least 60 % of the window wherever the panel keeps a width in which a field can be read. Widths alone
# change on folding: the parts of the page stay what they are, so the map does not load anew.
_STYLE = Template(
    """
@media (min-width: 641px) {
  .block-container:has($map_frame) {padding-left: 1rem; padding-right: 1rem}
  $column:has($map_frame) {flex: 1 1 0; min-width: 0}
  $column:has($map_frame) ~ $column {flex: 0 0 $wide; min-width: 0}
  $column:has($map_frame) ~ $column $lines {flex-wrap: wrap; gap: .5rem}
  $column:has($map_frame) ~ $column $lines > $column {min-width: 0; flex: 1 1 0}
  $column:has($map_frame) ~ $column $lines > $column:first-child {flex: 1 1 100%}
  $column:has($map_frame) ~ $column $lines > $column:last-child {flex: 0 0 44px}
  .st-key-panel-fold {align-items: flex-end; margin-bottom: -.75rem}
  $folded
}
@media (max-width: 640px) {
  .st-key-panel-fold {display: none}
  .stApp $map_frame {height: max(420px, 74vh) !important}
  $first
}
"""
)
_LINES = '[class*="st-key-record-"] > $wrapper > $row'
_WIDE = "max(244px, calc(100% - 60vw - 1rem))"
_STRIP = "56px"
_HIDE = (
    "$column:has($map_frame) ~ $column $block > :not(:has(.st-key-panel-fold)):not(.st-key-panel-fold) {display: none}"
)
_BELOW = "$column:has($map_frame) {order: 2}"


def beside(*, panel_first: bool = False) -> tuple[Any, Any]:
    """The column of the map and the column of the panel, which starts with the button that folds it.

    panel_first : on a phone the panel stands above the map, as long as the map has no ground to show
    """
    folded = bool(state.remember(_FOLDED, False))
    lines = Template(_LINES).substitute(PARTS)
    parts = {**PARTS, "wide": _STRIP if folded else _WIDE, "lines": lines}
    hide = Template(_HIDE).substitute(parts) if folded else ""
    first = Template(_BELOW).substitute(parts) if panel_first else ""
    st.html(f"<style>{_STYLE.substitute(parts, folded=hide, first=first)}</style>")
    with st.container(key="beside"):  # nothing stands above the map: what comes and goes there would move it
        left, right = st.columns([5, 3], gap="small")
    with right, st.container(key="panel-fold"):
        st.button(
            "◀" if folded else "Fold ▶",
            key="panel.fold",
            on_click=state.guarded(state.put),
            args=(_FOLDED, not folded),
            type="tertiary",
            help="Open the panel" if folded else "Fold the panel: the map takes its room",
        )
    return left, right
