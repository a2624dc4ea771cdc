"""The map of the plan as SVG: what is where, what binds, with scale, north, coordinates and legend.

Drawn to be read in black and white: letter, shape and line pattern carry the meaning (`maps.symbols`).
"""

from __future__ import annotations

import io
import re
import threading
from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from shapely.geometry import LineString, shape

from sitemap.assessment import Assessment
from sitemap.maps.draw import way_geometry
from sitemap.maps.symbols import OVERLAYS, SYMBOLS, VERDICTS, symbol_of
from sitemap.plan.map_frame import Frame, draw_furniture, frame_of
from sitemap.plan.map_ink import ON_TOP, RING_PT, Ink, Label
from sitemap.plan.say import length
from sitemap.safety.setbacks import Setback
from sitemap.site.kinds import KINDS
from sitemap.site.on_plane import near_shape

SIZES_MM = {"small": (91.0, 75.0), "full": (186.0, 214.0)}  # (width, height) on paper
_ORDER = {"Polygon": 0, "LineString": 1, "Point": 2}
_KEY_KINDS = ("kiln_spot", "water_source", "gate", "meeting_point", "refuge", "structure")  # named on the small map
_STYLES = {"too close": "too close", "power line not agreed": "too close", "measure on the ground": "measure"}
_WORDS = {
    "too close": "Too close, or a line not agreed",
    "measure": "Measure on the ground",
    "nearest": "Nearest thing by its rule",
    "lay": "Way of the hose",
    "haul": "Way of carried water",
}
_ONLY_FULL = ("transect", "machine_stand", "char_pad", "hose_lay")  # would hide the kilns on the small map
_FITS_INSIDE = 3  # letters of a kiln's name that stand in its sign, where none can take it for its neighbour's
_drawing = threading.Lock()  # Matplotlib's settings are shared by every thread


def map_svg(a: Assessment, size: str = "full") -> str | None:
    """The map as an SVG element.

    Parameters
    ----------
    a : of the site
    size : "small", to stand beside text, or "full", with contours, coordinates and legend

    Returns
    -------
    SVG text without prolog; the same assessment gives the same text. None where nothing is placed
    """
    import matplotlib as mpl
    from matplotlib.figure import Figure

    frame = frame_of(a, SIZES_MM[size], with_legend=size == "full")
    if frame is None:
        return None
    settings: dict[Any, Any] = {
        "svg.fonttype": "none",
        "svg.hashsalt": "pitstead",
        "font.family": ["DejaVu Sans"],
        "path.simplify": True,
        "text.parse_math": False,
    }
    with _drawing, mpl.rc_context(settings):
        width, height = SIZES_MM[size]
        figure = Figure(figsize=(width / 25.4, height / 25.4))
        axes = figure.add_axes(frame.axes)
        axes.set(xlim=(frame.x0, frame.x1), ylim=(frame.y0, frame.y1), aspect="equal")
        ink = Ink(axes, frame.metres_per_point)
        if size == "full":
            _contours(a, axes, frame)
        _features(a, ink, frame, size)
        _bindings(a, ink, frame, size)
        ink.place_labels()
        draw_furniture(a, figure, axes, frame, _legend(a, frame) if size == "full" else [], SIZES_MM[size])
        out = io.StringIO()
        figure.savefig(out, format="svg", metadata=dict.fromkeys(("Date", "Creator", "Format", "Type")))
    return _tidy(out.getvalue(), size)


def _tidy(svg: str, size: str) -> str:
    """Without prolog and metadata, ids of its own, as wide as the page lets it be."""
    svg = svg[svg.index("<svg") :]
    svg = re.sub(r"<metadata>.*?</metadata>\s*", "", svg, flags=re.DOTALL)
    svg = re.sub(r'(\sid="|href="#|url\(#)', rf"\g<1>{size}-", svg)
    svg = re.sub(r"(\d+\.\d{2})\d+", r"\1", svg)  # a hundredth of a point is finer than any printer
    return svg.replace("<svg ", f'<svg class="map {size}" role="img" aria-label="Map of the site" ', 1)


def _contours(a: Assessment, axes: Any, frame: Frame) -> None:
    if a.terrain is None:
        return
    import numpy as np

    from sitemap.terrain.relief import contour_interval, contours

    heights = a.terrain.elevation_m[np.isfinite(a.terrain.elevation_m)]
    if heights.size == 0:
        return
    foot = 0.3048 if a.source.units == "us" else 1.0
    step = contour_interval(float(heights.min()) / foot, float(heights.max()) / foot) * foot
    for contour in contours(a.terrain, step):
        lines = contour.lines.simplify(0.5).intersection(frame.box)
        heavy = round(contour.height_m / step) % 5 == 0
        longest = None
        for line in getattr(lines, "geoms", [lines]):
            if line.geom_type != "LineString" or line.length < 5:
                continue
            x, y = line.xy
            axes.plot(x, y, color="#9a9a9a", linewidth=0.7 if heavy else 0.3, zorder=1)
            longest = line if longest is None or line.length > longest.length else longest
        if heavy and longest is not None:
            place = longest.interpolate(0.3, normalized=True)
            axes.text(
                place.x, place.y, f"{contour.height_m / foot:.0f}", fontsize=5, color="#6a6a6a", ha="center",
                va="center", zorder=1.5, clip_on=True, bbox={"facecolor": "white", "edgecolor": "none", "pad": 0.4},
            )  # fmt: skip


def _features(a: Assessment, ink: Ink, frame: Frame, size: str) -> None:
    placed = []
    for feature in a.source.features:
        whole = near_shape(feature, a.plane) if a.plane is not None else None
        if whole is not None and whole.intersects(frame.box):
            placed.append((feature, whole.intersection(frame.box)))
    placed = [pair for pair in placed if size == "full" or pair[0].kind not in _ONLY_FULL]
    placed.sort(key=lambda pair: _ORDER.get(pair[1].geom_type.removeprefix("Multi"), 1))
    effects = {decision.spot: decision.effect for decision in a.decisions}
    for feature, cut in placed:
        symbol = symbol_of(feature.kind)
        named = size == "full" or feature.kind in _KEY_KINDS
        effect = effects.get(feature.id)
        label, above = Label(feature.name if named else "", 6.5), 0.0
        if effect is not None:
            above = ON_TOP  # what stands beside a kiln must not hide which kiln it is
            if len(feature.name) <= _FITS_INSIDE:
                symbol, label = replace(symbol, letter=feature.name), Label("", 8.0)
            else:
                label = Label(feature.name, 8.0, RING_PT + 1, "bold")
        ink.draw(cut, symbol, label, filled=feature.kind != "logged_area", above=above)
        if effect is not None and cut.geom_type == "Point":
            ink.ring(cut.x, cut.y, VERDICTS[effect])


def _bindings(a: Assessment, ink: Ink, frame: Frame, size: str) -> None:
    """The distances that bind and the way of the water of each kiln."""
    if a.plane is None:
        return
    for spot in a.spots:
        for setback, style in _binding(spot.setbacks):
            line = LineString(setback.line).intersection(frame.box) if setback.line else None
            if line is not None and line.geom_type == "LineString" and not line.is_empty:
                told = length(setback.distance_m, a.source.units, 3) if size == "full" else ""
                ink.line(line, OVERLAYS[style], told)
        wet = a.water.of_spot(spot.id) if a.water else None
        best = wet.quench if wet else None
        if best is None or best.source is None or best.way is None:
            continue
        geometry = way_geometry(a, best.source, spot.id, best.way)
        if geometry is not None:
            found = a.plane.forward(shape(geometry)).intersection(frame.box)
            ink.line(found, OVERLAYS["lay" if best.way == "hose" else "haul"], "")


def _binding(setbacks: Sequence[Setback]) -> list[tuple[Setback, str]]:
    """Too close and to be measured, all of them; of the rest the one with the least to spare."""
    found = [(s, _STYLES[s.verdict]) for s in setbacks if s.verdict in _STYLES]
    rest = [s for s in setbacks if s.verdict not in _STYLES and s.margin_m is not None and s.error_m is not None]
    if rest:
        found.append((min(rest, key=lambda s: (s.margin_m or 0) - (s.error_m or 0)), "nearest"))
    return found


def _legend(a: Assessment, frame: Frame) -> list[tuple[Any, str, bool]]:
    """The kinds on the map (symbol, words, whether as a line or area), and the lines that were reckoned."""
    met: dict[str, bool] = {}
    for feature in a.source.features:
        whole = near_shape(feature, a.plane) if a.plane is not None else None
        if whole is not None and whole.intersects(frame.box):
            met[feature.kind] = met.get(feature.kind, False) or whole.geom_type != "Point"
    rows: list[tuple[Any, str, bool]] = [(s, KINDS[k].label, met[k]) for k, s in SYMBOLS.items() if k in met]
    if met.keys() - SYMBOLS.keys():
        rows.append((symbol_of("?"), "A kind we do not know", False))
    drawn: set[str] = set()
    for spot in a.spots:
        drawn |= {style for _, style in _binding(spot.setbacks)}
        wet = a.water.of_spot(spot.id) if a.water else None
        if wet is not None and wet.quench.way is not None:
            drawn.add("lay" if wet.quench.way == "hose" else "haul")
    effects = {decision.effect for decision in a.decisions}
    verdicts = [(m, f"Kiln: {m.words.partition(':')[0]}", False) for e, m in VERDICTS.items() if e in effects]
    return [*rows, *verdicts, *((OVERLAYS[style], words, True) for style, words in _WORDS.items() if style in drawn)]
