"""Tables of records: a grid to type in, and on a phone one row after the other as a form."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import streamlit as st

from sitemap.site.attributes import Attribute
from sitemap.site.frozen import FrozenDict, thaw
from sitemap.site.kinds import KINDS
from sitemap.site.model import Entry, Site
from sitemap.units import from_display, to_display
from sitemap.views import state
from sitemap.views.fields import field, label_of, reference_names


def records_table(
    attributes: tuple[Attribute, ...], raw: Any, widget: str, change: Callable[[list[dict[str, Any]]], None]
) -> None:
    """Records to add, change and take away: as a grid, on a phone (where a grid has no room) row by row as a form.

    raw : the records as the Site holds them
    widget : makes the widgets of this table distinct
    change : called with all records as soon as somebody changes one
    """
    name = "".join(c if c.isalnum() else "-" for c in widget)
    with st.container(key=f"wide-{name}"):
        _grid(attributes, raw, widget, change)
    with st.container(key=f"narrow-{name}"):
        _row_by_row(attributes, raw, widget, change)


def _grid(
    attributes: tuple[Attribute, ...], raw: Any, widget: str, change: Callable[[list[dict[str, Any]]], None]
) -> None:
    site = state.site()
    rows = [{a.name: _cell(a, record.get(a.name), site.units) for a in attributes} for record in raw]
    column_config = {a.name: column(a, site) for a in attributes}
    version = state.remember(widget + "#version", 0)
    key = f"{widget}#{version}.{hash(repr(rows))}"

    def keep() -> None:
        edits = state.typed(key) or {}
        before = [thaw(record) for record in raw]
        made = []
        for index, row in merged_rows(rows, edits):
            old = before[index] if index is not None and index < len(before) else {}
            extra = {k: v for k, v in old.items() if k not in {a.name for a in attributes}}
            new = {a.name: _stored(a, row.get(a.name), old.get(a.name), site.units) for a in attributes}
            made.append({**extra, **{k: v for k, v in new.items() if v is not None}})
        state.put(widget + "#version", version + 1)
        change([row for row in made if row])

    st.data_editor(
        rows or [dict.fromkeys(a.name for a in attributes)],
        key=key,
        num_rows="dynamic",
        column_config=column_config,
        width="stretch",
        hide_index=True,
        placeholder="",
        on_change=state.guarded(keep),
    )


def _row_by_row(
    attributes: tuple[Attribute, ...], raw: Any, widget: str, change: Callable[[list[dict[str, Any]]], None]
) -> None:
    rows = [thaw(record) for record in raw]

    #  Numbers stay the same words whatever is typed into a row: a choice whose words change would be lost.
    number = st.selectbox(
        f"Row ({len(rows)} filled; the last is a new one)",
        range(len(rows) + 1),
        format_func=lambda each: f"{each + 1}",
        key=f"{widget}.row",
    )
    number = min(number or 0, len(rows))

    def put(name: str, value: Any) -> None:
        row = {**(rows[number] if number < len(rows) else {}), name: value}
        kept = {key: held for key, held in row.items() if held is not None}
        change([each for each in (*rows[:number], kept, *rows[number + 1 :]) if each])

    record = Entry(FrozenDict(rows[number] if number < len(rows) else {}), attributes)
    for attribute in attributes:
        field(record, attribute, f"{widget}.{number}", put)
    if number < len(rows):
        rest = [*rows[:number], *rows[number + 1 :]]
        st.button(
            "Delete this row", key=f"{widget}.drop", on_click=state.guarded(change), args=(rest,), width="stretch"
        )


def merged_rows(rows: list[dict[str, Any]], edits: dict[str, Any]) -> list[tuple[int | None, dict[str, Any]]]:
    """Rows after the edits of a table, each with the number of the row it was (None for a new one)."""
    gone = set(edits.get("deleted_rows", ()))
    changed = {int(k): v for k, v in edits.get("edited_rows", {}).items()}
    made: list[tuple[int | None, dict[str, Any]]] = [
        (number, {**row, **changed.get(number, {})}) for number, row in enumerate(rows or [{}]) if number not in gone
    ]
    return made + [(None, row) for row in edits.get("added_rows", ())]


def column(attribute: Attribute, site: Site) -> Any:
    """How a table shows one attribute."""
    label, help_text = label_of(attribute, site.units), attribute.help or None
    if attribute.type in ("number", "integer"):
        return st.column_config.NumberColumn(label, help=help_text)
    if _choices(attribute):
        return st.column_config.SelectboxColumn(label, options=[c for _, c in _choices(attribute)], help=help_text)
    if attribute.type == "flag":
        return st.column_config.SelectboxColumn(label, options=["yes", "no"], help=help_text)
    if attribute.type == "date":
        return st.column_config.TextColumn(label, help="Like 2026-11-25")
    if attribute.type == "reference":
        names = list(reference_names(site, attribute).values())
        return st.column_config.SelectboxColumn(label, options=names, help=help_text)
    return st.column_config.TextColumn(label, help=help_text)


def _choices(attribute: Attribute) -> tuple[tuple[str, str], ...]:
    """Key and label of what a cell may hold; a kind of feature is chosen by its name."""
    if attribute.name == "kind" and not attribute.choices:
        return tuple((kind.key, kind.label) for kind in KINDS.values())
    return attribute.choices


def _cell(attribute: Attribute, raw: Any, units: str) -> Any:
    if raw is None:
        return None
    if attribute.type in ("number", "integer") and isinstance(raw, int | float) and not isinstance(raw, bool):
        return float(f"{to_display(float(raw), attribute.unit, units):.6g}")
    if _choices(attribute):
        return dict(_choices(attribute)).get(attribute.chosen(raw) or str(raw), str(raw))
    if attribute.type == "flag":
        return {True: "yes", False: "no"}.get(raw)
    if attribute.type == "reference":
        return reference_names(state.site(), attribute).get(str(raw), str(raw))
    return str(raw)


def _stored(attribute: Attribute, shown: Any, old: Any, units: str) -> Any:
    """A cell as the file keeps it; a cell left as it was shown keeps its stored value to the last digit."""
    if shown is None or shown == "":
        return None
    if old is not None and _cell(attribute, old, units) == shown:
        return old
    if attribute.type in ("number", "integer"):
        value = float(f"{from_display(float(shown), attribute.unit, units):.10g}")
        return round(value) if attribute.type == "integer" else value
    if _choices(attribute):
        return next((key for key, label in _choices(attribute) if label == shown), str(shown))
    if attribute.type == "flag":
        return {"yes": True, "no": False}.get(shown)
    if attribute.type == "reference":
        names = reference_names(state.site(), attribute)
        return next((key for key, label in names.items() if label == shown), str(shown))
    return str(shown)
