"""The few errors Pitstead raises on purpose. Anything else that surfaces is a bug of ours.

PitsteadError
├── BadValue      a number or choice that cannot be used        (also a ValueError)
├── BadShape      a drawn shape that cannot be used             (also a ValueError)
├── BadSiteFile   a site file that cannot be read as a site     (also a ValueError; `faults` lists every sentence)
├── BadFile       any other file that cannot be read            (also a ValueError)
├── BadStore      what was entered cannot be kept, or what was kept cannot be read
├── Overtaken     another tab or person has changed the site since
└── BadTable      a row of published figures without its source (also a ValueError)
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any, TypeVar

import numpy as np

from sitemap.reasons import Fact, Reason, as_typed, reason
from sitemap.telling import tell
from sitemap.units import UNITS

Number = TypeVar("Number")
_KEY_OF = {unit.metric: key for key, unit in UNITS.items() if unit.metric and unit.metric_factor == 1}
_KEY_OF["m/s"] = "m_s"  # formulas speak SI, people of wind in km/h
_SMALLEST = float(np.nextafter(0.0, 1.0))  # above zero


class PitsteadError(Exception):
    """Base of all errors raised on purpose: the text is one sentence a person can act on.

    told : the finding, or at the edges (a file, a table of ours, the command line) that sentence. The text of the error
        is told in metric English; `reason` can be told in other units and languages
    """

    def __init__(self, told: Reason | str) -> None:
        self.reason: Reason = reason("errors.as_said", text=told) if isinstance(told, str) else told
        super().__init__(tell(self.reason))

    def __reduce__(self) -> tuple[type[PitsteadError], tuple[Any, ...]]:
        """Carried from one process to another with its reason."""
        return type(self), (self.reason,)

    def told(self, system: str, language: str = "en") -> str:
        """The sentence in the units and the language of a site, for wherever one is at hand.

        >>> BadValue(reason("errors.above_zero", what="Lift", limit="0", value=as_typed(-3.048, "m"))).told("us")
        'Lift must be above 0; it is −10 ft. Correct it.'
        """
        return tell(self.reason, system, language)


class BadValue(PitsteadError, ValueError):
    """A number or a choice that cannot be used."""


class BadShape(PitsteadError, ValueError):
    """A drawn shape that cannot be used."""


class BadSiteFile(PitsteadError, ValueError):
    """A file that cannot be read as a site.

    Parameters
    ----------
    found : the fault, or all that were found.
    """

    def __init__(self, found: Reason | Iterable[Reason]) -> None:
        self.reasons: tuple[Reason, ...] = (found,) if isinstance(found, Reason) else tuple(found)
        self.faults: tuple[str, ...] = tuple(map(tell, self.reasons))
        super().__init__("\n".join(self.faults))

    def __reduce__(self) -> tuple[type[PitsteadError], tuple[Any, ...]]:
        """Carried from one process to another with every fault."""
        return type(self), (self.reasons,)

    def told(self, system: str, language: str = "en") -> str:
        """Every fault, a line each."""
        return "\n".join(tell(each, system, language) for each in self.reasons)


class BadFile(PitsteadError, ValueError):
    """A raster, waypoint file, table or image that cannot be read."""


class BadStore(PitsteadError):
    """What was entered cannot be kept on this computer, or what was kept cannot be read."""


class Overtaken(PitsteadError):
    """What was asked for is not what stands any more: another tab or person has changed it since."""


class BadTable(PitsteadError, ValueError):
    """A row of published figures that lacks its value, unit, source or evidence."""


def positive(name: str, value: Number, unit: str = "") -> Number:
    """Refuse a number that is not above zero (scalar or array); hand it back unchanged.

    Raises BadValue, naming the quantity, its limit, unit and the value received.
    """
    worst = _worst(value, _SMALLEST, np.inf)
    if worst is not None:
        raise BadValue(reason("errors.above_zero", what=name, limit=_of(0, unit), value=_of(worst, unit)))
    return value


def not_negative(name: str, value: Number, unit: str = "") -> Number:
    """Refuse a number below zero (scalar or array); hand it back unchanged. Raises BadValue."""
    worst = _worst(value, 0.0, np.inf)
    if worst is not None:
        raise BadValue(reason("errors.not_below_zero", what=name, limit=_of(0, unit), value=_of(worst, unit)))
    return value


def within(name: str, value: Number, low: float, high: float, unit: str = "") -> Number:
    """Refuse a number outside low … high (both allowed; scalar or array); hand it back. Raises BadValue."""
    worst = _worst(value, low, high)
    if worst is not None:
        raise BadValue(
            reason("errors.between", what=name, low=_of(low, unit), high=_of(high, unit), value=_of(worst, unit))
        )
    return value


def _worst(value: Number, low: float, high: float) -> float | None:
    """The first value outside low … high, or not a finite number; None where all are fine.

    Every formula asks this of all it is given, so the ends are looked at first: NaN and infinity end up among them.
    """
    if isinstance(value, float) and low <= value <= high and value != np.inf:
        return None
    array = np.asarray(value, dtype=float)
    if not array.size:
        return None
    least, most = np.minimum.reduce(array, axis=None), np.maximum.reduce(array, axis=None)  # less talk than array.min()
    if low <= least and most <= high and most < np.inf:
        return None
    fine = (low <= array) & (array <= high) & np.isfinite(array)
    return float(np.atleast_1d(array)[np.atleast_1d(~fine)][0])


def _of(value: float, unit: str) -> Fact:
    """A number with the unit its formula names; units no page shows stay as they are."""
    key = _KEY_OF.get(unit)
    return as_typed(value, key) if key else f"{value:g} {unit}".strip()
