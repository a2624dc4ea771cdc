"""One kiln of the equipment list, read into what the formulas need; what is blank is assumed and said."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from sitemap import tables
from sitemap.kiln.shapes import Hollow, steel_mass
from sitemap.notes import Note
from sitemap.site.model import Item
from sitemap.units import text

_Say = Callable[[str, str], None]
_RECTANGULAR = ("length_m", "width_m", "height_m")
_ROUND = ("diameter_m", "height_m")


@dataclass(frozen=True)
class KilnFacts:
    """A kiln that can be reckoned with.

    fill_fraction : char at the end, share of the volume, or None where not measured
    feed_kg_h, machine_feed_kg_h : dry wood [kg/h], or None
    leak_l_min : of the bin when water stands in it [L/min]; 0 without a floor, which holds none
    """

    item: Item
    hollow: Hollow
    has_floor: bool
    steel_kg: float
    leak_l_min: float
    piece_limit_cm: float
    fill_fraction: float | None
    feed_kg_h: float | None
    machine_feed_kg_h: float | None
    feeders: int | None
    count: int


def read_kiln(item: Item, system: str = "metric") -> tuple[KilnFacts | None, tuple[Note, ...], tuple[Note, ...]]:
    """Read one kiln.

    Parameters
    ----------
    item : from the list "kilns"
    system : units of the sentences, "metric" or "us"

    Returns
    -------
    (facts, or None where its shape or a size is not known; what was assumed; what is not known)
    """
    hollow, missing = _hollow(item)
    if hollow is None:
        note = Note(
            item.id,
            "kiln_size_not_known",
            f"{item.name} lacks its {missing}: its batches, char and quench are not known until it is entered.",
        )
        return None, (), (note,)
    assumed: list[Note] = []

    def said(what: str, told: str) -> None:
        assumed.append(Note(item.id, what, f"{item.name}: {told}"))

    if hollow.shape in ("trough", "frustum") and not _any(
        item, "length_bottom_m", "width_bottom_m", "diameter_bottom_m"
    ):
        said("straight_walls", "no size at the bottom entered, walls taken as upright.")
    has_floor = _has_floor(item, said)
    burning = tables.load("kiln_burning")
    steel_kg = item.number("steel_mass_kg")
    if steel_kg is None:
        plate = item.number("plate_thickness_mm")
        if plate is None:
            plate = float(burning["plate_thickness"]["value"])
            said("plate_thickness", f"steel taken as plate of {text(plate, 'mm', system, 2)}.")
        steel_kg = steel_mass(hollow.steel_area_m2(has_floor), plate, float(burning["steel_density"]["value"]))
    limit = item.number("piece_limit_cm")
    if limit is None:
        limit = float(burning["piece_limit"]["value"])
        said("piece_limit", f"thickest piece it takes, taken as {text(limit, 'cm', system, 2)}.")
    facts = KilnFacts(
        item=item,
        hollow=hollow,
        has_floor=has_floor,
        steel_kg=float(steel_kg),
        leak_l_min=_leak(item, said, system) if has_floor else 0.0,
        piece_limit_cm=limit,
        fill_fraction=item.number("fill_fraction"),
        feed_kg_h=item.number("feed_kg_h"),
        machine_feed_kg_h=item.number("machine_feed_kg_h"),
        feeders=item.integer("feeders"),
        count=item.integer("count") or 1,
    )
    return facts, tuple(assumed), ()


def _any(item: Item, *names: str) -> bool:
    return any(item.number(name) is not None for name in names)


def _hollow(item: Item) -> tuple[Hollow | None, str]:
    """The inside, or None and the names of what is missing."""
    shape = item.choice("shape")
    if shape is None:
        return None, "shape"
    needed = _ROUND if shape in ("frustum", "ring") else _RECTANGULAR
    missing = [item.attribute(name).label.lower() for name in needed if item.number(name) is None]
    if missing:
        return None, " and ".join(missing)

    def size(name: str, otherwise: str) -> float:
        value = item.number(name)
        return value if value is not None else item.number(otherwise) or 0.0

    height = size("height_m", "height_m")
    if needed == _ROUND:
        top, bottom = size("diameter_m", "diameter_m"), size("diameter_bottom_m", "diameter_m")
        return Hollow(shape, height, top, top, bottom, bottom), ""
    length, width = size("length_m", "length_m"), size("width_m", "width_m")
    bottom_length, bottom_width = size("length_bottom_m", "length_m"), size("width_bottom_m", "width_m")
    return Hollow(shape, height, length, width, bottom_length, bottom_width), ""


def _has_floor(item: Item, said: _Say) -> bool:
    holds, flag = item.choice("holds_water"), item.flag("has_floor")
    if holds == "no_floor" or flag is False:
        if flag is True or holds in ("yes", "drips"):
            said(
                "floor_contradiction",
                "said both to have a floor and to have none, taken as without: cannot be flooded.",
            )
        return False
    if flag is True or holds is not None:
        return True
    if item.choice("shape") == "ring":
        said("ring_floor", "nothing said of a floor, a ring is taken as open at the bottom: it cannot be flooded.")
        return False
    return True


def _leak(item: Item, said: _Say, system: str) -> float:
    typed = item.number("leaks_l_min")
    if typed is not None:
        return typed
    holds = item.choice("holds_water")
    if holds == "yes":
        return 0.0
    leak = float(tables.load("quench")["leak"]["value"])
    said("leak", f"taken to drip {text(leak, 'l_min', system, 2)} when water stands in it; test it full of water.")
    return leak
