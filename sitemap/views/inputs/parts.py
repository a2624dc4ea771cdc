"""A long list some at a time, with a choice of which: a browser draws some thousand things at ease."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TypeVar

import streamlit as st

Thing = TypeVar("Thing")


def shown(things: Sequence[Thing], what: str, key: str, most: int, more: str = "") -> Sequence[Thing]:
    """Those of a list that are shown now; all where they are few.

    what : the things by name, plural; key : of the choice; most : how many at a time; more : said beside it
    """
    if len(things) <= most:
        return things
    start = st.selectbox(
        f"{what} shown: {most} of {len(things):,} at a time{more}",
        range(0, len(things), most),
        format_func=lambda first: f"{first + 1:,} to {min(first + most, len(things)):,}",
        key=key,
    )
    return things[start : start + most]
