"""The pictures of the pages: bars of likely values, lines over a distance, the clock of a day. Drawn by a chart library
that comes with the page framework and needs no network; beside each stands a table with the same figures. A picture is
made and held against its schema once, and remembered: that takes longer than the rest of its page."""

from __future__ import annotations

import datetime as dt
import json
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

import altair as alt
import streamlit as st
from altair.utils import schemapi

from sitemap.units import rounded, to_display, unit_label
from sitemap.wording import with_unit

INK, SOFT, LIMIT, BAND = "#26302a", "#4b4f46", "#8b1a4a", "#c9cfbf"
PHASES = {"burning": "#e3c896", "water and rake": "#9cc3d5"}  # told apart in grey as well
_ROW_PX = 34  # height of a bar with its gap
_AXIS_PX = 46  # height of an axis with its words, and of a legend
MOST_KEPT = 64  # pictures remembered, a few kB each
alt.theme.enable("none")
schemapi.disable_debug_mode()  # a chart is held against its schema once, as a whole, when it is shown: not part by part


@dataclass(frozen=True)
class Span:
    """A stretch of a kiln's day; marks : (moment, word) of what must be done by then."""

    kiln: str
    begin: dt.datetime
    end: dt.datetime
    phase: str


def shown(chart: Any, key: str) -> None:
    """A chart as all of ours look."""
    _draw(_spec_of(chart), key)


def _spec_of(chart: Any) -> str:
    looks = chart.configure_axis(
        labelColor=INK,
        titleColor=INK,
        labelFontSize=13,
        titleFontSize=13,
        titleFontWeight="normal",
        gridColor="#dfe2d8",
    ).configure_view(strokeWidth=0)
    return str(looks.to_json(indent=None))


def _draw(spec: str, key: str) -> None:
    st.vega_lite_chart(json.loads(spec), key=key, width="stretch", theme=None)


def range_bars(
    rows: Sequence[tuple[str, float, float, float]],
    unit: str,
    units: str,
    title: str,
    key: str,
    limit: float | None = None,
) -> None:
    """Bars from low to high with the likely value marked and written: (name, low, likely, high) in the stored unit.

    limit : a value not to be passed, drawn across every bar
    """
    if rows:
        _draw(_range_bars(tuple(rows), unit, units, title, limit), key)


@lru_cache(maxsize=MOST_KEPT)
def _range_bars(
    rows: tuple[tuple[str, float, float, float], ...], unit: str, units: str, title: str, limit: float | None
) -> str:
    values = []
    for name, *ends in rows:
        low, likely, high = (to_display(end, unit, units) for end in ends)
        values.append({"name": name, "low": low, "likely": likely, "high": high, "said": rounded(likely, 2)})
    base = alt.Chart(alt.Data(values=values), height=_ROW_PX * (len(values) + 0.5) + _AXIS_PX)
    rows_apart = alt.Scale(paddingOuter=0.5)  # room for the figure above the first bar
    names = alt.Axis(labelLimit=170, labelFontWeight="bold", ticks=False)
    y = alt.Y("name:N", sort=None, title=None, axis=names, scale=rows_apart)
    x = alt.X(
        "low:Q", title=f"{title} ({unit_label(unit, units)})", axis=alt.Axis(tickCount=6), scale=alt.Scale(zero=True)
    )
    tips = [
        alt.Tooltip("name:N", title="Of"),
        *(alt.Tooltip(f"{end}:Q", title=end.capitalize(), format=".3~g") for end in ("low", "likely", "high")),
    ]
    # Above its tick, on white in its own shape: at the end of a bar it would read as that end.
    said = base.encode(x="likely:Q", y=y, text="said:N")
    layers = [
        base.mark_bar(size=13, color=BAND, stroke=SOFT, strokeWidth=1).encode(x=x, x2="high:Q", y=y, tooltip=tips),
        base.mark_tick(thickness=3, size=20, color=INK).encode(x="likely:Q", y=y, tooltip=tips),
        said.mark_text(baseline="bottom", dy=-9, fontSize=13, color="#fff", stroke="#fff", strokeWidth=4),
        said.mark_text(baseline="bottom", dy=-9, fontSize=13, color=INK),
    ]
    if limit is not None:
        bound = alt.Chart(alt.Data(values=[{"limit": to_display(limit, unit, units)}]))
        layers.append(bound.mark_rule(color=LIMIT, strokeDash=[5, 4], strokeWidth=2).encode(x="limit:Q"))
    return _spec_of(alt.layer(*layers))


def lines(
    drawn: Sequence[tuple[str, Sequence[float], Sequence[float]]],
    x_unit: tuple[str, str],
    y_unit: tuple[str, str],
    units: str,
    key: str,
    mark: tuple[float, float, str] | None = None,
) -> None:
    """Lines on one pair of axes: (name, x, y) in the stored units.

    x_unit, y_unit : (words of the axis, stored unit); mark : (x, y, words) of one point
    """
    whole = tuple((name, tuple(map(float, xs)), tuple(map(float, ys))) for name, xs, ys in drawn)
    if any(xs for _, xs, _ in whole):
        _draw(_lines(whole, x_unit, y_unit, units, mark), key)


@lru_cache(maxsize=MOST_KEPT)
def _lines(
    drawn: tuple[tuple[str, tuple[float, ...], tuple[float, ...]], ...],
    x_unit: tuple[str, str],
    y_unit: tuple[str, str],
    units: str,
    mark: tuple[float, float, str] | None,
) -> str:
    points = [
        {"name": name, "n": n, "x": to_display(x, x_unit[1], units), "y": to_display(y, y_unit[1], units)}
        for name, xs, ys in drawn
        for n, (x, y) in enumerate(zip(xs, ys, strict=True))
    ]
    names = [name for name, _, _ in drawn]
    several = len(names) > 1
    base = alt.Chart(alt.Data(values=points), height=220)
    axis_x, axis_y = (with_unit(words, unit, units) for words, unit in (x_unit, y_unit))
    dashes = alt.Scale(domain=names, range=[[1, 0], [6, 4]][: len(names)])
    legend = alt.Legend(title=None, orient="top", labelFontSize=13, symbolStrokeColor=INK, labelLimit=300)
    layers = [
        base.mark_line(color=INK, strokeWidth=2).encode(
            x=alt.X("x:Q", title=axis_x),
            y=alt.Y("y:Q", title=axis_y),
            order="n:Q",
            detail="name:N",
            strokeDash=alt.StrokeDash("name:N", sort=None, scale=dashes, legend=legend if several else None),
            tooltip=[alt.Tooltip("x:Q", title=axis_x, format=".3~g"), alt.Tooltip("y:Q", title=axis_y, format=".3~g")],
        )
    ]
    if mark is not None:
        at = [{"x": to_display(mark[0], x_unit[1], units), "y": to_display(mark[1], y_unit[1], units), "said": mark[2]}]
        dot = alt.Chart(alt.Data(values=at)).encode(x="x:Q", y="y:Q")
        layers.append(dot.mark_point(size=110, filled=True, fill="#fff", stroke=INK, strokeWidth=2, opacity=1))
        layers.append(dot.mark_text(align="left", dx=10, dy=-10, fontSize=13, fontWeight="bold").encode(text="said:N"))
    return _spec_of(alt.layer(*layers))


def clock(spans: Sequence[Span], key: str) -> None:
    """The day of each kiln as bars over the hours, by the clock of the place."""
    if spans:
        _draw(_clock(tuple(spans)), key)


@lru_cache(maxsize=MOST_KEPT)
def _clock(spans: tuple[Span, ...]) -> str:
    day = min(span.begin for span in spans).date()
    values = [
        {"kiln": s.kiln, "phase": s.phase, "begin": _hours(s.begin, day), "end": _hours(s.end, day), "said": _said(s)}
        for s in spans
    ]
    kilns = list(dict.fromkeys(span.kiln for span in spans))
    hours = "format(floor(datum.value % 24), '02') + ':' + format((datum.value % 1) * 60, '02d')"
    base = alt.Chart(alt.Data(values=values), height=(_ROW_PX + 6) * len(kilns) + 2 * _AXIS_PX)
    y = alt.Y("kiln:N", sort=kilns, title=None, axis=alt.Axis(labelFontWeight="bold", ticks=False, labelLimit=120))
    colours = alt.Scale(domain=list(PHASES), range=list(PHASES.values()))
    x = alt.X(
        "begin:Q",
        title=None,
        scale=alt.Scale(zero=False, nice=True),
        axis=alt.Axis(labelExpr=hours, tickMinStep=1, orient="top"),
    )
    bars = base.mark_bar(size=22, stroke=INK, strokeWidth=1).encode(
        x=x,
        x2="end:Q",
        y=y,
        color=alt.Color("phase:N", scale=colours, legend=alt.Legend(title=None, orient="bottom", labelFontSize=13)),
        tooltip=[
            alt.Tooltip("kiln:N", title="Kiln"),
            alt.Tooltip("phase:N", title="What"),
            alt.Tooltip("said:N", title="When"),
        ],
    )
    words = base.mark_text(align="left", dx=5, fontSize=13, color=INK).encode(x="begin:Q", y=y, text="said:N")
    return _spec_of(alt.layer(bars, words))


def _said(span: Span) -> str:
    """What stands in a bar: when it begins, where there is room for it."""
    return f"{span.begin:%H:%M}" if span.end - span.begin >= dt.timedelta(minutes=45) else ""


def _hours(moment: dt.datetime, day: dt.date) -> float:
    """Hours since midnight of a day, by the clock of the place."""
    return (moment.date() - day).days * 24 + moment.hour + moment.minute / 60


def places(found: Sequence[tuple[str, float, float]], key: str) -> None:
    """Where things lie on the Earth: (name, lon, lat) in degrees. North is up; a web map's projection."""
    values = [{"name": name, "lon": lon, "lat": lat} for name, lon, lat in found]
    base = alt.Chart(alt.Data(values=values)).encode(longitude="lon:Q", latitude="lat:Q")
    points = base.mark_point(filled=True, size=120, color=LIMIT).encode(tooltip="name:N")
    words = base.mark_text(align="left", dx=9, fontSize=13, color=INK).encode(text="name:N")
    shown((points + words).project("mercator").properties(height=320), key)
