"""A file to take along: made apart when somebody presses for it, told by the bar of the page, ended by its Stop.

The framework can make a file at the press too, but forgets how to where a page runs in between, and shows no bar.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from itertools import count
from pathlib import Path
from typing import Any

import streamlit as st

from sitemap.maps.bundle import bundle
from sitemap.maps.framework import PARTS
from sitemap.site.model import Site
from sitemap.terrain.terrain import Terrain
from sitemap.views import state, working

_READY = "file ready"
_marks = count(1)


@dataclass(frozen=True)
class _File:
    """A file that was made. mark : of no other file"""

    name: str
    kind: str
    content: str | bytes
    mark: int


def button(
    label: str,
    name: Callable[[], str],
    function: Callable[..., Any],
    task: Callable[[], tuple[Any, ...]],
    *,
    key: str,
    kind: str = "application/octet-stream",
    main: bool = False,
) -> None:
    """A button that makes a file and gives it to the browser.

    name, kind : of the file
    function : makes it, in another process; task : what that is called with
    main : whether it is what the page is for

    Name and task are asked at the press, and read site and choices as they are then: it may come in before the page has
    run with what was chosen or typed just before it.
    """

    def pressed() -> None:
        state.put(_READY, None)
        called = name()

        def made(content: str | bytes) -> None:
            state.put(_READY, _File(called, kind, content, next(_marks)))

        working.begin(f"Making {called}", function, *task(), then=made)

    st.button(label, key=key, on_click=state.guarded(pressed), type="primary" if main else "secondary", width="stretch")


def asked_now() -> tuple[Site, Terrain | None, tuple[dt.date | None, dt.date]]:
    """What the open site means hangs on this, as `of_assessed` takes it."""
    now = state.asked()
    return now["site"], now["terrain"], (now["on"], now["today"])


def ready() -> None:
    """The file that was asked for last, for the browser that takes it at once, until another is asked for."""
    file: _File | None = state.remember(_READY, None)
    if file is None:
        return
    with st.container(horizontal=True, key="ready"):
        st.download_button(f"Save {file.name}", file.content, file.name, file.kind, key="ready.save", on_click="ignore")
        st.button("Hide this", key="ready.close", on_click=state.guarded(partial(state.put, _READY, None)))
        _saved(
            key="ready.saved",
            data={"mark": file.mark, "button": f".st-key-ready-save {PARTS['button']}", "place": PARTS["element"]},
        )


_saved = st.components.v2.component("pitstead_download", js=bundle(Path(__file__).with_name("download.js")))
