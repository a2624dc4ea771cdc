"""Signs of things on paper: what stands in each, how large it is, and how signs that would touch are moved apart."""

from __future__ import annotations

import math
import re
import unicodedata
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np
from scipy.sparse.csgraph import connected_components
from shapely.geometry import LineString, Point, Polygon
from shapely.geometry.base import BaseGeometry

from sitemap.maps.symbols import OUTLINES, Symbol, VerdictMark
from sitemap.plan.letters import printable
from sitemap.plan.map.pen import DARK, MM_A_POINT, Pen

# A letter of 8.5 pt is 2.2 mm high: 12.5 minutes of arc at 60 cm. Sight of 1.0 tells 5 minutes (ISO 8596, from memory),
# so sight of 0.4 still reads it.
LETTER_PT = 8.5
KILN_PT = 10.0
SMALL_PT, SMALL_KILN_PT = 6.5, 9.0  # on the small map, which is read at the table
GAP = 0.4  # [mm] between signs
BADGE = 1.75  # [mm] radius of the sign of a verdict
RING = 0.9  # [mm] from a kiln's sign to its ring
TINY = 0.7  # [mm] half of a sign without letters
MOVED = 0.8  # [mm] from its place on, a sign says with a line where it belongs
_ROUNDS, _WIDENED, _WIDEST = 200, 1.12, 8.0
_ROOMIER = {"triangle": (1.25, 1.2), "diamond": (1.3, 1.25), "drop": (1.35, 1.25), "house": (1.15, 1.05)}
_OWN_NUMBER = re.compile(r"[A-Za-z]{1,2}[ -]?\d{1,3}")
_BESIDE, _HARDLY = (0.0, 6.0, 9.0, 13.0, 18.0, 24.0), 0.05  # [mm], [mm²]
Rectangle = tuple[float, float, float, float]  # west, north, east, south [mm]


@dataclass(frozen=True)
class Sign:
    """One sign.

    letters : inside it; at : its place on paper [mm]; size_pt : of the letters; verdict : of a kiln
    stands : where it is drawn [mm], which is its place unless it had to give way
    """

    letters: str
    symbol: Symbol
    at: tuple[float, float]
    size_pt: float = LETTER_PT
    verdict: VerdictMark | None = None
    stands: tuple[float, float] | None = None

    @property
    def middle(self) -> tuple[float, float]:
        """Where it is drawn [mm]."""
        return self.stands or self.at

    @property
    def outline(self) -> tuple[float, float]:
        """Half width and half height of its outline [mm]."""
        high = self.size_pt * MM_A_POINT * 0.95
        wide = max(high, text_width(self.letters, self.size_pt, bold=True) / 2 + 0.75)
        lean, tall = _ROOMIER.get(self.symbol.shape, (1.1, 1.0))
        return wide * lean, high * tall

    @property
    def half(self) -> tuple[float, float]:
        """Half width and half height of all that is drawn [mm]."""
        wide, high = self.outline
        more = RING + 0.5 if self.verdict is not None else 0.2
        return wide + more, high * 1.15 + more

    @property
    def room(self) -> Rectangle:
        """What it takes on paper, without its badge."""
        (x, y), (wide, high) = self.middle, self.half
        return x - wide, y - high, x + wide, y + high

    @property
    def badge(self) -> tuple[float, float]:
        """Middle of the sign of its verdict [mm]."""
        (x, y), (wide, high) = self.middle, self.half
        return x + wide * 0.8, y - high * 0.8

    @property
    def rooms(self) -> tuple[Rectangle, ...]:
        """What it takes on paper, its badge too."""
        if self.verdict is None:
            return (self.room,)
        x, y = self.badge
        return self.room, (x - BADGE, y - BADGE, x + BADGE, y + BADGE)


@lru_cache(maxsize=4096)
def text_width(words: str, size_pt: float, bold: bool = False) -> float:
    """Width of a word on paper [mm], rather too wide, so that names keep apart."""
    ems = 0.0
    for letter in printable(words):
        if unicodedata.east_asian_width(letter) in "WF":
            ems += 1.0
        elif not unicodedata.combining(letter):
            ems += 0.62 if letter.islower() or letter.isspace() else 0.7
    return ems * size_pt * MM_A_POINT * (1.1 if bold else 1.0)


def letters_of(name: str, symbol: Symbol) -> str:
    """What stands in a sign: the thing's own number where it begins with the letter of its kind, else that letter.

    >>> from sitemap.maps.symbols import symbol_of
    >>> [letters_of(name, symbol_of("pile")) for name in ("P12", "W1", "Big one")]
    ['P12', 'P', 'P']
    """
    short = name.strip()
    own = _OWN_NUMBER.fullmatch(short) and short[:1].casefold() == symbol.letter[:1].casefold()
    return short.replace(" ", "").replace("-", "") if own and len(short) <= 4 else symbol.letter


def apart(signs: Sequence[Sign], window: Rectangle, fixed: Sequence[Rectangle] = ()) -> list[Sign]:
    """Signs moved so that none covers another, each as near to its place as its neighbours let it.

    Signs that touch are first spread from their common middle, so that they lie to one another as on the ground; what
    still touches is pushed.

    Parameters
    ----------
    signs : in the order they are listed: the same signs always end at the same places
    window : nothing leaves it [mm]
    fixed : what no sign may cover [mm]
    """
    sizes = [_size(sign) for sign in signs] + [((r[2] - r[0]) / 2, (r[3] - r[1]) / 2) for r in fixed]
    places = _spread(signs, sizes[: len(signs)]) + [[(r[0] + r[2]) / 2, (r[1] + r[3]) / 2] for r in fixed]
    still = [place.copy() for place in places[len(signs) :]]
    for turn in range(_ROUNDS):
        moved = False
        for one in range(len(signs)):
            for other in range(one + 1, len(places)):
                moved |= _pushed(places, sizes, one, other, turn)
        places[len(signs) :] = [place.copy() for place in still]
        for place, (wide, high) in zip(places[: len(signs)], sizes, strict=False):
            place[0] = min(max(place[0], window[0] + wide), window[2] - wide)
            place[1] = min(max(place[1], window[1] + high), window[3] - high)
        if not moved:
            break
    return [replace(sign, stands=(x, y)) for sign, (x, y) in zip(signs, places, strict=False)]


def _spread(signs: Sequence[Sign], sizes: Sequence[tuple[float, float]]) -> list[list[float]]:
    """Places with each group that touches widened from its middle until its signs stand clear, or far enough."""
    there = np.array([sign.at for sign in signs], float).reshape(-1, 2)
    half, places = np.array(sizes, float).reshape(-1, 2), there.copy()
    for _ in range(_ROUNDS):
        widened = False
        for members in _groups(places, half):
            middle = places[members].mean(axis=0)
            wider = middle + (places[members] - middle) * _WIDENED
            near = np.hypot(*(wider - there[members]).T) < _WIDEST
            places[[member for member, stays in zip(members, near, strict=True) if stays]] = wider[near]
            widened |= bool(near.any())
        if not widened:
            break
    return [[float(x), float(y)] for x, y in places]


def _size(sign: Sign) -> tuple[float, float]:
    wide, high = sign.half
    more = BADGE * 0.55 if sign.verdict is not None else 0.0
    return wide + more + GAP / 2, high + more + GAP / 2


def _pushed(places: list[list[float]], sizes: list[tuple[float, float]], one: int, other: int, turn: int) -> bool:
    """Two signs pushed half way each, along the shorter way out; whether they had touched."""
    dx, dy = (places[other][axis] - places[one][axis] for axis in (0, 1))
    over_x = sizes[one][0] + sizes[other][0] - abs(dx)
    over_y = sizes[one][1] + sizes[other][1] - abs(dy)
    if over_x <= 1e-6 or over_y <= 1e-6:
        return False
    if math.hypot(dx, dy) < 0.05:  # on one spot: each pair leaves in a direction of its own
        turned = 2.4 * (one * 7 + other)
        dx, dy = math.cos(turned), math.sin(turned)
    along_x = over_x * abs(dy) < over_y * abs(dx) if turn % 8 else over_x < over_y
    axis, over, way = (0, over_x, dx) if along_x else (1, over_y, dy)
    step = math.copysign(over / 2 + 0.01, way)
    places[one][axis] -= step
    places[other][axis] += step
    return True


def touching(signs: Sequence[Sign]) -> list[list[int]]:
    """Groups of signs that would touch where they belong, by number; signs that touch none are in no group."""
    if len(signs) < 2:
        return []
    return _groups(np.array([sign.at for sign in signs]), np.array([_size(sign) for sign in signs]))


def _groups(places: np.ndarray, half: np.ndarray) -> list[list[int]]:
    """Numbers of rectangles (middle, half width and height) that hang together."""
    near = np.all(np.abs(places[:, None] - places[None]) < half[:, None] + half[None], axis=2)
    _, label = connected_components(near, directed=False)
    members = [np.flatnonzero(label == key).tolist() for key in range(label.max() + 1)] if len(places) else []
    return [group for group in members if len(group) > 1]


def draw_place(pen: Pen, sign: Sign) -> None:
    """A line from a sign that gave way to the place it belongs to."""
    if math.dist(sign.at, sign.middle) > MOVED:
        pen.line(LineString([sign.at, sign.middle]), DARK, 0.6)
        pen.circle(*sign.at, 0.55, DARK, "#ffffff", 0.4)


def draw_sign(pen: Pen, sign: Sign) -> None:
    """The outline with its letters; of a kiln its ring and verdict too."""
    (x, y), (wide, high) = sign.middle, sign.outline
    shape = Polygon([(x + wide * a, y - high * b) for a, b in OUTLINES[sign.symbol.shape]])
    if sign.verdict is not None:
        ring = shape.buffer(RING)
        pen.area(ring, "#ffffff")
        pen.line(ring, sign.verdict.colour, 1.7)
    pen.area(shape, sign.symbol.fill if sign.symbol.fill != "none" else "#ffffff")
    pen.line(shape, sign.symbol.stroke, 1.0)
    lower = {"triangle": 0.22, "house": 0.12, "drop": 0.1}.get(sign.symbol.shape, 0.0)
    pen.text(x, y + high * lower, sign.letters, sign.size_pt, bold=True, fill=sign.symbol.stroke)
    if sign.verdict is not None:
        pen.circle(*sign.badge, BADGE, sign.verdict.colour, "#ffffff", 0.7)
        pen.text(*sign.badge, sign.verdict.sign, 7.0, bold=True, fill="#ffffff")


def draw_small(pen: Pen, symbol: Symbol, at: tuple[float, float]) -> None:
    """One of very many: the outline alone, without letters, at its place."""
    shape = Polygon([(at[0] + TINY * a, at[1] - TINY * b) for a, b in OUTLINES[symbol.shape]])
    pen.area(shape, symbol.fill if symbol.fill != "none" else "#ffffff")
    pen.line(shape, symbol.stroke, 0.5)


def place_in(shape: BaseGeometry, sign: Sign, taken: Sequence[Rectangle], window: Rectangle) -> Sign | None:
    """The sign of a line or an area where it covers nothing: on it, else beside it with a line to it.

    Returns
    -------
    the sign at its place; None where no place lies in the window
    """
    if shape.geom_type == "LineString":
        shares = [0.5 + side * step / 20 for step in range(10) for side in (1, -1)]
        choices = [shape.interpolate(share, normalized=True) for share in shares]
    else:
        west, south, east, north = shape.bounds
        grid = [(i, j) for i in (0.5, 0.3, 0.7, 0.15, 0.85) for j in (0.5, 0.3, 0.7, 0.15, 0.85)]
        spread = [Point(west + (east - west) * i, south + (north - south) * j) for i, j in grid]
        choices = [shape.representative_point(), *(p for p in spread if shape.contains(p))]
    wide, high = (half + GAP / 2 for half in sign.half)
    best: tuple[float, float, Sign] | None = None
    for far in _BESIDE:
        for place in choices:
            for turn in range(8 if far else 1):
                x, y = place.x + far * math.cos(turn * math.pi / 4), place.y + far * math.sin(turn * math.pi / 4)
                room = (x - wide, y - high, x + wide, y + high)
                if shared(room, window) < 4 * wide * high - 0.01:
                    continue
                covered = sum(shared(room, other) for other in taken)
                if best is None or (covered, far) < best[:2]:
                    best = covered, far, replace(sign, at=(place.x, place.y), stands=(x, y))
        if best is not None and best[0] < _HARDLY:
            break
    return best[2] if best is not None else None


def shared(one: Rectangle, other: Rectangle) -> float:
    """Area that two rectangles share [mm²]."""
    wide = min(one[2], other[2]) - max(one[0], other[0])
    high = min(one[3], other[3]) - max(one[1], other[1])
    return wide * high if wide > 0 and high > 0 else 0.0
