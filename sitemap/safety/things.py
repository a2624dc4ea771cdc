"""What each feature is for the rules: its use, its edge on the plane, how far it may be off, what was assumed."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

from shapely.geometry.base import BaseGeometry

from sitemap import tables
from sitemap.errors import BadShape
from sitemap.geodesy.plane import Plane
from sitemap.notes import Note
from sitemap.site.model import Feature

LARGE_HEAP_M3, LARGE_HEAP_HEIGHT_M = 50.0, 3.0  # ours, from memory (M)
STAGED_HEAP_M3 = 5.0  # [m³] more than a small feed heap, about 15 minutes' supply with room to spare; ours (C)
HALF_A_BOX = 0.5  # [1] a heap against the box round it; a half ellipsoid is π/6 = 0.52 (D)
UNKNOWN_HEAP_RADIUS_M = 2.0  # [m] a heap drawn as a point without length and width; ours (C)
UNKNOWN_WINDROW_WIDTH_M = 4.0  # [m] ours (C)
IN_TREES = ("standing_timber", "hazard_tree")


@dataclass(frozen=True)
class Thing:
    """One feature as the rules see it.

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
    use: str
    shape: BaseGeometry | None
    error_m: float
    error_assumed: bool = False
    height_m: float | None = None
    voltage_kv: float | None = None
    notes: tuple[Note, ...] = ()


@lru_cache(maxsize=16)  # a kiln spot dragged leaves them as they are
def things_of(features: tuple[Feature, ...], kinds: frozenset[str], plane: Plane) -> tuple[Thing, ...]:
    """The features the rules may speak of.

    Parameters
    ----------
    features : features of the site
    kinds : kinds any rule speaks of
    plane : plane of the site

    Returns
    -------
    one `Thing` per feature of those kinds, in their order, without burned or cold heaps and water in tanks or pipes
    """
    found = (thing_of(feature, plane) for feature in features if feature.kind in kinds and feature.kind_schema)
    return tuple(thing for thing in found if thing.use not in ("burned", "contained"))


@lru_cache(maxsize=16_384)  # as many as `near_shape`
def thing_of(feature: Feature, plane: Plane) -> Thing:
    """One feature as the rules see it, on the plane."""
    notes: list[Note] = []
    shape = shape_on(feature, plane)
    use = use_of(feature, shape, notes)
    error_m = feature.number("position_error_m")
    assumed = error_m is None
    if error_m is None:
        under_trees = feature.kind in IN_TREES or (feature.kind == "kiln_spot" and feature.flag("under_trees") is True)
        error_m = default_error_m(under_trees)
    height_m = feature.number("height_m") if feature.kind in IN_TREES else None
    if feature.kind == "hazard_tree" and height_m is None:
        notes.append(Note(feature.id, "height_m", f"{feature.name}: tree taken as 25 m high."))
    voltage_kv = feature.number("voltage_kv") if feature.kind == "power_line" else None
    edge = None if shape is None else _edge(feature, use, shape, notes)
    return Thing(
        feature.id, feature.name, feature.kind, use, edge, error_m, assumed, height_m, voltage_kv, tuple(notes)
    )


def default_error_m(under_trees: bool) -> float:
    """How far a place may be off where nobody entered it [m]."""
    return float(tables.load("position_errors")["under_trees" if under_trees else "open"]["error_m"])


def shape_on(feature: Feature, plane: Plane) -> BaseGeometry | None:
    """The drawn shape on the plane [m], or None where it is absent, crossed, or nowhere on the plane."""
    if feature.shape is None:
        return None
    try:
        shape = plane.forward(feature.shape)
    except BadShape:
        return None
    return shape if shape.is_valid and not shape.is_empty else None


def use_of(feature: Feature, shape: BaseGeometry | None, notes: list[Note]) -> str:
    """What a feature is for the rules; what is left blank is taken the cautious way, and said in notes.

    structure: own, occupied_by_others, unoccupied · road: public, private · power_line: overhead, buried ·
    pile, windrow: heap, large_heap, staged, burned · water_source: open_water, contained · else "".
    """
    if feature.kind == "structure":
        return feature.choice("use") or _said(
            feature, notes, "use", "taken as lived in by others", "occupied_by_others"
        )
    if feature.kind == "road":
        if feature.flag("public") is None:
            return _said(feature, notes, "public", "taken as a public road", "public")
        return "public" if feature.flag("public") else "private"
    if feature.kind == "power_line":
        if feature.flag("overhead") is None:
            return _said(feature, notes, "overhead", "taken as overhead", "overhead")
        return "overhead" if feature.flag("overhead") else "buried"
    if feature.kind in ("pile", "windrow"):
        return _heap_use(feature, shape, notes)
    if feature.kind == "water_source":
        source = feature.choice("source")
        if source is None:
            return _said(feature, notes, "source", "taken as open water", "open_water")
        return "open_water" if source in ("pond", "stream") else "contained"
    return ""


def _heap_use(feature: Feature, shape: BaseGeometry | None, notes: list[Note]) -> str:
    if feature.choice("status") in ("burned", "cold"):
        return "burned"
    height_m, volume_m3 = feature.number("height_m"), _rough_volume_m3(feature, shape)
    if (height_m or 0) > LARGE_HEAP_HEIGHT_M or (volume_m3 or 0) > LARGE_HEAP_M3:
        return "large_heap"
    if feature.kind == "pile" and feature.flag("staged_feed"):
        if (volume_m3 or 0) <= STAGED_HEAP_M3:
            return "staged"
        text = f"about {volume_m3:.0f} m³ is more than a small feed heap; counted as a heap"
        return _said(feature, notes, "staged_feed", text, "heap")
    if volume_m3 is None and feature.choice("packing") in (None, "machine_heap"):
        return _said(feature, notes, "heap_size", "size not entered, counted as a large heap", "large_heap")
    return "heap"


def _rough_volume_m3(feature: Feature, shape: BaseGeometry | None) -> float | None:
    """Half the box round a heap: enough to tell large from small, not the tonnage."""
    height_m, width_m, length_m = feature.number("height_m"), feature.number("width_m"), feature.number("length_m")
    if height_m is None:
        return None
    if length_m is None and feature.kind == "windrow" and shape is not None:
        length_m = float(shape.length)
    if length_m is not None and width_m is not None:
        return HALF_A_BOX * length_m * width_m * height_m
    if shape is not None and shape.area > 0:
        return HALF_A_BOX * float(shape.area) * height_m
    return None


def _edge(feature: Feature, use: str, shape: BaseGeometry, notes: list[Note]) -> BaseGeometry:
    """The edge distances run to: the drawn one, or a footprint round a point or line that stands for something wide."""
    if feature.kind == "property_line" and shape.area > 0:
        return shape.boundary  # the holding is drawn as an area; what counts is its edge, also from inside
    if shape.area > 0:
        return shape
    if feature.kind == "pile":
        length_m, width_m = feature.number("length_m"), feature.number("width_m")
        if length_m is None or width_m is None:
            known_m = max(length_m or 0, width_m or 0) / math.sqrt(2)
            radius_m = max(UNKNOWN_HEAP_RADIUS_M, known_m)
            text = f"{feature.name}: length or width not entered, taken as {radius_m:.1f} m round its place."
            notes.append(Note(feature.id, "footprint", text))
        else:
            radius_m = math.hypot(length_m, width_m) / 2  # its direction is not known: the circle through its corners
        return shape.buffer(radius_m, quad_segs=16)
    if feature.kind == "windrow":
        width_m = feature.number("width_m")
        if width_m is None:
            width_m = UNKNOWN_WINDROW_WIDTH_M
            notes.append(Note(feature.id, "width_m", f"{feature.name}: width not entered, taken as {width_m:g} m."))
        return shape.buffer(width_m / 2, quad_segs=16)
    if use == "open_water" and shape.geom_type == "Point":
        area_m2 = feature.number("area_m2")
        if area_m2 is not None:
            return shape.buffer(math.sqrt(area_m2 / math.pi), quad_segs=16)
        notes.append(
            Note(feature.id, "footprint", f"{feature.name}: edge of the water not drawn, measured to its mark.")
        )
    return shape


def _said(feature: Feature, notes: list[Note], what: str, text: str, use: str) -> str:
    notes.append(Note(feature.id, what, f"{feature.name}: {text}."))
    return use
