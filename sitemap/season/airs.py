"""The air of each hour of a burn, as smoke meets it: wind at 10 m, from where, how well it mixes, and the gust."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from astral import Observer, sun

from sitemap import tables
from sitemap.errors import PitsteadError
from sitemap.geodesy.plane import Plane
from sitemap.safety.limits_of_site import HEIGHTS_M
from sitemap.safety.weather import TEN_METRES_M, TWENTY_FEET_M, wind_at_height_m_s
from sitemap.season.day_times import light_of
from sitemap.season.hours import WeatherHour
from sitemap.season.turner import mixing, net_radiation_index
from sitemap.season.weather_of_site import burn_hours
from sitemap.season.window import Window
from sitemap.site.model import Site

_HOUR = dt.timedelta(hours=1)


@dataclass(frozen=True)
class Air:
    """One hour.

    time : its beginning; wind_m_s : at 10 m, None where not known; from_deg : where it comes from, None for not known
    gust_m_s : at 20 ft, None where not known; mixing : class A, very well, to F, hardly
    """

    time: dt.datetime
    wind_m_s: float | None
    from_deg: float | None
    gust_m_s: float | None
    mixing: str

    @property
    def smoke_from_deg(self) -> float | None:
        """From where it carries smoke; None where nobody can tell: no direction said, or air that hardly moves."""
        calm = self.wind_m_s is None or self.wind_m_s < tables.value("smoke", "calm")
        return None if calm else self.from_deg


def airs_of(site: Site, plane: Plane | None, window: Window | None) -> tuple[Air, ...]:
    """The air of every hour of the burn of which a forecast is kept; none without a forecast or a place.

    Winds whose height nobody said are taken as at 10 m for smoke and as at eye level for the gust: either way the
    careful one.
    """
    if plane is None or window is None:
        return ()
    said = HEIGHTS_M.get(site.section("forecast").choice("wind_at") or "")
    return tuple(_air(hour, plane, site.timezone, said) for hour in burn_hours(site, window))


def _air(hour: WeatherHour, plane: Plane, zone: str | None, height_m: float | None) -> Air:
    wind = _carried(hour.wind_m_s, height_m or TEN_METRES_M, TEN_METRES_M)
    gust = _carried(hour.gust_m_s, height_m or min(HEIGHTS_M.values()), TWENTY_FEET_M)
    middle = hour.time + _HOUR / 2
    height = sun.elevation(Observer(plane.lat0, plane.lon0), middle.astimezone(dt.UTC))
    index = net_radiation_index(height, hour.cloud_pct, _is_night(middle, plane, zone))
    return Air(hour.time, wind, hour.wind_from_deg, gust, mixing(wind or 0.0, index))


def _carried(wind_m_s: float | None, from_m: float, to_m: float) -> float | None:
    return None if wind_m_s is None else float(wind_at_height_m_s(wind_m_s, from_m, to_m))


def _is_night(when: dt.datetime, plane: Plane, zone: str | None) -> bool:
    """Whether it is between an hour before sunset and an hour after sunrise; what cannot be told is night."""
    try:
        light = light_of(plane.lon0, plane.lat0, when.date(), str(zone))
    except PitsteadError:
        return True
    if light.sunrise is None or light.sunset is None:
        return light.kind != "no_sunset"
    return not light.sunrise + _HOUR <= when < light.sunset - _HOUR
