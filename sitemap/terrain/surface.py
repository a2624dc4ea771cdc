"""The shape of the ground from a raster of heights: slope, aspect, heights between the cells, lengths over it.

Rows run north to south. A cell whose neighbours are not all known has no slope: not known stays not known.
"""

from __future__ import annotations

from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import LineString

from sitemap.errors import BadShape, positive
from sitemap.reasons import reason

Floats = NDArray[np.floating[Any]]


def gradient(elevation_m: Floats, cell_m: float) -> tuple[Floats, Floats]:
    """Rise per metre towards the east and towards the north of each cell, by Horn's weighted differences.

    Parameters
    ----------
    elevation_m : (rows, columns) [m], NaN where not known
    cell_m : side of the square cells [m]

    Returns
    -------
    (rows, columns) twice [m/m]: towards the east, towards the north. NaN beside a cell that is not known.

    Raises
    ------
    BadValue : a side that is not above zero

    Notes
    -----
    With the neighbours named a b c / d e f / g h i from the north-west:
    p = ((c + 2f + i) - (a + 2d + g)) / (8 cell), q = ((a + 2b + c) - (g + 2h + i)) / (8 cell).
    Outside the raster the ground is continued in a straight line, so that its rim has a slope too.

    References
    ----------
    B. K. P. Horn 1981, Hill shading and the reflectance map, Proceedings of the IEEE 69(1):14-47, the weighted
    differences of its section on estimating the gradient. Evidence S.

    Example
    -------
    >>> east, north = gradient(np.array([[2.0, 3, 4], [1, 2, 3], [0, 1, 2]]), 10.0)
    >>> float(east[1, 1]), float(north[1, 1])
    (0.1, 0.1)
    """
    positive("The side of a cell", cell_m, "m")
    z = _continued(elevation_m)
    north_west, north, north_east = z[:-2, :-2], z[:-2, 1:-1], z[:-2, 2:]
    west, east = z[1:-1, :-2], z[1:-1, 2:]
    south_west, south, south_east = z[2:, :-2], z[2:, 1:-1], z[2:, 2:]
    p = ((north_east + 2 * east + south_east) - (north_west + 2 * west + south_west)) / (8 * cell_m)
    q = ((north_west + 2 * north + north_east) - (south_west + 2 * south + south_east)) / (8 * cell_m)
    unknown = np.isnan(elevation_m)  # Horn's window leaves its centre out
    return np.where(unknown, np.nan, p), np.where(unknown, np.nan, q)


def slope_pct(east: Floats, north: Floats) -> Floats:
    """Steepest slope [%] of a gradient [m/m].

    Parameters
    ----------
    east, north : rise to the east and to the north, any one shape [m/m]

    Returns
    -------
    slope, same shape [%]

    >>> float(slope_pct(np.array(0.3), np.array(0.4)))
    50.0
    """
    return np.asarray(100 * np.hypot(east, north))


def bilinear(values: Floats, row: Floats, column: Floats) -> Floats:
    """Value between the centres of four cells, by their distances; on a centre it is that cell's own.

    Parameters
    ----------
    values : (rows, columns) [any unit], NaN where not known
    row, column : scalars or arrays (n,), counted in cells from the centre of the first [count]

    Returns
    -------
    as row. NaN beyond half a cell outside the outer centres, and where a cell that has a say is not known.
    """
    rows, columns = values.shape
    row, column = np.asarray(row, dtype=float), np.asarray(column, dtype=float)
    outside = ~((row >= -0.5) & (row <= rows - 0.5) & (column >= -0.5) & (column <= columns - 0.5))
    row = np.clip(np.where(outside, 0, row), 0, rows - 1)
    column = np.clip(np.where(outside, 0, column), 0, columns - 1)
    up, left = np.floor(row).astype(int), np.floor(column).astype(int)
    down, right = np.minimum(up + 1, rows - 1), np.minimum(left + 1, columns - 1)
    south, east = row - up, column - left
    total = np.zeros(row.shape)
    for at_row, at_column, weight in (
        (up, left, (1 - south) * (1 - east)),
        (up, right, (1 - south) * east),
        (down, left, south * (1 - east)),
        (down, right, south * east),
    ):
        total = total + np.where(weight > 0, weight * values[at_row, at_column].astype(float), 0.0)
    return np.where(outside, np.nan, total)


def surface_steps(distance_m: Floats, height_m: Floats) -> Floats:
    """Lengths over the ground [m] between the points of a profile, (n - 1,): √(run² + rise²).

    Parameters
    ----------
    distance_m, height_m : (n,) [m]; steps of unknown height count as level

    Returns
    -------
    lengths, (n - 1,) [m]

    >>> float(surface_steps(np.array([0.0, 30.0]), np.array([0.0, 40.0]))[0])
    50.0
    """
    rise = np.diff(height_m)
    return np.hypot(np.diff(distance_m), np.where(np.isnan(rise), 0.0, rise))


def along(line: LineString, step_m: float) -> tuple[Floats, Floats]:
    """Points along a line at most step_m [m] apart, its corners among them: distances (n,) and places (n, 2) [m].

    Raises BadShape for a line without length, BadValue for a step that is not above zero.
    """
    positive("The step along a line", step_m, "m")
    if line.is_empty or line.length == 0:
        raise BadShape(reason("terrain.line_without_length"))
    points = shapely.get_coordinates(shapely.segmentize(line, step_m))
    return np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(points, axis=0).T))]), points


def _continued(elevation_m: Floats) -> Floats:
    z = np.pad(elevation_m, 1, mode="edge")
    if elevation_m.shape[0] > 1:
        z[0], z[-1] = 2 * z[1] - z[2], 2 * z[-2] - z[-3]
    if elevation_m.shape[1] > 1:
        z[:, 0], z[:, -1] = 2 * z[:, 1] - z[:, 2], 2 * z[:, -2] - z[:, -3]
    return z
