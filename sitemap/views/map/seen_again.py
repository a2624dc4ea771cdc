"""Facts of another place or day: said beside the thing they belong to, and confirmed with one touch."""

from __future__ import annotations

import datetime as dt

import streamlit as st

from sitemap.assessment import Assessment
from sitemap.errors import BadValue
from sitemap.site.cells import date_of
from sitemap.site.model import Feature
from sitemap.site.seen import all_confirmed, confirmed
from sitemap.telling import sentence
from sitemap.views import state
from sitemap.views.figures import wrong
from sitemap.views.frame import plain
from sitemap.views.inputs import drafts
from sitemap.water.tested_of_site import said_as_now

_WRONG, _ON = "seen.site.wrong", "draft.seen.on"


def of_feature(feature: Feature, a: Assessment) -> None:
    """What of a thing was not seen here or not lately, and the touch that confirms it as it stands."""
    own = [doubt for doubt in a.doubts if feature.id in (doubt.about, doubt.source)]
    of_buckets(a, feature.id)
    with st.container(key=f"seen.{feature.id}"):
        if not own:
            return
        for words in dict.fromkeys(sentence(doubt.why, a.source.units) for doubt in own):
            st.write(plain(words))
        st.button(
            "All still true here: seen today",
            key=f"seen.{feature.id}.confirm",
            on_click=state.guarded(_confirm),
            args=(feature.id,),
            help="Only after looking: the ground, the branches, the slope, the water as they are now.",
        )


def of_buckets(a: Assessment, about: str | None = None) -> None:
    """Where bucket tests do not say with what gear they were made: one touch for the gear the lines have now.

    about : id of a kiln spot or a water source; None for every test of the site
    """
    with st.container(key=f"seen.buckets.{about}"):
        if said_as_now(a.source, a.water, about) is a.source:
            return
        st.write("A bucket test does not say with which pump, hose and nozzle it was made.")
        st.button(
            "With those the line has now",
            key=f"seen.buckets.{about}.confirm",
            on_click=state.guarded(_confirm_buckets),
            args=(about,),
            help="Only where the bucket was filled with them: another pump, hose or nozzle gives another flow.",
        )


def of_site(a: Assessment) -> None:
    """For a site whose facts say no dates: one touch for all of them, as of a day."""
    with st.container(key="seen.site"):
        if len(a.doubts) < 2:
            return
        with st.expander(f"{len(a.doubts)} facts are not known here and now", key="seen.site.open"):
            st.markdown("They were seen elsewhere, too long ago, or nobody said when. Confirm only what somebody saw.")
            drafts.text(st, "Seen on", _ON, drafts.today(), placeholder="like 5 Dec 2026")
            wrong(state.remember(_WRONG, ""))
            st.button(
                "All facts of the site are as they were on that day",
                key="seen.site.confirm",
                on_click=state.guarded(_confirm_all),
            )


def _confirm(feature_id: str) -> None:
    """Every fact of a thing is still true where it stands: seen today."""
    feature = state.site().get(feature_id)
    if feature is not None:
        state.edit(f"Seen again: {feature.name}", confirmed(state.site(), feature_id, dt.date.today()))


def _confirm_buckets(about: str | None) -> None:
    """The buckets were filled with the gear the lines have now."""
    site = state.site()
    state.edit("Bucket tests: with the gear of now", said_as_now(site, state.assessment().water, about))


def _confirm_all() -> None:
    try:
        on = date_of(str(state.typed(_ON) or ""))
    except BadValue as bad:
        state.put(_WRONG, sentence(bad.reason))
        return
    state.put(_WRONG, "")
    site = said_as_now(state.site(), state.assessment().water)
    state.edit(f"All facts as of {on.isoformat()}", all_confirmed(site, on))
