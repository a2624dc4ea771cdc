"""Heaps weighed, or burned and counted: they set the wood share of the rest."""

from __future__ import annotations

from functools import partial

import streamlit as st

from sitemap.errors import BadValue
from sitemap.ranges import Drawn
from sitemap.site.attributes import Attribute
from sitemap.site.kinds import HEAPS
from sitemap.site.model import Feature
from sitemap.slash.from_char import packing_from_char
from sitemap.slash.packing import BLANK_EARTH, BLANK_PACKING, HIGHEST_PACKING, earth_of
from sitemap.slash.result import SlashItem
from sitemap.summary import said
from sitemap.units import range_text
from sitemap.views import state
from sitemap.views.faults import fault_text
from sitemap.views.folds import fold
from sitemap.views.frame import plain
from sitemap.views.inputs import drafts, forms
from sitemap.views.inputs.changing import change

_OF_WEIGHTS = ("packing_weighed", "weights_differ", "bad_weight", "weighed_moisture")
_CHAR = Attribute("char_m3", "Char, loose", unit="m3", above=0)
_SHARE = Attribute("share_pct", "Of the heap, went in the kiln", unit="pct", low=1, high=100)
_DENSITY = Attribute("char_kg_m3", "Dry char weighed", unit="kg_m3", above=0)
_USUAL_SHARE = "70"  # [%] what stands there before anybody typed (ours)
_KEYS = tuple(f"draft.char.{name}" for name in ("volume", "share", "density"))
_WEIGHED = ("dry_t_weighed", "mass_green_t", "moisture_pct", "moisture_basis")


def show() -> None:
    """Choose a heap, say what it weighed or how much char it gave."""
    heaps = {heap.id: heap for heap in state.site().of_kind(*HEAPS)}
    st.caption(
        "Take one or two heaps apart and weigh them. Their wood share then stands for all heaps of the same look, and "
        "the range of each narrows from about ± 37 to ± 24 %."
    )
    if not heaps:
        st.info("There is no heap yet: type one in the grid.")
        return
    chosen = st.selectbox("Heap", list(heaps), format_func=lambda key: heaps[key].name, key="weighed.heap")
    slash = state.assessment().slash
    item = next((item for item in slash.items if item.id == chosen), None)
    forms.form(heaps[chosen], f"weighed.{chosen}", partial(change, chosen), only=_WEIGHED)
    if item is not None:
        st.markdown(plain(f"{item.name}: {said(item.dry_t, 't', state.site().units)} dry, {item.basis}."))
    told = [note.told(state.site().units) for note in (*slash.unknowns, *slash.assumed) if note.what in _OF_WEIGHTS]
    for text in dict.fromkeys(told):
        st.markdown("- " + plain(text))
    if item is not None:
        _counted(heaps[chosen], item)


def _counted(heap: Feature, item: SlashItem) -> None:
    units = state.site().units

    def char() -> None:
        st.caption("Rougher than weighing: of wood, 14 to 25 % becomes char. A bucket of dry char weighed helps.")
        left, middle, right = st.columns(3)
        char = drafts.number(left, _CHAR, _KEYS[0])
        share = drafts.number(middle, _SHARE, _KEYS[1], _USUAL_SHARE)
        bucket = drafts.number(right, _DENSITY, _KEYS[2])
        if char is None or share is None or item.gross_m3 is None:
            return
        try:
            ratio = _ratio(heap, item, char, share / 100, bucket)
        except BadValue as bad:
            st.warning(plain(fault_text(bad, state.site())))
            return
        alike = same_look(heap)
        st.markdown(plain(f"Its wood share was {range_text(*ratio.triple(), 'fraction', units)}."))
        st.button(
            f"Take it for the {len(alike)} heaps of this look",
            key="char.go",
            on_click=state.guarded(_take),
            args=(tuple(other.id for other in alike), ratio),
        )

    fold("Burned, and the char counted", "char", char)


def _ratio(heap: Feature, item: SlashItem, char_m3: float, share: float, bucket: float | None) -> Drawn:
    earth = heap.number("soil_fraction")
    if earth is None:
        earth = earth_of(heap.choice("soil") or BLANK_EARTH)["value"]
    density = 1000 * item.dry_t.likely / item.wood_m3.likely
    gross = item.gross_m3.likely if item.gross_m3 else 0.0
    return packing_from_char(char_m3, gross, density, earth, share, bucket)


def same_look(heap: Feature) -> tuple[Feature, ...]:
    """The heaps of the site that look like one, itself among them."""
    look = heap.choice("packing") or BLANK_PACKING
    return tuple(h for h in state.site().of_kind(*HEAPS) if (h.choice("packing") or BLANK_PACKING) == look)


def _take(ids: tuple[str, ...], ratio: Drawn) -> None:
    for key in _KEYS:
        state.typed(key)  # which tells the browser that it has been taken
    site = state.site()
    low, likely, high = (round(min(end, HIGHEST_PACKING), 4) for end in ratio.triple())
    said_of = {"": likely, "_low": low, "_high": high, "_basis": "estimated"}
    changes = {f"packing_ratio{end}": value for end, value in said_of.items()}
    for heap in filter(None, map(site.get, ids)):
        site = site.put(heap.with_values(**changes))
    state.edit(f"Wood share of {len(ids)} heaps from char counted", site)
