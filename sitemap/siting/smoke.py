"""The usual wind held against the places smoke must be kept from: a caution for a kiln spot, never a verdict.

No model of smoke: a sector of the map. The wind of the day may be another one.
"""

from __future__ import annotations

import math

import numpy as np
from shapely.geometry import Point, Polygon

from sitemap import tables
from sitemap.geodesy.plane import Plane
from sitemap.reasons import Reason, metres, reason
from sitemap.site.model import Site
from sitemap.site.on_plane import near_shape

HALF_SECTOR_DEG = tables.value("smoke", "half_sector")  # [deg] to either side of the wind
FARTHEST_M = 1_500.0  # [m] smoke places farther off are not spoken of; smoke itself goes farther (ours, C)


def smoke_sector(x: float, y: float, wind_from_deg: float) -> Polygon:
    """Ground downwind of a place, 30° to either side, as far as 1,500 m, on the plane [m].

    x, y : the place [m]; wind_from_deg : where the wind comes from, clockwise from north [deg].

    >>> smoke_sector(0, 0, 270.0).bounds[2]  # the wind blows from the west, so smoke goes east
    1500.0
    """
    off = np.radians(wind_from_deg + 180 + np.linspace(-HALF_SECTOR_DEG, HALF_SECTOR_DEG, 31))
    return Polygon([(x, y), *zip(x + FARTHEST_M * np.sin(off), y + FARTHEST_M * np.cos(off), strict=True)])


def smoke_caution(site: Site, plane: Plane, x: float, y: float) -> Reason | None:
    """What to say where the usual wind of a site blows from a place [m] at places to keep smoke from.

    None where it does not, or where no wind is entered.
    """
    wind = site.section("season").number("wind_from_deg")
    if wind is None:
        return None
    place, sector = Point(x, y), smoke_sector(x, y, wind)
    shapes = [(feature.name, near_shape(feature, plane)) for feature in site.of_kind("smoke_place")]
    hit = sorted(
        (shape.distance(place), name) for name, shape in shapes if shape is not None and shape.intersects(sector)
    )
    if not hit:
        return None
    named = (reason("siting.so_far_off", name=name, away=metres(math.floor(away), 2)) for away, name in hit)
    return reason("siting.smoke", names=tuple(named))
