"""When to burn: what bars the day, what the forecast says, which days fit, whether the wood is dry, the winds."""

from __future__ import annotations

import streamlit as st

from sitemap.assessment import Assessment
from sitemap.views import decided, state
from sitemap.views.folds import beside
from sitemap.views.frame import page
from sitemap.views.inputs import lists
from sitemap.views.when import dates, dry, forecast, winds

_OF_THE_DAY = ("date", "permit", "ban", "weather", "surroundings", "daylight", "wood", "cold")  # checks mended here


def _day(a: Assessment) -> None:
    """The burn date, and beside it what the decisions say of that day."""
    typed, means = beside("day")
    with typed:
        lists.section("season", only=("date",))
    with means:
        decided.words(a)
    if not decided.kinds(a, _OF_THE_DAY) and any(not each.may_be_lit for each in a.decisions):
        st.markdown("Nothing on this page keeps a kiln from being lit. What does: see *The day's papers*.")


with page("when"):
    a = state.assessment()
    _day(a)
    for part in (forecast, dates, dry, winds):
        with st.container(key=f"part.{part.__name__.rpartition('.')[-1]}"):
            part.show(a)
