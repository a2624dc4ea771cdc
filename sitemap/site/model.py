"""The Site: what was entered, as an immutable value. It may hold what is unfinished or wrong; `check` judges it.

Raw values are kept exactly as entered. The typed readers (`number`, `choice`, …) answer None where a value is absent,
of the wrong type or outside its limits, so that a computation never meets a bad value and nothing entered is lost.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Hashable, Iterable, Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import Any, Self, TypeVar

from shapely.geometry.base import BaseGeometry

from sitemap.errors import BadValue
from sitemap.named import named
from sitemap.ranges import Measured
from sitemap.reasons import reason
from sitemap.site.attributes import BASES, Attribute, by_name, with_other_names
from sitemap.site.equipment import EQUIPMENT, RECORDS, SECTIONS
from sitemap.site.frozen import FrozenDict, Hashed
from sitemap.site.kind import Kind
from sitemap.site.kinds import KINDS
from sitemap.site.shapes import made_shape
from sitemap.units import unit_system

FORMAT = 2  # 2: facts say where and when they were seen
Record = TypeVar("Record")


@dataclass(frozen=True)
class Entry:
    """Values read through a schema."""

    values: FrozenDict
    attributes: tuple[Attribute, ...] = field(hash=False)

    def attribute(self, name: str) -> Attribute:
        """The schema of one value. Raises KeyError for a name the schema lacks: a bug, never an input error."""
        return self._named[name]

    @cached_property
    def _named(self) -> Mapping[str, Attribute]:
        return by_name(self.attributes)

    def raw(self, name: str) -> Any:
        """What was entered, usable or not, under the name or one of its other names; None where nothing was."""
        return self.entered.get(name)

    @cached_property
    def entered(self) -> Mapping[str, Any]:
        """The values, those under another name of their attribute under its own as well."""
        others = {}
        for attribute in with_other_names(self.attributes):
            if self.values.get(attribute.name) is None:
                found = (self.values.get(also) for also in attribute.also)
                others[attribute.name] = next((value for value in found if value is not None), None)
        others = {name: value for name, value in others.items() if value is not None}
        return {**self.values, **others} if others else self.values.looked_at()

    def has(self, name: str) -> bool:
        """Whether anything was entered, usable or not."""
        return self.raw(name) is not None

    def _read(self, name: str) -> Any:
        if not self.attributes:
            return None  # of a kind nobody knows: kept, and read by nobody
        attribute, value = self._named[name], self.entered.get(name)
        return None if value is None else attribute.read(value)

    def once(self, reader: Callable[[Self], Record]) -> Record:
        """What a reader makes of these values, made at the first asking and kept with them: they never change.

        reader : a plain function of its room (`read_heap`, `read_kiln`); the typed record it gives is what is computed
            with, so that nothing below parses a text
        """
        kept: dict[Callable[[Self], Any], Any] = self.__dict__.setdefault("_records", {})
        if reader not in kept:
            kept[reader] = reader(self)
        record: Record = kept[reader]
        return record

    def on(self, place: Hashable, reader: Callable[[Self, Any], Record]) -> Record:
        """What a reader makes of these values at a place (the plane of the site), kept with them for the last place.

        reader : a plain function of these values and the place
        """
        kept: dict[Callable[[Self, Any], Any], tuple[Hashable, Any]] = self.__dict__.setdefault("_at_place", {})
        last = kept.get(reader)
        if last is None or last[0] != place:
            last = kept[reader] = place, reader(self, place)
        record: Record = last[1]
        return record

    def number(self, name: str) -> float | None:
        """A number in the unit of its name, or None."""
        value = self._read(name)
        return None if value is None else float(value)

    def integer(self, name: str) -> int | None:
        """A whole number, or None."""
        value = self._read(name)
        return None if value is None else int(value)

    def choice(self, name: str) -> str | None:
        """The key of a choice, or None."""
        value = self._read(name)
        return None if value is None else str(value)

    def text(self, name: str) -> str | None:
        """Words as typed, or None; blanks alone say nothing."""
        said = self.choice(name)
        return said if said and said.strip() else None

    def flag(self, name: str) -> bool | None:
        """True or False, or None where nothing was said."""
        value = self._read(name)
        return None if value is None else bool(value)

    def date(self, name: str) -> dt.date | None:
        """A date, or None."""
        value = self._read(name)
        return None if value is None else dt.date.fromisoformat(value)

    def names(self, name: str) -> tuple[str, ...]:
        """A list of ids; empty where nothing was said."""
        return tuple(self._read(name) or ())

    def numbers(self, name: str) -> tuple[float, ...]:
        """A list of numbers; empty where nothing was said."""
        return tuple(float(value) for value in self._read(name) or ())

    def curve(self, name: str) -> tuple[tuple[float, float], ...] | None:
        """A list of pairs, or None."""
        pairs = self._read(name)
        return None if pairs is None else tuple((float(a), float(b)) for a, b in pairs)

    def pair(self, name: str) -> tuple[float, float] | None:
        """Two numbers that belong together, or None."""
        value = self._read(name)
        if value is None:
            return None
        one, other = (value[part.name] for part in self.attribute(name).item) if isinstance(value, Mapping) else value
        return float(one), float(other)

    def records(self, name: str) -> tuple[Entry, ...]:
        """Records kept inside one attribute; empty where nothing was said."""
        item = self.attribute(name).item
        return tuple(Entry(record, item) for record in self._read(name) or ())

    def measured(self, name: str) -> Measured | None:
        """A number with its typed range and basis, or None.

        A typed end on the wrong side of the likely value is left out (`check` says so). A number without a basis counts
        as measured when a range was typed beside it, else as estimated.
        """
        likely = self.number(name)
        if likely is None:
            return None
        attribute = self.attribute(name)
        low, high = (attribute.read(self.values.get(name + end)) for end in ("_low", "_high"))
        low = float(low) if low is not None and low <= likely else None
        high = float(high) if high is not None and high >= likely else None
        basis = self.values.get(name + "_basis")
        if basis not in BASES:
            basis = "measured" if low is not None and high is not None else "estimated"
        return Measured(likely, low, high, basis)


@dataclass(frozen=True)
class Item(Entry):
    """One piece of equipment."""

    @property
    def id(self) -> str:
        """Id within its list."""
        return str(self.values.get("id", ""))

    @cached_property
    def name(self) -> str:
        """Name, or the id where none was given."""
        return str(self.values.get("name") or self.id)


@dataclass(frozen=True)
class Feature(Hashed, Entry):
    """One thing on the ground.

    id : made by us where the file had none
    geometry : GeoJSON geometry as entered, longitude and latitude, or None for a thing not yet placed
    values : its properties as entered
    members : members of the GeoJSON feature that are not ours
    """

    id: str
    geometry: FrozenDict | None = None
    members: FrozenDict = field(default_factory=FrozenDict)

    __hash__ = Hashed.__hash__

    @cached_property
    def _hash(self) -> int:  # every room asks for it of every feature at each edit
        return hash((self.id, self.values))

    @classmethod
    def of(cls, id: str, geometry: Any, properties: Any, members: Any = None) -> Feature:  # noqa: A002
        """A feature from plain JSON values."""
        values = FrozenDict(properties or {})
        kind = KINDS.get(str(values.get("kind", "")))
        frozen = None if geometry is None else FrozenDict(geometry)
        return cls(values, kind.attributes if kind else (), id, frozen, FrozenDict(members or {}))

    @cached_property
    def kind(self) -> str:
        """Key of its kind; unknown kinds are kept."""
        return str(self.values.get("kind") or "")

    @property
    def kind_schema(self) -> Kind | None:
        """The schema of its kind, or None for a kind we do not know."""
        return KINDS.get(self.kind)

    @property
    def name(self) -> str:
        """Name, or the id where none was given."""
        return str(self.values.get("name") or self.id)

    @cached_property
    def shape(self) -> BaseGeometry | None:
        """The shape in longitude and latitude, or None where it is absent, empty, crossed or not a shape at all.

        Never measure it as it stands: bring it to the local plane first.
        """
        return None if self.geometry is None else made_shape(self.geometry)

    def with_values(self, /, **changes: Any) -> Feature:
        """A copy with some properties changed; None takes one away."""
        return Feature.of(self.id, self.geometry, self.values.put(**changes), self.members)

    def with_geometry(self, geometry: Any) -> Feature:
        """A copy with another geometry; a stale `bbox` is dropped."""
        new = None if geometry is None else FrozenDict(geometry)
        if new == self.geometry:
            return self
        return Feature.of(self.id, new and new.put(bbox=None), self.values, self.members.put(bbox=None))


@dataclass(frozen=True)
class Site(Hashed):
    """Features on the ground, and the facts of the site as a whole (the `site` member of the file).

    features : in file order
    member : the `site` member as entered
    members : members of the file that are not ours
    """

    features: tuple[Feature, ...] = ()
    member: FrozenDict = field(default_factory=FrozenDict)
    members: FrozenDict = field(default_factory=FrozenDict)

    __hash__ = Hashed.__hash__

    @cached_property
    def _hash(self) -> int:
        return hash((self.features, self.member, self.members))

    @cached_property
    def _by_id(self) -> dict[str, Feature]:
        return {feature.id: feature for feature in self.features}

    @cached_property
    def _by_name(self) -> dict[str, list[Feature]]:
        named: dict[str, list[Feature]] = {}
        for feature in self.features:
            named.setdefault(feature.name.casefold(), []).append(feature)
        return named

    @property
    def name(self) -> str:
        """Name of the site."""
        return str(self.member.get("name") or "Site without a name")

    @property
    def units(self) -> str:
        """Units the page shows: "metric" or "us"; metric where nothing usable was said."""
        return unit_system(self.member.get("units")) or "metric"

    @property
    def language(self) -> str:
        """What findings are told in, a key of `telling`'s words; "en" where the site says none."""
        return str(self.member.get("language") or "en")

    @property
    def timezone(self) -> str | None:
        """Name of the time zone, or None where it was not said."""
        zone = self.member.get("timezone")
        return zone if isinstance(zone, str) and zone else None

    @property
    def files(self) -> dict[str, FrozenDict]:
        """What is said of the files that belong to the site ("terrain", "image"), without what is no record."""
        entries = self.member.get("files")
        entries = entries if isinstance(entries, FrozenDict) else {}
        return {key: entry for key, entry in entries.items() if isinstance(entry, FrozenDict) and entry}

    def get(self, id: str) -> Feature | None:  # noqa: A002
        """One feature by id."""
        return self._by_id.get(id)

    def find(self, reference: str) -> Feature | None:
        """One feature by id, else by its name where one feature alone bears it."""
        found = self.get(reference)
        return named(self._by_name.get(reference.casefold(), ()), reference) if found is None else found

    def of_kind(self, *kinds: str) -> tuple[Feature, ...]:
        """All features of some kinds, in file order."""
        kept: dict[tuple[str, ...], tuple[Feature, ...]] = self.__dict__.setdefault("_of_kinds", {})
        if kinds not in kept:
            kept[kinds] = tuple(feature for feature in self.features if feature.kind in kinds)
        return kept[kinds]

    def equipment(self, kind: str) -> tuple[Item, ...]:
        """One list of equipment ("kilns", "pumps", …)."""
        attributes = EQUIPMENT[kind].attributes
        return tuple(Item(entry, attributes) for entry in _objects(self._raw_list(kind)))

    def item(self, kind: str, reference: str | None) -> Item | None:
        """One piece of equipment by id, else by its name where one piece alone bears it."""
        return named(self.equipment(kind), reference)

    def section(self, key: str) -> Entry:
        """Facts of the site as a whole: "crew", "permit" or "season"."""
        values = self.member.get(key)
        return Entry(values if isinstance(values, FrozenDict) else FrozenDict(), SECTIONS[key].attributes)

    def records(self, key: str) -> tuple[Entry, ...]:
        """Records of the site as a whole: "looked", "asked", "rules", "links", "log" or "ticks"."""
        return tuple(Entry(record, RECORDS[key].attributes) for record in _objects(self.member.get(key)))

    def put(self, *features: Feature) -> Site:
        """A new Site with the features replaced, or added at the end; a stale `bbox` is dropped."""
        new = {feature.id: feature for feature in features}
        stands = all(each.geometry == (old and old.geometry) for each in features for old in [self.get(each.id)])
        kept = tuple(new.pop(f.id) if f.id in new and self.get(f.id) is f else f for f in self.features)
        return replace(self if stands else self._without_bbox(), features=(*kept, *new.values()))

    def without(self, *ids: str) -> Self:
        """A new Site without some features; a stale `bbox` is dropped."""
        kept = tuple(feature for feature in self.features if feature.id not in ids)
        return replace(self if len(kept) == len(self.features) else self._without_bbox(), features=kept)

    def _without_bbox(self) -> Self:
        return replace(self, members=self.members.put(bbox=None)) if "bbox" in self.members else self

    def with_member(self, key: str, value: Any) -> Self:
        """A new Site with one key of the `site` member set; None takes it away."""
        return replace(self, member=self.member.put(**{key: value}))

    def with_item(self, kind: str, values: Any) -> Self:
        """A new Site with a piece of equipment replaced (by id) or added."""
        new = FrozenDict(values)
        if not new.get("id"):
            raise BadValue(reason("site.no_id", kind=kind))
        items = self._raw_list(kind)
        if any(_has_id(item, new["id"]) for item in items):
            return self._with_list(kind, [new if _has_id(item, new["id"]) else item for item in items])
        return self._with_list(kind, [*items, new])

    def without_item(self, kind: str, id: str) -> Self:  # noqa: A002
        """A new Site without one piece of equipment."""
        return self._with_list(kind, [item for item in self._raw_list(kind) if not _has_id(item, id)])

    def _raw_list(self, kind: str) -> tuple[Any, ...]:
        lists = self.member.get("equipment")
        items = lists.get(kind) if isinstance(lists, FrozenDict) else ()
        return items if isinstance(items, tuple) else ()

    def _with_list(self, kind: str, items: Iterable[Any]) -> Self:
        lists = self.member.get("equipment")
        lists = lists if isinstance(lists, FrozenDict) else FrozenDict()
        return self.with_member("equipment", lists.put(**{kind: tuple(items)}))

    def new_id(self, kind: str) -> str:
        """An id no feature bears yet: the kind and a number."""
        number = len(self.of_kind(kind)) + 1
        while f"{kind}-{number}" in self._by_id:
            number += 1
        return f"{kind}-{number}"


def _has_id(item: Any, id: Any) -> bool:  # noqa: A002
    return isinstance(item, FrozenDict) and str(item.get("id", "")) == str(id)


def _objects(entries: Any) -> tuple[FrozenDict, ...]:
    if not isinstance(entries, tuple):
        return ()
    return tuple(entry for entry in entries if isinstance(entry, FrozenDict))
