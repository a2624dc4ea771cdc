"""Bags, and the close-out: what is left, and what is still to be done."""

from __future__ import annotations

from typing import Any

import streamlit as st

from sitemap.assessment import Assessment
from sitemap.plan.phrases import words_for
from sitemap.season.closing import STEPS, Bags, Closing
from sitemap.site.frozen import thaw
from sitemap.telling import sentence
from sitemap.units import text
from sitemap.views import state
from sitemap.views.after.cold import here_and_now, last_who
from sitemap.views.figures import figures, table, verdict
from sitemap.views.frame import plain
from sitemap.views.inputs import drafts, lists
from sitemap.wording import listed

_WHO = "draft.close.who"


def bags(a: Assessment) -> None:
    """Bags counted, weighed, and where they went."""
    held, units = a.closing.bags, a.source.units
    if held.count:
        pairs = [("Bags", f"{held.count}"), ("They hold", text(held.m3, "m3", units, 2))]
        if a.closing.char_m3:
            pairs.append(("Counted in buckets", text(a.closing.char_m3, "m3", units, 2)))
        pairs.append((f"Weighed, {held.weighed} of {held.count}", text(held.kg, "kg", units, 3)))
        figures(pairs)
        table([{"Where": where or "nobody said", "Bags": f"{count}"} for where, count in held.places])
        st.markdown(_more_than_counted(held, a.closing.char_m3))
    lists.records("bags", "One row for bags alike. Bag after 48 hours and two cold checks, outdoors.")


def _more_than_counted(held: Bags, char_m3: float) -> str:
    """A sentence where more is bagged than was counted by the log."""
    if not char_m3 or held.m3 <= char_m3 * 1.25:
        return ""
    return "The bags hold more than the buckets counted: a row may stand twice, or buckets were not written down."


def close(a: Assessment) -> None:
    """What is left on the site, and each step with who did it."""
    closing = a.closing
    effect, head = ("passes", "The site is closed") if closing.closed else ("conditional", "The site is not closed yet")
    verdict(effect, head, left(a, closing))
    words = words_for(a.source, "en")
    drafts.text(st, "Who", _WHO, last_who(a.source))
    for step in closing.steps:
        says = words(f"cold.close_{step.key}")
        if step.done:
            st.markdown(plain(f"☑ {says} ({step.who}, {step.when})"))
        else:
            st.button(
                f"☐ {plain(says)}",
                key=f"close.{step.key}",
                on_click=state.guarded(_keep),
                args=(step.key, says),
                width="stretch",
            )
    st.caption("A step taken back: take its line away under *Checks of the morning*.")


def left(a: Assessment, closing: Closing) -> str:
    """What is left, in a sentence or two."""
    parts = [sentence(each.told, a.source.units) for each in closing.not_cold]
    if closing.heaps_left:
        parts.append(f"Not burned: {listed(closing.heaps_left)}.")
    open_ = sum(not step.done for step in closing.steps)
    if open_:
        parts.append(f"{open_} of {len(STEPS)} steps are open.")
    return " ".join(parts)


def _keep(key: str, says: str) -> None:
    site, who = state.site(), str(state.typed(_WHO) or "").strip()
    if not who:
        state.say("Say who did it: a step without a name does not count.")
        return
    tick: dict[str, Any] = {"what": f"close {key}", "who": who, "when": f"{here_and_now(site):%Y-%m-%d %H:%M}"}
    rows = [thaw(each.values) for each in site.records("ticks")]
    state.edit(f"Close-out: {says}", site.with_member("ticks", [*rows, tick]))
