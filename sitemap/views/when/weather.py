"""The air the slash dries in: its months typed, its days or hours brought from a record."""

from __future__ import annotations

import datetime as dt

import streamlit as st

from sitemap.assessment import Assessment
from sitemap.season.climate import climate_of
from sitemap.season.days import Record, record_of
from sitemap.season.hours import WeatherHour
from sitemap.season.months import months_from
from sitemap.site.frozen import thaw
from sitemap.views import state
from sitemap.views.folds import fold
from sitemap.views.inputs import lists
from sitemap.views.when.bring import AIR, brought, taken

NOT_FORESEEN = "When a heap will be dry, or wet again, is not foreseen: that takes"
_EXAMPLE = {
    "metric": "date,temp (°C),humidity %,rain (mm)\n2026-05-01,12,65,0",
    "us": "date,temp (°F),humidity %,rain (in)\n2026-05-01,54,65,0",
}


def show(a: Assessment) -> None:
    """The months and the record, folded; a press takes what was brought."""
    filled, days = len(a.source.records("climate")), _dates(a)
    told = f"{filled} of 12 months" + (f", {len(days)} days recorded" if days else "")
    lacking = climate_of(a.source) is None

    def climate() -> None:
        if lacking:
            st.markdown(f"{NOT_FORESEEN} the weather of its months or days.")
        _bring(a, days)
        st.markdown("**Months**")
        lists.records(
            "climate",
            "Means of the air month by month, from the nearest station or a climate table. A month that is missing "
            "counts as its recorded days, else as the dampest of the others.",
        )

    title = "Drying weather"
    fold(title, "when.climate", climate, shut=": none yet, no dry day foreseen" if lacking else f": {told}")


def _dates(a: Assessment) -> list[dt.date]:
    return sorted(on for each in a.source.records("weather_days") if (on := each.date("date")) is not None)


def _bring(a: Assessment, days: list[dt.date]) -> None:
    st.caption(
        "Days or hours of a station, also a forecast of the days to come: drying runs through each as it was, and rain "
        "of that day wets again; all other days go by the months."
    )
    if days:
        st.markdown(f"**{len(days)} days recorded**, {days[0]:%d %b %Y} to {days[-1]:%d %b %Y}")
        st.button("Take the recorded days away", key="when.days.drop", on_click=state.guarded(_drop))
    found = brought("when.days", _EXAMPLE[a.source.units], a.source, AIR)
    if found is None:
        return
    record = record_of(found.hours, a.source.timezone)
    _say(record)
    with st.container(horizontal=True, key="when.days.take"):
        st.button(
            f"That is right: dry through these {len(record.rows)} days",
            key="when.days.keep",
            type="primary",
            disabled=not record.rows,
            on_click=state.guarded(_keep_days),
            args=(record,),
        )
        if months_from(found.hours):
            st.button(
                "Take it as the weather of its months",
                key="when.months",
                on_click=state.guarded(_keep_months),
                args=(found.hours,),
            )


def _say(record: Record) -> None:
    """What of it cannot be used."""
    if record.gaps:
        st.warning(f"{record.gaps} days between its first and last tell of less than 18 hours: they go by the months.")
    if record.left_out:
        st.warning(f"{record.left_out} values no air has (such as −999) are left out.")
    if not record.rows:
        st.warning("No day has temperature and humidity for 18 of its hours: nothing can be kept.")


def _keep_days(record: Record) -> None:
    """The days of the record take the place of the same dates; the others stay."""
    taken("when.days")
    site = state.site()
    new = {row["date"]: dict(row) for row in record.rows}
    kept = [row for each in site.records("weather_days") if (row := thaw(each.values)).get("date") not in new]
    rows = sorted([*kept, *new.values()], key=lambda row: str(row.get("date")))
    state.edit(f"Weather of {len(new)} days", site.with_member("weather_days", rows))


def _drop() -> None:
    state.edit("Recorded days taken away", state.site().with_member("weather_days", None))


def _keep_months(hours: tuple[WeatherHour, ...]) -> None:
    """The months the record tells of take the place of those typed; the others stay."""
    taken("when.days")
    site = state.site()
    new = {row["month"]: row for row in months_from(hours)}
    kept = [dict(each.values) for each in site.records("climate") if each.integer("month") not in new]
    rows = sorted([*kept, *new.values()], key=lambda row: row.get("month") or 0)
    state.edit("Weather of the months", site.with_member("climate", rows))
