"""What everybody let in sees of the sharing: where others find the app, who is here, and whose the open site is."""

from __future__ import annotations

from functools import partial

import segno
import streamlit as st

from sitemap.site.store_people import People
from sitemap.views import sharing, state
from sitemap.views.sharing.gate import Visitor


def show() -> None:
    """The part of the side menu; nothing where the app is not shared."""
    me = sharing.visitor() if sharing.shared() else None
    if me is None:
        return
    with st.expander("Shared on this network", key="sharing"):
        address = sharing.address()
        # Drawn in the page: a picture that comes after it would push the button below from under the finger.
        st.html(segno.make(address, micro=False).svg_inline(scale=5, border=4, light="white", title=address))
        st.text(address)
        if me.host:
            st.text(f"Passcode for the others: {sharing.gate().guests}")
        _site(me)
        here = (f"{each.name} ({each.seen_at:%H:%M})" for each in sharing.gate().here())
        st.text(f"Here, and when last seen: {', '.join(here)}")
        st.button("Leave", key="sharing.leave", on_click=state.guarded(sharing.leave), width="stretch")


def _site(me: Visitor) -> None:
    link, people = state.kept().link, sharing.people(state.whole_store())
    owned = people.of(link)
    if me.host if owned is None else owned.by(me.name):
        key = f"sharing.site.{link}"
        st.checkbox(
            "Everybody let in may open and change this site",
            value=owned is not None and owned.shared,
            key=key,
            on_change=state.guarded(partial(_share, people, link, me.name, key)),
        )
    else:
        st.text("This site is shared by somebody else.")


def _share(people: People, link: str, name: str, key: str) -> None:
    people.own(link, name)
    people.share(link, bool(state.typed(key)))
