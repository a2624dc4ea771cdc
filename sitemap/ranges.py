"""Low, likely and high by a Monte Carlo sample: seeded draws through the same formulas.

A drawn quantity is an array of N_DRAWS + 1 numbers: element 0 is the likely value, the best estimate; the rest are
draws. Every formula takes it as it takes a single number, so *likely* is always the formula at the likely inputs (one
can follow it with a pocket calculator) while *low* and *high* are the 10th and 90th percentile of the draws.

Streams are seeded by name, (about, quantity), never by sequence: editing pile 3 cannot move the figures of pile 7, and
two piles that share a packing class or a species share its error when they name the same stream.
"""

from __future__ import annotations

import hashlib
import math
import zlib
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from functools import cached_property, lru_cache
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from sitemap.errors import BadValue
from sitemap.reasons import reason

N_DRAWS = 2000
SHARED = "site"  # what an error common to the whole site is about
_Z90 = 1.2815515655446004  # 90th percentile of the standard normal distribution
_A_BLOCK = 64  # things in a block, on average
_LARGEST = 1e100  # no quantity is larger: an absurd range typed by somebody still gives finite sums

Array = NDArray[np.float64]
Numbers = float | Array  # a formula takes one number or draws of it alike
Thing = TypeVar("Thing")


@dataclass(frozen=True, slots=True)
class Measured:
    """A number with what is known of it: its typed range, if any, and where it comes from."""

    likely: float
    low: float | None
    high: float | None
    basis: str


@lru_cache(maxsize=512)
def _normal(about: str, quantity: str) -> Array:
    seed = hashlib.sha256(f"{about}\x1f{quantity}".encode()).digest()
    z = np.zeros(N_DRAWS + 1)
    np.random.default_rng(int.from_bytes(seed[:8], "big")).standard_normal(out=z[1:])
    z.flags.writeable = False
    return z


def draw(
    likely: float,
    low: float,
    high: float,
    *,
    about: str,
    quantity: str,
    floor: float | None = None,
    ceiling: float | None = None,
) -> Array:
    """Draws whose 10th, 50th and 90th percentiles are low, likely and high.

    Split log-normal where low > 0, else split normal; cut at floor and ceiling.

    Parameters
    ----------
    likely, low, high : scalars [any unit, one for all], low ≤ likely ≤ high
    about, quantity : the name of the stream
    floor, ceiling : hard limits of the quantity, or None [any unit, the same]

    Returns
    -------
    array (N_DRAWS + 1,), element 0 equal to likely; one about the site is shared and not to be written to

    Raises
    ------
    BadValue : unless low ≤ likely ≤ high and all are finite
    """
    if about == SHARED:  # thousands of heaps share these: made once, kept once
        return _shared(likely, low, high, quantity, floor, ceiling)
    return _drawn(likely, low, high, about, quantity, floor, ceiling)


def _drawn(
    likely: float, low: float, high: float, about: str, quantity: str, floor: float | None, ceiling: float | None
) -> Array:
    likely, low, high = float(likely), float(low), float(high)  # of 32 bits the limits below are infinite
    if not (all(map(math.isfinite, (likely, low, high))) and low <= likely <= high):
        raise BadValue(reason("errors.range", what=quantity, low=f"{low:g}", likely=f"{likely:g}", high=f"{high:g}"))
    z = _normal(about, quantity)
    if low > 0 and low * 1e6 > high and low > 1e-50 and high < 1e50 and not (floor or 0) > 0 and ceiling is None:
        below, above = math.log(likely / low) / _Z90, math.log(high / likely) / _Z90  # the usual range: nothing is cut
        even = abs(above - below) < 1e-13 * above
        values = likely * np.exp(z * (above if even else np.where(z < 0, below, above)))
        values[0] = likely
        return np.asarray(values)
    with np.errstate(over="ignore"):
        if low > 0:
            below, above = (math.log(min(ratio, _LARGEST)) / _Z90 for ratio in (likely / low, high / likely))
            values = likely * np.exp(z * np.where(z < 0, below, above))
        else:
            below, above = (likely - low) / _Z90, (high - likely) / _Z90
            values = likely + z * np.where(z < 0, below, above)
    values = np.clip(values, -_LARGEST if floor is None else floor, _LARGEST if ceiling is None else ceiling)
    values[0] = likely
    return values


@lru_cache(maxsize=256)
def _shared(likely: float, low: float, high: float, quantity: str, floor: float | None, ceiling: float | None) -> Array:
    values = _drawn(likely, low, high, SHARED, quantity, floor, ceiling)
    values.flags.writeable = False
    return values


def draw_cv(
    likely: float,
    coefficient_of_variation: float,
    *,
    about: str,
    quantity: str,
    floor: float | None = None,
    ceiling: float | None = None,
) -> Array:
    """Log-normal draws with median likely and the given coefficient of variation (a share, 0.12 for 12 %).

    Parameters
    ----------
    likely : the best estimate, above 0 [any unit]
    coefficient_of_variation : 0.12 for 12 % [share]
    about, quantity, floor, ceiling : as for `draw` [any unit, the same]

    Returns
    -------
    array (N_DRAWS + 1,), element 0 equal to likely
    """
    half = _Z90 * math.sqrt(math.log1p(coefficient_of_variation**2))
    return draw(
        likely,
        likely * math.exp(-half),
        likely * math.exp(half),
        about=about,
        quantity=quantity,
        floor=floor,
        ceiling=ceiling,
    )


def fixed(value: float) -> Array:
    """A number without spread, in the form of a drawn quantity.

    Parameters
    ----------
    value : the number [any unit]

    Returns
    -------
    array (N_DRAWS + 1,) of it
    """
    return np.full(N_DRAWS + 1, float(value))


@dataclass(frozen=True, eq=False)
class Drawn:
    """A result with its range: low and high are P10 and P90 of the draws, likely the formula at likely inputs.

    Two are the same when their numbers are, so that a room that remembers its input knows it again. Its numbers are
    not to be written to: sorted in place, the best estimate in front would be another number. Raises ValueError for
    numbers that are not one best estimate and N_DRAWS draws: filtered or averaged, the first of them is none.
    """

    values: Array

    def __post_init__(self) -> None:
        if self.values.shape != (N_DRAWS + 1,):
            raise ValueError(f"A result has {N_DRAWS + 1} numbers, its best estimate first; not {self.values.shape}.")
        self.values.flags.writeable = False

    def __eq__(self, other: object) -> bool:
        if not isinstance(other, Drawn):
            return False
        same = self.values is other.values or self.values.tobytes() == other.values.tobytes()  # quick
        return same or np.array_equal(self.values, other.values, equal_nan=True)

    def __hash__(self) -> int:
        return hash((self.values[:8] + 0.0).tobytes())  # the likely value and a few draws tell most apart; -0.0 is 0.0

    @classmethod
    def exact(cls, value: float) -> Drawn:
        """A result without spread."""
        return cls(fixed(value))

    @property
    def likely(self) -> float:
        """The formula at the likely inputs."""
        return float(self.values[0])

    @property
    def low(self) -> float:
        """10th percentile of the draws, never above likely."""
        return min(self._ends[0], self.likely)

    @property
    def high(self) -> float:
        """90th percentile of the draws, never below likely."""
        return max(self._ends[1], self.likely)

    def triple(self) -> tuple[float, float, float]:
        """(low, likely, high)."""
        return self.low, self.likely, self.high

    @cached_property
    def _ends(self) -> tuple[float, float]:
        """The percentiles themselves, as `np.percentile` has them, in an eighth of its time; told on many sheets."""
        ordered = np.sort(self.values[1:])  # what is no number stands last
        if math.isnan(ordered[-1]):
            return math.nan, math.nan
        tenth, ninetieth = (share * (N_DRAWS - 1) for share in (0.1, 0.9))  # between two draws
        (before, low), (high, after) = (ordered[int(at) : int(at) + 2].tolist() for at in (tenth, ninetieth))
        return low - (low - before) * (math.ceil(tenth) - tenth), high + (after - high) * (ninetieth - int(ninetieth))


def in_blocks(things: Iterable[Thing], id_of: Callable[[Thing], str]) -> Iterator[tuple[Thing, ...]]:
    """Things in their order, in blocks to be added up and remembered: one edited makes its own block anew and no other,
    also where one comes or goes, for a block ends at an id and not at a count.

    >>> [len(block) for block in in_blocks(map(str, range(200)), str)]
    [38, 12, 113, 35, 2]
    """
    part: list[Thing] = []
    for thing in things:
        part.append(thing)
        if zlib.crc32(id_of(thing).encode()) % _A_BLOCK == 0:
            yield tuple(part)
            part = []
    if part:
        yield tuple(part)
