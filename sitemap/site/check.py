"""Is the site sound? Everything unfinished or wrong, one sentence each; nothing is changed and nothing refused."""

from __future__ import annotations

import difflib
import math
import zoneinfo
from collections.abc import Iterable, Iterator
from typing import Any

import shapely
from shapely.geometry import shape as shapely_shape

from sitemap.notes import Note
from sitemap.site.attributes import BASES, RANGE_SUFFIXES, Attribute
from sitemap.site.equipment import EQUIPMENT, RECORDS, SECTIONS
from sitemap.site.frozen import FrozenDict
from sitemap.site.kinds import KINDS, Kind
from sitemap.site.model import UNIT_SYSTEMS, Entry, Feature, Site

FAR_KM = 50.0  # [km] a site is a few hectares: a feature farther off than this is misplaced (ours)
_EARTH_KM = 6371.0  # [km] mean radius, good enough to tell a site from another continent
_ALWAYS_KNOWN = ("id", "kind", "name")
_MEMBER_KEYS = (
    *("format", "name", "units", "timezone", "language", "equipment", "crew", "permit", "season", "rules", "looked"),
    *("asked", "links", "choices", "ticks", "log", "files", "invented"),
)


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
        notes += _value_notes(entry, "site", kind.label)
        notes += _stranger_notes(entry.values, kind.attributes, "site", kind.label)
    for key, kind in RECORDS.items():
        notes += _record_notes(site, key, kind)
    return tuple(notes)


def label_of(feature: Feature) -> str:
    """How a sentence calls a feature: its kind and name."""
    kind = feature.kind_schema
    return f"{kind.label if kind else 'Feature'} {feature.name}"


def _site_notes(site: Site) -> Iterator[Note]:
    member = site.member
    if member.get("units") not in UNIT_SYSTEMS:
        said = f"; it says {member['units']!r}" if member.get("units") else ""
        yield Note("site", "units", f"The site does not say its units (metric or us){said}: metric is shown.")
    zone = member.get("timezone")
    if zone is not None and not _is_zone(zone):
        yield Note("site", "timezone", f"The time zone {zone!r} is not known: write one like America/Denver.")
    yield from _stranger_notes(member, (), "site", "The site", _MEMBER_KEYS)
    lists = member.get("equipment")
    if isinstance(lists, FrozenDict):
        yield from _stranger_notes(lists, (), "site", "Equipment", tuple(EQUIPMENT))


def _is_zone(zone: Any) -> bool:
    try:
        zoneinfo.ZoneInfo(zone)
    except (zoneinfo.ZoneInfoNotFoundError, ValueError, TypeError, OSError):
        return False
    return True


def _feature_notes(site: Site, feature: Feature) -> Iterator[Note]:
    label = label_of(feature)
    kind = feature.kind_schema
    if kind is None:
        near = difflib.get_close_matches(feature.kind, KINDS, 1, 0.6)
        hint = f"; did you mean {near[0]}?" if near else "."
        said = f"the kind {feature.kind!r}, which is not known" if feature.kind else "no kind"
        yield Note(feature.id, "unknown_kind", f"{label} has {said}: it is kept and takes no part in any sum{hint}")
        return
    yield from _shape_notes(feature, kind, label)
    yield from _value_notes(feature, feature.id, label)
    yield from _stranger_notes(feature.values, kind.attributes, feature.id, label)
    yield from _reference_notes(site, feature, feature.id, label)
    if feature.kind == "kiln_spot" and not feature.has("kiln"):
        yield Note(feature.id, "no_kiln", f"{label} has no kiln: choose which kiln stands there.")


def _shape_notes(feature: Feature, kind: Kind, label: str) -> Iterator[Note]:
    if feature.geometry is None:
        yield Note(feature.id, "not_placed", f"{label} is not on the map yet: place it.")
        return
    if feature.shape is None:
        yield Note(feature.id, "bad_shape", f"{label}: {_shape_fault(feature)}; draw it again.")
    elif feature.shape.geom_type.removeprefix("Multi") not in kind.geometries:
        words = {"Point": "a point", "LineString": "a line", "Polygon": "an area"}
        want = " or ".join(words[g] for g in kind.geometries)
        yield Note(
            feature.id, "wrong_shape", f"{label} must be {want}, not a {feature.shape.geom_type}; draw it again."
        )


def _shape_fault(feature: Feature) -> str:
    try:
        made = shapely_shape(feature.geometry)
    except (shapely.errors.ShapelyError, ValueError, TypeError, KeyError, AttributeError, IndexError):
        return "the shape has too few corners or unusable coordinates"
    if made.is_empty:
        return "the shape is empty"
    reason = shapely.is_valid_reason(made).split("[")[0].strip().lower()
    return "the outline crosses itself" if "self-intersection" in reason else f"the shape is unsound ({reason})"


def _value_notes(entry: Entry, about: str, label: str) -> Iterator[Note]:
    for attribute in entry.attributes:
        value = entry.values.get(attribute.name)
        if value is None:
            continue
        fault = attribute.fault(value)
        if fault:
            text = f"{label}: {attribute.label} ({attribute.name}) {fault}. Until it is corrected it counts as blank."
            yield Note(about, "bad_value", text)
            continue
        if attribute.ranged:
            yield from _range_notes(entry, attribute, value, about, label)
        for number, record in enumerate(entry.records(attribute.name) if attribute.item else (), start=1):
            where = f"{label}, {attribute.label.lower()} {number}"
            yield from _value_notes(record, about, where)
            yield from _stranger_notes(record.values, attribute.item, about, where)


def _range_notes(entry: Entry, attribute: Attribute, value: float, about: str, label: str) -> Iterator[Note]:
    name = attribute.name
    for end, sign, side in (("_low", 1, "above"), ("_high", -1, "below")):
        typed = entry.values.get(name + end)
        if typed is None:
            continue
        fault = attribute.fault(typed)
        if fault or sign * (typed - value) > 0:
            said = fault or f"stands {side} the likely value {value:g}; it is {typed:g}"
            yield Note(about, "bad_range", f"{label}: {attribute.label} ({name}{end}) {said}. It counts as blank.")
    basis = entry.values.get(name + "_basis")
    if basis is not None and basis not in BASES:
        text = f"{label}: {name}_basis must be one of {', '.join(BASES)}; it is {basis!r}. Taken as estimated."
        yield Note(about, "bad_basis", text)


def _stranger_notes(
    values: FrozenDict, attributes: Iterable[Attribute], about: str, label: str, extra: tuple[str, ...] = ()
) -> Iterator[Note]:
    known = [*_ALWAYS_KNOWN, *extra]
    for attribute in attributes:
        known.append(attribute.name)
        if attribute.ranged:
            known += [attribute.name + end for end in RANGE_SUFFIXES]
    for name in values:
        if name in known:
            continue
        near = difflib.get_close_matches(name, known, 1, 0.8) or [k for k in known if k.rsplit("_", 1)[0] == name]
        if near:
            text = f"{label}: {name} is not a name we know; did you mean {near[0]}? It is kept and not used."
            yield Note(about, "near_miss", text)


def _reference_notes(site: Site, entry: Entry, about: str, label: str) -> Iterator[Note]:
    for attribute in entry.attributes:
        if attribute.type == "reference":
            wanted = [entry.text(attribute.name)]
        elif attribute.type == "references":
            wanted = list(entry.names(attribute.name))
        elif attribute.item:
            for number, record in enumerate(entry.records(attribute.name), start=1):
                yield from _reference_notes(site, record, about, f"{label}, {attribute.label.lower()} {number}")
            continue
        else:
            continue
        for reference in wanted:
            if reference and not _exists(site, attribute.refers_to, reference):
                where = "on the site" if attribute.refers_to == "features" else f"in the list {attribute.refers_to}"
                text = (
                    f"{label}: {attribute.label} names {reference!r}, which is not {where}. Choose another or add it."
                )
                yield Note(about, "dangling", text)


def _exists(site: Site, target: str, reference: str) -> bool:
    if target == "features":
        return site.get(reference) is not None
    return site.item(target, reference) is not None


def _far_notes(site: Site) -> Iterator[Note]:
    placed = [(f, f.shape.representative_point()) for f in site.features if f.shape is not None]
    if len(placed) < 2:
        return
    lats = sorted(point.y for _, point in placed)
    middle = lats[len(lats) // 2]
    anchor = min((point for _, point in placed), key=lambda point: abs(point.y - middle))
    near = [feature for feature, point in placed if _km(anchor, point) <= FAR_KM]
    if len(near) * 2 < len(placed):
        return
    for feature, point in placed:
        away = _km(anchor, point)
        if away > FAR_KM:
            text = (
                f"{label_of(feature)} lies {away:,.0f} km from the rest of the site: check its position "
                "(longitude comes first in the file)."
            )
            yield Note(feature.id, "far_away", text)


def _km(a: Any, b: Any) -> float:
    la, lb = math.radians(a.y), math.radians(b.y)
    half = math.sin((lb - la) / 2) ** 2 + math.cos(la) * math.cos(lb) * math.sin(math.radians(b.x - a.x) / 2) ** 2
    return 2 * _EARTH_KM * math.asin(min(1.0, math.sqrt(half)))


def _equipment_notes(site: Site, key: str, kind: Kind) -> Iterator[Note]:
    seen: set[str] = set()
    for item in site.equipment(key):
        label = f"{kind.label} {item.name}"
        if item.id in seen:
            yield Note(
                item.id, "twice", f"{label}: the id {item.id!r} stands twice in the list {key}; the first counts."
            )
        seen.add(item.id)
        yield from _value_notes(item, item.id, label)
        yield from _stranger_notes(item.values, kind.attributes, item.id, label)
        yield from _reference_notes(site, item, item.id, label)


def _record_notes(site: Site, key: str, kind: Kind) -> Iterator[Note]:
    raw = site.member.get(key)
    if raw is not None and not isinstance(raw, tuple):
        yield Note("site", "bad_value", f"{kind.label} ({key}) must be a list of records. It counts as empty.")
    for number, record in enumerate(site.records(key), start=1):
        label = f"{kind.label} {number}"
        yield from _value_notes(record, "site", label)
        yield from _stranger_notes(record.values, kind.attributes, "site", label)
        yield from _reference_notes(site, record, "site", label)
