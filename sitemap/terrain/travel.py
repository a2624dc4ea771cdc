"""Travel-cost models: what a metre of a slope costs machines, people and hoses, and where they stop."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar, Protocol

import numpy as np

from sitemap.errors import positive
from sitemap.terrain.surface import Floats

KM_H_IN_M_S = 1 / 3.6
UPHILL_LOSS = 0.5  # share of its speed a machine has lost at the steepest slope it may climb (ours, no source)
DOWNHILL_LOSS = 0.25  # the same going down (ours, no source)
CAREFUL_PCT = 20.0  # [%] a loaded machine goes slowly above it, so a gentler way round is taken (house rule)
CAREFUL_SLOWER = 3.0  # times slower there (ours, no source)
LOADED_WALK = 2 / 3  # share of the pace left to a person with two full buckets (ours, no source)


class TravelCost(Protocol):
    """What a way is sought for. Costs are seconds, but metres for a hose."""

    @property
    def width_m(self) -> float:
        """Ground it stands on at once: heights are averaged over it, and closed ground is kept clear by half [m]."""
        ...

    @property
    def side_slope_pct(self) -> float:
        """Steepest ground it may cross sideways [%]; inf for no limit."""
        ...

    @property
    def quickest_slope(self) -> float:
        """The slope at which a level metre costs least, rise over run."""
        ...

    def cost(self, slope: Floats, length_m: Floats, loaded: bool) -> Floats:
        """Cost of stretches of given slope (rise over run, uphill positive) and length over the ground [m]; inf where
        it may not go."""
        ...


@dataclass(frozen=True)
class Machine:
    """An excavator, tractor or loader on slash, with what the maker allows.

    loaded_km_h, empty_km_h : speed on level ground [km/h]; the defaults are slow on purpose (house rule, no source)
    loaded_up_pct, loaded_down_pct, empty_up_pct, empty_down_pct : steepest slope along the way [%]; 30 for a loaded
        small machine where the maker says nothing (house rule); empty the same unless told
    side_slope_pct : steepest slope across the way [%]
    width_m : over the tracks [m]

    Up and down count apart, loaded and empty too. Speed falls in a straight line, by half at the steepest slope it may
    climb and by a quarter at the steepest it may go down, and loaded to a third of that on more than 20 %: ours, no
    source; the slope limits are what matters.
    Raises BadValue for a speed or limit that is not above zero.
    """

    loaded_km_h: float = 1.5
    empty_km_h: float = 3.0
    loaded_up_pct: float = 30.0
    loaded_down_pct: float = 30.0
    empty_up_pct: float = 30.0
    empty_down_pct: float = 30.0
    side_slope_pct: float = 10.0
    width_m: float = 2.5

    quickest_slope: ClassVar[float] = 0.0

    def __post_init__(self) -> None:
        for name, value in vars(self).items():
            positive(f"The machine's {name}", value)

    def cost(self, slope: Floats, length_m: Floats, loaded: bool) -> Floats:
        """Seconds, see `TravelCost`."""
        up, down = (
            (self.loaded_up_pct / 100, self.loaded_down_pct / 100)
            if loaded
            else (self.empty_up_pct / 100, self.empty_down_pct / 100)
        )
        level = (self.loaded_km_h if loaded else self.empty_km_h) * KM_H_IN_M_S
        lost = np.minimum(np.maximum(slope * (UPHILL_LOSS / up), slope * (-DOWNHILL_LOSS / down)), UPHILL_LOSS)
        allowed = (slope <= up) & (slope >= -down)  # not where the slope is not known
        slowly = np.where(loaded & (np.abs(slope) > CAREFUL_PCT / 100), CAREFUL_SLOWER, 1.0)
        return np.where(allowed, slowly * length_m / (level - level * lost), np.inf)


@dataclass(frozen=True)
class Walker:
    """A person on foot off the path, with buckets or without. Steep ground slows, no slope limit but max_slope_pct."""

    max_slope_pct: float = 60.0  # beyond it hands are needed (ours, no source)
    side_slope_pct: float = np.inf
    width_m: float = 0.5
    quickest_slope: ClassVar[float] = -0.05

    def cost(self, slope: Floats, length_m: Floats, loaded: bool) -> Floats:
        """Seconds, see `TravelCost`; Tobler's speed is along the level, as in its source."""
        level_m = length_m / np.sqrt(1 + slope**2)
        speed = walking_km_h(slope, off_path=True) * KM_H_IN_M_S * (LOADED_WALK if loaded else 1.0)
        with np.errstate(divide="ignore"):  # no speed is left on absurd slopes: barred anyway
            seconds = level_m / speed
        return np.where(np.abs(slope) <= self.max_slope_pct / 100, seconds, np.inf)


@dataclass(frozen=True)
class Hose:
    """A hose follows the ground; its cost is its length over it [m]."""

    width_m: float = 0.1
    side_slope_pct: float = np.inf
    quickest_slope: ClassVar[float] = 0.0

    def cost(self, slope: Floats, length_m: Floats, loaded: bool) -> Floats:  # noqa: ARG002 (a hose is a hose)
        """Metres, see `TravelCost`; inf where the slope is not known."""
        return np.where(np.isnan(slope), np.inf, length_m)


def walking_km_h(slope: Floats, off_path: bool = False) -> Floats:
    """Walking speed by the slope of the way.

    Parameters
    ----------
    slope : rise over run, uphill positive, scalar or array [-]
    off_path : three fifths of the speed

    Returns
    -------
    speed, as slope [km/h]

    Notes
    -----
    6 exp(-3.5 |S + 0.05|). Fitted on marching people without loads: an estimate.

    References
    ----------
    W. Tobler 1993, Three presentations on geographical analysis and modeling, NCGIA technical report 93-1 (S).

    >>> round(float(walking_km_h(np.tan(np.radians(0.0)))), 2)
    5.04
    """
    speed = 6 * np.exp(-3.5 * np.abs(np.asarray(slope) + 0.05))
    return np.asarray(speed * 0.6 if off_path else speed)
