"""What an edit changed, in plain words: which thing, which of its facts, what it was and what it is."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from sitemap.site.attributes import RANGE_SUFFIXES, Attribute
from sitemap.site.cells import cell_text
from sitemap.site.equipment import EQUIPMENT, RECORDS, SECTIONS
from sitemap.site.frozen import freeze
from sitemap.site.kind import Kind
from sitemap.site.kinds import KINDS
from sitemap.site.merging import NOTHING, Change, Path
from sitemap.site.model import Site
from sitemap.site.store_rows import FEATURE, MEMBER
from sitemap.units import unit_label
from sitemap.views.inputs.fields import reference_names
from sitemap.wording import capital

BLANK = "blank"
_ENDS = {"_low": "lowest", "_high": "highest", "_basis": "how it is known"}
_MEMBERS = {
    "name": "Name of the site",
    "units": "Units shown",
    "language": "Language of the papers",
    "timezone": "Time zone",
}
_LONGEST = 80  # letters of a value


def told(change: Change, site: Site) -> str | None:
    """One change as a line: "P1, height: 2 m → 3 m"; None for what only goes along with another (when it was seen).

    site : where names of things that are referred to stand, and the units to tell it in
    """
    if "seen" in change.path:
        return None
    where = place(change.path, site, change.before if change.after is NOTHING else change.after)
    if len(change.path) == 1 or _is_record(change.before) or _is_record(change.after):
        if change.before is NOTHING:
            return f"{where} added"
        if change.after is NOTHING:
            return f"{where} taken away"
    if change.path[-1] == "geometry":
        moved = "placed" if change.before in (NOTHING, None) else "moved"
        return f"{where} {'off the map' if change.after in (NOTHING, None) else moved}"
    return f"{where}: {value(change.path, change.before, site)} → {value(change.path, change.after, site)}"


def place(path: Path, site: Site, whole: Any = NOTHING) -> str:
    """Where a value stands, for a person: "P1, height".

    whole : what stands there, for the name of a thing that the site has no more
    """
    key, *steps = path
    kind, owner = _kind_of(path, site, whole)
    if str(key).startswith(FEATURE):
        steps = steps[1:] if steps[:1] == ["properties"] else steps
        steps = [] if steps == ["geometry"] else steps
    elif kind is not None and str(key) == f"{MEMBER}equipment":
        steps = steps[2:]
    elif kind is not None and steps and isinstance(steps[0], int):
        owner, steps = f"{owner}, row {steps[0] + 1}", steps[1:]
    return ", ".join([owner, *(_label(kind, step) if n == 0 else _plain(step) for n, step in enumerate(steps))])


def value(path: Path, raw: Any, site: Site) -> str:
    """A value for a person, with its unit."""
    if raw is NOTHING or raw is None or raw == "":
        return BLANK
    kind, _ = _kind_of(path, site)
    attribute = _attribute(kind, str(path[-1]).removesuffix("_low").removesuffix("_high"))
    if attribute is None or not isinstance(raw, str | int | float):
        return _short(raw)
    said = cell_text(attribute, raw, site.units, reference_names(site, attribute) if attribute.refers_to else None)
    number = isinstance(raw, int | float) and not isinstance(raw, bool)
    unit = unit_label(attribute.unit, site.units) if number else ""
    return _short(f"{said}{'' if unit in ('%', '°') else ' '}{unit}".strip())


def _kind_of(path: Path, site: Site, whole: Any = NOTHING) -> tuple[Kind | None, str]:
    """The schema of what a path leads to, and what a person calls that."""
    key = str(path[0])
    if key.startswith(FEATURE):
        feature = site.get(key[len(FEATURE) :])
        values = whole.get("properties") if isinstance(whole, Mapping) and len(path) == 1 else None
        values = values if isinstance(values, Mapping) else (feature.values if feature else {})
        kind = KINDS.get(str(values.get("kind")))
        label = kind.label.lower() if kind else "thing"
        return kind, f"{values.get('name') or key[len(FEATURE) :]} ({label})"
    name = key.partition(":")[2]
    if name == "equipment" and len(path) > 1:
        kind = EQUIPMENT.get(str(path[1]))
        item = site.item(str(path[1]), str(path[2])) if kind and len(path) > 2 else None
        named = item.name if item else str(path[2]) if len(path) > 2 else ""
        return kind, f"{kind.label} {named}".strip() if kind else _plain(path[1])
    kind = SECTIONS.get(name) or RECORDS.get(name)
    return kind, kind.label if kind else _MEMBERS.get(name, capital(_plain(name)))


def _attribute(kind: Kind | None, name: str) -> Attribute | None:
    return next((a for a in kind.attributes if name in (a.name, *a.also)), None) if kind else None


def _label(kind: Kind | None, step: str | int) -> str:
    name = str(step)
    attribute = _attribute(kind, name)
    end = next((each for each in RANGE_SUFFIXES if name.endswith(each)), "")
    if attribute is None and end:
        attribute = _attribute(kind, name.removesuffix(end))
        return f"{attribute.label.lower()} {_ENDS[end]}" if attribute else _plain(step)
    return attribute.label.lower() if attribute else _plain(step)


def _plain(step: str | int) -> str:
    return str(step).replace("_", " ") if isinstance(step, str) else f"row {step + 1}"


def _is_record(raw: Any) -> bool:
    return isinstance(freeze(raw), Mapping)


def _short(raw: Any) -> str:
    if isinstance(raw, list | tuple):
        said = ", ".join(map(_short, raw)) if all(isinstance(each, str | int | float) for each in raw) else ""
        return _short(said) if said else f"{len(raw)} entries" if len(raw) != 1 else "1 entry"
    if isinstance(raw, Mapping):
        return ", ".join(f"{_plain(name)} {_short(each)}" for name, each in raw.items())[:_LONGEST]
    said = str(raw)
    return said if len(said) <= _LONGEST else said[: _LONGEST - 1] + "…"
