"""From ground to paper: which ground a map covers, at which scale, where on the sheet."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
import shapely
from shapely.geometry import box
from shapely.geometry.base import BaseGeometry

SMALLEST_M = 60.0  # [m] across
SPARE_MM = 12.0  # of ground round the outermost thing, so that its sign and its name have room
STEPS = (1, 1.25, 1.5, 2, 2.5, 3, 4, 5, 6, 8, 10)  # of the n in 1 : n


@dataclass(frozen=True)
class View:
    """Ground on the plane, drawn at 1 : n in a window of the sheet.

    x0, y1 : the ground at the upper left corner of the window [m]
    n : metres on the ground for a metre on paper
    left, top, width, height : of the window [mm]
    """

    x0: float
    y1: float
    n: float
    left: float
    top: float
    width: float
    height: float

    @property
    def metres_a_mm(self) -> float:
        """Ground [m] under a millimetre of paper."""
        return self.n / 1000

    @property
    def ground(self) -> BaseGeometry:
        """The ground it covers, on the plane [m]."""
        across, down = self.width * self.metres_a_mm, self.height * self.metres_a_mm
        return box(self.x0, self.y1 - down, self.x0 + across, self.y1)

    @property
    def window(self) -> tuple[float, float, float, float]:
        """West, north, east and south edge on paper [mm]."""
        return self.left, self.top, self.left + self.width, self.top + self.height

    def on_paper(self, shape: BaseGeometry) -> BaseGeometry:
        """A shape of the plane, cut to the window, on paper [mm]; empty where none of it is seen."""

        def placed(at: np.ndarray) -> np.ndarray:
            x = self.left + (at[:, 0] - self.x0) / self.metres_a_mm
            return np.column_stack((x, self.top + (self.y1 - at[:, 1]) / self.metres_a_mm))

        return shapely.transform(shape.intersection(self.ground), placed)


def view_of(
    shapes: Iterable[BaseGeometry],
    window: tuple[float, float, float, float],
    least_m: float,
    spare_mm: float = SPARE_MM,
) -> View:
    """The largest round scale at which shapes have room in a window.

    Parameters
    ----------
    shapes : on the plane [m], at least one
    window : left, top, width, height [mm]
    least_m : what it covers at least [m] across
    spare_mm : kept free round the outermost
    """
    west, south, east, north = shapely.union_all(list(shapes)).bounds
    left, top, width, height = window
    needed = max(
        (east - west) / (width - 2 * spare_mm),
        (north - south) / (height - 2 * spare_mm),
        least_m / min(width, height),
    )
    n = round_scale(needed * 1000)
    x0 = (west + east) / 2 - width * n / 2000
    return View(x0, (south + north) / 2 + height * n / 2000, n, left, top, width, height)


def round_scale(least: float) -> float:
    """The smallest round n that is not below `least`.

    >>> round_scale(334), round_scale(1000.0), round_scale(1251)
    (400.0, 1000.0, 1500.0)
    """
    tens = 10.0 ** math.floor(math.log10(least))
    return next(step * tens for step in STEPS if step * tens >= least * (1 - 1e-9))


def nice(least: float) -> float:
    """The smallest of 1, 2, 5 times a power of ten that is not below `least`.

    >>> nice(0.03), nice(34.0)
    (0.05, 50.0)
    """
    tens = 10.0 ** math.floor(math.log10(least))
    return next(round(step * tens, 9) for step in (1, 2, 5, 10) if step * tens >= least * 0.999)
