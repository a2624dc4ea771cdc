"""How sure a number is: its range and whether it was measured, estimated or assumed, behind a small button."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import Any

import streamlit as st

from sitemap.site.attributes import BASES, Attribute
from sitemap.site.cells import cell_text, kept_cell
from sitemap.site.model import Entry
from sitemap.views import figures, state
from sitemap.wording import BASIS_SIGNS, with_unit
from sitemap.wording import basis as basis_sign


def beside(entry: Entry, attribute: Attribute, widget: str, change: Callable[[str, Any], None]) -> None:
    """The button beside a number that takes a range: it shows what the number rests on, and opens the rest."""
    measured = entry.measured(attribute.name)
    sign = BASIS_SIGNS[measured.basis] if measured else "±"
    units = state.site().units
    with st.popover(
        figures.spoken(sign, f"how sure: {attribute.label}"),
        key=f"sure.{widget}",
        help="How sure: measured ●, estimated ◐, assumed ○; and its range",
    ):
        basis = attribute.name + "_basis"
        stored = entry.values.get(basis)
        st.segmented_control(
            f"{attribute.label}: rests on",
            BASES,
            **state.choices(widget + "_basis", stored if stored in BASES else None),
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
    key, shown = f"{widget}.{name}", cell_text(attribute, raw, units)
    st.text_input(
        label,
        **state.text(key, shown, same=lambda text: bool(text) and kept_cell(attribute, str(text), units) == raw),
        on_change=state.guarded(partial(_keep, attribute, name, key, shown, units, change)),
    )


def _keep(
    attribute: Attribute, name: str, key: str, shown: str, units: str, change: Callable[[str, Any], None]
) -> None:
    text = str(state.typed(key) or "")
    if text != shown:
        change(name, kept_cell(attribute, text, units) if text.strip() else None)
