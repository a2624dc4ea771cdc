"""The grid on a page: a table for one kind, typed by keyboard or pasted from a spreadsheet, kept cell by cell.

The table has a fixed number of rows, with blank ones at its end: only so do its computed columns follow while somebody
types on, without the cursor being lost. It is built anew when the site changes elsewhere (undo, the map, an import).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Any

import pandas as pd
import streamlit as st

from sitemap.ground.of_site import plane_of_site
from sitemap.ground.placing_text import place_text
from sitemap.ground.typed_rows import notes_for, typed
from sitemap.site.grid import (
    PLACE,
    blanks_text,
    from_feet,
    headings,
    row_of,
)
from sitemap.site.kinds import KINDS
from sitemap.site.model import Feature, Site
from sitemap.slash.of_site import slash_of
from sitemap.slash.result import SlashItem
from sitemap.summary import said
from sitemap.units import unit_label
from sitemap.views import state
from sitemap.views.frame import plain

BLANK_ROWS = 200  # to type or paste into; more come as soon as they are filled
FEWEST_BLANK = 50
_VOLUME, _DRY, _BLANKS = "volume", "dry", "blanks"
_HEAPS = ("pile", "windrow")
_ROW_PX, _TALLEST_ROWS = 35, 14


@dataclass(frozen=True)
class Sheet:
    """The table as this tab shows it: which thing stands in which row, and what of the edits is kept already."""

    features: tuple[Feature, ...]  # as they were after the last edit made here
    ids: tuple[str | None, ...]
    version: int = 0
    kept: Mapping[int, Mapping[str, Any]] = field(default_factory=dict)


def show(kind: str, more: bool) -> None:
    """The table of one kind, and below it what is to be said at its cells."""
    site = state.site()
    features = site.of_kind(kind)
    sheet = _sheet(kind, features)
    heads = headings(kind, site.units, more)
    key = f"grid.{kind}.{site.units}.{more}.{sheet.version}"
    rows = _rows(site, sheet, tuple(heads))
    computed = _computed(kind, site.units)
    st.data_editor(
        pd.DataFrame(rows, index=range(1, len(rows) + 1), dtype=str),
        key=key,
        num_rows="fixed",
        width="stretch",
        height=_ROW_PX * (min(len(features) + 4, _TALLEST_ROWS) + 1),
        column_order=(*heads, *computed),
        column_config={
            "_index": st.column_config.NumberColumn("Row", width=55),
            **{name: _column(kind, name, head) for name, head in heads.items()},
            **{
                name: st.column_config.TextColumn(
                    head, disabled=True, pinned=name == _DRY, width=_width(head) if name != _DRY else 130
                )
                for name, head in computed.items()
            },
        },
        disabled=tuple(computed),
        on_change=state.guarded(lambda: _keep(kind, key)),
    )
    if kind in _HEAPS:
        items = _items(site)
        counted = [item for item in items.values() if site.get(item.id) in features]
        st.caption(f"{len(counted)} of {len(features)} {KINDS[kind].plural.lower()} counted in tonnes.")
    _notes(site, kind, features, heads)


def _sheet(kind: str, features: tuple[Feature, ...]) -> Sheet:
    memory = f"sheet.{state.kept().link}.{kind}"
    sheet: Sheet | None = state.remember(memory, None)
    if sheet is None or sheet.features != features:
        ids = (*(feature.id for feature in features), *[None] * BLANK_ROWS)
        sheet = Sheet(features, ids, sheet.version + 1 if sheet else 0)
        state.put(memory, sheet)
    return sheet


def _rows(site: Site, sheet: Sheet, keys: tuple[str, ...]) -> list[dict[str, str]]:
    items = _items(site)
    return [_row(site, site.get(id) if id else None, keys, items) for id in sheet.ids]  # noqa: A001


def _row(site: Site, feature: Feature | None, keys: tuple[str, ...], items: Mapping[str, SlashItem]) -> dict[str, str]:
    if feature is None:
        return dict.fromkeys((*keys, _VOLUME, _DRY, _BLANKS), "")
    cells = row_of(site, feature, keys) | {PLACE: place_text(feature)}
    item = items.get(feature.id)
    volume = said(item.gross_m3, "m3", site.units) if item else "size missing"
    return cells | {
        _VOLUME: _bare(volume, "m3", site.units),
        _DRY: _bare(said(item.dry_t, "t", site.units), "t", site.units) if item else "",
        _BLANKS: blanks_text(feature),
    }


def _bare(text: str, unit: str, system: str) -> str:
    """A figure whose unit stands in the heading."""
    return text.replace(f" {unit_label(unit, system)}", "")


def _computed(kind: str, system: str) -> dict[str, str]:
    tonnes = {_VOLUME: f"Volume ({unit_label('m3', system)})", _DRY: f"Dry ({unit_label('t', system)})"}
    return (tonnes if kind in _HEAPS else {}) | {_BLANKS: "Blank cells taken as"}


def _column(kind: str, key: str, head: str) -> Any:
    attribute = KINDS[kind].attribute(key)
    told = ""
    if attribute is not None:
        words = ", ".join(label for _, label in attribute.choices)
        parts = (f"One of: {words}." if words else "", attribute.help)
        told = " ".join([*parts, f"Blank: {attribute.blank}." if attribute.blank else ""]).strip()
    elif key == PLACE:
        told = "A coordinate in any form, or: bearing 120, 35 paces from Gate. Lines and areas: ; between the places."
    return st.column_config.TextColumn(head, help=told or None, width=160 if key == PLACE else _width(head))


def _width(head: str) -> int:
    """Pixels a heading needs beside its sign."""
    return min(max(52 + 7 * len(head), 90), 220)


def _items(site: Site) -> dict[str, SlashItem]:
    heaps = site.of_kind(*_HEAPS)
    slash = slash_of(heaps, site.of_kind("transect"), site.of_kind("logged_area"), plane_of_site(site))
    return {item.id: item for item in slash.items}


def _keep(kind: str, key: str) -> None:
    memory = f"sheet.{state.kept().link}.{kind}"
    sheet: Sheet = state.remember(memory, None)
    edits = (state.typed(key) or {}).get("edited_rows", {})
    cells_typed = {int(row): dict(cells) for row, cells in edits.items()}
    fresh = {
        row: changed
        for row, cells in cells_typed.items()
        if (changed := {k: v for k, v in cells.items() if (k, v) not in sheet.kept.get(row, {}).items()})
    }
    if not fresh:
        return
    site, ids = typed(state.site(), kind, sheet.ids, fresh)
    label = KINDS[kind].label if len(fresh) == 1 else KINDS[kind].plural
    if sum(id is None for id in ids) >= FEWEST_BLANK:  # noqa: A001
        state.put(memory, replace(sheet, features=site.of_kind(kind), ids=ids, kept=cells_typed))
    state.edit(f"Grid: {len(fresh)} {label.lower()} typed", site)


def _notes(site: Site, kind: str, features: tuple[Feature, ...], heads: Mapping[str, str]) -> None:
    notes = notes_for(site, kind)
    if not notes:
        return
    st.markdown(f"##### Look at {len(notes)} cell{'s' * (len(notes) > 1)}")
    for note in notes:
        attribute = KINDS[kind].attribute(note.column)
        where = heads.get(note.column) or (attribute.label if attribute else note.column)
        st.markdown(plain(f"Row {note.row}, {where}: {note.text}"))
    high = [note.about for note in notes if note.what == "very_high"]
    if high:
        names = {feature.id: feature.name for feature in features}
        chosen = st.multiselect("Rows typed in feet", list(names), high, format_func=names.__getitem__, key="grid.feet")
        st.button("Turn their sizes from feet into metres", key="grid.feet.go", on_click=_feet, args=(chosen,))


def _feet(ids: list[str]) -> None:
    site = state.site()
    for feature in filter(None, map(site.get, ids)):
        site = site.put(from_feet(feature))
    state.edit(f"Sizes of {len(ids)} heaps turned from feet into metres", site)
