"""From boots to map: what to take along, sheets, the grid, the phone, weighed heaps, what to measure next."""

from __future__ import annotations

from functools import partial

import streamlit as st

from sitemap.plan.before import GROUPS, before, words
from sitemap.plan.phrases import LANGUAGES, words_for
from sitemap.plan.second_walk import holds, widens
from sitemap.plan.survey import SHEETS, sheets_pdf
from sitemap.site.attributes import Attribute
from sitemap.site.kinds import KINDS, SLASH
from sitemap.site.model import Site
from sitemap.site.placing_text import settle
from sitemap.slash.result import QUANTITIES
from sitemap.telling import tell
from sitemap.units import to_display, unit_label
from sitemap.views import download, state
from sitemap.views.frame import page, plain
from sitemap.views.inputs import bring, drafts, grid, lists, weighed
from sitemap.views.leads import GRID, SURVEY_PART
from sitemap.views.map import tray
from sitemap.wording import PAPERS, SYSTEM_NAMES, capital, listed, paper_label, told, usual_paper

_PARTS = ("Before you leave home", GRID, "Phone and spreadsheet", "Free words", "Weighed heaps", "Measure next")
_SHEETS = {"before": "list before leaving", "heaps": "heaps", "ground": "ground and water", "moisture": "moisture"}
_TAPED = Attribute("taped_m", "Walked by tape", unit="m", low=1, high=2000)
_PACES = Attribute("paces", "Paces counted", "integer", low=1, high=10_000)
_COUNT = "draft.pace.count"
_FIRST = (*SLASH, "kiln_spot", "water_source")


def _asked_for() -> tuple[Site, tuple[str, ...], str, str, str]:
    """Site, sheets, language, paper and units as `sheets_pdf` takes them, as they are chosen now."""
    site = state.site()
    which = state.typed("sheets.which") or ()
    order = tuple(sheet for sheet in SHEETS if sheet in which) or tuple(SHEETS)
    tongue, paper = state.typed("sheets.language") or "en", state.typed("sheets.paper") or "a4"
    return site, order, tongue, paper, state.typed("sheets.units") or site.units


def _leaving() -> None:
    site = state.site()
    language, paper, units = st.columns(3)
    language.segmented_control(
        "Language",
        list(LANGUAGES),
        default=words_for(site).language,
        format_func=LANGUAGES.__getitem__,
        key="sheets.language",
    )
    paper.segmented_control(
        "Paper", list(PAPERS), default=usual_paper(site.units), format_func=paper_label, key="sheets.paper"
    )
    units.segmented_control(
        "Units", list(SYSTEM_NAMES), default=site.units, format_func=SYSTEM_NAMES.__getitem__, key="sheets.units"
    )
    st.pills(
        "Which sheets? None chosen: all",
        SHEETS,
        selection_mode="multi",
        format_func=_SHEETS.__getitem__,
        key="sheets.which",
    )
    download.button(
        "Sheets to print (PDF)",
        partial(str, "survey-sheets.pdf"),
        sheets_pdf,
        _asked_for,
        key="sheets.pdf",
        kind="application/pdf",
        main=True,
    )
    _, _, tongue, _, print_units = _asked_for()
    lines = before(site, tongue, print_units)
    headings = words(tongue)["before"]
    for group in GROUPS:
        texts = [line.text for line in lines if line.group == group]
        if texts:
            st.markdown(f"##### {headings[group]}\n" + "\n".join(f"- {plain(text)}" for text in texts))


def _grid() -> None:
    kinds = [*_FIRST, *(key for key in KINDS if key not in _FIRST)]
    left, right = st.columns([3, 1], vertical_alignment="bottom")
    kind = left.selectbox("Rows of", kinds, format_func=lambda key: KINDS[key].plural, key="grid.kind")
    more = right.toggle("All columns", key="grid.more")
    st.caption(
        "Type in any cell; Enter goes down. Paste from a spreadsheet at any cell. Words may be shortened (d for "
        "dome), numbers may carry a unit (12 ft). Blank is taken as usual. Empty a whole row to take the thing away. "
        "Rows with headings of their own are pasted under *Phone and spreadsheet*."
    )
    grid.show(kind, more)
    tray.show()
    _pace()
    lists.section("season", only=("date_walked",))


def _pace() -> None:
    site = state.site()
    unit = unit_label("m", site.units)
    pace_m = site.section("crew").number("pace_m")
    known = f"{to_display(pace_m, 'm', site.units):.3g} {unit}" if pace_m else "not counted yet"
    with st.expander(f"Own pace: {known}", expanded=pace_m is None, key="pace"):
        taped, count, go = st.columns(3, vertical_alignment="bottom")
        start = "150" if site.units == "us" else "50"
        length = drafts.number(taped, _TAPED, f"draft.pace.length.{site.units}", start)
        paces = drafts.number(count, _PACES, _COUNT)
        both = length is not None and paces is not None
        go.button(
            "Keep the pace", key="pace.go", disabled=not both, on_click=state.guarded(_keep_pace), args=(length, paces)
        )


def _keep_pace(length_m: float, paces: float) -> None:
    site = state.site()
    for key in (f"draft.pace.length.{site.units}", _COUNT):
        state.typed(key)  # which tells the browser that it has been taken
    pace_m = round(length_m / paces, 4)
    crew = site.section("crew")
    fault = crew.attribute("pace_m").fault(pace_m)
    if fault:
        state.say(f"The length of a pace {tell(fault, site.units)}. Count again: every step of both feet.")
        return
    state.edit("Own pace counted", settle(site.with_member("crew", crew.values.put(pace_m=pace_m))))


def _next() -> None:
    assessment = state.assessment()
    held, wide = holds(assessment), widens(assessment)
    if held:
        st.markdown("##### What holds a verdict")
        for each in held:
            alone = f" Nothing else holds {', '.join(each.alone)}." if each.alone else ""
            st.markdown("- " + plain(f"{listed(each.spots, 99)}: {told(each.reason, assessment.source.units)}{alone}"))
    st.markdown("##### What widens the weight")
    if not wide:
        st.caption(f"Nothing yet: {', '.join(QUANTITIES[q] for q in ('length', 'width', 'height'))} of a heap first.")
    for one in wide:
        text = f"{one.what}: {one.share:.0%} of the spread, {one.basis}; {one.how}"
        st.markdown("- " + plain(capital(text).rstrip("?") + "."))


with page("survey"):
    left = state.remember(SURVEY_PART, _PARTS[0])  # between map and grid one goes to and fro
    part = st.segmented_control(
        "Part", _PARTS, default=left, required=True, key="survey.part", label_visibility="collapsed"
    )
    state.put(SURVEY_PART, part)
    {
        _PARTS[0]: _leaving,
        _PARTS[1]: _grid,
        _PARTS[2]: bring.show,
        _PARTS[3]: bring.words,
        _PARTS[4]: weighed.show,
        _PARTS[5]: _next,
    }[part]()
