"""The weather check of the day: the worst readings from lighting to the first cold check, held against the limits.

What is typed here is no part of the site: it holds for its day, and an old reading must not look like a fresh one.
"""

from __future__ import annotations

import streamlit as st

from sitemap.safety import weather
from sitemap.site.equipment import SECTIONS
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
_BAN = {"yes": True, "no": False}
# The words are about the weather, the signs are those of a kiln: what is near or not known is never shown as in order.
_EFFECT = {weather.INSIDE: "passes", weather.OUTSIDE: "ruled out"}


def show() -> None:
    """The inputs and the verdict."""
    units = state.site().units
    st.caption(
        "Type the worst of all hours from lighting to the first cold check, from the forecast and from your own "
        "instrument. One good hour is a trap. Winds are for open ground."
    )
    height = st.segmented_control("Wind is for", list(_HEIGHTS), default="20 ft (6 m)", key="weather.height")
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
    left, right = st.columns(2)
    quiet = left.number_input(
        "Hours from lighting without a front or strong wind", 0.0, 240.0, None, key="weather.quiet"
    )
    ban = right.segmented_control("Burn ban today", list(_BAN), key="weather.ban")
    lists.section("season", only=("surroundings", "ban", "last_rain", "fuel_height_m", "wind_from_deg"), columns=3)
    around = state.site().section("season").choice("surroundings")
    allowed = around == "cured" and st.checkbox("The officer in charge allows it on cured grass", key="weather.allowed")
    found = weather.weather_verdict(
        [weather.Hour("the worst hour", **readings)],
        around,
        outlook_quiet_h=quiet,
        burn_ban=_BAN.get(ban or ""),
        officer_allows_cured=allowed,
    )
    verdict(
        _EFFECT.get(found.verdict, "conditional"),
        f"Weather: {found.verdict}",
        " ".join(sentence(why, units) for why in found.reasons),
    )
    asked = next(a.label for a in SECTIONS["season"].attributes if a.name == "surroundings")
    st.caption(
        f"{asked}: {around or 'not known'}, as entered for the site. Not kept: read again each day. The local rule "
        "wins; the person in charge decides. No weather makes a distance safe from embers."
    )
