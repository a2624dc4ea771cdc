"""Where a batch burned: kept with its row of the log, so that a kiln spot moved since does not take its fire along."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from sitemap.named import named
from sitemap.site.frozen import FrozenDict
from sitemap.site.model import Feature, Site
from sitemap.site.seen import lonlat_of
from sitemap.site.stamps import EVERY, SEEN, place_said

Place = tuple[float, float]  # longitude and latitude


def places_kept(before: Site, after: Site) -> Site:
    """The site after an edit, each row of the log with the place its kiln had: a new row where the kiln stands now, an
    older one without a place where it stood before the edit. A row that is given another kiln burned where that stands.
    """
    rows = after.member.get("log")
    if not isinstance(rows, tuple) or not rows:
        return after
    old = before.member.get("log")
    known = old if isinstance(old, tuple) else ()
    if len(known) == len(rows):
        rows = tuple(_corrected(row, was) for row, was in zip(rows, known, strict=True))
    new = tuple(_kept(row, before if row in known else after) for row in rows)
    return after if new == after.member.get("log") else after.with_member("log", new)


def _corrected(row: Any, was: Any) -> Any:
    """A row without the place that belongs to the kiln it named before."""
    if not isinstance(row, FrozenDict) or not isinstance(was, FrozenDict) or row.get("kiln") == was.get("kiln"):
        return row
    return row if row.get(SEEN) != was.get(SEEN) else FrozenDict({k: v for k, v in row.items() if k != SEEN})


def _kept(row: Any, site: Site) -> Any:
    if not isinstance(row, FrozenDict) or row.get(SEEN) is not None:
        return row
    spot = _spot(site, row.get("kiln"))
    at = None if spot is None else lonlat_of(site, spot)
    return row if at is None else row.put(seen={EVERY: {"at": at}})


def _spot(site: Site, said: Any) -> Feature | None:
    """The kiln spot a row of the log names, by its own name or by that of a kiln that works at it alone."""
    if not isinstance(said, str):
        return None
    spots = site.of_kind("kiln_spot")
    found = named(spots, said.strip())
    if found is not None:
        return found
    kiln = named(site.equipment("kilns"), said.strip())
    at = [] if kiln is None else [spot for spot in spots if spot.text("kiln") in (kiln.id, kiln.name)]
    return at[0] if len(at) == 1 else None


def burned_at(row: Mapping[str, Any]) -> Place | None:
    """Where a row of the log says that it burned, or None."""
    return next(_places(row), None)


def stood_at(spot: Feature) -> tuple[Place, ...]:
    """Every place where somebody saw facts of a kiln spot: it stood there once."""
    return tuple(dict.fromkeys(_places(spot.values)))


def _places(values: Mapping[str, Any]) -> Iterator[Place]:
    stamps = values.get(SEEN)
    for stamp in stamps.values() if isinstance(stamps, Mapping) else ():
        place = place_said(stamp.get("at")) if isinstance(stamp, Mapping) else None
        if place is not None:
            yield place
