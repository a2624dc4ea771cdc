"""Bring in what belongs to the site from an address somebody types. Nothing is asked for before a button is pressed."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from functools import partial
from typing import Any

import streamlit as st

from sitemap.errors import PitsteadError
from sitemap.site.address import MOST_BYTES, Remote, asked
from sitemap.site.frozen import FrozenDict
from sitemap.site.imports.brought import Brought
from sitemap.site.imports.remote import SURROUND_M, brought_from, surroundings
from sitemap.site.kinds import KINDS
from sitemap.site.model import Site
from sitemap.terrain.of_site import terrain_of
from sitemap.terrain.remote import Window, window_at, window_read
from sitemap.units import text
from sitemap.views import state
from sitemap.views.faults import unchanged_text
from sitemap.views.frame import plain
from sitemap.views.inputs import look

_FOUND, _BROUGHT = "address.found", "address.brought"
_FIRST = ("structure", "road", "stream")  # what such files mostly hold
_BY_NAME = "by name and layer"


@dataclass(frozen=True)
class _Found:
    """What lies at the address that was looked at; window : of a raster."""

    typed: str
    remote: Remote
    window: Window | None


def show() -> None:
    """The address, what lies there and how much of it would be fetched, and the button that fetches it."""
    site = state.site()
    far = text(SURROUND_M, "m", site.units, 2)
    st.caption(
        f"Elevation (GeoTIFF), or footprints, roads and water lines (FlatGeobuf, GeoPackage, GeoJSON, KML, zipped "
        f"Shapefile) at an address you know. What lies within {far} of the site is kept with it and works without a "
        "network afterwards. Nothing is asked for until you press."
    )
    typed = st.text_input("Address of the file", key="address.typed", placeholder="https://…", max_chars=2000)
    kinds = ["", *_FIRST, *(key for key in KINDS if key not in _FIRST)]
    kind = st.selectbox(
        "What it holds", kinds, format_func=lambda key: KINDS[key].plural if key else _BY_NAME, key="address.kind"
    )
    st.button("Look what lies there", key="address.ask", on_click=state.guarded(_ask), disabled=not typed.strip())
    found = state.remember(_FOUND, None)
    if not isinstance(found, _Found) or found.typed != typed.strip():
        return
    st.markdown(plain(_says(found)))
    label = "Fetch the elevation and keep it" if found.window is not None else "Fetch what belongs to the site"
    st.button(label, key="address.fetch", type="primary", on_click=state.guarded(_fetch), args=(found, kind or None))
    brought = state.remember(_BROUGHT, None)
    if isinstance(brought, Brought) and brought.candidates:
        look.show(site, brought, "address")


def _says(found: _Found) -> str:
    remote, window = found.remote, found.window
    whole = "of a size the server does not say" if remote.size is None else f"{_mb(remote.size)} in all"
    if window is not None and window.columns:
        coarser = f", every {window.shrunk} × {window.shrunk} cells as one" if window.shrunk > 1 else ""
        part = (
            f"{window.columns:,} × {window.rows:,} cells round the site, about {_mb(window.about_bytes)}, are fetched"
        )
        return f"{remote.name}: an elevation raster, {whole}. {part}{coarser}."
    if remote.in_parts:
        return f"{remote.name}: a map file with an index, {whole}. Only what lies round the site is fetched."
    return f"{remote.name}: {whole}. It must be fetched whole; what lies round the site is taken."


def _mb(size: int) -> str:
    return f"{size / 1e6:,.1f} MB" if size >= 100_000 else f"{size / 1e3:,.0f} kB"


def _ask() -> None:
    typed = str(state.typed("address.typed") or "").strip()
    state.put(_FOUND, None)
    state.put(_BROUGHT, None)
    try:
        site = state.site()
        surroundings(site)
        remote = asked(typed)
        window = window_at(remote, site) if remote.form == ".tif" else None
        state.put(_FOUND, _Found(typed, remote, window))
    except PitsteadError as bad:
        state.say(unchanged_text(bad, state.site()))


def _fetch(found: _Found, kind: str | None) -> None:
    site = state.site()
    try:
        if found.window is not None:
            _keep_elevation(site, found)
            return
        with _waiting(found.remote) as told:
            state.put(_BROUGHT, brought_from(found.remote, site, kind, site.units, told))
    except PitsteadError as bad:
        state.say(unchanged_text(bad, state.site()))


def _grow(bar: Any, words: str, whole: int, came: int) -> None:
    bar.progress(min(1.0, came / whole), f"{words} {_mb(came)}")


@contextmanager
def _waiting(remote: Remote) -> Iterator[Callable[[int], None]]:
    """A bar that grows with the bytes that came, gone again once they are here."""
    words = plain(f"Fetching {remote.name} …")
    bar = st.progress(0.0, words)
    try:
        # what is read in parts comes in a thread that knows no page, and is small
        yield (lambda _: None) if remote.in_parts else partial(_grow, bar, words, remote.size or MOST_BYTES)
    finally:
        bar.empty()


def _keep_elevation(site: Site, found: _Found) -> None:
    with _waiting(found.remote) as told:
        content = window_read(found.remote, site, told)
    read = terrain_of(site, content, None)
    files = site.member.get("files")
    files = files if isinstance(files, FrozenDict) else FrozenDict()
    entry = {"name": found.remote.name, "sha256": state.store().keep_file(content), "from": found.remote.shown}
    state.edit(f"Added {found.remote.name}", site.with_member("files", files.put(terrain=entry)))
    for note in read.notes:
        state.say(note.told(site.units))
    state.say(f"Kept {found.remote.name}, {_mb(len(content))}. Undo takes that back.")
    state.put(_FOUND, None)
