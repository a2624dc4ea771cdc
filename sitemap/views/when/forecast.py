"""The forecast: pasted, typed or from a file; shown as it was understood; kept when confirmed; judged hour by hour."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial
from typing import Any

import streamlit as st

from sitemap.assessment import Assessment
from sitemap.plan.charts import chart
from sitemap.plan.phrases import words_for
from sitemap.safety.weather import INSIDE, OUTSIDE
from sitemap.season.forecast_reading import STORED
from sitemap.season.hours import WeatherHour
from sitemap.season.weather_of_site import told_of
from sitemap.season.window import Judged
from sitemap.site.frozen import thaw
from sitemap.telling import sentence
from sitemap.units import text
from sitemap.views import state
from sitemap.views.figures import drawing, table, verdict
from sitemap.views.folds import beside, fold, once_filled
from sitemap.views.inputs import lists
from sitemap.views.inputs.fields import unread
from sitemap.views.inputs.records import in_words
from sitemap.views.when.bring import brought, taken

_EFFECT = {INSIDE: "passes", OUTSIDE: "ruled out"}
_EXAMPLE = {
    "metric": "time,wind (km/h),wind from,gust (km/h),humidity %,temp (°C)\n2026-12-05 08:00,9,270,15,62,4",
    "us": "time,wind (mph),wind from,gust (mph),humidity %,temp (°F)\n2026-12-05 08:00,6,270,9,62,39",
}
_OF_ITSELF = ("issued", "wind_at", "front_free_h")  # without it the hours are not judged
_HEIGHT_OF = {10.0: "10_m"}


def show(a: Assessment) -> None:
    """What the forecast says, its hours, and how to bring another. Hours in which nothing is near a limit are folded
    with their picture; else it stands in sight."""
    window = a.weather
    if window is None or not window.burn:
        _verdict(a)
        _typed(a, None)
        return
    hours = partial(_hours, a, window.burn)
    if window.word == INSIDE and not any(bar.check == "weather" for each in a.decisions for bar in each.because):
        _verdict(a)
        _typed(a, hours)
        return
    told, picture = beside("weather")
    with told:
        _verdict(a)
    with picture:
        hours()
    _typed(a, None)


def _verdict(a: Assessment) -> None:
    word = "not known" if a.weather is None else a.weather.word
    why = sentence(told_of(a.source, a.weather), a.source.units)
    verdict(_EFFECT.get(word, "conditional"), f"Forecast: {word}", why, large=True)


def _hours(a: Assessment, burn: Sequence[Judged]) -> None:
    """The hours of the burn as a picture, their figures folded below it."""
    drawing(chart(a, "strip-0", words_for(a.source, "en")), "Weather of the burn, hour by hour")
    st.caption(
        "White: inside the limits. Striped: near one. Black: outside. Dashed or ?: not known. Winds at 20 ft (6 m)."
    )
    fold("Hour by hour", "when.hours", lambda: table([_row(each, a.source.units) for each in burn]))


def _typed(a: Assessment, hours: Callable[[], None] | None) -> None:
    """What is typed of a forecast, or brought; folded. hours : its picture, where that is folded with it"""

    def bring() -> None:
        if hours is not None:
            hours()
        st.caption(
            "Every hour from lighting to the first cold check must be inside the limits, and 48 to 72 hours after it "
            "quiet: one good hour is a trap. The stricter of our limits and the permit's holds. A forecast is stale "
            "twelve hours after it was made, and what it said against a burn stands until a better one is kept. On the "
            "day itself somebody reads the weather on site as well."
        )
        lists.section("forecast", only=_OF_ITSELF, columns=3)
        lists.section("forecast", only=("source",), part=".source")
        _bring(a)

    said = a.source.section("forecast")
    lacks = any(not said.has(name) for name in _OF_ITSELF)
    if not a.source.records("forecast_hours"):
        fold("Bring a forecast: paste, type or open a file", "when.bring", bring)
    else:
        told = "not all that it says of itself is typed" if lacks else in_words(said)
        once_filled("Forecast", told + unread(said), "when.forecast", bring, filled=not lacks and not unread(said))


def _row(hour: Judged, units: str) -> dict[str, str]:
    values = hour.values
    return {
        "Hour": f"{hour.time:%H:%M}",
        "Wind": text(values.get("wind"), "km_h", units, 2),
        "Gust": text(values.get("gust"), "km_h", units, 2),
        "Humidity": text(values.get("humidity"), "pct", units, 2),
        "Temperature": text(values.get("temperature"), "c", units, 2),
        "Verdict": hour.word,
    }


def _bring(a: Assessment) -> None:
    found = brought("when", _EXAMPLE[a.source.units], a.source)
    if found is None:
        return
    guessed = _HEIGHT_OF.get(found.height_m or 0.0)
    if guessed:
        st.write("Its winds are for 10 m.")
    elif found.height_m is not None:
        own = text(found.height_m, "m", a.source.units, 2)
        st.warning(f"Its winds are for {own}, which is none of the heights above: take columns for 10 m, or others.")
    elif not a.source.section("forecast").has("wind_at"):
        st.write("At which height its winds are, it does not say, or says two: choose it above.")
    if _rows(found.hours) == thaw(a.source.member.get("forecast_hours")):
        st.markdown("**✓ Kept.** These hours are the forecast of the site.")
        return
    st.button(
        "That is right: keep this forecast",
        key="when.keep",
        type="primary",
        on_click=state.guarded(_keep),
        args=(found.hours, found.issued, guessed),
    )


def _rows(hours: tuple[WeatherHour, ...]) -> list[dict[str, Any]]:
    """The hours as the file keeps them."""
    names = {quantity: f"{quantity}_{unit}" for quantity, unit in STORED.items()} | {"wind_from": "wind_from_deg"}
    rows: list[dict[str, Any]] = []
    for hour in hours:
        row: dict[str, Any] = {"time": hour.time.isoformat(timespec="minutes")}
        row |= {name: round(value, 3) for name in names.values() if (value := getattr(hour, name)) is not None}
        rows.append(row)
    return rows


def _keep(hours: tuple[WeatherHour, ...], issued: str | None, wind_at: str | None) -> None:
    """The hours become those of the site, and what they say of themselves too. What was typed of the first forecast of
    a site before its hours came is of that one and stays; when an earlier one was made, and how long it saw no front,
    says nothing of another."""
    taken("when")
    site = state.site()
    said = site.section("forecast").values
    if site.records("forecast_hours"):
        said = said.put(issued=None, front_free_h=None)
    said = said if issued is None else said.put(issued=issued)
    said = said if wind_at is None else said.put(wind_at=wind_at)
    state.edit("Forecast", site.with_member("forecast_hours", _rows(hours)).with_member("forecast", said))
