"""Is the site sound? Everything unfinished or wrong, one sentence each; nothing is changed and nothing refused."""

from __future__ import annotations

import difflib
import zoneinfo
from collections.abc import Iterable, Iterator, Mapping
from functools import lru_cache
from itertools import pairwise
from typing import Any

import numpy as np
import shapely

from sitemap.notes import Note
from sitemap.site.attributes import BASES, RANGE_SUFFIXES, Attribute
from sitemap.site.equipment import EQUIPMENT, RECORDS, SECTIONS
from sitemap.site.frozen import FrozenDict
from sitemap.site.kinds import KINDS, Kind
from sitemap.site.model import Entry, Feature, Site, unit_system
from sitemap.site.shapes import shape_fault

FAR_KM = 50.0  # [km] a site is a few hectares: a feature farther off than this is misplaced (ours)
_EARTH_KM = 6371.0  # [km] mean radius, good enough to tell a site from another continent
_ALWAYS_KNOWN = ("id", "kind", "name", "permission_from")  # the last is kept from older files, and read by nothing
_KNOWN: dict[tuple[int, tuple[str, ...]], tuple[tuple[Attribute, ...], tuple[str, ...], frozenset[str]]] = {}
_MEMBER_KEYS = (
    *("format", "name", "units", "timezone", "language", "equipment", "crew", "permit", "season", "rules", "looked"),
    *("asked", "links", "choices", "ticks", "log", "files", "invented"),
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
    if unit_system(member.get("units")) is None:
        said = f"; it says {member['units']!r}" if member.get("units") else ""
        yield Note("site", "units", f"The site does not say its units (metric or us){said}: metric is shown.")
    zone = member.get("timezone")
    if zone is not None and not _is_zone(zone):
        yield Note("site", "timezone", f"The time zone {zone!r} is not known: write one like America/Denver.")
    yield from _stranger_notes(member, (), "site", "The site", _MEMBER_KEYS)
    lists = member.get("equipment")
    if isinstance(lists, FrozenDict):
        yield from _stranger_notes(lists, (), "site", "Equipment", tuple(EQUIPMENT))
        for key, kind in EQUIPMENT.items():
            yield from _list_notes(lists.get(key), key, kind)
    elif lists is not None:
        yield Note("site", "bad_value", "Equipment must be an object of lists. It counts as empty.")
    files = member.get("files")
    if files is not None and not (
        isinstance(files, FrozenDict) and all(isinstance(e, Mapping) for e in files.values())
    ):
        yield Note("site", "bad_value", "Files must be an object with a record for each file. The rest is not used.")
    for key, kind in SECTIONS.items():
        if member.get(key) is not None and not isinstance(member[key], FrozenDict):
            yield Note("site", "bad_value", f"{kind.label} ({key}) must be an object. It counts as empty.")
    for key, kind in RECORDS.items():
        yield from _list_notes(member.get(key), key, kind)


def _list_notes(raw: Any, key: str, kind: Kind) -> Iterator[Note]:
    if raw is None:
        return
    if not isinstance(raw, tuple):
        yield Note("site", "bad_value", f"{kind.plural} ({key}) must be a list of records. It counts as empty.")
    elif not all(isinstance(record, FrozenDict) for record in raw):
        yield Note("site", "bad_value", f"{kind.plural} ({key}): what is not a record is kept and not used.")


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
    yield from feature.once(_own_notes)
    yield from _reference_notes(site, feature, feature.id, label)
    if feature.kind == "kiln_spot" and not feature.has("kiln"):
        yield Note(feature.id, "no_kiln", f"{label} has no kiln: choose which kiln stands there.")


def _own_notes(feature: Feature) -> tuple[Note, ...]:
    """What is to be said of a feature whatever else is on the site: an edit of another one leaves it as it is."""
    kind = feature.kind_schema
    if kind is None:
        return ()
    label = label_of(feature)
    return (
        *_shape_notes(feature, kind, label),
        *_value_notes(feature, feature.id, label),
        *_stranger_notes(feature.values, kind.attributes, feature.id, label),
    )


def _shape_notes(feature: Feature, kind: Kind, label: str) -> Iterator[Note]:
    if feature.geometry is None:
        yield Note(feature.id, "not_placed", f"{label} is not on the map yet: place it.")
        return
    if feature.shape is None:
        yield Note(feature.id, "bad_shape", f"{label}: {shape_fault(feature.geometry)}; draw it again.")
    elif feature.shape.geom_type.removeprefix("Multi") not in kind.geometries:
        words = {"Point": "a point", "LineString": "a line", "Polygon": "an area"}
        want = " or ".join(words[g] for g in kind.geometries)
        yield Note(
            feature.id, "wrong_shape", f"{label} must be {want}, not a {feature.shape.geom_type}; draw it again."
        )


def _value_notes(entry: Entry, about: str, label: str) -> Iterator[Note]:
    for attribute in entry.attributes:
        value = entry.raw(attribute.name)
        if value is None:
            if attribute.ranged and any(
                entry.values.get(attribute.name + end) is not None for end in ("_low", "_high")
            ):
                text = f"{label}: {attribute.label} ({attribute.name}) has a range but no likely value: enter one."
                yield Note(about, "bad_range", text)
            continue
        fault = attribute.fault(value)
        if fault:
            text = f"{label}: {attribute.label} ({attribute.name}) {fault}. Until it is corrected it is not used."
            yield Note(about, "bad_value", text)
            continue
        if attribute.ranged:
            yield from _range_notes(entry, attribute, value, about, label)
        for number, record in enumerate(entry.records(attribute.name) if attribute.type == "records" else (), start=1):
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
    names, told_fast = _known_names(tuple(attributes), extra)
    for name in values:
        near = None if name in told_fast else _near(name, names)
        if near:
            text = f"{label}: {name} is not a name we know; did you mean {near}? It is kept and not used."
            yield Note(about, "near_miss", text)


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


def _reference_notes(site: Site, entry: Entry, about: str, label: str) -> Iterator[Note]:
    for attribute in entry.attributes:
        if attribute.type == "reference":
            wanted = [entry.text(attribute.name)]
        elif attribute.type == "references":
            wanted = list(entry.names(attribute.name))
        elif attribute.type == "records":
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
        text = f"The features of the site lie up to {away_km.max():,.0f} km apart: check their positions"
        yield Note("site", "far_away", f"{text} (longitude comes first in the file).")
        return
    for number in np.flatnonzero(far):
        text = (
            f"{label_of(placed[number])} lies {away_km[number]:,.0f} km from the rest of the site: check its position "
            "(longitude comes first in the file)."
        )
        yield Note(placed[number].id, "far_away", text)


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
        if key == "hoses" and not item.has("bore_mm"):
            yield Note(item.id, "no_bore", f"{label} has no bore: measure it inside.")
        for (flow, head), (next_flow, next_head) in pairwise(item.curve("curve") or () if key == "pumps" else ()):
            if next_flow <= flow or next_head >= head:
                text = (
                    f"{label}: its curve must fall as the flow grows, and does not from {flow:g} to {next_flow:g} "
                    "L/min: correct the point."
                )
                yield Note(item.id, "rising_curve", text)


def _record_notes(site: Site, key: str, kind: Kind) -> Iterator[Note]:
    for number, record in enumerate(site.records(key), start=1):
        label = f"{kind.label} {number}"
        yield from _value_notes(record, "site", label)
        yield from _stranger_notes(record.values, kind.attributes, "site", label)
        yield from _reference_notes(site, record, "site", label)
