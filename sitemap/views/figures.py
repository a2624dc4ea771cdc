"""Figures on a page: a label, a value with its range that is never cut off, and where it comes from."""

from __future__ import annotations

import html
from collections.abc import Iterable

import streamlit as st

from sitemap.maps.symbols import VERDICTS

_BASIS = {"measured": "●", "estimated": "◐", "assumed": "○"}


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


def sign(effect: str) -> str:
    """The sign of a verdict."""
    return VERDICTS[effect].sign


def basis(word: str) -> str:
    """A basis with its sign: full, half or empty circle."""
    return f"{_BASIS.get(word, '?')} {word}"


STYLE = """
.ps-figs {display: grid; grid-template-columns: repeat(auto-fit, minmax(130px, 1fr)); gap: .6rem 1.2rem}
.ps-lab {font-size: .85rem; color: #4b4f46}
.ps-val {font-size: 1.35rem; line-height: 1.25; font-weight: 600; overflow-wrap: anywhere}
.ps-range {display: block; font-size: .85rem; font-weight: 400; color: #4b4f46}
.ps-note {font-size: .85rem; color: #4b4f46; margin-top: .3rem}
"""
