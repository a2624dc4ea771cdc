"""The sites kept on this computer: open one, copy it, put it away and back. Nothing is ever deleted here."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Sequence

import streamlit as st

from sitemap.site.store import Listed
from sitemap.views import comparing, state


def show() -> None:
    """The list of the other sites with what can be done to one of them."""
    st.button("Copy this site", key="site.copy", on_click=state.guarded(copy), args=(None,), width="stretch")
    _listed(
        "Kept on this computer",
        "open.kept",
        state.kept_sites(),
        (("Open it", "go", state.open_link), ("Copy it", "copy", copy), ("Put it away", "away", _put_away)),
    )
    comparing.show()
    _listed("Put away", "open.away", state.kept_sites(away=True), (("Put it back", "back", _put_back),))


def _listed(
    label: str, key: str, sites: Sequence[Listed], acts: Sequence[tuple[str, str, Callable[[str], object]]]
) -> None:
    if not sites:
        return
    names = {each.link: f"{each.name} · {_when(each.used)}" for each in sites}
    link = st.selectbox(label, list(names), format_func=names.__getitem__, key=key)
    with st.container(horizontal=True, key=f"{key}.acts"):
        for words, name, act in acts:
            st.button(words, key=f"{key}.{name}", on_click=state.guarded(act), args=(link,))


def _when(used: str) -> str:
    """When a site was last used, by the clock of this computer; what was kept is in universal time."""
    return dt.datetime.fromisoformat(used).astimezone().strftime("%d %b %Y, %H:%M")


def copy(link: str | None) -> None:
    """Open a copy of a site under a name of its own; link : None for the one that is open."""
    site = state.site() if link is None else state.store().open(link).site
    state.open_new(site.with_member("name", f"{site.name} (copy)"))


def _put_away(link: str) -> None:
    name = state.store().open(link).site.name
    state.store().put_away(link)
    state.say(f"{name} is put away. It stays on this computer: Open, Put away, brings it back.")


def _put_back(link: str) -> None:
    state.store().bring_back(link)
