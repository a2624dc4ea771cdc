"""Layouts side by side: another kept site beside the open one, what differs, and one touch to make it the site."""

from __future__ import annotations

import datetime as dt

import streamlit as st

from sitemap.assessment import Assessment, assess
from sitemap.compare import compared
from sitemap.errors import PitsteadError
from sitemap.site.model import Site
from sitemap.telling import tell
from sitemap.terrain.of_site import terrain_of
from sitemap.terrain.terrain import Terrain
from sitemap.views import state
from sitemap.views.faults import fault_text
from sitemap.views.figures import table
from sitemap.wording import capital


def show() -> None:
    """The choice of the other site; what differs opens over the page."""
    own = state.kept().link
    names = {each.link: each.name for each in state.kept_sites() if each.link != own}
    if not names:
        st.caption("To hold two layouts side by side, copy this site, and move kilns or water in the copy.")
        return
    link = st.selectbox("Another layout", list(names), format_func=names.__getitem__, key="compare.other")
    if st.button("Hold it beside this site", key="compare.go", width="stretch"):
        _beside(link)


@st.dialog("Layouts side by side", width="large")
def _beside(link: str) -> None:
    mine, site = state.assessment(), state.store().open(link).site
    other = _assessed(site)
    _table(mine, other)
    with st.container(horizontal=True, key="compare.acts"):
        for name, each in ((mine.site.name, state.kept().link), (other.site.name, link)):
            st.button(
                f"Go on with {name}", key=f"compare.{each}", on_click=state.guarded(state.open_link), args=(each,)
            )


def _table(mine: Assessment, other: Assessment) -> None:
    units, rows = mine.source.units, compared(mine, other)
    differing = [row for row in rows if row.differs]
    here, there = mine.site.name, other.site.name
    if here == there:
        here, there = f"{here} (open now)", f"{there} (the other)"
    table(
        [
            {"What": tell(row.what, units), here: capital(tell(row.one, units)), there: capital(tell(row.other, units))}
            for row in differing
        ]
    )
    alike = [tell(row.what, units) for row in rows if not row.differs]
    st.caption(f"Alike in both: {', '.join(alike) or 'nothing that is held side by side'}. Each on its own burn date.")


def _assessed(site: Site) -> Assessment:
    return assess(site, _ground(site), on=site.section("season").date("date"), today=dt.date.today())


def _ground(site: Site) -> Terrain | None:
    """The elevation of the other site, where it is kept on this computer."""
    entry = site.files.get("terrain")
    if entry is None:
        return None
    try:
        return terrain_of(site, str(state.store().file(str(entry.get("sha256", "")))), entry.get("unit"))
    except PitsteadError as error:
        state.say(f"{site.name}: {fault_text(error, state.site())}")
        return None
