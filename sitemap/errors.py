"""The few errors Pitstead raises on purpose. Anything else that surfaces is a bug of ours.

PitsteadError
├── BadValue      a number or choice that cannot be used        (also a ValueError)
├── BadShape      a drawn shape that cannot be used             (also a ValueError)
├── BadSiteFile   a site file that cannot be read as a site     (also a ValueError; `faults` lists every sentence)
├── BadFile       any other file that cannot be read            (also a ValueError)
└── BadTable      a row of published figures without its source (also a ValueError)
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import TypeVar

import numpy as np

Number = TypeVar("Number")


class PitsteadError(Exception):
    """Base of all errors raised on purpose: the text is one sentence a person can act on."""


class BadValue(PitsteadError, ValueError):
    """A number or a choice that cannot be used."""


class BadShape(PitsteadError, ValueError):
    """A drawn shape that cannot be used."""


class BadSiteFile(PitsteadError, ValueError):
    """A file that cannot be read as a site.

    Parameters
    ----------
    faults : every fault found, one sentence each.
    """

    def __init__(self, faults: str | Iterable[str]) -> None:
        self.faults: tuple[str, ...] = (faults,) if isinstance(faults, str) else tuple(faults)
        super().__init__("\n".join(self.faults))


class BadFile(PitsteadError, ValueError):
    """A raster, waypoint file, table or image that cannot be read."""


class BadTable(PitsteadError, ValueError):
    """A row of published figures that lacks its value, unit, source or standing."""


def positive(name: str, value: Number, unit: str = "") -> Number:
    """Refuse a number that is not above zero (scalar or array); hand it back unchanged.

    Raises BadValue, naming the quantity, its limit, unit and the value received.
    """
    return _judged(name, value, unit, np.asarray(value, dtype=float) > 0, "must be above 0")


def not_negative(name: str, value: Number, unit: str = "") -> Number:
    """Refuse a number below zero (scalar or array); hand it back unchanged. Raises BadValue."""
    return _judged(name, value, unit, np.asarray(value, dtype=float) >= 0, "must not be below 0")


def within(name: str, value: Number, low: float, high: float, unit: str = "") -> Number:
    """Refuse a number outside low … high (both allowed; scalar or array); hand it back. Raises BadValue."""
    array = np.asarray(value, dtype=float)
    return _judged(name, value, unit, (array >= low) & (array <= high), f"must lie between {low:g} and {high:g}")


def _judged(name: str, value: Number, unit: str, fine: np.ndarray, rule: str) -> Number:
    fine = fine & np.isfinite(np.asarray(value, dtype=float))
    if not bool(np.all(fine)):
        worst = np.atleast_1d(np.asarray(value, dtype=float))[np.atleast_1d(~fine)][0]
        unit_text = f" {unit}" if unit else ""
        raise BadValue(f"{name} {rule}{unit_text}; it is {worst:g}{unit_text}. Correct it.")
    return value
