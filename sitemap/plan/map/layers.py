"""What lies on the ground, drawn into one view: areas, contours, lines, ways of water, distances, signs, names."""

from __future__ import annotations

from collections import Counter
from collections.abc import Container, Iterator
from dataclasses import dataclass, field

import numpy as np
import shapely
from shapely.geometry import LineString, Point, shape
from shapely.geometry.base import BaseGeometry

from sitemap.assessment import Assessment
from sitemap.maps.draw import kiln_signs, way_geometry
from sitemap.maps.symbols import OVERLAYS, VERDICTS, Symbol, symbol_of
from sitemap.plan.largest import MOST
from sitemap.plan.map.labels import Name, place_names
from sitemap.plan.map.pen import DARK, Pen, dash_of, width_of
from sitemap.plan.map.sectors import draw_sectors
from sitemap.plan.map.signs import (
    KILN_PT,
    LETTER_PT,
    SMALL_KILN_PT,
    SMALL_PT,
    Rectangle,
    Sign,
    apart,
    draw_place,
    draw_sign,
    draw_small,
    letters_of,
    place_in,
)
from sitemap.plan.map.view import View
from sitemap.plan.say import away
from sitemap.safety.setbacks import Setback
from sitemap.site.kinds import KINDS
from sitemap.site.model import Feature
from sitemap.site.on_plane import near_shape
from sitemap.telling import quantity_text, word
from sitemap.terrain.relief import contour_interval, contours
from sitemap.units import from_display

# With a sign on the small map, the first ones on the smaller map too.
KEY_KINDS = ("kiln_spot", "water_source", "gate", "meeting_point", "refuge", "structure")
ATTACK = Symbol("", "circle", "#004c8c", "none", (14, 3, 3, 3), 4)
WAY_STYLES = {"lay": OVERLAYS["lay"], "haul": OVERLAYS["haul"], "attack": ATTACK}
DISTANCE_STYLES = {"too close": "too close", "power line not agreed": "too close", "measure on the ground": "measure"}
_PATTERNS = {
    "water_source": "water", "stream": "water", "wetland": "water", "standing_timber": "timber", "refuge": "refuge",
    "landing_place": "landing", "no_go": "no go",
}  # fmt: skip
_UNFILLED = ("logged_area",)  # it would lie under everything
_SMALL_MM, _TITLE_MM = 10.0, 3.5


@dataclass
class Shown:
    """What a drawing came to show, so that the legend says that and no more.

    kinds : kind → whether one lies there as a line or area; lines : styles of what was reckoned
    signs : with their places; left_out : names that found none; small : kinds without letters, being too many
    language : of the words on it
    """

    kinds: dict[str, bool] = field(default_factory=dict)
    lines: set[str] = field(default_factory=set)
    contours: bool = False
    signs: list[Sign] = field(default_factory=list)
    left_out: list[Name] = field(default_factory=list)
    small: set[str] = field(default_factory=set)
    language: str = "en"


@dataclass(frozen=True)
class Thing:
    """A feature on the paper of a view: what is seen of it, and of the edge of an area."""

    feature: Feature
    cut: BaseGeometry
    outline: BaseGeometry

    @property
    def main(self) -> BaseGeometry:
        """Its largest part in the view."""
        return max(getattr(self.cut, "geoms", [self.cut]), key=lambda part: (part.area, part.length))

    @property
    def middle(self) -> Point:
        """A point of it."""
        return Point(self.main.representative_point())

    @property
    def is_small(self) -> bool:
        """Whether its sign has no choice of places on it: then it gives way as the sign of a point does."""
        west, north, east, south = self.main.bounds
        return max(east - west, south - north) < _SMALL_MM


def draw_view(  # noqa: PLR0913 (each map leaves out another part)
    a: Assessment,
    pen: Pen,
    view: View,
    shown: Shown,
    *,
    full: bool = True,
    kinds: Container[str] = KINDS,
    inset: bool = False,
    without: tuple[BaseGeometry, ...] = (),
) -> None:
    """Everything in one view.

    Parameters
    ----------
    a : of the site
    pen, view : draws there
    shown : told what was drawn
    full : with contours and distances, and large signs
    kinds : whose things have a sign
    inset : of a part of a map: what runs on beyond it has its sign and name there
    without : ground [m] that an inset shows: signs there stand in the inset
    """
    things = list(_things(a, view))
    elsewhere = [part for ground in without if not (part := view.on_paper(ground)).is_empty]
    for thing in things:
        _area(pen, thing)
        family = thing.main.geom_type != "Point"
        shown.kinds[thing.feature.kind] = shown.kinds.get(thing.feature.kind, False) or family
    if full:
        shown.contours |= _contours(a, pen, view)
    for thing in things:
        _line(pen, thing)
    ways = list(_ways(a, pen, view, shown))
    figures = [*draw_sectors(a, pen, view, shown.lines), *_distances(a, pen, view, shown)] if full else []
    boxes = [(w, n - _TITLE_MM, e, s) for w, n, e, s in (part.bounds for part in elsewhere)]
    seen = [thing for thing in things if thing.feature.kind in kinds or (full and thing.feature.kind not in KINDS)]
    seen = [thing for thing in seen if not (thing.is_small and any(part.covers(thing.middle) for part in elsewhere))]
    seen = [thing for thing in seen if thing.is_small or not inset]
    many = _many(a)
    shown.small |= many
    for thing in seen:
        if thing.feature.kind in many:
            draw_small(pen, symbol_of(thing.feature.kind), (thing.middle.x, thing.middle.y))
    seen = [thing for thing in seen if thing.feature.kind not in many]
    signs, names = _signs(a, seen, view, full, boxes, shown.language)
    for sign in signs:
        draw_place(pen, sign)
    for sign in sorted(signs, key=lambda sign: sign.verdict is not None):
        draw_sign(pen, sign)
    shown.signs += signs
    taken = [room for sign in signs for room in sign.rooms] + boxes
    for thing in things:  # a kiln that stands in an inset is a dot here
        if thing.feature.kind == "kiln_spot" and any(part.covers(thing.middle) for part in elsewhere):
            pen.circle(thing.middle.x, thing.middle.y, 0.6, DARK)
    lines = shapely.union_all([*(_seen_line(thing) for thing in things), *ways])
    shown.left_out += place_names(pen, names, taken, lines, view.window)
    place_names(pen, figures, taken, lines, view.window)


def _many(a: Assessment) -> set[str]:
    """Kinds of which there are more than anybody reads by letters and names, which would bury the way out; never the
    kilns."""
    counts = Counter(feature.kind for feature in a.source.features)
    return {kind for kind, count in counts.items() if count > MOST and kind != "kiln_spot"}


def _seen_line(thing: Thing) -> BaseGeometry:
    return thing.outline if thing.main.geom_type == "Polygon" else thing.cut


def contour_step_m(a: Assessment) -> float | None:
    """Height between two contours [m], round in the units of the site; None without elevation."""
    if a.terrain is None:
        return None
    heights = a.terrain.elevation_m[np.isfinite(a.terrain.elevation_m)]
    if heights.size == 0:
        return None
    unit = from_display(1.0, "m", a.source.units)  # [m]
    return contour_interval(float(heights.min()) / unit, float(heights.max()) / unit) * unit


def _things(a: Assessment, view: View) -> Iterator[Thing]:
    """What is seen, areas first, then lines, then points."""
    order = {"Polygon": 0, "LineString": 1, "Point": 2}
    found = []
    for feature in a.source.features:
        whole = near_shape(feature, a.plane) if a.plane is not None else None
        cut = view.on_paper(whole) if whole is not None else None
        if whole is not None and cut is not None and not cut.is_empty:
            found.append(Thing(feature, cut, view.on_paper(whole.boundary)))
    yield from sorted(found, key=lambda thing: order.get(thing.main.geom_type, 1))


def _area(pen: Pen, thing: Thing) -> None:
    if thing.main.geom_type != "Polygon":
        return
    kind, symbol = thing.feature.kind, symbol_of(thing.feature.kind)
    if kind not in _UNFILLED:
        pen.area(thing.cut, symbol.fill, pattern_of(kind), symbol.stroke)
    pen.line(thing.outline, symbol.stroke, width_of(symbol), dash_of(symbol))


def pattern_of(kind: str) -> str:
    """The pattern in areas of a kind, told apart without colour; empty for none."""
    return _PATTERNS.get(kind, "")


def _line(pen: Pen, thing: Thing) -> None:
    if thing.main.geom_type in ("LineString", "LinearRing"):
        stroke(pen, thing.cut, symbol_of(thing.feature.kind), thing.feature.kind == "escape_route")


def stroke(pen: Pen, line: BaseGeometry, symbol: Symbol, way_out: bool = False) -> None:
    """A line in the pattern of its kind on white, so that it stands off what it crosses; a way out is white inside."""
    width = width_of(symbol)
    pen.line(line, "#ffffff", width + 1.2)
    if way_out:
        pen.line(line, symbol.stroke, 3.0)
        pen.line(line, "#ffffff", 1.2, (7, 3))
    else:
        pen.line(line, symbol.stroke, width, dash_of(symbol))


def _contours(a: Assessment, pen: Pen, view: View) -> bool:
    """Contours with the height of every fifth; whether there was one."""
    step = contour_step_m(a)
    if step is None or a.terrain is None:
        return False
    unit = from_display(1.0, "m", a.source.units)  # [m]
    seen = False
    for contour in contours(a.terrain, step):
        lines = view.on_paper(contour.lines.simplify(0.5))
        parts = [p for p in getattr(lines, "geoms", [lines]) if p.geom_type == "LineString" and p.length > 3]
        if not parts:
            continue
        seen = True
        heavy = round(contour.height_m / step) % 5 == 0
        for part in parts:
            pen.line(part, "#8c8c8c", 0.7 if heavy else 0.35)
        if heavy:
            at = max(parts, key=lambda part: part.length).interpolate(0.12, normalized=True)
            told = f"{contour.height_m / unit:.0f}"
            pen.box(at.x - 3.2, at.y - 1.2, at.x + 3.2, at.y + 1.2, "#ffffff", opacity=0.9)
            pen.text(at.x, at.y, told, 6.5, fill="#555555")
    return seen


def _ways(a: Assessment, pen: Pen, view: View, shown: Shown) -> Iterator[BaseGeometry]:
    """Ways of the quench water and of the attack line; one that serves both is drawn once."""
    drawn: set[tuple[str, str, str]] = set()
    for spot in a.spots:
        wet = a.water.of_spot(spot.id) if a.water else None
        for line, style in ((wet.quench, ""), (wet.attack, "attack")) if wet else ():
            if line.source is None or line.way is None or (line.source, spot.id, line.way) in drawn or a.plane is None:
                continue
            if line.way == "hose" and line.hose_m is None:
                continue  # of no hose is anything known: a line on the map would be taken for one that is there
            drawn.add((line.source, spot.id, line.way))
            geometry = way_geometry(a, line.source, spot.id, line.way)
            if geometry is None:
                continue
            found = view.on_paper(a.plane.forward(shape(geometry)))
            named = style or ("lay" if line.way == "hose" else "haul")
            if not found.is_empty:
                shown.lines.add(named)
                stroke(pen, found, WAY_STYLES[named])
                yield found


def _distances(a: Assessment, pen: Pen, view: View, shown: Shown) -> Iterator[Name]:
    """The distances that bind each kiln, as lines; their figures are written when all signs stand."""
    drawn: set[frozenset[str]] = set()
    for spot in a.spots:
        for setback, style in binding(spot.setbacks):
            pair = frozenset((spot.id, setback.feature))
            if pair in drawn:
                continue  # of two kilns that are nearest to each other: told once
            drawn.add(pair)
            line = view.on_paper(LineString(setback.line)) if setback.line else LineString()
            if line.geom_type != "LineString" or line.is_empty:
                continue
            shown.lines.add(style)
            pen.line(line, OVERLAYS[style].stroke, width_of(OVERLAYS[style]), dash_of(OVERLAYS[style]))
            places = [line.interpolate(share, normalized=True) for share in (0.5, 0.4, 0.6, 0.3, 0.7)]
            told = quantity_text(away(setback), a.source.units)
            yield Name(told, line.bounds, 7.0, along=tuple((place.x, place.y) for place in places))


def binding(setbacks: tuple[Setback, ...]) -> list[tuple[Setback, str]]:
    """Too close and to be measured, all of them; of the rest the one with the least to spare."""
    told = [(s, DISTANCE_STYLES[s.verdict]) for s in setbacks if s.verdict in DISTANCE_STYLES]
    rest = [s for s in setbacks if s.verdict not in DISTANCE_STYLES and None not in (s.margin_m, s.error_m)]
    if rest:
        told.append((min(rest, key=lambda s: (s.margin_m or 0) - (s.error_m or 0)), "nearest"))
    return told


def kiln_letters(a: Assessment) -> dict[str, str]:
    """What stands in the sign of each kiln: the same as on the app's map."""
    return kiln_signs({spot.id: spot.name for spot in a.source.of_kind("kiln_spot")})


def _signs(
    a: Assessment, things: list[Thing], view: View, full: bool, boxes: list[Rectangle], language: str
) -> tuple[list[Sign], list[Name]]:
    """All signs at their places, and the names beside them, the most important first."""
    effects = {decision.spot: decision.effect for decision in a.decisions}
    letters = kiln_letters(a)
    on_points = [thing for thing in things if thing.is_small]
    made = [_sign(thing, effects, letters, (thing.middle.x, thing.middle.y), full) for thing in on_points]
    signs = apart(made, view.window, boxes)
    shown = [(thing.feature, sign) for thing, sign in zip(on_points, signs, strict=True)]
    taken: list[Rectangle] = [room for sign in signs for room in sign.rooms]
    taken += boxes
    for thing in things:
        if thing.is_small:
            continue
        placed = place_in(thing.main, _sign(thing, effects, letters, (0.0, 0.0), full), taken, view.window)
        if placed is None:
            continue
        taken.append(placed.room)
        shown.append((thing.feature, placed))
    names = []
    for feature, sign in shown:
        inside = sign.letters.casefold() == feature.name.strip().replace(" ", "").replace("-", "").casefold()
        state = a.states.get(feature.id)
        said = [] if inside else [feature.name]
        said += [] if state is None else [word(state, language)]  # a word is told apart in grey
        if feature.name and said:
            kiln = sign.verdict is not None
            names.append((symbol_of(feature.kind).written, Name(" · ".join(said), sign.room, bold=kiln)))
    names.sort(key=lambda pair: pair[0])
    return [sign for _, sign in shown], [name for _, name in names]


def _sign(thing: Thing, effects: dict[str, str], letters: dict[str, str], at: tuple[float, float], full: bool) -> Sign:
    feature, symbol = thing.feature, symbol_of(thing.feature.kind)
    effect = effects.get(feature.id)
    if effect is None:
        return Sign(letters_of(feature.name, symbol), symbol, at, LETTER_PT if full else SMALL_PT)
    size = KILN_PT if full else SMALL_KILN_PT
    return Sign(letters.get(feature.id, symbol.letter), symbol, at, size, VERDICTS[effect])
