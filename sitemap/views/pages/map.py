"""The site on a map, and what it means beside it."""

from __future__ import annotations

import streamlit as st

from sitemap.maps.draw import map_view
from sitemap.maps.scene import Edits
from sitemap.site.kinds import SLASH
from sitemap.site.model import Site
from sitemap.views import state
from sitemap.views.frame import open_page, page
from sitemap.views.inputs import where
from sitemap.views.map import backdrop, canvas, layout, panel
from sitemap.views.map.adding import new_feature
from sitemap.wording import capital


def taken(edits: Edits) -> None:
    """Keep what somebody did on the map, as one edit that undo can take back."""
    site, said = state.site(), []
    for feature_id, geometry in edits.changed:
        feature = site.get(feature_id)
        if feature is not None:
            site = site.put(feature.with_geometry(geometry))
            said.append(f"moved {feature.name}")
    for kind, geometry in edits.added:
        new = new_feature(site, kind, geometry)
        site = site.put(new)
        state.select(new.id)
        said.append(f"added {new.name}")
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


def body() -> None:
    site = state.site()
    left, right = layout.beside()
    with left:
        look_at = state.remember("look_at", None)
        kept = state.kept()
        view = map_view(
            state.assessment(), kept.link, state.selected(), look_at, backdrop.chosen(), done=kept.undo or ""
        )
        canvas.show(view, "map", taken)
    with right:
        if not site.features:
            where.begin()
        if state.remember("hint", True):
            _hint(site)
        panel.show()
        backdrop.controls()


def _hint(site: Site) -> None:
    """Three steps through the sample; on an own site the step that comes next."""
    steps = _steps(site)
    following = next((number for number, (_, done, _) in enumerate(steps) if not done), None)
    with st.container(border=True, key="hint.box"):
        if following is not None:
            state.put(_BEGUN, state.kept().link)
        if following is None and state.remember(_BEGUN, None) == state.kept().link:
            st.markdown(
                "**The first verdict stands.** Beside the map is what is still not known. On *Rules and permit* say "
                "who was asked and what was looked for; on *Water* give the pump and hose, or the buckets."
            )
        elif following is None:
            st.markdown(
                "**Three steps to begin with**\n"
                "1. Touch kiln K1 on the map, then drag it about: what decides is numbered as you drag.\n"
                "2. Touch a pile and change its size.\n"
                "3. Start an own site: side panel, *Open*."
            )
        else:
            lines = [
                f"{'✓' if done else '○'} " + (f"**{name}**: {how}" if number == following else name)
                for number, (name, done, how) in enumerate(steps)
            ]
            st.markdown("**From an empty map to a verdict**\n\n" + "  \n".join(lines))
            if steps[following][0] == _KILN and st.button("Describe a kiln", key="hint.kiln", width="stretch"):
                open_page("kilns")
        st.button("Close", key="hint.close", on_click=state.guarded(state.put), args=("hint", False), type="tertiary")


_KILN = "A kiln"
_BEGUN = "begun"  # link of the site these steps were shown for


def _steps(site: Site) -> tuple[tuple[str, bool, str], ...]:
    return (
        ("The logged area", bool(site.of_kind("logged_area")), "*+ Add*, *Logged area*, touch each corner, *Finish*."),
        (
            "Slash",
            bool(site.of_kind(*SLASH)),
            "*+ Add*, *Pile*, *One place*, touch where it lies; then give it length, width and height here.",
        ),
        (_KILN, bool(site.equipment("kilns")), "its shape and size, on the page *Kilns and clock*."),
        ("A kiln spot", bool(site.of_kind("kiln_spot")), "*+ Add*, *Kiln spot*; or touch bare ground and ask."),
        (
            "A water source",
            bool(site.of_kind("water_source")),
            "*+ Add*, *Water source*: tank, tap, pond or stream. Then the verdict stands here.",
        ),
    )


with page("map"):
    body()
