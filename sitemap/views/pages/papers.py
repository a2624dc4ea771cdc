"""The day's papers: what is still open, the plan to download, and a look at it."""

from __future__ import annotations

import re
from functools import partial

import streamlit as st

from sitemap.plan import ALL, plan_html, plan_pdf_of
from sitemap.plan.phone import phone_html
from sitemap.plan.phrases import CHOICES, words_for
from sitemap.reasons import Term
from sitemap.site.photos import contents
from sitemap.views import state, working
from sitemap.views.frame import page, plain
from sitemap.views.inputs import parts
from sitemap.wording import PAPERS, paper_label, usual_paper

_NOTES = 40  # shown at a time
_PREVIEW_PX = 900
_USUAL_LANGUAGE = "en"  # where the site names none


def _keep_language() -> None:
    chosen = state.typed("papers.language")
    if chosen:
        state.edit("Changed the language of the papers", state.site().with_member("language", chosen))


with page("papers"):
    a = state.assessment()
    st.markdown(
        "A set of sheets, each for one reader: choose one, some or all. "
        "Print them; the HTML page also reads on a phone without signal."
    )
    usual = usual_paper(a.source.units)
    left, right = st.columns(2)
    paper = left.segmented_control(
        "Paper", list(PAPERS), default=usual, key="papers.paper", format_func=paper_label, required=True
    )
    language = right.segmented_control(
        "Language of the papers",
        list(CHOICES),
        format_func=CHOICES.__getitem__,
        required=True,
        on_change=state.guarded(_keep_language),
        help="Both: the crew cards in English on one side and Spanish on the other, everything else in English.",
        **state.choices("papers.language", str(a.source.member.get("language") or _USUAL_LANGUAGE)),
    )
    paper, words = paper or usual, words_for(a.source, language)
    chosen = st.pills(
        "Sheets, all where none is chosen",
        ALL,
        selection_mode="multi",
        key="papers.sheets",
        format_func=lambda key: words(f"sheets.{key}"),
    )
    keys = tuple(chosen) or ALL
    kept = contents(a.source, state.store().file)
    document = plan_html(a, paper, keys, language, kept)
    stem = re.sub(r"[^A-Za-z0-9]+", "-", a.site.name).strip("-").lower() or "site"
    named = "-".join((stem, *((a.on.isoformat(),) if a.on else ()), *(keys if keys != ALL else ())))
    left, right = st.columns(2)
    left.download_button(
        "Sheets to print (PDF)",
        partial(working.done, plan_pdf_of, a.source, a.terrain, (a.on, a.today), paper, keys, language, kept),
        f"{named}.pdf",
        "application/pdf",
        key="papers.pdf",
        on_click="ignore",
        width="stretch",
        type="primary",
    )
    right.download_button(
        "Sheets as one page (HTML)",
        document,
        f"{named}.html",
        "text/html",
        key="papers.html",
        on_click="ignore",
        width="stretch",
    )
    st.download_button(
        "Phone page: the sheets, with ticks, readings and log to send back (HTML)",
        lambda: phone_html(a, words.language, kept),
        f"{named}-phone.html",
        "text/html",
        key="papers.phone",
        on_click="ignore",
        width="stretch",
    )
    st.markdown("#### Still open before printing")
    for decision in a.decisions:
        actions = dict.fromkeys(words.tell(bar.action) for bar in decision.because)  # one may mend two bars
        bars = "".join(f"\n- {plain(action)}" for action in actions)
        st.markdown(f"**{plain(decision.name)}: {words.shown(Term(decision.word))}**\n{bars}")
    if a.unknowns:
        with st.expander(f"Not known: {len(a.unknowns)}"):
            told = tuple(dict.fromkeys(note.told(a.source.units) for note in a.unknowns))
            st.markdown("\n".join(f"- {plain(words)}" for words in parts.shown(told, "Notes", "papers.from", _NOTES)))
    st.markdown("#### The sheets")
    st.iframe(document, height=_PREVIEW_PX, alt="The burn-site plan")
