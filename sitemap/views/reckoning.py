"""What a very large site means is worked out beside its page: told by a bar, ended by a press, and never in the way.

It stays within this process: what is read of each heap is remembered here, so that an edit costs what it touches. For
3,000 heaps that is 0.6 s; another process would take 10 s for the first look and 5 s for each edit, most of it to carry
the site there and what it means back. While the page waits, what is done on it is heard at once, and it waits on.
"""

from __future__ import annotations

from threading import Event, Thread
from typing import Any

import streamlit as st

from sitemap.progress import told_to
from sitemap.views import state, working
from sitemap.views.plainly import plain

MANY = 300  # things on a site: with fewer it takes 2 s of processor at most
_JOB = "reckoning"
_LOOK_S = 0.3  # between two looks how far it is
_WORDS = {"reading": "reading the heaps", "heaps": "weight of the heaps", "stock": "char stock", "wood": "dry wood"}
patience_s = 1.0  # so long a page waits before it shows a bar: most edits need none


class EndedError(Exception):
    """Nobody waits for it any more."""


class Reckoning:
    """What a site means, worked out in a thread of its own.

    asked : what `state.assessed` is called with; that remembers what comes of it
    """

    def __init__(self, asked: dict[str, Any]) -> None:
        self.asked = asked
        self.told = ("", 0.0)  # what it is at, and the share of that done
        self._over, self._stopped = Event(), False
        Thread(target=self._work, daemon=True).start()

    def over(self, within_s: float = 0.0) -> bool:
        """Whether it is done or ended; waits for that so long [s]."""
        return self._over.wait(within_s)

    def stop(self) -> None:
        """End it at its next step."""
        self._stopped = True

    def _hear(self, what: str, share: float) -> None:
        if self._stopped:
            raise EndedError
        self.told = (_WORDS[what], share)

    def _work(self) -> None:
        try:
            with told_to(self._hear):
                state.assessed(**self.asked)
        except EndedError:
            pass
        except Exception as error:  # the page meets it again, within the boundary that tells of it
            self.told = (type(error).__name__, 1.0)
        finally:
            self._over.set()


def wait() -> None:
    """Wait until it is known what the open site means, before its page is drawn.

    A run that is stopped while it waits leaves the work to the next; another site, or an edit, begins it anew.
    """
    slot = st.empty()  # always there: what stands below it keeps its number
    if state.holding().unwanted:
        with slot.container(key="reckoning"):
            st.warning("What the site means is not worked out: you stopped it. Everything can be typed all the same.")
            st.button("Work it out", key="reckoning.on", on_click=state.guarded(_go_on))
        return
    if len(state.site().features) < MANY:
        return
    work = _going_on(state.asked())
    if work.over(patience_s):
        return
    with slot.container(key="reckoning"):
        bar = st.progress(0.0, "Working out what the site means")
        st.button("Stop", key="reckoning.stop", on_click=state.guarded(_stop))
    while not work.over(_LOOK_S):
        what, share = work.told
        bar.progress(share, plain(f"Working out what the site means: {what}"))  # a press ends the run here
    slot.empty()


def _going_on(asked: dict[str, Any]) -> Reckoning:
    held: Reckoning | None = state.remember(_JOB, None)
    if held is not None and held.asked == asked:
        return held
    if held is not None:
        held.stop()
    work = Reckoning(asked)
    state.put(_JOB, work)
    working.end_with_tab(work)
    return work


def _stop() -> None:
    held: Reckoning | None = state.remember(_JOB, None)
    if held is not None:
        held.stop()
        state.put(_JOB, None)
    state.holding().stopped_at = state.kept().link


def _go_on() -> None:
    state.holding().stopped_at = None
