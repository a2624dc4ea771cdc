"""A picture of the ground somebody brings: read, and where it lies as far as it says so."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from sitemap.errors import BadFile
from sitemap.geodesy.plane import Plane
from sitemap.letters import text_of
from sitemap.reasons import reason
from sitemap.terrain import pack, relief
from sitemap.terrain.rasterfile import opened_raster
from sitemap.terrain.world_file import corner_points

PICTURES, WORLD = ("tif", "tiff", "png", "jpg", "jpeg", *pack.PACKS), ("tfw", "pgw", "jgw", "wld")


@dataclass(frozen=True)
class Prepared:
    """A picture to be kept with a site.

    name : of its file; content : the file
    more : what its entry says besides: `points` it is laid by, `credit` of whom it is owed to
    """

    name: str
    content: bytes
    more: Mapping[str, Any] = field(default_factory=dict)


def ending(name: str) -> str:
    """The ending of a file's name, without the dot."""
    return name.rsplit(".", 1)[-1].lower()


def picture_among(names: Iterable[str]) -> str | None:
    """The first of some files that is a picture."""
    return next((name for name in names if ending(name) in PICTURES), None)


def prepared(files: Mapping[str, bytes], plane: Plane | None, around: pack.Window | None, crs: str) -> Prepared:
    """A picture somebody chose, looked at.

    files : name → content: a picture, and a world file where there is one
    plane : of the site, None where nothing is on it yet
    around : the ground that is cut out of a map pack
    crs : coordinate system of the world file, blank where it follows from the figures or the site

    Raises BadFile for one that cannot be read, or lies elsewhere.
    """
    name = picture_among(files)
    if name is None:
        raise BadFile(reason("terrain.picture_without_colours"))
    content, world = files[name], next((each for each in files if ending(each) in WORLD), None)
    if ending(name) in pack.PACKS and around is not None:
        return cut_out(name, pack.cut_of(content, name, around))
    with opened_raster(content, "picture of the ground") as raster:
        own = raster.crs is not None and not raster.transform.is_identity
        width, height = raster.width, raster.height
    more: dict[str, Any] = {}
    if world is not None:
        corners = corner_points(text_of(files[world]) or "", width, height, plane, crs)
        more["points"] = [{"column": c, "row": r, "lon": lon, "lat": lat, "at": ""} for c, r, lon, lat in corners]
    elif not own:
        more["points"] = []
    elif plane is None:
        raise BadFile(reason("terrain.picture_before_site"))
    else:
        relief.read_picture(content, plane)  # refused here where it lies elsewhere
    return Prepared(Path(name).name, content, more)


def cut_out(name: str, cut: pack.Cut) -> Prepared:
    """A picture cut out of a larger one, and whom it is owed to."""
    return Prepared(f"{Path(name).stem}.tif", cut.content, {"credit": cut.credit} if cut.credit else {})
