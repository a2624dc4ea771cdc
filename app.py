"""Pitstead in the browser: page settings, list of pages, run.

streamlit run app.py
"""

from __future__ import annotations

import gc

import streamlit as st

from sitemap.views import sharing, state
from sitemap.views.frame import PAGES, page_of
from sitemap.views.inputs import sheet

# Much of a large site stays from run to run; to look all of it through for rubbish is a fifth of what an edit costs.
gc.set_threshold(2_000, 20, 20)
ICON = '<svg viewBox="0 0 16 16"><path d="M8 1 15.5 15H.5z"/></svg>'  # drawn: for a sign it looks through all of them
st.set_page_config(page_title="Pitstead", page_icon=ICON, layout="wide", initial_sidebar_state=220)
open_to = sharing.let_in()
page = st.navigation(
    {group: [page_of(page) for page in pages] for group, pages in PAGES.items()},
    position="sidebar" if open_to else "hidden",
    expanded=True,
)
if open_to:
    sheet.carry(page.title)
    page.run()
else:
    sharing.door(state.whole_store)
