"""Tables of records: a row of inputs for each, the last one blank for the next; on a phone they stand below each other.

Not a spreadsheet in one widget: that one is drawn anew at every cell, and takes the letters typed meanwhile with it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from functools import partial
from typing import Any

import streamlit as st

from sitemap.site.attributes import Attribute
from sitemap.site.frozen import FrozenDict, thaw
from sitemap.site.model import Entry
from sitemap.views import state
from sitemap.views.inputs.fields import field

Rows = list[dict[str, Any]]
_WIDTHS = {"text": 1.4, "choice": 1.3, "reference": 1.3, "date": 1.8}  # of inputs beside each other; others 1


def records_table(
    attributes: tuple[Attribute, ...],
    read: Callable[[], Iterable[Entry]],
    widget: str,
    change: Callable[[Rows], None],
    columns: int | None = None,
) -> None:
    """Records to add, change and take away.

    read : the records as the Site holds them when it is called
    widget : makes the widgets of this table distinct
    change : called with all records as soon as somebody changes one
    columns : so many inputs beside each other; a record in one line where left out
    """
    rows = _rows(read())
    with st.container(key=f"rows.{widget}", gap="small"):
        for number in range(len(rows) + 1):
            again = columns is None and number > 0  # the words stand over the first row, on a phone over every input
            with st.container(key=f"record-{'again' if again else 'first'}-{widget}.{number}"):
                _row(attributes, rows, number, f"{widget}.{number}", partial(_put, read, change), columns)


def _row(
    attributes: tuple[Attribute, ...],
    rows: Rows,
    number: int,
    widget: str,
    put: Callable[[int, str | None, Any], None],
    columns: int | None,
) -> None:
    filled = number < len(rows)
    record = Entry(FrozenDict(rows[number] if filled else {}), attributes)
    wide = [_WIDTHS.get(a.type, 1.0) for a in attributes] if columns is None else [1.0] * columns
    if columns is None:
        places = st.columns([*wide, 0.07 * sum(wide)], vertical_alignment="bottom")
    else:
        places = st.columns(wide)
    for place, attribute in enumerate(attributes):
        with places[place % len(wide)]:
            field(record, attribute, widget, partial(put, number))
    if filled:
        with places[-1]:
            st.button(
                "✕",
                key=f"{widget}.drop",
                help="Take this row away",
                on_click=state.guarded(put),
                args=(number, None, None),
                width="stretch",
            )


def _put(
    read: Callable[[], Iterable[Entry]],
    change: Callable[[Rows], None],
    number: int,
    name: str | None,
    value: Any,
) -> None:
    """Change one value of a row, of the new one too; without a name the row is taken away. An empty row is none."""
    rows = _rows(read())
    old = rows[number] if number < len(rows) else {}
    new = {key: held for key, held in {**old, name: value}.items() if held is not None} if name else {}
    rows[number : number + 1] = [new] if new else []
    change(rows)


def _rows(records: Iterable[Entry]) -> Rows:
    return [thaw(record.values) for record in records]
