"""A pen for SVG on paper: every length is in millimetres from the upper left corner, every word is text."""

from __future__ import annotations

import re
from html import escape
from typing import Any

from shapely.geometry.base import BaseGeometry

from sitemap.maps.symbols import Symbol
from sitemap.plan.letters import shown

MM_A_POINT = 25.4 / 72
DARK = "#1a1a1a"
_DEVANAGARI, _WIDE = re.compile("[\u0900-\u097f]"), "\u2002"  # the typesetter drops its common spaces in drawings
FAMILY = "DejaVu Sans, Noto Sans, sans-serif"
# Patterns that tell areas apart without colour: side of the tile [mm] and what is drawn in it with the kind's stroke.
PATTERNS = {
    "water": (4.0, "M0 1.2q1 -1.1 2 0t2 0M-2 3.2q1 -1.1 2 0t2 0t2 0"),
    "timber": (4.4, "M1.1 1.9l0.8 -1.4l0.8 1.4zM3.3 4.1l0.8 -1.4l0.8 1.4zM-1.1 4.1l0.8 -1.4l0.8 1.4z"),
    "refuge": (2.2, "M0.8 1.1h0.6M1.1 0.8v0.6"),
    "landing": (3.0, "M0 3L3 0M0 0L3 3"),
    "no go": (1.8, "M-0.5 2.3L2.3 -0.5"),
}


class Pen:
    """Collects elements in the order they are drawn.

    prefix : of the ids, so that two drawings may stand on one page
    """

    def __init__(self, prefix: str) -> None:
        self.prefix = prefix
        self._parts: list[str] = []
        self._kept: dict[str, str] = {}

    def line(self, shape: BaseGeometry, stroke: str, width_pt: float, dash_pt: tuple[float, ...] = ()) -> None:
        """Lines, or the outline of areas."""
        if not shape.is_empty:
            self._path(_path_of(shape), "none", stroke, width_pt, dash_pt)

    def area(self, shape: BaseGeometry, fill: str, pattern: str = "", stroke: str = DARK) -> None:
        """The inside of areas, with a pattern in `stroke` over it."""
        if shape.is_empty:
            return
        path = _path_of(shape)
        if fill != "none":
            self._path(path, fill, "none", 0)
        if pattern:
            self._path(path, f"url(#{self._pattern(pattern, stroke)})", "none", 0)

    def _path(self, path: str, fill: str, stroke: str, width_pt: float, dash_pt: tuple[float, ...] = ()) -> None:
        dash = f' stroke-dasharray="{" ".join(_mm(length * MM_A_POINT) for length in dash_pt)}"' if dash_pt else ""
        line = f' stroke-width="{_mm(width_pt * MM_A_POINT)}" stroke-linejoin="round"' if stroke != "none" else ""
        self._parts.append(f'<path d="{path}" fill="{fill}" stroke="{stroke}"{line}{dash}/>')

    def text(self, x: float, y: float, words: str, size_pt: float, anchor: str = "middle", **more: Any) -> None:
        """A word whose middle line runs through y.

        anchor : "start", "middle" or "end"
        more : bold=True; fill=colour; turned=degrees, clockwise
        """
        size = size_pt * MM_A_POINT
        weight = ' font-weight="bold"' if more.get("bold") else ""
        turned = more.get("turned", 0)
        where = f' transform="rotate({turned:g} {_mm(x)} {_mm(y)})"' if turned else ""
        if _DEVANAGARI.search(words):
            words = words.replace(" ", _WIDE)
        self._parts.append(
            f'<text x="{_mm(x)}" y="{_mm(y + 0.36 * size)}" font-size="{_mm(size)}" text-anchor="{anchor}"'
            f' fill="{more.get("fill", DARK)}"{weight}{where}>{escape(shown(words))}</text>'
        )

    def box(
        self, west: float, north: float, east: float, south: float, fill: str, stroke: str = "none", **more: Any
    ) -> None:
        """A rectangle; more : width=[pt], dash=lengths [pt], opacity=share."""
        seen = f' fill-opacity="{more["opacity"]:g}"' if "opacity" in more else ""
        line = f' stroke-width="{_mm(more.get("width", 0.6) * MM_A_POINT)}"' if stroke != "none" else ""
        dash = more.get("dash")
        dashed = f' stroke-dasharray="{" ".join(_mm(length * MM_A_POINT) for length in dash)}"' if dash else ""
        self._parts.append(
            f'<rect x="{_mm(west)}" y="{_mm(north)}" width="{_mm(east - west)}" height="{_mm(south - north)}"'
            f' fill="{fill}" stroke="{stroke}"{line}{dashed}{seen}/>'
        )

    def circle(self, x: float, y: float, radius: float, fill: str, stroke: str = "none", width_pt: float = 0.6) -> None:
        """A circle."""
        line = f' stroke-width="{_mm(width_pt * MM_A_POINT)}"' if stroke != "none" else ""
        self._parts.append(
            f'<circle cx="{_mm(x)}" cy="{_mm(y)}" r="{_mm(radius)}" fill="{fill}" stroke="{stroke}"{line}/>'
        )

    def svg(self, width: float, height: float, name: str, told: str) -> str:
        """The element: as large on paper as its lengths say."""
        kept = f"<defs>{''.join(self._kept.values())}</defs>" if self._kept else ""
        return (
            f'<svg class="map {escape(name)}" role="img" aria-label="{escape(told)}" xmlns="http://www.w3.org/2000/svg"'
            f' width="{_mm(width)}mm" height="{_mm(height)}mm" viewBox="0 0 {_mm(width)} {_mm(height)}"'
            f' font-family="{FAMILY}">{kept}{"".join(self._parts)}</svg>'
        )

    def _pattern(self, name: str, stroke: str) -> str:
        key = f"{self.prefix}-{name.replace(' ', '-')}"
        side, path = PATTERNS[name]
        self._kept[key] = (
            f'<pattern id="{key}" width="{side:g}" height="{side:g}" patternUnits="userSpaceOnUse">'
            f'<path d="{path}" fill="none" stroke="{stroke}" stroke-width="0.22"/></pattern>'
        )
        return key


def width_mm(svg: str) -> float:
    """How wide a drawing of this pen is on paper [mm]."""
    return _side_mm(svg, "width")


def height_mm(svg: str) -> float:
    """How high a drawing of this pen is on paper [mm]."""
    return _side_mm(svg, "height")


def _side_mm(svg: str, side: str) -> float:
    found = re.search(rf' {side}="([\d.]+)mm"', svg)
    if found is None:
        raise ValueError(f"The drawing does not say its {side} in mm. This is a fault of the program.")
    return float(found[1])


def dash_of(symbol: Symbol) -> tuple[float, ...]:
    """The dashes of a kind's line on paper [pt]."""
    return tuple(length / 2 for length in symbol.dash)


def width_of(symbol: Symbol) -> float:
    """The width of a kind's line on paper [pt]."""
    return symbol.weight * 0.45


def _mm(value: float) -> str:
    """A hundredth of a millimetre is finer than any printer draws a line."""
    return f"{value:.2f}".rstrip("0").rstrip(".") if value else "0"


def _path_of(shape: BaseGeometry) -> str:
    parts = []
    for part in getattr(shape, "geoms", [shape]):
        if part.geom_type == "Polygon":
            parts += [_ring(ring, True) for ring in (part.exterior, *part.interiors)]
        elif part.geom_type in ("LineString", "LinearRing"):
            parts.append(_ring(part, False))
        elif hasattr(part, "geoms"):
            parts.append(_path_of(part))
    return "".join(parts)


def _ring(line: BaseGeometry, closed: bool) -> str:
    places = [f"{_mm(x)} {_mm(y)}" for x, y, *_ in line.coords]
    return f"M{'L'.join(places)}{'Z' if closed else ''}"
