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
_SURELY_NEAR_M = 70_000.0  # [m] east and north: 99 km aslant, and the plane is off by 0.1 % at most there


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


def near_shape(feature: Feature, plane: Plane) -> BaseGeometry | None:
    """The shape of a feature on the plane [m], or None where it is absent, unusable or far off."""
    return feature.on(plane, _near_shape)


def _near_shape(feature: Feature, plane: Plane) -> BaseGeometry | None:
    if feature.shape is None:
        return None
    try:
        flat = plane.forward(feature.shape)
        if _surely_near(flat):
            return flat
        return None if farthest_m(plane, [feature.shape]) > _FARTHEST_M else flat
    except BadShape:
        return None


def _surely_near(flat: BaseGeometry) -> bool:
    """Whether a shape on the plane [m] is well within reach there: the way over the Earth need not be asked for."""
    if flat.is_empty:
        return False
    x0, y0, x1, y1 = (flat.x, flat.y, flat.x, flat.y) if isinstance(flat, Point) else flat.bounds
    return bool(max(abs(x0), abs(y0), abs(x1), abs(y1)) < _SURELY_NEAR_M)
