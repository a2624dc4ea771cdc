"""Rows typed in the grid become things of the site, and are placed where their place can be read."""

from __future__ import annotations

from collections.abc import Mapping

from sitemap.site.far_off import far_notes
from sitemap.site.grid import PLACE, CellNote, is_blank, notes_of, with_cells
from sitemap.site.model import Feature, Site
from sitemap.site.on_plane import plane_of_site
from sitemap.site.placing_text import place_notes, place_text, settle


def typed(site: Site, kind: str, rows: Mapping[str, Mapping[str, str | None]], units: str | None = None) -> Site:
    """The site after some cells were typed: rows of an unknown id are new things, rows emptied are taken away.

    rows : id of the thing in a row → column key → text
    units : of numbers that say none, "metric" or "us"; those of the site where left out
    """
    for known, cells in rows.items():
        old = site.get(known)
        feature = old or Feature.of(known, None, {"kind": kind})
        moved = PLACE in cells and (cells[PLACE] or "").strip() != place_text(feature)
        told = cells if moved else {key: text for key, text in cells.items() if key != PLACE}
        feature = with_cells(site, feature, told, units)
        if moved:  # words that cannot be read yet stand in for the place: the grid and the tray say so
            feature = feature.with_geometry(None)
        if is_blank(feature):
            site = site.without(known) if old else site
        else:
            site = site.put(feature)
    return settle(site)


def placed(site: Site, feature_id: str, text: str) -> Site:
    """The site with the place of one thing written, and on the map if it can be read."""
    feature = site.get(feature_id)
    return site if feature is None else settle(site.put(feature.with_values(**{PLACE: text.strip() or None})))


def notes_for(site: Site, kind: str) -> tuple[CellNote, ...]:
    """What is to be said at the cells of one kind, by row: values, places as written, places far off the site."""
    features = site.of_kind(kind)
    far = far_notes(plane_of_site(site), enumerate(features, 1))
    found = (*notes_of(site, features), *place_notes(site, features), *far)
    return tuple(sorted(found, key=lambda note: note.row))
