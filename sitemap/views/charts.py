"""Small own pictures in SVG: they need no script, print in black and white and fit a phone."""

from __future__ import annotations

import html
import math
from collections.abc import Sequence

import streamlit as st

from sitemap.units import rounded, to_display, unit_label

INK, SOFT, LINE = "#26302a", "#6b7568", "#b9beb2"


def svg(body: str, width: float, height: float, title: str) -> None:
    """Show a drawing that shrinks with the page."""
    st.image(
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width:g} {height:g}" width="{width:g}" '
        f'height="{height:g}" font-family="sans-serif" font-size="13"><title>{html.escape(title)}</title>{body}</svg>',
        width="content",
    )


def range_bars(
    rows: Sequence[tuple[str, float, float, float]],
    unit: str,
    units: str,
    title: str,
    most: int = 40,
    limit: float | None = None,
) -> None:
    """Bars from low to high with the likely value marked: (name, low, likely, high) in the stored unit.

    limit : a value not to be passed, drawn across every bar
    """
    shown = [
        (name, to_display(low, unit, units), to_display(likely, unit, units), to_display(high, unit, units))
        for name, low, likely, high in rows[:most]
    ]
    if not shown:
        return
    bound = None if limit is None else to_display(limit, unit, units)
    top = max(*(high for *_, high in shown), 1.15 * (bound or 0)) or 1.0
    mark = "" if bound is None else f'<s style="left:{100 * bound / top:.1f}%"></s>'
    bars = "".join(
        f'<div class="ps-bar-name">{html.escape(name)}</div><div class="ps-bar" role="img" '
        f'aria-label="{rounded(low, 2)} to {rounded(high, 2)}, likely {rounded(likely, 2)}">'
        f'<i style="left:{100 * low / top:.1f}%;width:{max(100 * (high - low) / top, 0.4):.1f}%"></i>'
        f'<b style="left:{100 * likely / top:.1f}%"></b>{mark}</div><div>{rounded(likely, 2)}</div>'
        for name, low, likely, high in shown
    )
    below = html.escape(f"{title} ({unit_label(unit, units)})")
    st.html(f'<div class="ps-bars">{bars}</div><div class="ps-note">{below}</div>')


def curves(
    lines: Sequence[tuple[str, Sequence[float], Sequence[float], str]],
    x_label: str,
    y_label: str,
    title: str,
    marks: Sequence[tuple[float, float, str]] = (),
) -> None:
    """Lines on one pair of axes: (name, x, y, dash), marks: (x, y, text)."""
    xs = [x for _, x_values, _, _ in lines for x in x_values] + [m[0] for m in marks]
    ys = [y for _, _, y_values, _ in lines for y in y_values] + [m[1] for m in marks]
    if not xs or not ys:
        return
    left, top, width, height = 56, 12, 440, 240
    x0, x1, y0, y1 = min(0.0, *xs), max(xs), min(0.0, *ys), max(ys)
    kx = (width - left - 20) / ((x1 - x0) or 1)
    ky = (height - top - 44) / ((y1 - y0) or 1)

    def px(x: float) -> float:
        return left + (x - x0) * kx

    def py(y: float) -> float:
        return height - 44 - (y - y0) * ky

    parts = [
        f'<line x1="{left}" y1="{py(0):.1f}" x2="{width - 20}" y2="{py(0):.1f}" stroke="{SOFT}"/>',
        f'<line x1="{left}" y1="{top}" x2="{left}" y2="{height - 44}" stroke="{SOFT}"/>',
        f'<text x="{width - 20}" y="{height - 10}" text-anchor="end" fill="{SOFT}">{html.escape(x_label)}</text>',
        f'<text x="{left + 6}" y="{top + 10}" fill="{SOFT}">{html.escape(y_label)}</text>',
    ]
    for value in (x0 + (x1 - x0) / 2, x1):
        parts.append(
            f'<text x="{px(value):.1f}" y="{height - 28}" text-anchor="middle" fill="{SOFT}">{rounded(value, 2)}</text>'
        )
    for value in (y0, y0 + (y1 - y0) / 2, y1):
        parts.append(
            f'<text x="{left - 6}" y="{py(value) + 4:.1f}" text-anchor="end" fill="{SOFT}">{rounded(value, 2)}</text>'
        )
    for name, x_values, y_values, dash in lines:
        points = " ".join(f"{px(x):.1f},{py(y):.1f}" for x, y in zip(x_values, y_values, strict=True))
        look = f'fill="none" stroke="{INK}" stroke-width="2" stroke-dasharray="{dash}"'
        parts.append(f'<polyline points="{points}" {look}/>')
        if x_values:
            at = len(x_values) * 3 // 4
            x, y = px(x_values[at]), py(y_values[at]) - 6
            parts.append(f'<text x="{x:.1f}" y="{y:.1f}" fill="{INK}">{html.escape(name)}</text>')
    for x, y, text in marks:
        parts.append(
            f'<circle cx="{px(x):.1f}" cy="{py(y):.1f}" r="5" fill="#fff" stroke="{INK}" stroke-width="2"/>'
            f'<text x="{px(x) + 9:.1f}" y="{py(y) - 8:.1f}" fill="{INK}" font-weight="600">{html.escape(text)}</text>'
        )
    svg("".join(parts), width, height, title)


def timeline(
    rows: Sequence[tuple[str, Sequence[tuple[float, float, str]], Sequence[tuple[float, str]]]],
    start: float,
    end: float,
    title: str,
) -> None:
    """Bars and marks over hours of the day: (name, [(from, to, text)], [(hour, text)])."""
    left, width, row = 90, 700, 58
    scale = (width - left - 16) / max(end - start, 0.1)
    parts = []
    for hour in range(math.ceil(start), int(end) + 1):
        x = left + (hour - start) * scale
        parts.append(
            f'<line x1="{x:.1f}" y1="16" x2="{x:.1f}" y2="{20 + len(rows) * row}" stroke="{LINE}" stroke-width=".7"/>'
            f'<text x="{x:.1f}" y="12" text-anchor="middle" fill="{SOFT}">{hour % 24:02d}</text>'
        )
    for number, (name, bars, marks) in enumerate(rows):
        y = 24 + number * row
        parts.append(f'<text x="4" y="{y + 14}" fill="{INK}" font-weight="600">{html.escape(name[:12])}</text>')
        for begin, stop, text in bars:
            x, long = left + (begin - start) * scale, max((stop - begin) * scale, 2)
            parts.append(
                f'<rect x="{x:.1f}" y="{y}" width="{long:.1f}" height="18" fill="#e9e2d0" stroke="{INK}"/>'
                f'<text x="{x + 4:.1f}" y="{y + 13}" fill="{INK}">{html.escape(text)}</text>'
            )
        for place, (moment, text) in enumerate(marks):
            x = left + (moment - start) * scale
            crowded = any(0 < later - moment < 100 / scale for later, _ in marks)
            anchor = "end" if crowded or x > width - 110 else "start"
            foot, beside = y + 24 + 12 * (place % 2), x + (3 if anchor == "start" else -3)
            parts.append(
                f'<line x1="{x:.1f}" y1="{y}" x2="{x:.1f}" y2="{foot}" stroke="{INK}" stroke-width="2"/>'
                f'<text x="{beside:.1f}" y="{foot + 8}" text-anchor="{anchor}" font-size="11" fill="{INK}">'
                f"{html.escape(text)}</text>"
            )
    svg("".join(parts), width, 30 + len(rows) * row, title)
