"""How sure a number is: its range and whether it was measured, estimated or assumed, behind a small button."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import Any

import streamlit as st

from sitemap.site.attributes import BASES, Attribute
from sitemap.site.model import Entry
from sitemap.units import from_display, to_display
from sitemap.views import state
from sitemap.wording import BASIS_SIGNS, with_unit
from sitemap.wording import basis as basis_sign


def beside(entry: Entry, attribute: Attribute, widget: str, change: Callable[[str, Any], None]) -> None:
    """The button beside a number that takes a range: it shows what the number rests on, and opens the rest."""
    measured = entry.measured(attribute.name)
    sign = BASIS_SIGNS[measured.basis] if measured else "±"
    units = state.site().units
    with st.popover(sign, key=f"sure.{widget}", help="How sure: measured ●, estimated ◐, assumed ○; and its range"):
        basis = attribute.name + "_basis"
        stored = entry.values.get(basis)
        st.segmented_control(
            f"{attribute.label}: rests on",
            BASES,
            key=state.bound(widget + "_basis", stored if stored in BASES else None),
            format_func=basis_sign,
            on_change=state.guarded(lambda: change(basis, state.typed(widget + "_basis"))),
        )
        for end, says in (("_low", "At least"), ("_high", "At most")):
            _end(entry, attribute, attribute.name + end, with_unit(says, attribute.unit, units), widget, change)
        st.caption("The ends between which it lies eight times out of ten.")


def _end(
    entry: Entry, attribute: Attribute, name: str, label: str, widget: str, change: Callable[[str, Any], None]
) -> None:
    units, raw = state.site().units, entry.values.get(name)
    stored = None
    if isinstance(raw, int | float) and not isinstance(raw, bool):
        stored = float(f"{to_display(float(raw), attribute.unit, units):.6g}")
    key = f"{widget}.{name}"
    st.number_input(
        label,
        key=state.bound(key, stored),
        value=None,
        format="%g",
        on_change=state.guarded(partial(_keep, attribute, name, key, stored, units, change)),
    )


def _keep(
    attribute: Attribute, name: str, key: str, stored: float | None, units: str, change: Callable[[str, Any], None]
) -> None:
    value = state.typed(key)
    if value is None:
        change(name, None)
    elif stored is None or value != stored:
        change(name, float(f"{from_display(value, attribute.unit, units):.10g}"))
