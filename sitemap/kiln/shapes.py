"""The inside of an open-top kiln: volume, open area, steel.

Box and trough are prismatoids (a rectangle at the top, another at the bottom, flat walls between); frustum and ring are
the same with circles in place of rectangles, which scales every level by π/4. Walls are taken to lean in equally on
opposite sides.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from sitemap.errors import BadValue, not_negative, positive
from sitemap.ranges import Numbers
from sitemap.reasons import reason

SHAPES = ("box", "trough", "frustum", "ring")


def prismatoid_volume(
    height: Numbers, top_length: Numbers, top_width: Numbers, bottom_length: Numbers, bottom_width: Numbers
) -> Numbers:
    """Volume between two parallel rectangles joined by flat walls.

    Parameters
    ----------
    height : distance of the rectangles, scalar or (n,) [m]
    top_length, top_width, bottom_length, bottom_width : sides, scalar or (n,) [m]; a side may be 0 (wedge, pyramid)

    Returns
    -------
    volume, same shape [m³]

    Raises
    ------
    BadValue : a negative size

    Notes
    -----
    h/6·(2·L1·W1 + 2·L2·W2 + L1·W2 + L2·W1), 1 the top, 2 the bottom. Exact for any pair of rectangles with parallel
    sides; the pyramid form with √(A1·A2) is not.

    References
    ----------
    Prismoidal formula, plain geometry (evidence D).

    Examples
    --------
    By hand, 0.9/6 · (2·2.88 + 2·1.6 + 2.4·0.8 + 2.0·1.2) = 0.15 · 13.28 = 1.992:

    >>> round(prismatoid_volume(0.9, 2.4, 1.2, 2.0, 0.8), 3)
    1.992
    """
    not_negative("Height", height, "m")
    for name, side in (
        ("Top length", top_length),
        ("Top width", top_width),
        ("Bottom length", bottom_length),
        ("Bottom width", bottom_width),
    ):
        not_negative(name, side, "m")
    corners = 2 * top_length * top_width + 2 * bottom_length * bottom_width
    return height / 6 * (corners + top_length * bottom_width + bottom_length * top_width)


@dataclass(frozen=True)
class Hollow:
    """The inside of one kiln.

    shape : one of SHAPES
    height_m : depth inside [m]
    length_m, width_m : at the top [m]; both the diameter where the kiln is round
    length_bottom_m, width_bottom_m : at the bottom [m]

    Raises BadValue for a shape not in SHAPES or a size not above 0.
    """

    shape: str
    height_m: float
    length_m: float
    width_m: float
    length_bottom_m: float
    width_bottom_m: float

    def __post_init__(self) -> None:
        if self.shape not in SHAPES:
            raise BadValue(reason("kiln.no_such_shape", shapes=SHAPES, shape=self.shape))
        positive("Depth of the kiln", self.height_m, "m")
        positive("Length of the kiln at the top", self.length_m, "m")
        positive("Width of the kiln at the top", self.width_m, "m")
        positive("Length of the kiln at the bottom", self.length_bottom_m, "m")
        positive("Width of the kiln at the bottom", self.width_bottom_m, "m")

    @property
    def is_round(self) -> bool:
        """Whether its levels are circles."""
        return self.shape in ("frustum", "ring")

    @property
    def _roundness(self) -> float:
        return math.pi / 4 if self.is_round else 1.0

    @property
    def narrowest_m(self) -> float:
        """Smallest inside size at the top or in depth [m]: no thicker piece goes in."""
        return min(self.height_m, self.length_m, self.width_m)

    @property
    def volume_m3(self) -> float:
        """Volume to the rim [m³]."""
        return float(self.volume_to(self.height_m))

    @property
    def open_area_m2(self) -> float:
        """Area of the opening [m²]: what feeds the flame with air."""
        return self._roundness * self.length_m * self.width_m

    def volume_to(self, depth_m: Numbers) -> Numbers:
        """Volume filled from the bottom to a depth, scalar or (n,) [m] → same shape [m³].

        Raises BadValue for a depth below 0 or above the rim.
        """
        not_negative("Depth filled", depth_m, "m")
        not_negative("Rim above the depth filled", self.height_m - np.asarray(depth_m), "m")
        part = depth_m / self.height_m
        length = self.length_bottom_m + (self.length_m - self.length_bottom_m) * part
        width = self.width_bottom_m + (self.width_m - self.width_bottom_m) * part
        box = prismatoid_volume(depth_m, length, width, self.length_bottom_m, self.width_bottom_m)
        return self._roundness * box

    def steel_area_m2(self, has_floor: bool) -> float:
        """Area of walls, and of the floor where there is one [m²].

        Notes
        -----
        Four trapezoids of mean side times slant, or π·(D+d)/2 times slant; rims, stiffeners and legs are left out, so
        a weighed kiln is heavier.
        """
        lean_long = (self.width_m - self.width_bottom_m) / 2
        lean_short = (self.length_m - self.length_bottom_m) / 2
        long_walls = (self.length_m + self.length_bottom_m) * math.hypot(self.height_m, lean_long)
        short_walls = (self.width_m + self.width_bottom_m) * math.hypot(self.height_m, lean_short)
        floor = self.length_bottom_m * self.width_bottom_m if has_floor else 0.0
        return self._roundness * (long_walls + short_walls + floor)


def steel_mass(area_m2: Numbers, plate_mm: Numbers, density_kg_m3: Numbers) -> Numbers:
    """Mass of plate.

    Parameters
    ----------
    area_m2 : scalar or (n,) [m²]
    plate_mm : thickness, scalar or (n,) [mm]
    density_kg_m3 : scalar or (n,) [kg/m³]

    Returns
    -------
    mass, same shape [kg]

    Raises
    ------
    BadValue : a negative size

    References
    ----------
    Arithmetic (evidence D); density of steel: EN 1993-1-2 clause 3.2.2 (evidence S).

    Examples
    --------
    >>> round(steel_mass(1.0, 1.0, 7850.0), 2)
    7.85
    """
    not_negative("Steel area", area_m2, "m²")
    not_negative("Plate thickness", plate_mm, "mm")
    not_negative("Steel density", density_kg_m3, "kg/m³")
    return area_m2 * plate_mm / 1000 * density_kg_m3
