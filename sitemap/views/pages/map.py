"""The site on a map, and what it means beside it."""

from __future__ import annotations

from dataclasses import replace

from sitemap.maps.draw import TOOLS, map_view
from sitemap.maps.scene import Edits, Overlay
from sitemap.views import state
from sitemap.views.frame import BEGINS, page
from sitemap.views.inputs import where
from sitemap.views.map import backdrop, canvas, layout, panel, steps, tray
from sitemap.views.map.adding import new_feature
from sitemap.wording import capital


def taken(edits: Edits) -> None:
    """Keep what somebody did on the map, as one edit that undo can take back."""
    site, said = state.site(), []
    state.put(BEGINS, None)  # it was done, or something else was
    placed = tray.placing(site)
    if placed is not None and edits.clicked is not None:
        tray.place(placed.id, edits)
        return
    for feature_id, geometry in edits.changed:
        feature = site.get(feature_id)
        if feature is not None:
            site = site.put(feature.with_geometry(geometry))
            said.append(f"moved {feature.name}")
    for kind, geometry, like_id in edits.added:
        like = site.get(like_id)
        new = new_feature(site, kind, geometry, like=like)
        site = site.put(new)
        state.select(new.id)
        said.append(f"added {new.name}" + (f" like {like.name}" if like is not None else ""))
    for feature_id in edits.deleted:
        feature = site.get(feature_id)
        if feature is not None:
            site = site.without(feature_id)
            said.append(f"deleted {feature.name}")
    if not edits.added:
        state.select(edits.selected)
    state.put("asked_at", edits.clicked)
    if said:
        words = ", ".join(said)
        state.edit(capital(words), site)
    if edits.undo:
        _undo(edits.undo)


def _undo(what: str) -> None:
    """Take an edit back by its name, as the map shows it: another one made meanwhile stays."""
    if state.kept().undo == what:
        state.undo()
    else:
        state.say(f"“{what}” is not the last edit any more: use Undo above the page.")


def _marked(look_at: tuple[float, float, float] | None) -> tuple[Overlay, ...]:
    """The place somebody asks about, and the one that was typed as long as nothing stands on the site."""
    if state.site().features or look_at is None:
        return panel.asked_about()
    typed = Overlay("asked", {"type": "Point", "coordinates": look_at[:2]}, "the place typed")
    return (typed, *panel.asked_about())


def body() -> None:
    site, a, chosen = state.site(), state.assessment(), state.selected()
    look_at, kept = where.looks_at(site), state.kept()
    left, right = layout.beside(panel_first=not site.features and look_at is None)
    with left:
        placing = tray.placing(site) is not None
        tools = () if placing else TOOLS  # then a touch also counts on an area
        view = map_view(a, kept.link, chosen, look_at, backdrop.chosen(), _marked(look_at), tools=tools)
        hint, begins = tray.hint(site) or steps.next_said(a, chosen), state.remember(BEGINS, None)
        canvas.show(replace(view, hint=hint, placing=placing, begins=begins, done=kept.undo or ""), "map", taken)
    with right:
        if not site.features:
            where.begin()
        tray.offered()  # first even where something is chosen: what lies nowhere yet cannot be touched
        if chosen is None:
            steps.show(a)
        panel.show()
        if chosen is not None:  # what is chosen comes first
            steps.show(a)
        backdrop.controls()


with page("map"):
    body()
