"""References between features: a file may use a name where the rooms want an id."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from sitemap.site.attributes import Attribute
from sitemap.site.equipment import RECORDS
from sitemap.site.frozen import FrozenDict
from sitemap.site.model import Feature, Site


def by_ids(site: Site) -> Site:
    """The same site with every feature referred to by its id.

    A reference by a name that one feature alone bears becomes its id; what names nothing stays as it is, for `check`.
    A site that refers by ids alone comes back itself, so that what was remembered of it stays good.
    """
    features = tuple(_feature(site, feature) for feature in site.features)
    changed = any(new is not old for new, old in zip(features, site.features, strict=True))
    found = replace(site, features=features) if changed else site
    for key, kind in RECORDS.items():
        records = site.member.get(key)
        if not isinstance(records, tuple):
            continue
        new = tuple(
            record.put(**_changes(site, kind.attributes, record)) if isinstance(record, FrozenDict) else record
            for record in records
        )
        if new != records:
            found = found.with_member(key, new)
    return found


def _feature(site: Site, feature: Feature) -> Feature:
    changes = _changes(site, feature.attributes, feature.values)
    return feature.with_values(**changes) if changes else feature


def _changes(site: Site, attributes: tuple[Attribute, ...], values: Mapping[str, Any]) -> dict[str, Any]:
    changes: dict[str, Any] = {}
    for attribute in attributes:
        value = values.get(attribute.name) if attribute.refers_to == "features" else None
        if value is None or attribute.fault(value) is not None:
            continue
        new = tuple(_id(site, each) for each in value) if attribute.type == "references" else _id(site, value)
        if new != value:
            changes[attribute.name] = new
    return changes


def _id(site: Site, reference: str) -> str:
    named = site.find(reference)
    return reference if named is None else named.id
