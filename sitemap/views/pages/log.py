"""What happened, and the checks until everything is cold."""

from __future__ import annotations

import streamlit as st

from sitemap.views import state
from sitemap.views.after import batches, carbon, closing, cold
from sitemap.views.folds import fold
from sitemap.views.frame import page
from sitemap.views.inputs import lists, weather
from sitemap.views.when import lessons

with page("log"):
    a = state.assessment()
    st.markdown("#### The morning")
    fold("Fire ban, grass and brush around, weather read on the day", "log.weather", lambda: weather.show(a))
    fold(
        "Checks of the morning: who looked, and when",
        "log.ticks",
        lambda: lists.records("ticks", "Ban, permit, forecast, people nearby: valid that day only."),
    )
    st.markdown("#### Is it cold?")
    cold.show(a)
    st.markdown("#### Batches")
    batches.show(a)
    if a.taught:
        st.markdown("#### What the batches teach")
        lessons.show(a)
    st.markdown("#### Afterwards")
    count = a.closing.bags.count
    fold("Bags", "log.bags", lambda: closing.bags(a), shut=f" ({count})" if count else "")
    fold("Close the site: what is left, and who saw to it", "log.close", lambda: closing.close(a))
    fold("Carbon, a rough figure", "log.carbon", lambda: carbon.show(a))
