"""Bring in what belongs to the site from an address somebody types. Nothing is asked for before a button is pressed."""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial

import streamlit as st

from sitemap.notes import Note
from sitemap.site.address import MOST_BYTES, Remote
from sitemap.site.frozen import FrozenDict
from sitemap.site.imports.brought import Brought
from sitemap.site.imports.remote import SURROUND_M, brought_from
from sitemap.site.kinds import KINDS
from sitemap.terrain.remote import Window, elevation_at, looked_at
from sitemap.units import text
from sitemap.views import state, working
from sitemap.views.frame import plain
from sitemap.views.inputs import drafts, look

_FOUND, _BROUGHT, _TYPED = "address.found", "address.brought", "draft.address"
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
    typed = drafts.text(st, "Address of the file", _TYPED, placeholder="https://…", max_chars=2000)
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
    typed, site = str(state.typed(_TYPED) or "").strip(), state.site()
    state.put(_FOUND, None)
    state.put(_BROUGHT, None)

    def found(what: tuple[Remote, Window | None]) -> None:
        state.put(_FOUND, _Found(typed, *what))

    working.begin("Looking what lies there", looked_at, typed, site, then=found)


def _fetch(found: _Found, kind: str | None) -> None:
    site, remote = state.site(), found.remote

    def telling(came: int) -> tuple[float, str]:
        return came / (remote.size or MOST_BYTES), _mb(came)

    words = f"Fetching {remote.name}"
    if found.window is not None:
        working.begin(words, elevation_at, remote, site, then=partial(_keep_elevation, found), telling=telling)
        return

    def brought(what: Brought) -> None:
        state.put(_BROUGHT, what)

    working.begin(words, brought_from, remote, site, kind, site.units, then=brought, telling=telling)


def _keep_elevation(found: _Found, read: tuple[bytes, tuple[Note, ...]]) -> None:
    (content, notes), site = read, state.site()
    files = site.member.get("files")
    files = files if isinstance(files, FrozenDict) else FrozenDict()
    entry = {"name": found.remote.name, "sha256": state.store().keep_file(content), "from": found.remote.shown}
    state.edit(f"Added {found.remote.name}", site.with_member("files", files.put(terrain=entry)))
    for note in notes:
        state.say(note.told(site.units))
    state.say(f"Kept {found.remote.name}, {_mb(len(content))}. Undo takes that back.")
    state.put(_FOUND, None)
    state.typed(_TYPED)  # which tells the browser that it has been taken
