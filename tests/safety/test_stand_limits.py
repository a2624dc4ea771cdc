"""Slope, branches and heaps round a kiln, on each limit and to both sides; whose no it is."""

from __future__ import annotations

import datetime as dt
import math

import pytest
from shapely import Point

from sitemap import tables
from sitemap.reasons import Term
from sitemap.safety.heat import mccaffrey_rise_k, plume_rise_k
from sitemap.safety.permission import owner_checks
from sitemap.safety.records import Pad
from sitemap.safety.stand import branches_check, cut_pad_check, slope_check, two_slopes_check
from sitemap.safety.targets import Target, feed_heap, sized_heap
from sitemap.season.airs import Air
from sitemap.telling import tell
from tests.safety.test_permission import ASKED, asked

HEAP = Target("p", "P", "pile", Term("Pile"), "heap", Point(0, 0), 1.0)


@pytest.mark.parametrize(
    ("slope", "word"),
    [(0.0, "gentle"), (5.0, "gentle"), (5.01, "slope with care"), (10.0, "slope with care"), (10.01, "steep")],
)
def test_law_each_limit_of_the_slope_holds(slope: float, word: str) -> None:
    assert slope_check(slope, "no", "k").verdict == word
    assert cut_pad_check(slope, 20.0, None, "k").verdict == word


@pytest.mark.parametrize(("slope", "fuel", "said"), [(20.0, "yes", False), (20.1, "yes", True), (20.1, "no", False)])
def test_law_fuel_above_is_said_beyond_twenty_per_cent(slope: float, fuel: str, said: bool) -> None:
    assert ("uphill" in tell(slope_check(slope, fuel, "k").reason)) == said
    assert (cut_pad_check(3.0, slope, fuel, "k").verdict == "steep") == said


@pytest.mark.parametrize(
    ("typed", "raster", "word"),
    [
        (0.0, 5.0, "gentle"),
        (5.0, 0.0, "gentle"),
        (0.0, 5.01, "two figures disagree"),
        (5.01, 0.0, "two figures disagree"),
        (4.0, 9.0, "slope with care"),
        (0.0, 12.0, "steep"),
        (12.0, 0.0, "steep"),
        (None, 4.0, "gentle"),
        (4.0, None, "gentle"),
        (4.0, math.nan, "gentle"),
        (None, math.nan, "measure on the ground"),
        (None, None, "not known"),
    ],
)
def test_law_two_figures_of_a_slope_may_differ_by_five_points(
    typed: float | None, raster: float | None, word: str
) -> None:
    assert two_slopes_check(typed, raster, "no", "k").verdict == word


def height_of(rise_k: float, heat_kw: float, diameter_m: float) -> float:
    """Height above the ground at which the warmer of the two plumes is so much above the air [m], by halving."""
    low, high = 1.5, 300.0
    for _ in range(80):
        above = (low + high) / 2 - 1.0  # the rim stands 1 m above the ground
        warm = max(float(mccaffrey_rise_k(heat_kw, above)), float(plume_rise_k(heat_kw, above, diameter_m)))
        low, high = (above + 1.0, high) if warm > rise_k else (low, above + 1.0)
    return high


@pytest.mark.parametrize(
    ("warm", "inside", "outside"),
    [
        ("rise_k", "branches above", "measure on the ground"),
        ("near_rise_k", "measure on the ground", "far enough above"),
    ],
)
def test_law_foliage_is_safe_from_where_the_plume_has_cooled(warm: str, inside: str, outside: str) -> None:
    height = height_of(float(tables.load("heat_limits")["foliage"][warm]), 800.0, 1.6)
    for factor, word in ((0.999, inside), (1.001, outside)):
        assert (
            branches_check(Pad("k", "K", branches="yes", branch_height_m=height * factor), 800.0, 1.6).verdict == word
        )


@pytest.mark.parametrize(
    ("pad", "heat_kw", "word"),
    [
        (Pad("k", "K", branches="none"), None, "no branches above"),
        (Pad("k", "K", branches="none", branch_height_m=9.0), 800.0, "two figures disagree"),
        (Pad("k", "K"), 800.0, "not known"),
        (Pad("k", "K", branch_height_m=90.0), 800.0, "not known"),
        (Pad("k", "K", branches="yes"), 800.0, "not known"),
        (Pad("k", "K", branches="yes", branch_height_m=90.0), None, "not known"),
        (Pad("k", "K", branches="yes", branch_height_m=90.0), 0.0, "not known"),
        (Pad("k", "K", branches="yes", branch_height_m=1.0), 800.0, "too close"),
    ],
)
def test_law_what_hangs_over_a_kiln_is_known_or_not(pad: Pad, heat_kw: float | None, word: str) -> None:
    assert branches_check(pad, heat_kw, 1.6).verdict == word


@pytest.mark.parametrize(
    ("volume", "use", "noted"),
    [
        ((50.0, 50.0), "heap", False),
        ((40.0, 50.1), "large_heap", True),
        ((50.0, 50.1), "large_heap", True),
        ((50.1, 60.0), "large_heap", False),
        (None, "large_heap", True),
    ],
)
def test_law_a_heap_is_large_where_it_is_or_may_be_or_nobody_knows(
    volume: tuple[float, float] | None, use: str, noted: bool
) -> None:
    found = sized_heap(HEAP, volume)
    assert (found.use, bool(found.notes)) == (use, noted)


def test_law_a_heap_that_may_be_large_is_told_with_its_volume_and_the_limit() -> None:
    told = tell(sized_heap(HEAP, (41.23, 61.23)).notes[0].text)
    assert all(figure in told for figure in ("41 m³", "61 m³", "50 m³"))


@pytest.mark.parametrize(("minutes", "use"), [(15.0, "staged"), (15.1, "heap"), (None, "heap")])
def test_law_feed_lasts_a_quarter_of_an_hour_at_most(minutes: float | None, use: str) -> None:
    staged = Target("p", "P", "pile", Term("Pile"), "staged", Point(0, 0), 1.0)
    assert feed_heap(staged, minutes).use == use


@pytest.mark.parametrize(
    ("wind", "from_deg", "told"), [(1.0, 90.0, 90.0), (0.99, 90.0, None), (None, 90.0, None), (5.0, None, None)]
)
def test_law_air_that_hardly_moves_carries_smoke_anywhere(
    wind: float | None, from_deg: float | None, told: float | None
) -> None:
    assert Air(dt.datetime(2026, 5, 20, tzinfo=dt.UTC), wind, from_deg, None, "D").smoke_from_deg == told


@pytest.mark.parametrize("whom", ["land_owner", "neighbour", "line_owner"])
def test_law_a_refusal_says_whose_it_is(whom: str) -> None:
    (check,) = owner_checks((asked(**{**ASKED, "whom": whom}, answer="no"),))
    assert check.reason.code == f"safety.{whom}_refused"
