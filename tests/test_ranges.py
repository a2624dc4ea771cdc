"""Drawn quantities: the percentiles asked for come out, the likely value stands first, each name has its own stream."""

from __future__ import annotations

import dataclasses
import math
import statistics

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from sitemap.errors import BadValue
from sitemap.ranges import N_DRAWS, Drawn, draw, draw_cv, fixed

#  Sampling error of a percentile p of n normal draws, in standard deviations: sqrt(p (1 − p) / n) / density there
#  (order statistics; any textbook of statistics). Four of them: a seeded test that holds for nearly every stream.
NORMAL = statistics.NormalDist()
Z90 = NORMAL.inv_cdf(0.9)


def sampling_error_sd(share: float) -> float:
    return math.sqrt(share * (1 - share) / N_DRAWS) / NORMAL.pdf(NORMAL.inv_cdf(share))


TRIPLES = [
    (3.0, 4.0, 6.0),
    (0.08, 0.12, 0.15),
    (-5.0, 1.0, 2.0),
    (0.0, 10.0, 40.0),
    (99.0, 100.0, 101.0),
    (1e-6, 1.0, 1e6),
]


@pytest.mark.parametrize("stream", ["P1", "P2", "pile-17", "site"])
@pytest.mark.parametrize(("low", "likely", "high"), TRIPLES)
def test_law_the_percentiles_asked_for_come_out(low: float, likely: float, high: float, stream: str) -> None:
    values = draw(likely, low, high, about=stream, quantity="height_m")
    scale = np.log if low > 0 else np.asarray
    p10, p50, p90 = (float(v) for v in scale(np.percentile(values[1:], [10, 50, 90])))
    below = (scale(likely) - scale(low)) / Z90
    above = (scale(high) - scale(likely)) / Z90
    assert p10 == pytest.approx(scale(low), abs=4 * sampling_error_sd(0.1) * below)
    assert p50 == pytest.approx(scale(likely), abs=4 * sampling_error_sd(0.5) * max(below, above))
    assert p90 == pytest.approx(scale(high), abs=4 * sampling_error_sd(0.9) * above)


@pytest.mark.parametrize("cv", [0.05, 0.12, 0.4])
def test_published_coefficient_of_variation_of_a_log_normal(cv: float) -> None:
    """Median m, spread s of the logarithm: cv² = exp(s²) − 1 (Aitchison and Brown 1957, The Lognormal Distribution;
    from memory). The sample's own cv of 2,000 draws is good to some 10 %."""
    values = draw_cv(450.0, cv, about="pile-1", quantity="density_kg_m3")
    assert np.std(values[1:]) / np.mean(values[1:]) == pytest.approx(cv, rel=0.1)
    assert np.median(values[1:]) == pytest.approx(450.0, rel=4 * sampling_error_sd(0.5) * cv)


@given(
    st.lists(st.floats(-1e6, 1e6), min_size=3, max_size=3).map(sorted),
    st.text(max_size=5),
)
def test_law_likely_stands_first_and_numbers_are_finite(ends: list[float], about: str) -> None:
    low, likely, high = ends
    values = draw(likely, low, high, about=about, quantity="q")
    assert values.shape == (N_DRAWS + 1,)
    assert values[0] == likely
    assert np.all(np.isfinite(values))


def test_law_each_name_has_a_stream_of_its_own() -> None:
    def one(about: str, quantity: str) -> np.ndarray:
        return draw(4.0, 3.0, 6.0, about=about, quantity=quantity)

    before = one("pile-7", "height_m")
    one("pile-3", "height_m")
    draw(9.0, 1.0, 20.0, about="pile-7", quantity="width_m")
    assert np.array_equal(one("pile-7", "height_m"), before)
    streams = {(a, q): one(a, q)[1:] for a in ("pile-7", "pile-3", "") for q in ("height_m", "width_m")}
    #  the joint of the two names is marked: ("ab", "c") is not ("a", "bc")
    streams |= {("ab", "c"): one("ab", "c")[1:], ("a", "bc"): one("a", "bc")[1:]}
    correlations = np.corrcoef(np.log(list(streams.values())))
    assert np.all(np.abs(correlations - np.eye(len(streams))) < 5 / math.sqrt(N_DRAWS))


def test_law_one_stream_for_two_things_moves_them_together() -> None:
    one, other = (draw(v, v / 2, v * 2, about="packing", quantity="tops") for v in (0.12, 0.3))
    assert np.corrcoef(np.log(one), np.log(other))[0, 1] == pytest.approx(1.0)


def test_law_what_is_done_to_one_draw_leaves_the_next_alone() -> None:
    first = draw(4.0, 3.0, 6.0, about="a", quantity="b")
    kept = first.copy()
    first[:] = 0
    assert np.array_equal(draw(4.0, 3.0, 6.0, about="a", quantity="b"), kept)


def test_refuses_a_write_to_what_all_things_of_a_site_share() -> None:
    first = draw(4.0, 3.0, 6.0, about="site", quantity="b")
    assert draw(4.0, 3.0, 6.0, about="site", quantity="b") is first
    with pytest.raises(ValueError, match="read-only"):
        first[:] = 0


def test_law_floor_and_ceiling_hold() -> None:
    values = draw(0.5, 0.1, 0.9, about="a", quantity="b", floor=0.2, ceiling=0.8)
    assert (values.min(), values.max()) == (0.2, 0.8)
    values = draw(1.0, -5.0, 2.0, about="a", quantity="b", floor=0.0)
    assert values.min() == 0.0


def test_law_no_spread_no_draws() -> None:
    assert np.all(draw(4.0, 4.0, 4.0, about="a", quantity="b") == pytest.approx(4.0))
    assert np.all(draw_cv(4.0, 0.0, about="a", quantity="b") == pytest.approx(4.0))
    assert np.array_equal(fixed(3), np.full(N_DRAWS + 1, 3.0))
    assert Drawn.exact(2.5).triple() == (2.5, 2.5, 2.5)


@pytest.mark.parametrize(
    ("low", "likely", "high"),
    [
        (4.0, 3.0, 6.0),
        (1.0, 7.0, 6.0),
        (6.0, 5.0, 4.0),
        (math.nan, 1.0, 2.0),
        (0.0, math.nan, 1.0),
        (0.0, 1.0, math.inf),
    ],
)
def test_refuses_ends_in_the_wrong_order(low: float, likely: float, high: float) -> None:
    with pytest.raises(BadValue, match=r"range of height_m must run low ≤ likely ≤ high; it is"):
        draw(likely, low, high, about="a", quantity="height_m")


def test_law_a_result_shows_percentiles_and_the_likely_value() -> None:
    """Percentiles of 1 … 2000 (numpy's linear rule): the tenth at 200.9, the ninetieth at 1800.1."""
    drawn = Drawn(np.concatenate([[700.0], np.arange(1.0, N_DRAWS + 1)]))
    assert drawn.triple() == pytest.approx((200.9, 700.0, 1800.1))
    assert (drawn.low, drawn.likely, drawn.high) == drawn.triple()


@pytest.mark.parametrize("unknown", [0, 1, N_DRAWS])
def test_agrees_with_numpy_on_percentiles(unknown: int) -> None:
    """To the last digit, and not known where a draw is not known."""
    values = draw(0.0, -0.3, 7.0, about="a", quantity="x")
    values[1 : unknown + 1] = math.nan
    percentiles = np.percentile(values[1:], (10, 90))
    np.testing.assert_array_equal((Drawn(values).low, Drawn(values).high), percentiles)


def test_law_likely_never_leaves_its_range() -> None:
    """The likely value of a skewed formula may lie outside the percentiles: the shown range takes it in."""
    assert Drawn(np.concatenate([[0.0], np.arange(1.0, 2001)])).low == 0.0
    assert Drawn(np.concatenate([[9e9], np.arange(1.0, 2001)])).high == 9e9


def test_law_results_cannot_be_exchanged() -> None:
    with pytest.raises(dataclasses.FrozenInstanceError):
        Drawn.exact(1.0).values = fixed(2.0)  # type: ignore[misc]


def test_law_equal_numbers_are_the_same_result() -> None:
    """A memo must know a result again that was reckoned twice, and no other for it."""
    twice = [Drawn(draw(3.0, 2.0, 5.0, about="p1", quantity="x")) for _ in range(2)]
    assert twice[0] == twice[1]
    assert len(set(twice)) == 1
    moved = twice[0].values.copy()
    moved[-1] += 1e-9
    assert Drawn(moved) != twice[0]
    assert Drawn.exact(math.nan) == Drawn.exact(math.nan)
    assert Drawn.exact(1.0) != 1.0


def test_refuses_a_result_whose_best_estimate_may_be_lost() -> None:
    """Filtered, averaged or sorted in place, element 0 would be a draw like any other."""
    values = draw(10.0, 8.0, 13.0, about="p", quantity="length")
    with pytest.raises(ValueError, match="best estimate first"):
        Drawn(values[values > 10.0])
    with pytest.raises(ValueError, match="best estimate first"):
        Drawn(np.asarray(values.mean()))
    found = Drawn(values)
    with pytest.raises(ValueError, match="read-only"):
        found.values.sort()
    assert found.likely == 10.0
