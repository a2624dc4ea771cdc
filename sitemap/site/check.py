"""Is the site sound? Everything unfinished or wrong, one sentence each; nothing is changed and nothing refused."""

from __future__ import annotations

import difflib
import zoneinfo
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from functools import lru_cache
from itertools import pairwise
from typing import Any

import numpy as np
import shapely

from sitemap.notes import Note
from sitemap.reasons import Fact, Quantity, Reason, Term, as_typed, reason
from sitemap.site.attributes import BASES, RANGE_SUFFIXES, Attribute
from sitemap.site.equipment import EQUIPMENT, RECORDS, SECTIONS
from sitemap.site.frozen import FrozenDict
from sitemap.site.kind import Kind
from sitemap.site.kinds import KINDS
from sitemap.site.model import Entry, Feature, Site
from sitemap.site.shapes import shape_fault
from sitemap.telling import tell
from sitemap.units import unit_system

FAR_KM = 50.0  # [km] a site is a few hectares: a feature farther off than this is misplaced (ours)
_EARTH_KM = 6371.0  # [km] mean radius, good enough to tell a site from another continent
_ALWAYS_KNOWN = ("id", "kind", "name", "permission_from")  # the last is kept from older files, and read by nothing
_KNOWN: dict[tuple[int, tuple[str, ...]], tuple[tuple[Attribute, ...], tuple[str, ...], frozenset[str]]] = {}
_MEMBER_KEYS = (
    *("format", "name", "units", "timezone", "language", "equipment", "crew", "permit", "season", "rules", "looked"),
    *("asked", "links", "choices", "ticks", "log", "files", "closed", "forecast", "forecast_hours", "climate"),
    *("invented", "cold", "bags", "weather_days", "place"),
)


@lru_cache(maxsize=8)  # the plane asks for what lies far off, the assessment for all of it
def check(site: Site) -> tuple[Note, ...]:
    """Every gap of a site: what is missing, unsound or not understood, with the way to mend it.

    Judges each feature, piece of equipment and record against its schema, and the references between them. What only
    shows on the ground (overlaps, distances) is said by the rooms that measure it.
    """
    notes: list[Note] = []
    notes += _site_notes(site)
    for feature in site.features:
        notes += _feature_notes(site, feature)
    notes += _far_notes(site)
    for key, kind in EQUIPMENT.items():
        notes += _equipment_notes(site, key, kind)
    for key, kind in SECTIONS.items():
        entry = site.section(key)
        notes += _value_notes(entry, "site", Term(kind.label))
        notes += _stranger_notes(entry.values, kind.attributes, "site", Term(kind.label))
    for key, kind in RECORDS.items():
        notes += _record_notes(site, key, kind)
    return (*notes, *_permit_notes(site.section("permit")), *_twice_notes(site))


def _twice_notes(site: Site) -> Iterator[Note]:
    """Rows that say the same month, or the same day: the last of them counts."""
    for month, rows in Counter(each.integer("month") for each in site.records("climate")).items():
        if month is not None and rows > 1:
            yield Note("site", "month_twice", reason("site.month_twice", month=month, count=rows))
    for day, rows in Counter(each.date("date") for each in site.records("weather_days")).items():
        if day is not None and rows > 1:
            yield Note("site", "day_twice", reason("site.day_twice", day=day, count=rows))


def _permit_notes(permit: Entry) -> Iterator[Note]:
    """A permit that ends before it begins holds on no day."""
    first, last = permit.date("from"), permit.date("to")
    if first is not None and last is not None and last < first:
        yield Note("site", "backwards", reason("site.permit_backwards", first=first, last=last))


def label_of(feature: Feature) -> str:
    """How a page calls a feature: its kind and name."""
    return tell(thing(feature))


def thing(feature: Feature) -> Reason:
    """The same in a finding."""
    kind = feature.kind_schema
    return _called(kind.label if kind else "Feature", feature.name)


def _called(label: str, name: str | int) -> Reason:
    return reason("site.thing", kind=Term(label), name=str(name))


def _site_notes(site: Site) -> Iterator[Note]:
    member = site.member
    if unit_system(member.get("units")) is None:
        said = member.get("units")
        yield Note("site", "units", reason("site.other_units", said=repr(said)) if said else reason("site.no_units"))
    zone = member.get("timezone")
    if zone is not None and not _is_zone(zone):
        yield Note("site", "timezone", reason("site.no_such_zone", zone=repr(zone)))
    yield from _stranger_notes(member, (), "site", Term("The site"), _MEMBER_KEYS)
    lists = member.get("equipment")
    if isinstance(lists, FrozenDict):
        yield from _stranger_notes(lists, (), "site", Term("Equipment"), tuple(EQUIPMENT))
        for key, kind in EQUIPMENT.items():
            yield from _list_notes(lists.get(key), key, kind)
    elif lists is not None:
        yield Note("site", "bad_value", reason("site.equipment_no_lists"))
    files = member.get("files")
    if files is not None and not (
        isinstance(files, FrozenDict) and all(isinstance(e, Mapping) for e in files.values())
    ):
        yield Note("site", "bad_value", reason("site.files_no_records"))
    for key, kind in SECTIONS.items():
        if member.get(key) is not None and not isinstance(member[key], FrozenDict):
            yield Note("site", "bad_value", reason("site.no_object", what=Term(kind.label), key=key))
    for key, kind in RECORDS.items():
        yield from _list_notes(member.get(key), key, kind)


def _list_notes(raw: Any, key: str, kind: Kind) -> Iterator[Note]:
    if raw is None:
        return
    if not isinstance(raw, tuple):
        yield Note("site", "bad_value", reason("site.no_list", what=Term(kind.plural), key=key))
    elif not all(isinstance(record, FrozenDict) for record in raw):
        yield Note("site", "bad_value", reason("site.no_record", what=Term(kind.plural), key=key))


def _is_zone(zone: Any) -> bool:
    try:
        zoneinfo.ZoneInfo(zone)
    except (zoneinfo.ZoneInfoNotFoundError, ValueError, TypeError, OSError):
        return False
    return True


def _feature_notes(site: Site, feature: Feature) -> Iterator[Note]:
    label = thing(feature)
    kind = feature.kind_schema
    if kind is None:
        yield Note(feature.id, "unknown_kind", _strange_kind(feature.kind, label))
        return
    yield from feature.once(_own_notes)
    if feature.once(_refers):
        yield from _reference_notes(site, feature, feature.id, label)
    if feature.kind == "kiln_spot" and not feature.has("kiln"):
        yield Note(feature.id, "no_kiln", reason("site.no_kiln", label=label))


def _strange_kind(kind: str, label: Reason) -> Reason:
    near = difflib.get_close_matches(kind, KINDS, 1, 0.6)
    if near:
        return reason("site.kind_like", label=label, kind=repr(kind), near=near[0])
    return reason("site.strange_kind", label=label, kind=repr(kind)) if kind else reason("site.no_kind", label=label)


def _own_notes(feature: Feature) -> tuple[Note, ...]:
    """What is to be said of a feature whatever else is on the site: an edit of another one leaves it as it is."""
    kind = feature.kind_schema
    if kind is None:
        return ()
    label = thing(feature)
    return (
        *_shape_notes(feature, kind, label),
        *_value_notes(feature, feature.id, label),
        *_stranger_notes(feature.values, kind.attributes, feature.id, label),
    )


def _shape_notes(feature: Feature, kind: Kind, label: Fact) -> Iterator[Note]:
    if feature.geometry is None:
        yield Note(feature.id, "not_placed", reason("site.not_placed", label=label))
        return
    if feature.shape is None:
        yield Note(feature.id, "bad_shape", reason("site.bad_shape", label=label, why=shape_fault(feature.geometry)))
    elif feature.shape.geom_type.removeprefix("Multi") not in kind.geometries:
        words = {"Point": "a point", "LineString": "a line", "Polygon": "an area"}
        wanted, drawn = tuple(Term(words[g]) for g in kind.geometries), feature.shape.geom_type
        found = Term(words.get(drawn.removeprefix("Multi"), drawn))
        yield Note(feature.id, "wrong_shape", reason("site.wrong_shape", label=label, wanted=wanted, found=found))


def _value_notes(entry: Entry, about: str, label: Fact) -> Iterator[Note]:
    entered = entry.entered
    for attribute in entry.attributes:
        value = entered.get(attribute.name)
        if value is None:
            if attribute.ranged and any(entered.get(attribute.name + end) is not None for end in ("_low", "_high")):
                told = reason("site.no_likely", label=label, what=Term(attribute.label))
                yield Note(about, "bad_range", told)
            continue
        what = Term(attribute.label)
        fault = attribute.fault(value)
        if fault:
            yield Note(about, "bad_value", reason("site.bad_value", label=label, what=what, why=fault))
            continue
        if attribute.ranged:
            yield from _range_notes(entry, attribute, value, about, label)
        for number, record in enumerate(entry.records(attribute.name) if attribute.type == "records" else (), start=1):
            where = _part(label, attribute, number)
            yield from _value_notes(record, about, where)
            yield from _stranger_notes(record.values, attribute.item, about, where)


def _part(label: Fact, attribute: Attribute, number: int) -> Reason:
    """One of several records of a thing: "Heap 3, pieces 2"."""
    return reason("site.part", label=label, what=Term(attribute.label.lower()), number=number)


def _range_notes(entry: Entry, attribute: Attribute, value: float, about: str, label: Fact) -> Iterator[Note]:
    name, what = attribute.name, Term(attribute.label)
    for end, sign in (("_low", 1), ("_high", -1)):
        typed = entry.values.get(name + end)
        if typed is None:
            continue
        fault = attribute.fault(typed)
        if fault is None and sign * (typed - value) > 0:
            likely, found = as_typed(value, attribute.unit), as_typed(typed, attribute.unit)
            fault = reason("site.above_likely" if sign > 0 else "site.below_likely", likely=likely, found=found)
        if fault is not None:
            key = name + end
            yield Note(about, "bad_range", reason("site.bad_range", label=label, what=what, key=key, why=fault))
    basis = entry.values.get(name + "_basis")
    if basis is not None and basis not in BASES:
        told = reason("site.bad_basis", label=label, key=f"{name}_basis", choices=BASES, shown=repr(basis))
        yield Note(about, "bad_basis", told)


def _stranger_notes(
    values: FrozenDict, attributes: Iterable[Attribute], about: str, label: Fact, extra: tuple[str, ...] = ()
) -> Iterator[Note]:
    names, told_fast = _known_names(tuple(attributes), extra)
    for name in values:
        near = None if name in told_fast else _near(name, names)
        if near:
            yield Note(about, "near_miss", reason("site.near_miss", label=label, name=name, near=near))


def _known_names(attributes: tuple[Attribute, ...], extra: tuple[str, ...]) -> tuple[tuple[str, ...], frozenset[str]]:
    """Every name that may stand in an entry, in order and as a set; made once for a schema, which is one tuple."""
    kept = _KNOWN.get((id(attributes), extra))
    if kept is None or kept[0] is not attributes:
        known = [*_ALWAYS_KNOWN, *extra]
        for attribute in attributes:
            known += [attribute.name, *attribute.also]
            if attribute.ranged:
                known += [attribute.name + end for end in RANGE_SUFFIXES]
        kept = _KNOWN[id(attributes), extra] = attributes, tuple(known), frozenset(known)
    return kept[1], kept[2]


@lru_cache(maxsize=4096)  # an imported layer repeats its strange names on every feature
def _near(name: str, known: tuple[str, ...]) -> str | None:
    near = difflib.get_close_matches(name, known, 1, 0.8) or [k for k in known if k.rsplit("_", 1)[0] == name]
    return near[0] if near else None


def _refers(entry: Entry) -> bool:
    """Whether anything was entered that may name another thing."""
    kinds = ("reference", "references", "records")
    return any(attribute.type in kinds and entry.has(attribute.name) for attribute in entry.attributes)


def _reference_notes(site: Site, entry: Entry, about: str, label: Fact) -> Iterator[Note]:
    for attribute in entry.attributes:
        if attribute.type == "reference":
            wanted = [entry.text(attribute.name)]
        elif attribute.type == "references":
            wanted = list(entry.names(attribute.name))
        elif attribute.type == "records":
            for number, record in enumerate(entry.records(attribute.name), start=1):
                yield from _reference_notes(site, record, about, _part(label, attribute, number))
            continue
        else:
            continue
        for reference in wanted:
            if reference and not _exists(site, attribute.refers_to, reference):
                yield Note(about, "dangling", _dangling(label, attribute, repr(reference)))


def _dangling(label: Fact, attribute: Attribute, shown: str) -> Reason:
    what = Term(attribute.label)
    if attribute.refers_to == "features":
        return reason("site.not_on_site", label=label, what=what, shown=shown)
    return reason("site.not_in_list", label=label, what=what, shown=shown, where=attribute.refers_to)


def _exists(site: Site, target: str, reference: str) -> bool:
    if target == "features":
        return site.find(reference) is not None
    return site.item(target, reference) is not None


def _far_notes(site: Site) -> Iterator[Note]:
    placed = [feature for feature in site.features if feature.shape is not None]
    if len(placed) < 2:
        return
    corners, owners = shapely.get_coordinates([feature.shape for feature in placed], return_index=True)
    lon, lat = np.radians(corners).T
    ahead = np.column_stack([np.cos(lat) * np.cos(lon), np.cos(lat) * np.sin(lon), np.sin(lat)])
    firsts = ahead[np.unique(owners, return_index=True)[1]]
    # The middle of each coordinate stays with the greater part of the features, however far off the others lie.
    anchor = firsts[np.argmin(np.linalg.norm(firsts - np.median(firsts, axis=0), axis=1))]
    away_km = np.zeros(len(placed))
    np.maximum.at(away_km, owners, 2 * _EARTH_KM * np.arcsin(np.linalg.norm(ahead - anchor, axis=1).clip(0, 2) / 2))
    far = away_km > FAR_KM
    if far.sum() * 2 > len(placed):
        yield Note("site", "far_away", reason("site.far_apart", away=Quantity(float(away_km.max()), "km")))
        return
    for number in np.flatnonzero(far):
        away = Quantity(float(away_km[number]), "km")
        yield Note(placed[number].id, "far_away", reason("site.far_off", label=thing(placed[number]), away=away))


def _equipment_notes(site: Site, key: str, kind: Kind) -> Iterator[Note]:
    seen: set[str] = set()
    for item in site.equipment(key):
        label = _called(kind.label, item.name)
        if item.id in seen:
            yield Note(item.id, "twice", reason("site.id_twice", label=label, shown=repr(item.id), where=key))
        seen.add(item.id)
        yield from _value_notes(item, item.id, label)
        yield from _stranger_notes(item.values, kind.attributes, item.id, label)
        yield from _reference_notes(site, item, item.id, label)
        if key == "hoses" and not item.has("bore_mm"):
            yield Note(item.id, "no_bore", reason("site.no_bore", label=label))
        for (flow, head), (next_flow, next_head) in pairwise(item.curve("curve") or () if key == "pumps" else ()):
            if next_flow <= flow or next_head >= head:
                low, high = as_typed(flow, "l_min"), as_typed(next_flow, "l_min")
                yield Note(item.id, "rising_curve", reason("site.rising_curve", label=label, low=low, high=high))


def _record_notes(site: Site, key: str, kind: Kind) -> Iterator[Note]:
    for number, record in enumerate(site.records(key), start=1):
        label = _called(kind.label, number)
        yield from _value_notes(record, "site", label)
        yield from _stranger_notes(record.values, kind.attributes, "site", label)
        yield from _reference_notes(site, record, "site", label)
        if key == "rules" and record.has("distance_m") and not record.has("kind"):
            yield Note("site", "row_of_no_kind", reason("site.no_kind", label=label))
        if key == "closed" and record.has("why") and not (record.has("from") or record.has("to")):
            yield Note("site", "closed_no_days", reason("site.closed_no_days", why=record.text("why")))
