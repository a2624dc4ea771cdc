"""Where a balance is even: the root of every element of an array at once, held between two ends."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
MOST_STEPS = 200  # halving alone is through after some 60


def root_between(
    margin: Callable[..., Array], low: Array, high: Array, *given: Array, relative: float = 1e-11
) -> Array:
    """The root of each element of a continuous function, between ends at which its sign differs.

    Parameters
    ----------
    margin : of x and the arrays given, element by element; same shape as x
    low, high : (n,), the ends
    given : (n,) each, what else the function takes
    relative : how near two steps come, as a share of the root [-]

    Returns
    -------
    (n,); an end where the function is nought there. Where the sign does not differ no root is looked for: NaN

    Notes
    -----
    scipy.optimize.elementwise.find_root does the same, and is what the tests hold this against. It takes a second to
    import and some milliseconds a call, which is most of an `assess` and of what a moved source costs.

    References
    ----------
    T. R. Chandrupatla, A new hybrid quadratic/bisection algorithm for finding the zero of a nonlinear function without
    using derivatives, Advances in Engineering Software 28 (1997) 145–149 (S).

    >>> squares = np.array([4.0, 9.0])
    >>> root_between(lambda x, square: x * x - square, np.zeros(2), squares, squares).round(9).tolist()
    [2.0, 3.0]
    """
    a, b = np.array(low, dtype=float), np.array(high, dtype=float)
    at_a, at_b = margin(a, *given), margin(b, *given)
    root = np.where(at_a == 0, a, np.where(at_b == 0, b, np.nan))
    open_ = np.flatnonzero(at_a * at_b < 0)
    a, b, at_a, at_b = a[open_], b[open_], at_a[open_], at_b[open_]
    given = tuple(each[open_] for each in given)
    step = np.full(a.shape, 0.5)
    for _ in range(MOST_STEPS):
        if not open_.size:
            return root
        x = a + step * (b - a)
        at_x = margin(x, *given)
        beyond = np.sign(at_x) == np.sign(at_a)
        # c is the end just left; a and b hold the root between them
        c, at_c = np.where(beyond, a, b), np.where(beyond, at_a, at_b)
        b, at_b = np.where(beyond, b, a), np.where(beyond, at_b, at_a)
        a, at_a = x, at_x
        near = np.abs(at_a) < np.abs(at_b)
        best = np.where(near, a, b)
        least = relative * np.abs(best) / np.abs(b - a)
        done = (least > 0.5) | (np.where(near, at_a, at_b) == 0)
        root[open_[done]] = best[done]
        goes = ~done
        open_, a, b, c, at_a, at_b, at_c, least = (each[goes] for each in (open_, a, b, c, at_a, at_b, at_c, least))
        given = tuple(each[goes] for each in given)
        step = _next_step(a, b, c, at_a, at_b, at_c, least)
    root[open_] = a
    return root


def _next_step(a: Array, b: Array, c: Array, at_a: Array, at_b: Array, at_c: Array, least: Array) -> Array:
    """How far from a to b the next look is: by a parabola through all three where that is safe, else half way."""
    with np.errstate(divide="ignore", invalid="ignore"):
        place, height = (a - b) / (c - b), (at_a - at_b) / (at_c - at_b)
        safe = (1 - np.sqrt(1 - place) < height) & (height < np.sqrt(place))
        curved = at_a / (at_b - at_a) * at_c / (at_b - at_c)
        curved = curved + (c - a) / (b - a) * at_a / (at_c - at_a) * at_b / (at_c - at_b)
    return np.clip(np.where(safe, curved, 0.5), least, 1 - least)
