"""Is it dry, and when will it be? The readings of every heap, what they prove, and what is foreseen of it."""

from __future__ import annotations

from functools import partial
from typing import Any, cast

import streamlit as st

from sitemap.assessment import HEAPS, Assessment
from sitemap.reasons import Reason
from sitemap.safety.effects import PASSES
from sitemap.safety.permission import Check
from sitemap.season.climate import climate_of
from sitemap.slash.fuel import told_of
from sitemap.slash.result import SlashItem
from sitemap.telling import sentence
from sitemap.views import state
from sitemap.views.figures import verdict_html
from sitemap.views.folds import beside, fold, in_row
from sitemap.views.frame import plain
from sitemap.views.inputs import forms, parts
from sitemap.views.inputs.records import records_table
from sitemap.views.leads import HEAP
from sitemap.views.when import drying, like_last, weather
from sitemap.wording import listed

_ROWS = 50  # lines shown at a time
_NAMES = 20  # heaps named in one of them
_SCATTERED = "No readings: gather it into a heap, and read that before it burns."
_DRY, _DRYING, _WET, _NOT_KNOWN = "dry by readings", "not proved dry", "wet", "moisture not known"
_EFFECT = {_DRY: "passes", _WET: "ruled out"}  # what is drying or not known is never shown as in order


def show(a: Assessment) -> None:
    """The verdict on every heap with the day it is likely dry; the readings and the picture of the one chosen."""
    st.markdown("#### Is it dry, and when will it be?")
    heaps = {item.id: item for item in a.slash.items if a.source.get(item.id) is not None}
    if not heaps:
        st.info("No heap is measured yet: draw it on the map, give its sizes, then type what the meter read.")
        weather.show(a)
        return
    if a.drying:
        told, picture = beside("dry")
        with told:
            _verdicts(a)
        with picture:
            item = _chosen(heaps)
            drying.show(a, item.id)
    else:
        _verdicts(a)
    readings, air = in_row("dry", 2)
    with readings:
        if a.drying:
            fold(f"Readings of {plain(item.name)}, and what they prove", "when.heaps", lambda: _readings(a, item))
        else:  # nothing is drawn of the one chosen: it is chosen where its readings are
            fold("Readings of each heap, and what they prove", "when.heaps", lambda: _unforeseen(a, heaps))
    with air:
        weather.show(a)


def _unforeseen(a: Assessment, heaps: dict[str, SlashItem]) -> None:
    if climate_of(a.source) is not None:
        st.markdown(f"{weather.NOT_FORESEEN} readings with their date, or the month it was felled.")
    _readings(a, _chosen(heaps))


def _chosen(heaps: dict[str, SlashItem]) -> SlashItem:
    asked, keys = state.remember(HEAP, None), list(heaps)
    first = keys.index(asked) if asked in heaps else 0
    chosen = st.selectbox("Heap", keys, first, format_func=lambda key: heaps[key].name, key="when.heap")
    return heaps.get(chosen or "", next(iter(heaps.values())))


def _verdicts(a: Assessment) -> None:
    """Heaps of which the same is known and foreseen in one line; slash that lies scattered among them."""
    foreseen = {each.heap: sentence(each.told, a.source.units) for each in a.drying}
    alike: dict[tuple[str, str], list[str]] = {}
    for item in a.slash.items:
        check = a.wood.get(item.id)
        said, why = (_NOT_KNOWN, _SCATTERED) if check is None else _said(check, a.source.units)
        alike.setdefault((said, " ".join((why, foreseen.get(item.id, ""))).strip()), []).append(item.name)
    lines = parts.shown(tuple(alike.items()), "Heaps", "when.dry.from", _ROWS)
    st.html(
        "".join(
            verdict_html(_EFFECT.get(said, "conditional"), f"{listed(names, _NAMES)}: {said}", told)
            for (said, told), names in lines
        )
    )


def _said(check: Check, units: str) -> tuple[str, str]:
    """How dry a heap is, and why that is not known, as the kiln that burns it is judged."""
    if check.verdict == "not known":
        return _NOT_KNOWN, sentence(cast(Reason, check.reason.fact("why")), units)
    if check.reason.code == "day.wood_drying":
        return _DRYING, ""
    return (_DRY if check.effect == PASSES else _WET), ""


def _readings(a: Assessment, item: SlashItem) -> None:
    heap = a.source.get(item.id)
    if heap is None:
        return
    count = len(heap.records("readings"))
    if item.dryness is not None:
        st.markdown(plain(sentence(told_of(item.dryness), a.source.units)))
    st.markdown(f"**Readings of {plain(item.name)} ({count})**")
    with st.container(key=f"when.readings.{item.id}"):
        st.caption(
            "Read freshly split faces, in the middle and at the bottom too: the skin dries first, and the wettest core "
            "decides. A reading is good to about ± 2 points."
        )
        forms.form(
            heap,
            f"when.heap.{item.id}",
            partial(_say, item.id),
            only=("month_felled", "turned_on", "covered", "thickest_cm"),
            columns=4,
        )
        attribute = heap.attribute("readings")
        records_table(
            attribute.item,
            partial(_now, item.id),
            f"when.readings.{item.id}.rows",
            partial(_keep, item.id),
            columns=4,
        )
        like_last.show(heap)


def _now(heap_id: str) -> Any:
    heap = state.site().get(heap_id)
    return heap.records("readings") if heap is not None else ()


def _say(heap_id: str, name: str, value: Any) -> None:
    site = state.site()
    heap = site.get(heap_id)
    if heap is not None:
        state.edit(f"{heap.name}: {name}", site.put(heap.with_values(**{name: value})))


def _keep(heap_id: str, rows: list[dict[str, Any]]) -> None:
    site = state.site()
    heap = site.get(heap_id)
    if heap is not None and heap.kind in HEAPS:
        state.edit(f"{heap.name}: moisture readings", site.put(heap.with_values(readings=rows or None)))
