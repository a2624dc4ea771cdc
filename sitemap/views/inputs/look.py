"""A look at what a file or an address brought, as a table and on a map, before anything of it is kept."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

import streamlit as st

from sitemap.maps.draw import EMPTY_CENTRE
from sitemap.maps.scene import MapFeature, MapView, Overlay
from sitemap.site.grid import CellNote
from sitemap.site.imports.brought import Brought, Candidate, keep
from sitemap.site.imports.looking import Look, looks, notes_at
from sitemap.site.kinds import KINDS
from sitemap.site.model import Site
from sitemap.site.on_plane import plane_of_site
from sitemap.site.placing_text import place_text, settle
from sitemap.views import state
from sitemap.views.frame import plain
from sitemap.views.map import canvas
from sitemap.wording import told

_TAKE, _KIND, _NAME = "take", "kind", "name"
_MOST_SAID = 12  # sentences; more stand in a box that opens
_MAP_PX = 420  # a small one: the table and the button stay near


def show(site: Site, brought: Brought, key: str) -> None:
    """The look, and the button that keeps what is ticked.

    brought : as `prepared` makes it
    key : of the place on the page where it stands
    """
    notes = notes_at(site, brought)
    found = looks(site, brought, notes)
    rows = [_row(look) for look in found]
    st.markdown(f"##### A look before it is kept: {things(len(rows))}")
    _headings(brought)
    taken: tuple[Candidate, ...] = ()
    if rows:
        taken = chosen_of(brought, _table(brought, rows, key))
        _map(site, found, key)
    _said(site, notes)
    wrong = [c for c in taken if c.feature.kind not in c.kinds]
    if wrong:
        names = ", ".join(c.feature.name or str(c.row) for c in wrong)
        st.warning(plain(f"{names}: a thing of that kind has another shape. Choose another kind, or draw it again."))
    st.button(
        f"Keep {things(len(taken))}",
        key=f"{key}.go",
        type="primary",
        disabled=not taken,
        on_click=state.guarded(_keep),
        args=(brought.name, taken),
        width="stretch",
    )


def things(count: int) -> str:
    """So many things."""
    return f"{count} thing{'s' * (count != 1)}"


def chosen_of(brought: Brought, rows: Sequence[dict[str, Any]]) -> tuple[Candidate, ...]:
    """The candidates ticked, each with the kind and the name chosen in the look."""
    by_label = {kind.label: key for key, kind in KINDS.items()}
    taken = []
    for candidate, row in zip(brought.candidates, rows, strict=True):
        if row[_TAKE]:
            named = candidate.feature.with_values(name=row[_NAME] or None)
            taken.append(replace(candidate, feature=named).of_kind(by_label.get(row[_KIND], named.kind)))
    return tuple(taken)


def _headings(brought: Brought) -> None:
    """What the columns were taken for, where a word says another thing than its own."""
    if brought.headings:
        said = " · ".join(f"{head} → {label or 'note'}" for head, label in brought.headings)
        st.caption(plain(f"Columns as they were understood: {said}"))


def _table(brought: Brought, rows: list[dict[str, Any]], key: str) -> Sequence[dict[str, Any]]:
    kinds = sorted({kind for c in brought.candidates for kind in c.kinds}, key=list(KINDS).index)
    edited: Sequence[dict[str, Any]] = st.data_editor(
        rows,
        key=f"{key}.look.{abs(hash((brought.name, repr(rows)))):x}",
        num_rows="fixed",
        hide_index=True,
        width="stretch",
        disabled=("row", "size", "where", "says", "why"),
        column_config={
            "row": st.column_config.NumberColumn("Row", width=55),
            _TAKE: st.column_config.CheckboxColumn("Take", width=60),
            _NAME: st.column_config.TextColumn("Name"),
            _KIND: st.column_config.SelectboxColumn("Kind", options=[KINDS[kind].label for kind in kinds]),
            "size": st.column_config.TextColumn("Size"),
            "where": st.column_config.TextColumn("Place"),
            "says": st.column_config.TextColumn("On the site"),
            "why": st.column_config.TextColumn("Why this kind"),
        },
    )
    return edited


def _map(site: Site, found: tuple[Look, ...], key: str) -> None:
    """What would enter, each with its size; what is on the site already stands thin behind it."""
    shown = [look for look in found if look.candidate.feature.shape is not None]
    if not shown:
        return
    plane = plane_of_site(keep(Site(), tuple(look.candidate for look in shown)))
    st.caption("What would enter, on the map; what is pale is on the site already.")
    view = MapView(
        place=f"look.{hash(found):x}",
        centre=(plane.lon0, plane.lat0) if plane is not None else EMPTY_CENTRE,
        features=tuple(_on_map(str(number), look) for number, look in enumerate(shown)),
        overlays=tuple(
            Overlay("on the site", feature.geometry) for feature in site.features if feature.geometry and feature.shape
        ),
        units=site.units,
        hint="Nothing of this is kept yet",
        amid=True,
    )
    with st.container(key="look-map"):
        canvas.show(view, f"{key}.map", lambda _: None, _MAP_PX)


def _on_map(number: str, look: Look) -> MapFeature:
    feature = look.candidate.feature
    label = " · ".join(filter(None, (feature.name, look.size)))
    return MapFeature(number, feature.kind, feature.name, label, feature.geometry or {})


def _said(site: Site, notes: tuple[CellNote, ...]) -> None:
    lines = ["- " + plain(_sentence(site, note)) for note in notes]
    if lines:
        st.markdown("\n".join(lines[:_MOST_SAID]))
    if len(lines) > _MOST_SAID:
        with st.expander(f"{len(lines) - _MOST_SAID} more to look at"):
            st.markdown("\n".join(lines[_MOST_SAID:]))


def _sentence(site: Site, note: CellNote) -> str:
    where = f"Row {note.row}: " if note.row else ""
    unless = " It is left out unless you tick it." if note.what == "far_away" else ""
    return where + told(note.text, site.units) + unless


def _row(look: Look) -> dict[str, Any]:
    feature = look.candidate.feature
    return {
        "row": look.candidate.row,
        _TAKE: look.take,
        _NAME: str(feature.values.get(_NAME) or ""),
        _KIND: KINDS[feature.kind].label,
        "size": look.size,
        "where": place_text(feature),
        "says": look.says,
        "why": look.candidate.why,
    }


def _keep(name: str, taken: tuple[Candidate, ...]) -> None:
    state.edit(f"Brought in {things(len(taken))} from {name}", settle(keep(state.site(), taken)), seen=False)
    state.say(f"Kept {things(len(taken))} from {name}. Undo takes that back.")
    state.put("bring.text", state.remember("bring.text", 0) + 1)
