"""The page's hold on a kept site. The only module that touches Streamlit's session state.

The address carries `?site=<link>`: after a refresh, in a second tab or after a crash the same site is opened from the
store. Results are never kept here; they follow from the Site.

Streamlit stops a run wherever it touches the session state, as soon as somebody does the next thing, and begins the
next run beside it. In a callback that would lose what was typed: so every callback is `guarded`. It touches nothing at
which it could be stopped, and no two change a site at the same time.
"""

from __future__ import annotations

import datetime as dt
import os
from collections.abc import Callable, Mapping, Sequence
from contextlib import suppress
from contextvars import ContextVar
from functools import lru_cache
from threading import RLock
from typing import Any

import platformdirs
import streamlit as st

from sitemap.assessment import Assessment, assess
from sitemap.errors import BadSiteFile, BadStore, PitsteadError
from sitemap.site.burned_places import places_kept
from sitemap.site.model import Feature, Site
from sitemap.site.seen import stamped
from sitemap.site.store import Kept, Listed, Store
from sitemap.site.store_faults import moved_aside
from sitemap.telling import tell
from sitemap.terrain.of_site import terrain_of
from sitemap.terrain.terrain import Terrain
from sitemap.views import samples, sharing
from sitemap.views.faults import fault_text
from sitemap.views.holding import Holding, Tab
from sitemap.views.late import GoneError, sent_late

PAGE = "page"  # the page that is open
TO_PAGE = "to page"  # the page that is to be shown next: a site just begun starts on the map
_TAB, _SELECTED, _SEEN = "tab", "selected", "seen:"
REST = "700ms"  # of the hand, before what it typed is taken: more than from letter to letter
one_at_a_time = RLock()  # held by whoever changes a site


_acting: ContextVar[Tab | None] = ContextVar("acting", default=None)  # the tab whose callback runs


def _tab() -> Tab:
    acting = _acting.get()
    if acting is not None:
        return acting
    tab: Tab | None = st.session_state.get(_TAB)
    if tab is None:
        tab = st.session_state[_TAB] = Tab()
    return tab


def _unstopped() -> dict[str, Any]:
    """The session state as it is now, read where no run is stopped."""
    held: dict[str, Any] = st.session_state.to_dict()
    return held


def guarded(action: Callable[..., Any]) -> Callable[..., None]:
    """A widget callback that is carried out whatever comes between; a refused input becomes a sentence on the page."""

    def run(*args: Any) -> None:
        with one_at_a_time:
            tab = _unstopped().get(_TAB) or _tab()
            token, tab.look = _acting.set(tab), True
            try:
                action(*args)
            except PitsteadError as error:
                say(fault_text(error, site()))
            except GoneError:
                pass  # nothing typed is at hand: what the site holds stays
            finally:
                _acting.reset(token)

    return run


@st.cache_resource(show_spinner=False)
def _store(folder: str, url: str | None) -> Store:
    made = Store(folder, url=url)
    if made.moved_aside is not None:
        say(tell(moved_aside(made.moved_aside)))
    return made


def store() -> Store:
    """The store of this computer; PITSTEAD_DATA names another folder, PITSTEAD_DATABASE a server for the sites.

    Where the app is shared on the network, it is the store as whoever is at this page may use it.
    """
    return sharing.allowed(whole_store())


def whole_store() -> Store:
    """The store with the sites of everybody: for what says whose they are."""
    folder = os.environ.get("PITSTEAD_DATA") or platformdirs.user_data_dir("pitstead", appauthor=False)
    return _store(folder, os.environ.get("PITSTEAD_DATABASE") or None)


def kept() -> Kept:
    """The site of this tab, as the store holds it; a sample at the first visit. In a callback: as the page shows it.

    The store is asked once in each run and callback, so that a page shows one moment. What it cannot take or give stays
    in the tab, with every edit made since, until it can.
    """
    tab = _tab()
    if tab is not _acting.get():
        _follow_address(tab)
    elsewhere = tab.kept is None or (tab.kept.link or None) != tab.link
    if (tab.look or elsewhere or tab.trouble) and not tab.resting:
        tab.trouble, tab.look = None, False
        try:
            tab.kept = _opened(tab)
        except BadStore as error:
            _store.clear()  # opened anew next time: a folder taken away is made again, a damaged database moved aside
            tab.troubled(error)
    if tab.kept is None or (tab.kept.link and tab.kept.link != tab.link):
        tab.kept = Kept("", samples.sample(samples.FIRST, dt.date.today()), 0, None, None)
    return tab.as_shown(tab.kept) if tab is _acting.get() else tab.kept


def _opened(tab: Tab) -> Kept:
    held, link = tab.kept, tab.link
    if held is not None and tab.begun_unkept:
        begun, tab.waits = open_new(held.site), None
        return begun
    if held is not None and held.link == link:
        return tab.followed(store(), held)
    try:
        if link is not None:
            return store().open(link)
    except BadSiteFile as error:
        say(f"{fault_text(error, held.site) if held else error} A sample is open instead.")
    return open_sample(samples.FIRST)


def trouble() -> BadStore | None:
    """Why nothing can be kept on this computer now; None where all is kept."""
    kept()
    return _tab().trouble


def kept_sites(*, away: bool = False) -> tuple[Listed, ...]:
    """The other sites kept on this computer, or those put away; none while the store cannot be reached."""
    with suppress(BadStore):
        listed = store().sites(away=away) if trouble() is None else ()
        return tuple(each for each in listed if each.link != kept().link)
    return ()


def _follow_address(tab: Tab) -> None:
    """The address and the tab speak of the same site: of the one just opened, else of the one in the address."""
    named = st.query_params.get("site")
    opened = tab.link if tab.opened is None and named is None else tab.opened
    if opened is not None:
        st.query_params["site"] = named = opened
    tab.opened, tab.link = None, named


def site() -> Site:
    """The site of this tab."""
    return kept().site


def edit(label: str, after: Site, *, seen: bool = True) -> None:
    """Keep an edit at once; `label` says what undo would take back ("Moved kiln K1").

    seen : what was typed is what somebody sees there now, and is stamped with place and day; what a file brings is not
    """
    tab, held = _tab(), kept()
    after = places_kept(held.site, stamped(held.site, after, dt.date.today()) if seen else after)
    if after != held.site:
        tab.keep(store, held, after, label)


def before_undo(key: str, action: Callable[[], None]) -> None:
    """Something to be done before undo or redo: what was typed a moment ago is an edit older than the press on undo."""
    _tab().first[key] = action


def undo() -> None:
    """Take the edit back that the button names, and no other."""
    _stepped(Store.undo, lambda held: held.number)


def redo() -> None:
    """Do the edit again that the button names."""
    _stepped(Store.redo, lambda held: held.next)


def _stepped(step: Callable[[Store, str, int | None], Kept], named: Callable[[Kept], int | None]) -> None:
    for action in list(_tab().first.values()):
        action()
    tab, held = _tab(), kept()
    tab.stands(step(store(), held.link, named(held)))


def holding() -> Holding:
    """What this tab holds of its site."""
    return _tab()


def open_new(new: Site) -> Kept:
    """Keep a site under a link of its own and show it."""
    return _show(_tab(), store().create(new))


def open_link(link: str) -> Kept:
    """Show a site that is kept already."""
    return _show(_tab(), store().open(link))


def _show(tab: Tab, new: Kept) -> Kept:
    tab.stands(new)
    tab.link = tab.opened = new.link
    for key in (_SELECTED, "begins", "asked_at", "look_at", "hint", "new equipment"):  # of the site before
        tab.facts.pop(key, None)
    return new


def open_sample(name: str) -> Kept:
    """Open a fresh copy of a sample, with the files that belong to it."""
    return open_new(samples.with_files(name, dt.date.today(), store()))


def burn_date() -> dt.date | None:
    """The burn date of the site; None where none is set, never today's."""
    return site().section("season").date("date")


def terrain() -> Terrain | None:
    """The elevation of the site, or None where none was added or it is not kept on this computer."""
    entry = site().files.get("terrain")
    if entry is None:
        return None
    try:
        return terrain_of(site(), str(store().file(str(entry.get("sha256", "")))), entry.get("unit"))
    except PitsteadError as error:
        once, told = remember("ground said", set()), fault_text(error, site())
        if (entry, told) not in once:  # a sentence above every page would push it down at each touch
            once.add((entry, told))
            say(f"The elevation {entry.get('name', '')!s} is not used. {told} The place for it is below the map.")
        return None


def assessment() -> Assessment:
    """What the site means, computed from it alone (rooms remember their slice of it). Raises where it was stopped."""
    _tab().wanted()
    return assessed(**asked())


def asked() -> dict[str, Any]:
    """What it hangs on what the open site means, as `assessed` takes it."""
    return {"site": site(), "terrain": terrain(), "on": burn_date(), "today": dt.date.today()}


assessed = lru_cache(maxsize=8)(assess)  # asked for in several places of one page


def selected() -> Feature | None:
    """The feature the panel shows."""
    chosen = _tab().facts.get(_SELECTED)
    return site().get(chosen) if chosen else None


def select(id: str | None) -> None:  # noqa: A002
    """Show one feature in the panel. The *Place* of the one before begins anew: a clearing of it was answered there."""
    before, _tab().facts[_SELECTED] = _tab().facts.get(_SELECTED), id
    if before != id:
        _tab().facts.pop(f"{_SEEN}where.{before}", None)


def say(text: str) -> None:
    """A sentence for the top of the page, shown once."""
    if text not in _tab().said:
        _tab().said.append(text)


def said() -> tuple[str, ...]:
    """Sentences to show now."""
    tab = _tab()
    tab.counted = len(tab.said)
    return tuple(tab.said)


def heard() -> None:
    """The page stands whole, and with it the sentences shown: they are not shown again."""
    tab = _tab()
    del tab.said[: tab.counted]
    tab.sent.clear()
    tab.shown = tab.drawn or tab.shown


def begun() -> None:
    """A run of the page begins: it shows the site as the store has it now."""
    tab = _tab()
    tab.look = True
    tab.drawn = kept()


def bound(key: str, stored: Any, words: Any = None, same: Callable[[Any], bool] | None = None) -> str:
    """Make the widget `key` start from what the site holds, also after an undo; returns the key.

    The widget keeps its identity while somebody types on, and takes a new start value only when the stored value
    changed behind it, or when it stands on another page: there it is a new widget, which would begin empty. A value
    that was typed into it is not sent back: it could arrive after the next one was typed, and undo it.

    words : what a person reads for the stored value, where that may change while the value does not (a thing given
        another name): the browser knows a choice by its words alone, and would go on with one that is there no more
    same : whether what is typed means what the site holds, written another way ("12 ft" of 3.658): it stays as typed
    """
    facts = _tab().facts
    now = (facts.get(PAGE), stored, words)
    page, before, read = facts.get(_SEEN + key, (None, None, None))
    strange = words is not None and key in st.session_state and st.session_state[key] != stored
    stale = page != now[0] or read != words or strange
    changed = before != stored and key in st.session_state and st.session_state[key] != stored
    if changed and same is not None:
        changed = not same(st.session_state[key])
    # A run that was stopped may never have reached the browser: there the widget would stand empty, and the next touch
    # would send that emptiness back as if somebody had typed it. So the value is sent until a page has stood whole.
    lost = key in _tab().sent and key in st.session_state and st.session_state[key] == stored
    if key not in st.session_state or stale or changed or lost:
        st.session_state[key] = stored
        _tab().sent.add(key)
    facts[_SEEN + key] = now
    return key


def text(key: str, stored: Any, same: Callable[[Any], bool] | None = None, *, half: bool = True) -> dict[str, Any]:
    """Key and start value of a text field, see `bound`; what is typed in it is handed over when the hand rests.

    The start value goes along as the field's own default too. Of two runs that follow closely the browser may draw only
    the second, which sends no value: a field drawn then for the first time would stand empty, and the next press
    anywhere would send that emptiness as if somebody had cleared it.

    half : whether what is half typed may be taken. Half a coordinate is another place: that waits for the field's end
    """
    bound(key, stored, same=same or (lambda text: (text or "").strip() == (stored or "").strip()))
    # The script that follows the hand (views/letters) knows by the switched-off completion which fields are ours.
    return {"key": key, "value": st.session_state[key], "autocomplete": "off", "live": REST if half else False}


def choice(key: str, options: Sequence[Any], stored: Any, words: Any = None) -> dict[str, Any]:
    """Key and start value of a choice among options, as for `text`."""
    bound(key, stored, words)
    now = st.session_state[key]
    return {"key": key, "index": options.index(now) if now in options else None}


def choices(key: str, stored: Any, words: Any = None) -> dict[str, Any]:
    """Key and start value of a field that takes one or several of what is shown, as for `text`."""
    bound(key, stored, words)
    return {"key": key, "default": st.session_state[key]}


def typed(key: str) -> Any:
    """What a widget holds now.

    A field left by a press on another page sends what was typed in it when that page stands already, and every field
    of the page that was left with it. By their keys they are then unknown, and not empty.
    """
    tab = _acting.get()
    if tab is None:
        return st.session_state.get(key)
    held, seen = _unstopped(), tab.facts.get(_SEEN + key)
    tab.late = tab.late or (seen is not None and seen[0] != tab.facts.get(PAGE))
    value = held.get(key) if key in held or seen is None else sent_late(key)
    tab.heard.took(tab.link, key, value)
    return value


def heard_letters() -> Mapping[str, tuple[int, str]]:
    """Key of the field → mark and text of what was taken of it last."""
    return _tab().heard.of(_tab().link)


def left_for(file: str) -> str | None:
    """The page somebody had gone to when something typed before came in and brought back this one; None otherwise."""
    tab = _tab()
    late, tab.late = tab.late, False
    there: str | None = tab.facts.get(PAGE)
    return there if late and there != file else None


def remember(key: str, default: Any) -> Any:
    """A fact of this tab that is no part of the site (a view, a chosen row)."""
    return _tab().facts.setdefault(key, default)


def put(key: str, value: Any) -> None:
    """Set such a fact."""
    _tab().facts[key] = value
