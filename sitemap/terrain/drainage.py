"""Where cold air from a place may run: lower ground that no rise shuts off."""

from __future__ import annotations

from typing import Literal

import numpy as np

from sitemap.errors import not_negative
from sitemap.terrain.terrain import Terrain

Lie = Literal["below", "not below", "not known"]


def lie_of(
    terrain: Terrain, start: tuple[float, float], place: tuple[float, float], depth_m: float
) -> tuple[Lie, float]:
    """Whether a place lies below another with no rise between, and by how much.

    Parameters
    ----------
    terrain : of both
    start, place : on the plane (x, y) [m]
    depth_m : cold air runs over rises of so much above the start [m], 0 or more

    Returns
    -------
    (below, not below or not known, how much lower it lies [m])

    Raises
    ------
    BadValue : a negative depth

    Notes
    -----
    All cells not higher than the start and that depth, joined side to side and corner to corner: what of them hangs
    together with the start. More than cold air reaches, never less. A cell without a height is open.

    References
    ----------
    Connected parts of an image (D).
    """
    not_negative("The depth of cold air", depth_m, "m")
    ends = terrain.grid.cell_of(*np.array([start, place]).T)
    heights = terrain.elevation(*np.array([start, place]).T)
    if terrain.level or (ends < 0).any() or not np.isfinite(heights).all():
        return "not known", 0.0
    fall = float(heights[0] - heights[1])
    if fall <= 0:
        return "not below", fall
    from scipy.ndimage import label

    high = terrain.elevation_m > heights[0] + depth_m
    parts, _ = label(~high, structure=np.ones((3, 3)))
    joined = parts.ravel()[ends]
    return ("below" if joined[0] == joined[1] != 0 else "not below"), fall
