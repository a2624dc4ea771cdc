"""What is not known and what was assumed, said once for each thing and led back to where it can be mended."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import partial

import streamlit as st

from sitemap.notes import Note
from sitemap.reasons import Reason
from sitemap.site.kinds import KINDS
from sitemap.site.model import Feature
from sitemap.views import state
from sitemap.views.folds import fold
from sitemap.views.frame import led_to, plain, shown_on_map
from sitemap.views.inputs import forms, parts
from sitemap.views.inputs.changing import change

_HEADINGS = {
    "nearest_kiln": "Heaps given to the nearest kiln",
    "sorting": "Share of char stock",
    "quench_method": "How the char is put out",
    "thickest_piece": "Thickest piece",
    "no_batch_fits": "No batch fits this daylight",
    "looked": "Not looked for yet",
    "no_moisture": "Moisture",
    "position_error_m": "How good the places are",
    "height_m": "Height of heaps",
    "width_m": "Width of heaps",
    "water_volume": "How much water there is",
    "usable_dates": "Water on the burn date",
    "water_permission": "Permission for the water",
    "lift": "Height above the water",
    "bad_value": "Not understood",
    "bad_range": "Ranges that do not fit",
    "footprint": "Ground a heap covers",
}
_ANSWERS = {  # what a note is about → the attributes that answer it; others are called as their attribute
    "branches": ("branches_overhead", "branch_height_m"),
    "slope": ("slope_pct",),
    "heap_size": ("length_m", "width_m", "height_m"),
    "no_size": ("length_m", "width_m", "height_m"),
    "density": ("wood",),
    "earth": ("soil",),
    "no_kiln": ("kiln",),
    "no_moisture": ("readings",),
    "kiln_not_known": ("kiln",),
    "water_permission": ("permission",),
    "water_volume": ("volume_l", "area_m2", "depth_m", "yield_l_min"),
    "thickest_piece": ("serves",),
    "hose_line": ("source", "pump", "hose", "nozzle"),
}
_AT_ONCE = 2  # so many alike are said at once; more of them fold away
_MOST = 30  # shown at a time
_Groups = dict[str, list[tuple[str, list[str]]]]  # what is wrong → sentence, and ids of what it is about


def notes(found: Iterable[Note], heading: str, key: str, *, folded: bool = False) -> None:
    """Notes grouped by what they are about, each with a button to the thing it speaks of.

    key : makes the buttons of this list distinct
    folded : the whole list folds away under its heading
    """
    groups: _Groups = {}
    said: dict[tuple[str, str], list[str]] = {}  # one sentence about several things is said once
    units = state.site().units
    alike: dict[tuple[str, Reason], list[Note]] = {}
    for note in found:  # thousands of heaps may share a few reasons
        alike.setdefault((note.what, note.text), []).append(note)
    for (what, _), same in alike.items():
        said.setdefault((what, same[0].told(units)), []).extend(note.about for note in same)
    for (what, words), abouts in said.items():
        groups.setdefault(what, []).append((words, abouts))
    if not groups:
        return
    count = sum(map(len, groups.values()))
    if folded:
        fold(heading, f"{key}.open", lambda: _groups(groups, key), shut=f" ({count})")
    else:
        st.markdown(f"#### {heading}")
        _groups(groups, key)


def _groups(groups: _Groups, key: str) -> None:
    things, rest = _of_things(groups)
    for about, found in things.items():
        _one(" ".join(found.values()), [about], found, f"{key}.thing.{about}")
    for what, members in rest.items():
        if len(members) <= _AT_ONCE:
            for number, (words, abouts) in enumerate(members):
                _one(words, abouts, (what,), f"{key}.{what}.{number}")
            continue
        title = _HEADINGS.get(what, what.removesuffix("_m").replace("_", " ").capitalize())
        if st.toggle(f"{title} ({len(members)})", key=f"{key}.{what}"):
            for number in parts.shown(range(len(members)), title, f"{key}.{what}.from", _MOST):
                words, abouts = members[number]
                _one(words, abouts, (what,), f"{key}.{what}.{number}")


def _of_things(groups: _Groups) -> tuple[dict[str, dict[str, str]], _Groups]:
    """By things, where that makes no more lines: id of a thing → what is wrong → sentence; and the rest."""
    site = state.site()
    things: dict[str, dict[str, str]] = {}
    rest: _Groups = {}
    for what, members in groups.items():
        for words, abouts in members:
            if len(set(abouts)) == 1 and site.get(abouts[0]) is not None:
                held = things.setdefault(abouts[0], {})
                held[what] = f"{held[what]} {words}" if what in held else words
            else:
                rest.setdefault(what, []).append((words, abouts))
    fewer = len(things) + _lines(rest) <= _lines(groups)
    return (things, rest) if fewer else ({}, groups)


def _lines(groups: _Groups) -> int:
    return sum(1 if len(members) > _AT_ONCE else len(members) for members in groups.values())


def _one(words: str, abouts: list[str], whats: Iterable[str], key: str) -> None:
    site = state.site()
    with st.container(key=f"{key}.row", horizontal=True, vertical_alignment="center", gap="small"):
        st.markdown(plain(words))
        features = [feature for about in dict.fromkeys(abouts) if (feature := site.get(about)) is not None]
        if len(features) == 1:
            _answer(features[0], whats, key)
        if len(features) <= _AT_ONCE:
            _show_buttons(features, key)
        else:
            with st.popover("Show one", key=f"{key}.many", type="tertiary", icon=":material/location_on:"):
                _show_buttons(parts.shown(features, "Things", f"{key}.from", _MOST), key)
        if any(about in KINDS for about in abouts):
            st.button(
                "Rules and permit",
                key=f"{key}.rules",
                type="tertiary",
                on_click=state.guarded(led_to),
                args=("rules",),
            )


def _answer(feature: Feature, whats: Iterable[str], key: str) -> None:
    """The fields that answer notes about one thing, where they stand; none for what no field of it answers. A field
    that was answered stays, so that the next is not pulled away from under the hand."""
    kind = feature.kind_schema
    asked = (name for what in whats for name in _ANSWERS.get(what, (what,)))
    known = (name for name in asked if kind is not None and kind.attribute(name) is not None)
    names = tuple(dict.fromkeys((*state.remember(f"{key}.asked", ()), *known)))
    state.put(f"{key}.asked", names)
    if names:
        with st.popover("Answer", key=f"{key}.answer", type="tertiary", icon=":material/edit:"):
            forms.form(feature, f"{key}.of", partial(change, feature.id), only=names)


def asked_of(feature: Feature, found: Iterable[Note]) -> tuple[str, ...]:
    """The fields of its form that answer what is not known of a thing, by their labels and in the form's order; a list
    of readings is none of them, for it grows with the weeks."""
    about = [note.what for note in found if note.about == feature.id]
    answers = [_ANSWERS.get(what, (what,)) for what in about]
    names = {name for each in answers for name in each if len(each) == 1 or not feature.has(name)}
    fields = feature.kind_schema.attributes if feature.kind_schema is not None else ()
    return tuple(each.label for each in fields if each.name in names and each.type != "records")


def _show_buttons(features: Sequence[Feature], key: str) -> None:
    for feature in features:
        show_button(feature.id, f"Show {feature.name}", f"{key}.show.{feature.id}")


def show_button(feature_id: str, label: str, key: str) -> None:
    """A button that opens one thing on the map."""
    st.button(
        plain(label),
        key=key,
        type="tertiary",
        icon=":material/location_on:",
        on_click=state.guarded(shown_on_map),
        args=(feature_id,),
    )
