"""The frame of the plan's map: what it covers, ticks with coordinates, scale bar, north and legend."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

import numpy as np
from shapely import unary_union
from shapely.geometry import LineString, box
from shapely.geometry.base import BaseGeometry

from sitemap.assessment import Assessment
from sitemap.maps.symbols import Symbol, VerdictMark
from sitemap.plan.map_ink import mark
from sitemap.site.on_plane import near_shape
from sitemap.units import from_display, to_display, unit_label

# Things that run on or lie far off do not decide what the map covers.
FAR_KINDS = (
    "road",
    "railway",
    "property_line",
    "power_line",
    "buried_line",
    "stream",
    "smoke_place",
    "standing_timber",
)
SMALLEST_M = 60.0  # [m] across
MARGIN = 0.1  # [1] of ground round the outermost thing
COLUMNS, ROW_MM, LEGEND_TOP_MM = 4, 6.0, 31.0  # of the legend
POINTS_PER_MM = 72 / 25.4


@dataclass(frozen=True)
class Frame:
    """Ground on the plane [m] and its place on the sheet (left, bottom, width, height as shares)."""

    x0: float
    y0: float
    x1: float
    y1: float
    axes: tuple[float, float, float, float]
    metres_per_point: float

    @property
    def box(self) -> BaseGeometry:
        """The ground as a shape."""
        return box(self.x0, self.y0, self.x1, self.y1)


def frame_of(a: Assessment, size_mm: tuple[float, float], with_legend: bool) -> Frame | None:
    """The ground the map covers; None where nothing is placed."""
    if a.plane is None:
        return None
    near = [(f.kind, shape) for f in a.source.features if (shape := near_shape(f, a.plane)) is not None]
    if not near:
        return None
    core = [shape for kind, shape in near if kind not in FAR_KINDS] or [shape for _, shape in near]
    west, south, east, north = unary_union(core).bounds
    width_mm, height_mm = size_mm
    side, foot, head = (11.0, 47.0, 2.0) if with_legend else (0.5, 9.0, 0.5)  # [mm]
    ratio = (width_mm - 2 * side) / (height_mm - foot - head)
    wide = max((east - west) * (1 + 2 * MARGIN), SMALLEST_M)
    high = max((north - south) * (1 + 2 * MARGIN), SMALLEST_M)
    wide, high = max(wide, high * ratio), max(high, wide / ratio)
    x, y = (west + east) / 2, (south + north) / 2
    axes = (side / width_mm, foot / height_mm, 1 - 2 * side / width_mm, 1 - (foot + head) / height_mm)
    per_point = wide / ((width_mm - 2 * side) * POINTS_PER_MM)
    return Frame(x - wide / 2, y - high / 2, x + wide / 2, y + high / 2, axes, per_point)


def draw_furniture(
    a: Assessment,
    figure: Any,
    axes: Any,
    frame: Frame,
    legend: list[tuple[Any, str, bool]],
    size_mm: tuple[float, float],
) -> None:
    """Under the map: scale bar, north, usual wind; with a legend, coordinates and legend too."""
    axes.set(xticks=[], yticks=[])
    for spine in axes.spines.values():
        spine.set(linewidth=0.8, zorder=20)
    sheet = figure.add_axes((0, 0, 1, 1), zorder=-1)
    sheet.set(xlim=(0, size_mm[0]), ylim=(0, size_mm[1]))
    sheet.axis("off")
    left_mm, foot_mm = 11.0 if legend else 1.0, 35.0 if legend else 1.5
    _scale_bar(sheet, frame, a.source.units, left_mm, foot_mm)
    _north(sheet, size_mm[0] - left_mm - 3, foot_mm, a.source.section("season").number("wind_from_deg"))
    if legend:
        _coordinates(a, axes, frame)
        _draw_legend(sheet, legend, size_mm[0])


def nice(least: float) -> float:
    """The smallest of 1, 2, 5 times a power of ten that is not below `least`.

    >>> nice(0.03), nice(34.0)
    (0.05, 50.0)
    """
    tens = 10.0 ** math.floor(math.log10(least))
    return next(round(step * tens, 9) for step in (1, 2, 5, 10) if step * tens >= least * 0.999)


def _scale_bar(sheet: Any, frame: Frame, units: str, x: float, y: float) -> None:
    from matplotlib.patches import Rectangle

    shown = nice(to_display((frame.x1 - frame.x0) / 8, "m", units))
    step = from_display(shown, "m", units) / frame.metres_per_point / POINTS_PER_MM  # [mm] on the sheet
    for part, paint in ((0, "black"), (1, "white")):
        bar = Rectangle((x + part * step, y), step, 1.4, facecolor=paint, edgecolor="black", linewidth=0.6)
        sheet.add_patch(bar)
    for part in (0, 1, 2):
        told = f"{part * shown:g}" + (f" {unit_label('m', units)}" if part == 2 else "")
        sheet.text(x + part * step, y + 2.1, told, fontsize=6.5, ha="left" if part == 0 else "center", va="bottom")


def _north(sheet: Any, x: float, y: float, wind_from_deg: float | None) -> None:
    """True north; and where the wind usually comes from, so that smoke and embers are thought of."""
    arrow = {"arrowstyle": "-|>,head_width=0.25,head_length=0.5", "color": "black", "linewidth": 1.2}
    sheet.annotate("", (x, y + 6.2), (x, y - 0.3), arrowprops=arrow)
    sheet.text(x - 2, y + 2.4, "true N", fontsize=6.5, ha="right", va="center")
    if wind_from_deg is None:
        return
    turn, half, left = math.radians(wind_from_deg), 2.8, x - 17
    dx, dy = half * math.sin(turn), half * math.cos(turn)
    sheet.annotate("", (left - dx, y + 2.6 - dy), (left + dx, y + 2.6 + dy), arrowprops=arrow)
    sheet.text(left - 4, y + 2.4, "usual wind", fontsize=6.5, ha="right", va="center")


def _coordinates(a: Assessment, axes: Any, frame: Frame) -> None:
    """Ticks of degrees and decimal minutes, the form of page one; crosses where the lines would meet."""
    plane = a.plane
    if plane is None:
        return
    corners = {"x": ((frame.x0, frame.y0), (frame.x1, frame.y0)), "y": ((frame.x0, frame.y0), (frame.x0, frame.y1))}
    found: dict[str, list[float]] = {}
    for axis, ends in corners.items():
        line = LineString(ends).segmentize((frame.x1 - frame.x0) / 40)
        along = np.array(line.coords)[:, 0 if axis == "x" else 1]
        degrees = np.array([plane.lonlat(x, y)[0 if axis == "x" else 1] for x, y in line.coords])
        if axis == "x":  # across 180° the numbers run on
            degrees = plane.lon0 + (degrees - plane.lon0 + 180) % 360 - 180
        minutes = degrees * 60
        step = nice(abs(minutes[-1] - minutes[0]) / 5)
        ticks = np.arange(math.ceil(minutes[0] / step), math.floor(minutes[-1] / step) + 1) * step
        found[axis] = [float(at) for at in np.interp(ticks, minutes, along)]
        places = max(0, -math.floor(math.log10(step)))
        for at, minute in zip(found[axis], ticks, strict=True):
            _tick(axes, frame, axis, at, degrees_text(float(minute), axis == "x", places))
    for x in found["x"]:
        for y in found["y"]:
            axes.plot([x], [y], marker="+", markersize=5, color="#777777", markeredgewidth=0.5, zorder=1.2)


def _tick(axes: Any, frame: Frame, axis: str, at: float, told: str) -> None:
    out = 3 * frame.metres_per_point
    ends = ((at, frame.y0), (at, frame.y0 - out)) if axis == "x" else ((frame.x0, at), (frame.x0 - out, at))
    axes.plot(*zip(*ends, strict=True), color="black", linewidth=0.7, clip_on=False, zorder=20)
    if axis == "x":
        axes.text(at, frame.y0 - 1.5 * out, told, fontsize=6, ha="center", va="top")
    else:
        axes.text(frame.x0 - 1.5 * out, at, told, fontsize=6, ha="right", va="center", rotation=90)


def degrees_text(minutes: float, is_longitude: bool, places: int) -> str:
    """An angle given in minutes, as degrees and decimal minutes with its side.

    >>> degrees_text(-7236.75, True, 2), degrees_text(2657.2, False, 1)
    ("120°36.75'W", "44°17.2'N")
    """
    if is_longitude:
        minutes = (minutes + 10_800) % 21_600 - 10_800
    side = ("W" if minutes < 0 else "E") if is_longitude else ("S" if minutes < 0 else "N")
    scale = 10**places
    whole, rest = divmod(round(abs(minutes) * scale), 60 * scale)
    return f"{whole}°{rest / scale:0{3 + places if places else 2}.{places}f}'{side}"


def _draw_legend(axes: Any, legend: list[tuple[Any, str, bool]], width_mm: float) -> None:
    rows = max(4, math.ceil(len(legend) / COLUMNS))
    row_mm = min(ROW_MM, (LEGEND_TOP_MM - 1.0) / rows)
    for number, (symbol, words, drawn) in enumerate(legend):
        column, row = divmod(number, rows)
        x, y = 8 + column * (width_mm - 10) / COLUMNS, LEGEND_TOP_MM - (row + 0.5) * row_mm
        if isinstance(symbol, VerdictMark):
            axes.text(
                x, y, symbol.sign, fontsize=7, color="white", weight="bold", ha="center", va="center",
                bbox={"boxstyle": "circle,pad=0.15", "facecolor": symbol.colour, "edgecolor": "white"},
            )  # fmt: skip
        elif isinstance(symbol, Symbol):
            _sample(axes, x, y, symbol, drawn)
        axes.text(x + 6, y, words, fontsize=6.8, va="center", color="#1a1a1a")


def _sample(axes: Any, x: float, y: float, symbol: Symbol, drawn: bool) -> None:
    width = symbol.weight * 0.45
    dash: Any = (0, tuple(length / 2 / width for length in symbol.dash)) if symbol.dash else "-"
    if drawn:
        axes.plot([x - 5, x + 5], [y, y], color=symbol.stroke, linewidth=width, linestyle=dash, zorder=1)
    if symbol.letter:
        mark(axes, x, y, symbol, 4.2)
