"""Yardstick of the first map: a page with the imports of the real one and nothing but an empty map."""

import rasterio  # noqa: F401  the real page reads its elevation with it
import streamlit as st

from sitemap.maps.scene import MapView
from sitemap.views.map import canvas

st.set_page_config(layout="wide")
canvas.show(MapView("empty", (0.0, 0.0), (), (), ()), "map", lambda _: None)
