"""Kilns, kiln spots, crew and working hours as entered, read once; what is blank is assumed and said."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable

from sitemap import tables
from sitemap.errors import BadValue
from sitemap.kiln.shapes import Hollow, steel_mass
from sitemap.kiln.values import CrewFacts, Kiln, KilnSpot
from sitemap.notes import Note
from sitemap.reasons import Quantity, Reason, Term, l_min, reason
from sitemap.site.model import Entry, Feature, Item

_Say = Callable[[str, Reason], None]
_RECTANGULAR = ("length_m", "width_m", "height_m")
_ROUND = ("diameter_m", "height_m")
_BOTTOM = ("length_bottom_m", "width_bottom_m", "diameter_bottom_m")


def read_spot(spot: Feature) -> KilnSpot:
    """What a kiln spot says of its kiln. spot : a feature of kind kiln_spot; read it with `spot.once`."""
    method, serves = spot.choice("quench_method"), spot.names("serves")
    return KilnSpot(spot.id, spot.name, spot.text("kiln"), serves, method, spot.integer("feeders"))


def read_crew(crew: Entry) -> CrewFacts:
    """Who works. crew : the section "crew" of the site."""
    adults, rakers, feeders, carriers = map(crew.integer, ("adults", "rakers", "feeders", "carriers"))
    return CrewFacts(adults, rakers, feeders, carriers)


def read_kiln(item: Item) -> tuple[Kiln | None, tuple[Note, ...], tuple[Note, ...]]:
    """Read one kiln.

    Parameters
    ----------
    item : from the list "kilns"; read it with `item.once`

    Returns
    -------
    (the kiln, or None where its shape or a size is not known; what was assumed; what is not known)
    """
    hollow, missing = _hollow(item)
    if hollow is None:
        return None, (), (Note(item.id, "kiln_size_not_known", reason("kiln.lacks", kiln=item.name, missing=missing)),)
    assumed: list[Note] = []

    def said(what: str, why: Reason) -> None:
        assumed.append(Note(item.id, what, why))

    if hollow.shape in ("trough", "frustum") and all(item.number(name) is None for name in _BOTTOM):
        said("straight_walls", reason("kiln.straight_walls", kiln=item.name))
    has_floor = _has_floor(item, said)
    kiln = Kiln(
        id=item.id,
        name=item.name,
        hollow=hollow,
        has_floor=has_floor,
        floor_known=item.choice("holds_water") is not None or item.flag("has_floor") is not None,
        steel_kg=_steel_kg(item, hollow, has_floor, said),
        piece_limit_cm=_piece_limit_cm(item, said),
        leak_l_min=_leak_l_min(item, said) if has_floor else 0.0,
        leak_known=item.has("leaks_l_min") or item.choice("holds_water") == "yes",
        fill_fraction=item.number("fill_fraction"),
        feed_kg_h=item.number("feed_kg_h"),
        machine_feed_kg_h=item.number("machine_feed_kg_h"),
        feeders=item.integer("feeders"),
        count=item.integer("count") or 1,
        counted=item.integer("count") is not None,
    )
    return kiln, tuple(assumed), ()


def _hollow(item: Item) -> tuple[Hollow | None, tuple[str, ...]]:
    """The inside, or None and the names of what is missing."""
    shape = item.choice("shape")
    if shape is None:
        return None, (Term("shape"),)
    needed = _ROUND if shape in ("frustum", "ring") else _RECTANGULAR
    sizes = {name: item.number(name) for name in (*needed, *_BOTTOM)}
    missing = tuple(Term(item.attribute(name).label.lower()) for name in needed if sizes[name] is None)
    if missing:
        return None, missing

    def size(name: str, otherwise: str) -> float:
        value = sizes[name]
        return value if value is not None else sizes[otherwise] or 0.0

    height = size("height_m", "height_m")
    if needed == _ROUND:
        top, bottom = size("diameter_m", "diameter_m"), size("diameter_bottom_m", "diameter_m")
        return Hollow(shape, height, top, top, bottom, bottom), ()
    length, width = size("length_m", "length_m"), size("width_m", "width_m")
    bottom_length, bottom_width = size("length_bottom_m", "length_m"), size("width_bottom_m", "width_m")
    return Hollow(shape, height, length, width, bottom_length, bottom_width), ()


def _has_floor(item: Item, said: _Say) -> bool:
    holds, flag = item.choice("holds_water"), item.flag("has_floor")
    if holds == "no_floor" or flag is False:
        if flag is True or holds in ("yes", "drips"):
            said("floor_contradiction", reason("kiln.floor_contradiction", kiln=item.name))
        return False
    if flag is True or holds is not None:
        return True
    if item.choice("shape") == "ring":
        said("ring_floor", reason("kiln.ring_floor", kiln=item.name))
        return False
    return True


def _steel_kg(item: Item, hollow: Hollow, has_floor: bool, said: _Say) -> float:
    typed, plate = item.number("steel_mass_kg"), item.number("plate_thickness_mm")
    if typed is not None:
        return typed
    if plate is None:
        plate = tables.value("kiln_burning", "plate_thickness")
        said("plate_thickness", reason("kiln.plate", kiln=item.name, plate=Quantity(plate, "mm", 2)))
    return float(steel_mass(hollow.steel_area_m2(has_floor), plate, tables.value("kiln_burning", "steel_density")))


def _piece_limit_cm(item: Item, said: _Say) -> float:
    limit = item.number("piece_limit_cm")
    if limit is None:
        limit = tables.value("kiln_burning", "piece_limit")
        said("piece_limit", reason("kiln.piece_limit", kiln=item.name, limit=Quantity(limit, "cm", 2)))
    return limit


def _leak_l_min(item: Item, said: _Say) -> float:
    typed = item.number("leaks_l_min")
    if typed is not None:
        return typed
    if item.choice("holds_water") == "yes":
        return 0.0
    leak = tables.value("quench", "leak")
    said("leak", reason("kiln.leak", kiln=item.name, leak=l_min(leak)))
    return leak


def hour_minute(text: str) -> dt.time:
    """A time of day typed as hours and minutes.

    Raises BadValue for anything else.

    >>> hour_minute("7:30")
    datetime.time(7, 30)
    """
    try:
        hours, minutes = text.strip().split(":")
        return dt.time(int(hours), int(minutes))
    except ValueError:
        raise BadValue(reason("kiln.time_of_day", typed=text)) from None


def out_by(permit: Entry, on: dt.date, zone: dt.tzinfo = dt.UTC) -> dt.datetime | None:
    """The moment by which the permit wants the fires of a day out; None where it names no hour, or none to be read.

    permit : the section of the site. Whether its hour is for its last day alone is often not said: then it ends every
    day, the stricter of the two (common practice, no source)
    """
    typed, last = permit.text("to_time"), permit.date("to")
    if not typed:
        return None
    try:
        hour = hour_minute(typed)
    except BadValue:
        return None  # the check of the permit says so
    alone = last is not None and permit.flag("to_time_last_day") is True
    return dt.datetime.combine(last if alone and last is not None else on, hour, zone)


def working_hours(
    date: dt.date, zone: dt.tzinfo, starts: str | None, ends: str | None
) -> tuple[dt.datetime | None, dt.datetime | None, tuple[Reason, ...]]:
    """The crew's hours as typed, on a date; None where blank or not to be read, and why not.

    >>> [str(why.code) for why in working_hours(dt.date(2026, 3, 20), dt.UTC, "7:30", "soon")[2]]
    ['kiln.time_of_day']
    """
    hours: list[dt.datetime | None] = []
    unread: list[Reason] = []
    for typed in (starts, ends):
        try:
            hours.append(dt.datetime.combine(date, hour_minute(typed), zone) if typed else None)
        except BadValue:
            hours.append(None)
            unread.append(reason("kiln.time_of_day", typed=typed))
    return hours[0], hours[1], tuple(unread)
