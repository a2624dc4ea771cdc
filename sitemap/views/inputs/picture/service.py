"""A map picture from an address on the net: off until switched on, asked once, kept with the site for the field."""

from __future__ import annotations

import streamlit as st

from sitemap.errors import PitsteadError
from sitemap.terrain import pack
from sitemap.terrain.picture import cut_out
from sitemap.units import text
from sitemap.views import state, working
from sitemap.views.faults import fault_text
from sitemap.views.figures import wrong
from sitemap.views.inputs import drafts, picture

_ON, _ADDRESS, _CREDIT, _DETAIL = "service.on", "draft.service.address", "draft.service.credit", "service.detail"
_EQUATOR_M = 40_075_017.0  # [m] round the web map's sphere, 2 π 6,378,137


def show() -> None:
    """The switch, the address, how much it would be, and the press that asks for it."""
    st.toggle(
        "Fetch a map picture from the net",
        value=state.remember(_ON, False),
        key=f"{_ON}.toggle",
        help="Nothing is asked before you press Fetch, and then only the address you type, for this ground.",
        on_change=state.guarded(lambda: state.put(_ON, bool(state.typed(f"{_ON}.toggle")))),
    )
    if not state.remember(_ON, False):
        return
    address = drafts.text(
        st, "Address of the tiles", _ADDRESS, placeholder="https://…/{z}/{x}/{y}.png, or of a WMTS description"
    )
    credit = drafts.text(
        st, "Whom to name beside the picture", _CREDIT, placeholder="as its owner asks; it is printed on the map"
    )
    site = state.site()
    try:
        window = picture.surroundings(site)
        most = pack.fitting_zoom(window)
    except PitsteadError as bad:
        wrong(fault_text(bad, site))
        return
    zooms = list(range(max(1, most - 4), most + 1))
    zoom = st.select_slider(
        "Detail",
        zooms,
        value=min(17, most) if min(17, most) in zooms else most,
        key=_DETAIL,
        format_func=lambda each: text(_EQUATOR_M / (pack.TILE_PX * 2**each), "m", site.units, 1) + " a pixel",
    )
    tiles = pack.tiles_of(window, zoom)
    st.caption(
        f"That is {tiles} tiles, about {max(0.1, tiles * pack.TILE_BYTES / 1e6):.1f} MB. Mind the owner's terms."
    )
    st.button(
        "Fetch and keep",
        key="service.fetch",
        disabled=not address.strip(),
        on_click=state.guarded(_fetch),
        args=(address, credit, window, zoom),
    )


def _fetch(address: str, credit: str, window: pack.Window, zoom: int) -> None:
    """Ask for the tiles; a press on Stop ends it, and the site is as it was."""
    for key in (_ADDRESS, _CREDIT):
        state.typed(key)  # which tells the browser that it has been taken

    def keep(cut: pack.Cut) -> None:
        owed = pack.Cut(cut.content, pack.plain_credit(credit) or cut.credit)
        picture.keep(cut_out("map picture.tif", owed))

    working.begin(
        "Fetching the map picture", pack.fetched, address, window, zoom, then=keep, telling=working.share_alone
    )
