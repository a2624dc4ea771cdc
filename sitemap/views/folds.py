"""Folds whose inside is made only while they are open: what nobody looks at costs neither computer nor phone."""

from __future__ import annotations

from collections.abc import Callable

import streamlit as st
from streamlit.delta_generator import DeltaGenerator

from sitemap.views import state
from sitemap.views.plainly import plain

_ASKED_FOR = "folds asked for"
_BESIDE = [3, 7]  # parts of the width


def fold(label: str, key: str, inside: Callable[[], object], *, shut: str = "", first_open: bool = False) -> None:
    """A fold, shut until somebody opens it.

    label : what it is called
    key : names it on its page
    inside : makes what stands in it
    shut : words after the label that change with what is typed inside, like a count. They stand only while it is shut:
        the framework knows a fold by its label too, and another label is another fold, which takes the typing hand away
    first_open : it stands open when its page is opened
    """
    is_open = bool(st.session_state.get(key, first_open or key in state.remember(_ASKED_FOR, ())))
    st.session_state[key] = is_open  # kept by its key alone, whatever its label says now
    box = st.expander(label if is_open else label + shut, key=key, on_change="rerun")
    if box.open:
        with box:
            inside()


def in_row(key: str, count: int) -> list[DeltaGenerator]:
    """Places for folds beside each other; one that is opened takes the whole width, and on a phone all have it."""
    with st.container(key=f"row.{key}"):
        return list(st.columns(count))


def beside(key: str) -> list[DeltaGenerator]:
    """A narrow place for words and a wide one for the picture they are about; on a phone one above the other."""
    with st.container(key=f"beside.{key}"):
        return list(st.columns(_BESIDE, gap="medium"))


def unfold(keys: tuple[str, ...]) -> None:
    """The folds of these keys stand open when their page is made next, whatever page is made in between."""
    state.put(_ASKED_FOR, keys)
    for key in keys:
        st.session_state[key] = True


def once_filled(title: str, told: str, key: str, inside: Callable[[], object], *, filled: bool) -> None:
    """A fold that is shut from the start where what it asks for is typed, and then tells what is in it. What is being
    typed in is not folded away.

    title, told : words of its line, and what is in it, in a person's own words
    key, inside : as of a fold
    filled : whether it is all typed, when the page opens for the first time
    """
    mark = f"{key}.{state.kept().link}"
    first = state.remember(mark, None)
    if first is None:  # said once
        first = not filled
        state.put(mark, first)
    fold(f"**{title}**", key, inside, shut=f": {plain(told)}" if told else "", first_open=first)
