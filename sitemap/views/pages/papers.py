"""The day's papers: what is still open, the plan to download, and a look at it."""

from __future__ import annotations

import re
from collections.abc import Callable
from functools import partial
from typing import Any

import streamlit as st

from sitemap.assessment import Assessment, of_assessed
from sitemap.errors import PitsteadError
from sitemap.plan.contents import ALL
from sitemap.plan.papers import plan_html, plan_pdf
from sitemap.plan.phone import phone_html
from sitemap.plan.phrases import CHOICES, words_for
from sitemap.plan.say import brief
from sitemap.reasons import Term
from sitemap.site.photos import contents
from sitemap.views import decided, download, state, working
from sitemap.views.faults import fault_text
from sitemap.views.folds import fold
from sitemap.views.frame import page, plain
from sitemap.views.inputs import parts
from sitemap.wording import NOT_KNOWN, PAPERS, check_label, listed, paper_label, usual_paper

_NOTES = 40  # shown at a time
_SAID_BY_ACTION = ("ground", "authority")  # the reason of these checks says what to do as well
_NAMES = 12  # kilns named in one line
_PREVIEW_PX = 900
_SETTING = "Setting the sheets"
_SHOWN, _BEGUN = "papers shown", "papers begun"  # what the sheets are set from, and with the first the page of them
_USUAL_LANGUAGE = "en"  # where the site names none


def _keep_language() -> None:
    chosen = state.typed("papers.language")
    if chosen:
        state.edit("Changed the language of the papers", state.site().with_member("language", chosen))


def _chosen() -> tuple[str, tuple[str, ...], str]:
    """Paper, sheets and language, as they are chosen now."""
    site = state.site()
    language = state.typed("papers.language") or site.member.get("language") or _USUAL_LANGUAGE
    keys = tuple(state.typed("papers.sheets") or ()) or ALL
    return state.typed("papers.paper") or usual_paper(site.units), keys, str(language)


def _name(ending: str) -> str:
    """What a file of the sheets is called: by its site, its day, and the sheets in it where these are not all."""
    on, keys = state.burn_date(), _chosen()[1]
    stem = re.sub(r"[^A-Za-z0-9]+", "-", state.site().name).strip("-").lower() or "site"
    return "-".join((stem, *((on.isoformat(),) if on else ()), *(keys if keys != ALL else ()))) + ending


def _task(more: Callable[[], tuple[Any, ...]], make: Callable[..., Any]) -> tuple[Any, ...]:
    return make, *download.asked_now(), *more(), contents(state.site(), state.store().file)


def _set(what: tuple[Any, ...], task: Callable[[], tuple[Any, ...]]) -> str | None:
    """The sheets as one page, once they are set; that is begun where the tab has nothing else to do.

    what : all they follow from; task : what sets them is called with
    """
    held: Any = state.remember(_SHOWN, None)
    if held is not None and held[0] == what:
        document: str | None = held[1]
        return document

    def refused(why: PitsteadError) -> None:
        state.put(_SHOWN, (what, None))  # it is not begun again by itself
        state.say(fault_text(why, a.source))

    at_work = working.at_work()
    if at_work is None or (at_work == _SETTING and state.remember(_BEGUN, None) != what):
        state.put(_BEGUN, what)
        working.begin(
            _SETTING, of_assessed, *task(), then=lambda made: state.put(_SHOWN, (what, made)), refused=refused
        )
    return None


def _open(a: Assessment) -> str:
    """Each bar once, with what is wrong and what to do about it, under the kilns that it keeps from being lit."""
    words = words_for(a.source, "en")
    labels: dict[
        tuple[str, str, tuple[str, ...]], list[str]
    ] = {}  # what asks the same of the same kilns is told together
    at: dict[tuple[str, str, str], list[str]] = {}
    for decision in a.decisions:
        for bar in decision.because:
            more = bar.verdict != NOT_KNOWN and bar.check not in _SAID_BY_ACTION
            why = words.tell(brief(bar.reason)).rstrip(".") if more else words.shown(Term(bar.verdict))
            kilns = at.setdefault((check_label(bar.check), why, words.tell(bar.action).rstrip(".")), [])
            kilns += [] if decision.name in kilns else [decision.name]
    for (label, why, action), kilns in at.items():
        labels.setdefault((why, action, tuple(kilns)), []).append(label)
    under: dict[tuple[str, ...], list[str]] = {}
    for (why, action, names), alike in labels.items():
        told = words("decision.bar", label=", ".join(dict.fromkeys(alike)), why=why, action=action)
        under.setdefault(names, []).append(f"\n- {plain(told)}")
    every = len(a.decisions) if len(a.decisions) > 1 else 0
    return "\n\n".join(
        f"##### {'Every kiln' if len(names) == every else plain(listed(names, _NAMES))}\n{''.join(lines)}"
        for names, lines in sorted(under.items(), key=lambda item: -len(item[0]))
    )


with page("papers"):
    a = state.assessment()
    st.markdown(
        "A set of sheets, each for one reader: choose one, some or all. "
        "Print them; the web page also reads on a phone without signal."
    )
    decided.words(a)
    left, right = st.columns(2)
    left.segmented_control(
        "Paper",
        list(PAPERS),
        default=usual_paper(a.source.units),
        key="papers.paper",
        format_func=paper_label,
        required=True,
    )
    right.segmented_control(
        "Language of the papers",
        list(CHOICES),
        format_func=CHOICES.__getitem__,
        required=True,
        on_change=state.guarded(_keep_language),
        help="Both: the crew cards in English on one side and Spanish on the other, everything else in English.",
        **state.choices("papers.language", str(a.source.member.get("language") or _USUAL_LANGUAGE)),
    )
    words = words_for(a.source, _chosen()[2])
    st.pills(
        "Which sheets? None chosen: all",
        ALL,
        selection_mode="multi",
        key="papers.sheets",
        format_func=lambda key: words(f"sheets.{key}"),
    )
    page_of = partial(_task, _chosen, plan_html)
    told_above = working.at_work() is not None
    document = _set((a.source, a.terrain, a.on, a.today, _chosen()), page_of)
    left, right = st.columns(2)
    with left:
        download.button(
            "Sheets to print (PDF)",
            partial(_name, ".pdf"),
            of_assessed,
            partial(_task, _chosen, plan_pdf),
            key="papers.pdf",
            kind="application/pdf",
            main=True,
        )
    with right:
        download.button(
            "Sheets as one web page",
            partial(_name, ".html"),
            of_assessed,
            page_of,
            key="papers.html",
            kind="text/html",
        )
    download.button(
        "Phone page: the sheets, with ticks, readings and a log to send back",
        partial(_name, "-phone.html"),
        of_assessed,
        partial(_task, lambda: (words_for(state.site(), _chosen()[2]).language,), phone_html),
        key="papers.phone",
        kind="text/html",
    )
    if not all(each.may_be_lit for each in a.decisions):
        st.markdown("#### What keeps a kiln from being lit")
        decided.kinds(a)
        each = len({(bar.check, decision.name) for decision in a.decisions for bar in decision.because})
        fold("Kiln by kiln, in full", "papers.bars", lambda: st.markdown(_open(a)), shut=f" ({each})")
    if a.unknowns:

        def unknown() -> None:
            told = tuple(dict.fromkeys(note.told(a.source.units) for note in a.unknowns))
            st.markdown("\n".join(f"- {plain(words)}" for words in parts.shown(told, "Notes", "papers.from", _NOTES)))

        fold("Not known", "papers.unknown", unknown, shut=f": {len(a.unknowns)}")
    st.markdown("#### The sheets")
    if document is not None:
        with st.container(key="papers.shown"):
            st.iframe(document, height=_PREVIEW_PX, alt="The burn-site plan")
    elif working.at_work() == _SETTING and not told_above:
        working.show()
    elif working.at_work() is None:
        st.button("Show the sheets here", key="papers.show", on_click=state.guarded(partial(state.put, _SHOWN, None)))
