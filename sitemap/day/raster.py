"""Does the elevation raster count in the unit it is read in? Its heights and slopes held against those typed."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping

import numpy as np

from sitemap.geodesy.plane import Plane
from sitemap.reasons import Reason, metres, percent, reason
from sitemap.safety.permission import Check, checked
from sitemap.site.model import Site
from sitemap.site.on_plane import middle_of
from sitemap.terrain.elevation import FOOT_M
from sitemap.terrain.terrain import Terrain

FEET = 1 / FOOT_M  # [1] by so much heights and slopes are too large where feet are read as metres
HEIGHT_ERROR_M = 30.0  # [m] heights of a telephone and a raster may lie apart by so much; ours (C)
OF_FEET = (0.85, 1.15)  # [1] a ratio of heights this near to that of the two units is taken for it; ours (C)
SLOPES_OF_FEET = (2.2, 4.9)  # [1] as much for slopes, which are known less well: two thirds to one and a half; ours (C)
LEAST_SLOPE_PCT, LEAST_SLOPES = 3.0, 2  # gentler ones say nothing of a ratio; one alone is the matter of its kiln
IN_DOUBT = ("terrain_unit", "terrain_steep")  # notes of the reading that say that the unit may be another


def raster_checks(
    site: Site, plane: Plane | None, terrain: Terrain | None, slopes: Mapping[str, float | None]
) -> tuple[Check, ...]:
    """A check that does not pass where the unit of the raster looks wrong, or heights disagree; none where all is well.

    slopes : of the pads by the raster, by id of the kiln spot [%], NaN where it has none to give

    Slopes and lifts are judged by the worse of what was typed and what the raster says all the same.
    """
    if plane is None or terrain is None or terrain.level:
        return ()
    why = _of_heights(site, plane, terrain) or _of_slopes(site, slopes) or _of_reading(terrain)
    if why is None:
        return ()
    return (checked("raster", "two figures disagree", "site", why, reason("action.raster_unit")),)


def _of_heights(site: Site, plane: Plane, terrain: Terrain) -> Reason | None:
    for name, typed, seen in _heights(site, plane, terrain):
        if abs(typed - seen) <= HEIGHT_ERROR_M:
            continue
        ratio = seen / typed if typed else math.inf
        feet = OF_FEET[0] <= ratio / FEET <= OF_FEET[1] or OF_FEET[0] <= ratio * FEET <= OF_FEET[1]
        high, by_raster = metres(typed), metres(seen)
        return reason("day.raster_feet" if feet else "day.raster_height", name=name, typed=high, raster=by_raster)
    return None


def _heights(site: Site, plane: Plane, terrain: Terrain) -> Iterator[tuple[str, float, float]]:
    """Name, height typed and height of the raster [m] of all that has both."""
    for feature in site.of_kind("kiln_spot", "water_source"):
        typed, place = feature.number("elevation_m"), middle_of(feature, plane)
        if typed is None or place is None:
            continue
        seen = float(terrain.elevation(place.x, place.y))
        if math.isfinite(seen):
            yield feature.name, typed, seen


def _of_slopes(site: Site, slopes: Mapping[str, float | None]) -> Reason | None:
    ratios = []
    for spot in site.of_kind("kiln_spot"):
        typed, seen = spot.number("slope_pct"), slopes.get(spot.id)
        if typed is not None and typed >= LEAST_SLOPE_PCT and seen is not None and seen > 0:
            ratios.append(seen / typed)
    if len(ratios) < LEAST_SLOPES:
        return None
    low, high = SLOPES_OF_FEET
    if all(low <= each <= high for each in ratios) or all(low <= 1 / each <= high for each in ratios):
        share = percent(100 * float(np.median(ratios)))
        return reason("day.raster_slopes", share=share, count=len(ratios))
    return None


def _of_reading(terrain: Terrain) -> Reason | None:
    """What was already odd when the raster was read."""
    note = next((note for note in terrain.notes if note.what in IN_DOUBT), None)
    return None if note is None or isinstance(note.text, str) else note.text
