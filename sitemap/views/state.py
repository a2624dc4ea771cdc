"""The page's hold on a kept site. The only module that touches Streamlit's session state.

The address carries `?site=<link>`: after a refresh, in a second tab or after a crash the same site is opened from the
store. Results are never kept here; they follow from the Site.
"""

from __future__ import annotations

import datetime as dt
import os
from collections.abc import Callable
from functools import lru_cache
from pathlib import Path
from typing import Any

import platformdirs
import streamlit as st

from sitemap.assessment import Assessment, assess
from sitemap.errors import BadSiteFile, PitsteadError
from sitemap.ground.of_site import terrain_of
from sitemap.ground.terrain import Terrain
from sitemap.site.file import read_site
from sitemap.site.model import Feature, Site
from sitemap.site.store import Kept, Store

SAMPLES = Path(__file__).resolve().parents[2] / "sample_sites"
FIRST_SAMPLE = "juniper_bench"
_KEPT, _SELECTED, _SAID, _SEEN, _WAITING = "kept", "selected", "said", "seen:", "waiting"
PAGE = "page"  # the page that is open


@st.cache_resource(show_spinner=False)
def _store(folder: str) -> Store:
    return Store(folder)


def store() -> Store:
    """The store of this computer; PITSTEAD_DATA names another folder."""
    return _store(os.environ.get("PITSTEAD_DATA") or platformdirs.user_data_dir("pitstead", appauthor=False))


def kept() -> Kept:
    """The site of this tab, as the store holds it now; a sample at the first visit."""
    link = st.query_params.get("site")
    held: Kept | None = st.session_state.get(_KEPT)
    if link is None:
        return held if held is not None and _hold(held) else open_sample(FIRST_SAMPLE)
    if held is not None and held.link == link and store().revision(link) == held.revision:
        return held
    try:
        return _hold(store().open(link))
    except BadSiteFile as error:
        say(f"{error} A sample is open instead.")
        return open_sample(FIRST_SAMPLE)


def site() -> Site:
    """The site of this tab."""
    return kept().site


def _hold(new: Kept) -> Kept:
    st.session_state[_KEPT] = new
    if st.query_params.get("site") != new.link:
        st.query_params["site"] = new.link
    return new


def edit(label: str, after: Site) -> None:
    """Keep an edit at once; `label` says what undo would take back ("Moved kiln K1")."""
    held = kept()
    if after != held.site:
        _hold(store().save(held.link, held.site, after, label))


def before_undo(key: str, action: Callable[[], None]) -> None:
    """Something to be done before undo or redo: what was typed a moment ago is an edit older than the press on undo."""
    st.session_state.setdefault(_WAITING, {})[key] = action


def _done_first() -> None:
    for action in list(st.session_state.get(_WAITING, {}).values()):
        action()


def undo() -> None:
    """Take the last edit back."""
    _done_first()
    _hold(store().undo(kept().link))


def redo() -> None:
    """Do it again."""
    _done_first()
    _hold(store().redo(kept().link))


def open_new(new: Site) -> Kept:
    """Keep a site under a link of its own and show it."""
    _look_away()
    return _hold(store().create(new))


def open_link(link: str) -> Kept:
    """Show a site that is kept already."""
    _look_away()
    return _hold(store().open(link))


def _look_away() -> None:
    """Forget what was chosen and asked on the site that was open before."""
    for key in (_SELECTED, "asked_at", "look_at"):
        st.session_state.pop(key, None)


def open_sample(name: str) -> Kept:
    """Open a fresh copy of a sample, with the files that belong to it."""
    return open_new(_with_files(read_site(SAMPLES / f"{name}.geojson"), SAMPLES))


def samples() -> dict[str, str]:
    """Sample key → name of the site."""
    return {path.stem: read_site(path).name for path in sorted(SAMPLES.glob("*.geojson"))}


def _with_files(new: Site, folder: Path) -> Site:
    for entry in new.files.values():
        path = folder / Path(str(entry.get("name", ""))).name
        if path.is_file():
            store().keep_file(path.read_bytes())
    return new


def burn_date() -> dt.date:
    """The burn date of the site, else today."""
    return site().section("season").date("date") or dt.date.today()


def terrain() -> Terrain | None:
    """The elevation of the site, or None where none was added or it is not kept on this computer."""
    entry = site().files.get("terrain")
    if entry is None:
        return None
    try:
        return terrain_of(site(), str(store().file(str(entry.get("sha256", "")))), entry.get("unit"))
    except PitsteadError as error:
        say(str(error))
        return None


def assessment() -> Assessment:
    """What the site means, computed from the site alone (rooms remember their slice of it)."""
    return _assessed(site(), terrain(), burn_date())


@lru_cache(maxsize=8)
def _assessed(of: Site, ground: Terrain | None, on: dt.date) -> Assessment:
    """Asked for in several places of one page."""
    return assess(of, ground, on=on)


def selected() -> Feature | None:
    """The feature the panel shows."""
    chosen = st.session_state.get(_SELECTED)
    return site().get(chosen) if chosen else None


def select(id: str | None) -> None:  # noqa: A002
    """Show one feature in the panel."""
    st.session_state[_SELECTED] = id


def say(text: str) -> None:
    """A sentence for the top of the page, shown once."""
    st.session_state.setdefault(_SAID, []).append(text)


def said() -> list[str]:
    """Sentences to show now; they are gone afterwards."""
    return list(st.session_state.pop(_SAID, []))


def bound(key: str, stored: Any) -> str:
    """Make the widget `key` start from what the site holds, also after an undo; returns the key.

    The widget keeps its identity while somebody types on, and takes a new start value only when the stored value
    changed behind it, or when it stands on another page: there it is a new widget, which would begin empty. A value
    that was typed into it is not sent back: it could arrive after the next one was typed, and undo it.
    """
    now = (st.session_state.get(PAGE), stored)
    page, before = st.session_state.get(_SEEN + key, (None, None))
    if key not in st.session_state or page != now[0] or (before != stored and st.session_state[key] != stored):
        st.session_state[key] = stored
    st.session_state[_SEEN + key] = now
    return key


def typed(key: str) -> Any:
    """What a widget holds now."""
    return st.session_state.get(key)


def remember(key: str, default: Any) -> Any:
    """A fact of this tab that is no part of the site (a view, a chosen row)."""
    return st.session_state.setdefault(key, default)


def put(key: str, value: Any) -> None:
    """Set such a fact."""
    st.session_state[key] = value


def guarded(action: Callable[[], Any]) -> Callable[[], None]:
    """A widget callback in which a refused input becomes a sentence on the page."""

    def run() -> None:
        try:
            action()
        except PitsteadError as error:
            say(str(error))

    return run
