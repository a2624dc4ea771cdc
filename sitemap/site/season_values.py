"""What may be said of the season of a site: its dates, the state of things, its forecast, days without burning."""

from __future__ import annotations

from sitemap.site.attributes import Attribute

WIND_HEIGHTS = (("eye_level", "eye level"), ("20_ft", "20 ft (6 m)"), ("10_m", "10 m (33 ft)"))
FORECAST = (
    Attribute("issued", "Made at", "text", help="Date and time, 2026-12-05 06:00.", blank="not known"),
    Attribute("source", "From", "text"),
    Attribute("wind_at", "Winds at", "choice", choices=WIND_HEIGHTS, blank="not known"),
    Attribute(
        "front_free_h",
        "Its text says no front for",
        unit="h",
        low=0,
        high=240,
        blank="not known",
    ),
)
FORECAST_HOURS = (
    Attribute("time", "Time", "text", help="2026-12-05 14:00; by the clock of the site."),
    Attribute("wind_m_s", "Mean wind", unit="m_s", low=0, high=80),
    Attribute("gust_m_s", "Gust", unit="m_s", low=0, high=120),
    Attribute("humidity_pct", "Humidity", unit="pct", low=0, high=100),
    Attribute("temperature_c", "Temperature", unit="c", low=-60, high=60),
    Attribute("rain_mm", "Rain", unit="mm", low=0, high=200),
    Attribute("wind_from_deg", "Wind from", unit="deg", low=0, high=360),
    Attribute("cloud_pct", "Cloud", unit="pct", low=0, high=100),
)
WEATHER_DAYS = (
    Attribute("date", "Date", "date"),
    Attribute("temperature_c", "Temperature, mean", unit="c", low=-60, high=60),
    Attribute("humidity_pct", "Humidity, mean", unit="pct", low=0, high=100),
    Attribute("rain_mm", "Rain", unit="mm", low=0, high=2000),
    Attribute(
        "tends_pct",
        "What wood tends to, mean of its hours, of dry weight",
        unit="pct",
        low=0,
        high=40,
        blank="from the means",
    ),
)
CLOSED = (
    Attribute("from", "From", "date"),
    Attribute("to", "Until", "date", blank="that day alone"),
    Attribute("why", "Why", "text"),
)
SEASON = (
    Attribute("date", "Burn date", "date", blank="not set"),
    Attribute("date_walked", "Site walked on", "date"),
    Attribute(
        "days_per_week",
        "Working days a week",
        "integer",
        low=1,
        high=7,
        blank="five",
        main=False,
    ),
    Attribute("work_days", "Working days", "text", help="Mon–Fri, or Sat Sun.", main=False),
    Attribute(
        "day_starts", "Work starts", "text", help="Hours and minutes, 07:30.", blank="1 h after sunrise", main=False
    ),
    Attribute("day_ends", "Work ends", "text", help="Hours and minutes, 16:00.", blank="1 h before sunset", main=False),
    Attribute("wind_from_deg", "Wind usually from", unit="deg", low=0, high=360, main=False),
    Attribute(
        "surroundings",
        "State of the grass and brush around",
        "choice",
        choices=(
            ("snow", "under snow"),
            ("wet", "wet"),
            ("green", "green"),
            ("drying", "drying"),
            ("cured", "cured"),
        ),
        blank="not known",
    ),
    Attribute(
        "ban",
        "Fire ban",
        "choice",
        choices=(("none", "none in force"), ("in_force", "a ban is in force")),
        blank="not known",
    ),
    Attribute("fuel_height_m", "Height of the grass and brush", unit="m", low=0, high=10, main=False),
    Attribute("last_rain", "It last rained on", "date", main=False),
    Attribute("carbon", "Show carbon, indicative", "flag", blank="no", main=False),
    Attribute(
        "char_c",
        "Char was held at, measured",
        unit="c",
        low=0,
        high=1200,
        blank="not measured, the lowest class",
        main=False,
    ),
)
CLIMATE = (
    Attribute("month", "Month", "integer", low=1, high=12),
    Attribute("temperature_c", "Temperature, mean", unit="c", low=-60, high=50),
    Attribute("humidity_pct", "Humidity, mean", unit="pct", low=0, high=100),
    Attribute("rain_days", "Days with rain", low=0, high=31),
)
