"""From where the wind keeps smoke off: a compass for each kiln, the places round it, and what may arrive there."""

from __future__ import annotations

import html
import math

import streamlit as st

from sitemap.assessment import Assessment
from sitemap.reasons import metres
from sitemap.season.smoke_of_site import KilnSmoke
from sitemap.season.winds import Arc
from sitemap.telling import quantity_text, sentence
from sitemap.views.charts import BAND, INK, SOFT
from sitemap.views.figures import table
from sitemap.views.frame import plain

_R, _MID = 78, 110
_MOST = 9  # places drawn round one kiln; all of them stand in the table
_CAUTION = (
    "Do not quench or burn into a calm clear evening: the air hardly mixes then, smoke runs down the valley with the "
    "cold air and pools, whatever the wind of the day. A place down-valley of a kiln gets it first."
)


def show(a: Assessment) -> None:
    """A compass, a sentence and the places of every kiln."""
    if not a.smoke:
        st.info(
            "No place to keep smoke from is on the map: homes, schools, roads, stables. Draw them, or say none is near."
        )
        return
    with st.container(key="when.winds", horizontal=True):
        for each in a.smoke:
            st.image(compass(each), caption=f"Kiln {each.name}", width=220)
    st.caption("Striped: the wind must not come from there. Lines: towards the places, numbered as in the table.")
    for each in a.smoke:
        st.markdown(plain(sentence(each.told, a.source.units)))
    table(
        [
            {
                "Kiln": each.name,
                "Place": f"{number} {place.name}",
                "Away": quantity_text(metres(place.away_m, 2, "down"), a.source.units),
                "Towards": f"{place.bearing_deg:.0f}°",
                "By day": _order(place.by_day),
                "Calm clear evening": _order(place.on_a_calm_evening),
            }
            for each in a.smoke
            for number, place in enumerate(each.places, start=1)
        ]
    )
    st.caption(
        "Fine particles on the axis of the plume over one hour, in a slow wind of 2 m/s, if it blows that way: "
        "right to a factor of ten at best, and not to be held against a value for 24 hours. "
        "Nearer than 100 m no figure holds."
    )
    st.warning(_CAUTION)


def _order(micrograms: float) -> str:
    """A figure to its order of magnitude."""
    if micrograms < 1:
        return "below 1 µg/m³"
    return f"about {10 ** round(math.log10(micrograms)):,} µg/m³"


def compass(smoke: KilnSmoke) -> str:
    """The winds of one kiln as a drawing, told apart without colour."""
    parts = [
        '<defs><pattern id="bad" width="7" height="7" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">'
        f'<rect width="7" height="7" fill="#fff"/><rect width="3" height="7" fill="{SOFT}"/></pattern></defs>',
        f'<circle cx="{_MID}" cy="{_MID}" r="{_R}" fill="#fff" stroke="{INK}" stroke-width="1.5"/>',
    ]
    parts += [_sector(arc) for arc in smoke.bad]
    for word, bearing in (("N", 0), ("E", 90), ("S", 180), ("W", 270)):
        x, y = _at(bearing, _R + 14)
        parts.append(
            f'<text x="{x:.0f}" y="{y + 5:.0f}" text-anchor="middle" font-weight="700" fill="{INK}">{word}</text>'
        )
    for number, place in enumerate(smoke.places[:_MOST], start=1):
        x, y = _at(place.bearing_deg, _R - 22)
        parts.append(f'<line x1="{_MID}" y1="{_MID}" x2="{x:.1f}" y2="{y:.1f}" stroke="{INK}" stroke-width="2.5"/>')
        halo = 'stroke="#fff" stroke-width="4" paint-order="stroke"'
        parts.append(
            f'<text x="{x:.0f}" y="{y + 5:.0f}" text-anchor="middle" font-weight="700" {halo} fill="{INK}">'
            f"{number}</text>"
        )
    parts.append(f'<circle cx="{_MID}" cy="{_MID}" r="5" fill="{INK}" stroke="{BAND}"/>')
    size = 2 * _MID
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {size} {size}" width="{size}" height="{size}" '
        f'font-family="sans-serif" font-size="14"><title>Winds of kiln {html.escape(smoke.name)}</title>'
        f"{''.join(parts)}</svg>"
    )


def _sector(arc: Arc) -> str:
    begin, end = arc
    sweep = (end - begin) % 360 or 360.0
    if sweep >= 360:
        return f'<circle cx="{_MID}" cy="{_MID}" r="{_R}" fill="url(#bad)" stroke="{INK}"/>'
    (x1, y1), (x2, y2) = _at(begin, _R), _at(end, _R)
    return (
        f'<path d="M{_MID} {_MID} L{x1:.1f} {y1:.1f} A{_R} {_R} 0 {int(sweep > 180)} 1 {x2:.1f} {y2:.1f} Z" '
        f'fill="url(#bad)" stroke="{INK}" stroke-width="0.8"/>'
    )


def _at(bearing_deg: float, radius: float) -> tuple[float, float]:
    angle = math.radians(bearing_deg)
    return _MID + radius * math.sin(angle), _MID - radius * math.cos(angle)
