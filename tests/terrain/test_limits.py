"""Grids, pictures and their bounds: on the limit and beside it."""

from __future__ import annotations

import math

import numpy as np
import pytest

from sitemap.errors import BadValue
from sitemap.terrain.affine_fit import fitted
from sitemap.terrain.grid import grid_over


@pytest.mark.parametrize(
    ("bounds", "cell"),
    [
        ((0, 0, 0, 10), 1.0),
        ((0, 0, 10, 0), 1.0),
        ((0, 0, 10, 10), 0.0),
        ((10, 0, 0, 10), 1.0),
        ((0, 0, 10, 10), math.nan),
        ((0, 0, math.inf, 10), 1.0),
    ],
)
def test_refuses_a_window_without_extent(bounds: tuple[float, float, float, float], cell: float) -> None:
    with pytest.raises(BadValue):
        grid_over(bounds, cell)


@pytest.mark.parametrize(
    ("width", "height", "cell", "most", "rows", "columns"),
    [
        (0.5, 0.5, 1.0, 100, 1, 1),
        (10.0, 5.0, 1.0, 50, 5, 10),
        (10.0, 5.0000000001, 1.0, 60, 5, 10),
        (10.1, 5.0, 1.0, 55, 5, 11),
        (30.0, 10.0, 0.3, 10**6, 34, 100),
    ],
)
def test_law_a_grid_covers_its_window_with_whole_cells(
    width: float, height: float, cell: float, most: int, rows: int, columns: int
) -> None:
    grid = grid_over((3.0, 4.0, 3.0 + width, 4.0 + height), cell, max_cells=most)
    assert (grid.rows, grid.columns, grid.cell_m) == (rows, columns, cell)
    assert (grid.x0_m, grid.y0_m) == (3.0, 4.0 + height)


@pytest.mark.parametrize("most", [1, 7, 100, 2500])
@pytest.mark.parametrize(("width", "height"), [(100.0, 100.0), (1000.0, 3.0), (17.3, 91.7)])
def test_law_no_grid_has_more_cells_than_it_may_and_none_is_coarser_than_it_must(
    width: float, height: float, most: int
) -> None:
    grid = grid_over((0.0, 0.0, width, height), 0.01, max_cells=most)
    assert grid.rows * grid.columns <= most
    assert grid.rows * grid.cell_m >= height - 1e-6
    assert grid.columns * grid.cell_m >= width - 1e-6
    finer = grid.cell_m / 1.002
    least = math.sqrt(width * height / most)
    assert finer < least or math.ceil(width / finer) * math.ceil(height / finer) > most


@pytest.mark.parametrize(("apart", "taken"), [(10.0, True), (9.99, False)])
def test_law_two_points_of_a_picture_lie_ten_pixels_apart(apart: float, taken: bool) -> None:
    pixels, places = np.array([[0.0, 0.0], [apart, 0.0]]), np.array([[0.0, 0.0], [5.0, 0.0]])
    if taken:
        fit = fitted(pixels, places)
        assert (fit.a, fit.d) == pytest.approx((0.5, 0.0))
        return
    with pytest.raises(BadValue):
        fitted(pixels, places)


def test_refuses_one_point_and_two_at_one_place() -> None:
    for pixels, places in (([[0, 0]], [[0, 0]]), ([[0, 0], [50, 0]], [[1, 1], [1, 1]])):
        with pytest.raises(BadValue):
            fitted(np.array(pixels, dtype=float), np.array(places, dtype=float))
