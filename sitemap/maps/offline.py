"""Every script and style a map asks for comes from a package on this machine, never from the network.

Folium links its scripts to content networks; one that fails to load leaves a blank map without a word. Here the links
of one map (never of the class) are turned to files inside an installed package, which Streamlit serves by its own route
for component files. What has no local copy is refused, so that a map cannot break silently in the woods.

Leaflet itself is all that is needed: moving, reshaping and drawing are ours (`editable`).
"""

from __future__ import annotations

import importlib.util
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import folium
from branca.colormap import ColorMap
from folium.elements import JSCSSMixin

from sitemap.errors import BadFile, BadValue

LOCAL = {"leaflet": "leaflet.js", "leaflet_css": "leaflet.css"}  # Folium's name for an asset → our file
# Links every Folium map carries for icons and pop-ups that we never use: drop-down scripts, icon fonts.
UNUSED = frozenset(
    {
        "jquery",
        "bootstrap",
        "bootstrap_css",
        "awesome_markers",
        "awesome_markers_css",
        "awesome_markers_font_css",
        "awesome_rotate_css",
        "glyphicons_css",
    }
)


def assets_folder() -> Path:
    """The folder of the installed package that carries Leaflet. Raises BadFile where it is missing."""
    spec = importlib.util.find_spec("xstatic")  # found without importing it
    for root in spec.submodule_search_locations or () if spec else ():
        folder = Path(root, "pkg", "leaflet", "data")
        if (folder / "leaflet.js").is_file():
            return folder
    raise BadFile("The map's script is not on this machine: run pip install -r requirements.txt again.")


def with_local_links(drawn: folium.Map, url_of: Callable[[str], str]) -> folium.Map:
    """Turn every link of one map to a local file; hand the map back.

    Parameters
    ----------
    drawn : the map, with everything already on it
    url_of : file name of an asset → the address the page reads it from

    Raises
    ------
    BadValue : an element asks for a script or style that has no local copy.
    """
    for element, attribute, links in _links(drawn):
        setattr(element, attribute, [(name, url_of(LOCAL[name])) for name, _ in links])
    return drawn


def _links(drawn: folium.Map) -> Iterator[tuple[JSCSSMixin, str, list[tuple[str, str]]]]:
    for element in _walk(drawn):
        if isinstance(element, ColorMap):
            raise BadValue("A scale of the map library loads its script from the network: draw the legend here.")
        if not isinstance(element, JSCSSMixin):
            continue
        for attribute in ("default_js", "default_css"):
            wanted = [(name, link) for name, link in getattr(element, attribute) if name not in UNUSED]
            for name, link in wanted:
                if name not in LOCAL:
                    raise BadValue(f"{type(element).__name__} asks for {link}, of which there is no local copy.")
            yield element, attribute, wanted


def _walk(element: Any) -> Iterator[Any]:
    yield element
    for child in list(getattr(element, "_children", {}).values()):
        yield from _walk(child)
