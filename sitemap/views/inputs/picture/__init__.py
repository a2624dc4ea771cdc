"""A picture of the ground of one's own: brought in, and laid by points seen in it and on the ground."""

from __future__ import annotations

import base64
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from io import BytesIO
from pathlib import Path
from typing import Any

import streamlit as st

from sitemap.errors import BadFile, BadValue
from sitemap.geodesy.coordinates import parse
from sitemap.geodesy.plane import Plane
from sitemap.maps.bundle import bundle
from sitemap.reasons import reason
from sitemap.site.frozen import FrozenDict, thaw
from sitemap.site.model import Site
from sitemap.site.on_plane import plane_of_site
from sitemap.terrain import pack, picture, relief
from sitemap.units import text
from sitemap.views import state, working
from sitemap.views.figures import spoken, wrong
from sitemap.views.inputs import drafts
from sitemap.wording import told

SURROUNDINGS_M = 400.0  # about what is on the map: the way in, and room to move things (ours)
MOST_POINTS = 12
_FILES, _SYSTEM, _TOUCH = "image.file", "draft.image.system", "image.touch"
_PREVIEW_PX = 1600  # longest side of the picture that is touched: more is slow over a phone's line

_touch = st.components.v2.component("pitstead_touch", js=bundle(Path(__file__).with_name("touch.js")))


@dataclass(frozen=True)
class Point:
    """A point of a picture [pixels], what somebody wrote of its place, and the place [deg] where that could be read."""

    column: float
    row: float
    at: str = ""
    lon: float | None = None
    lat: float | None = None


def points_of(site: Site) -> tuple[Point, ...] | None:
    """The points by which the site's picture is laid; None for one that says itself where it lies, and for none."""
    entry: Mapping[str, Any] = site.files.get("image") or {}
    listed = entry.get("points")
    if not isinstance(listed, tuple | list):
        return None
    return tuple(
        Point(**{name: each.get(name) for name in Point.__dataclass_fields__ if name in each}) for each in listed
    )


def placed_points(site: Site) -> relief.Points:
    """Those of them whose place is known, as the picture is laid by them."""
    return tuple(
        (p.column, p.row, p.lon, p.lat) for p in points_of(site) or () if p.lon is not None and p.lat is not None
    )


def is_laid(site: Site) -> bool:
    """Whether there is a picture, and it has found its place."""
    if "image" not in site.files:
        return False
    return points_of(site) is None or len(placed_points(site)) > 1


def plane_for(site: Site) -> Plane | None:
    """The plane of the site, on a site with nothing on it yet that of the picture."""
    known = placed_points(site)
    return plane_of_site(site) or (Plane(round(known[0][2], 2), round(known[0][3], 2)) if known else None)


def show() -> None:
    """Bring a picture in; say where its points lie."""
    drafts.text(
        st,
        "Coordinate system of a world file",
        _SYSTEM,
        placeholder="EPSG number; blank: degrees, else UTM as the site",
    )
    st.file_uploader(
        "Picture of the ground: drone, aerial, scanned map, map pack",
        [*picture.PICTURES, *picture.WORLD],
        accept_multiple_files=True,
        key=_FILES,
        help="GeoTIFF, PNG or JPEG. With a world file bring both at once. Without a place it is laid by points. "
        "Of a map pack (MBTiles, PMTiles, GeoPackage) the surroundings of the site are kept.",
        on_change=state.guarded(_bring),
    )
    site = state.site()
    points = points_of(site)
    if points is not None:
        _lay(site, points)


def _bring() -> None:
    files = {file.name: file.getvalue() for file in state.typed(_FILES) or ()}
    name = picture.picture_among(files)
    if name is None:
        return
    site, system = state.site(), str(state.typed(_SYSTEM) or "")
    around = surroundings(site) if picture.ending(name) in pack.PACKS else None
    working.begin(f"Reading {name}", picture.prepared, files, plane_for(site), around, system, then=keep)


def keep(found: picture.Prepared) -> None:
    """Keep a picture with the site and lay it under the map."""
    state.edit(f"Added {found.name}", with_picture(state.site(), found))
    state.put("backdrop", "picture")


def with_picture(site: Site, found: picture.Prepared) -> Site:
    """The site with a picture, whose file is kept beside it."""
    entry = {"name": found.name, "sha256": state.store().keep_file(found.content), **found.more}
    files_now = site.member.get("files")
    held = files_now if isinstance(files_now, FrozenDict) else FrozenDict()
    return site.with_member("files", held.put(image=entry))


def surroundings(site: Site) -> pack.Window:
    """The ground of a site and 400 m about it. Raises BadFile where nothing is on the map."""
    from sitemap.site.imports import remote

    plane, (west, south, east, north) = remote.surroundings(site, SURROUNDINGS_M)
    (lon0, lat0), (lon1, lat1) = plane.lonlat(west, south), plane.lonlat(east, north)
    return pack.Window(lon0, lat0, lon1 if lon1 > lon0 else lon1 + 360, lat1)


def _lay(site: Site, points: tuple[Point, ...]) -> None:
    st.markdown(
        "**Where does the picture lie?** Touch a point in it that you know, then write where that is: a coordinate in "
        "any form, or the name of a thing on the map. Two points far apart do from straight above; four are better."
    )
    shown = _preview(str(state.store().file(str(site.files["image"].get("sha256", "")))))
    _touch(
        key=_TOUCH,
        data={
            "src": shown.address,
            "says": "The picture to be laid on the map",
            "larger": "Larger or smaller",
            "width": shown.width,
            "height": shown.height,
            "marks": [[point.column, point.row] for point in points],
        },
        on_touch_change=state.guarded(_touched),
    )
    if not points:
        corners = ((0, 0), (shown.width, 0), (shown.width, shown.height), (0, shown.height))
        st.button("Its four corners are known", key="image.corners", on_click=state.guarded(_add), args=(corners,))
    with st.container(key="image.points"):
        for number, point in enumerate(points):
            _point(site, number, point, _corner(point, shown))
    bad, agree = _misfit(site)
    wrong(bad)
    st.markdown(agree)


def _corner(point: Point, shown: Preview) -> str:
    """Which corner of the picture a point is; empty where it is none."""
    across, down = {0: "left", shown.width: "right"}, {0: "top", shown.height: "bottom"}
    if point.column not in across or point.row not in down:
        return ""
    return f", {down[int(point.row)]} {across[int(point.column)]} corner,"


def _point(site: Site, number: int, point: Point, corner: str) -> None:
    key = f"image.point.{number}"
    field, drop = st.columns([5, 1], vertical_alignment="bottom")
    known = f"{point.lat:.6f}, {point.lon:.6f}" if point.lat is not None and point.lon is not None else ""
    field.text_input(
        f"Point {number + 1}{corner} is at",
        **state.text(key, point.at or known, half=False),
        placeholder="a coordinate, or the name of a thing",
        on_change=state.guarded(_said),
        args=(number, key),
    )
    drop.button(
        spoken("✕", f"Take point {number + 1} away"),
        key=f"{key}.drop",
        help="Take this point away",
        on_click=state.guarded(_drop),
        args=(number,),
    )
    if point.at and point.lat is None:
        wrong(_why_not(site, point.at))


def _misfit(site: Site) -> tuple[str, str]:
    """What is wrong with the points, and else how well they agree; both empty while there are fewer than two."""
    known, plane = placed_points(site), plane_for(site)
    if len(known) < 2 or plane is None:
        return "", ""
    try:
        fit = relief.laid(plane, known)
    except BadValue as bad:
        return told(bad.reason, site.units), ""
    pixel = text(100 * fit.pixel_m, "cm", site.units, 2)
    agree = "" if fit.misfit_m is None else f"; the points agree within {text(fit.misfit_m, 'm', site.units, 2)}"
    worst = "" if fit.worst is None else f", point {fit.worst + 1} least"
    return "", f"Laid by {len(known)} points: a pixel is {pixel}{agree}{worst}."


def place_said(site: Site, words: str) -> tuple[float, float]:
    """Longitude and latitude of what somebody wrote: a coordinate in any form, or the name of a thing on the map.

    Raises BadValue for what is neither.
    """
    named = [f for f in site.features if f.shape is not None and f.name.casefold() == words.strip().casefold()]
    if len(named) == 1 and named[0].shape is not None:
        point = named[0].shape.representative_point()
        return float(point.x), float(point.y)
    return parse(words)


def _why_not(site: Site, words: str) -> str:
    try:
        place_said(site, words)
    except BadValue as bad:
        return told(bad.reason, site.units)
    return ""


def _touched() -> None:
    touch = (state.typed(_TOUCH) or {}).get("touch")
    if isinstance(touch, Sequence) and len(touch) == 2:
        _add(((float(touch[0]), float(touch[1])),))


def _add(places: Sequence[tuple[float, float]]) -> None:
    points = points_of(state.site()) or ()
    new = (*points, *(Point(float(column), float(row)) for column, row in places))
    _keep("Points of the picture", new[:MOST_POINTS])


def _said(number: int, key: str) -> None:
    site, points = state.site(), list(points_of(state.site()) or ())
    words = str(state.typed(key) or "").strip()
    if number >= len(points):
        return
    try:
        lon, lat = place_said(site, words) if words else (None, None)
    except BadValue:
        lon, lat = None, None
    points[number] = Point(points[number].column, points[number].row, words, lon, lat)
    _keep(f"Place of point {number + 1} of the picture", points)
    known = [(point.lon, point.lat) for point in points if point.lon is not None and point.lat is not None]
    if known and not site.features:
        state.put("look_at", (*(sum(each) / len(known) for each in zip(*known, strict=True)), 17.0))


def _drop(number: int) -> None:
    points = points_of(state.site()) or ()
    _keep("Points of the picture", [point for n, point in enumerate(points) if n != number])


def _keep(label: str, points: Sequence[Point]) -> None:
    site = state.site()
    files = thaw(site.member.get("files") or {})
    if "image" not in files:
        return
    files["image"]["points"] = [
        {name: held for name, held in vars(point).items() if held is not None} for point in points
    ]
    state.edit(label, site.with_member("files", files))


@dataclass(frozen=True)
class Preview:
    """A picture small enough to touch: its address, and the size of the whole [pixels]."""

    address: str
    width: int
    height: int


@lru_cache(maxsize=2)
def _preview(path: str) -> Preview:
    from PIL import Image

    try:
        with Image.open(path) as picture:
            width, height = picture.size
            small = picture.convert("RGB")
            small.thumbnail((_PREVIEW_PX, _PREVIEW_PX))
            made = BytesIO()
            small.save(made, "JPEG", quality=80)
    except (OSError, ValueError) as error:
        raise BadFile(reason("terrain.picture_without_colours")) from error
    return Preview(f"data:image/jpeg;base64,{base64.b64encode(made.getvalue()).decode()}", width, height)
