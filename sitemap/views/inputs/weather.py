"""The weather check of the day: the worst readings from lighting to the first cold check, held against the limits.

What is typed here is kept with its day and shown on that day only: an old reading must not look like a fresh one.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from typing import Any

import streamlit as st

from sitemap.assessment import Assessment
from sitemap.day.decision import Bar
from sitemap.safety import weather
from sitemap.safety.limits_of_site import named_by_permit
from sitemap.season.weather_of_site import morning_mark
from sitemap.site.attributes import Attribute
from sitemap.site.equipment import SECTIONS
from sitemap.site.frozen import FrozenDict
from sitemap.site.model import Entry, Site
from sitemap.site.seen import season_confirmed, seen_on
from sitemap.site.weather_read import BY, CURED_BY, HEIGHT, MEMBER, QUIET, SAW, read_on
from sitemap.telling import sentence
from sitemap.views import state
from sitemap.views.figures import verdict
from sitemap.views.inputs import fields, lists

_QUIET = Attribute(QUIET, "Hours from lighting without a front or strong wind", low=0, high=240)
_BY = Attribute(BY, "Who read it", "text", help="Without a name no kiln may be lit.")
_CURED = Attribute(
    CURED_BY, "Officer in charge who allows it on cured grass today", "text", help="Blank: nobody does.", main=False
)
_READINGS = (
    Attribute("wind_m_s", "Mean wind, highest", unit="m_s", low=0),
    Attribute("gust_m_s", "Gust, highest", unit="m_s", low=0),
    Attribute("humidity_pct", "Humidity, lowest", unit="pct", low=0, high=100),
    Attribute("temperature_c", "Temperature, highest", unit="c"),
)
_HEIGHT = "fuel_height_m"  # of grass and brush: by it a refuge is wide enough
# The words are about the weather, the signs are those of a kiln: what is near or not known is never shown as in order.
_EFFECT = {weather.INSIDE: "passes", weather.OUTSIDE: "ruled out"}


def _of_today(season: Entry, attribute: str, stands: str) -> str | None:
    """What is entered for the site, where it was entered or confirmed today; what is bad stands however old it is."""
    said = season.choice(attribute)
    return said if said == stands or seen_on(season, attribute) == dt.date.today() else None


def _confirm() -> None:
    state.edit("Ban, grass and brush: asked and seen today", season_confirmed(state.site(), dt.date.today()))


def _readings_of(site: Site) -> Mapping[str, Any]:
    return read_on(site, dt.date.today())


def _keep(name: str, value: Any) -> None:
    """A reading, kept at once with the day it was made; a name with forecast and log as its owner saw them."""
    site = state.site()
    held = {**_readings_of(site), "on": dt.date.today().isoformat(), name: value}
    if name == BY:
        held[SAW] = morning_mark(site, dt.date.today())
    kept = {each: said for each, said in held.items() if said is not None}
    state.edit("Weather read", site.with_member(MEMBER, kept))


def _bars(a: Assessment) -> tuple[Bar, ...]:
    """What of the weather keeps kilns from being lit today; none where the burn date is another day."""
    every = (bar for decision in a.decisions for bar in decision.because if bar.check == "weather")
    return tuple(dict.fromkeys(every)) if a.on == a.today else ()


def show(a: Assessment) -> None:
    """The inputs and the verdict, which is never better than what the decisions of a burn today say of the weather."""
    units = state.site().units
    st.caption(
        "Type the worst of all hours from lighting to the first cold check, from the forecast and from your own "
        "instrument. One good hour is a trap. Winds are for open ground."
    )
    held = Entry(FrozenDict(_readings_of(state.site())), (*_READINGS, _QUIET, _BY, _CURED))
    stored = held.values.get(HEIGHT)
    height = st.segmented_control(
        "Wind is for",
        list(weather.READ_AT),
        **state.choices("weather.height", stored if stored in weather.READ_AT else None),
        on_change=state.guarded(lambda: _keep(HEIGHT, state.typed("weather.height"))),
    )
    readings: dict[str, float | None] = {}
    with st.container(key="form.weather"):
        columns = st.columns(4)
    for column, attribute in zip(columns, _READINGS, strict=True):
        with column:
            fields.field(held, attribute, "weather", _keep)
        value = held.number(attribute.name)
        if value is not None and attribute.unit == "m_s":
            value = float(weather.wind_at_height_m_s(value, weather.READ_AT[height])) if height else None
        readings[attribute.name] = value
    quiet, by = st.columns(2)
    with quiet:
        fields.field(held, _QUIET, "weather", _keep)
    with by:
        fields.field(held, _BY, "weather", _keep)
    signed = held.text(BY)
    if signed and held.values.get(SAW) != morning_mark(state.site(), dt.date.today()):
        st.warning("Forecast or log have changed since: look at them again.")
        st.button(
            f"{signed}: looked at forecast and log as they are now",
            key="weather.beside",
            on_click=state.guarded(lambda: _keep(BY, signed)),
        )
    lists.section("season", only=("surroundings", "ban", "last_rain", _HEIGHT, "wind_from_deg"), columns=3)
    season = state.site().section("season")
    around, ban = _of_today(season, "surroundings", "cured"), _of_today(season, "ban", "in_force")
    before = season.has(_HEIGHT) and seen_on(season, _HEIGHT) != dt.date.today()
    if before or (around, ban) != (season.choice("surroundings"), season.choice("ban")):
        st.button(
            "Ban, grass and brush: as entered, asked and seen today",
            key="weather.today",
            on_click=state.guarded(_confirm),
        )
    if around == "cured":
        fields.field(held, _CURED, "weather", _keep)
    found = weather.weather_verdict(
        [weather.Hour("the worst hour", **readings)],
        around,
        outlook_quiet_h=held.number(_QUIET.name),
        burn_ban=None if ban is None else ban == "in_force",
        officer_allows_cured=held.text(CURED_BY) is not None,
        height_known=height is not None,
        permit=named_by_permit(state.site().section("permit")),
    )
    unsigned = () if signed else ("Nobody has put a name to it: without one no kiln may be lit.",)
    said, reasons = found.verdict, list(found.reasons)
    for bar in _bars(a):
        word = weather.OUTSIDE if bar.verdict == "weather outside limits" else weather.NOT_KNOWN
        if weather.ORDER.index(word) > weather.ORDER.index(said):
            said = word
            reasons.insert(0, bar.reason)
    verdict(
        _EFFECT.get(said, "conditional") if signed or said == weather.OUTSIDE else "conditional",
        f"Weather: {said}",
        " ".join((*(sentence(why, units) for why in reasons), *unsigned)),
    )
    asked = next(a.label for a in SECTIONS["season"].attributes if a.name == "surroundings")
    st.caption(
        f"{asked}: {around or 'not known'} today. The readings hold for today: read again each day. The local rule "
        "wins; the person in charge decides. No weather makes a distance safe from embers."
    )
