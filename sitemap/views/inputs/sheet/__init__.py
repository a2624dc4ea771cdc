"""A sheet to type in: a table of native cells that is never drawn anew under the typing hand.

What was typed goes to the server by a carrier of the app's own frame, not by the sheet: so it arrives also when the
page with the sheet is left at once. What the scripts draw and send stands in the files beside this one.
"""

from __future__ import annotations

from contextlib import suppress
from pathlib import Path
from typing import Any

import streamlit as st

from sitemap.errors import BadStore
from sitemap.maps.bundle import bundle
from sitemap.maps.framework import PARTS
from sitemap.views import state
from sitemap.views.inputs.sheet.inbox import Inbox

_HERE = Path(__file__).parent
_CARRIER = "carrier"
_INBOX = Inbox()  # one for all open pages: what a page typed before it was loaded anew is known again


_carrier = st.components.v2.component("pitstead_carrier", js=bundle(_HERE / "carrier.js"))
_sheet = st.components.v2.component(
    "pitstead_sheet", js=bundle(_HERE / "sheet.js"), css=(_HERE / "sheet.css").read_text(encoding="utf-8")
)


def carry(page: str) -> None:
    """Keep what was typed in any sheet, and tell the browser so; called at the start of every run.

    page : name of the page that is open
    """
    _take()
    state.before_undo(_CARRIER, _take)
    _carrier(
        key=_CARRIER,
        data={"acks": _acknowledged(), "page": page, "place": PARTS["element"]},
        on_edits_change=lambda: None,
    )


def show(key: str, data: dict[str, Any]) -> None:
    """Draw the sheet.

    key : name of the sheet on this page, the same in every run
    data : name ("link/kind"), kind, units, columns, computed, rows and total, as `sitemap.views.grid` makes them
    """
    _sheet(key=key, data={**data, "acks": _acknowledged()})


def typed_rows() -> set[str]:
    """Ids of the rows this browser page typed in."""
    return _INBOX.rows_of(_clients())


def _message() -> Any:
    return (state.typed(_CARRIER) or {}).get("edits") or ()


def _clients() -> set[str]:
    clients: set[str] = state.remember("clients", set())
    clients.update(str(each.get("client")) for each in _message())
    return clients


def _acknowledged() -> dict[str, int]:
    return _INBOX.acknowledged(_clients())


def _take() -> None:
    message = _message()
    with state.one_at_a_time, suppress(BadStore):  # what cannot be kept now waits in the browser
        _INBOX.take(state.store(), message, state.holding())
