"""When to burn: which days fit, what the forecast says, whether the wood is dry, from where the wind may come."""

from __future__ import annotations

import streamlit as st

from sitemap.views import state
from sitemap.views.frame import page
from sitemap.views.when import dates, dry, forecast, winds

with page("when"):
    a = state.assessment()
    st.markdown("#### Which days fit?")
    dates.show(a)
    st.markdown("#### Does the weather allow it?")
    forecast.show(a)
    st.markdown("#### Is it dry, and when will it be?")
    dry.show(a)
    st.markdown("#### From where may the wind come?")
    winds.show(a)
