"""What a file brought: things that may be kept, each with a guessed kind, and what is to be said at its rows.

A thing that is kept remembers where it came from (its member `origin`: the file and what the thing is called in it), so
that the same file brought again changes it and makes no second one.
"""

from __future__ import annotations

import hashlib
import json
from collections import Counter, defaultdict
from collections.abc import Container, Iterable
from dataclasses import dataclass, replace

from sitemap.site.frozen import FrozenDict, thaw
from sitemap.site.grid import NAME, PLACE, CellNote, is_blank
from sitemap.site.kinds import KINDS
from sitemap.site.model import Feature, Site

ORIGIN = "origin"  # member of a feature: {"file": …, "id": …}
_KIND = "kind"


@dataclass(frozen=True)
class Candidate:
    """One thing of a file, before anybody kept it.

    row : line of the table, or number of the waypoint, track or feature
    feature : its values, id empty
    kinds : the kinds its shape allows, the guess among them
    why : what the guess rests on
    id : by which the file knows it again; empty where it says none
    origin : the mark it keeps once it is on the site, or None
    """

    row: int
    feature: Feature
    kinds: tuple[str, ...]
    why: str
    id: str = ""
    origin: FrozenDict | None = None

    def of_kind(self, kind: str) -> Candidate:
        """The same thing as another kind."""
        return replace(self, feature=self.feature.with_values(kind=kind))


@dataclass(frozen=True)
class Brought:
    """What one file held.

    words : its text where it is no table: it is kept as a note
    asks_system : there are eastings and northings of a coordinate system that is not known
    waiting : rows of a table whose place waits for that
    headings : what stands over a column, or a property → label of the attribute it was taken for, empty for the note
    """

    name: str
    candidates: tuple[Candidate, ...] = ()
    notes: tuple[CellNote, ...] = ()
    words: str = ""
    asks_system: bool = False
    waiting: frozenset[int] = frozenset()
    headings: tuple[tuple[str, str], ...] = ()


def marked(brought: Brought) -> Brought:
    """What was brought, each thing with the mark of where it came from.

    What the file gives no id is known again by its name and the place it had in the file.
    """
    seen: Counter[str] = Counter()
    made = []
    for candidate in brought.candidates:
        own = candidate.id or _print_of(candidate.feature)
        seen[own] += 1
        again = f"~{seen[own]}" if seen[own] > 1 else ""
        origin = FrozenDict({"file": brought.name, "id": own + again}) if own else None
        made.append(replace(candidate, origin=origin))
    return replace(brought, candidates=tuple(made))


def _print_of(feature: Feature) -> str:
    place = thaw(feature.geometry) or feature.values.get(PLACE)
    said = [feature.values.get(NAME), place]
    return hashlib.sha256(json.dumps(said, sort_keys=True).encode()).hexdigest()[:16] if any(said) else ""


def kinds_for(shape: str | None) -> tuple[str, ...]:
    """The kinds that may have a shape ("Point", "LineString", "Polygon"), or all for a thing without a place."""
    return tuple(key for key, kind in KINDS.items() if shape is None or shape in kind.geometries)


def counterparts(site: Site, candidates: Iterable[Candidate]) -> tuple[Feature | None, ...]:
    """The thing on the site that each candidate is, or None: by its mark, by name and kind, or by kind and place.

    Of several namesakes it is the one at that place. No thing is two candidates': a name that stands twice in the file
    itself gives two things, for which is right is for a person to say.
    """
    marks: dict[FrozenDict, Feature] = {}
    names: dict[tuple[str, str], list[Feature]] = defaultdict(list)
    places: dict[tuple[str, FrozenDict], list[Feature]] = defaultdict(list)
    for feature in site.features:
        if isinstance(mark := feature.members.get(ORIGIN), FrozenDict):
            marks.setdefault(mark, feature)
        names[feature.kind, _said(feature)].append(feature)
        if feature.geometry is not None and not _said(feature):
            places[feature.kind, feature.geometry].append(feature)
    found: list[Feature | None] = []
    taken: set[str] = set()
    for candidate in candidates:
        new = candidate.feature
        same = [marks[candidate.origin]] if candidate.origin in marks else []
        if not same and _said(new):
            alike = names[new.kind, _said(new)]
            same = alike if len(alike) == 1 else [each for each in alike if each.geometry == new.geometry]
        elif not same and new.geometry is not None:
            same = places[new.kind, new.geometry]
        one = next((each for each in same if each.id not in taken), None)
        taken |= {one.id} if one else set()
        found.append(one)
    return tuple(found)


def _said(feature: Feature) -> str:
    return str(feature.values.get(NAME) or "").strip().casefold()


def known_again(site: Site, candidates: tuple[Candidate, ...]) -> tuple[Candidate, ...]:
    """The candidates, one that came in before as the kind somebody chose for it then."""
    made = []
    for candidate, old in zip(candidates, counterparts(site, candidates), strict=True):
        chosen = old is not None and old.kind != candidate.feature.kind and old.kind in candidate.kinds
        made.append(candidate.of_kind(old.kind) if old is not None and chosen else candidate)
    return tuple(made)


def differences(old: Feature, new: Feature) -> tuple[str, ...]:
    """What both say and say differently: names of attributes, "place" for the shape."""
    said = [key for key, value in new.values.items() if old.values.get(key, value) != value]
    if NAME in said and old.name.casefold() == new.name.casefold():
        said.remove(NAME)
    placed = old.geometry is not None and new.geometry is not None and old.geometry != new.geometry
    return (*said, PLACE) if placed and PLACE not in said else tuple(said)


def additions(old: Feature, new: Feature) -> tuple[str, ...]:
    """What only the new one says: names of attributes, "place" for the shape."""
    said = [key for key, value in new.values.items() if value is not None and old.values.get(key) is None]
    placed = old.geometry is None and new.geometry is not None
    return (*said, PLACE) if placed and PLACE not in said else tuple(said)


def keep(site: Site, candidates: tuple[Candidate, ...]) -> Site:
    """The site with the candidates in it: what is there already says now what they say, the others are new."""
    kept = {feature.id: feature for feature in site.features}
    count = Counter(feature.kind for feature in site.features)
    for candidate, old in zip(candidates, counterparts(site, candidates), strict=True):
        new = candidate.feature
        if is_blank(new):
            continue
        if old is None:
            made = Feature.of(_free_id(kept, count, new.kind), new.geometry, new.values)
        else:
            made = old.with_values(**new.values)
            made = made if new.geometry is None else made.with_geometry(new.geometry)
        if candidate.origin is not None:
            made = replace(made, members=made.members.put(**{ORIGIN: candidate.origin}))
        kept[made.id] = made
    if tuple(kept.values()) == site.features:
        return site
    return replace(site, features=tuple(kept.values()), members=site.members.put(bbox=None))


def _free_id(taken: Container[str], count: Counter[str], kind: str) -> str:
    """An id no feature bears yet, as `Site.new_id` makes it; of thousands, without looking at all each time."""
    count[kind] += 1
    while f"{kind}-{count[kind]}" in taken:
        count[kind] += 1
    return f"{kind}-{count[kind]}"
