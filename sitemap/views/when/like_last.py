"""More readings like the last one: the same day, face, way of counting and warmth, so that only figures are typed."""

from __future__ import annotations

import streamlit as st

from sitemap.assessment import HEAPS
from sitemap.errors import BadValue
from sitemap.site.cells import read_cell
from sitemap.site.frozen import FrozenDict, thaw
from sitemap.site.model import Entry, Feature, Site
from sitemap.views import state
from sitemap.views.figures import wrong
from sitemap.views.frame import plain
from sitemap.views.inputs import drafts
from sitemap.views.inputs.records import in_words
from sitemap.wording import told

_SHARED = ("basis", "date", "where", "wood_c")  # facts of a round with the meter, not of one piece
_READINGS = "readings"
_WRONG = "draft.readings.wrong"


def show(heap: Feature) -> None:
    """The line, as soon as one reading of the site has its day."""
    last = _last(state.site(), heap)
    if last is None:
        return
    key = f"draft.readings.{heap.id}.{len(heap.records(_READINGS))}"  # blank again once they are kept
    with st.container(border=True, key=f"like-last.{heap.id}"):
        st.markdown(f"**More like the last one**: {plain(in_words(last))}")
        field, go = st.columns([1.6, 1.2], vertical_alignment="bottom")
        drafts.text(field, "Moisture of each (%)", key, placeholder="12 14 13")
        go.button(
            f"Add to {plain(heap.name)}",
            key=f"readings.{heap.id}.go",
            on_click=state.guarded(_keep),
            args=(heap.id, key),
            width="stretch",
        )
        wrong(state.remember(_WRONG, ""))


def _last(site: Site, heap: Feature) -> Entry | None:
    """What the last reading of a heap shares with the next one; of the newest of all heaps, where it has none."""
    of_site = (read for each in site.of_kind(*HEAPS) for read in each.records(_READINGS))
    newest = max(of_site, key=lambda read: str(read.date("date") or ""), default=None)
    last = next(reversed(heap.records(_READINGS)), newest)
    if last is None or last.date("date") is None:
        return None
    return Entry(FrozenDict({name: last.raw(name) for name in _SHARED if last.has(name)}), last.attributes)


def _keep(heap_id: str, key: str) -> None:
    site = state.site()
    heap = site.get(heap_id)
    last = _last(site, heap) if heap is not None else None
    if heap is None or last is None:
        return
    try:
        read = read_cell(heap.attribute(_READINGS), str(state.typed(key) or ""), site.units) or ()
    except BadValue as bad:
        state.put(_WRONG, told(bad.reason, site.units))
        return
    state.put(_WRONG, "")
    rows = [thaw(reading.values) for reading in heap.records(_READINGS)]
    rows += [{**figure, **thaw(last.values)} for figure in read]
    state.edit(f"{heap.name}: moisture readings", site.put(heap.with_values(readings=rows)))
