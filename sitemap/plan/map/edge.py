"""Round the map: frame, grid of degrees and minutes with its labels, scale bar, north and usual wind."""

from __future__ import annotations

import math

import numpy as np
from shapely.geometry import LineString

from sitemap.assessment import Assessment
from sitemap.plan.map.pen import DARK, Pen
from sitemap.plan.map.view import View, nice
from sitemap.plan.phrases import Words
from sitemap.units import from_display, to_display, unit_label

GRID_PT, BAR_PT = 7.5, 8.0
_GRID = "#b4b4b4"


def draw_frame(pen: Pen, view: View) -> None:
    """The edge of a view."""
    pen.box(*view.window, "none", DARK, width=1.0)


def draw_grid(a: Assessment, pen: Pen, view: View) -> None:
    """Lines of degrees and decimal minutes (the form of the decision sheet) with labels on the left and below."""
    west, north, east, south = view.window
    for x, told in grid_lines(a, view, across=True):
        pen.line(LineString([(x, north), (x, south)]), _GRID, 0.4)
        anchor = "end" if x > east - 9.0 else "start" if x < west + 5.0 else "middle"  # 9: half of the longest label
        pen.text({"end": east, "start": west}.get(anchor, x), south + 2.4, told, GRID_PT, anchor)
    for y, told in grid_lines(a, view, across=False):
        pen.line(LineString([(west, y), (east, y)]), _GRID, 0.4)
        anchor = "end" if y < north + 9.0 else "start" if y > south - 9.0 else "middle"
        pen.text(west - 2.2, y, told, GRID_PT, anchor, turned=-90)


def grid_lines(a: Assessment, view: View, across: bool) -> list[tuple[float, str]]:
    """Places [mm] of meridians (`across`) or parallels along the edge of the window, with their labels."""
    if a.plane is None:
        return []
    west, south, east, north = view.ground.bounds
    ends = ((west, south), (east, south)) if across else ((west, south), (west, north))
    line = LineString(ends).segmentize((east - west) / 40)
    along = np.array(line.coords)[:, 0 if across else 1]
    degrees = np.array([a.plane.lonlat(x, y)[0 if across else 1] for x, y in line.coords])
    if across:  # over 180° the numbers run on
        degrees = a.plane.lon0 + (degrees - a.plane.lon0 + 180) % 360 - 180
    minutes = degrees * 60
    step = nice(abs(minutes[-1] - minutes[0]) / 5)
    ticks = np.arange(math.ceil(minutes[0] / step), math.floor(minutes[-1] / step) + 1) * step
    places = max(0, -math.floor(math.log10(step)))
    found = []
    for at, minute in zip(np.interp(ticks, minutes, along), ticks, strict=True):
        mm = view.left + (at - west) / view.metres_a_mm if across else view.top + (north - at) / view.metres_a_mm
        found.append((float(mm), degrees_text(float(minute), across, places)))
    return found


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


def draw_scale(pen: Pen, view: View, units: str, x: float, y: float) -> float:
    """Scale bar with 1 : n above it, its left end at x and its foot at y [mm]; returns where it ends."""
    most = to_display(min(view.width / 5, 24.0) * view.metres_a_mm, "m", units)
    shown = max(step for step in (nice(most / 10), nice(most / 5), nice(most / 2.5), nice(most / 2)) if step <= most)
    step = from_display(shown, "m", units) / view.metres_a_mm
    pen.box(x, y - 1.4, x + step, y, DARK, DARK, width=0.6)
    pen.box(x + step, y - 1.4, x + 2 * step, y, "#ffffff", DARK, width=0.6)
    for part in (0, 1, 2):
        told = f"{part * shown:g}" + (f" {unit_label('m', units)}" if part == 2 else "")
        pen.text(x + part * step, y - 3.2, told, BAR_PT, "start" if part == 0 else "middle")
    return x + 2 * step + 6


def scale_words(view: View) -> str:
    """The scale as a ratio.

    >>> scale_words(View(0, 0, 1250.0, 0, 0, 1, 1))
    '1 : 1250'
    """
    return f"1 : {view.n:.0f}"


def draw_north(pen: Pen, x: float, y: float, words: Words) -> None:
    """True north, its foot at (x, y)."""
    _arrow(pen, (x, y), (x, y - 7.0))
    pen.text(x - 1.8, y - 3.4, words("map.north"), BAR_PT, "end")


def draw_wind(pen: Pen, x: float, y: float, from_deg: float, words: Words) -> None:
    """Where the wind usually comes from and goes to, so that smoke and embers are thought of."""
    turn, half = math.radians(from_deg), 3.4
    dx, dy = half * math.sin(turn), -half * math.cos(turn)
    _arrow(pen, (x + dx, y - 3.4 + dy), (x - dx, y - 3.4 - dy))
    pen.text(x - 5.0, y - 3.4, words("map.wind", degrees=f"{from_deg:.0f}°"), BAR_PT, "end")


def _arrow(pen: Pen, tail: tuple[float, float], head: tuple[float, float]) -> None:
    from shapely.geometry import Polygon

    length = math.dist(tail, head)
    ux, uy = (head[0] - tail[0]) / length, (head[1] - tail[1]) / length
    neck = (head[0] - 2.4 * ux, head[1] - 2.4 * uy)
    pen.line(LineString([tail, neck]), DARK, 1.4)
    pen.area(Polygon([head, (neck[0] - 1.1 * uy, neck[1] + 1.1 * ux), (neck[0] + 1.1 * uy, neck[1] - 1.1 * ux)]), DARK)
