"""The plane a site is measured in: a transverse Mercator of its own, right anywhere on Earth.

Degrees are never measured in. Shapes come as longitude and latitude (WGS 84), are carried onto the plane vertex by
vertex, and every length, area and distance is taken there, in metres. One plane per site has no zone seams, works
at the poles and across the antimeridian, and is off by less than 0.7 ppm within 10 km of its centre.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from functools import lru_cache
from typing import overload

import numpy as np
import shapely
from numpy.typing import ArrayLike
from pyproj import Geod, Transformer
from shapely.geometry.base import BaseGeometry

from sitemap.errors import BadShape
from sitemap.ranges import Array, Numbers
from sitemap.reasons import Quantity, Reason, as_typed, reason

# On the centre line the plane is 0.6 ppm short, 10 km off it 0.64 ppm long: the error is halved by sharing it (D).
SCALE_ON_CENTRE_LINE = 0.9999994
# Centres are rounded to about a kilometre: a dragged feature then leaves the plane, and all that was computed in it,
# as it was. It costs nothing: the scale hardly changes in that distance.
CENTRE_DECIMALS = 2
UNION_GRID_M = 1e-6  # parts cut at 180° meet within this; a plain union leaves them apart (D)
WGS84 = Geod(ellps="WGS84")


@dataclass(frozen=True)
class Plane:
    """A local transverse Mercator plane on WGS 84, x east and y north of its centre [m].

    lon0, lat0 : the centre [deg], -180 ≤ lon0 < 180, -90 ≤ lat0 ≤ 90
    """

    lon0: float
    lat0: float

    @property
    def definition(self) -> str:
        """The plane as a PROJ string, for a library that warps rasters into it."""
        return (
            f"+proj=tmerc +lat_0={self.lat0!r} +lon_0={self.lon0!r} +k_0={SCALE_ON_CENTRE_LINE!r} "
            "+x_0=0 +y_0=0 +datum=WGS84 +units=m +no_defs"
        )

    @overload
    def xy(self, lon: float, lat: float) -> tuple[float, float]: ...

    @overload
    def xy(self, lon: Array, lat: Array) -> tuple[Array, Array]: ...

    def xy(self, lon: Numbers, lat: Numbers) -> tuple[Numbers, Numbers]:
        """Place on the plane [m] of longitude and latitude [deg], scalars or arrays of one shape.

        Raises BadShape for a latitude outside ± 90°, and for a place that is not a number or has none on the plane.

        >>> tuple(round(metres) for metres in Plane(0.0, 0.0).xy(0.01, 0.0))  # 6378137 m × 0.01° in radians
        (1113, 0)
        """
        if isinstance(lon, float) and isinstance(lat, float) and -180 <= lon < 180 and -90 <= lat <= 90:
            x, y = _transformer(self, True).transform(lon, lat)  # one place of thousands: nothing to wrap or to search
            return _finite(x, y, self._unplaced)
        latitudes = np.asarray(lat, dtype=float)
        if not bool(np.all(np.abs(latitudes) <= 90)):
            worst = latitudes[~(np.abs(latitudes) <= 90)].flat[0]
            raise BadShape(reason("geodesy.latitude", lat=_degrees(worst)))
        x, y = _transformer(self, True).transform(wrapped(lon), lat)
        return _finite(x, y, self._unplaced)

    @overload
    def lonlat(self, x: float, y: float) -> tuple[float, float]: ...

    @overload
    def lonlat(self, x: Array, y: Array) -> tuple[Array, Array]: ...

    def lonlat(self, x: Numbers, y: Numbers) -> tuple[Numbers, Numbers]:
        """Longitude, in [-180, 180), and latitude [deg] of a place on the plane [m], scalars or arrays.

        Raises BadShape where there is none.
        """
        lon, lat = _transformer(self, False).transform(x, y)
        lon, lat = _finite(lon, lat, self._too_far)
        return wrapped(lon), lat

    def forward(self, shape: BaseGeometry) -> BaseGeometry:
        """A shape in longitude and latitude [deg], of any kind, carried onto the plane [m]; heights (Z) are kept.

        Only vertices are carried: an edge is straight in the plane. A multipolygon cut at the antimeridian, as
        RFC 7946 section 3.1.9 has it, comes back in one piece. Raises BadShape as `xy` does.
        """
        if isinstance(shape, shapely.Point) and not shape.is_empty and not shape.has_z:
            return shapely.Point(*self.xy(shape.x, shape.y))
        flat = _carried(shape, self.xy)
        if shape.geom_type == "MultiPolygon" and _cut_at_antimeridian(shape):
            parts = shapely.get_parts(flat)
            if bool(np.all(shapely.is_valid(parts))):
                return shapely.union_all(parts, grid_size=UNION_GRID_M)
        return flat

    def inverse(self, shape: BaseGeometry) -> BaseGeometry:
        """A shape on the plane [m] as longitude and latitude [deg]; heights (Z) are kept.

        Only vertices are carried. Longitudes are in [-180, 180): a ring across the antimeridian jumps from one end
        to the other, to be unwrapped by whoever draws it. Raises BadShape as `lonlat` does.
        """
        return _carried(shape, self.lonlat)

    def _unplaced(self) -> Reason:
        return reason("geodesy.not_on_plane", lat=_degrees(self.lat0), lon=_degrees(self.lon0))

    def _too_far(self) -> Reason:
        return reason("geodesy.too_far_off", lat=_degrees(self.lat0), lon=_degrees(self.lon0))


@overload
def wrapped(lon: float) -> float: ...


@overload
def wrapped(lon: Array) -> Array: ...


def wrapped(lon: Numbers) -> Numbers:
    """Longitude brought into [-180, 180); one already there is left as it is to the last bit.

    Parameters
    ----------
    lon : one, or an array of them [deg]

    Returns
    -------
    the same longitude [deg]

    >>> wrapped(180.0005) < -179.999, wrapped(-121.3)
    (True, -121.3)
    """
    longitudes = np.asarray(lon, dtype=float)
    inside = (longitudes >= -180) & (longitudes < 180)
    with np.errstate(invalid="ignore"):
        turned = np.mod(longitudes + 180, 360) - 180
    result = np.where(inside, longitudes, turned)
    return float(result) if result.ndim == 0 else result


def centre(lons: ArrayLike, lats: ArrayLike) -> tuple[float, float]:
    """Middle of places: the direction of the mean of their unit vectors, right at the poles and across 180°.

    Parameters
    ----------
    lons, lats : of the places, (n,) [deg]

    Returns
    -------
    longitude and latitude [deg]

    Raises
    ------
    BadShape : no places, places that are not numbers, places spread over the Earth so that they have no middle

    >>> centre([179.999, -179.999], [0.0, 0.0])
    (-180.0, 0.0)
    """
    longitudes, latitudes = np.radians(np.asarray(lons, dtype=float)), np.radians(np.asarray(lats, dtype=float))
    if longitudes.size == 0:
        raise BadShape(reason("geodesy.no_middle_of_nothing"))
    if not bool(np.all(np.isfinite(longitudes) & np.isfinite(latitudes))):
        raise BadShape(reason("geodesy.no_number"))
    east = float(np.mean(np.cos(latitudes) * np.cos(longitudes)))
    north = float(np.mean(np.cos(latitudes) * np.sin(longitudes)))
    up = float(np.mean(np.sin(latitudes)))
    if np.sqrt(east**2 + north**2 + up**2) < 1e-6:
        raise BadShape(reason("geodesy.no_middle"))
    lon = wrapped(round(float(np.degrees(np.arctan2(north, east))), 12))
    return lon, round(float(np.degrees(np.arctan2(up, np.hypot(east, north)))), 12)


def plane_of(shapes: Iterable[BaseGeometry | None]) -> Plane | None:
    """The plane centred on shapes in longitude and latitude [deg], its centre rounded to 0.01°; None without any.

    Missing and empty shapes are passed over. Raises BadShape as `centre` does.
    """
    places = _vertices(shapes)
    if len(places) == 0:
        return None
    lon, lat = centre(places[:, 0], places[:, 1])
    return Plane(wrapped(round(lon, CENTRE_DECIMALS)), round(lat, CENTRE_DECIMALS))


def farthest_m(plane: Plane, shapes: Iterable[BaseGeometry | None]) -> float:
    """Geodesic distance [m] from the plane's centre to the farthest vertex of shapes in degrees; 0 without any.

    Beyond 100 km a site is no site, and the plane no longer measures true. Raises BadShape for a latitude outside
    ± 90°.
    """
    places = _vertices(shapes)
    if len(places) == 0:
        return 0.0
    plane.xy(places[:, 0], places[:, 1])  # refuses what is no place on Earth
    start = np.full(len(places), plane.lon0), np.full(len(places), plane.lat0)
    return float(np.max(WGS84.inv(*start, wrapped(places[:, 0]), places[:, 1])[2]))


@lru_cache(maxsize=64)
def _transformer(plane: Plane, onto_plane: bool) -> Transformer:
    ends = "+proj=longlat +datum=WGS84 +no_defs", plane.definition
    return Transformer.from_crs(*(ends if onto_plane else ends[::-1]), always_xy=True)


def _carried(shape: BaseGeometry, along: Callable[[Array, Array], tuple[Array, Array]]) -> BaseGeometry:
    def vertices(places: Array) -> Array:
        return np.column_stack((*along(places[:, 0], places[:, 1]), *places[:, 2:].T))

    return shapely.transform(shape, vertices, include_z=shape.has_z)


def _cut_at_antimeridian(shape: BaseGeometry) -> bool:
    lons = shapely.get_coordinates(shape)[:, 0]
    return bool(np.any(lons >= 180 - 1e-9) and np.any(lons <= -180 + 1e-9))


def _finite(first: Numbers, second: Numbers, why: Callable[[], Reason]) -> tuple[Numbers, Numbers]:
    if not bool(np.all(np.isfinite(first)) and np.all(np.isfinite(second))):
        raise BadShape(why())
    return first, second


def _degrees(angle: float) -> Quantity:
    return as_typed(float(angle), "deg")


def _vertices(shapes: Iterable[BaseGeometry | None]) -> Array:
    present = [shape for shape in shapes if shape is not None]
    return np.asarray(shapely.get_coordinates(present))
