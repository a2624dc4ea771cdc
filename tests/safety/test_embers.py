"""Albini's bound for burning piles, against values worked from its published formula by hand (D)."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from sitemap.errors import BadValue
from sitemap.safety.embers import ember_distance_m, patrol_distance_m

FOOT, MILE, MPH = 0.3048, 1609.344, 0.44704


@pytest.mark.parametrize(
    ("flame_ft", "wind_mph", "cover_ft", "miles", "printed_to"),
    [
        (5, 10, 30, 0.0341, 0.00005),  # 55 m (D)
        (8, 20, 40, 0.09615, 0.000005),  # (D)
        (5, 10, 0, 124 / MILE, 0.5 / MILE),  # 124 m in the open, by hand (D)
    ],
)
def test_published_pile_distances(flame_ft, wind_mph, cover_ft, miles, printed_to) -> None:
    """Albini 1979 and 1981, formula as it stands in public-domain US government code (S)."""
    found = ember_distance_m(flame_ft * FOOT, wind_mph * MPH, cover_ft * FOOT) / MILE
    assert found == pytest.approx(miles, abs=printed_to)


@given(st.floats(0.5, 10), st.floats(0.5, 20))
def test_law_open_ground_reaches_at_least_as_far_as_trees(flame_m: float, wind: float) -> None:
    open_m, trees_m = ember_distance_m(flame_m, wind), ember_distance_m(flame_m, wind, 9.0)
    assert np.isnan(trees_m) or open_m >= trees_m


@given(st.floats(0.5, 10), st.floats(0.5, 20))
def test_law_distance_doubles_with_wind(flame_m: float, wind: float) -> None:
    assert ember_distance_m(flame_m, 2 * wind) == pytest.approx(2 * ember_distance_m(flame_m, wind))


def test_law_no_figure_below_the_cover_is_not_zero() -> None:
    assert patrol_distance_m(0.5, 5.0, 30.0) is None  # lofted 6 m, trees 30 m
    assert patrol_distance_m(0.0, 5.0) is None


def test_law_arrays_keep_their_shape() -> None:
    assert ember_distance_m(np.full((2, 3), 1.5), 4.0).shape == (2, 3)


def test_refuses_negative_wind() -> None:
    with pytest.raises(BadValue, match=r"wind must not be below 0 km/h; it is −3.6"):
        ember_distance_m(1.0, -1.0)
