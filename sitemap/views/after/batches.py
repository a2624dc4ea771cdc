"""The log of batches: one touch opens today's batch of a kiln, four fields tell it, the rest is folded."""

from __future__ import annotations

import streamlit as st

from sitemap.assessment import Assessment
from sitemap.site.frozen import thaw
from sitemap.views import state
from sitemap.views.after.cold import here_and_now
from sitemap.views.frame import plain
from sitemap.views.inputs import lists
from sitemap.wording import capital

_MOST = 12  # kilns with a button of their own


def show(a: Assessment) -> None:
    """A button for each kiln, and every row."""
    spots = a.source.of_kind("kiln_spot")[:_MOST]
    if spots:
        with st.container(horizontal=True, key="log.start"):
            for spot in spots:
                st.button(
                    f"+ Batch today: {plain(spot.name)}",
                    key=f"log.start.{spot.id}",
                    on_click=state.guarded(_start),
                    args=(spot.name,),
                )
        barred: dict[str, list[str]] = {}
        for each in a.decisions:
            if not each.may_be_lit:
                barred.setdefault(each.word, []).append(plain(each.name))
        if barred:
            said = "; ".join(f"{word}: {', '.join(names)}" for word, names in barred.items())
            st.markdown(f"**{capital(said)}.** What burned all the same is written down like any other batch.")
    lists.records(
        "log",
        "When it was lit, when the water went on, buckets and water used tell most. The phone page fills them in too.",
        first_open=False,
    )


def _start(kiln: str) -> None:
    site = state.site()
    rows = [thaw(each.values) for each in site.records("log")]
    new = {"date": here_and_now(site).date().isoformat(), "kiln": kiln}
    state.edit(f"Batch at {kiln}", site.with_member("log", [*rows, new]))
