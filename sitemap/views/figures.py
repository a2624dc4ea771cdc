"""Figures on a page: labels with values, tables that fit a phone, verdicts that read without colour.

All of it is our own HTML, every text escaped: a name is never markup.
"""

from __future__ import annotations

import html
from collections.abc import Iterable, Mapping, Sequence

import streamlit as st

from sitemap.maps.symbols import VERDICTS
from sitemap.units import text


def figures(pairs: Iterable[tuple[str, str]], note: str = "") -> None:
    """Labels with values, as many beside each other as fit."""
    cells = "".join(
        f'<div class="ps-fig"><div class="ps-lab">{html.escape(label)}</div>'
        f'<div class="ps-val">{_likely_and_range(value)}</div></div>'
        for label, value in pairs
    )
    below = f'<div class="ps-note">{html.escape(note)}</div>' if note else ""
    st.html(f'<div class="ps-figs">{cells}</div>{below}')


def _likely_and_range(value: str) -> str:
    likely, bracket, rest = html.escape(value).partition(" (")
    return f"{likely}<span class='ps-range'>{bracket.strip()}{rest}</span>" if bracket else likely


def table(rows: Sequence[Mapping[str, str]], caption: str = "") -> None:
    """Rows with the same columns; on a phone each row becomes a card, so that nothing is cut off."""
    if not rows:
        return
    heads = list(rows[0])
    head = "".join(f'<th scope="col">{html.escape(name)}</th>' for name in heads)
    body = "".join(
        "<tr>" + "".join(_cell(n, name, row[name]) for n, name in enumerate(heads)) + "</tr>" for row in rows
    )
    above = f"<caption>{html.escape(caption)}</caption>" if caption else ""
    st.html(f'<table class="ps-table">{above}<thead><tr>{head}</tr></thead><tbody>{body}</tbody></table>')


def _cell(number: int, name: str, value: str) -> str:
    shown = html.escape(value)
    if number == 0:
        return f'<th scope="row">{shown}</th>'
    return f'<td><span class="ps-name" aria-hidden="true">{html.escape(name)}</span><span>{shown}</span></td>'


def verdict(effect: str, words: str, reason: str = "", *, large: bool = False) -> None:
    """A verdict: its sign in a frame of its own shape, the words, and the reason below."""
    st.html(verdict_html(effect, words, reason, large=large))


def verdict_html(effect: str, words: str, reason: str = "", *, large: bool = False) -> str:
    """The same as HTML, to be set together with others."""
    mark = VERDICTS[effect]
    kind = f"ps-verdict ps-{mark.ring}" + (" ps-large" if large else "")
    below = f'<div class="ps-why">{html.escape(reason)}</div>' if reason else ""
    return (
        f'<div class="{kind}"><span class="ps-sign" style="color:{mark.colour};border-color:{mark.colour}" '
        f'aria-hidden="true">{mark.sign}</span><div><strong>{html.escape(words)}</strong>{below}</div></div>'
    )


def height_text(lift_m: float | None, system: str, below: str = "below", above: str = "above") -> str:
    """How high one thing stands over another, without a minus sign.

    >>> height_text(-1.5, "metric"), height_text(2.0, "metric"), height_text(None, "metric")
    ('1.5 m below', '2 m above', 'not known')
    """
    if lift_m is None:
        return "not known"
    return f"{text(abs(lift_m), 'm', system, 2)} {below if lift_m < 0 else above}" if lift_m else "level"


def sign(effect: str) -> str:
    """The sign of a verdict."""
    return VERDICTS[effect].sign


STYLE = """
.ps-figs {display: grid; grid-template-columns: repeat(auto-fit, minmax(130px, 1fr)); gap: .6rem 1.2rem}
.ps-lab {font-size: .85rem; color: #4b4f46}
.ps-val {font-size: 1.35rem; line-height: 1.25; font-weight: 600; overflow-wrap: anywhere}
.ps-wrong {color: #8b1a4a; font-size: .95rem; font-weight: 600; overflow-wrap: anywhere}
.ps-range {display: block; font-size: .85rem; font-weight: 400; color: #4b4f46}
.ps-note {font-size: .85rem; color: #4b4f46; margin-top: .3rem}
.ps-table {width: 100%; border-collapse: collapse; font-size: .92rem}
.ps-table caption {text-align: left; color: #4b4f46; padding-bottom: .3rem}
.ps-table th, .ps-table td {text-align: left; vertical-align: top; padding: .4rem .7rem .4rem 0;
  border-bottom: 1px solid #dfe2d8; overflow-wrap: anywhere}
.ps-table thead th {font-weight: 400; color: #4b4f46; overflow-wrap: normal}
.ps-table tbody th {font-weight: 600}
.ps-name {display: none}
.ps-verdict {display: flex; gap: .6rem; align-items: flex-start; margin: .15rem 0}
.ps-sign {flex: none; width: 1.6rem; height: 1.6rem; line-height: 1.35rem; text-align: center; font-weight: 700;
  border: 2px solid; border-radius: 50%; background: #fff}
.ps-half .ps-sign {border-style: dashed}
.ps-cross .ps-sign {border-radius: 3px; border-width: 3px; line-height: 1.2rem}
.ps-large strong {font-size: 1.1rem}
.ps-why {color: #3d423a; overflow-wrap: anywhere}
.ps-bars {display: grid; grid-template-columns: minmax(4rem, max-content) 1fr max-content; gap: .35rem .7rem;
  align-items: center; font-size: .92rem; max-width: 60rem}
.ps-bar-name {font-weight: 600; max-width: 9rem; overflow-wrap: anywhere}
.ps-bar {position: relative; height: 1.2rem; border-left: 1px solid #b9beb2}
.ps-bar i {position: absolute; top: .35rem; height: .5rem; box-sizing: border-box; background: #cfd4c8;
  border: 1px solid #7d8578}
.ps-bar s {position: absolute; top: -.2rem; height: 1.6rem; border-left: 2px dashed #8b1a4a}
.ps-bar b {position: absolute; top: 0; height: 1.2rem; width: 3px; margin-left: -1px; background: #26302a}
@media (max-width: 640px) {
  .ps-table thead {position: absolute; clip-path: inset(50%)}
  .ps-table, .ps-table tbody, .ps-table tr, .ps-table th, .ps-table td {display: block; border: 0; padding: .1rem 0}
  .ps-table tr {border-bottom: 1px solid #c9cec2; padding: .45rem 0}
  .ps-table tbody th {font-size: 1rem}
  .ps-table td {display: flex; gap: .6rem}
  .ps-table td span {min-width: 0}
  .ps-name {display: inline; flex: 0 0 8.5rem; color: #4b4f46}
}
"""
