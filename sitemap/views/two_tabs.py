"""Two tabs, or two people, changed one value: it is said in the tab that came second, and both values are offered."""

from __future__ import annotations

import hashlib
from collections.abc import Callable

import streamlit as st

from sitemap.site.merging import NOTHING, Clash, same
from sitemap.site.model import Site
from sitemap.site.store_rows import value_in, with_value
from sitemap.views import changed, state

_MOST = 4  # shown at one time, so that the page stays in sight


def show(plain: Callable[[str], str]) -> None:
    """What waits for a choice, above every page; plain : makes text of users plain text."""
    clashes, site = state.holding().clashes, state.kept().site
    with st.container(key="clashes"):
        for clash in clashes[:_MOST]:
            _one(clash, site, plain)
        if len(clashes) > _MOST:
            st.caption(f"{len(clashes) - _MOST} more after these.")


def _one(clash: Clash, site: Site, plain: Callable[[str], str]) -> None:
    key = "clash." + hashlib.sha256(repr(clash.path).encode()).hexdigest()[:12]
    said, mine, theirs = _words(clash, site)
    with st.container(border=True, key=key):
        st.write(plain(said))
        with st.container(horizontal=True, key=f"{key}.acts"):
            st.button(plain(mine), key=f"{key}.mine", on_click=state.guarded(state.holding().answered), args=(clash,))
            st.button(plain(theirs), key=f"{key}.theirs", on_click=state.guarded(_take_theirs), args=(clash,))


def _words(clash: Clash, site: Site) -> tuple[str, str, str]:
    """What happened, and what the two buttons say."""
    thing = next((each for each in (clash.mine, clash.theirs, clash.read) if each is not NOTHING), NOTHING)
    where = changed.place(clash.path, site, thing)
    if clash.mine is NOTHING:
        return f"{where}: changed in another tab, while you took it away here.", "Leave it away", "Keep it, as changed"
    if clash.theirs is NOTHING:
        return f"{where}: taken away in another tab, while you changed it here.", "Keep mine", "Leave it away"
    if clash.path[-1] == "geometry":
        return f"{where}: moved in another tab too.", "Where I put it", "Where the other tab put it"
    mine, theirs = (changed.value(clash.path, each, site) for each in (clash.mine, clash.theirs))
    read = changed.value(clash.path, clash.read, site)
    return f"{where}: you changed {read} to {mine}; another tab had made it {theirs}.", f"Keep {mine}", f"Take {theirs}"


def _take_theirs(clash: Clash) -> None:
    site = state.site()
    state.holding().answered(clash)
    if not same(value_in(site, clash.path), clash.mine):
        state.say("That value was changed again since: it stays as it stands now.")
        return
    where = changed.place(clash.path, site, clash.theirs if clash.mine is NOTHING else clash.mine)
    state.edit(f"{where}: as in the other tab", with_value(site, clash.path, clash.theirs), seen=False)
