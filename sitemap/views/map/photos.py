"""Photos of the thing in the panel: add, caption, take out; the place of a picture is offered, never taken."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import streamlit as st

from sitemap.errors import BadFile, PitsteadError
from sitemap.site.kinds import KINDS
from sitemap.site.model import Feature
from sitemap.site.photos import Photo, Taken, photos_of, take, with_photo, without_photo
from sitemap.views import state, working
from sitemap.views.faults import fault_text
from sitemap.views.folds import fold
from sitemap.views.frame import plain
from sitemap.views.inputs import drafts

_MADE = "photo made small"


def show(feature: Feature) -> None:
    """What is there, and one more."""
    own = [photo for photo in photos_of(state.site()) if photo.of == feature.id]

    def photos() -> None:
        for photo in own:
            _one(photo)
        upload = st.file_uploader(
            "Add a photo (JPEG or PNG)", ["jpg", "jpeg", "png"], key=f"photo.{feature.id}.{len(own)}"
        )
        if upload is not None:
            taken = _taken_once(upload)
            if isinstance(taken, Taken):
                _offer(feature, taken)
            elif taken is not None:
                st.error(plain(fault_text(taken, state.site())))

    fold("Photos", f"photos.{feature.id}", photos, shut=f": {len(own)}" if own else "")


def _taken_once(upload: Any) -> Taken | PitsteadError | None:
    """The picture made small, once for all runs of the page; why it cannot be, or None while it is made."""

    def made(what: Taken | PitsteadError | None) -> None:
        state.put(_MADE, (upload.file_id, what))

    held = state.remember(_MADE, ("", None))
    if held[0] != upload.file_id:
        made(None)
        working.begin(f"Reading {upload.name}", take, upload.name, upload.getvalue(), then=made, refused=made)
        st.rerun()
    taken: Taken | PitsteadError | None = state.remember(_MADE, held)[1]
    return taken


def _one(photo: Photo) -> None:
    try:
        st.image(
            str(state.store().file(photo.sha256)), caption=plain(photo.caption) or None, alt=photo.caption or "Photo"
        )
    except BadFile as bad:
        st.caption(plain(fault_text(bad, state.site())))
    st.button(
        "Take the photo out",
        key=f"photo.out.{photo.of}.{photo.sha256}",
        on_click=state.guarded(_take_out),
        args=(photo,),
    )


def _offer(feature: Feature, taken: Taken) -> None:
    """The picture as it will be kept, with what the camera knew."""
    st.image(taken.jpeg, alt="The picture as it will be kept")
    key = f"draft.caption.{feature.id}"
    caption = drafts.text(st, "Caption", key)
    keep_where = False
    if taken.at is not None or taken.taken is not None:
        knew = [f"{taken.at[1]:.5f}, {taken.at[0]:.5f}"] if taken.at is not None else []
        knew += [taken.taken.isoformat()] if taken.taken is not None else []
        keep_where = st.checkbox(
            f"Keep place and day of the picture ({', '.join(knew)}): they leave with the site",
            key=f"photo.where.{feature.id}",
        )
    photo = Photo(
        "", feature.id, caption.strip(), taken.taken if keep_where else None, taken.at if keep_where else None
    )
    st.button(
        "Keep the photo",
        key=f"photo.keep.{feature.id}",
        type="primary",
        on_click=state.guarded(_keep),
        args=(photo, taken.jpeg, key),
    )
    if taken.at is not None and _is_point(feature):
        st.button(
            "Move the thing to where the picture was taken",
            key=f"photo.place.{feature.id}",
            on_click=state.guarded(_place),
            args=(feature.id, taken.at),
        )


def _is_point(feature: Feature) -> bool:
    """Whether the thing is a point, or has no place and may be one: a line or an area is not moved by a picture."""
    kind = KINDS.get(feature.kind)
    is_other = feature.geometry is not None and feature.geometry.get("type") != "Point"
    return not is_other and (kind is None or "Point" in kind.geometries)


def _keep(photo: Photo, jpeg: bytes, key: str) -> None:
    state.typed(key)  # which tells the browser that it has been taken
    digest = state.store().keep_file(jpeg)
    state.edit("Added a photo", with_photo(state.site(), replace(photo, sha256=digest)))


def _take_out(photo: Photo) -> None:
    state.edit("Took a photo out", without_photo(state.site(), photo))


def _place(feature_id: str, at: tuple[float, float]) -> None:
    feature = state.site().get(feature_id)
    if feature is not None:
        moved = feature.with_geometry({"type": "Point", "coordinates": list(at)})
        state.edit(f"Moved {feature.name} to where a picture was taken", state.site().put(moved))
