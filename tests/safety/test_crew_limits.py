"""Places for people, vehicles, char and feed near a kiln, on each limit and to both sides of it."""

from __future__ import annotations

import math

import numpy as np
import pytest
from shapely import Point

from sitemap.reasons import Term
from sitemap.safety.crew_places import char_pad_checks, crew_place_checks, downwind_checks
from sitemap.safety.embers import ember_distance_m, patrol_distance_m
from sitemap.safety.near import Spot, verdict_codes
from sitemap.safety.targets import Target
from sitemap.telling import tell

SPOT = Spot("k", "K", Point(0, 0), 1.5, 1.0)
FOOT, MPH = 0.3048, 0.44704  # [m], [m/s], exact (NIST SP 811)


def place(
    kind: str, from_rim_m: float | None, bearing_deg: float = 90.0, use: str = "", error_m: float = 0.5
) -> Target:
    """A point so far from the rim of the kiln, or one without a place."""
    turned = math.radians(bearing_deg)
    far = None if from_rim_m is None else from_rim_m + SPOT.radius_m
    shape = None if far is None else Point(far * math.sin(turned), far * math.cos(turned))
    return Target("t", "T", kind, Term(kind), use, shape, error_m)


#  FIELD: crew at rest 3 m from the rim, visitors and what they come with 8 m, bare ground of 3 m to tipped char (C).
@pytest.mark.parametrize(
    ("kind", "least_m"),
    [
        ("lookout", 3.0),
        ("char_pad", 3.0),
        ("parking", 8.0),
        ("meeting_point", 8.0),
        ("refuge", 8.0),
        ("turning_place", 8.0),
        ("landing_place", 8.0),
    ],
)
@pytest.mark.parametrize(
    ("beyond_m", "verdict"),
    [(-0.01, "too near a kiln"), (0.01, "measure on the ground"), (1.49, "measure on the ground"), (1.51, None)],
)
def test_law_people_keep_their_distance_and_the_errors_of_both_places(
    kind: str, least_m: float, beyond_m: float, verdict: str | None
) -> None:
    """Both places together are known to 1.5 m: nearer than that to the limit somebody measures; char needs no tape."""
    found = [check.verdict for check in crew_place_checks(SPOT, [place(kind, least_m + beyond_m)])]
    taped = verdict == "measure on the ground" and kind == "char_pad"
    assert found == ([] if verdict is None or taped else [verdict])


def test_law_how_near_is_told_to_two_digits_and_never_too_far() -> None:
    (check,) = crew_place_checks(SPOT, [place("parking", 2.69)])
    assert "2.6 m" in tell(check.reason)
    assert "8 m" in tell(check.reason)


@pytest.mark.parametrize(
    ("from_rim_m", "verdict"),
    [(None, "not known"), (-1.5, "too close"), (0.0, "too close"), (0.01, "measure on the ground"), (1.6, None)],
)
def test_law_no_kiln_stands_in_a_place_to_keep_smoke_from(from_rim_m: float | None, verdict: str | None) -> None:
    found = crew_place_checks(SPOT, [place("smoke_place", from_rim_m)])
    assert [check.verdict for check in found] == ([verdict] if verdict else [])


@pytest.mark.parametrize("kind", ["meeting_point", "refuge"])
@pytest.mark.parametrize(
    ("from_middle_m", "off_deg", "said"),
    [
        (123.9, 0.0, True),
        (124.1, 0.0, False),
        (50.0, 29.9, True),
        (50.0, -29.9, True),
        (50.0, 30.1, False),
        (50.0, -30.1, False),
        (50.0, 180.0, False),
    ],
)
def test_law_nobody_shelters_where_embers_fall(kind: str, from_middle_m: float, off_deg: float, said: bool) -> None:
    """124 m, 30° to either side (FIELD; D and C), whichever way the wind comes from."""
    for wind_from in (0.0, 20.0, 180.0, 345.0):
        where = place(kind, from_middle_m - SPOT.radius_m, wind_from + 180.0 + off_deg)
        assert bool(downwind_checks(SPOT, [where], wind_from)) == said


@pytest.mark.parametrize(("from_rim_m", "said"), [(7.9, True), (8.1, False)])
def test_law_feed_is_staged_upwind(from_rim_m: float, said: bool) -> None:
    assert bool(downwind_checks(SPOT, [place("pile", from_rim_m, 180.0, "staged")], 0.0)) == said
    assert not downwind_checks(SPOT, [place("pile", from_rim_m, 180.0)], 0.0)
    assert not downwind_checks(SPOT, [place("pile", from_rim_m, 180.0, "staged")], None)
    assert not downwind_checks(SPOT, [place("parking", from_rim_m, 180.0), place("refuge", None)], 0.0)


@pytest.mark.parametrize(
    ("kind", "use", "away_m", "said"),
    [
        ("stream", "", 0.0, True),
        ("wetland", "", 0.0, True),
        ("pond", "open_water", 0.0, True),
        ("pond", "dry", 0.0, False),
        ("stream", "", 0.01, False),
        ("pile", "", 2.99, True),
        ("windrow", "", 2.99, True),
        ("pile", "", 3.0, False),
        ("structure", "", 0.0, False),
    ],
)
def test_law_char_is_tipped_on_dry_ground_away_from_heaps(kind: str, use: str, away_m: float, said: bool) -> None:
    pad, other = place("char_pad", 20.0), place(kind, 20.0 + away_m, use=use)
    assert bool(char_pad_checks([pad, place("char_pad", None)], [other, place("pile", None)])) == said


@pytest.mark.parametrize(
    ("distance", "required", "error", "code"),
    [
        (8.0, 8.0, 0.0, 0),
        (7.999, 8.0, 0.0, 2),
        (9.0, 8.0, 1.0, 0),
        (8.999, 8.0, 1.0, 1),
        (0.0, 0.0, 0.0, 2),
        (1e-6, 0.0, 0.0, 2),
        (1.01e-6, 0.0, 0.0, 0),
    ],
)
def test_law_a_distance_holds_when_it_is_kept_whole(distance: float, required: float, error: float, code: int) -> None:
    """0 far enough, 1 to be measured, 2 too close; edges a thousandth of a millimetre apart touch."""
    assert verdict_codes([distance], required, error).tolist() == [code]


@pytest.mark.parametrize(
    ("flame_ft", "wind_mph", "cover_ft"), [(5.0, 10.0, 0.0), (5.0, 10.0, 30.0), (12.0, 18.0, 0.0), (3.0, 1.0, 8.0)]
)
def test_agrees_with_the_formula_of_embers_in_its_own_units(flame_ft: float, wind_mph: float, cover_ft: float) -> None:
    """Albini 1979, INT-56, in feet, miles and mph as the data sheet prints it; worked step by step."""
    lofted = 12.2 * flame_ft
    above = max(cover_ft, 2.2 * lofted**0.337 - 4.0)
    miles = 0.000718 * wind_mph * math.sqrt(above)
    miles *= 0.362 + math.sqrt(lofted / above) / 2.0 * math.log(lofted / above)
    found = float(ember_distance_m(flame_ft * FOOT, wind_mph * MPH, cover_ft * FOOT))
    assert found == pytest.approx(miles * 1609.344)
    assert patrol_distance_m(flame_ft * FOOT, wind_mph * MPH, cover_ft * FOOT) == found


def test_law_where_the_formula_says_nothing_no_figure_stands() -> None:
    """A flame of an inch lofts nothing, and no ember rises out of trees higher than it is thrown."""
    found = ember_distance_m(np.array([0.02, 1.524, 1.524]), 4.0, np.array([0.0, 0.0, 30.0]))
    assert np.isnan(found).tolist() == [True, False, True]
    assert patrol_distance_m(1.524, 4.0, 30.0) is None
    assert patrol_distance_m(1.524, 0.0) == 0.0
