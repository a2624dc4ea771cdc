"""Heavy work of a tab: done apart (`sitemap/apart.py`), told by a bar with a button that stops it, ended with its tab.

A page, or what is done on it, begins the work and says what is to be done with what comes of it. All else can be used
meanwhile, other pages too; once the work is over, the next run of a page does what was said.
"""

from __future__ import annotations

import os
from collections.abc import Callable
from dataclasses import dataclass
from threading import Thread
from typing import Any, Protocol

import streamlit as st
from streamlit.runtime import exists, get_instance
from streamlit.runtime.scriptrunner import get_script_run_ctx

from sitemap.apart import Work
from sitemap.errors import BadFile, PitsteadError
from sitemap.reasons import reason
from sitemap.views import state
from sitemap.views.faults import unchanged_text
from sitemap.views.plainly import plain

_JOB = "working"
_LOOK_S = 0.5  # between two looks how far it is
_GONE_S = 2.0  # between two looks whether the tab is there; a connection that broke and came back ends nothing
quick_s = 0.4  # so long a page waits before it shows a bar: little work needs none

Telling = Callable[..., tuple[float, str]]


@dataclass
class _Job:
    words: str
    work: Work
    then: Callable[[Any], None]
    refused: Callable[[PitsteadError], None]
    telling: Telling | None
    patience_s: float


def share_alone(share: float) -> tuple[float, str]:
    """For work that says how much of it is done, and no more."""
    return share, ""


def _unchanged(why: PitsteadError) -> None:
    state.say(unchanged_text(why, state.site()))


def begin(
    words: str,
    function: Callable[..., Any],
    *args: Any,
    then: Callable[[Any], None],
    refused: Callable[[PitsteadError], None] = _unchanged,
    telling: Telling | None = None,
) -> None:
    """Begin a piece of work; one that is still going on in this tab is ended.

    words : what is being done, for the bar
    function, *args : as `Work` takes them
    then : is given what came of it, and may change the site
    refused : is given the error where nothing came of it; by default it is said, and that the site is unchanged
    telling : share done (0 to 1) and words of what the function says by `progress`; None where it says nothing
    """
    stop()
    work = Work(function, *args, tells=telling is not None)
    state.put(_JOB, _Job(words, work, then, refused, telling, quick_s))
    end_with_tab(work)


def at_work() -> str | None:
    """What this tab is doing, in the words of its bar."""
    job = _job()
    return None if job is None else job.words


def stop() -> None:
    """End the work of this tab, if there is any."""
    job = _job()
    if job is not None:
        job.work.stop()


def _job() -> _Job | None:
    held: _Job | None = state.remember(_JOB, None)
    return held


def taken() -> None:
    """Do what was to be done with work that is over; called where the run of a page begins."""
    job = _job()
    if job is None:
        return
    patience, job.patience_s = job.patience_s, 0.0
    if not job.work.over(patience):
        return
    state.put(_JOB, None)

    def take() -> None:
        try:
            result = job.work.result()
        except PitsteadError as error:
            job.refused(error)
        except RuntimeError:
            if os.environ.get("PITSTEAD_RAISE"):  # the tests want to see it
                raise
            job.refused(BadFile(reason("files.at_fault")))
        else:
            job.then(result)

    state.guarded(take)()


def show() -> None:
    """The bar of the work that goes on, and the button that stops it."""
    if _job() is not None:
        _bar()


@st.fragment(run_every=_LOOK_S)
def _bar() -> None:
    job = _job()
    if job is None or job.work.over():
        st.rerun()
    share, words = job.telling(*job.work.last) if job.telling is not None and job.work.last else (0.0, "")
    said = job.words if job.work.begun else f"{job.words}: waits for other work"
    with st.container(horizontal=True, vertical_alignment="center", key="working"):
        st.progress(min(1.0, max(0.0, share)), plain(f"{said} {words}".strip()))
        st.button("Stop", key="working.stop", on_click=state.guarded(stop))


class Ended(Protocol):
    """Work that goes on beside a page."""

    def over(self, within_s: float = 0.0) -> bool:
        """Whether it is; waits for that so long [s]."""

    def stop(self) -> None:
        """End it."""


def end_with_tab(work: Ended) -> None:
    """Nobody waits any more for what a closed tab began."""
    context = get_script_run_ctx(suppress_warning=True)
    if context is not None:
        Thread(target=_end_with_tab, args=(work, context.session_id), daemon=True).start()


def _end_with_tab(work: Ended, session: str) -> None:
    gone = False
    while not work.over(_GONE_S):
        still = exists() and get_instance().is_active_session(session)
        if gone and not still:
            work.stop()
            return
        gone = not still
