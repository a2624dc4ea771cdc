"""What comes in from a page that has been left already."""

from __future__ import annotations

from typing import Any

from streamlit.runtime.state import get_session_state


class GoneError(Exception):
    """A widget of a page that has been left, of which nothing is known any more: its callback must change nothing."""


def sent_late(key: str) -> Any:
    """What the browser sent for a widget that is on the page no more; raises GoneError where that is not at hand.

    Looks into the framework's own record of what was sent, which no release promises: the browser test
    `test_app.py` says when it is gone. Then a late number is lost, but nothing is taken away.
    """
    sent = getattr(getattr(get_session_state(), "_state", None), "_new_widget_state", None)
    try:
        return next(sent[each] for each in list(sent) if each.split("-", 2)[-1] == key)  # type: ignore[index,arg-type]
    except (KeyError, StopIteration, TypeError, AttributeError) as error:
        raise GoneError from error
