"""Limits of wind and air for one burn: ours beside the permit's, at one height and in one unit; the stricter holds."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from sitemap import tables
from sitemap.safety.weather import EYE_LEVEL_M, TEN_METRES_M, TWENTY_FEET_M, wind_at_height_m_s
from sitemap.site.model import Entry

# Heights a limit of wind may be meant at. The blank is the highest: it gives the lowest wind where people read it.
HEIGHTS_M = {"eye_level": EYE_LEVEL_M, "20_ft": TWENTY_FEET_M, "10_m": TEN_METRES_M}
_KM_H = 3.6  # [km/h per m/s]


@dataclass(frozen=True)
class Limit:
    """One limit, shown in the unit of `unit` (a key of units.UNITS).

    key : "wind", "gust", "humidity" or "temperature"
    low, high : inside limits between these; None where that end is open
    stop : beyond it nothing burns, by our own limits
    permit : the permit's own, None where it names none
    below : what stops is a value below `stop` (humidity), not above
    """

    key: str
    unit: str
    low: float | None
    high: float | None
    stop: float
    permit: float | None
    below: bool = False

    @property
    def strictest(self) -> float:
        """Where the burn stops: the stricter of ours and the permit's."""
        if self.permit is None:
            return self.stop
        return max(self.stop, self.permit) if self.below else min(self.stop, self.permit)

    @property
    def whose(self) -> Literal["ours", "permit"]:
        """Whose limit that is."""
        return "ours" if self.permit is None or self.strictest == self.stop else "permit"

    @property
    def inside(self) -> tuple[float | None, float | None]:
        """Between which values the day is inside limits; never beyond where the burn stops."""
        if self.below:
            return max(self.low if self.low is not None else self.strictest, self.strictest), self.high
        return self.low, min(self.high if self.high is not None else self.strictest, self.strictest)


def limits_of(permit: Entry, height_m: float = EYE_LEVEL_M) -> tuple[Limit, ...]:
    """The limits of a burn.

    Parameters
    ----------
    permit : the permit as entered: `wind_km_h`, `gust_km_h`, `wind_at`, `humidity_pct`
    height_m : where the crew reads the wind [m above the vegetation], in open ground

    Returns
    -------
    wind and gust [km/h at height_m], humidity [%], temperature [°C]

    Notes
    -----
    A wind at another height is carried by the logarithmic profile of `weather.wind_at_height_m_s` (its source there).

    Examples
    --------
    >>> from sitemap.site.model import Site
    >>> wind, *_ = limits_of(Site(()).section("permit"), 6.096)
    >>> round(wind.low, 1), round(wind.high, 1), round(wind.strictest, 1), wind.whose
    (4.8, 19.3, 24.1, 'ours')
    """
    rows = tables.load("weather_limits")
    meant_m = HEIGHTS_M.get(permit.choice("wind_at") or "10_m", TEN_METRES_M)

    def carried(wind_m_s: float, from_m: float) -> float:
        return float(wind_at_height_m_s(wind_m_s, from_m, height_m)) * _KM_H

    def wind(key: str, own: float | None) -> Limit:
        row = rows[f"{key}_m_s"]
        low, high, stop = (
            carried(float(row[end]), TWENTY_FEET_M) for end in ("inside_low", "inside_high", "near_high")
        )
        return Limit(key, "km_h", low or None, high, stop, None if own is None else carried(own / _KM_H, meant_m))

    humidity, warm = rows["humidity_pct"], rows["temperature_c"]
    return (
        wind("wind", permit.number("wind_km_h")),
        wind("gust", permit.number("gust_km_h")),
        Limit(
            "humidity",
            "pct",
            float(humidity["inside_low"]),
            None,
            float(humidity["near_low"]),
            permit.number("humidity_pct"),
            below=True,
        ),
        Limit("temperature", "c", None, float(warm["inside_high"]), float(warm["near_high"]), None),
    )


def named_by_permit(permit: Entry) -> dict[str, float]:
    """The limits the permit itself names, winds at 20 ft, by quantity [unit of its name].

    permit : the permit as entered

    >>> from sitemap.site.model import Site
    >>> named_by_permit(Site(()).with_member("permit", {"humidity_pct": 50}).section("permit"))
    {'humidity_pct': 50.0}
    """
    own = {each.key: each.permit for each in limits_of(permit, TWENTY_FEET_M) if each.permit is not None}
    winds = {f"{key}_m_s": own[key] / _KM_H for key in ("wind", "gust") if key in own}
    return winds | ({"humidity_pct": own["humidity"]} if "humidity" in own else {})
