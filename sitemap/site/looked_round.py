"""Round which places somebody looked: a look says how far, and how far from where is kept beside it.

A record of `looked` keeps under `seen` the places its distance runs from: {"*": {"around": [[lon, lat], …]}}: the kiln
spots as they stood when it was typed, before there is one the heaps or the logged areas. It says nothing of the ground
round a kiln further off.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from sitemap.site.frozen import FrozenDict
from sitemap.site.model import Entry, Site
from sitemap.site.stamps import EVERY, SEEN, place_said

AROUND = "around"
MOST_PLACES = 100  # of a large site; more say no more
#  Where the work is: the first of these of which any has a place.
CENTRES = (("kiln_spot",), ("pile", "windrow"), ("logged_area",))
Places = Iterable[list[float]]


def looked_around(entry: Entry) -> tuple[tuple[float, float], ...]:
    """Longitude and latitude of the places a look was made round; empty where nobody said."""
    stamps = entry.values.get(SEEN)
    stamp = stamps.get(EVERY) if isinstance(stamps, Mapping) else None
    said = stamp.get(AROUND) if isinstance(stamp, Mapping) else None
    places = (place_said(each) for each in said) if isinstance(said, tuple) else ()
    return tuple(place for place in places if place is not None)


def typed_looks(before: Site, after: Site) -> set[FrozenDict]:
    """What was typed of looks in an edit, without where they were made."""
    return every_look(after) - every_look(before)


def every_look(site: Site) -> set[FrozenDict]:
    """What every look says, without where it was made."""
    return {_said(entry.values) for entry in site.records("looked")}


def looks_stamped(site: Site, typed: set[FrozenDict], places: Places) -> Site:
    """The site with some looks kept as made round some places.

    typed : of `typed_looks` or `every_look`; places : longitude and latitude
    """
    held, around = site.member.get("looked"), [*places][:MOST_PLACES] if typed else []
    if not around or not isinstance(held, tuple):
        return site
    return site.with_member("looked", tuple(_stamped(row, typed, around) for row in held))


def _stamped(row: Any, typed: set[FrozenDict], around: list[list[float]]) -> Any:
    mine = isinstance(row, FrozenDict) and _said(row) in typed
    return row.put(**{SEEN: {EVERY: {AROUND: around}}}) if mine else row


def _said(values: FrozenDict) -> FrozenDict:
    return values.put(**{SEEN: None})
