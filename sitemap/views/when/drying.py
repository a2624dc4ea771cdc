"""The course of a heap as a picture: its readings, the limit, the permit, and the days whose weather is known."""

from __future__ import annotations

import datetime as dt

import altair as alt
import streamlit as st

from sitemap.assessment import Assessment
from sitemap.season.climate import runs_of, told_of
from sitemap.season.drying_of_site import HeapDrying
from sitemap.slash.moisture import wet_basis
from sitemap.telling import sentence
from sitemap.units import text
from sitemap.views import charts
from sitemap.views.folds import fold
from sitemap.views.frame import plain

_DAYS_BEFORE = 60  # of the past that are drawn
_STEP_D = 3  # a point every so many days: a curve needs no more


def show(a: Assessment, heap: str) -> None:
    """The picture of one heap, and how it is read; nothing where nothing is foreseen of it. heap : its id"""
    found = next((each for each in a.drying if each.heap == heap), None)
    if found is None:
        return
    _picture(a, found)
    st.caption(plain(sentence(told_of(found.recorded), a.source.units)) + " Measure before you trust it.")

    def how() -> None:
        st.caption(
            f"Slowest place: {found.place}, one time-lag {text(found.lag_h / 24, 'count', a.source.units, 2)} days. "
            "Band: eight times out of ten. Dashed: without any reading. Points: the mean of a day's readings, which "
            "pull the curve. Dotted: at or below it nine pieces of ten are dry enough. Shaded: the permit. Thick line "
            "below: days as recorded."
        )

    fold("How to read the picture", "when.drying.how", how)


def _picture(a: Assessment, found: HeapDrying) -> None:
    today = a.today or a.on or found.first
    begins = max((today - found.first).days - _DAYS_BEFORE, 0)
    begins = min([begins, *(read.day for read in found.reads)])
    rows = [
        {
            "day": (found.first + dt.timedelta(days=n)).isoformat(),
            "low": _pct(found.moisture.low[n]),
            "likely": _pct(found.moisture.likely[n]),
            "high": _pct(found.moisture.high[n]),
            "before": _pct(found.moisture.before[n]),
        }
        for n in range(begins, len(found.moisture.likely), _STEP_D)
    ]
    x = alt.X("day:T", title=None)
    base = alt.Chart(alt.Data(values=rows), height=260).encode(x=x)
    y = alt.Y("low:Q", title="Moisture (% of the wet weight)", scale=alt.Scale(zero=True))
    layers = [
        *_window(a),
        base.mark_area(color=charts.BAND, opacity=0.7).encode(y=y, y2="high:Q"),
        base.mark_line(color=charts.SOFT, strokeDash=[6, 4]).encode(y="before:Q"),
        base.mark_line(color=charts.INK, strokeWidth=2).encode(y="likely:Q"),
        alt.Chart(alt.Data(values=[{"limit": _pct(found.limit)}]))
        .mark_rule(color=charts.LIMIT, strokeDash=[2, 3], strokeWidth=2)
        .encode(y="limit:Q"),
    ]
    reads = [
        {"day": (found.first + dt.timedelta(days=read.day)).isoformat(), "read": _pct(read.value)}
        for read in found.reads
    ]
    if reads:
        dots = alt.Chart(alt.Data(values=reads)).encode(x=x, y="read:Q")
        layers.append(dots.mark_point(size=90, filled=True, fill="#fff", stroke=charts.INK, strokeWidth=2, opacity=1))
    if found.recorded:
        spans = [
            {"first": begin.isoformat(), "end": end.isoformat(), "at": 0} for begin, end in runs_of(found.recorded)
        ]
        days = alt.Chart(alt.Data(values=spans)).encode(x="first:T", x2="end:T", y="at:Q")
        layers.append(days.mark_rule(color=charts.INK, strokeWidth=6))
    if found.ready is not None and found.ready > today:  # what is past is seen on the curve
        at = alt.Chart(alt.Data(values=[{"day": found.ready.isoformat(), "said": f"dry {found.ready:%d %b}"}])).encode(
            x=x
        )
        layers.append(at.mark_rule(color=charts.INK))
        layers.append(
            at.mark_text(align="left", dx=5, dy=6, y=0, baseline="top", fontWeight="bold", fontSize=13).encode(
                text="said:N"
            )
        )
    charts.shown(alt.layer(*layers), f"when.drying.{found.heap}")


def _window(a: Assessment) -> list[alt.Chart]:
    """The days of the permit, behind all."""
    permit = a.source.section("permit")
    first, last = permit.date("from"), permit.date("to")
    if first is None or last is None:
        return []
    days = alt.Chart(alt.Data(values=[{"first": first.isoformat(), "last": last.isoformat()}]))
    return [days.mark_rect(color="#eef0ea").encode(x="first:T", x2="last:T")]


def _pct(dry_basis: float) -> float:
    return round(100 * float(wet_basis(min(float(dry_basis), 3.0))), 2)
