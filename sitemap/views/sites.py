"""The sites kept on this computer: open one, copy it, delete it and put it back. Nothing is ever deleted for good."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Mapping
from contextlib import suppress

import streamlit as st

from sitemap.errors import BadStore
from sitemap.site.model import Site
from sitemap.site.store import Listed
from sitemap.views import comparing, samples, state

_BACK = "It stays on this computer: put it back under Deleted sites. Nothing empties that list."


def show() -> None:
    """The list of the other sites with what can be done to one of them."""
    st.button("Copy this site", key="site.copy", on_click=state.guarded(copy), args=(None,), width="stretch")
    _listed(
        "Kept on this computer",
        "open.kept",
        {each.link: f"{each.name} · {when(each.used)}" for each in state.kept_sites()},
        (("Open it", "go", state.open_link), ("Copy it", "copy", copy), ("Delete it", "away", _delete)),
    )
    comparing.show()
    deleted("open.away")


def own() -> tuple[Listed, ...]:
    """The other sites, last used first, without the samples as they came: each first visit leaves one of those."""
    invented = set(samples.names().values())
    return tuple(each for each in state.kept_sites() if each.edited or each.name not in invented)


def deleted(key: str) -> None:
    """The deleted sites, each with its date and the way back; key : of this list on the page."""
    names = {each.link: f"{each.name} · deleted {when(each.away or '')}" for each in state.kept_sites(away=True)}
    _listed("Deleted sites", key, names, (("Put it back", "back", _put_back),))


def if_deleted() -> None:
    """Says that the open site was deleted meanwhile, in another tab or by somebody else, with the way back."""
    link = state.kept().link
    with suppress(BadStore):
        if link and state.trouble() is None and state.store().is_away(link):
            st.warning("This site was deleted in another tab. What is typed here is kept with it all the same.")
            st.button("Put it back", key="away.back", on_click=state.guarded(_put_back), args=(link,), width="content")


def _listed(
    label: str, key: str, names: Mapping[str, str], acts: tuple[tuple[str, str, Callable[[str], object]], ...]
) -> None:
    if not names:
        return
    link = st.selectbox(label, list(names), format_func=names.__getitem__, key=key)
    with st.container(horizontal=True, key=f"{key}.acts"):
        for words, name, act in acts:
            st.button(words, key=f"{key}.{name}", on_click=state.guarded(act), args=(link,))


def when(moment: str) -> str:
    """A kept moment by the clock of this computer; what was kept is in universal time."""
    return dt.datetime.fromisoformat(moment).astimezone().strftime("%d %b %Y, %H:%M")


def day(date: dt.date) -> str:
    """A day as it stands in names of copies."""
    return date.strftime("%d %b %Y")


def copy(link: str | None) -> None:
    """Open a copy of a site under a name of its own; link : None for the one that is open."""
    site = state.site() if link is None else state.store().open(link).site
    state.open_new(site.with_member("name", f"{site.name} (copy)"))


def keep_copy(site: Site, name: str) -> None:
    """Keep a copy under a name; the open site stays open."""
    state.store().create(site.with_member("name", name))
    state.say(f"The copy is kept: {name}. It stands in the side panel under Open, Kept on this computer.")


def delete_open() -> None:
    """Delete the open site and open another one."""
    _delete(state.kept().link)
    others = state.kept_sites()
    if others:
        state.open_link(others[0].link)
    else:
        state.open_sample(samples.FIRST)


def _delete(link: str) -> None:
    name = state.store().open(link).site.name
    state.store().put_away(link)
    state.say(f"{name} is deleted. {_BACK}")


def _put_back(link: str) -> None:
    state.store().bring_back(link)


def start_own() -> None:
    """A site with nothing on it, opened on the map page."""
    units = state.site().units
    state.put(state.TO_PAGE, "map")
    state.open_new(Site().with_member("format", 1).with_member("units", units).with_member("name", "New site"))
