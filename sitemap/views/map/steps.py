"""What to do next, in sight on the map page: the way through a sample, and from an empty map to a verdict."""

from __future__ import annotations

from dataclasses import dataclass

import streamlit as st

from sitemap.assessment import Assessment
from sitemap.site.kinds import SLASH
from sitemap.site.model import Feature
from sitemap.views import sites, state
from sitemap.views.frame import led_to, plain
from sitemap.views.inputs import noted, where

_BEGUN = "begun"  # link of the site these steps were shown for
_ASKED = 4  # so many fields by name
_NAMED = 3  # so many heaps by name; more of them are counted


@dataclass(frozen=True)
class Step:
    """One step: what there is after it, whether there is, how to get there, and the page where that is done."""

    name: str
    done: bool
    how: str
    button: str = ""
    page: str = ""


def show(a: Assessment) -> None:
    """The step that comes next; where none is left, what a verdict still lacks, and on a sample how to begin."""
    if not state.remember("hint", True):
        return
    steps = _steps(a)
    following, begun = _following(steps), state.remember(_BEGUN, None) == state.kept().link
    if following is None and not begun and not a.source.member.get("invented"):
        return
    with st.container(border=True, key="hint.box"):
        if following is not None:
            state.put(_BEGUN, state.kept().link)
            _list(steps, following)
        elif begun:
            st.markdown(
                "**The first verdict stands.** What each kiln waits for is told beside it, with what to do. On *Rules "
                "and permit* say who was asked and what was looked for; on *Water* give pump and hose, or the buckets."
            )
        else:
            _sample()
            return
        _close()


def _sample() -> None:
    """How to begin; for who was here before, the site last worked at: an address without a link opens a sample."""
    last = next(iter(sites.own()), None)
    if last is None:
        st.markdown("**To begin with**, touch a kiln on the map and drag it. Then start a site of your own.")
    else:
        st.markdown(f"**This is a sample.** Last worked at: {plain(last.name)}, {sites.when(last.used)}.")
    with st.container(horizontal=True, key="hint.row"):
        if last is not None:
            st.button(
                "Go on with it",
                key="hint.last",
                on_click=state.guarded(state.open_link),
                args=(last.link,),
                type="primary",
            )
        st.button("Start an own site", key="hint.own", on_click=state.guarded(sites.start_own))
        _close()


def _close() -> None:
    st.button("Close", key="hint.close", on_click=state.guarded(state.put), args=("hint", False), type="tertiary")


def next_said(a: Assessment, chosen: Feature | None = None) -> str:
    """What comes next, as the map says it under itself: what is still to be typed of the thing that is chosen, else the
    step; empty where none is left, and where somebody closed the steps."""
    asked = noted.asked_of(chosen, a.unknowns) if chosen is not None else ()
    if asked:
        more = ", and more" if len(asked) > _ASKED else ""
        return f"Now type in its form: {', '.join(each.lower() for each in asked[:_ASKED])}{more}."
    steps = _steps(a)
    following = _following(steps) if state.remember("hint", True) else None
    return "" if following is None else f"{_title(steps, following)}: {following.how}".replace("*", "")


def _following(steps: tuple[Step, ...]) -> Step | None:
    return next((step for step in steps if not step.done), None)


def _title(steps: tuple[Step, ...], step: Step) -> str:
    return f"Step {steps.index(step) + 1} of {len(steps)}, {step.name}"


def _list(steps: tuple[Step, ...], following: Step) -> None:
    done = ", ".join(step.name for step in steps if step.done)
    later = ", ".join(step.name for step in steps if not step.done and step is not following)
    then = [f"✓ {done}" if done else "", f"Then: {later}" if later else "Then the verdict stands here"]
    st.markdown(f"**{_title(steps, following)}:** {following.how}\n\n{'. '.join(filter(None, then))}.")
    if following.button:
        st.button(
            following.button,
            key="hint.go",
            width="stretch",
            on_click=state.guarded(led_to),
            args=(following.page,),
        )


def _steps(a: Assessment) -> tuple[Step, ...]:
    site = a.source
    heaps = site.of_kind(*SLASH)
    return (
        Step(
            "where it is",
            bool(site.features) or where.looks_at(site) is not None,
            "type its coordinate where it says *Where is it?*",
        ),
        Step(
            "the logged area", bool(site.of_kind("logged_area")), "*+ Add*, *Logged area*, touch each corner, *Finish*."
        ),
        Step(
            "the slash",
            bool(heaps),
            "*+ Add*, *Heap*, and touch where it lies. A list of many: *Walk and survey*.",
        ),
        Step("the size of the slash", bool(heaps) and a.slash.counted, _sizes(a)),
        Step(
            "a kiln",
            bool(site.equipment("kilns")),
            "its shape and size, on the page *Kilns and clock*.",
            "Describe a kiln",
            "kilns",
        ),
        Step("a kiln spot", bool(site.of_kind("kiln_spot")), "*+ Add*, *Kiln spot*; or touch bare ground and ask."),
        Step(
            "a water source",
            bool(site.of_kind("water_source")),
            "*+ Add*, *Water source*: tank, tap, pond or stream.",
        ),
    )


def _sizes(a: Assessment) -> str:
    """Which heaps wait for their three figures."""
    names = [heap.name for heap in a.source.of_kind(*SLASH)]
    which = ", ".join(map(plain, names[:_NAMED])) if len(names) <= _NAMED else f"each of the {len(names)} heaps"
    return f"touch {which or 'it'}, and type length, width and height."
