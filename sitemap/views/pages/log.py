"""What happened, and the checks until everything is cold."""

from __future__ import annotations

import streamlit as st

from sitemap.views import state
from sitemap.views.after import batches, carbon, closing, cold
from sitemap.views.frame import page
from sitemap.views.inputs import lists, weather
from sitemap.views.when import lessons

with page("log"):
    a = state.assessment()
    st.markdown("#### Is it cold?")
    cold.show(a)
    st.markdown("#### Batches")
    batches.show(a)
    if a.taught:
        st.markdown("#### What the batches teach")
        lessons.show(a)
    st.markdown("#### Afterwards")
    count = a.closing.bags.count
    with st.expander(f"Bags ({count})" if count else "Bags", key="log.bags"):
        closing.bags(a)
    with st.expander("Close the site: what is left, and who saw to it", key="log.close"):
        closing.close(a)
    with st.expander("Readings of the weather on the day", key="log.weather"):
        weather.show()
    with st.expander("Checks of the morning: who looked, and when", key="log.ticks"):
        lists.records("ticks", "Ban, permit, forecast, people nearby: valid that day only.")
    with st.expander("Carbon, a rough figure", key="log.carbon"):
        carbon.show(a)
