"""Weather as people have it: pasted, typed or a file; shown as it was understood before anything is kept."""

from __future__ import annotations

from dataclasses import dataclass

import streamlit as st

from sitemap.errors import BadFile, PitsteadError
from sitemap.letters import text_of
from sitemap.reasons import reason
from sitemap.season.forecast_reading import (
    LABELS,
    QUANTITIES,
    Column,
    Raw,
    clock_said,
    guess,
    height_guess_m,
    read_text,
    unit_of,
)
from sitemap.season.hours import WeatherHour, hours_of
from sitemap.site.model import Site
from sitemap.units import text
from sitemap.views import state
from sitemap.views.faults import fault_text
from sitemap.views.figures import table
from sitemap.views.frame import plain
from sitemap.views.inputs import drafts

_UNITS = {
    "wind": ("km/h", "mph", "m/s", "kn"),
    "gust": ("km/h", "mph", "m/s", "kn"),
    "temperature": ("°C", "°F"),
    "rain": ("mm", "inch"),
    "humidity": ("%",),
    "cloud": ("%",),
    "wind_from": ("°",),
}
AIR = ("time", "humidity", "temperature", "rain")  # what a record of days is asked for


@dataclass(frozen=True)
class Understood:
    """What was brought, as it was understood: the hours, when it was made, and for which height its winds are [m]."""

    hours: tuple[WeatherHour, ...]
    form: str
    issued: str | None
    height_m: float | None


def brought(key: str, example: str, site: Site, only: tuple[str, ...] = QUANTITIES) -> Understood | None:
    """A text or a file, with what each column is taken for, to be changed by the person who knows; None until it can
    be read.

    key : of the place; example : of a text; site : for its clock and units; only : the quantities asked for
    """
    pasted = st.text_area(
        "Days or hours, heads in the first row, or JSON", key=f"{key}.paste", placeholder=example, height=100
    )
    file = st.file_uploader("or a file", type=["csv", "txt", "json"], key=f"{key}.file")
    if file is None and not (pasted or "").strip():
        return None
    try:
        raw = read_text(pasted if file is None else _text(file.name, file.getvalue()))
        columns = _columns(raw, key, only)
        clock = clock_said(raw, columns) or drafts.text(
            st,
            "Time zone of its clock, where the times carry none",
            f"draft.{key}.zone",
            site.timezone or "",
            placeholder="America/Denver",
        )
        hours = hours_of(raw, columns, clock or None)
    except PitsteadError as wrong:
        st.warning(plain(fault_text(wrong, site)))
        return None
    if not hours:
        st.warning("No row has a time: nothing can be kept.")
        return None
    found = Understood(hours, raw.form, raw.issued, height_guess_m(columns))
    _shown(found, site.units, only)
    return found


def taken(key: str) -> None:
    """What was brought at a place is kept: the browser need not remember it."""
    for field in (f"{key}.paste", f"draft.{key}.zone"):
        state.typed(field)


def _shown(found: Understood, units: str, only: tuple[str, ...]) -> None:
    first, last = found.hours[0].time, found.hours[-1].time
    st.write(
        plain(f"Taken for {found.form}: {len(found.hours)} rows, {_moment(first)} to {_moment(last)} ({first:%Z}).")
    )
    table([_row(hour, units, only) for hour in found.hours[:3]])


def _moment(time: object) -> str:
    return f"{time:%d %b %Y %H:%M}"


def _row(hour: WeatherHour, units: str, only: tuple[str, ...]) -> dict[str, str]:
    values = {
        "wind": (hour.wind_m_s, "m_s", 2),
        "wind_from": (hour.wind_from_deg, "deg", 3),
        "gust": (hour.gust_m_s, "m_s", 2),
        "humidity": (hour.humidity_pct, "pct", 2),
        "temperature": (hour.temperature_c, "c", 2),
        "rain": (hour.rain_mm, "mm", 2),
    }
    said: dict[str, str] = {
        LABELS[key]: text(value, unit, units, digits) for key, (value, unit, digits) in values.items() if key in only
    }
    return {"Time": _moment(hour.time), **said}


def _text(name: str, data: bytes) -> str:
    said = text_of(data)
    if said is None:
        raise BadFile(reason("files.no_text", name=name))
    return said


def _columns(raw: Raw, key: str, only: tuple[str, ...]) -> tuple[Column, ...]:
    """What each column is taken for."""
    found = {column.quantity: column for column in guess(raw)}
    chosen = []
    with st.container(key=f"{key}.columns"):
        places = st.columns(4)
        for number, quantity in enumerate(only):
            with places[number % 4]:
                column = found.get(quantity)
                options = ["–", *raw.columns]
                name = st.selectbox(
                    LABELS[quantity],
                    options,
                    index=options.index(column.name) if column else 0,
                    key=f"{key}.column.{quantity}",
                )
                made = Column(quantity, name, unit_of(raw, quantity, name) if name != "–" else "")
                if name != "–" and not made.unit_known:
                    picked = st.selectbox("Unit", _UNITS[quantity], index=None, key=f"{key}.unit.{quantity}")
                    made = Column(quantity, name, picked or "")
                if name != "–":
                    chosen.append(made)
    return tuple(chosen)
