"""Winds and smoke: the stability table cell by cell, Briggs' curves, arcs against plain counting, and a whole site."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad

from sitemap.errors import BadValue
from sitemap.season.winds import blocked, concentration, free, inside, sigmas, stability
from sitemap.telling import sentence
from tests.safety.dangerous.safe_site import SafeSite
from tests.safety.dangerous.safe_values import point
from tests.season.test_window import forecast

SKIES = ("strong sun", "moderate sun", "slight sun", "night, cloudy", "night, clear")
# Pasquill's classes as NOAA gives them (P); of "A–B" the more stable, as the module says.
TABLE = {1.0: "ABBEF", 2.5: "BBCEF", 4.0: "BCCDE", 5.5: "CDDDD", 8.0: "CDDDD"}


@pytest.mark.parametrize("wind", TABLE)
def test_published_stability_cell_by_cell(wind: float) -> None:
    assert "".join(stability(wind, sky) for sky in SKIES) == TABLE[wind]
    assert stability(wind, "overcast") == "D"


@pytest.mark.parametrize(("letter", "y", "z"), [("D", 76.28, 37.95), ("F", 38.14, 12.31)], ids=["neutral", "stable"])
def test_published_spread_at_one_kilometre(letter: str, y: float, z: float) -> None:
    """Briggs' open-country curves worked out at 1 km (S, D)."""
    assert [float(each) for each in sigmas(1000.0, letter)] == pytest.approx([y, z], abs=0.006)


def test_agrees_with_what_went_in() -> None:
    """The flow of smoke through a plane across the plume, integrated by scipy, is what the kiln gives off."""
    y, z = (float(each) for each in sigmas(500.0, "D"))
    axis = float(concentration(0.5, 3.0, 500.0, "D")) / 1e6
    across, up = (
        quad(lambda x, s=s: math.exp(-(x**2) / (2 * s**2)), *ends)[0] for s, ends in ((y, (-9e2, 9e2)), (z, (0, 9e2)))
    )
    assert 3.0 * axis * across * up == pytest.approx(0.5, rel=1e-6)


def test_law_calm_clear_evening_is_the_worst_case() -> None:
    day, evening = (concentration(0.1, 2.0, np.array([100.0, 1000.0, 5000.0]), letter) for letter in "DF")
    assert (evening > day).all()
    assert (np.diff(evening) < 0).all()


@given(st.lists(st.tuples(st.floats(0, 359.9), st.floats(0, 60)), max_size=5), st.floats(0, 359.9))
def test_agrees_with_counting_places_one_by_one(places, wind) -> None:
    """A direction is blocked exactly where smoke drifts within 30° and the half angle of a place of one of them."""
    off = [abs((wind + 180 - bearing + 180) % 360 - 180) - (30 + half) for bearing, half in places]
    if any(abs(each) < 1e-6 for each in off):
        return  # on the very edge either answer is right
    arcs = blocked(places, 30.0)
    assert inside(wind, arcs) == any(each < 0 for each in off)
    assert inside(wind, free(arcs)) == (not inside(wind, arcs))


def test_refuses_what_is_not_in_the_table() -> None:
    with pytest.raises(BadValue, match="sky"):
        stability(3.0, "foggy")  # type: ignore[arg-type]
    with pytest.raises(BadValue):
        sigmas(20.0, "D")


def test_law_one_place_more_never_leaves_more_winds() -> None:
    one = SafeSite().assessed().smoke[0]
    two = SafeSite().add("smoke_place", point(-800, 0), "school", what="school").assessed().smoke[0]
    assert all(inside(wind, one.good) for wind in range(360) if inside(wind, two.good))
    assert len(two.places) == len(one.places) + 1


def test_law_a_place_in_the_north_east_bars_the_wind_from_the_south_west() -> None:
    """The farm of the safe site lies 900 m east and 900 m north of K1."""
    found = SafeSite().assessed().smoke[0]
    assert found.places[0].bearing_deg == pytest.approx(45, abs=0.1)
    assert inside(225.0, found.bad)
    assert not inside(45.0, found.bad)
    assert "the nearest place is FARM, 1,200 m away" in sentence(found.told)


def test_law_the_hours_of_the_forecast_are_held_against_the_winds() -> None:
    made = forecast(SafeSite())
    for row in made.member["forecast_hours"]:
        row["wind_from_deg"] = 225
    found = made.assessed().smoke[0]
    assert found.hours > 0
    assert "hours of the burn" in sentence(found.told)
    assert SafeSite().drop("farm").assessed().smoke == ()
