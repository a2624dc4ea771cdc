"""Bring in what the phone or a spreadsheet holds: a look first, then it is kept."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import replace
from typing import Any

import streamlit as st

from sitemap.errors import BadFile
from sitemap.site.attributes import Attribute
from sitemap.site.far_off import far_notes, tidied
from sitemap.site.frozen import FrozenDict, thaw
from sitemap.site.grid import CellNote
from sitemap.site.imports import bring, bring_text
from sitemap.site.imports.brought import Brought, Candidate, differences, keep, namesake
from sitemap.site.imports.returned import Returned, is_returned, read_returned, with_returned
from sitemap.site.kinds import KINDS
from sitemap.site.model import Entry, Site
from sitemap.site.on_plane import plane_of_site
from sitemap.site.placing_text import place_notes, place_text, settle
from sitemap.views import state
from sitemap.views.frame import plain
from sitemap.views.inputs import forms
from sitemap.wording import told

_TAKE, _KIND, _NAME = "take", "kind", "name"
_BY_NAME = "by name and column"
_GUESSED = {"": _BY_NAME, **{key: kind.plural for key, kind in KINDS.items()}}
_WORDS = (
    Attribute("date", "Date", "date"),
    Attribute("from", "From", "text"),
    Attribute("text", "Words", "text"),
)


def show() -> None:
    """Upload or paste; look; keep."""
    site = state.site()
    left, right = st.columns(2)
    kind = left.selectbox("What the rows are", list(_GUESSED), format_func=_GUESSED.__getitem__, key="bring.kind")
    systems = {"metric": "metres, cm, kg", "us": "feet, inches, pounds"}
    unit = right.segmented_control(
        "Numbers without a unit are in",
        list(systems),
        default=site.units,
        format_func=systems.__getitem__,
        key="bring.u",
    )
    upload = st.file_uploader(
        "GPX, CSV or GeoJSON file",
        ["gpx", "csv", "tsv", "txt", "geojson", "json"],
        key="bring.file",
        help="Also the file that the phone page makes at the landing.",
    )
    pasted = st.text_area(
        "Or paste rows from a spreadsheet, headings included",
        key=_fresh("bring.text"),
        height=120,
        placeholder="No\tShape\tLength (ft)\tWidth (ft)\tHeight (ft)\tBearing\tPaces\tFrom",
    )
    chosen = kind or None, unit or site.units
    try:
        if upload is not None and is_returned(sent := upload.getvalue().decode("utf-8", "replace")):
            _look_returned(read_returned(upload.name, sent, site))
        elif upload is not None:
            _look(site, bring(upload.name, upload.getvalue(), site, *chosen))
        elif pasted.strip():
            _look(site, bring_text("What was pasted", pasted, site, *chosen))
    except BadFile as bad:
        st.error(plain(f"{bad} The site is unchanged."))


def _look_returned(returned: Returned) -> None:
    """What was ticked and written at the landing: a look, then it is kept."""
    new = [*returned.ticks, *returned.log]
    st.markdown(f"##### From the landing: {_entries(len(new))} new, {returned.doubles} here already")
    for each in new:
        told = (
            each.get("what"),
            each.get("kiln"),
            each.get("text"),
            each.get("who"),
            each.get("when", each.get("date")),
        )
        st.markdown("- " + plain(" · ".join(str(part) for part in told if part)))
    st.button(
        f"Keep {_entries(len(new))}",
        key="bring.returned",
        type="primary",
        disabled=not new,
        on_click=state.guarded(_keep_returned),
        args=(returned,),
        width="stretch",
    )


def _keep_returned(returned: Returned) -> None:
    count = _entries(len(returned.ticks) + len(returned.log))
    state.edit(f"Brought in {count} from the landing", with_returned(state.site(), returned))
    state.say(f"Kept {count} from the landing: see the page Log. Undo takes that back.")


def _entries(count: int) -> str:
    return f"{count} {'entry' if count == 1 else 'entries'}"


def words() -> None:
    """Free words: kept as notes of the site."""
    st.caption("A page of free words, a talk with a neighbour, a thing to remember. It is kept with the site as it is.")
    forms.records_table(_WORDS, _kept_words, "notes", _keep_notes, len(_WORDS), folded=True)
    text = st.text_area("Write or paste here", key=_fresh("words.text"), height=160)
    st.button(
        "Keep as a note",
        key="words.go",
        disabled=not text.strip(),
        on_click=state.guarded(_keep_words),
        args=("", text),
    )


def _kept_words() -> list[Entry]:
    notes = state.site().member.get("notes") or ()
    return [Entry(note, _WORDS) for note in notes if isinstance(note, FrozenDict)]


def _fresh(key: str) -> str:
    """The key of a field that is empty again once what was typed in it is kept."""
    return f"{key}.{state.remember(key, 0)}"


def _kept(key: str) -> None:
    state.put(key, state.remember(key, 0) + 1)


def _keep_notes(rows: list[dict[str, Any]]) -> None:
    state.edit("Notes changed", state.site().with_member("notes", rows or None))


def _keep_words(source: str, text: str) -> None:
    site = state.site()
    note = {"date": dt.date.today().isoformat(), "text": text.strip()} | ({"from": source} if source else {})
    state.edit("Kept a note", site.with_member("notes", [*thaw(site.member.get("notes") or ()), note]))
    _kept("bring.text" if source else "words.text")


def looked_at(site: Site, brought: Brought) -> tuple[CellNote, ...]:
    """Everything that is to be said of what was brought, places among it, by row."""
    candidates = brought.candidates
    placed = [(c.row, c.feature) for c in candidates]
    far = far_notes(plane_of_site(site), placed)
    places = place_notes(keep(site, candidates), (c.feature for c in candidates))
    by_row = [replace(note, row=candidates[note.row - 1].row) for note in places]
    return tuple(sorted((*brought.notes, *far, *by_row), key=lambda note: note.row))


def _look(site: Site, brought: Brought) -> None:
    if brought.words:
        st.info("This is no table. It can be kept as a note, word for word.")
        st.button(
            "Keep as a note", key="bring.words", on_click=state.guarded(_keep_words), args=(brought.name, brought.words)
        )
        return
    brought = replace(brought, candidates=tuple(map(_tidy, brought.candidates)))
    notes = looked_at(site, brought)
    far = {note.row for note in notes if note.what == "far_away"}
    rows = [_row(site, candidate, candidate.row not in far) for candidate in brought.candidates]
    st.markdown(f"##### A look before it is kept: {_things(len(rows))}")
    kinds = sorted({kind for c in brought.candidates for kind in c.kinds}, key=list(KINDS).index)
    edited = st.data_editor(
        rows,
        key=f"bring.look.{abs(hash((brought.name, repr(rows)))):x}",
        num_rows="fixed",
        hide_index=True,
        width="stretch",
        disabled=("row", "where", "says", "why"),
        column_config={
            "row": st.column_config.NumberColumn("Row", width=55),
            _TAKE: st.column_config.CheckboxColumn("Take", width=60),
            _NAME: st.column_config.TextColumn("Name"),
            _KIND: st.column_config.SelectboxColumn("Kind", options=[KINDS[kind].label for kind in kinds]),
            "where": st.column_config.TextColumn("Place"),
            "says": st.column_config.TextColumn("On the site"),
            "why": st.column_config.TextColumn("Why this kind"),
        },
    )
    for note in notes:
        where = f"Row {note.row}: " if note.row else ""
        unless = " It is left out unless you tick it." if note.what == "far_away" else ""
        st.markdown("- " + plain(where + told(note.text, site.units) + unless))
    taken = chosen_of(brought, edited)
    wrong = [c for c in taken if c.feature.kind not in c.kinds]
    if wrong:
        names = ", ".join(c.feature.name or str(c.row) for c in wrong)
        st.warning(plain(f"{names}: a thing of that kind has another shape. Choose another kind, or draw it again."))
    st.button(
        f"Keep {_things(len(taken))}",
        key="bring.go",
        type="primary",
        disabled=not taken,
        on_click=state.guarded(_keep),
        args=(brought.name, taken),
        width="stretch",
    )


def _things(count: int) -> str:
    return f"{count} thing{'s' * (count != 1)}"


def _tidy(candidate: Candidate) -> Candidate:
    if candidate.feature.geometry is None:
        return candidate
    return replace(candidate, feature=candidate.feature.with_geometry(tidied(thaw(candidate.feature.geometry))))


def _row(site: Site, candidate: Candidate, take: bool) -> dict[str, Any]:
    old = namesake(site, candidate)
    changed = differences(old, candidate.feature) if old else ()
    says = "new" if old is None else f"changes {old.name}: {', '.join(changed)}" if changed else f"adds to {old.name}"
    return {
        "row": candidate.row,
        _TAKE: take and not changed,
        _NAME: str(candidate.feature.values.get(_NAME) or ""),
        _KIND: KINDS[candidate.feature.kind].label,
        "where": place_text(candidate.feature),
        "says": says,
        "why": candidate.why,
    }


def chosen_of(brought: Brought, rows: Sequence[dict[str, Any]]) -> tuple[Candidate, ...]:
    """The candidates ticked, each with the kind and the name chosen in the look."""
    by_label = {kind.label: key for key, kind in KINDS.items()}
    taken = []
    for candidate, row in zip(brought.candidates, rows, strict=True):
        if row[_TAKE]:
            named = candidate.feature.with_values(name=row[_NAME] or None)
            taken.append(replace(candidate, feature=named).of_kind(by_label.get(row[_KIND], named.kind)))
    return tuple(taken)


def _keep(name: str, taken: tuple[Candidate, ...]) -> None:
    state.edit(f"Brought in {_things(len(taken))} from {name}", settle(keep(state.site(), taken)), seen=False)
    state.say(f"Kept {_things(len(taken))} from {name}. Undo takes that back.")
    _kept("bring.text")
