"""The picture under the map: relief from the elevation raster, or the user's own; served from this computer."""

from __future__ import annotations

import hashlib
import os
from collections.abc import Mapping
from functools import lru_cache
from pathlib import Path
from typing import Any

import streamlit as st
from streamlit.components.v1 import declare_component

from sitemap.errors import BadFile, PitsteadError
from sitemap.geodesy.plane import Plane
from sitemap.maps.scene import Backdrop
from sitemap.notes import Note
from sitemap.reasons import reason
from sitemap.site.frozen import FrozenDict
from sitemap.site.on_plane import plane_of_site
from sitemap.terrain import relief
from sitemap.terrain.of_site import notes_of
from sitemap.terrain.terrain import Terrain
from sitemap.views import sharing, state, working
from sitemap.views.faults import fault_text
from sitemap.views.folds import fold
from sitemap.views.frame import plain
from sitemap.views.inputs import picture
from sitemap.views.inputs.picture import service

_ROUTE = "backdrops"
CHOICES = {"relief": "relief", "picture": "own picture", "none": "nothing"}


def chosen() -> Backdrop | None:
    """The backdrop to show now, by what the site has and what this tab chose."""
    has = available()
    choice = _choice(has)
    try:
        if choice == "picture":
            entry: Mapping[str, Any] = state.site().files.get("image", {})
            return _served(_picture(), str(entry.get("credit") or ""))
        terrain = state.terrain()
        plane = plane_of_site(state.site())
        if choice == "relief" and terrain is not None and plane is not None and not terrain.level:
            return _served(_relief(terrain, plane))
    except PitsteadError as error:
        st.caption(plain(fault_text(error, state.site())))
    return None


def _choice(has: Mapping[str, str]) -> str:
    choice = state.remember("backdrop", None)
    return choice if choice in has else next(iter(has), "none")


def available() -> dict[str, str]:
    """What may lie under the map here: key → what a person reads."""
    site = state.site()
    names = ["picture"] if picture.is_laid(site) else []
    names += ["relief"] if "terrain" in site.files else []
    return {key: CHOICES[key] for key in (*names, "none")}


def _picture() -> relief.Backdrop:
    site = state.site()
    entry: Mapping[str, Any] = site.files.get("image", {})
    digest, plane = str(entry.get("sha256", "")), picture.plane_for(site)
    if plane is None:
        raise BadFile(reason("terrain.picture_before_site"))
    return _read(str(state.store().file(digest)), plane, picture.placed_points(site))


@lru_cache(maxsize=4)
def _read(path: str, plane: Plane, points: relief.Points) -> relief.Backdrop:
    return relief.read_picture(path, plane, points)


@lru_cache(maxsize=4)
def _relief(terrain: Terrain, plane: Plane) -> relief.Backdrop:
    return relief.relief_backdrop(terrain, plane)


def _served(ground: relief.Backdrop, credit: str = "") -> Backdrop:
    folder = state.store().folder / _ROUTE
    folder.mkdir(exist_ok=True)
    path = folder / f"{hashlib.sha256(ground.png).hexdigest()[:32]}.png"
    if not path.exists():
        part = path.with_suffix(f".{os.getpid()}.part")
        part.write_bytes(ground.png)
        part.replace(path)
    declare_component(_ROUTE, path=str(folder))
    return Backdrop(
        f"../{__name__}.{_ROUTE}/{path.name}", (ground.west, ground.south, ground.east, ground.north), credit
    )


def controls() -> None:
    """Choose what lies under the map; bring in an elevation raster or a picture."""
    has = available()
    if len(has) > 1:
        st.segmented_control(
            "Under the map",
            list(has),
            **state.choices("backdrop.choice", _choice(has)),
            format_func=has.__getitem__,
            on_change=state.guarded(lambda: state.put("backdrop", state.typed("backdrop.choice"))),
        )

    def files() -> None:
        st.caption("Files you fetched at home. They are kept on this computer, beside the site.")
        unit = st.radio("Heights in the raster", ["as the file says", "m", "ft"], horizontal=True, key="terrain.unit")
        st.file_uploader(
            "Elevation raster",
            ["tif", "tiff"],
            key="terrain.file",
            on_change=state.guarded(_keep_terrain),
            args=(unit,),
        )
        picture.show()
        if sharing.may_ask_the_net():
            service.show()

    fold("Elevation and picture of the ground", "ground.files", files)


def _keep_terrain(unit: str) -> None:
    uploaded = state.typed("terrain.file")
    if uploaded is None:
        return
    content, kind = uploaded.getvalue(), unit if unit in ("m", "ft") else None

    def keep(notes: tuple[Note, ...]) -> None:
        _keep("terrain", uploaded.name, content, {"unit": kind} if kind else {})
        for note in notes:
            state.say(note.told(state.site().units))

    working.begin(f"Reading {uploaded.name}", notes_of, state.site(), content, kind, then=keep)


def _keep(key: str, name: str, content: bytes, more: dict[str, str]) -> None:
    site = state.site()
    files = site.member.get("files")
    files = files if isinstance(files, FrozenDict) else FrozenDict()
    entry = {"name": Path(name).name, "sha256": state.store().keep_file(content), **more}
    state.edit(f"Added {Path(name).name}", site.with_member("files", files.put(**{key: entry})))
