"""The map of the plan as SVG, true to scale: a millimetre of the drawing is a millimetre of paper.

Read in black and white: letter, shape, pattern and line carry the meaning (`maps.symbols`), colour never alone.
"""

from __future__ import annotations

import math
from collections.abc import Container

from shapely.geometry import box
from shapely.geometry.base import BaseGeometry

from sitemap.assessment import Assessment
from sitemap.errors import BadValue
from sitemap.maps.symbols import VERDICTS, symbol_of
from sitemap.plan.map.edge import (
    BAR_PT,
    draw_frame,
    draw_grid,
    draw_north,
    draw_scale,
    draw_wind,
    scale_words,
)
from sitemap.plan.map.labels import rows_of
from sitemap.plan.map.layers import KEY_KINDS, Shown, contour_step_m, draw_view, kiln_letters
from sitemap.plan.map.legend import draw_legend, entries, height_mm
from sitemap.plan.map.outside import in_a_row, outside
from sitemap.plan.map.pen import DARK, Pen
from sitemap.plan.map.signs import KILN_PT, Sign, text_width, touching
from sitemap.plan.map.view import SMALLEST_M, SPARE_MM, View, view_of
from sitemap.plan.phrases import Words, words_for
from sitemap.reasons import Quantity, reason
from sitemap.site.kinds import KINDS, with_role
from sitemap.site.on_plane import near_shape
from sitemap.wording import PAPERS

SIZES_MM = {  # (width, height) on paper
    "small": {"a4": (91.0, 75.0), "letter": (91.0, 75.0)},
    "smaller": {"a4": (72.0, 60.0), "letter": (72.0, 60.0)},
    "full": {"a4": (186.0, 252.0), "letter": (190.0, 236.0)},
}
_SIGNED = {"small": KEY_KINDS, "smaller": KEY_KINDS[:4]}  # kinds with a sign on the maps beside text
INSET_MM, INSET_WIDE_MM, MOST_INSETS, INSET_SPARE_M = 58.0, 66.0, 3, 4.0
_SPREAD_MM = 5.0  # half of what a kiln takes with its ring and badge
INSET_GAIN = 1.5  # [1] an inset is at least so much larger than the map it would shrink
Room = tuple[float, float, float, float]  # left, top, width, height [mm]
_FOOT_PT, _FOOT_MM = 7.0, 3.3  # of a row under the legend
_SIDE, _UNDER, _STRIP = 4.6, 4.8, 10.0  # [mm] labels of the grid on the left and below; scale, north and wind


def map_svg(a: Assessment, size: str = "full", paper: str = "a4", words: Words | None = None) -> str | None:
    """The map as an SVG element.

    Parameters
    ----------
    a : of the site
    size : "small" or "smaller", to stand beside text, or "full", with contours, grid, insets and legend
    paper : "a4" or "letter", the sheet it is to fill
    words : on it; those of the site where left out

    Returns
    -------
    SVG text without prolog; the same assessment gives the same text. None where nothing is placed

    Raises
    ------
    BadValue : another paper
    """
    shapes = _core(a, _SIGNED.get(size, KINDS))
    if not shapes:
        return None
    if paper not in PAPERS:
        raise BadValue(reason("command.paper", known=tuple(PAPERS), value=paper))
    width, height = SIZES_MM[size][paper]
    pen, words = Pen(size), words or words_for(a.source)
    draw = _full if size == "full" else _small
    draw(a, pen, shapes, (width, height), words)
    return pen.svg(width, height, size, words("map.alt"))


def corners_of(a: Assessment, paper: str = "a4") -> tuple[tuple[float, float, float, float], ...]:
    """Three corners of the ground of the full map, upper left, upper right and lower left: where they are drawn (x, y
    [mm]) with longitude and latitude [deg]; none where nothing is placed."""
    shapes = _core(a, KINDS)
    if not shapes or a.plane is None:
        return ()
    view, _, _ = _laid_out(a, shapes, _window(a, SIZES_MM["full"][paper]))
    west, south, east, north = view.ground.bounds
    left, top, right, bottom = view.window
    ends = ((left, top, west, north), (right, top, east, north), (left, bottom, west, south))
    found = [(x, y, *a.plane.lonlat(e, n)) for x, y, e, n in ends]
    return tuple((x, y, float(lon), float(lat)) for x, y, lon, lat in found)


def _window(a: Assessment, size: tuple[float, float]) -> Room:
    """What the full map has for ground and insets, above its scale and legend."""
    width, height = size
    foot = _UNDER + _STRIP + height_mm(_legend_rows(a)) + 2.5
    foot += _FOOT_MM if any(feature.kind in with_role("far") for feature in a.source.features) else 0.0
    return _SIDE, 0.4, width - _SIDE - 0.4, height - foot


def _core(a: Assessment, kinds: Container[str]) -> list[BaseGeometry]:
    """What the map covers, on the plane [m]: things of some kinds, or whatever is there."""
    if a.plane is None:
        return []
    near = [(f.kind, found) for f in a.source.features if (found := near_shape(f, a.plane)) is not None]
    close = [(kind, found) for kind, found in near if kind not in with_role("far")]
    wanted = [found for kind, found in close if kind in kinds]
    return wanted or [found for _, found in close or near]


def _small(a: Assessment, pen: Pen, shapes: list[BaseGeometry], size: tuple[float, float], words: Words) -> None:
    width, height = size
    window = (0.4, 0.4, width - 0.8, height - 9.4)
    view = view_of(shapes, window, SMALLEST_M, SPARE_MM / 2)
    view = view_of([*shapes, *_spread(a, view)], window, SMALLEST_M, SPARE_MM / 2)
    draw_view(a, pen, view, Shown(language=words.language), full=False, kinds=_SIGNED[pen.prefix])
    draw_frame(pen, view)
    end = draw_scale(pen, view, a.source.units, 1.0, height - 0.8)
    pen.text(end, height - 3.0, scale_words(view), BAR_PT, "start")
    draw_north(pen, width - 3.0, height - 0.8, words)


def _full(a: Assessment, pen: Pen, shapes: list[BaseGeometry], size: tuple[float, float], words: Words) -> None:
    width, height = size
    view, grounds, rooms = _laid_out(a, shapes, _window(a, size))
    shown = Shown(language=words.language)
    draw_grid(a, pen, view)
    draw_view(a, pen, view, shown, without=tuple(grounds))
    for number, (ground, room) in enumerate(zip(grounds, rooms, strict=True)):
        _inset(a, pen, ground, shown, room, words("map.inset", letter="ABC"[number]))
        west, north, east, south = view.on_paper(ground).bounds
        pen.box(west, north, east, south, "none", DARK, width=1.0, dash=(3, 2))
        pen.text(west, north - 1.6, words("map.inset", letter="ABC"[number]), BAR_PT, "start", bold=True)
    draw_frame(pen, view)
    below = _window(a, size)[3] + _UNDER
    _strip(a, pen, view, shown, below + _STRIP - 2.0, width, words)
    draw_legend(pen, entries(shown, words), _SIDE, below + _STRIP, width - _SIDE)
    rows = {"map.without": tuple(dict.fromkeys(" ".join(rows_of(name.words)) for name in shown.left_out))}
    rows |= {"map.outside": outside(a, view, words)}
    for number, (key, told) in enumerate((key, told) for key, told in rows.items() if told):
        row = in_a_row(words, key, told, width - _SIDE, _FOOT_PT)
        pen.text(_SIDE, height - 1.5 - number * _FOOT_MM, row, _FOOT_PT, "start")


def _strip(a: Assessment, pen: Pen, view: View, shown: Shown, y: float, width: float, words: Words) -> None:
    """Scale, grid, contour unit, wind and north, between map and legend."""
    x = draw_scale(pen, view, a.source.units, _SIDE, y)
    pen.text(x, y - 4.4, scale_words(view), 9.0, "start", bold=True)
    step = contour_step_m(a) if shown.contours else None
    told = words("map.grid")
    if step is not None:
        told = words("map.contours", step=Quantity(step, "m")) + " · " + told
    pen.text(x, y - 0.6, told, 7.0, "start")
    draw_north(pen, width - 3.0, y, words)
    wind = a.source.section("season").number("wind_from_deg")
    if wind is not None:
        draw_wind(pen, width - 16.0 - text_width(words("map.north"), BAR_PT), y, wind, words)


def _legend_rows(a: Assessment) -> int:
    """How many rows its legend can have at most, so that room is kept before anything is drawn."""
    kinds = {feature.kind for feature in a.source.features if feature.geometry is not None}
    return len(kinds) + len({decision.effect for decision in a.decisions}) + (8 if a.decisions else 0)


def _crowded(a: Assessment, view: View) -> list[BaseGeometry]:
    """Ground [m] round kilns whose signs would touch in a view, the most crowded first."""
    letters = kiln_letters(a)
    effects = {decision.spot: decision.effect for decision in a.decisions}
    places, signs = [], []
    for spot in a.source.of_kind("kiln_spot"):
        found = near_shape(spot, a.plane) if a.plane is not None else None
        at = view.on_paper(found) if found is not None else None
        if found is None or at is None or at.geom_type != "Point" or at.is_empty:
            continue
        symbol = symbol_of("kiln_spot")
        mark = VERDICTS.get(effects.get(spot.id, ""))
        places.append(found)
        signs.append(Sign(letters.get(spot.id, symbol.letter), symbol, (at.x, at.y), KILN_PT, mark))
    groups = sorted(touching(signs), key=lambda members: (-len(members), members))[:MOST_INSETS]
    grounds = []
    for members in groups:
        west, south, east, north = box(*_bounds([places[number] for number in members])).bounds
        grounds.append(box(west - INSET_SPARE_M, south - INSET_SPARE_M, east + INSET_SPARE_M, north + INSET_SPARE_M))
    return grounds


def _spread(a: Assessment, view: View) -> list[BaseGeometry]:
    """Ground [m] that signs of crowded kilns need on a map without an inset, so that they spread to all sides."""
    kilns = [found for f in a.source.of_kind("kiln_spot") if a.plane and (found := near_shape(f, a.plane)) is not None]
    found = []
    for ground in _crowded(a, view):
        count = sum(ground.covers(kiln) for kiln in kilns)
        found.append(ground.centroid.buffer(_SPREAD_MM * math.sqrt(count) * view.metres_a_mm))
    return found


def _bounds(places: list[BaseGeometry]) -> tuple[float, float, float, float]:
    xs, ys = [place.x for place in places], [place.y for place in places]
    return min(xs), min(ys), max(xs), max(ys)


def _inset(a: Assessment, pen: Pen, ground: BaseGeometry, shown: Shown, room: Room, name: str) -> None:
    """A window of its own for a crowded ground, with its scale."""
    left, top, *_ = room
    view = _inset_view(ground, room)
    draw_view(a, pen, view, shown, inset=True)
    draw_frame(pen, view)
    pen.text(left, top + 2.6, f"{name}  {scale_words(view)}", BAR_PT, "start", bold=True)


def _laid_out(a: Assessment, shapes: list[BaseGeometry], window: Room) -> tuple[View, list[BaseGeometry], list[Room]]:
    """The view of the whole site, the ground of each inset, and the room of each: below the map or on its right, where
    the map stays larger. An inset that would gain little is none: signs then give way."""
    left, top, width, height = window
    whole = view_of(shapes, window, SMALLEST_M)
    grounds = _crowded(a, whole)
    found = []
    for below in (True, False) if grounds else ():
        room = (left, top, width, height - INSET_MM - 4) if below else (left, top, width - INSET_WIDE_MM, height)
        view = view_of(shapes, room, SMALLEST_M)
        rooms = _rooms(window, len(grounds), below)
        scales = [_inset_view(ground, room).n for ground, room in zip(grounds, rooms, strict=True)]
        if max(scales) * INSET_GAIN <= whole.n:
            found.append((view, grounds, rooms))
    return min(found, key=lambda each: each[0].n) if found else (whole, [], [])


def _inset_view(ground: BaseGeometry, room: Room) -> View:
    """The view of an inset: its name stands over it."""
    left, top, width, height = room
    return view_of([ground], (left, top + 5.0, width, height - 5.0), 1.0, SPARE_MM / 2)


def _rooms(window: Room, count: int, below: bool) -> list[Room]:
    left, top, width, height = window
    if below:
        each = (width - 3.0 * (count - 1)) / max(count, 1)
        return [(left + i * (each + 3.0), top + height - INSET_MM + 5, each, INSET_MM - 5) for i in range(count)]
    each = min((height - 3.0 * (count - 1)) / max(count, 1), 100.0)
    return [
        (left + width - INSET_WIDE_MM + 3, top - 1 + i * (each + 3.0), INSET_WIDE_MM - 3, each) for i in range(count)
    ]
