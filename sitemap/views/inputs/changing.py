"""One changed attribute of a feature, kept at once under the words undo calls it by."""

from __future__ import annotations

from typing import Any

from sitemap.site.attributes import RANGE_SUFFIXES
from sitemap.site.model import Feature
from sitemap.views import state


def change(feature_id: str, name: str, value: Any) -> None:
    """Keep one changed attribute of a feature."""
    feature = state.site().get(feature_id)
    if feature is None:
        return
    state.edit(f"{feature.name}: {_changed(feature, name)}", state.site().put(feature.with_values(**{name: value})))


def _changed(feature: Feature, name: str) -> str:
    """What undo calls an attribute; the ends of a range and its basis by the attribute they belong to."""
    names = {
        own + end: a.label for a in feature.attributes for own in (a.name, *a.also) for end in ("", *RANGE_SUFFIXES)
    }
    return names.get(name, name).lower()
