"""Tables of records: a line for each that says what it holds and opens its inputs; the last one is blank for the next.

Not a spreadsheet in one widget: that one is drawn anew at every cell, and takes the letters typed meanwhile with it.
"""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Callable, Collection, Iterable, Iterator
from contextlib import contextmanager
from functools import partial
from typing import Any

import streamlit as st

from sitemap.site.attributes import Attribute
from sitemap.site.cells import cell_text
from sitemap.site.frozen import FrozenDict, thaw
from sitemap.site.model import Entry
from sitemap.telling import day_text
from sitemap.units import unit_label
from sitemap.views import state
from sitemap.views.figures import spoken
from sitemap.views.folds import fold
from sitemap.views.frame import plain
from sitemap.views.inputs.fields import fault_of, field, reference_names, unread
from sitemap.wording import capital

Rows = list[dict[str, Any]]
_LONGEST = 60  # letters of one value in a line
_DATES_ALONE = ("When", "Date")  # labels of dates that say themselves what they are
_BEHIND_LABEL = ("Seen by", "Winds at", "Out by")  # words that alone do not tell what they are
_MOMENT = re.compile(r"(\d{4}-\d\d-\d\d)[ T](\d\d:\d\d)")  # as it is typed and kept
_FOLD = 4  # so many inputs that are seldom filled, or fewer, stand open
_NARROW = 0.22  # of the width of an input: room for the sign that takes a record away


def records_table(  # noqa: PLR0913 (each list shows its records another way)
    attributes: tuple[Attribute, ...],
    read: Callable[[], Iterable[Entry]],
    widget: str,
    change: Callable[[Rows], None],
    columns: int = 2,
    *,
    add: str | None = None,
    first_open: bool = True,
    asked: Callable[[Entry], Collection[str]] | None = None,
) -> None:
    """Records to add, change and take away.

    read : the records as the Site holds them when it is called
    widget : makes the widgets of this table distinct
    change : called with all records as soon as somebody changes one
    columns : so many inputs beside each other
    add : words of the blank line: each record is one line that opens; None: all inputs stand open
    first_open : of lines that open the blank one stands open where it is the only one
    asked : names of what is seldom filled, and stands open with a record all the same
    """
    rows = _rows(read())
    with st.container(key=f"rows.{widget}", gap="small"):
        for number in range(len(rows) + 1):
            record = Entry(FrozenDict(rows[number] if number < len(rows) else {}), attributes)
            words = None if add is None else _line(record, add)
            with _place(f"{widget}.{number}", words, is_open=first_open and not rows):
                named = asked(record) if asked is not None else ()
                _inputs(record, f"{widget}.{number}", partial(_put, read, change, number), columns, named)


@contextmanager
def _place(key: str, words: str | None, *, is_open: bool) -> Iterator[None]:
    """Where the inputs of a record stand; its key stays while its words change under the typing hand.

    words : of its line; None where it is not folded
    """
    if words is None:
        with st.container(key=f"record-{key}"):
            yield
        return
    with st.expander(words, expanded=is_open, key=f"record-{key}"):
        yield


def _line(record: Entry, add: str) -> str:
    return plain(in_words(record) + unread(record)) if record.values else f":material/add: {add}"


def in_words(record: Entry) -> str:
    """What a record says, in one line: "The authority · Duty officer · Sun 22 Nov 2026 · agreed"."""
    site = state.site()
    parts = []
    for attribute in record.attributes:
        raw = record.raw(attribute.name)
        names = reference_names(site, attribute) if attribute.type.startswith("reference") else None
        words = cell_text(attribute, raw, site.units, names)
        if not words:
            continue
        if fault_of(attribute, raw, site.units) is None:
            words = _as_said(attribute, words, site.units)
        parts.append(words if len(words) <= _LONGEST else words[: _LONGEST - 1] + "…")
    return capital(" · ".join(parts))


def _as_said(attribute: Attribute, words: str, units: str) -> str:
    """A value as people say it, behind its label where it does not tell alone what it is."""
    label = attribute.label[0].lower() + attribute.label[1:]
    if attribute.type == "flag":
        return label if words == "yes" else f"{label}: {words}"
    if attribute.type == "date":
        day = day_text(dt.date.fromisoformat(words))
        return day if attribute.label in _DATES_ALONE else f"{label} {day}"
    if attribute.type in ("number", "integer"):
        unit = unit_label(attribute.unit, units)
        return f"{label} {words.replace('-', '−')}{'' if unit in ('%', '°') else ' '}{unit}".rstrip()
    if attribute.label in _BEHIND_LABEL:
        return f"{label} {words}"
    moment = _MOMENT.fullmatch(words)
    return f"{day_text(dt.date.fromisoformat(moment[1]))}, {moment[2]}" if moment else words


def _inputs(
    record: Entry, key: str, put: Callable[[str | None, Any], None], columns: int, asked: Collection[str]
) -> None:
    seldom = tuple(attribute for attribute in record.attributes if not attribute.main)
    folds = len(seldom) > _FOLD
    rest = tuple(each for each in seldom if each.name not in asked)
    first = tuple(each for each in record.attributes if each not in rest) if folds else record.attributes
    _rows_of(record, first, key, put, columns)
    if folds:
        filled = sum(record.has(attribute.name) for attribute in rest)
        fold(
            "More",
            f"more.{key}",
            lambda: _rows_of(record, rest, key, put, columns, drop=False),
            shut=f" ({filled} filled)" if filled else "",
        )


def _rows_of(
    record: Entry,
    shown: tuple[Attribute, ...],
    key: str,
    put: Callable[[str | None, Any], None],
    columns: int,
    *,
    drop: bool = True,
) -> None:
    place = None
    for start in range(0, len(shown), columns):  # row by row, so that the order is the same on a phone
        *places, place = st.columns([*[1.0] * columns, _NARROW], vertical_alignment="bottom")
        for beside, attribute in zip(places, shown[start : start + columns], strict=False):
            with beside:
                field(record, attribute, key, put)
    if drop and record.values and place is not None:
        with place:
            st.button(
                spoken("✕", "Take this away"),
                key=f"{key}.drop",
                help="Take this away",
                on_click=state.guarded(put),
                args=(None, None),
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
