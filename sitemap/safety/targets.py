"""What each feature is as a setback target: its use, its edge on the plane, how far it may be off, what was assumed."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from shapely.geometry.base import BaseGeometry

from sitemap import tables
from sitemap.notes import Note
from sitemap.reasons import Quantity, Reason, Term, compared, metres, reason
from sitemap.safety.records import Thing
from sitemap.safety.rules import TREE_HEIGHT_M
from sitemap.tables import Row

LARGE_HEAP_M3, LARGE_HEAP_HEIGHT_M = 50.0, 3.0  # ours, from memory (M)
STAGED_MIN = 15.0  # [min] the longest a feed heap beside the kiln may last: FIELD 5; common practice, no source (C)
UNKNOWN_HEAP_RADIUS_M = 2.0  # [m] a heap drawn as a point without length and width; ours (C)
UNKNOWN_WINDROW_WIDTH_M = 4.0  # [m] ours (C)
IN_TREES = ("standing_timber", "hazard_tree")


@dataclass(frozen=True)
class Target:
    """One feature as the rules see it.

    label : what its kind is called
    use : see `use_of`
    shape : its edge on the plane [m], None for a feature without a usable place
    error_m : how far its place may be off [m]; error_assumed : whether nobody entered it
    height_m : of a tree [m], None where not entered
    voltage_kv : of a power line, None where not entered
    notes : what was assumed for it
    """

    id: str
    name: str
    kind: str
    label: Term
    use: str
    shape: BaseGeometry | None
    error_m: float
    error_assumed: bool = False
    height_m: float | None = None
    voltage_kv: float | None = None
    notes: tuple[Note, ...] = ()


def target_of(thing: Thing, shape: BaseGeometry | None) -> Target:
    """One feature as the rules see it.

    thing : as entered; shape : as drawn, on the plane [m], None without a usable place
    """
    notes: list[Note] = []
    use = use_of(thing, notes)
    error_m = thing.position_error_m
    if error_m is None:
        error_m = default_error_m(thing.kind in IN_TREES or thing.under_trees is True)
    drawn = _drawn_row(thing, shape)
    if drawn is not None and thing.width_m is None:
        error_m += float(drawn["widest_m"] - drawn["width_m"]) / 2
    height_m = thing.height_m if thing.kind in IN_TREES else None
    if thing.kind == "hazard_tree" and height_m is None:
        height = metres(TREE_HEIGHT_M, 2)
        notes.append(Note(thing.id, "height_m", reason("safety.tree_height", name=thing.name, height=height)))
    return Target(
        thing.id,
        thing.name,
        thing.kind,
        thing.label,
        use,
        None if shape is None else _edge(thing, use, shape, notes),
        error_m,
        thing.position_error_m is None,
        height_m,
        thing.voltage_kv,
        tuple(notes),
    )


def _drawn_row(thing: Thing, shape: BaseGeometry | None) -> Row | None:
    """What table `line_widths` says of a thing drawn along its middle, `point_sizes` of one drawn as a mark; else, and
    where its size was entered, None."""
    if shape is None or shape.area > 0:
        return None
    if thing.kind == "water_source":
        kind = {"stream": "stream", "pond": "pond", None: "pond"}.get(thing.source, "")
    else:
        kind = thing.kind
    along = tables.load("line_widths").get(kind) if "Line" in shape.geom_type else None
    if along is not None:
        return along
    return None if thing.area_m2 else tables.load("point_sizes").get(kind)


def default_error_m(under_trees: bool) -> float:
    """How far a place may be off where nobody entered it [m]."""
    return float(tables.load("position_errors")["under_trees" if under_trees else "open"]["error_m"])


def use_of(thing: Thing, notes: list[Note]) -> str:
    """What a feature is for the rules; what is left blank is taken the cautious way, and said in notes.

    structure: own, occupied_by_others, unoccupied · road: public, private · power_line: overhead, buried ·
    pile, windrow: heap, large_heap, staged, burned · water_source: open_water, contained · else "".
    """
    if thing.kind == "structure":
        return thing.use or _said(thing, notes, "use", reason("safety.lived_in", name=thing.name), "occupied_by_others")
    if thing.kind == "road":
        if thing.public is None:
            return _said(thing, notes, "public", reason("safety.public_road", name=thing.name), "public")
        return "public" if thing.public else "private"
    if thing.kind == "power_line":
        if thing.overhead is None:
            return _said(thing, notes, "overhead", reason("safety.overhead", name=thing.name), "overhead")
        return "overhead" if thing.overhead else "buried"
    if thing.kind in ("pile", "windrow"):
        return _heap_use(thing)
    if thing.kind == "water_source":
        source = thing.source
        if source is None:
            return _said(thing, notes, "source", reason("safety.open_water", name=thing.name), "open_water")
        return "open_water" if source in ("pond", "stream") else "contained"
    return ""


def _heap_use(thing: Thing) -> str:
    """By what was entered of it; `sized_heap` judges the volume."""
    if thing.status in ("burned", "cold"):
        return "burned"
    if (thing.height_m or 0) > LARGE_HEAP_HEIGHT_M:
        return "large_heap"
    return "staged" if thing.kind == "pile" and thing.staged else "heap"


def sized_heap(target: Target, volume_m3: tuple[float, float] | None) -> Target:
    """A heap by the volume the papers print: large where it is, or may be, over the limit, and where it is not known.

    volume_m3 : likely and at its high end [m³], None where the size is not known
    """
    if volume_m3 is None:
        why = reason("safety.size_unknown", name=target.name)
    elif volume_m3[1] <= LARGE_HEAP_M3:
        return target
    elif volume_m3[0] > LARGE_HEAP_M3:
        return replace(target, use="large_heap")
    else:
        likely, limit = (Quantity(each, "m3", 2) for each in (volume_m3[0], LARGE_HEAP_M3))
        high = Quantity(volume_m3[1], "m3", 2)
        why = reason("safety.may_be_large", name=target.name, likely=likely, high=high, limit=limit)
    return replace(target, use="large_heap", notes=(*target.notes, Note(target.id, "heap_size", why)))


def feed_heap(target: Target, supply_min: float | None) -> Target:
    """A feed heap, or a heap like any other where it would feed the kiln for more than a quarter of an hour.

    supply_min : how long it would at most [min], None where that is not known
    """
    if supply_min is not None and supply_min <= STAGED_MIN:
        return target
    if supply_min is None:
        why = reason("safety.feed_not_known", name=target.name)
    else:
        lasts, limit = compared(supply_min, STAGED_MIN, "min")
        why = reason("safety.not_staged", name=target.name, lasts=lasts, limit=limit)
    return replace(target, use="heap", notes=(*target.notes, Note(target.id, "staged_feed", why)))


def _edge(thing: Thing, use: str, shape: BaseGeometry, notes: list[Note]) -> BaseGeometry:
    """The edge distances run to: the drawn one, or a footprint round a point or line that stands for something wide."""
    if thing.kind == "property_line" and shape.area > 0:
        return shape.boundary  # the holding is drawn as an area; what counts is its edge, also from inside
    if shape.area > 0:
        return shape
    if thing.kind == "pile":
        length_m, width_m = thing.length_m, thing.width_m
        if length_m is None or width_m is None:
            known_m = max(length_m or 0, width_m or 0) / math.sqrt(2)
            radius_m = max(UNKNOWN_HEAP_RADIUS_M, known_m)
            why = reason("safety.heap_round", name=thing.name, radius=metres(radius_m, 2))
            notes.append(Note(thing.id, "footprint", why))
        else:
            radius_m = math.hypot(length_m, width_m) / 2  # its direction is not known: the circle through its corners
        return shape.buffer(radius_m, quad_segs=16)
    if thing.kind == "windrow":
        width_m = thing.width_m
        if width_m is None:
            width_m = UNKNOWN_WINDROW_WIDTH_M
            why = reason("safety.windrow_width", name=thing.name, width=metres(width_m, 2))
            notes.append(Note(thing.id, "width_m", why))
        return shape.buffer(width_m / 2, quad_segs=16)
    if thing.area_m2 and use == "open_water":
        return shape.buffer(math.sqrt(thing.area_m2 / math.pi), quad_segs=16)
    drawn = _drawn_row(thing, shape)
    if drawn is None:
        return shape
    width_m = thing.width_m
    if width_m is None:
        width_m = float(drawn["width_m"])
        if "Line" in shape.geom_type:
            notes.append(
                Note(thing.id, "width_m", reason("safety.line_width", name=thing.name, width=metres(width_m, 2)))
            )
        else:
            widest = metres(float(drawn["widest_m"]), 2)
            notes.append(Note(thing.id, "footprint", reason("safety.mark_size", name=thing.name, widest=widest)))
    return shape.buffer(width_m / 2, quad_segs=16) if width_m else shape


def _said(thing: Thing, notes: list[Note], what: str, why: Reason, use: str) -> str:
    notes.append(Note(thing.id, what, why))
    return use
