"""Equipment, facts and records of the site as a whole: edited where they are needed, kept at once."""

from __future__ import annotations

from collections.abc import Iterable
from functools import partial
from typing import Any

import streamlit as st

from sitemap.site.equipment import EQUIPMENT, RECORDS, SECTIONS
from sitemap.site.frozen import FrozenDict
from sitemap.site.model import Entry, Item
from sitemap.views import state
from sitemap.views.frame import plain, stand_at
from sitemap.views.inputs import fields, forms

_ROUND, _BOTTOM = ("diameter_m", "diameter_bottom_m"), ("length_bottom_m", "width_bottom_m")
_NOT_OF_SHAPE = {  # sizes a kiln of that shape does not have; of an unknown one none is asked for
    "": ("length_m", "width_m", "height_m", *_ROUND, *_BOTTOM),
    "box": (*_ROUND, *_BOTTOM),
    "trough": _ROUND,
    "frustum": ("length_m", "width_m", *_BOTTOM),
    "ring": ("length_m", "width_m", *_BOTTOM),
}
_NEW = "new equipment"  # ids of what was added in this tab: its form stands open
_TICK = ("conditions_met", "met_by", "met_on")
_IN_LINE = 3  # inputs of a record beside each other


def equipment(kind: str) -> None:
    """One list of equipment: an opening part for each piece, and a button for another."""
    for item in state.site().equipment(kind):
        _piece(kind, item)
    _add_button(kind, f"Add a {EQUIPMENT[kind].label.lower()}")


def gear(kinds: Iterable[str]) -> None:
    """Several short lists as one: two pieces beside each other, and a button for each kind."""
    listed = tuple(kinds)
    pieces = [(kind, item) for kind in listed for item in state.site().equipment(kind)]
    for start in range(0, len(pieces), 2):
        for place, (kind, item) in zip(st.columns(2), pieces[start : start + 2], strict=False):
            with place:
                _piece(kind, item, f"{EQUIPMENT[kind].label}: ")
    with st.container(horizontal=True, key="gear.add"):
        for kind in listed:
            _add_button(kind, f"+ {EQUIPMENT[kind].label}")


def is_new(item: Item) -> bool:
    """Whether it was added in this tab: its form is still to be filled in."""
    return item.id in state.remember(_NEW, ())


def _piece(kind: str, item: Item, before: str = "") -> None:
    key = f"e.{kind}.{item.id}"
    fresh = is_new(item)
    with st.expander(plain(before + item.name + fields.unread(item)), expanded=fresh, key=f"{key}.open"):
        st.text_input(
            "Name",
            **state.text(f"{key}.name", item.name),
            on_change=state.guarded(_rename),
            args=(kind, item.id, f"{key}.name"),
        )
        without = _NOT_OF_SHAPE.get(item.choice("shape") or "", ()) if kind == "kilns" else ()
        forms.form(item, key, partial(_set, kind, item.id), without=without, columns=2)
        st.button(
            f"Delete {plain(item.name)}", key=f"{key}.delete", on_click=state.guarded(_drop), args=(kind, item.id)
        )


def _add_button(kind: str, words: str) -> None:
    st.button(words, key=f"e.{kind}.add", on_click=state.guarded(_add), args=(kind,), width="stretch")


def _set(kind: str, item_id: str, name: str, value: Any) -> None:
    site = state.site()
    item = next((item for item in site.equipment(kind) if item.id == item_id), None)
    if item is not None:
        label = next((a.label for a in item.attributes if a.name == name), name).lower()
        state.edit(f"{item.name}: {label}", site.with_item(kind, item.values.put(**{name: value})))


def _rename(kind: str, item_id: str, key: str) -> None:
    _set(kind, item_id, "name", (state.typed(key) or "").strip() or None)


def _add(kind: str) -> None:
    site, label = state.site(), EQUIPMENT[kind].label
    taken = {item.id for item in site.equipment(kind)}
    number = len(taken) + 1
    while f"{kind[:-1]}-{number}" in taken:
        number += 1
    new = {"id": f"{kind[:-1]}-{number}", "name": f"{label} {number}"}
    state.put(_NEW, (*state.remember(_NEW, ()), new["id"]))
    added = site.with_item(kind, new)
    if kind == "kilns" and not taken:  # the only one: it stands at the spots that are drawn already
        for spot in site.of_kind("kiln_spot"):
            added = added if spot.has("kiln") else added.put(spot.with_values(kiln=new["id"]))
    state.edit(f"Added {new['name']}", added)
    stand_at(f"e.{kind}.{new['id']}.open")


def _drop(kind: str, item_id: str) -> None:
    site = state.site()
    name = next((item.name for item in site.equipment(kind) if item.id == item_id), item_id)
    state.edit(f"Deleted {EQUIPMENT[kind].label.lower()} {name}", site.without_item(kind, item_id))


def section(key: str, only: Iterable[str] | None = None, columns: int = 1, part: str = "") -> None:
    """Facts of the site as a whole ("crew", "permit", "season"). part : tells two forms of one on a page apart"""

    def say(name: str, value: Any) -> None:
        _say(key, name, value)

    entry = state.site().section(key)
    forms.form(entry, f"s.{key}", say, only=only, without=_idle(key, entry), columns=columns, part=part)


def _idle(key: str, entry: Entry) -> tuple[str, ...]:
    """Facts that mean nothing beside what is typed: who saw that conditions are met, before somebody says that they
    are; all of it, of a permit without any."""
    if key != "permit":
        return ()
    if entry.flag("no_conditions"):
        return ("conditions", *_TICK)
    return () if entry.flag("conditions_met") else _TICK[1:]


def _open_conditions(asked: Entry) -> tuple[str, ...]:
    """What a yes with conditions is open for: that each is met, then who saw it and when."""
    if asked.choice("answer") != "conditions":
        return ()
    return _TICK if asked.flag("conditions_met") else _TICK[:1]


def _say(key: str, name: str, value: Any) -> None:
    site = state.site()
    schema = SECTIONS[key]
    attribute = next((a.label for a in schema.attributes if a.name == name), name)
    values = FrozenDict(site.section(key).values).put(**{name: value})
    state.edit(f"{schema.label}: {attribute.lower()}", site.with_member(key, values))


def records(key: str, help_text: str = "", *, first_open: bool = True, add: str = "Add") -> None:
    """A table of records ("looked", "asked", "rules", "links", "log", "ticks").

    first_open : where there is none, the inputs of the first stand open; add : words of the line for another
    """
    schema = RECORDS[key]
    if help_text:
        st.caption(help_text)

    def keep(rows: list[dict[str, Any]]) -> None:
        state.edit(f"{schema.label} changed", state.site().with_member(key, rows or None))

    shown = tuple(a for a in schema.attributes if a.type != "pair")  # a pair has columns of its own
    forms.records_table(
        shown,
        lambda: state.site().records(key),
        f"r.{key}",
        keep,
        _IN_LINE,
        add=add,
        first_open=first_open,
        asked=_open_conditions if key == "asked" else None,
    )
