"""How each kind looks, for every renderer: a letter, a shape and a line pattern carry the meaning, colour never alone.

No drawing library here. Outlines are closed polygons on a square from −1 to 1, y upwards; dashes are lengths in points,
on and off in turn; colours stay apart for the three common forms of colour blindness (dark ink on light fill, one hue a
group). The whole set is our own.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from functools import partial
from types import MappingProxyType

Outline = tuple[tuple[float, float], ...]


@dataclass(frozen=True)
class Symbol:
    """The look of one kind, or of one thing computed.

    letter : one or two letters inside the shape; unique among the kinds, and the same in names, on sheets and papers
    shape : key of `OUTLINES`
    stroke, fill : colours of line and letter, and of the inside
    dash : on and off lengths of its line [pt]; empty for a full line
    weight : width of its line [pt]
    hatch : pattern that fills an area, key of `HATCHES`; empty for its fill alone
    written : where names need room, that of the lower number is written first; what has no place in the order is last
    work : belongs to the work, which fills the map at first
    """

    letter: str
    shape: str
    stroke: str
    fill: str
    dash: tuple[float, ...] = ()
    weight: float = 3
    written: int = 99
    work: bool = False
    hatch: str = ""


@dataclass(frozen=True)
class VerdictMark:
    """The mark of a verdict around a kiln spot.

    sign : a character that says it in black and white
    ring : "full", "half" or "cross"
    colour : colour of ring and sign
    words : what the legend says
    """

    sign: str
    ring: str
    colour: str
    words: str


def _regular(corners: int, turn_deg: float, radius: float = 1.0) -> Outline:
    angles = [math.radians(turn_deg + 360 * corner / corners) for corner in range(corners)]
    return tuple((round(radius * math.cos(a), 4), round(radius * math.sin(a), 4)) for a in angles)


OUTLINES: Mapping[str, Outline] = MappingProxyType(
    {
        "circle": _regular(32, 0, 0.95),
        "square": _regular(4, 45, 1.2),
        "diamond": _regular(4, 0, 1.15),
        "triangle": _regular(3, 90, 1.25),
        "hexagon": _regular(6, 0),
        "octagon": _regular(8, 22.5, 1.05),
        "heap": ((-1.1, -0.75), (1.1, -0.75), (0.85, 0.1), (0.4, 0.75), (-0.4, 0.75), (-0.85, 0.1)),
        "drop": ((0, 1.2), (0.55, 0.4), (0.85, -0.2), (0.6, -0.8), (0, -1), (-0.6, -0.8), (-0.85, -0.2), (-0.55, 0.4)),
        "house": ((-0.9, -0.9), (0.9, -0.9), (0.9, 0.3), (0, 1.1), (-0.9, 0.3)),
        "slab": ((-1.15, -0.65), (1.15, -0.65), (1.15, 0.65), (-1.15, 0.65)),
    }
)

#  What belongs together has one colour, and a shape and a weight unless it says its own.
_slash = partial(Symbol, shape="heap", stroke="#6b4423", fill="#f3e3c7")
_fire = partial(Symbol, shape="octagon", stroke="#8b1a1a", fill="#ffe0d6")
_water = partial(Symbol, shape="drop", stroke="#004c8c", fill="#d9ecff")
_clear = partial(Symbol, shape="square", stroke="#4a3f6b", fill="#e9e4f5", weight=2.5)
_crew = partial(Symbol, shape="hexagon", stroke="#0b5d3b", fill="#daf2e4")

SYMBOLS: Mapping[str, Symbol] = MappingProxyType(
    {
        "logged_area": _slash("A", shape="slab", dash=(14, 4), weight=2.5, written=11, work=True),
        "pile": _slash("P", written=2, work=True),
        "windrow": _slash("R", weight=6, written=3, work=True),
        "transect": _slash("T", shape="slab", dash=(2, 5), work=True),
        "kiln_spot": _fire("K", written=1, work=True),
        "control_line": _fire("C", shape="slab", dash=(10, 3, 3, 3), weight=4),
        "char_pad": _fire("Ch", shape="diamond", dash=(4, 3)),
        "machine_stand": _fire("M", shape="diamond", dash=(8, 3)),
        "water_source": _water("W", written=4, work=True),
        "hose_lay": _water("H", shape="slab", dash=(9, 5), weight=4, work=True),
        "stream": _water("St", shape="slab", weight=4),
        "wetland": _water("We", shape="slab", dash=(2, 4)),
        "track": _crew("Tk", shape="slab", dash=(16, 5)),
        "structure": _clear("B", shape="house", written=5, work=True),
        "road": _clear("Rd", shape="slab", weight=5, written=10),
        "railway": _clear("Rw", shape="slab", dash=(2, 2), weight=5),
        "property_line": _clear("Pr", shape="slab", dash=(16, 4, 2, 4)),
        "power_line": _clear("Pw", shape="slab", dash=(12, 3, 2, 3, 2, 3), written=6),
        "buried_line": _clear("Bu", shape="slab", dash=(5, 5)),
        "standing_timber": _clear("Ti", shape="triangle", dash=(6, 3), written=9),
        "hazard_tree": _clear("Hz", shape="triangle", dash=(3, 3)),
        "fuel_store": _clear("F", shape="diamond", dash=(4, 2), written=8),
        "no_go": _clear("X", shape="octagon", dash=(3, 2), weight=4),
        "smoke_place": _clear("Sm", shape="circle", dash=(8, 4), written=7),
        "escape_route": _crew("E", shape="slab", dash=(18, 4), weight=5),
        "refuge": _crew("Re", shape="square"),
        "meeting_point": _crew("Mp"),
        "lookout": _crew("L", shape="triangle"),
        "gate": _crew("G", shape="diamond"),
        "turning_place": _crew("U", shape="circle", dash=(10, 3)),
        "landing_place": _crew("La", shape="circle"),
        "parking": _crew("Pk", shape="square", dash=(7, 3)),
    }
)
UNKNOWN = Symbol("?", "circle", "#555555", "#eeeeee", (4, 4), 2)  # kinds we do not know are kept and drawn grey

HATCHES: Mapping[str, Outline] = MappingProxyType(  # strokes on a square of 10 × 10 that is laid side by side, pairwise
    {
        "rising": ((0, 10), (10, 0)),
        "level": ((0, 5), (10, 5)),
        "upright": ((5, 0), (5, 10)),
        "crosses": ((2, 2), (8, 8), (2, 8), (8, 2)),
        "dots": ((4, 5), (6, 5)),
    }
)

OVERLAYS: Mapping[str, Symbol] = MappingProxyType(
    {
        "too close": Symbol("", "circle", "#8b1a4a", "none", (), 4),
        "measure": Symbol("", "circle", "#8a4300", "none", (7, 4), 3),
        "nearest": Symbol("", "circle", "#4a4a4a", "none", (2, 4), 2),
        "keep clear": Symbol("", "circle", "#4a3f6b", "#4a3f6b", (5, 4), 1.5),
        "lay": Symbol("", "circle", "#004c8c", "none", (9, 5), 4),
        "haul": Symbol("", "circle", "#6b4423", "none", (2, 6), 4),
        "reach": Symbol("", "circle", "#004c8c", "#004c8c", (10, 4), 3),
        "barred ground": Symbol("", "circle", "#8b1a1a", "#8b1a1a", (), 1, hatch="crosses"),
        "barred near": Symbol("", "circle", "#4a3f6b", "#4a3f6b", (), 1, hatch="rising"),
        "barred way": Symbol("", "circle", "#444444", "#444444", (), 1, hatch="upright"),
        "barred slope": Symbol("", "circle", "#6b4423", "#6b4423", (), 1, hatch="level"),
        "barred water": Symbol("", "circle", "#004c8c", "#004c8c", (), 1, hatch="dots"),
        "usable": Symbol("", "circle", "#0b5d3b", "#2e9e6b", (), 2.5),
        "proposed": Symbol("", "circle", "#0b5d3b", "none", (), 5),
        "contour": Symbol("", "circle", "#8a8f7f", "none", (), 0.8),
        "index contour": Symbol("", "circle", "#7a7f70", "none", (), 1.6),
        "patrol": Symbol("", "circle", "#8b1a1a", "none", (12, 4, 3, 4), 2.5),
        "smoke": Symbol("", "circle", "#555555", "none", (3, 5), 2),
        "bad wind": Symbol("", "circle", "#4a4a4a", "#4a4a4a", (), 1, hatch="rising"),
        "asked": Symbol("", "circle", "#222222", "none", (), 2),
        "on the site": Symbol("", "circle", "#6a6a6a", "none", (), 1.2),
    }
)

OVERLAY_SAYS: Mapping[str, str] = MappingProxyType(  # what the legend says; what is not here explains itself
    {
        "too close": "too close",
        "measure": "near the limit: measure on the ground",
        "nearest": "nearest distance, far enough by the rule entered",
        "keep clear": "keep the middle of the chosen kiln out of here",
        "lay": "way of the hose",
        "haul": "way of the buckets or the tank",
        "reach": "where the quench water reaches",
        "barred ground": "barred: the ground carries no kiln",
        "barred near": "barred: too near to something",
        "barred way": "barred: no way for the machine, or not two ways out",
        "barred slope": "barred: too steep without a level pad",
        "barred water": "barred: the quench water does not arrive",
        "usable": "where nothing entered speaks against a kiln",
        "proposed": "proposed for a kiln",
        "patrol": "where to patrol for embers of the chosen kiln; no safe distance",
        "smoke": "where its smoke drifts, by the forecast, and on beyond",
        "bad wind": "from where the wind must not come",
        "contour": "contour",
        "on the site": "on the site already",
    }
)

VERDICTS: Mapping[str, VerdictMark] = MappingProxyType(
    {
        "passes": VerdictMark("✓", "full", "#005a87", "may be lit, by the checks entered"),
        "conditional": VerdictMark("?", "half", "#8a4300", "not yet: something is open"),
        "ruled out": VerdictMark("✕", "cross", "#8b1a4a", "not here"),
    }
)


def symbol_of(kind: str) -> Symbol:
    """The symbol of a kind; a grey question mark for a kind we do not know.

    >>> symbol_of("kiln_spot").letter, symbol_of("teapot").letter
    ('K', '?')
    """
    return SYMBOLS.get(kind, UNKNOWN)
