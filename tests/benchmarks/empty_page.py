"""Yardstick of the first map: a page with the imports of the real one and nothing but an empty map."""

import contourpy  # noqa: F401  with what the real page asks for while it is drawn: contours, ways, ranges, elevation
import rasterio.warp  # noqa: F401
import scipy.sparse.csgraph
import scipy.special  # noqa: F401
import streamlit as st

from sitemap.maps import draw  # noqa: F401
from sitemap.maps.scene import MapView
from sitemap.views import files, frame, sharing  # noqa: F401
from sitemap.views.inputs import sheet, where  # noqa: F401
from sitemap.views.map import backdrop, canvas, layout, panel, steps, tray  # noqa: F401

st.set_page_config(layout="wide")
canvas.show(MapView("empty", (0.0, 0.0), (), (), ()), "map", lambda _: None)
