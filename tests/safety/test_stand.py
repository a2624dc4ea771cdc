"""Ground, branches and slope."""

import math

import pytest

from sitemap.safety.records import Pad
from sitemap.safety.stand import branches_check, cut_pad_check, ground_check, size_checks, slope_check


@pytest.mark.parametrize(
    ("ground", "verdict", "effect"),
    [
        ("mineral_soil", "good ground", "passes"),
        ("turf", "turf", "passes"),
        ("rock", "rock", "passes"),
        ("litter_duff", "duff or litter", "conditional"),
        ("peat", "ground peat or roots", "ruled out"),
        ("roots_stump", "ground peat or roots", "ruled out"),
        (None, "not known", "conditional"),
    ],
)
def test_law_ground(ground, verdict, effect) -> None:
    check = ground_check(ground, "k1")
    assert (check.check, check.verdict, check.effect, check.about) == ("ground", verdict, effect, "k1")


def above(branches: str | None, height_m: float | None) -> Pad:
    return Pad("k1", "K1", branches=branches, branch_height_m=height_m)


@pytest.mark.parametrize(
    ("branches", "height_m", "heat_kw", "verdict"),
    [
        ("none", None, None, "no branches above"),
        (None, None, 1000.0, "not known"),
        ("yes", None, 1000.0, "not known"),
        ("yes", 8.0, None, "not known"),
        ("yes", 3.0, 1000.0, "too close"),
        # 1 m of rim off, the rise is that of 1000 kW at 9 m: 57 K, test value of an open library (D)
        ("yes", 10.0, 1000.0, "branches above"),
        ("yes", 40.0, 1000.0, "far enough above"),
    ],
)
def test_law_branches(branches, height_m, heat_kw, verdict) -> None:
    assert branches_check(above(branches, height_m), heat_kw, 1.6).verdict == verdict


def test_law_branches_only_get_better_with_height() -> None:
    order = ["too close", "branches above", "measure on the ground", "far enough above"]
    words = [branches_check(above("yes", 0.5 + 0.25 * step), 800.0, 1.6).verdict for step in range(120)]
    assert [order.index(word) for word in words] == sorted(order.index(word) for word in words)
    assert set(words) == set(order)


def test_law_branches_speak_in_the_units_of_the_site() -> None:
    assert "33 ft" in branches_check(above("yes", 10.0), 1000.0, 1.6).told("us")


@pytest.mark.parametrize(
    ("slope", "fuel", "verdict", "effect"),
    [
        (None, None, "not known", "conditional"),
        (5.0, None, "gentle", "passes"),
        (10.0, None, "slope with care", "passes"),
        (10.1, "no", "steep", "conditional"),
        (25.0, "yes", "steep", "conditional"),
    ],
)
def test_law_slope(slope, fuel, verdict, effect) -> None:
    check = slope_check(slope, fuel, "k1")
    assert (check.verdict, check.effect) == (verdict, effect)


def test_law_fuel_upslope_is_said_above_twenty_per_cent() -> None:
    assert "uphill" in slope_check(21.0, "yes", "k1").told()
    assert "Nobody has entered" in slope_check(21.0, None, "k1").told()
    assert "uphill" not in slope_check(21.0, "no", "k1").told()


def test_law_a_raster_that_cannot_tell_the_slope_sends_one_to_the_ground() -> None:
    """ENGINEERING 5.1: measure on the ground makes a spot conditional; nothing entered is another sentence."""
    check = slope_check(float("nan"), "no", "k1")
    assert (check.verdict, check.effect) == ("measure on the ground", "conditional")
    assert "raster" in check.told()
    assert slope_check(None, "no", "k1").verdict == "not known"


@pytest.mark.parametrize(
    ("typed", "raster", "fuel", "verdict"),
    [
        (3.0, 18.0, "no", "gentle"),  # the raster shows the ground as it was
        (3.0, 30.0, "no", "gentle"),
        (3.0, 30.0, None, "steep"),  # fire runs uphill from a level pad as well
        (12.0, 18.0, "no", "steep"),
        (None, 18.0, "no", "not known"),
        (3.0, math.nan, None, "gentle"),
    ],
)
def test_law_a_pad_that_was_cut_has_the_slope_measured_on_it(typed, raster, fuel, verdict) -> None:
    assert cut_pad_check(typed, raster, fuel, "k1").verdict == verdict


def test_published_no_kiln_is_larger_than_a_sea_container() -> None:
    """20 ft outside, 6.058 × 2.438 × 2.591 m, ISO 668 (S); our limits 7, 3 and 2.8 m (C)."""
    assert size_checks((6.058, 2.438, 2.591), "k1") == size_checks((7.0, 3.0, 2.8), "k1") == ()
    for size in ((7.1, 2.0, 1.0), (3.0, 3.1, 1.0), (3.0, 2.0, 2.9)):
        (check,) = size_checks(size, "k1")
        assert (check.verdict, check.effect) == ("unlikely size", "conditional")
