"""Copies under names of their own, what each edit of the site changed and when, and the way back to any of them."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence

import streamlit as st

from sitemap.errors import BadStore
from sitemap.site.store_history import Edit
from sitemap.views import changed, sites, state
from sitemap.views.faults import fault_text
from sitemap.views.frame import page, plain
from sitemap.views.inputs import drafts

_MORE = 40  # edits shown at one time
_SHOWN = "history shown"
_LINES = 8  # changes told of one edit
_BEGUN = "As it was begun or brought in"


def body() -> None:
    """Copies above, history below; on a phone one under the other."""
    if state.trouble() is not None:
        st.write("Copies and history are read from the kept sites, and those cannot be reached now.")
        return
    left, right = st.columns([2, 3], gap="large")
    with left:
        _copies()
    with right:
        _history()


def _copies() -> None:
    site = state.site()
    st.markdown("#### A copy under a name of its own")
    st.caption("Before you try something out. The copy has all things, notes and files; this site stays open.")
    key = f"draft.copy.name.{state.kept().link}"
    drafts.text(st, "Name of the copy", key, f"{site.name}, {sites.day(dt.date.today())}", max_chars=120)
    st.button("Keep the copy", key="copy.keep", on_click=state.guarded(_keep_copy), args=(key,))
    st.markdown("#### Delete this site")
    st.caption(
        "It goes to the deleted sites with today's date. They stay until you put them back: nothing empties them."
    )
    st.button("Delete this site", key="site.delete", on_click=state.guarded(sites.delete_open))
    sites.deleted("history.away")


def _keep_copy(key: str) -> None:
    name = str(state.typed(key) or "").strip() or f"{state.site().name} (copy)"
    sites.keep_copy(state.site(), name)


def _history() -> None:
    st.markdown("#### What was changed, and when")
    most = state.remember(_SHOWN, _MORE)
    kept = state.kept()
    edits = state.store().history(kept.link, most + 1)
    more, edits = len(edits) > most, edits[:most]
    points = {each.number: f"{sites.when(each.made)} · {each.label}" for each in edits}
    if not more:
        points[0] = _BEGUN
    points.pop(kept.number, None)
    if points:
        with st.container(border=True, key="history.back"):
            number = st.selectbox(
                "Go back to how it stood after", list(points), format_func=points.__getitem__, key="history.at"
            )
            with st.container(horizontal=True, key="history.acts"):
                acts = (
                    ("Let the site stand as then", "restore", _restore),
                    ("Keep a copy as then", "copy", _copy_then),
                )
                for words, name, act in acts:
                    st.button(words, key=f"history.{name}", on_click=state.guarded(act), args=(number, points[number]))
            st.caption("Nothing is lost by it: all that came later stays in the list below, and Undo leads back.")
    _list(edits)
    if more:
        st.button("Show earlier ones", key="history.more", on_click=state.guarded(_more))


def _list(edits: Sequence[Edit]) -> None:
    site, here = state.site(), state.kept().number
    with st.container(key="history.list"):
        for each in edits:
            sign = " · **the site stands here**" if each.number == here else "" if each.stands else " · taken back"
            lines = [told for change in each.changes if (told := changed.told(change, site))]
            rest = len(lines) - _LINES
            shown = [*lines[:_LINES], *([f"and {rest} more"] if rest > 0 else [])]
            st.markdown(
                f"{sites.when(each.made)} · {plain(each.label)}{sign}" + "".join(f"\n- {plain(line)}" for line in shown)
            )
        if not edits:
            st.write("Nothing yet: each edit will stand here.")


def _more() -> None:
    state.put(_SHOWN, state.remember(_SHOWN, _MORE) + _MORE)


def _restore(number: int, point: str) -> None:
    held = state.holding()
    held.stands(state.store().restore(state.kept().link, number, f"Back to: {point}"))


def _copy_then(number: int, point: str) -> None:
    then = state.store().at(state.kept().link, number)
    sites.keep_copy(then, f"{then.name}, as of {point}")


with page("history"):
    try:
        body()
    except BadStore as error:
        st.error(plain(fault_text(error, state.site())))
