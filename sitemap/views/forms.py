"""Forms drawn from the schema: the main attributes first, the rest under "More"."""

from __future__ import annotations

from collections.abc import Iterable

import streamlit as st

from sitemap.site.attributes import Attribute
from sitemap.site.model import Entry
from sitemap.views.fields import Change, field, help_of
from sitemap.views.records import records_table

__all__ = ["form", "records_table"]


def form(entry: Entry, key: str, change: Change, *, only: Iterable[str] | None = None, columns: int = 1) -> None:
    """Inputs for the attributes of one entry: the main ones first, the rest under "More".

    key : makes the widgets of this entry distinct
    change : called with (attribute name, new raw value or None) as soon as somebody changes one
    only : names to show; all where left out
    columns : so many inputs beside each other, below each other on a phone
    """
    with st.container(key=f"form.{key}"):
        _inputs(entry, key, change, None if only is None else set(only), columns)


def _inputs(entry: Entry, key: str, change: Change, wanted: set[str] | None, columns: int) -> None:
    shown = [a for a in entry.attributes if wanted is None or a.name in wanted]
    places = st.columns(columns) if columns > 1 else [st.container()]
    for number, attribute in enumerate(a for a in shown if a.main or wanted is not None):
        with places[number % len(places)]:
            _input(entry, attribute, key, change)
    rest = [a for a in shown if not a.main and wanted is None]
    if rest:
        filled = sum(entry.has(a.name) for a in rest)
        with st.expander(f"More ({filled} filled)" if filled else "More", key=f"more.{key}"):
            for attribute in rest:
                _input(entry, attribute, key, change)


def _input(entry: Entry, attribute: Attribute, key: str, change: Change) -> None:
    if attribute.type == "records":
        help_text = help_of(attribute)
        st.caption(attribute.label + (f" – {help_text}" if help_text else ""))
        raw = tuple(record.values for record in entry.records(attribute.name))
        widget = f"{key}.{attribute.name}"
        records_table(attribute.item, raw, widget, lambda rows: change(attribute.name, rows or None))
    else:
        field(entry, attribute, key, change)
