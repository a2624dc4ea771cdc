"""Forms drawn from the schema: the main attributes first, the rest under "More"."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping

import streamlit as st

from sitemap.site.attributes import Attribute
from sitemap.site.model import Entry, Feature
from sitemap.views import state
from sitemap.views.folds import fold
from sitemap.views.inputs.fields import Change, field, help_of
from sitemap.views.inputs.records import records_table

__all__ = ["form", "records_table"]


def form(  # noqa: PLR0913 (each page shows another part of an entry)
    entry: Entry,
    key: str,
    change: Change,
    *,
    only: Iterable[str] | None = None,
    without: Iterable[str] = (),
    columns: int = 1,
    part: str = "",
    below: Mapping[str, Callable[[], None]] | None = None,
) -> None:
    """Inputs for the attributes of one entry: the main ones first, the rest under "More".

    key : makes the widgets of this entry distinct
    change : called with (attribute name, new raw value or None) as soon as somebody changes one
    only : names to show; all where left out
    without : names that mean nothing here; one that is filled is shown all the same
    columns : so many inputs beside each other, below each other on a phone
    part : tells two forms of one entry on a page apart
    below : what is shown below the input of an attribute, by its name
    """
    with st.container(key=f"form.{key}{part}"):
        hidden = {name for name in without if not entry.has(name)}
        _inputs(entry, key, change, None if only is None else set(only), hidden, columns, below or {})


def _inputs(
    entry: Entry,
    key: str,
    change: Change,
    wanted: set[str] | None,
    hidden: set[str],
    columns: int,
    below: Mapping[str, Callable[[], None]],
) -> None:
    shown = [a for a in entry.attributes if (wanted is None or a.name in wanted) and a.name not in hidden]
    first = [a for a in shown if a.main or wanted is not None]
    for start in range(0, len(first), columns):  # row by row, so that the order is the same on a phone
        places = st.columns(columns, vertical_alignment="bottom") if columns > 1 else [st.container()]
        for place, attribute in zip(places, first[start : start + columns], strict=False):
            with place:
                _input(entry, attribute, key, change)
                below.get(attribute.name, _nothing)()
    rest = [a for a in shown if not a.main and wanted is None]
    if rest:
        filled = sum(entry.has(a.name) for a in rest)

        def more() -> None:
            for attribute in rest:
                _input(entry, attribute, key, change)

        fold("More", f"more.{key}", more, shut=f" ({filled} filled)" if filled else "")


def _nothing() -> None:
    """Below most inputs."""


def _now(entry: Entry) -> Entry:
    """A thing as it stands now: it may have been changed since the page was drawn."""
    return (state.site().get(entry.id) if isinstance(entry, Feature) else None) or entry


def _input(entry: Entry, attribute: Attribute, key: str, change: Change) -> None:
    if attribute.type == "records":
        help_text = help_of(attribute, state.site().units)
        st.caption(attribute.label + (f" – {help_text}" if help_text else ""))
        records_table(
            attribute.item,
            lambda: _now(entry).records(attribute.name),
            f"{key}.{attribute.name}",
            lambda rows: change(attribute.name, rows or None),
            columns=2,
        )
    else:
        field(entry, attribute, key, change)
