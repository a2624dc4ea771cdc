"""Ink of the plan's map: symbols, lines, areas, verdict rings, and names that keep out of each other's way."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import lru_cache
from typing import Any

from shapely.geometry.base import BaseGeometry

from sitemap.maps.symbols import OUTLINES, Symbol, VerdictMark
from sitemap.plan.model import printable

MARK_PT = 6.0  # [pt] half width of a symbol
ON_TOP = 1.5  # of the order of drawing: over the letters of all other marks
RING_PT = 2.1 * MARK_PT  # [pt] what the ring of a verdict takes
LETTER_WIDTH = 0.6  # [1] of a letter against its size: rather too wide, so that names keep apart
LONGEST_NAME = 26
COVERS_MOST = 0.35  # [1] of a name may lie on other things; beyond that it is left out
Rectangle = tuple[float, float, float, float]  # west, south, east, north on the plane [m]
_DARK = "#1a1a1a"


@dataclass(frozen=True)
class Label:
    """A name, its size [pt] and how far from the middle of its mark it stands [pt]; empty for none."""

    text: str
    size: float
    gap: float = MARK_PT + 2
    weight: str = "normal"


@dataclass
class Ink:
    """Draws on one pair of axes.

    metres_per_point : of the map, so that boxes round names are known before they are drawn
    """

    axes: Any
    metres_per_point: float
    _taken: list[Rectangle] = field(default_factory=list)
    _names: list[tuple[float, float, Label]] = field(default_factory=list)

    def draw(self, cut: BaseGeometry, symbol: Symbol, label: Label, filled: bool = True, above: float = 0.0) -> None:
        """A feature: its shape, the letter of its kind, its name where there is room; `above` lifts it over others."""
        parts = list(getattr(cut, "geoms", [cut]))
        for part in parts:
            if part.geom_type == "Polygon":
                self._area(part, symbol, filled)
            elif part.geom_type in ("LineString", "LinearRing"):
                self._stroke(part, symbol)
        self._mark(max(parts, key=lambda part: (part.area, part.length)), symbol, label, above)

    def _area(self, area: BaseGeometry, symbol: Symbol, filled: bool) -> None:
        from matplotlib.patches import PathPatch
        from matplotlib.path import Path

        rings = [area.exterior, *area.interiors]
        path = Path.make_compound_path(*(Path(list(ring.coords), closed=True) for ring in rings))
        paint = symbol.fill if filled else "none"
        edge = {"edgecolor": symbol.stroke, "linewidth": symbol.weight * 0.4, "linestyle": _dash(symbol)}
        self.axes.add_patch(PathPatch(path, facecolor=paint, alpha=None, zorder=2, **edge))

    def _stroke(self, line: BaseGeometry, symbol: Symbol) -> None:
        x, y = line.xy
        self.axes.plot(x, y, color="white", linewidth=symbol.weight * 0.45 + 1.2, zorder=3, solid_capstyle="butt")
        self.axes.plot(
            x, y, color=symbol.stroke, linewidth=symbol.weight * 0.45, linestyle=_dash(symbol), zorder=3.1,
            dash_capstyle="butt",
        )  # fmt: skip

    def _mark(self, part: BaseGeometry, symbol: Symbol, label: Label, above: float) -> None:
        on_line = part.geom_type == "LineString"
        place = self._free_place(part) if on_line else part.representative_point()
        size = MARK_PT * (0.75 if on_line or part.geom_type == "Polygon" else 1.0)
        mark(self.axes, place.x, place.y, symbol, size, above)
        half = size * 1.2 * self.metres_per_point
        self._taken.append(_around(place.x, place.y, half, half))
        if label.text:
            self._names.append((place.x, place.y, label))

    def _free_place(self, line: BaseGeometry) -> BaseGeometry:
        """Where along a line its letter hides least."""
        half = MARK_PT * self.metres_per_point
        places = [line.interpolate(share, normalized=True) for share in (0.5, 0.35, 0.65, 0.2, 0.8)]
        return min(places, key=lambda p: self._covered(_around(p.x, p.y, half, half)))

    def ring(self, x: float, y: float, verdict: VerdictMark) -> None:
        """The verdict round a kiln, with its sign."""
        self.axes.plot(
            [x], [y], marker="o", markersize=MARK_PT * 3.1, markerfacecolor="none", markeredgecolor=verdict.colour,
            markeredgewidth=1.6, zorder=9,
        )  # fmt: skip
        offset = MARK_PT * 1.75 * self.metres_per_point * 0.75
        self.axes.text(
            x + offset, y + offset, verdict.sign, fontsize=7.5, color="white", ha="center", va="center", zorder=9.5,
            weight="bold", bbox={"boxstyle": "circle,pad=0.15", "facecolor": verdict.colour, "edgecolor": "white"},
        )  # fmt: skip
        reach = RING_PT * self.metres_per_point
        self._taken.append(_around(x, y, reach, reach))

    def line(self, line: BaseGeometry, style: Symbol, told: str) -> None:
        """A line that was reckoned, with a word at its middle."""
        for part in getattr(line, "geoms", [line]):
            if part.geom_type == "LineString" and not part.is_empty:
                x, y = part.xy
                self.axes.plot(x, y, color=style.stroke, linewidth=style.weight * 0.4, linestyle=_dash(style), zorder=5)
        if told and line.length > 0:
            middle = line.interpolate(0.5, normalized=True)
            self._names.insert(0, (middle.x, middle.y, Label(told, 6.0, 2.0)))

    def place_labels(self) -> None:
        """Write every name where it covers least; one that would cover too much is left out."""
        for x, y, label in self._names:
            words = drawable(label.text)
            if len(words) > LONGEST_NAME:
                words = words[: LONGEST_NAME - 1] + "…"
            wide = len(words) * label.size * LETTER_WIDTH * self.metres_per_point
            high = label.size * 1.25 * self.metres_per_point
            found = self._best(x, y, wide, high, label.gap * self.metres_per_point)
            if found is None:
                continue
            self._taken.append(found)
            west, south, east, north = found
            self.axes.text(
                (west + east) / 2, (south + north) / 2, words, fontsize=label.size, weight=label.weight, color=_DARK,
                ha="center", va="center", zorder=10, clip_on=True,
                bbox={"facecolor": "white", "edgecolor": "none", "alpha": 0.8, "pad": 0.6},
            )  # fmt: skip

    def _best(self, x: float, y: float, wide: float, high: float, gap: float) -> Rectangle | None:
        """Of eight places round a mark the one that covers least; None where all cover too much."""
        west, east = self.axes.get_xlim()
        south, north = self.axes.get_ylim()
        choices: list[tuple[float, int, Rectangle]] = []
        for way_x, way_y in ((1, 0), (-1, 0), (0, 1), (0, -1), (1, 1), (-1, 1), (1, -1), (-1, -1)):
            room = _around(x + way_x * (gap + wide / 2), y + way_y * (gap + high / 2), wide / 2, high / 2)
            outside = wide * high - _shared(room, (west, south, east, north))
            choices.append((self._covered(room) + 2 * outside, len(choices), room))
        cost, _, best = min(choices)
        return best if cost < COVERS_MOST * wide * high else None

    def _covered(self, room: Rectangle) -> float:
        return sum(_shared(room, taken) for taken in self._taken)


def _around(x: float, y: float, half_wide: float, half_high: float) -> Rectangle:
    return x - half_wide, y - half_high, x + half_wide, y + half_high


def _shared(one: Rectangle, other: Rectangle) -> float:
    """Area that two rectangles share [m²]."""
    wide = min(one[2], other[2]) - max(one[0], other[0])
    high = min(one[3], other[3]) - max(one[1], other[1])
    return wide * high if wide > 0 and high > 0 else 0.0


def mark(axes: Any, x: float, y: float, symbol: Symbol, size_pt: float, above: float = 0.0) -> None:
    """The symbol of a kind: its outline with its letters; `above` lifts it over others."""
    from matplotlib.path import Path

    outline = OUTLINES[symbol.shape]
    axes.plot(
        [x], [y], marker=Path([*outline, outline[0]], closed=True), markersize=size_pt * 2.2,
        markerfacecolor=symbol.fill, markeredgecolor=symbol.stroke, markeredgewidth=1.0, zorder=6 + above,
        clip_on=False,
    )  # fmt: skip
    size = size_pt * (1.15, 0.9, 0.75)[min(len(symbol.letter), 3) - 1]
    axes.text(
        x, y, drawable(symbol.letter), fontsize=size, color=symbol.stroke, ha="center", va="center_baseline",
        weight="bold", zorder=7 + above, clip_on=False,
    )  # fmt: skip


def _dash(symbol: Symbol) -> Any:
    width = symbol.weight * 0.4
    return (0, tuple(length / 2 / width for length in symbol.dash)) if symbol.dash else "-"


@lru_cache(maxsize=1)
def _letters() -> frozenset[int]:
    from matplotlib import font_manager

    return frozenset(font_manager.get_font(font_manager.findfont("DejaVu Sans")).get_charmap())


def drawable(text: str) -> str:
    """A name as the map's own letters can write it; others become a dot, the tables write them in full."""
    return "".join(letter if ord(letter) in _letters() else "·" for letter in printable(text))
