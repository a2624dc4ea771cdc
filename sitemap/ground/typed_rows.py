"""Rows typed in the grid become things of the site, and are placed where their place can be read."""

from __future__ import annotations

from collections.abc import Mapping

from sitemap.ground.far_off import far_notes
from sitemap.ground.of_site import plane_of_site
from sitemap.ground.placing_text import place_notes, place_text, settle
from sitemap.site.grid import PLACE, CellNote, is_blank, notes_of, with_cells
from sitemap.site.model import Feature, Site


def typed(
    site: Site, kind: str, ids: tuple[str | None, ...], rows: Mapping[int, Mapping[str, str | None]]
) -> tuple[Site, tuple[str | None, ...]]:
    """The site after some cells were typed, and the ids of the rows: new rows get one, rows emptied lose theirs.

    ids : id of the thing in each row, None for a blank row
    rows : row → column key → text
    """
    new_ids = list(ids)
    for row, cells in sorted(rows.items()):
        known = new_ids[row]
        old = site.get(known) if known else None
        feature = old or Feature.of(site.new_id(kind), None, {"kind": kind})
        moved = PLACE in cells and (cells[PLACE] or "").strip() != place_text(feature)
        feature = with_cells(site, feature, cells if moved else {k: v for k, v in cells.items() if k != PLACE})
        if moved:  # words that cannot be read yet stand in for the place: the grid and the tray say so
            feature = feature.with_geometry(None)
        if is_blank(feature):
            new_ids[row] = None
            site = site.without(feature.id) if old else site
        else:
            new_ids[row] = feature.id
            site = site.put(feature)
    return settle(site), tuple(new_ids)


def placed(site: Site, feature_id: str, text: str) -> Site:
    """The site with the place of one thing written, and on the map if it can be read."""
    feature = site.get(feature_id)
    return site if feature is None else settle(site.put(feature.with_values(**{PLACE: text.strip() or None})))


def notes_for(site: Site, kind: str) -> tuple[CellNote, ...]:
    """What is to be said at the cells of one kind, by row: values, places as written, places far off the site."""
    features = site.of_kind(kind)
    far = far_notes(plane_of_site(site), enumerate(features, 1), site.units)
    found = (*notes_of(site, features), *place_notes(site, features), *far)
    return tuple(sorted(found, key=lambda note: note.row))
