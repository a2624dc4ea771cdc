"""The root search of all balances, held against scipy.optimize on functions of every shape."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import brentq

from sitemap.roots import root_between


@given(st.floats(1e-6, 1e6), st.floats(0.2, 6), st.floats(0, 1e3))
def test_agrees_with_brent(scale: float, power: float, bend: float) -> None:
    """A hose line falls like this: from a head at rest, as a power of the flow, here with a bend on the way."""

    def margin(x: np.ndarray, head: np.ndarray) -> np.ndarray:
        return np.asarray(head - (x / scale) ** power - np.maximum(x / scale - bend, 0))

    heads = np.array([0.01, 1.0, 40.0])
    highs = scale * (heads + 1) ** (1 / power) * 1.1
    found = root_between(margin, np.zeros(3), highs, heads)
    for root, head, high in zip(found, heads, highs, strict=True):
        expected = brentq(
            lambda x, head=head: float(margin(np.array(x), np.array(head))), 0, high, xtol=1e-300, maxiter=2000
        )
        assert root == pytest.approx(expected, rel=1e-10, abs=0)


def test_law_an_end_may_be_the_root_and_a_jump_is_found() -> None:
    """Nought at an end is the root; a step has its place; what does not change sign has none, and neither has NaN."""
    low, high = np.array([1.0, 0.0, 0.0, 0.0, np.nan]), np.array([5.0, 2.0, 8.0, 1.0, 1.0])
    of = np.array([1.0, 2.0, np.pi, -1.0, 0.5])

    def step(x: np.ndarray, at: np.ndarray) -> np.ndarray:
        return np.sign(x - at)

    found = root_between(step, low, high, of)
    assert found[:2].tolist() == [1.0, 2.0]
    assert found[2] == pytest.approx(np.pi, rel=1e-10)
    assert np.isnan(found[3:]).all()


def test_law_a_root_at_nought_ends() -> None:
    """Where only halving helps and the root is nought itself, the search ends beside it."""
    found = root_between(lambda x: np.cbrt(x), np.array([-1.0]), np.array([3.0]))
    assert abs(found[0]) < 1e-30
