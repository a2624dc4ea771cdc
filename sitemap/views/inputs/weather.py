"""The weather check of the day: the worst readings from lighting to the first cold check, held against the limits.

What is typed here is kept with its day and shown on that day only: an old reading must not look like a fresh one.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from typing import Any

import streamlit as st

from sitemap.safety import weather
from sitemap.site.equipment import SECTIONS
from sitemap.site.model import Entry, Site
from sitemap.site.seen import season_confirmed, seen_on
from sitemap.telling import sentence
from sitemap.units import from_display, to_display, unit_label
from sitemap.views import state
from sitemap.views.figures import verdict
from sitemap.views.inputs import lists

_MEMBER = "weather_read"  # of the site: the readings of the day `on`, in stored units
_READINGS = {
    "wind_m_s": ("Mean wind, highest", "m_s", 0.0),
    "gust_m_s": ("Gust, highest", "m_s", 0.0),
    "humidity_pct": ("Humidity, lowest", "pct", 0.0),
    "temperature_c": ("Temperature, highest", "c", None),
}
# The words are about the weather, the signs are those of a kiln: what is near or not known is never shown as in order.
_EFFECT = {weather.INSIDE: "passes", weather.OUTSIDE: "ruled out"}


def _of_today(season: Entry, attribute: str, stands: str) -> str | None:
    """What is entered for the site, where it was entered or confirmed today; what is bad stands however old it is."""
    said = season.choice(attribute)
    return said if said == stands or seen_on(season, attribute) == dt.date.today() else None


def _confirm() -> None:
    state.edit("Ban and surroundings: asked and seen today", season_confirmed(state.site(), dt.date.today()))


def _readings_of(site: Site) -> Mapping[str, Any]:
    """What was read today, in stored units; nothing of another day: an old reading must not look like a fresh one."""
    held = site.member.get(_MEMBER)
    of_today = isinstance(held, Mapping) and held.get("on") == dt.date.today().isoformat()
    return held if of_today and isinstance(held, Mapping) else {}


def _number(
    name: str, label: str, unit: str, ends: tuple[float | None, float | None], held: float | None
) -> float | None:
    """A reading, kept at once with the day it was made; in the stored unit."""
    units = state.site().units
    key = f"weather.{name}.{units}" if unit else f"weather.{name}"
    stored = None if held is None else round(to_display(held, unit, units), 6)
    shown = st.number_input(
        label,
        *ends,
        **state.number(key, stored),
        placeholder="not known",
        on_change=state.guarded(_keep),
        args=(name, key, unit),
    )
    return None if shown is None else from_display(shown, unit, units)


def _keep(name: str, key: str, unit: str) -> None:
    site, typed = state.site(), state.typed(key)
    value = from_display(typed, unit, site.units) if unit and typed is not None else typed
    held = {**_readings_of(site), "on": dt.date.today().isoformat(), name: value}
    kept = {each: said for each, said in held.items() if said is not None}
    state.edit("Weather read", site.with_member(_MEMBER, kept))


def show() -> None:
    """The inputs and the verdict."""
    units = state.site().units
    st.caption(
        "Type the worst of all hours from lighting to the first cold check, from the forecast and from your own "
        "instrument. One good hour is a trap. Winds are for open ground."
    )
    held = _readings_of(state.site())
    height = st.segmented_control(
        "Wind is for",
        list(weather.READ_AT),
        **state.choices("weather.height", held.get("height")),
        on_change=state.guarded(_keep),
        args=("height", "weather.height", ""),
    )
    readings: dict[str, float | None] = {}
    with st.container(key="form.weather"):
        columns = st.columns(4)
    for column, (name, (label, unit, low)) in zip(columns, _READINGS.items(), strict=True):
        high = 100.0 if unit == "pct" else None
        with column:
            value = _number(name, f"{label} ({unit_label(unit, units)})", unit, (low, high), held.get(name))
        if value is not None and unit == "m_s":
            value = float(weather.wind_at_height_m_s(value, weather.READ_AT[height])) if height else None
        readings[name] = value
    words = "Hours from lighting without a front or strong wind"
    with st.columns(2)[0]:
        quiet = _number("quiet", words, "", (0.0, 240.0), held.get("quiet"))
    lists.section("season", only=("surroundings", "ban", "last_rain", "fuel_height_m", "wind_from_deg"), columns=3)
    season = state.site().section("season")
    around, ban = _of_today(season, "surroundings", "cured"), _of_today(season, "ban", "in_force")
    if (around, ban) != (season.choice("surroundings"), season.choice("ban")):
        st.button(
            "Ban and surroundings: as entered, asked and seen today",
            key="weather.today",
            on_click=state.guarded(_confirm),
        )
    allowed = around == "cured" and st.checkbox("The officer in charge allows it on cured grass", key="weather.allowed")
    found = weather.weather_verdict(
        [weather.Hour("the worst hour", **readings)],
        around,
        outlook_quiet_h=quiet,
        burn_ban=None if ban is None else ban == "in_force",
        officer_allows_cured=allowed,
        height_known=height is not None,
    )
    verdict(
        _EFFECT.get(found.verdict, "conditional"),
        f"Weather: {found.verdict}",
        " ".join(sentence(why, units) for why in found.reasons),
    )
    asked = next(a.label for a in SECTIONS["season"].attributes if a.name == "surroundings")
    st.caption(
        f"{asked}: {around or 'not known'} today. The readings hold for today: read again each day. The local rule "
        "wins; the person in charge decides. No weather makes a distance safe from embers."
    )
