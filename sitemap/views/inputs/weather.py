"""The weather check of the day: the worst readings from lighting to the first cold check, held against the limits.

What is typed here is no part of the site: it holds for its day, and an old reading must not look like a fresh one.
"""

from __future__ import annotations

import datetime as dt

import streamlit as st

from sitemap.safety import weather
from sitemap.site.equipment import SECTIONS
from sitemap.site.model import Entry
from sitemap.site.seen import season_confirmed, seen_on
from sitemap.telling import sentence
from sitemap.units import from_display, unit_label
from sitemap.views import state
from sitemap.views.figures import verdict
from sitemap.views.inputs import lists

_HEIGHTS = {
    "eye level": weather.EYE_LEVEL_M,
    "20 ft (6 m)": weather.TWENTY_FEET_M,
    "10 m (33 ft)": weather.TEN_METRES_M,
}
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


def show() -> None:
    """The inputs and the verdict."""
    units = state.site().units
    st.caption(
        "Type the worst of all hours from lighting to the first cold check, from the forecast and from your own "
        "instrument. One good hour is a trap. Winds are for open ground."
    )
    height = st.segmented_control("Wind is for", list(_HEIGHTS), key="weather.height")
    readings: dict[str, float | None] = {}
    for column, (name, (label, unit, low)) in zip(st.columns(4), _READINGS.items(), strict=True):
        shown = column.number_input(
            f"{label} ({unit_label(unit, units)})",
            low,
            100.0 if unit == "pct" else None,
            None,
            key=f"weather.{name}.{units}",
            placeholder="not known",
        )
        value = None if shown is None else from_display(shown, unit, units)
        if value is not None and unit == "m_s":
            value = float(weather.wind_at_height_m_s(value, _HEIGHTS[height])) if height else None
        readings[name] = value
    quiet = st.number_input("Hours from lighting without a front or strong wind", 0.0, 240.0, None, key="weather.quiet")
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
        f"{asked}: {around or 'not known'} today. The readings are not kept: read again each day. The local rule "
        "wins; the person in charge decides. No weather makes a distance safe from embers."
    )
