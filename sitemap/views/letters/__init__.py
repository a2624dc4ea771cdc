"""Letters typed in the fields of the app are never lost: not by a page loaded anew or left, nor by a server gone.

A script in the frame of the app puts aside what is typed, with every letter, in the browser's own storage. The fields
hand it over when the hand rests (`state.text`); the server says what it has taken, and only then is it cleared away.
What did not arrive is put back into its field, unless the field was changed elsewhere since: then both are offered.
"""

from __future__ import annotations

from pathlib import Path

import streamlit as st

from sitemap.maps.bundle import bundle
from sitemap.maps.framework import APP_STATES, DIALOG_CLOSE, PARTS
from sitemap.views import state

_HERE = Path(__file__).parent
STYLE = (_HERE / "letters.css").read_text(encoding="utf-8")

RUN = "turn"  # counts the runs of a page
NEW_WORDS = "new words"  # keys of the choices that take them, as far as they were shown

_letters = st.components.v2.component("pitstead_letters", js=bundle(_HERE / "letters.js"))


def follow() -> None:
    """Tell the browser what was taken; called at the end of every run, when all fields stand."""
    _letters(
        key="letters",
        data={
            "site": state.kept().link,
            "run": state.remember(RUN, 0),  # so that each is told of, whatever it took
            "heard": {} if state.trouble() else state.heard_letters(),
            "choices": sorted(state.remember(NEW_WORDS, set())),
            "place": PARTS["element"],
            "app": PARTS["app"],
            "close": DIALOG_CLOSE,
            **APP_STATES,
        },
    )
