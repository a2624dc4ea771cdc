"""Lines and outlines of many thousand points, without the points that say nothing."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

import numpy as np
import shapely

from sitemap.site.kinds import AREA, LINE

MOST_POINTS = 2_000  # of a line as it is; a longer one was kept a night long, and a map cannot be drawn on it
THINNED_M = 0.5  # [m] a thinned line lies no further off: a phone is good to 5 m at best (house rule)
M_PER_DEGREE = 111_195.0  # [m] on a sphere of 6371 km: good enough to tell near from far
_FEWEST_OF_RING = 4

Places = list[list[float]]


def thinned(shape: Mapping[str, Any]) -> tuple[dict[str, Any], int]:
    """A line or an outline fit to be drawn, and how many points it had; 0 where it comes back as it is."""
    if shape["type"] == LINE:
        line = thinned_line(shape["coordinates"])
        return {**shape, "coordinates": line}, len(shape["coordinates"]) * (line is not shape["coordinates"])
    if shape["type"] != AREA or sum(map(len, shape["coordinates"])) <= MOST_POINTS:
        return dict(shape), 0
    rings = [thin if len(thin := thinned_line(ring)) >= _FEWEST_OF_RING else ring for ring in shape["coordinates"]]
    before, after = (sum(map(len, each)) for each in (shape["coordinates"], rings))
    return {**shape, "coordinates": rings}, before * (after < before)


def thinned_line(places: Places) -> Places:
    """A line without the points that say nothing, nowhere THINNED_M off; a short one as it is.

    places : longitude and latitude [deg]
    """
    if len(places) <= MOST_POINTS:
        return places
    lon, lat = np.asarray(places, dtype=float).T
    east = np.unwrap(np.radians(lon)) * math.cos(math.radians(float(lat.mean())))
    metres = np.degrees(np.stack([east, np.radians(lat)], axis=1)) * M_PER_DEGREE
    kept = iter(shapely.get_coordinates(shapely.simplify(shapely.linestrings(metres), THINNED_M)).tolist())
    wanted, thin = next(kept), []
    for place, metre in zip(places, metres.tolist(), strict=True):  # the points kept are points of the line, in order
        if metre == wanted:
            thin.append(place)
            wanted = next(kept, None)
    return thin
