"""What happened, and the checks until everything is cold."""

from __future__ import annotations

import streamlit as st

from sitemap.views import state
from sitemap.views.frame import page
from sitemap.views.inputs import lists, weather
from sitemap.views.when import lessons

with page("log"):
    st.markdown("#### Is the weather inside the limits?")
    weather.show()
    st.markdown("#### Burn log")
    lists.records("log", "A row for each batch: what was fed, how long, buckets of char, water, what went wrong.")
    st.markdown("#### What it teaches")
    lessons.show(state.assessment())
    st.markdown("#### Checks")
    lists.records("ticks", "Ban, permit, forecast, neighbours, cold checks: who looked, and when. Valid that day only.")
    st.markdown("#### Is it cold?")
    st.markdown(
        "Look and smell. Hold the back of the hand above it. Push a metal rod into the centre, the corners and under "
        "the largest piece, wait, and feel the rod. Break lumps. Only then use hands. Look again two hours later, next "
        "morning, on day 3, 7 and 14 (bare rings and roots longest), and on the first warm windy day. Char that was "
        "cold can glow again, also in a bag: bag it after 48 hours and two cold checks, outdoors."
    )
