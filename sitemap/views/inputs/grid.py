"""The grid on a page: a table for one kind, typed by keyboard or pasted from a spreadsheet, kept cell by cell.

The table is our own (`sitemap.views.sheet`), because no letter may be lost when computed columns change while somebody
types on. Here is what stands in it, and what is said below it.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import streamlit as st

from sitemap.site.attributes import Attribute
from sitemap.site.grid import PLACE, CellNote, blanks_text, from_feet, headings, names_of, row_of
from sitemap.site.kinds import HEAPS, KINDS
from sitemap.site.model import Feature, Site
from sitemap.site.on_plane import plane_of_site
from sitemap.site.placing_text import place_text
from sitemap.site.typed_rows import notes_for
from sitemap.slash.of_site import slash_of
from sitemap.slash.result import SlashItem
from sitemap.summary import said
from sitemap.telling import marked, tell
from sitemap.views import state
from sitemap.views.frame import plain
from sitemap.views.inputs import parts, sheet
from sitemap.wording import with_unit, without_unit

ROWS = 200  # shown at a time: a browser draws some thousand cells at ease
MOST_NOTES = 40  # listed below the table; every cell shown is marked
_VOLUME, _DRY, _BLANKS = "volume", "dry", "blanks"
_SIGNS = {"number": "decimal", "integer": "numeric"}  # the keyboard a phone opens
_PLACE_HELP = "A coordinate in any form, or: bearing 120, 35 paces from Gate. Lines and areas: ; between the places."


def show(kind: str, more: bool) -> None:
    """The table of one kind, and below it what is to be said at its cells."""
    site = state.site()
    features, notes = site.of_kind(kind), notes_for(site, kind)
    heads = headings(kind, site.units, more)
    shown = _shown(kind, features, sheet.typed_rows())
    items = _items(site, [features[at] for at in shown]) if kind in HEAPS else {}
    sheet.show(
        f"grid.{kind}",
        {
            "name": f"{state.kept().link}/{kind}",
            "kind": kind,
            "units": site.units,
            "columns": [_column(site, kind, key, head) for key, head in heads.items()],
            "computed": _computed(kind, site.units),
            "rows": _rows(site, features, shown, tuple(heads), items, notes),
            "total": len(features),
        },
    )
    if kind in HEAPS:
        part = "" if len(shown) == len(features) else " shown"
        counted = sum(features[at].id in items for at in shown)
        st.caption(f"{counted} of {len(shown)} {KINDS[kind].plural.lower()}{part} counted.")
    _notes(kind, features, heads, notes)


def _shown(kind: str, features: tuple[Feature, ...], typed: set[str]) -> list[int]:
    """Places, in the list of features, of those the table shows: some hundred at a time, and all typed just now."""
    every = range(len(features))
    part = parts.shown(every, KINDS[kind].plural, f"grid.from.{kind}", ROWS, "; new ones are typed below them")
    return [at for at in every if at in part or features[at].id in typed]


def _rows(
    site: Site,
    features: tuple[Feature, ...],
    shown: list[int],
    keys: tuple[str, ...],
    items: Mapping[str, SlashItem],
    notes: tuple[CellNote, ...],
) -> list[dict[str, Any]]:
    said_at: dict[str, dict[str, str]] = {}
    for note in notes:
        cells = said_at.setdefault(note.about, {})
        cells[note.column] = f"{cells.get(note.column, '')} {tell(note.text, site.units)}".strip()
    return [
        {
            "id": features[at].id,
            "number": at + 1,
            "cells": row_of(site, features[at], keys) | {PLACE: place_text(features[at])},
            "out": _outcome(site, features[at], items),
            "notes": said_at.get(features[at].id, {}),
        }
        for at in shown
    ]


def _outcome(site: Site, feature: Feature, items: Mapping[str, SlashItem]) -> dict[str, str]:
    blanks = {_BLANKS: blanks_text(feature, site.units)}
    if feature.kind not in HEAPS:
        return blanks
    item = items.get(feature.id)
    if item is None:
        return {_VOLUME: "size missing", _DRY: "", **blanks}
    volume, dry = said(item.gross_m3, "m3", site.units), said(item.dry_t, "t", site.units)
    return {_VOLUME: without_unit(volume, "m3", site.units), _DRY: without_unit(dry, "t", site.units), **blanks}


def _computed(kind: str, system: str) -> list[dict[str, str]]:
    tonnes = {_VOLUME: with_unit("Volume", "m3", system), _DRY: with_unit("Dry", "t", system)}
    heads = {_BLANKS: "Blank cells taken as"} | (tonnes if kind in HEAPS else {})
    return [{"key": key, "head": head} for key, head in heads.items()]


def _column(site: Site, kind: str, key: str, head: str) -> dict[str, Any]:
    """What the browser must know of a column: what to offer, which keyboard, what a blank means."""
    attribute = KINDS[kind].attribute(key)
    if attribute is None:
        return {"key": key, "head": head, "help": _PLACE_HELP if key == PLACE else "", "wide": key == PLACE}
    offered = _offered(site, attribute)
    words = f"One of: {', '.join(offered)}." if attribute.choices else ""
    taken = marked(attribute.blank, site.units)
    blank = f"Blank: {taken}." if taken else ""
    return {
        "key": key,
        "head": head,
        "help": " ".join(part for part in (words, marked(attribute.help, site.units), blank) if part),
        "blank": taken,
        "sign": _SIGNS.get(attribute.type, ""),
        "offered": offered,
    }


def _offered(site: Site, attribute: Attribute) -> list[str]:
    if attribute.type == "flag":
        return ["yes", "no"]
    if attribute.type == "reference":
        return list(dict.fromkeys(names_of(site, attribute).values()))[:ROWS]
    return [label for _, label in attribute.choices]


def _items(site: Site, shown: list[Feature]) -> dict[str, SlashItem]:
    """What the heaps shown hold. Each is judged by itself, so that thousands of others need not be."""
    few = len(shown) < len(site.of_kind(shown[0].kind)) if shown else False
    heaps = tuple(shown) if few else site.of_kind(*HEAPS)  # all of them: as the assessment has them, and remembers
    slash = slash_of(heaps, site.of_kind("transect"), site.of_kind("logged_area"), plane_of_site(site))
    return {item.id: item for item in slash.items}


def _notes(kind: str, features: tuple[Feature, ...], heads: Mapping[str, str], notes: tuple[CellNote, ...]) -> None:
    if not notes:
        return
    st.markdown(f"##### Look at {len(notes)} cell{'s' * (len(notes) > 1)}")
    for note in notes[:MOST_NOTES]:
        attribute = KINDS[kind].attribute(note.column)
        where = heads.get(note.column) or (attribute.label if attribute else note.column)
        st.markdown(plain(f"Row {note.row}, {where}: {tell(note.text, state.site().units)}"))
    if len(notes) > MOST_NOTES:
        st.markdown(f"And {len(notes) - MOST_NOTES} more, marked in the table.")
    high = [note.about for note in notes if note.what == "very_high"]
    if high:
        names = {feature.id: feature.name for feature in features}
        chosen = st.multiselect("Rows typed in feet", list(names), high, format_func=names.__getitem__, key="grid.feet")
        st.button(
            "Turn their sizes from feet into metric", key="grid.feet.go", on_click=state.guarded(_feet), args=(chosen,)
        )


def _feet(ids: list[str]) -> None:
    site = state.site()
    for feature in filter(None, map(site.get, ids)):
        site = site.put(from_feet(feature))
    state.edit(f"Sizes of {len(ids)} heaps turned from feet into metric", site)
