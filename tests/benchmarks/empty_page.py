"""Yardstick of the first map: a page with the imports of the real one and nothing but an empty map."""

from importlib import import_module

import streamlit as st

from sitemap.maps.scene import MapView
from sitemap.views.map import canvas

for name in (
    *("maps.draw", "views.frame", "views.files", "views.sharing.panel", "views.inputs.sheet", "views.inputs.where"),
    *(f"views.map.{part}" for part in ("backdrop", "layout", "panel", "steps", "tray")),
):
    import_module(f"sitemap.{name}")
for name in ("rasterio.warp", "scipy.sparse.csgraph", "scipy.special", "contourpy"):  # loaded while the map is drawn
    import_module(name)

st.set_page_config(layout="wide")
canvas.show(MapView("empty", (0.0, 0.0), (), (), ()), "map", lambda _: None)
