"""Coordinate systems of other people's files, carried to WGS 84 longitude and latitude; nothing is fetched for it."""

from __future__ import annotations

import math
import warnings
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

import numpy as np
import pyproj
import shapely
from pyproj.aoi import AreaOfInterest
from pyproj.exceptions import CRSError, ProjError
from pyproj.transformer import TransformerGroup
from shapely.geometry.base import BaseGeometry

from sitemap.errors import BadFile
from sitemap.reasons import reason

_WGS84 = "OGC:CRS84"
_SURE_M = 1.0  # [m] what is carried over as well as this is not worth a word: a receiver is off by more


@dataclass(frozen=True)
class Carried:
    """Shapes in longitude and latitude.

    shapes : one for each given; None where a place has none on Earth
    system : name of the system they came in
    off_m : how far the change of datum may put them off [m]; NaN where nobody knows, 0 where it is nothing to speak of
    """

    shapes: tuple[BaseGeometry | None, ...]
    system: str
    off_m: float


def carried(shapes: list[BaseGeometry | None], said: str) -> Carried:
    """Shapes of a coordinate system (EPSG code, URN, WKT, PROJ text) as WGS 84 longitude and latitude, without heights.

    Raises BadFile for a system nobody knows, or one that places nothing on the map (of heights, of an engine).

    >>> carried([shapely.Point(500000, 0)], "EPSG:32610").shapes[0]
    <POINT (-123 0)>
    """
    system = system_of(said)
    flat = [None if shape is None else shapely.force_2d(shape) for shape in shapes]
    if in_degrees(said):
        return Carried(tuple(flat), system.name, 0.0)
    steps = _steps(system, _bounds(system, flat))
    off_m = math.nan if steps.accuracy < 0 else steps.accuracy
    made = [None if shape is None else _through(steps, shape) for shape in flat]
    return Carried(tuple(made), system.name, 0.0 if off_m <= _SURE_M else off_m)


def in_degrees(said: str) -> bool:
    """Whether a system is WGS 84 longitude and latitude. Raises BadFile as `carried` does.

    >>> in_degrees("urn:ogc:def:crs:OGC:1.3:CRS84"), in_degrees("EPSG:32610")
    (True, False)
    """
    system = system_of(said)
    return bool(system.is_geographic and system.to_2d().equals(system_of(_WGS84), ignore_axis_order=True))


@lru_cache(maxsize=32)
def system_of(said: str) -> pyproj.CRS:
    """The system of places somebody names (EPSG code, URN, name, WKT, PROJ text). Raises BadFile as `carried` does.

    >>> system_of("EPSG:32633").name
    'WGS 84 / UTM zone 33N'
    """
    try:
        system = pyproj.CRS.from_user_input(said)
    except (CRSError, ProjError, ValueError) as error:
        raise BadFile(reason("files.system_unknown", system=said[:80])) from error
    if system.is_compound:
        system = next((part for part in system.sub_crs_list if part.is_geographic or part.is_projected), system)
    if not (system.is_geographic or system.is_projected):
        raise BadFile(reason("files.system_no_place", system=system.name[:80]))
    return system


def _bounds(crs: pyproj.CRS, shapes: list[BaseGeometry | None]) -> tuple[float, float, float, float] | None:
    """Where the shapes lie, roughly, so that of several ways between two datums the one for that ground is taken."""
    there = [shape.bounds for shape in shapes if shape is not None and not shape.is_empty]
    there = [each for each in there if np.isfinite(each).all()]
    if not there:
        return None
    low, high = np.median(np.asarray(there)[:, :2], axis=0), np.median(np.asarray(there)[:, 2:], axis=0)
    rough = pyproj.Transformer.from_crs(crs, _WGS84, always_xy=True)
    found = rough.transform_bounds(low[0], low[1], high[0], high[1], errcheck=False)
    return found if np.isfinite(found).all() else None


def _steps(crs: pyproj.CRS, bounds: tuple[float, float, float, float] | None) -> Any:
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", UserWarning)  # that a better way needs a grid: its error is told instead
        area: Any = AreaOfInterest(*bounds) if bounds else None
        group = TransformerGroup(crs, _WGS84, always_xy=True, area_of_interest=area)
    if not group.transformers:
        raise BadFile(reason("files.system_no_way", system=crs.name[:80]))
    return group.transformers[0]


def _through(steps: Any, shape: BaseGeometry) -> BaseGeometry | None:
    made = shapely.transform(shape, lambda places: np.column_stack(steps.transform(places[:, 0], places[:, 1])))
    places = shapely.get_coordinates(made)
    fine = np.isfinite(places).all() and (np.abs(places) <= (180.0, 90.0)).all()
    return made if fine and len(places) else None
