"""The map a person can work on, as Folium elements: a base that never changes, and a scene that may change any time.

The base (Leaflet's map and our script) is the same text for every site, so the page never loads it anew. What is on the
ground and what was computed travel in the scene, which is followed without a flash. Moving, reshaping, drawing and
deleting are ours (`script/`), because every shape then reports what changed and nothing else, to the last digit.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import asdict
from functools import cache
from pathlib import Path
from typing import Any

import folium
from branca.element import Element, MacroElement
from folium.template import Template

from sitemap.maps import bundle, framework, symbols
from sitemap.maps.scene import MapView, payload
from sitemap.site.kinds import HEAPS, KINDS

MAX_ZOOM = 22
_HERE = Path(__file__).parent
SCRIPT = _HERE / "script" / "editable.js"


class _AsIs(Element):
    """A text of a page. Given to the map library as a template it would be compiled anew each time the map is shown."""

    _template = Template("{{ this.text }}")

    def __init__(self, text: str) -> None:
        super().__init__()
        self.text = text


class _Base(MacroElement):
    """Our script, started on the map it stands on."""

    _template = Template(
        """
        {% macro script(this, kwargs) %}
        var pitstead = {{ this.script }}({{ this._parent.get_name() }}, {{ this.setup }});
        var drawnItems = pitstead.drawn;
        {% endmacro %}
        """
    )

    def __init__(self) -> None:
        super().__init__()
        self._name = "Base"
        self.script, self.setup = _script(), _setup()

    def render(self, **kwargs: Any) -> str:
        """As the map library does it, but for the compiling."""
        page: Any = self.get_root()
        page.script.add_child(_AsIs(self._template.module.script(self, kwargs)), name=self.get_name())
        return ""


class _Scene(MacroElement):
    """One view, handed to the script."""

    _template = Template("{% macro script(this, kwargs) %}pitstead.sync({{ this.scene }});{% endmacro %}")

    def __init__(self, scene: Mapping[str, Any]) -> None:
        super().__init__()
        self._name = "Scene"
        self.scene = _as_script(scene)


def base_map() -> folium.Map:
    """The map without anything on it, on plain calm ground; the same text every time."""
    drawn = folium.Map(
        location=[0, 0],
        zoom_start=3,
        tiles=None,
        min_zoom=2,
        max_zoom=MAX_ZOOM,
        attribution_control=False,
        world_copy_jump=False,
        zoom_snap=0.05,  # so that a site fills the map
    )
    page: Any = drawn.get_root()
    page.header.add_child(_AsIs(_style()))
    drawn.add_child(_Base())
    return drawn


@cache
def _script() -> str:
    return bundle.value_of(SCRIPT)


@cache
def _style() -> str:
    return f"<style>{(_HERE / 'editable.css').read_text(encoding='utf-8')}</style>"


@cache
def _setup() -> str:
    """What the script is told of signs and words, the same for every site."""
    return _as_script(
        {
            "symbols": {kind: asdict(symbol) for kind, symbol in symbols.SYMBOLS.items()},
            "unknown": asdict(symbols.UNKNOWN),
            "outlines": dict(symbols.OUTLINES),
            "hatches": dict(symbols.HATCHES),
            "overlays": {style: asdict(symbol) for style, symbol in symbols.OVERLAYS.items()},
            "says": dict(symbols.OVERLAY_SAYS),
            "kinds": {kind.key: kind.label for kind in KINDS.values()},
            "verdicts": {verdict: asdict(mark) for verdict, mark in symbols.VERDICTS.items()},
            "gathers": list(HEAPS),  # of many, those close together on the screen stand as one sign
            "store": framework.MAP_STORE,
        }
    )


def scene_group(view: MapView, seen: tuple[str, int] = ("", 0)) -> folium.FeatureGroup:
    """The view as a group that can be handed to a standing map; `seen` is the last act already read."""
    group = folium.FeatureGroup(name="scene")
    group.add_child(_Scene(packed(payload(view, seen))))
    return group


def packed(scene: Mapping[str, Any]) -> dict[str, Any]:
    """A scene on its way to `unpacked.js`: of thousands of heaps neither the words for their members are said each time
    nor what is as usual.

    A feature is geometry, id, kind, name, part, label, verdict and sign, without what is empty at the end; the geometry
    of a point is its place, and a label that is the name is empty. A thing is its members in their order.
    """
    limits = {**scene["limits"], "things": [list(thing.values()) for thing in scene["limits"]["things"]]}
    return {**scene, "features": [_row(feature) for feature in scene["features"]], "limits": limits}


def _row(feature: Mapping[str, Any]) -> list[Any]:
    geometry, label = feature["geometry"], feature["label"]
    row = [
        geometry["coordinates"] if geometry["type"] == "Point" else geometry,
        *(feature[key] for key in ("id", "kind", "name", "part")),
        "" if label == feature["name"] else label or None,
        *(feature[key] for key in ("verdict", "sign")),
    ]
    while row[-1] in ("", []):
        row.pop()
    return row


def _as_script(value: Any) -> str:
    """A value as script that stays data wherever it is pasted.

    It is JSON inside a string, with every character escaped that could mean something on the way: to HTML, to a script,
    to the template engine (the map library compiles each finished script as a template once more, so a name with braces
    would be *run* there), and to the component that carries the script, which renames what looks like its variables.
    """
    text = json.dumps(json.dumps(value, allow_nan=False))
    for character in "<>&'`_{}":
        text = text.replace(character, f"\\u{ord(character):04x}")
    return f"JSON.parse({text})"
