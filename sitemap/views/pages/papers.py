"""The day's papers: what is still open, the plan to download, and a look at it."""

from __future__ import annotations

import re

import streamlit as st

from sitemap.plan import plan_html, plan_of, plan_pdf
from sitemap.plan.model import Warned
from sitemap.views import state
from sitemap.views.frame import page, plain
from sitemap.wording import PAPERS, paper_label, usual_paper

_PREVIEW_PX = 900

with page("papers"):
    a = state.assessment()
    plan = plan_of(a)
    st.markdown(
        "One document: page one for who must decide, then the map, the figures and what is filled in by hand. "
        "Print it on paper; the HTML page also reads on a phone without signal."
    )
    usual = usual_paper(a.source.units)
    paper = st.segmented_control(
        "Paper", list(PAPERS), default=usual, key="papers.paper", format_func=paper_label, required=True
    )
    paper = paper or usual
    document = plan_html(a, paper)
    stem = re.sub(r"[^A-Za-z0-9]+", "-", a.site.name).strip("-").lower() or "site"
    name = f"{stem}-{a.on.isoformat()}" if a.on else stem
    left, right = st.columns(2)
    left.download_button(
        "Plan to print (PDF)",
        lambda: plan_pdf(a, paper),
        f"{name}.pdf",
        "application/pdf",
        key="papers.pdf",
        on_click="ignore",
        width="stretch",
        type="primary",
    )
    right.download_button(
        "Plan as one page (HTML)",
        document,
        f"{name}.html",
        "text/html",
        key="papers.html",
        on_click="ignore",
        width="stretch",
    )
    st.markdown("#### Still open before printing")
    standing = [block for block in plan.section("page_one").blocks if isinstance(block, Warned)]
    for block in standing:
        st.markdown(f"**{plain(block.title)}**\n\n" + "\n".join(f"- {plain(words)}" for words in block.texts))
    if a.unknowns:
        with st.expander(f"Not known: {len(a.unknowns)}"):
            st.markdown(
                "\n".join(
                    f"- {plain(words)}" for words in dict.fromkeys(note.told(a.source.units) for note in a.unknowns)
                )
            )
    st.markdown("#### The plan")
    st.iframe(document, height=_PREVIEW_PX, alt="The burn-site plan")
