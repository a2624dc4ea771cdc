"""The ground of a Site: its plane, its elevation raster, what ways must heed."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from functools import lru_cache
from pathlib import Path

from shapely.geometry.base import BaseGeometry

from sitemap.geodesy.plane import Plane
from sitemap.notes import Note
from sitemap.site.kinds import with_role
from sitemap.site.model import Feature, Site
from sitemap.site.on_plane import near_shape, plane_of_site
from sitemap.terrain.elevation import read_terrain
from sitemap.terrain.graph import Obstacles
from sitemap.terrain.terrain import Terrain, level_terrain

WAY_CELLS = 250_000  # ways are sought on at most so many cells: 1 m over half a kilometre, 2 m over a whole one
MARGIN_M = 150.0  # [m] of terrain kept round what is drawn
_STEP_M = 100.0  # [m] the window grows in steps, so that a drag does not read the raster again
_CLOSED, _TRACKS = with_role("closed"), with_role("way")
_SOFT = with_role("soft")  # in timber too a machine keeps to its tracks; a hose and a walker do not

Bounds = tuple[float, float, float, float]


def terrain_of(site: Site, source: str | Path | bytes, unit: str | None = None) -> Terrain:
    """The elevation of a site from a raster, clipped to the site and its surroundings.

    Parameters
    ----------
    source : path of the raster, or its bytes
    unit : "m" or "ft" where the file's heights are in another unit than it says

    Raises
    ------
    BadFile : a raster that cannot serve
    """
    plane = plane_of_site(site) or Plane(0.0, 0.0)
    return _read(source, plane, window(site.features, plane), unit)


def notes_of(site: Site, content: bytes, unit: str | None = None) -> tuple[Note, ...]:
    """What a person should know of an elevation raster before it is kept. Raises BadFile as `terrain_of` does."""
    return terrain_of(site, content, unit).notes


def ground_of(features: tuple[Feature, ...], plane: Plane, terrain: Terrain | None) -> Terrain:
    """The ground ways are sought on: the terrain in cells that keep an edit quick, or level ground where there is none.

    Ways still go round what is drawn on level ground. Where smoke must not go may be kilometres off, and nobody hauls
    there: it does not widen the ground.
    """
    if terrain is None:
        near = [feature for feature in features if feature.kind != "smoke_place"]
        return _level(window(near, plane) or (-MARGIN_M, -MARGIN_M, MARGIN_M, MARGIN_M))
    return terrain.coarsened(max(1, math.ceil(math.sqrt(terrain.grid.size / WAY_CELLS))))


def heeded(features: Iterable[Feature], plane: Plane) -> tuple[Feature, ...]:
    """The features ways must heed, see `obstacles_of`: a way that is remembered hangs on no other."""
    return tuple(feature for feature, _ in _heeded(features, plane))


def _heeded(features: Iterable[Feature], plane: Plane) -> Iterator[tuple[Feature, BaseGeometry]]:
    for feature in features:
        shape = near_shape(feature, plane) if feature.kind in (*_CLOSED, *_TRACKS, *_SOFT, "water_source") else None
        if shape is not None and (feature.kind != "water_source" or shape.area > 0):
            yield feature, shape


@lru_cache(maxsize=16)
def obstacles_of(features: tuple[Feature, ...], plane: Plane, for_machine: bool) -> Obstacles:
    """What ways must heed.

    Parameters
    ----------
    features : of the site
    plane : of the site
    for_machine : a machine keeps off streams, wet ground and standing timber unless a track crosses them, and drives
        round heaps; a hose or a walker does not mind those

    Returns
    -------
    Obstacles on the plane [m]
    """
    closed: list[BaseGeometry] = []
    wet: list[BaseGeometry] = []
    tracks: list[BaseGeometry] = []
    roads: list[BaseGeometry] = []
    for feature, shape in _heeded(features, plane):
        if feature.kind in _TRACKS:
            tracks.append(shape.buffer(2.0) if shape.area == 0 else shape)
            if feature.kind == "road":
                roads.append(shape)
        elif feature.kind not in _SOFT:
            closed.append(shape)
        elif for_machine:
            wet.append(shape)
    return Obstacles(tuple(closed), tuple(wet), tuple(tracks), tuple(roads))


def window(features: Iterable[Feature], plane: Plane) -> Bounds | None:
    """Ground kept of a raster: round what is drawn, in steps of 100 m (min x, min y, max x, max y) [m]; None without
    any."""
    return _window(tuple(features), plane)


@lru_cache(maxsize=16)
def _window(features: tuple[Feature, ...], plane: Plane) -> Bounds | None:
    bounds = [shape.bounds for feature in features if (shape := near_shape(feature, plane)) is not None]
    if not bounds:
        return None
    x0, y0 = (math.floor((min(b[axis] for b in bounds) - MARGIN_M) / _STEP_M) * _STEP_M for axis in (0, 1))
    x1, y1 = (math.ceil((max(b[axis] for b in bounds) + MARGIN_M) / _STEP_M) * _STEP_M for axis in (2, 3))
    return x0, y0, x1, y1


@lru_cache(maxsize=8)
def _read(source: str | Path | bytes, plane: Plane, bounds: Bounds | None, unit: str | None) -> Terrain:
    return read_terrain(source, plane, bounds, unit)


@lru_cache(maxsize=8)
def _level(bounds: Bounds) -> Terrain:
    return level_terrain(bounds)
