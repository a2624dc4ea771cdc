"""Sharing on the local network: bound to another address than this computer's own, the app asks everybody who they are.

Who starts the program finds two passcodes in its window: one to tell the others, one that also opens the sites kept
here before. People have a name and a word of their own; a site is theirs until they share it.
"""

from __future__ import annotations

import socket
from collections.abc import Callable
from functools import lru_cache
from pathlib import Path

import streamlit as st

from sitemap.errors import BadStore, BadValue, PitsteadError
from sitemap.maps.bundle import bundle
from sitemap.maps.framework import PARTS
from sitemap.reasons import reason
from sitemap.site.store import Store
from sitemap.site.store_people import LONGEST, People
from sitemap.views.sharing.gate import STAYS_S, Gate, Visitor, beyond_this_computer
from sitemap.views.sharing.own import own
from sitemap.views.sharing.shut import asks_nobody, stays_shut

_MARK = "pitstead"  # name of the cookie
_AWAY = "192.0.2.1"  # an address for documentation (RFC 5737): asked for the way to it, nothing is sent there

_door = st.components.v2.component("pitstead_door", js=bundle(Path(__file__).with_name("door.js")))


def shared() -> bool:
    """Whether the app can be reached from other computers."""
    return beyond_this_computer(st.get_option("server.address"))


@st.cache_resource(show_spinner=False)
def gate() -> Gate:
    """The door of this run of the program; its passcodes are said in the window in which it was started."""
    made = Gate()
    print(f"\n  Shared on this network: {address()}\n  Passcode for the others: {made.guests}")
    print(f"  Passcode for you, with the sites kept on this computer: {made.host}\n", flush=True)
    return made


def address() -> str:
    """Where others find the app."""
    host = st.get_option("server.address")
    if not host or host in ("0.0.0.0", "::"):
        with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
            try:
                probe.connect((_AWAY, 1))
                host = probe.getsockname()[0]
            except OSError:  # no network at all
                host = "127.0.0.1"
    return f"http://{f'[{host}]' if ':' in host else host}:{st.get_option('server.port')}"


def _mark() -> str | None:
    return st.context.cookies.get(_MARK)


def visitor() -> Visitor | None:
    """Who is at this page; None for somebody who was not let in."""
    return gate().visitor(_mark())


def let_in() -> bool:
    """Whether this page may show anything."""
    asks_nobody()
    if not shared():
        return True
    inside = visitor() is not None
    stays_shut(inside)
    return inside


def may_ask_the_net() -> bool:
    """Whether this page may make this computer ask an address: by it a guest could reach what only it can."""
    if not shared():
        return True
    at = visitor()
    return at is not None and at.host


def allowed(store: Store) -> Store:
    """The store as whoever is at this page may use it."""
    if not shared():
        return store
    at = visitor()
    if at is None:
        raise BadStore(reason("store.time_over"))
    return own(store, people(store), at)


@lru_cache(maxsize=2)
def people(store: Store) -> People:
    """Names, words and owners beside the sites of a store."""
    return People(store)


def door(store: Callable[[], Store]) -> None:
    """The form at the door; store : where names and words are kept."""
    st.html("<h3>Pitstead</h3>")
    st.write("Shared on this network. The passcode stands in the window in which Pitstead was started.")
    with st.form("door", width=420):
        code = st.text_input("Passcode", type="password", key="door.code", autocomplete="one-time-code")
        name = st.text_input("Your name", key="door.name", autocomplete="username", max_chars=LONGEST)
        word = st.text_input(
            "A word of your own",
            type="password",
            key="door.word",
            autocomplete="current-password",
            help="Choose it the first time: with name and word you come back to your sites, also from another device.",
        )
        if not st.form_submit_button("Come in", type="primary"):
            return
    try:
        mark = gate().let_in(*_asked(store, code or "", name or "", word or ""))
        _door(key="door.mark", data={"name": _MARK, "mark": mark, "seconds": STAYS_S, "place": PARTS["element"]})
    except PitsteadError as why:
        st.error(str(why))


def _asked(store: Callable[[], Store], code: str, name: str, word: str) -> tuple[str, bool]:
    """Name of somebody who may come in, and whether they started the program; raises BadValue for all others."""
    place, door = st.context.ip_address or "this computer", gate()
    if door.shut(place):
        raise BadValue(reason("store.too_many_tries"))
    role = door.knows(code)
    known = people(store()).known_as(name, word) if role is not None else None
    if role is None or known is None:
        door.wrong(place)
        raise BadValue(reason("store.not_the_passcode" if role is None else "store.name_taken"))
    return known, role == "host"


def leave() -> None:
    """The mark this browser carries lets nobody in any more."""
    gate().leave(_mark())
