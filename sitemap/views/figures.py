"""Figures on a page: labels with values, tables that fit a phone, verdicts that read without colour.

All of it is our own HTML, every text escaped: a name is never markup.
"""

from __future__ import annotations

import base64
import html
import re
from collections.abc import Iterable, Mapping, Sequence

import streamlit as st

from sitemap.maps.symbols import VERDICTS
from sitemap.telling.unbroken import unbroken
from sitemap.units import text
from sitemap.wording import listed

_NUMBER = re.compile(r"([\d.,]*\d)\s?([^\d\s.,].*)")
_RANGED = re.compile(r"(.+) (\([\d.,]+–[\d.,]+\))")  # a figure with its range, alone in a cell
_MM, _SHEET_MM = re.compile(r"<svg[^>]* width=\"([\d.]+)mm\""), 186
_FEW, _BESIDE = 3, 5  # rows that stand beside each other on a phone, and columns
_SENTENCE = 42  # letters: a table with longer cells is read as cards on a phone


def _told(words: str) -> str:
    """Words as HTML; a figure keeps its unit on its line."""
    return html.escape(unbroken(words, ""))


def figures(pairs: Iterable[tuple[str, str]], note: str = "") -> None:
    """Labels with values, as many beside each other as fit."""
    cells = "".join(
        f'<div class="ps-fig"><div class="ps-lab">{_told(label)}</div>'
        f'<div class="ps-val">{_likely_and_range(value)}</div></div>'
        for label, value in pairs
    )
    below = f'<div class="ps-note">{_told(note)}</div>' if note else ""
    st.html(f'<div class="ps-figs">{cells}</div>{below}')


def _likely_and_range(value: str) -> str:
    """A figure with its unit smaller and its range in a line of its own; other words as they are."""
    likely, bracket, rest = _told(value).partition(" (")
    number = _NUMBER.match(likely)
    if number:
        likely = f"{number[1]} <span class='ps-unit'>{number[2]}</span>"
    return f"{likely} <span class='ps-range'>{bracket.strip()}{rest}</span>" if bracket else likely


def table(rows: Sequence[Mapping[str, str]], caption: str = "", *, tight: bool = False) -> None:
    """Rows with the same columns; on a phone rows with sentences become cards, so that nothing is cut off.

    tight : on a card the last column needs no name, and of three the second stands beside the first
    """
    if rows:
        st.html(_table_html(rows, caption, tight=tight))


def alike(rows: Sequence[Mapping[str, str]]) -> list[dict[str, str]]:
    """Rows in which nothing but the kiln differs become one, with the names of all."""
    kilns: dict[tuple[str, ...], list[str]] = {}
    for kiln, *figures_of in (tuple(row.values()) for row in rows):
        kilns.setdefault(tuple(figures_of), []).append(kiln)
    heads = list(rows[0]) if rows else []
    return [dict(zip(heads, (listed(names, len(names)), *same), strict=True)) for same, names in kilns.items()]


def beside(pictures: Iterable[tuple[str, str]], rows: Sequence[Mapping[str, str]]) -> None:
    """Small pictures and a table of the same things, beside each other where there is room.

    pictures : each as SVG, with the words below it; where there is one alone, a phone has its row as lines beside it
    """
    shown = "".join(
        f'<figure><img alt="" src="{_data(svg)}"><figcaption>{_told(words)}</figcaption></figure>'
        for svg, words in pictures
    )
    alone = " ps-alone" if len(rows) == 1 else ""
    st.html(f'<div class="ps-beside{alone}">{shown}<div>{_table_html(rows)}</div></div>')


def _table_html(rows: Sequence[Mapping[str, str]], caption: str = "", *, tight: bool = False) -> str:
    heads = list(rows[0])
    figures_only = all(len(cell) < _SENTENCE for row in rows for cell in row.values())
    head = "".join(f'<th scope="col">{_told(name)}</th>' for name in heads)
    body = "".join(
        "<tr>" + "".join(_cell(n, name, row[name]) for n, name in enumerate(heads)) + "</tr>" for row in rows
    )
    above = f"<caption>{_told(caption)}</caption>" if caption else ""
    rest = f"{above}<thead><tr>{head}</tr></thead><tbody>{body}</tbody></table>"
    if figures_only:  # on a phone it is turned where it has few rows, else moved sideways below its first column
        turned = " ps-turned" if len(rows) <= _FEW and len(heads) > _BESIDE else ""
        wide = f'style="--columns: {len(heads)}" tabindex="0" role="group" aria-label="Table"'
        return f'<div class="ps-scroll{turned}" {wide}><table class="ps-table">{rest}</table></div>'
    return f'<table class="ps-table ps-cards{" ps-tight" if tight else ""}">{rest}</table>'


def _cell(number: int, name: str, value: str) -> str:
    ranged = _RANGED.fullmatch(value)
    shown = _told(value)
    if ranged:
        shown = f"{_told(ranged[1])} <span class='ps-range'>{_told(ranged[2])}</span>"
    if number == 0:
        return f'<th scope="row">{shown}</th>'
    return f'<td><span class="ps-name" aria-hidden="true">{_told(name)}</span><span>{shown}</span></td>'


def verdict(effect: str, words: str, reason: str = "", *, large: bool = False) -> None:
    """A verdict: its sign in a frame of its own shape, the words, and the reason below; a large one is a heading."""
    st.html(verdict_html(effect, words, reason, large=large))


def verdict_html(effect: str, words: str, reason: str = "", *, large: bool = False) -> str:
    """The same as HTML, to be set together with others."""
    mark = VERDICTS[effect]
    kind = f"ps-verdict ps-{mark.ring}" + (" ps-large" if large else "")
    below = f'<div class="ps-why">{_told(reason)}</div>' if reason else ""
    head = ' role="heading" aria-level="4"' if large else ""
    strong = f"<strong{head}>{_told(words)}</strong>" if words else ""
    return (
        f'<div class="{kind}"><span class="ps-sign" style="color:{mark.colour};border-color:{mark.colour}" '
        f'aria-hidden="true">{mark.sign}</span><div>{strong}{below}</div></div>'
    )


def spoken(sign: str, words: str) -> str:
    """The label of a button that is a sign, with words that are heard and not seen: the style of `frame` hides them."""
    return f"{sign} :gray[{words}]"


def weekday(name: str) -> None:
    """The day of the week of a date, within its field: people plan by it. Nothing where there is none."""
    if name:
        st.html(f'<div class="ps-day">{_told(name)}</div>')


def wrong(words: str) -> None:
    """What is wrong with something typed, right below it; nothing where nothing is."""
    if words:
        st.html(f'<div class="ps-wrong" role="alert">{_told(words)}</div>')


def height_text(lift_m: float | None, system: str, below: str = "below", above: str = "above") -> str:
    """How high one thing stands over another, without a minus sign.

    >>> height_text(-1.5, "metric"), height_text(2.0, "metric"), height_text(None, "metric")
    ('1.5 m below', '2 m above', 'not known')
    """
    if lift_m is None:
        return "not known"
    return f"{text(abs(lift_m), 'm', system, 2)} {below if lift_m < 0 else above}" if lift_m else "level"


def drawing(svg: str | None, alt: str) -> None:
    """A picture of the papers; what is wider than a phone is moved sideways there, under a shade at its edge."""
    if svg is None:
        return
    told, wide = _told(alt), _MM.search(svg)
    size = f"--mm: {wide[1] if wide else _SHEET_MM}"
    st.html(
        f'<div class="ps-drawn" tabindex="0" role="group" aria-label="{told}">'
        f'<img alt="{told}" style="{size}" src="{_data(svg)}"></div>'
    )


def _data(svg: str) -> str:
    """A picture as an address that holds all of it."""
    return f"data:image/svg+xml;base64,{base64.b64encode(svg.encode()).decode()}"


def sign(effect: str) -> str:
    """The sign of a verdict."""
    return VERDICTS[effect].sign


STYLE = """
.ps-figs {display: grid; grid-template-columns: repeat(auto-fit, minmax(118px, 1fr)); gap: .5rem 1.2rem}
.ps-lab {font-size: .875rem; color: #3d423a}
.ps-val {font-size: 1.35rem; line-height: 1.25; font-weight: 600; overflow-wrap: anywhere}
.ps-unit {font-size: .875rem}
.ps-wrong {color: #7d1743; font-size: .95rem; font-weight: 600; overflow-wrap: anywhere}
.ps-range {font-size: .875rem; font-weight: 400; color: #3d423a; white-space: nowrap}
.ps-val .ps-range {display: block}
.ps-note {font-size: .875rem; color: #3d423a; margin-top: .3rem}
.ps-table {width: 100%; border-collapse: collapse; font-size: .95rem; font-variant-numeric: tabular-nums}
.ps-table caption {text-align: left; color: #3d423a; padding-bottom: .3rem}
.ps-table th, .ps-table td {text-align: left; vertical-align: top; padding: .35rem .8rem .35rem 0;
  border-bottom: 1px solid #dfe2d8; overflow-wrap: anywhere}
.ps-table thead th {font-weight: 400; font-size: .875rem; color: #3d423a; overflow-wrap: normal; vertical-align: bottom}
.ps-table tbody th {font-weight: 600}
.st-key-panel-batches .ps-range {display: block}
.ps-name {display: none}
.ps-verdict {display: flex; gap: .6rem; align-items: flex-start; margin: .15rem 0}
.ps-sign {flex: none; width: 1.6rem; height: 1.6rem; line-height: 1.35rem; text-align: center; font-weight: 700;
  border: 2px solid; border-radius: 50%; background: #fff}
.ps-half .ps-sign {border-style: dashed}
.ps-cross .ps-sign {border-radius: 3px; border-width: 3px; line-height: 1.2rem}
.ps-large strong {font-size: 1.1rem}
.ps-why {color: #26302a; overflow-wrap: anywhere}
.ps-beside {display: flex; flex-wrap: wrap; gap: .5rem 1rem; align-items: flex-start}
.ps-beside > div {flex: 1 1 26rem; min-width: 0}
.ps-beside figure {margin: 0; width: 6.5rem; text-align: center}
.ps-beside img {width: 100%; display: block}
.ps-beside figcaption {font-size: .875rem; color: #3d423a; overflow-wrap: anywhere}
.ps-drawn {overflow-x: auto; background: #fff}
.ps-drawn img {display: block; width: 100%; min-width: calc(var(--mm) * .206rem); max-width: calc(var(--mm) * .32rem);
  mix-blend-mode: multiply}
@media (max-width: 640px) {
  .ps-figs {grid-template-columns: repeat(3, 1fr); gap: .5rem .8rem}
  .ps-scroll, .ps-drawn {overflow-x: auto;
    background: linear-gradient(to left, #fff 50%, #fff0) right / 3rem 100% no-repeat local,
    linear-gradient(to left, #26302a73, #26302a00) right / 1rem 100% no-repeat scroll, #fff}
  .ps-scroll :is(th, td) {overflow-wrap: normal}
  .ps-scroll table {font-size: .875rem; min-width: calc(var(--columns) * 3.6rem)}
  .ps-scroll tbody th {position: sticky; left: 0; background: #fff; min-width: 4rem}
  .ps-table:not(.ps-cards) :is(th, td) {padding-right: .5rem}
  .ps-cards thead {position: absolute; clip-path: inset(50%)}
  .ps-cards, .ps-cards :is(tbody, tr, th, td) {display: block; border: 0; padding: .1rem 0}
  .ps-cards tr {border-bottom: 1px solid #c9cec2; padding: .45rem 0}
  .ps-cards tbody th {font-size: 1rem}
  .ps-cards td {display: flex; gap: .6rem}
  .ps-cards td > span {min-width: 0}
  .ps-table:not(.ps-cards) .ps-range {display: block}
  .ps-turned table {display: grid; grid-auto-flow: column; grid-template-rows: repeat(var(--columns), auto);
    grid-template-columns: minmax(5.5rem, 8.5rem); grid-auto-columns: minmax(0, 1fr); min-width: 0}
  .ps-turned :is(thead, tbody, tr) {display: contents}
  .ps-turned tbody th {position: static; min-width: 0}
  .ps-turned :is(th, td) {overflow-wrap: anywhere}
  .ps-alone > div {flex-basis: 12rem}
  .ps-alone .ps-scroll table {display: grid; grid-template-columns: 5.5rem 1fr; grid-auto-flow: column;
    grid-template-rows: repeat(var(--columns), auto); min-width: 0}
  .ps-alone :is(thead, tbody, tr) {display: contents}
  .ps-alone .ps-scroll tbody th {position: static; min-width: 0}
  .ps-alone .ps-scroll :is(th, td) {padding-top: .1rem; padding-bottom: .1rem}
  .ps-name {flex: 0 0 6rem; color: #3d423a}
  .ps-cards .ps-name {display: inline}
  .ps-tight :is(tbody th, td:nth-child(2):not(:last-child)) {display: inline}
  .ps-tight td:nth-child(2):not(:last-child) {padding-left: .6rem}
  .ps-tight td:nth-child(2):not(:last-child) .ps-name {padding-right: .3rem}
  .ps-tight td:last-child .ps-name {display: none}
}
"""
