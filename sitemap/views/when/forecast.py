"""The forecast: pasted, typed or from a file; shown as it was understood; kept when confirmed; judged hour by hour."""

from __future__ import annotations

from typing import Any

import streamlit as st

from sitemap.assessment import Assessment
from sitemap.errors import PitsteadError
from sitemap.plan.charts import chart
from sitemap.plan.phrases import words_for
from sitemap.safety.weather import INSIDE, OUTSIDE
from sitemap.season.forecast_reading import QUANTITIES, STORED, Column, Raw, guess, height_guess_m, read_text
from sitemap.season.hours import WeatherHour, hours_of
from sitemap.season.months import months_from
from sitemap.season.weather_of_site import kept_hours, told_of
from sitemap.season.window import Judged
from sitemap.telling import sentence
from sitemap.units import text
from sitemap.views import state
from sitemap.views.faults import fault_text
from sitemap.views.figures import drawing, table, verdict
from sitemap.views.frame import plain
from sitemap.views.inputs import lists

_EFFECT = {INSIDE: "passes", OUTSIDE: "ruled out"}
_UNITS = {
    "wind": ("km/h", "mph", "m/s", "kn"),
    "gust": ("km/h", "mph", "m/s", "kn"),
    "temperature": ("°C", "°F"),
    "rain": ("mm", "inch"),
}
_EXAMPLE = "time,wind (km/h),gust (km/h),humidity %,temp (°C)\n2026-12-05 08:00,9,15,62,4"
_HEIGHT_OF = {10.0: "10_m"}


def show(a: Assessment) -> None:
    """The forecast kept, its verdict, and how to bring another."""
    st.caption(
        "Every hour from lighting to the first cold check must be inside the limits, and 48 to 72 hours after "
        "it quiet: one good hour is a trap. The stricter of our limits and the permit's holds. A forecast is stale "
        "twelve hours after it was made; what you read on site goes before it."
    )
    _verdict(a)
    lists.section("forecast", columns=4)
    with st.expander(
        "Bring a forecast: paste, type or open a file", key="when.bring", expanded=not kept_hours(a.source)
    ):
        _bring(a)


def _verdict(a: Assessment) -> None:
    window, units = a.weather, a.source.units
    word = "not known" if window is None else window.word
    why = sentence(told_of(window), units)
    if window is None and kept_hours(a.source):
        why = "A forecast is kept, but no batch has its hours: the clock of the day comes first."
    verdict(_EFFECT.get(word, "conditional"), f"Forecast: {word}", why, large=True)
    if window is None or not window.burn:
        return
    drawing(chart(a, "strip-0", words_for(a.source, "en")), "Weather of the burn, hour by hour")
    st.caption("White: inside. Striped: near a limit. Black: outside. Dashed or ?: not known. Winds at 20 ft (6 m).")
    with st.expander("Hour by hour", key="when.hours"):
        table([_row(each, units) for each in window.burn])


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
    pasted = st.text_area("Hours, heads in the first row, or JSON", key="when.paste", placeholder=_EXAMPLE, height=120)
    file = st.file_uploader("or a file", type=["csv", "txt", "json"], key="when.file")
    said = file.getvalue().decode("utf-8", "replace") if file is not None else pasted
    if not (said or "").strip():
        return
    try:
        raw = read_text(said)
    except PitsteadError as wrong:
        st.warning(plain(fault_text(wrong, a.source)))
        return
    columns = _columns(raw)
    zone = raw.zone or st.text_input(
        "Time zone of its clock, where the times carry none",
        value=a.source.timezone or "",
        placeholder="America/Denver",
        key="when.zone",
    )
    try:
        hours = hours_of(raw, columns, zone or None)
    except PitsteadError as wrong:
        st.warning(plain(fault_text(wrong, a.source)))
        return
    if not hours:
        st.warning("No row has a time: nothing can be kept.")
        return
    guessed = _HEIGHT_OF.get(height_guess_m(columns) or 0.0)
    st.write(
        plain(
            f"Taken for {raw.form}: {len(hours)} hours, {hours[0].time:%d %b %H:%M} to {hours[-1].time:%d %b %H:%M} "
            f"({hours[0].time:%Z})."
        )
        + (
            " Its winds are for 10 m."
            if guessed
            else " At which height its winds are, it does not say: choose it above."
        )
    )
    table([_first(hour, a.source.units) for hour in hours[:3]])
    st.button(
        "That is right: keep this forecast",
        key="when.keep",
        type="primary",
        on_click=state.guarded(_keep),
        args=(hours, raw.issued, guessed),
    )
    if months_from(hours):
        st.button(
            "It is a record of days gone by: take it as the weather of its months",
            key="when.months",
            on_click=state.guarded(_keep_months),
            args=(hours,),
        )


def _keep_months(hours: tuple[WeatherHour, ...]) -> None:
    """The months the record tells of take the place of those typed; the others stay."""
    site = state.site()
    new = {row["month"]: row for row in months_from(hours)}
    kept = [dict(each.values) for each in site.records("climate") if each.integer("month") not in new]
    rows = sorted([*kept, *new.values()], key=lambda row: row.get("month") or 0)
    state.edit("Weather of the months", site.with_member("climate", rows))


def _columns(raw: Raw) -> tuple[Column, ...]:
    """What each column is taken for, to be changed by the person who knows."""
    found = {column.quantity: column for column in guess(raw)}
    chosen = []
    with st.container(key="when.columns"):
        places = st.columns(4)
        for number, quantity in enumerate(QUANTITIES):
            with places[number % 4]:
                column = found.get(quantity)
                options = ["–", *raw.columns]
                name = st.selectbox(
                    quantity.replace("_", " ").capitalize(),
                    options,
                    index=options.index(column.name) if column else 0,
                    key=f"when.column.{quantity}",
                )
                unit = column.unit if column is not None and column.name == name else ""
                made = Column(quantity, name, unit)
                if name != "–" and not made.unit_known:
                    picked = st.selectbox(
                        "Unit", _UNITS.get(quantity, ("%", "°")), index=None, key=f"when.unit.{quantity}"
                    )
                    made = Column(quantity, name, picked or "")
                if name != "–":
                    chosen.append(made)
    return tuple(chosen)


def _first(hour: WeatherHour, units: str) -> dict[str, str]:
    return {
        "Time": f"{hour.time:%d %b %H:%M}",
        "Wind": text(hour.wind_m_s, "m_s", units, 2),
        "Gust": text(hour.gust_m_s, "m_s", units, 2),
        "Humidity": text(hour.humidity_pct, "pct", units, 2),
        "Temperature": text(hour.temperature_c, "c", units, 2),
    }


def _keep(hours: tuple[WeatherHour, ...], issued: str | None, wind_at: str | None) -> None:
    """The hours become those of the site, and what it says of itself too; nothing typed beside them is overwritten by
    what it does not say."""
    state.typed("when.paste")  # which tells the browser that it has been taken
    names = {quantity: f"{quantity}_{unit}" for quantity, unit in STORED.items()} | {"wind_from": "wind_from_deg"}
    rows: list[dict[str, Any]] = []
    for hour in hours:
        row: dict[str, Any] = {"time": hour.time.isoformat(timespec="minutes")}
        row |= {name: round(value, 3) for name in names.values() if (value := getattr(hour, name)) is not None}
        rows.append(row)
    site = state.site()
    said = site.section("forecast").values.put(issued=issued, front_free_h=None)
    said = said if wind_at is None else said.put(wind_at=wind_at)
    state.edit("Forecast", site.with_member("forecast_hours", rows).with_member("forecast", said))
