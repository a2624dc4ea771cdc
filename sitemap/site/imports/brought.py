"""What a file brought: things that may be kept, each with a guessed kind, and what is to be said at its rows."""

from __future__ import annotations

from dataclasses import dataclass, replace

from sitemap.site.grid import NAME, PLACE, CellNote, is_blank
from sitemap.site.kinds import KINDS
from sitemap.site.model import Feature, Site

_BORNE = ("kind", NAME)


@dataclass(frozen=True)
class Candidate:
    """One thing of a file, before anybody kept it.

    row : row of the table, or number of the waypoint or track
    feature : its values, id empty
    kinds : the kinds its shape allows, the guess among them
    why : what the guess rests on
    """

    row: int
    feature: Feature
    kinds: tuple[str, ...]
    why: str

    def of_kind(self, kind: str) -> Candidate:
        """The same thing as another kind."""
        return replace(self, feature=self.feature.with_values(kind=kind))


@dataclass(frozen=True)
class Brought:
    """What one file held. `words` is its text where it is no table: it is kept as a note."""

    name: str
    candidates: tuple[Candidate, ...] = ()
    notes: tuple[CellNote, ...] = ()
    words: str = ""


def kinds_for(shape: str | None) -> tuple[str, ...]:
    """The kinds that may have a shape ("Point", "LineString", "Polygon"), or all for a thing without a place."""
    return tuple(key for key, kind in KINDS.items() if shape is None or shape in kind.geometries)


def namesake(site: Site, candidate: Candidate) -> Feature | None:
    """The thing on the site that bears the same name and is of the same kind, where there is just one."""
    said = str(candidate.feature.values.get(NAME) or "").strip().casefold()
    found = [f for f in site.of_kind(candidate.feature.kind) if said and f.name.casefold() == said]
    return found[0] if len(found) == 1 else None


def differences(old: Feature, new: Feature) -> tuple[str, ...]:
    """What both say and say differently: names of attributes, "place" for the shape."""
    said = [key for key, value in new.values.items() if key not in _BORNE and old.values.get(key, value) != value]
    placed = old.geometry is not None and new.geometry is not None and old.geometry != new.geometry
    return (*said, PLACE) if placed and PLACE not in said else tuple(said)


def keep(site: Site, candidates: tuple[Candidate, ...]) -> Site:
    """The site with the candidates in it. One named like a thing of its kind fills in what it says there.

    A name that stands twice in the file itself gives two things: which is right is for a person to say.
    """
    before, filled = site, set()
    for candidate in candidates:
        new, old = candidate.feature, namesake(before, candidate)
        if is_blank(new):
            continue
        if old is None or old.id in filled:
            site = site.put(Feature.of(site.new_id(new.kind), new.geometry, new.values))
            continue
        filled.add(old.id)
        merged = old.with_values(**{key: value for key, value in new.values.items() if key not in _BORNE})
        site = site.put(merged if new.geometry is None else merged.with_geometry(new.geometry))
    return site
