"""One input for one attribute: its unit in the label, its start value from the Site, every change kept at once.

Every part of a page that holds inputs has a key of its own. Parts without one are told apart by their number on the
page: a sentence that appears above them while somebody types would build them anew, and what is half typed is lost.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from typing import Any, NamedTuple

import streamlit as st

from sitemap import tables
from sitemap.day.sizes import unusual
from sitemap.errors import BadValue
from sitemap.kiln.reading import working_hours
from sitemap.named import named
from sitemap.reasons import Term, reason
from sitemap.site.attributes import Attribute
from sitemap.site.cells import cell_text, kept_cell, read_cell
from sitemap.site.equipment import EQUIPMENT
from sitemap.site.frozen import thaw
from sitemap.site.grid import heading
from sitemap.site.kinds import SLASH
from sitemap.site.model import Entry, Site
from sitemap.slash.wood import BLANK, density_of
from sitemap.telling import day_text, marked, tell
from sitemap.units import as_said, from_display, to_display, unit_label
from sitemap.views import figures, letters, state
from sitemap.views.inputs import measured

Change = Callable[[str, Any], None]
NOT_SAID = "–"


def help_of(attribute: Attribute, units: str) -> str | None:
    """What stands behind the question mark: how to measure it, and what a blank means, in the units shown."""
    today = "The word *today* does for the date of today." if attribute.type == "date" else ""
    parts = (attribute.help, f"Left blank: {attribute.blank}." if attribute.blank else "", today)
    return marked(" ".join(part for part in parts if part), units, 2) or None


def _blank(attribute: Attribute) -> str:
    return marked(attribute.blank, state.site().units, 2)


def field(entry: Entry, attribute: Attribute, key: str, change: Change) -> None:
    """One input."""
    widget = f"{key}.{attribute.name}"
    raw = entry.values.get(attribute.name)
    help_text = help_of(attribute, state.site().units)
    own = _wood if attribute.name == "wood" else _suggested if attribute.suggests else None
    draw = own or _FIELDS.get(attribute.type)
    if draw is None:
        return
    beside = attribute.ranged
    with st.container(key=f"input.{widget}", horizontal=beside, vertical_alignment="bottom" if beside else "top"):
        draw(attribute, raw, widget, help_text, change)
        if beside:
            measured.beside(entry, attribute, widget, change)
    odd = unusual(entry, attribute) if draw is _typed or attribute.type == "numbers" else None
    figures.wrong("" if odd is None else tell(odd, state.site().units))


def _typed(attribute: Attribute, raw: Any, widget: str, help_text: str | None, change: Change) -> None:
    """A number or a date as people write it: decimal point or comma, a unit of its own. What cannot be read stays as
    typed, counts as blank, and is said right below. A phone opens its keyboard of letters: a pad of digits has none of
    what is read here, "12 ft" and "3/8", and on some phones no minus."""
    units = state.site().units
    weekday, shown = _day(raw) if attribute.type == "date" else ("", "")
    shown = shown or cell_text(attribute, raw, units)

    def keep() -> None:
        text = str(state.typed(widget) or "")
        if text != shown:  # a shown figure is rounded: unchanged, it must not be written back
            change(attribute.name, as_kept(attribute, text, units))

    st.text_input(
        heading(attribute, units),
        **state.text(widget, shown, same=lambda text: as_kept(attribute, text, units) == raw),
        placeholder=_blank(attribute) or _EMPTY[attribute.type],
        help=help_text,
        on_change=state.guarded(keep),
    )
    figures.weekday(weekday)
    wrong(attribute, raw)


def _day(raw: Any) -> tuple[str, str]:
    """A kept date as people say it, the day of the week apart: ("Sat", "5 Dec 2026"); ("", "") of what is no date."""
    try:
        weekday, _, day = day_text(dt.date.fromisoformat(raw)).partition(" ")
    except (TypeError, ValueError):
        return "", ""
    return weekday, day


def as_kept(attribute: Attribute, text: Any, system: str) -> Any:
    """The value the site keeps of what was typed; None of an empty field. A date may be typed as "today"."""
    said = str(text or "").strip()
    if attribute.type == "date" and said.casefold() == "today":
        return dt.date.today().isoformat()
    return kept_cell(attribute, str(text), system) if said else None


_EMPTY = {"number": "not known", "integer": "not known", "date": "like 5 Dec 2026"}
_HOURS = ("day_starts", "day_ends", "to_time")


def wrong(attribute: Attribute, raw: Any) -> None:
    """What is wrong with a value, beside its field; nothing where it can be used."""
    figures.wrong("" if raw is None else fault_of(attribute, raw, state.site().units) or "")


def fault_of(attribute: Attribute, raw: Any, system: str) -> str | None:
    """Why a value cannot be used, as a sentence in the units shown; None where it can."""
    fault = attribute.fault(raw)
    if fault is None:
        return _hour_fault(raw, system) if attribute.name in _HOURS else None
    why = reason("site.cell_fault", what=Term(attribute.label), why=fault)
    if isinstance(raw, str):
        try:
            read_cell(attribute, raw, system)
        except BadValue as bad:
            why = bad.reason
    return tell(reason("site.counts_as_blank", why=why), system)


def unread(entry: Entry) -> str:
    """What of an entry cannot be used, to stand in the line that folds its fields away; each field says why."""
    units = state.site().units
    names = [
        attribute.label.lower()
        for attribute in entry.attributes
        if (raw := entry.values.get(attribute.name)) is not None and fault_of(attribute, raw, units)
    ]
    return f" – not understood: {', '.join(names)}" if names else ""


def _hour_fault(raw: str, system: str) -> str | None:
    """Why words for a time of the day are none; None where they are, or where they are blank."""
    *_, unread = working_hours(dt.date.min, dt.UTC, raw.strip() or None, None)
    return tell(unread[0], system) if unread else None


def _choice(attribute: Attribute, raw: Any, widget: str, help_text: str | None, change: Change) -> None:
    keys = [None, *attribute.choice_keys]

    def shown(key: str | None) -> str:
        return NOT_SAID if key is None else attribute.choice_label(key)

    st.selectbox(
        attribute.label,
        keys,
        **state.choice(widget, keys, attribute.chosen(raw)),
        format_func=shown,
        placeholder=_blank(attribute) or NOT_SAID,
        help=help_text,
        on_change=state.guarded(lambda: change(attribute.name, state.typed(widget))),
    )


def _flag(attribute: Attribute, raw: Any, widget: str, help_text: str | None, change: Change) -> None:
    st.selectbox(
        attribute.label,
        [None, True, False],
        **state.choice(widget, [None, True, False], raw if isinstance(raw, bool) else None),
        format_func={None: NOT_SAID, True: "yes", False: "no"}.__getitem__,
        placeholder=_blank(attribute) or NOT_SAID,
        help=help_text,
        on_change=state.guarded(lambda: change(attribute.name, state.typed(widget))),
    )


def _text(attribute: Attribute, raw: Any, widget: str, help_text: str | None, change: Change) -> None:
    st.text_input(
        attribute.label,
        **state.text(widget, "" if raw is None else str(raw)),
        placeholder=_blank(attribute),
        help=help_text,
        on_change=state.guarded(lambda: change(attribute.name, (state.typed(widget) or "").strip() or None)),
    )
    if attribute.name in _HOURS:
        wrong(attribute, raw)


def _wood(attribute: Attribute, raw: Any, widget: str, help_text: str | None, change: Change) -> None:
    """A wood of the density table, or any other name."""
    state.remember(letters.NEW_WORDS, set()).add(widget)
    keys = [None, *tables.load("wood_density")]
    options = keys if raw is None or raw in keys else [*keys, str(raw)]
    st.selectbox(
        attribute.label,
        options,
        **state.choice(widget, options, None if raw is None else str(raw)),
        format_func=lambda key: NOT_SAID if key is None else key.replace("_", " "),
        accept_new_options=True,
        placeholder=_blank(attribute) or NOT_SAID,
        help=help_text,
        on_change=state.guarded(lambda: change(attribute.name, state.typed(widget))),
    )
    try:
        density_of(str(raw or BLANK))
    except BadValue as bad:  # half a name is taken as it stands, and must not look as if it were known
        figures.wrong(tell(bad.reason, state.site().units))


def _suggested(attribute: Attribute, raw: Any, widget: str, help_text: str | None, change: Change) -> None:
    """The name of a thing of the site, or any other words."""
    state.remember(letters.NEW_WORDS, set()).add(widget)
    names = dict.fromkeys(each.name for each in state.site().of_kind(attribute.suggests))
    held = None if raw is None else str(raw)
    options = [None, *names] if held is None or held in names else [None, *names, held]
    st.selectbox(
        attribute.label,
        options,
        **state.choice(widget, options, held),
        format_func=lambda key: NOT_SAID if key is None else key,
        accept_new_options=True,
        placeholder=_blank(attribute) or NOT_SAID,
        help=help_text,
        on_change=state.guarded(lambda: change(attribute.name, (state.typed(widget) or "").strip() or None)),
    )


def _reference(attribute: Attribute, raw: Any, widget: str, help_text: str | None, change: Change) -> None:
    names = reference_names(state.site(), attribute)
    keys = [None, *names]
    known = _by_name(names, raw)

    def keep() -> None:
        value = state.typed(widget)
        if value is None or value in names:  # a name given up meanwhile is no choice of a person
            change(attribute.name, value)

    lacks = "none yet" if not names and attribute.refers_to in EQUIPMENT else ""
    st.selectbox(
        attribute.label,
        keys,
        **state.choice(widget, keys, known, names.get(known or "", NOT_SAID)),
        format_func=lambda key: NOT_SAID if key is None else names[key],
        placeholder=lacks or _blank(attribute) or NOT_SAID,
        help=help_text,
        on_change=state.guarded(keep),
    )


def _references(attribute: Attribute, raw: Any, widget: str, help_text: str | None, change: Change) -> None:
    names = reference_names(state.site(), attribute)
    stored = [name for name in raw if name in names] if isinstance(raw, tuple | list) else []

    def keep() -> None:
        chosen = state.typed(widget) or []
        if all(name in names for name in chosen):
            change(attribute.name, chosen or None)

    st.multiselect(
        attribute.label,
        list(names),
        **state.choices(widget, stored, [names[name] for name in stored]),
        format_func=names.__getitem__,
        placeholder=_blank(attribute) or "choose",
        help=help_text,
        on_change=state.guarded(keep),
    )


def _numbers(attribute: Attribute, raw: Any, widget: str, help_text: str | None, change: Change) -> None:
    units = state.site().units
    many = raw if isinstance(raw, tuple | list) else ()
    numbers = [to_display(v, attribute.unit, units) for v in many if isinstance(v, int | float)]
    shown = raw if isinstance(raw, str) else ", ".join(as_said(number) for number in numbers)

    def keep() -> None:
        text = str(state.typed(widget) or "")
        if text != shown:
            change(attribute.name, as_kept(attribute, text, units))

    st.text_input(
        heading(attribute, units),
        **state.text(widget, shown, same=lambda text: thaw(as_kept(attribute, text, units)) == thaw(raw)),
        help=help_text,
        on_change=state.guarded(keep),
    )
    wrong(attribute, raw)


_CURVES = {"curve": ("flow", "l_min", "head", "m"), "profile": ("distance", "m", "height", "m")}


def _curve(attribute: Attribute, raw: Any, widget: str, help_text: str | None, change: Change) -> None:
    """Pairs of numbers as text: "0, 40; 300, 0". What cannot be read as pairs stays as typed, as in any field."""
    units = state.site().units
    x_name, x_unit, y_name, y_unit = _CURVES[attribute.name]
    many = raw if isinstance(raw, tuple | list) else ()
    pairs = [pair for pair in many if len(pair) == 2 and all(isinstance(v, int | float) for v in pair)]
    shown = "; ".join(
        f"{as_said(to_display(x, x_unit, units))}, {as_said(to_display(y, y_unit, units))}" for x, y in pairs
    )
    shown = raw if isinstance(raw, str) else shown

    def keep() -> None:
        text = str(state.typed(widget) or "").strip()
        if text != shown:
            change(attribute.name, _pairs(text, (x_unit, y_unit), units) or None)

    label = attribute.label.partition(":")[0]
    st.text_input(
        f"{label}: {x_name} ({unit_label(x_unit, units)}), {y_name} ({unit_label(y_unit, units)}); next pair",
        **state.text(
            widget, shown, same=lambda text: (_pairs(text or "", (x_unit, y_unit), units) or None) == thaw(raw)
        ),
        placeholder="0, 40; 150, 30; 300, 0",
        help=help_text,
        on_change=state.guarded(keep),
    )
    if isinstance(raw, str):
        figures.wrong(f"{label}: write pairs like 0, 40; 150, 30; 300, 0. Until then it counts as blank.")
    else:
        wrong(attribute, raw)


def _pairs(text: str, of: tuple[str, str], system: str) -> list[list[float]] | str:
    """Pairs of numbers in their stored units, or the text itself where it cannot be read so."""
    words = [pair.split(",") for pair in text.split(";") if pair.strip()]
    try:
        typed = [(float(x), float(y)) for x, y in words]
    except ValueError:
        return text
    return [
        [float(f"{from_display(v, unit, system):.10g}") for v, unit in zip(pair, of, strict=True)] for pair in typed
    ]


def reference_names(site: Site, attribute: Attribute) -> dict[str, str]:
    """Ids that may be referred to, each with the name a person reads."""
    if attribute.refers_to == "features":
        kinds = _TARGETS.get(attribute.name)
        features = site.of_kind(*kinds) if kinds else site.features
        return distinct({feature.id: feature.name for feature in features})
    return distinct({item.id: item.name for item in site.equipment(attribute.refers_to)})


def distinct(names: dict[str, str]) -> dict[str, str]:
    """The names, a second one alike with its number: of two that read the same only one could be chosen.

    >>> distinct({"a": "P1", "b": "P1", "c": "P2"})
    {'a': 'P1', 'b': 'P1 (2)', 'c': 'P2'}
    """
    told: dict[str, str] = {}
    taken: set[str] = set()
    for key, name in names.items():
        number, shown = 1, name
        while shown in taken:
            number += 1
            shown = f"{name} ({number})"
        told[key] = shown
        taken.add(shown)
    return told


_TARGETS = {
    "serves": SLASH,
    "from_source": ("water_source",),
    "source": ("water_source",),
    "to_spot": ("kiln_spot",),
    "spot": ("kiln_spot",),
    "hose_lay": ("hose_lay",),
}


def _by_name(names: dict[str, str], raw: Any) -> str | None:
    found = named((_Called(key, name) for key, name in names.items()), raw if isinstance(raw, str) else None)
    return None if found is None else found.id


class _Called(NamedTuple):
    id: str
    name: str


_FIELDS: dict[str, Callable[[Attribute, Any, str, str | None, Change], None]] = {
    "number": _typed,
    "integer": _typed,
    "choice": _choice,
    "flag": _flag,
    "text": _text,
    "date": _typed,
    "reference": _reference,
    "references": _references,
    "numbers": _numbers,
    "curve": _curve,
}
