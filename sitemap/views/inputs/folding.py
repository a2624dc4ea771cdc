"""Parts of a page that fold away once what they ask for is typed."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

import streamlit as st

from sitemap.views import state
from sitemap.views.frame import plain


@contextmanager
def once_filled(title: str, told: str, key: str, *, filled: bool) -> Iterator[None]:
    """A part that is folded from the start where it is filled; its line then tells what is in it. What is being typed
    in is not folded away.

    title, told : words of the line, and what is in the part, in a person's own words; filled : when the page opens
    """
    mark = f"{key}.{state.kept().link}"
    folded = state.remember(mark, None)
    if folded is None:  # said once
        folded = filled
        state.put(mark, folded)
    with st.expander(f"**{title}{': ' if told else ''}{plain(told)}**", expanded=not folded, key=key):
        yield
