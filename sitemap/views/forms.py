"""Forms drawn from the schema: one input per attribute, units in the label, every change kept at once."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterable
from typing import Any

import streamlit as st

from sitemap import tables
from sitemap.site.attributes import Attribute
from sitemap.site.frozen import thaw
from sitemap.site.kinds import KINDS
from sitemap.site.model import Entry, Site
from sitemap.units import from_display, to_display, unit_label
from sitemap.views import measured, state

Change = Callable[[str, Any], None]
NOT_SAID = "–"


def form(entry: Entry, key: str, change: Change, *, only: Iterable[str] | None = None, columns: int = 1) -> None:
    """Inputs for the attributes of one entry: the main ones first, the rest under "More".

    key : makes the widgets of this entry distinct
    change : called with (attribute name, new raw value or None) as soon as somebody changes one
    only : names to show; all where left out
    columns : so many inputs beside each other, below each other on a phone
    """
    wanted = None if only is None else set(only)
    shown = [a for a in entry.attributes if wanted is None or a.name in wanted]
    places = st.columns(columns) if columns > 1 else [st.container()]
    for number, attribute in enumerate(a for a in shown if a.main or wanted is not None):
        with places[number % len(places)]:
            field(entry, attribute, key, change)
    rest = [a for a in shown if not a.main and wanted is None]
    if rest:
        filled = sum(entry.has(a.name) for a in rest)
        with st.expander(f"More ({filled} filled)" if filled else "More"):
            for attribute in rest:
                field(entry, attribute, key, change)


def label_of(attribute: Attribute, units: str) -> str:
    """The label with its unit: "Height (ft)"."""
    unit = unit_label(attribute.unit, units)
    return f"{attribute.label} ({unit})" if unit else attribute.label


def field(entry: Entry, attribute: Attribute, key: str, change: Change) -> None:
    """One input."""
    widget = f"{key}.{attribute.name}"
    raw = entry.values.get(attribute.name)
    help_text = " ".join(
        part
        for part in (
            attribute.help,
            f"Left blank: {attribute.blank}." if attribute.blank else "",
        )
        if part
    )
    draw = _wood if attribute.name == "wood" else _FIELDS.get(attribute.type)
    if draw and attribute.ranged:
        with st.container(horizontal=True, vertical_alignment="bottom", gap="small"):
            draw(attribute, raw, widget, help_text or None, change)
            measured.beside(entry, attribute, widget, change)
    elif draw:
        draw(attribute, raw, widget, help_text or None, change)


def _number(attribute: Attribute, raw: Any, widget: str, help_text: str | None, change: Change) -> None:
    units = state.site().units
    usable = isinstance(raw, int | float) and not isinstance(raw, bool)
    stored = float(f"{to_display(float(raw), attribute.unit, units):.6g}") if usable else None

    def keep() -> None:
        value = state.typed(widget)
        if value is None:
            change(attribute.name, None)
        elif stored is None or value != stored:  # a shown figure is rounded: unchanged, it must not be written back
            change(attribute.name, float(f"{from_display(value, attribute.unit, units):.10g}"))

    st.number_input(
        label_of(attribute, units),
        key=state.bound(widget, stored),
        value=None,
        step=1.0 if attribute.type == "integer" else None,
        format="%.0f" if attribute.type == "integer" else "%g",
        placeholder=attribute.blank or "not known",
        help=help_text,
        on_change=state.guarded(keep),
    )
    if usable is False and raw is not None:
        st.caption(f"Entered: {raw!r}, which is not a number.")


def _integer(attribute: Attribute, raw: Any, widget: str, help_text: str | None, change: Change) -> None:
    _number(attribute, raw, widget, help_text, lambda name, v: change(name, None if v is None else round(v)))


def _choice(attribute: Attribute, raw: Any, widget: str, help_text: str | None, change: Change) -> None:
    keys = [None, *attribute.choice_keys]

    def shown(key: str | None) -> str:
        return NOT_SAID if key is None else attribute.choice_label(key)

    st.selectbox(
        attribute.label,
        keys,
        key=state.bound(widget, raw if raw in keys else None),
        format_func=shown,
        help=help_text,
        on_change=state.guarded(lambda: change(attribute.name, state.typed(widget))),
    )


def _flag(attribute: Attribute, raw: Any, widget: str, help_text: str | None, change: Change) -> None:
    st.selectbox(
        attribute.label,
        [None, True, False],
        key=state.bound(widget, raw if isinstance(raw, bool) else None),
        format_func={None: NOT_SAID, True: "yes", False: "no"}.__getitem__,
        help=help_text,
        on_change=state.guarded(lambda: change(attribute.name, state.typed(widget))),
    )


def _text(attribute: Attribute, raw: Any, widget: str, help_text: str | None, change: Change) -> None:
    st.text_input(
        attribute.label,
        key=state.bound(widget, "" if raw is None else str(raw)),
        placeholder=attribute.blank,
        help=help_text,
        on_change=state.guarded(lambda: change(attribute.name, (state.typed(widget) or "").strip() or None)),
    )


def _wood(attribute: Attribute, raw: Any, widget: str, help_text: str | None, change: Change) -> None:
    """A wood of the density table, or any other name."""
    keys = [None, *tables.load("wood_density")]
    options = keys if raw is None or raw in keys else [*keys, str(raw)]
    st.selectbox(
        attribute.label,
        options,
        key=state.bound(widget, None if raw is None else str(raw)),
        format_func=lambda key: NOT_SAID if key is None else key.replace("_", " "),
        accept_new_options=True,
        help=help_text,
        on_change=state.guarded(lambda: change(attribute.name, state.typed(widget))),
    )


def _date(attribute: Attribute, raw: Any, widget: str, help_text: str | None, change: Change) -> None:
    try:
        stored = dt.date.fromisoformat(raw) if raw else None
    except (TypeError, ValueError):
        stored = None

    def keep() -> None:
        value = state.typed(widget)
        change(attribute.name, value.isoformat() if value else None)

    st.date_input(
        attribute.label,
        key=state.bound(widget, stored),
        value=None,
        format="YYYY-MM-DD",
        help=help_text,
        on_change=state.guarded(keep),
    )


def _reference(attribute: Attribute, raw: Any, widget: str, help_text: str | None, change: Change) -> None:
    names = reference_names(state.site(), attribute)
    keys = [None, *names]
    known = raw if raw in names else _by_name(names, raw)
    st.selectbox(
        attribute.label,
        keys,
        key=state.bound(widget, known),
        format_func=lambda key: NOT_SAID if key is None else names[key],
        help=help_text,
        on_change=state.guarded(lambda: change(attribute.name, state.typed(widget))),
    )


def _references(attribute: Attribute, raw: Any, widget: str, help_text: str | None, change: Change) -> None:
    names = reference_names(state.site(), attribute)
    stored = [name for name in raw or () if name in names]
    st.multiselect(
        attribute.label,
        list(names),
        key=state.bound(widget, stored),
        format_func=names.__getitem__,
        placeholder=attribute.blank or "choose",
        help=help_text,
        on_change=state.guarded(lambda: change(attribute.name, state.typed(widget) or None)),
    )


def _numbers(attribute: Attribute, raw: Any, widget: str, help_text: str | None, change: Change) -> None:
    units = state.site().units
    shown = ", ".join(f"{to_display(v, attribute.unit, units):.6g}" for v in raw or () if isinstance(v, int | float))

    def keep() -> None:
        words = (state.typed(widget) or "").replace(";", ",").split(",")
        values = [float(f"{from_display(float(w), attribute.unit, units):.10g}") for w in words if w.strip()]
        change(attribute.name, values or None)

    def careful() -> None:
        try:
            keep()
        except ValueError:
            state.say(f"{attribute.label}: write numbers set apart by commas, like 20, 20, 15. Nothing was changed.")

    st.text_input(label_of(attribute, units), key=state.bound(widget, shown), help=help_text, on_change=careful)


_CURVES = {"curve": ("flow", "l_min", "head", "m"), "profile": ("distance", "m", "height", "m")}


def _curve(attribute: Attribute, raw: Any, widget: str, help_text: str | None, change: Change) -> None:
    """Pairs of numbers as text: "0, 40; 300, 0"."""
    units = state.site().units
    x_name, x_unit, y_name, y_unit = _CURVES[attribute.name]
    pairs = [pair for pair in raw or () if len(pair) == 2 and all(isinstance(v, int | float) for v in pair)]
    shown = "; ".join(f"{to_display(x, x_unit, units):.6g}, {to_display(y, y_unit, units):.6g}" for x, y in pairs)

    def keep() -> None:
        words = [pair.split(",") for pair in (state.typed(widget) or "").split(";") if pair.strip()]
        try:
            typed = [(float(x), float(y)) for x, y in words]
        except ValueError:
            state.say(f"{attribute.label}: write pairs like 0, 40; 150, 30; 300, 0. Nothing was changed.")
            return
        change(
            attribute.name,
            [
                [float(f"{from_display(v, u, units):.10g}") for v, u in zip(pair, (x_unit, y_unit), strict=True)]
                for pair in typed
            ]
            or None,
        )

    label = attribute.label.partition(":")[0]
    st.text_input(
        f"{label}: {x_name} ({unit_label(x_unit, units)}), {y_name} ({unit_label(y_unit, units)}); next pair",
        key=state.bound(widget, shown),
        placeholder="0, 40; 150, 30; 300, 0",
        help=help_text,
        on_change=state.guarded(keep),
    )


def _records(attribute: Attribute, raw: Any, widget: str, help_text: str | None, change: Change) -> None:
    st.caption(attribute.label + (f" – {help_text}" if help_text else ""))
    records_table(attribute.item, raw or (), widget, lambda rows: change(attribute.name, rows or None))


def records_table(
    attributes: tuple[Attribute, ...], raw: Any, widget: str, change: Callable[[list[dict[str, Any]]], None]
) -> None:
    """A table of records: a row each, a column for each attribute, units in the heading; rows can be added."""
    site = state.site()
    rows = [{a.name: _cell(a, record.get(a.name), site.units) for a in attributes} for record in raw]
    column_config = {a.name: column(a, site) for a in attributes}
    version = state.remember(widget + "#version", 0)
    key = f"{widget}#{version}.{hash(repr(rows))}"

    def keep() -> None:
        edits = state.typed(key) or {}
        merged = merged_rows(rows, edits)
        before = [thaw(record) for record in raw]
        made = []
        for index, row in merged:
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
        on_change=state.guarded(keep),
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
        return dict(_choices(attribute)).get(str(raw), str(raw))
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


def reference_names(site: Site, attribute: Attribute) -> dict[str, str]:
    """Ids that may be referred to, each with the name a person reads."""
    if attribute.refers_to == "features":
        kinds = _TARGETS.get(attribute.name)
        features = site.of_kind(*kinds) if kinds else site.features
        return {feature.id: feature.name for feature in features}
    return {item.id: item.name for item in site.equipment(attribute.refers_to)}


_TARGETS = {
    "serves": ("pile", "windrow", "transect"),
    "from_source": ("water_source",),
    "source": ("water_source",),
    "to_spot": ("kiln_spot",),
    "spot": ("kiln_spot",),
    "hose_lay": ("hose_lay",),
}


def _by_name(names: dict[str, str], raw: Any) -> str | None:
    found = [key for key, name in names.items() if isinstance(raw, str) and name.casefold() == raw.casefold()]
    return found[0] if len(found) == 1 else None


_FIELDS: dict[str, Callable[[Attribute, Any, str, str | None, Change], None]] = {
    "number": _number,
    "integer": _integer,
    "choice": _choice,
    "flag": _flag,
    "text": _text,
    "date": _date,
    "reference": _reference,
    "references": _references,
    "numbers": _numbers,
    "curve": _curve,
    "records": _records,
}
