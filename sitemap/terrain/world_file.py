"""World files: six lines of text beside a picture that say where its pixels lie."""

from __future__ import annotations

from pyproj import CRS, Transformer
from pyproj.exceptions import CRSError

from sitemap.errors import BadFile
from sitemap.geodesy.plane import Plane
from sitemap.reasons import reason

_LINES = 6
_DEGREES = 0.01  # a pixel smaller than that, at a place no larger than 360, is in degrees


def corner_points(
    text: str, width: int, height: int, plane: Plane | None, crs: str = ""
) -> tuple[tuple[float, float, float, float], ...]:
    """The four corners of a picture by its world file: column, row [pixels], longitude, latitude [deg].

    Parameters
    ----------
    text : the six lines: x for a column, y for a column, x for a row, y for a row, x and y of the first pixel's middle
    width, height : of the picture [pixels]
    plane : of the site; where no system is named, figures that are no degrees are taken in its UTM zone
    crs : name of the coordinate system, "EPSG:32610" or "32610"

    Raises
    ------
    BadFile : text that is not six numbers, a system that is not known, corners that are nowhere on Earth

    References
    ----------
    The format as general map libraries document it: lines A, D, B, E, C, F (P).
    """
    try:
        a, d, b, e, c, f = (float(word.replace(",", ".")) for word in text.split())
    except ValueError as error:
        raise BadFile(reason("terrain.world_file", needed=_LINES)) from error
    to_degrees = Transformer.from_crs(_system(crs, (a, d, b, e), (c, f), plane), "EPSG:4326", always_xy=True)
    points = []
    for column, row in ((0, 0), (width, 0), (width, height), (0, height)):
        x, y = (k * (column - 0.5) + m * (row - 0.5) + n for k, m, n in ((a, b, c), (d, e, f)))
        lon, lat = to_degrees.transform(x, y)
        if not (abs(lon) <= 360 and abs(lat) <= 90):
            raise BadFile(reason("terrain.picture_elsewhere"))
        points.append((float(column), float(row), float(lon), float(lat)))
    return tuple(points)


def _system(named: str, steps: tuple[float, ...], corner: tuple[float, float], plane: Plane | None) -> CRS:
    said = named.strip().upper().removeprefix("EPSG:").strip()
    if said:
        try:
            return CRS.from_epsg(int(said))
        except (ValueError, CRSError) as error:
            raise BadFile(reason("terrain.no_such_system", shown=named.strip())) from error
    if max(map(abs, steps)) < _DEGREES and max(map(abs, corner)) <= 360:
        return CRS.from_epsg(4326)
    if plane is None:
        raise BadFile(reason("terrain.system_not_said"))
    zone = int((plane.lon0 + 180) // 6) % 60 + 1
    return CRS.from_epsg((32600 if plane.lat0 >= 0 else 32700) + zone)
