"""Names beside their signs: nowhere over a sign or another name, and never nearer to another sign than to their own."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import shapely
from shapely.geometry import LineString
from shapely.geometry.base import BaseGeometry

from sitemap.plan.letters import printable
from sitemap.plan.map.pen import DARK, MM_A_POINT, Pen
from sitemap.plan.map.signs import Rectangle, shared, text_width

NAME_PT = 8.0
LONGEST_ROW = 20  # letters; a longer name takes a second row
_LAST = 6  # letters of its end that a name keeps where it is cut
_NEAR, _REACH = (
    0.7,
    (0.0, 3.0, 6.0, 10.0, 15.0, 20.0, 26.0),
)  # [mm] from the sign: beside it, then farther with a line to it
_PER_LINE = 0.6  # [1] what a millimetre of a line under a name costs against a millimetre farther away
_PER_SIGN = 12.0  # [mm] what a sign under its line costs


def _mirrored(x: float, y: float) -> list[tuple[float, float]]:
    """A way to all sides."""
    return list(dict.fromkeys((x * i, y * j) for j in (1, -1) for i in (1, -1)))


_WAYS = tuple(way for x, y in ((1, 0), (0, 1), (1, 0.8), (1, 0.4), (0.5, 1)) for way in _mirrored(x, y))


@dataclass(frozen=True)
class Name:
    """A name that belongs to a sign.

    words : as entered; of : what the sign takes on paper [mm]; bold : for a kiln
    along : where a figure may stand on its line instead; it has no line to it
    """

    words: str
    of: Rectangle
    size_pt: float = NAME_PT
    bold: bool = False
    along: tuple[tuple[float, float], ...] = ()


def rows_of(words: str, longest: int = LONGEST_ROW) -> list[str]:
    """A name on one row or two. A longer one is cut before its last word: names of many are told apart by that.

    >>> rows_of("Landing track"), rows_of("The old barn at the upper gate")
    (['Landing track'], ['The old barn at the', 'upper gate'])
    >>> rows_of("The old heap by the track above the barn 27"), rows_of("a" * 60)[1][12:]
    (['The old heap by the', 'track above the b…27'], 'a…aaaaaa')
    """
    words = " ".join(printable(words).split())
    if len(words) <= longest:
        return [words]
    cut = words.rfind(" ", longest // 2, longest + 1)
    first, rest = (words[:longest], words[longest:]) if cut < 0 else (words[:cut], words[cut + 1 :])
    if len(rest) <= longest:
        return [first, rest]
    last = rest.rsplit(" ", 1)[-1][-_LAST:]
    return [first, rest[: longest - 1 - len(last)].rstrip() + "…" + last]


def place_names(
    pen: Pen, names: Sequence[Name], taken: list[Rectangle], lines: BaseGeometry, window: Rectangle
) -> list[Name]:
    """Write every name where it hides least.

    Parameters
    ----------
    names : the most important first
    taken : what signs and badges take; grows by the names written
    lines : on the map, which a name hides only where there is no better place
    window : nothing leaves it [mm]

    Returns
    -------
    those that found no place
    """
    left_out = []
    for name in names:
        rows = rows_of(name.words)
        wide = max(text_width(row, name.size_pt, name.bold) for row in rows) + 0.6
        high = len(rows) * name.size_pt * MM_A_POINT * 1.15 + 0.3
        found = _best(name, wide, high, taken, lines, window)
        if found is None:
            left_out.append(name)
            continue
        taken.append(found[0])
        _write(pen, name, rows, found[0], found[1])
    return left_out


def _best(
    name: Name, wide: float, high: float, taken: list[Rectangle], lines: BaseGeometry, window: Rectangle
) -> tuple[Rectangle, LineString | None] | None:
    """The cheapest open place for a name with the line to its sign, or None. What a place costs at least is known at
    once, so that the dear question what lies under it is asked of few."""
    best: tuple[float, Rectangle, LineString | None] | None = None
    for cost, room in sorted(_places(name, wide, high)):
        if best is not None and cost >= best[0]:
            break
        near = bool(name.along) or cost < _REACH[1]
        if not _inside(room, window) or any(shared(room, other) > 0.01 for other in taken):
            continue
        if near and not name.along and _misleads(room, name.of, taken):
            continue
        lead = None if near else _lead(room, name.of)
        full = cost + _PER_LINE * float(shapely.box(*room).intersection(lines).length)
        full += _PER_SIGN * _crossed(lead, name.of, taken) if lead is not None else 0.0
        if best is None or full < best[0]:
            best = full, room, lead
    return best[1:] if best is not None else None


def _places(name: Name, wide: float, high: float) -> Iterator[tuple[float, Rectangle]]:
    """Where a name may stand, each with what it costs by itself: along its line, or round its sign and farther out."""
    west, north, east, south = name.of
    if name.along:
        middles = [(number * 2.0, x, y) for number, (x, y) in enumerate(name.along)]
    else:
        x, y = (west + east) / 2, (north + south) / 2
        half_w, half_h = (east - west + wide) / 2, (south - north + high) / 2
        middles = [
            (far + number * 0.1, x + way_x * (half_w + _NEAR + far), y + way_y * (half_h + _NEAR + far))
            for far in _REACH
            for number, (way_x, way_y) in enumerate(_WAYS)
        ]
    for cost, x, y in middles:
        yield cost, (x - wide / 2, y - high / 2, x + wide / 2, y + high / 2)


def _crossed(lead: LineString, own: Rectangle, taken: Sequence[Rectangle]) -> int:
    """How many signs and names a line from a name to its sign would run through."""
    west, north, east, south = lead.bounds
    near = [r for r in taken if r != own and r[0] < east and r[2] > west and r[1] < south and r[3] > north]
    return sum(shapely.box(*room).intersects(lead) for room in near)


def _lead(room: Rectangle, sign: Rectangle) -> LineString:
    """The line from a name to its sign."""
    x, y = (sign[0] + sign[2]) / 2, (sign[1] + sign[3]) / 2
    start = (min(max(x, room[0]), room[2]), min(max(y, room[1]), room[3]))
    whole = LineString([start, (x, y)])
    outside = whole.difference(shapely.box(*sign))
    return outside if outside.geom_type == "LineString" and not outside.is_empty else whole


def _misleads(room: Rectangle, own: Rectangle, taken: Sequence[Rectangle]) -> bool:
    """Whether a name without a line stands as near to another sign as to its own."""
    gap = _gap(room, own)
    return any(other != own and _gap(room, other) <= gap and shared(other, own) == 0 for other in taken)


def _gap(one: Rectangle, other: Rectangle) -> float:
    across = max(one[0] - other[2], other[0] - one[2], 0.0)
    down = max(one[1] - other[3], other[1] - one[3], 0.0)
    return math.hypot(across, down)


def _inside(room: Rectangle, window: Rectangle) -> bool:
    return room[0] > window[0] and room[1] > window[1] and room[2] < window[2] and room[3] < window[3]


def _write(pen: Pen, name: Name, rows: list[str], room: Rectangle, lead: LineString | None) -> None:
    if lead is not None:
        pen.line(lead, DARK, 0.5)
    pen.box(*room, "#ffffff", opacity=0.85)
    step = (room[3] - room[1]) / len(rows)
    for number, row in enumerate(rows):
        y = room[1] + step * (number + 0.5)
        pen.text((room[0] + room[2]) / 2, y, row, name.size_pt, bold=name.bold)
