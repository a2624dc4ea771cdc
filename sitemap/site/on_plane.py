"""Where the things of a Site lie on its plane."""

from __future__ import annotations

from collections.abc import Iterable
from functools import lru_cache

from shapely.geometry import Point
from shapely.geometry.base import BaseGeometry

from sitemap.errors import BadShape
from sitemap.geodesy.plane import Plane, farthest_m, plane_of
from sitemap.site.check import check
from sitemap.site.model import Feature, Site

_FARTHEST_M = 100_000.0  # [m] beyond it the plane no longer measures true


@lru_cache(maxsize=32)
def plane_of_site(site: Site) -> Plane | None:
    """The plane of a site, or None where nothing is placed. What lies far off the rest does not move it."""
    far = {note.about for note in check(site) if note.what == "far_away"}
    try:
        return plane_of(feature.shape for feature in site.features if feature.id not in far)
    except BadShape:  # scattered over the whole Earth: there is no site to measure, check names the strays
        return None


def near(features: Iterable[Feature], plane: Plane) -> tuple[Feature, ...]:
    """Features with a shape that is near enough to be measured on the plane."""
    return tuple(feature for feature in features if near_shape(feature, plane) is not None)


def middle_of(feature: Feature, plane: Plane) -> Point | None:
    """Middle of a feature on the plane [m], or None where it has no usable place."""
    shape = near_shape(feature, plane)
    return None if shape is None else shape.centroid


@lru_cache(maxsize=16_384)  # ten thousand heaps and more, each edit asks for all of them
def near_shape(feature: Feature, plane: Plane) -> BaseGeometry | None:
    """The shape of a feature on the plane [m], or None where it is absent, unusable or far off."""
    if feature.shape is None:
        return None
    try:
        if farthest_m(plane, [feature.shape]) > _FARTHEST_M:
            return None
        return plane.forward(feature.shape)
    except BadShape:
        return None
