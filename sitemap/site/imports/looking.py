"""What would enter: each thing of a file against the site, before anybody keeps it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from sitemap.geodesy.plane import WGS84
from sitemap.site.far_off import far_notes, tidied
from sitemap.site.frozen import thaw
from sitemap.site.grid import CellNote
from sitemap.site.imports import bring
from sitemap.site.imports.brought import Brought, Candidate, additions, counterparts, differences, keep
from sitemap.site.kinds import KINDS
from sitemap.site.model import Feature, Site
from sitemap.site.on_plane import plane_of_site
from sitemap.site.placing_text import place_notes
from sitemap.units import text
from sitemap.wording import told

NEW, SAME, ADDS, CHANGES = "new", "here already", "adds to", "changes"


@dataclass(frozen=True)
class Look:
    """One thing that would enter.

    what : NEW, SAME, ADDS or CHANGES
    name : of the thing on the site that it is; keys : what it would add there, or change
    far : it lies far off the site
    size : length of a line, area of an outline, in the units of the site; empty for a point
    """

    candidate: Candidate
    what: str
    name: str
    keys: tuple[str, ...]
    far: bool
    size: str

    @property
    def take(self) -> bool:
        """Whether it is taken unless somebody says otherwise: what overwrites is for a person to choose."""
        return self.what in (NEW, ADDS) and not self.far

    @property
    def says(self) -> str:
        """What it does to the site."""
        if self.what == NEW:
            return NEW
        return f"{self.what} {self.name}: {', '.join(self.keys)}" if self.keys else f"{self.what}: {self.name}"


def prepared(brought: Brought) -> Brought:
    """What was brought, its lines and outlines fit to be drawn."""
    return replace(brought, candidates=tuple(map(_tidy, brought.candidates)))


def looked_into(
    name: str, data: bytes, site: Site, kind: str | None = None, unit: str | None = None, system: str | None = None
) -> Brought:
    """What a file holds, fit to be shown and drawn; as `bring` otherwise."""
    return prepared(bring(name, data, site, kind, unit, system))


def notes_at(site: Site, brought: Brought) -> tuple[CellNote, ...]:
    """Everything that is to be said of what was brought, places among it, by row."""
    candidates = brought.candidates
    far = far_notes(plane_of_site(site), [(c.row, c.feature) for c in candidates])
    places = place_notes(keep(site, candidates), (c.feature for c in candidates))
    #  Why a place is none is told already: in the words of its columns, or by the question for their system.
    said = {note.row for note in brought.notes if note.what == "bad_place"} | brought.waiting
    by_row = [note for each in places if (note := replace(each, row=candidates[each.row - 1].row)).row not in said]
    return tuple(sorted((*brought.notes, *far, *by_row), key=lambda note: note.row))


def looks(site: Site, brought: Brought, notes: Iterable[CellNote]) -> tuple[Look, ...]:
    """Each thing of a file against the site; notes : as `notes_at` gives them."""
    far = {note.row for note in notes if note.what == "far_away"}
    return tuple(
        _look(site, candidate, old, candidate.row in far)
        for candidate, old in zip(brought.candidates, counterparts(site, brought.candidates), strict=True)
    )


def listing(site: Site, brought: Brought) -> Iterator[str]:
    """What would enter, as lines to read: headings as they were taken, things, then what is to be said, by row."""
    notes = notes_at(site, brought)
    for head, label in brought.headings:
        yield f"{head} → {label or 'note'}"
    for look in looks(site, brought, notes):
        feature = look.candidate.feature
        name = str(feature.values.get("name") or "without a name")
        size = f", {look.size}" if look.size else ""
        why = f"({look.candidate.why})"
        yield f"{look.candidate.row}: {KINDS[feature.kind].label} {name}{size}: {look.says} {why}"
    for note in notes:
        yield (f"{note.row}: " if note.row else "") + told(note.text, site.units)


def size_of(feature: Feature, system: str) -> str:
    """Length of a line, area of an outline, on the ellipsoid; empty for a point and for what has no shape."""
    shape = feature.shape
    if shape is None or shape.geom_type == "Point":
        return ""
    if shape.geom_type == "LineString":
        return text(float(WGS84.geometry_length(shape)), "m", system)
    area_m2 = abs(float(WGS84.geometry_area_perimeter(shape)[0]))
    return text(area_m2, "m2", system) if area_m2 < _SMALL_M2 else text(area_m2 / _M2_PER_HA, "ha", system)


_M2_PER_HA = 10_000.0
_SMALL_M2 = 2_000.0  # below it m² say more than ha


def _look(site: Site, candidate: Candidate, old: Feature | None, far: bool) -> Look:
    size = size_of(candidate.feature, site.units)
    if old is None:
        return Look(candidate, NEW, "", (), far, size)
    changed, added = differences(old, candidate.feature), additions(old, candidate.feature)
    what = CHANGES if changed else ADDS if added else SAME
    return Look(candidate, what, old.name, changed or added, far, size)


def _tidy(candidate: Candidate) -> Candidate:
    if candidate.feature.geometry is None:
        return candidate
    return replace(candidate, feature=candidate.feature.with_geometry(tidied(thaw(candidate.feature.geometry))))
